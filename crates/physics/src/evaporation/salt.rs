//! What salt takes off the vapour pressure.

use crate::{OutOfRange, Range};
use libm::exp;

/// Practical salinity for which the vapour pressure over sea water is given.
pub const VAPOUR_SALINITY: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 42.0,
    source_key: "HOUSE-RULE",
};

/// Returns vapour pressure over sea water as a share of that over fresh water: `exp(−0.018·φ·m)`, m the molality of
/// all dissolved particles and φ the osmotic coefficient. 0.981 at practical salinity 35.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 42.
///
/// # Source
/// `DICKSON-2007`, chapter 5, with the osmotic coefficient at 25 °C, taken for all temperatures: by TEOS-10 it changes by
/// 1.3 % from 0 to 40 °C, which is 0.02 % of the pressure. The polynomial for it ends at 0.908 instead of 1 in fresh
/// water, where it is multiplied by nothing.
pub fn vapour_pressure_share(practical_salinity: f64) -> Result<f64, OutOfRange> {
    let salinity = VAPOUR_SALINITY.require(practical_salinity)?;
    let molality = 31.998 * salinity / (1000.0 - 1.005 * salinity);
    let half = molality / 2.0;
    let osmotic = 0.907_99 + half * (-0.089_92 + half * (0.184_58 + half * (-0.073_95 - half * 0.002_21)));
    Ok(exp(-0.018 * osmotic * molality))
}
