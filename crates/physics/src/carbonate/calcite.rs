//! Whether lime falls out.

use super::{
    constants::{davies_log_gamma, log_k_calcite},
    error::CarbonateError,
    speciation::{FreshWater, MOL_M3, speciate},
};
use crate::Range;
use libm::log10;

/// Calcium of fresh water and of the concentrate of a membrane; none at all has no logarithm.
pub const CALCIUM: Range = Range {
    quantity: "calcium",
    unit: "mol/m³",
    min: 1e-9,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Returns the saturation index of calcite, log₁₀ of the ion product over the solubility product: above 0 lime may
/// fall out, below 0 the water dissolves it.
///
/// For a membrane the concentrate at its wall counts, not the feed.
///
/// # Arguments
/// * `water`: alkalinity, pH, temperature, ionic strength.
/// * `calcium_mol_m3`: moles of calcium (not of charge), `10⁻⁹..=100`.
///
/// # Errors
/// [`CarbonateError::NoCarbonate`] for water without any; otherwise as [`speciate`].
///
/// # Source
/// DEFINITION, with the solubility product of `PLUMMER-BUSENBERG-1982` and activity by `DAVIES-1962`. Calcium and
/// carbonate bound in ion pairs are counted as free, so that the index is too high: by 0.02 in the middle, 0.1 at worst
/// to pH 8.2 and 0.17 at pH 9 (`validation/freshwater_co2.csv`).
pub fn calcite_saturation_index(water: &FreshWater, calcium_mol_m3: f64) -> Result<f64, CarbonateError> {
    let calcium = CALCIUM.require(calcium_mol_m3)? / MOL_M3;
    let carbonate = speciate(water)?.carbonate_mol_m3 / MOL_M3;
    if carbonate <= 0.0 {
        return Err(CarbonateError::NoCarbonate);
    }
    let log_gamma = davies_log_gamma(2.0, water.ionic_strength_mol_kg, water.temperature_c)?;
    Ok(log10(calcium) + log10(carbonate) + 2.0 * log_gamma - log_k_calcite(water.temperature_c)?)
}
