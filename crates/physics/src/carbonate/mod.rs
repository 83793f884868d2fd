//! Carbonate in fresh water: which share of the inorganic carbon is carbon dioxide, and whether lime falls out.
//!
//! Owns: the constants of the carbonate system at zero salinity with activity coefficients, speciation from
//! alkalinity and pH and back, Henry's law, the saturation index of calcite.
//!
//! Must not know: sea water (its constants are stoichiometric and stand on another pH scale), ion pairs, borate,
//! phosphate, silicate, how fast gas leaves the water.
//!
//! Concentrations are mol/m³; for the laws of mass action a litre is taken for a kilogram of water, which at 50 °C
//! is wrong by 1.2 % and at 25 °C by 0.3 %. pH is −log₁₀ of the activity of the hydrogen ion.
//!
//! Ion pairs are left out. Against a program that has them (`validation/freshwater_co2.csv`), carbon dioxide is then
//! off by up to 2.2 % to pH 7.6, 4.7 % at pH 8.2 and 19 % at pH 9, where there is next to none left.

mod calcite;
pub mod constants;
mod error;
mod gas;
mod speciation;

pub use calcite::{CALCIUM, calcite_saturation_index};
pub use error::CarbonateError;
pub use gas::{PARTIAL_PRESSURE, aerated_carbon_dioxide_mol_m3};
pub use speciation::{
    ALKALINITY, CARBON_DIOXIDE, FreshWater, PH, Speciation, carbon_dioxide_mol_m3, ph_from_carbon_dioxide,
    speciate,
};
