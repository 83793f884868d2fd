//! The checks every shape shares: a dimension, a level against the rim, an amount against the full vessel.

use super::error::{LevelError, ShapeError};
use crate::Range;

/// Inner lengths a vessel may have. House rule: what is shorter than a millimetre or longer than a hundred
/// metres is a slip of the unit, not a vessel.
pub const DIMENSION_RANGE: Range = Range {
    quantity: "inner length",
    unit: "m",
    min: 1e-3,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Amounts a measured table may give. House rule, as [`DIMENSION_RANGE`]: a microlitre to a cube of 100 m.
pub const VOLUME_RANGE: Range = Range {
    quantity: "volume",
    unit: "m³",
    min: 1e-9,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// Gives a dimension back, or says which one is at fault.
pub(super) fn dimension(place: &'static str, value_m: f64) -> Result<f64, ShapeError> {
    DIMENSION_RANGE
        .require(value_m)
        .map_err(|reason| ShapeError::Dimension { place, reason })
}

/// Gives a level between floor and rim back, or refuses it.
pub(super) fn level(level_m: f64, rim_m: f64) -> Result<f64, LevelError> {
    if (0.0..=rim_m).contains(&level_m) {
        Ok(level_m)
    } else if level_m > rim_m {
        Err(LevelError::AboveRim { level_m, rim_m })
    } else if level_m < 0.0 {
        Err(LevelError::BelowFloor { level_m })
    } else {
        Err(LevelError::NotANumber)
    }
}

/// Gives an amount that fits back, or refuses it.
pub(super) fn volume(volume_m3: f64, full_m3: f64) -> Result<f64, LevelError> {
    if (0.0..=full_m3).contains(&volume_m3) {
        Ok(volume_m3)
    } else if volume_m3 > full_m3 {
        Err(LevelError::MoreThanFull { volume_m3, full_m3 })
    } else if volume_m3 < 0.0 {
        Err(LevelError::LessThanEmpty { volume_m3 })
    } else {
        Err(LevelError::NotANumber)
    }
}
