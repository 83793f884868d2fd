//! The limits that several files of this room share.

use crate::Range;

/// Water that is liquid, with a margin for a target that overshoots.
pub(super) const WATER: Range = Range {
    quantity: "water temperature",
    unit: "°C",
    min: -2.0,
    max: 60.0,
    source_key: "HOUSE-RULE",
};
pub(super) const AIR: Range = Range {
    quantity: "air temperature",
    unit: "°C",
    min: -20.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};
/// From a glass to a pool.
pub(super) const CAPACITY: Range = Range {
    quantity: "heat capacity",
    unit: "J/K",
    min: 10.0,
    max: 1e11,
    source_key: "HOUSE-RULE",
};
/// 0 for a vessel that loses nothing.
pub(super) const LOSS: Range = Range {
    quantity: "loss coefficient",
    unit: "W/K",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
/// Negative for a chiller.
pub(super) const POWER: Range = Range {
    quantity: "power into the water",
    unit: "W",
    min: -1e7,
    max: 1e7,
    source_key: "HOUSE-RULE",
};
pub(super) const AREA: Range = Range {
    quantity: "area",
    unit: "m²",
    min: 0.0,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
