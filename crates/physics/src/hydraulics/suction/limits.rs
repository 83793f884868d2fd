//! Limits that several questions about the suction side share.

use crate::Range;

pub(in crate::hydraulics) use super::super::GRAVITY_M_S2;
/// From a capillary to a tube that no household has.
pub(super) const BORE: Range = Range {
    quantity: "bore",
    unit: "m",
    min: 1e-3,
    max: 0.5,
    source_key: "HOUSE-RULE",
};
pub(super) const VELOCITY: Range = Range {
    quantity: "velocity of the water",
    unit: "m/s",
    min: 0.0,
    max: 20.0,
    source_key: "HOUSE-RULE",
};
/// Warm fresh water to a strong brine.
pub(in crate::hydraulics) const DENSITY: Range = Range {
    quantity: "density of the water",
    unit: "kg/m³",
    min: 900.0,
    max: 1300.0,
    source_key: "HOUSE-RULE",
};
pub(super) const HEIGHT: Range = Range {
    quantity: "height",
    unit: "m",
    min: -100.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
pub(super) const LOSS: Range = Range {
    quantity: "head lost",
    unit: "m",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// Open vessels on high mountains to closed ones under ten bar.
pub(super) const SURFACE_PRESSURE: Range = Range {
    quantity: "absolute pressure on the surface",
    unit: "Pa",
    min: 1e4,
    max: 1.1e6,
    source_key: "HOUSE-RULE",
};
/// Ice water to water that boils at sea level.
pub(super) const VAPOUR_PRESSURE: Range = Range {
    quantity: "vapour pressure of the water",
    unit: "Pa",
    min: 0.0,
    max: 1.014e5,
    source_key: "HOUSE-RULE",
};
pub(super) const LENGTH: Range = Range {
    quantity: "length of the tube",
    unit: "m",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// Silicone to steel.
pub(super) const MODULUS: Range = Range {
    quantity: "modulus of elasticity",
    unit: "Pa",
    min: 1e5,
    max: 3e11,
    source_key: "HOUSE-RULE",
};
pub(super) const WALL: Range = Range {
    quantity: "wall thickness",
    unit: "m",
    min: 1e-4,
    max: 0.05,
    source_key: "HOUSE-RULE",
};
