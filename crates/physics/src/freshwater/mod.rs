//! Fresh water as an instrument and a membrane meet it: conductivity, readings of meters, osmotic pressure.
//!
//! Owns: conductivity of pure water and of pure water with carbon dioxide, what a meter for dissolved solids shows,
//! estimates from conductivity (dissolved solids, ionic strength), osmotic pressure.
//!
//! Must not know: the carbonate system beyond its constants ([`carbonate`](crate::carbonate)), sea water, how a
//! membrane or a resin works, temperature compensation of an instrument.

mod carbonic;
mod estimate;
mod meter;
mod osmotic;
mod pure_water;

pub use carbonic::{
    CARBONIC_TEMPERATURE, aerated_water_conductivity_s_m, aerated_water_ph, carbonic_water_conductivity_s_m,
    carbonic_water_ph,
};
pub use estimate::{
    CONDUCTIVITY, NATURAL_WATER_FACTOR, SOLIDS_FACTOR, dissolved_solids_kg_m3,
    ionic_strength_from_conductivity_mol_kg,
};
pub use meter::{METER_CONDUCTIVITY, MeterScale, meter_reading_kg_m3};
pub use osmotic::{DISSOLVED_SOLIDS, PARTICLES, osmotic_pressure_pa, van_t_hoff_pressure_pa};
pub use pure_water::{PURE_WATER_TEMPERATURE, pure_water_conductivity_s_m};
