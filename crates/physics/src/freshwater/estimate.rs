//! What can be guessed from conductivity alone.

use crate::{OutOfRange, Range};

/// Conductivity of fresh water.
pub const CONDUCTIVITY: Range = Range {
    quantity: "conductivity at 25 °C",
    unit: "S/m",
    min: 0.0,
    max: 2.0,
    source_key: "HOUSE-RULE",
};

/// Dissolved solids per conductivity that is believed: 0.4 to 1.0 mg/L per µS/cm.
pub const SOLIDS_FACTOR: Range = Range {
    quantity: "dissolved solids per conductivity",
    unit: "kg/m³ per S/m",
    min: 4.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// Dissolved solids per conductivity of natural fresh water, kg/m³ per S/m (0.65 mg/L per µS/cm): common practice, no
/// source.
pub const NATURAL_WATER_FACTOR: f64 = 6.5;

/// Returns the ionic strength of a natural fresh water by its conductivity: 1.6·10⁻⁵ mol/kg per µS/cm.
///
/// It fits waters of calcium and bicarbonate. Sodium chloride has about 0.8·10⁻⁵, so that against the waters of
/// `validation/freshwater_co2.csv`, rich in it, the rule is high by 30 % in the middle and 57 % at worst; carbon dioxide
/// from alkalinity and pH up to 7.6 still holds within 3 %.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 2 S/m.
///
/// # Source
/// `SNOEYINK-JENKINS-1980`.
pub fn ionic_strength_from_conductivity_mol_kg(conductivity_25_s_m: f64) -> Result<f64, OutOfRange> {
    Ok(0.16 * CONDUCTIVITY.require(conductivity_25_s_m)?)
}

/// Returns dissolved solids by conductivity, kg/m³.
///
/// # Arguments
/// * `conductivity_25_s_m`: at 25 °C, `0..=2`.
/// * `factor_kg_m3_per_s_m`: `4..=10`, ten times the factor in mg/L per µS/cm; [`NATURAL_WATER_FACTOR`] for tap water.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Common practice, no source.
pub fn dissolved_solids_kg_m3(
    conductivity_25_s_m: f64,
    factor_kg_m3_per_s_m: f64,
) -> Result<f64, OutOfRange> {
    Ok(CONDUCTIVITY.require(conductivity_25_s_m)? * SOLIDS_FACTOR.require(factor_kg_m3_per_s_m)?)
}
