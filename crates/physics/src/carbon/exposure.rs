//! How long a membrane bears the chlorine that passes the carbon.

use super::{error::CarbonError, life::enough};
use crate::Range;

/// Exposure to free chlorine from which damage to a polyamide membrane is noticed at the earliest, in kg·s/m³: 200
/// mg/L for an hour.
///
/// Source: common practice, no source: the low end of what makers of membranes state, 200 to 1000 mg/L times hours.
pub const MEMBRANE_EXPOSURE_LOW_KG_S_M3: f64 = 200.0 * KG_S_M3_PER_MG_H_L;

/// The high end of the same: 1000 mg/L for an hour.
///
/// Source: as [`MEMBRANE_EXPOSURE_LOW_KG_S_M3`].
pub const MEMBRANE_EXPOSURE_HIGH_KG_S_M3: f64 = 1000.0 * KG_S_M3_PER_MG_H_L;

const KG_S_M3_PER_MG_H_L: f64 = 1e-3 * 3600.0;

/// From a thousandth of the low end above to a hundred times what's said to be borne of chloramine.
const EXPOSURE: Range = Range {
    quantity: "exposure limit",
    unit: "kg·s/m³",
    min: 0.7,
    max: 1e8,
    source_key: "HOUSE-RULE",
};
const FREE_CHLORINE: Range = Range {
    quantity: "free chlorine",
    unit: "kg/m³",
    min: 0.0,
    max: 0.1,
    source_key: "HOUSE-RULE",
};

/// The time in service until damage is noticed, in s: exposure limit by free chlorine.
///
/// Iron, warmth and a high pH shorten it. Hours in which the membrane isn't fed count only as far as chlorine
/// stays in it.
///
/// # Arguments
/// * `exposure_limit_kg_s_m3`: `0.7..=1e8`; see [`MEMBRANE_EXPOSURE_LOW_KG_S_M3`].
/// * `free_chlorine_kg_m3`: behind the carbon, `1e-6..=0.1`.
///
/// # Errors
/// [`CarbonError::NothingToRemove`] below 10⁻⁶ kg/m³; [`CarbonError::OutOfRange`].
///
/// # Source
/// `DEFINITION` of exposure as concentration times time.
pub fn time_to_membrane_damage_s(
    exposure_limit_kg_s_m3: f64,
    free_chlorine_kg_m3: f64,
) -> Result<f64, CarbonError> {
    let limit = EXPOSURE.require(exposure_limit_kg_s_m3)?;
    Ok(limit / enough(FREE_CHLORINE.require(free_chlorine_kg_m3)?)?)
}
