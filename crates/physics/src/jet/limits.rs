//! The limits that several files of this room share, and the gravity they reckon with.

use crate::Range;

/// Standard gravity, by DEFINITION.
pub(super) const GRAVITY_M_S2: f64 = 9.806_65;

/// From a dripping tap to a pump larger than any here.
pub(super) const FLOW: Range = Range {
    quantity: "flow",
    unit: "m³/s",
    min: 1e-7,
    max: 0.1,
    source_key: "HOUSE-RULE",
};
pub(super) const BORE: Range = Range {
    quantity: "bore",
    unit: "m",
    min: 1e-3,
    max: 0.2,
    source_key: "HOUSE-RULE",
};
/// From hot water to saturated brine (about 1200 kg/m³).
pub(super) const DENSITY: Range = Range {
    quantity: "density of the water",
    unit: "kg/m³",
    min: 950.0,
    max: 1250.0,
    source_key: "HOUSE-RULE",
};
/// Water at 60 °C has 4.7·10⁻⁷ m²/s, saturated brine at 0 °C about 3·10⁻⁶ (from memory).
pub(super) const KINEMATIC_VISCOSITY: Range = Range {
    quantity: "kinematic viscosity",
    unit: "m²/s",
    min: 3e-7,
    max: 5e-6,
    source_key: "HOUSE-RULE",
};
/// Distances and lengths inside a station.
pub(super) const DISTANCE: Range = Range {
    quantity: "distance",
    unit: "m",
    min: 1e-3,
    max: 30.0,
    source_key: "HOUSE-RULE",
};
/// A wait of nothing up to a year.
pub(super) const TIME: Range = Range {
    quantity: "time",
    unit: "s",
    min: 0.0,
    max: 3.2e7,
    source_key: "HOUSE-RULE",
};
