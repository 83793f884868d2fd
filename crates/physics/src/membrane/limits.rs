//! Between which values the model of the membrane is used, and where it is sound.

use crate::Range;

/// Builds a range that is a choice of our own.
const fn house(quantity: &'static str, unit: &'static str, min: f64, max: f64) -> Range {
    Range {
        quantity,
        unit,
        min,
        max,
        source_key: "HOUSE-RULE",
    }
}

/// Temperature of the feed, hard limit: liquid water, and what a thin-film element stands (common practice, no
/// source).
pub const TEMPERATURE: Range = house("temperature of the feed", "°C", 0.0, 45.0);
/// Temperature over which the printed tables of the trade reach; outside it the answer is an extrapolation.
pub const TEMPERATURE_SOUND: Range = house("temperature of the feed", "°C", 5.0, 35.0);
/// Dissolved solids of the feed, hard limit.
pub const SOLIDS: Range = house("dissolved solids", "kg/m³", 0.0, 10.0);
/// Dissolved solids of the feed up to which a dilute solution is a fair picture.
pub const SOLIDS_SOUND: Range = house("dissolved solids", "kg/m³", 0.0, 3.0);
/// Dissolved solids at the wall: the reach of the osmotic pressure in engineering form.
pub const WALL_SOLIDS: Range = house("dissolved solids at the wall", "kg/m³", 0.0, 20.0);
/// Gauge pressure of the feed.
pub const PRESSURE: Range = house("pressure", "Pa", 0.0, 2e6);
/// Gauge pressure of the feed over which small elements are run.
pub const PRESSURE_SOUND: Range = house("pressure", "Pa", 2e5, 8e5);
/// Recovery, product over feed, up to which the wall factor is used.
pub const RECOVERY: Range = house("recovery", "", 0.0, 0.9);
/// Recovery up to which one lumped element is a fair picture.
pub const RECOVERY_SOUND: Range = house("recovery", "", 0.1, 0.5);

/// Recovery where the reject follows from it; at 0 the reject would be infinite.
pub(super) const RECOVERY_GIVEN: Range = house("recovery", "", 1e-3, 0.9);
/// Nominal rejection; at 1 no salt would pass and nothing could creep.
pub(super) const REJECTION: Range = house("rejection", "", 0.5, 0.9999);
/// Water conductance: a thousandth of a household element to a hundred thousand of them.
pub(super) const WATER_CONDUCTANCE: Range = house("water conductance", "m³/(s·Pa)", 1e-15, 1e-6);
/// Salt conductance: likewise, over four decades of rejection.
pub(super) const SALT_CONDUCTANCE: Range = house("salt conductance", "m³/s", 1e-14, 1e-1);
/// Flow of water.
pub(super) const FLOW: Range = house("flow", "m³/s", 0.0, 10.0);
/// Flow that must be there.
pub(super) const FLOW_GIVEN: Range = house("flow", "m³/s", 1e-12, 10.0);
/// Pressure that must be there.
pub(super) const PRESSURE_GIVEN: Range = house("pressure", "Pa", 1.0, 2e6);
/// Conductance of a restrictor, flow over the root of pressure.
pub(super) const RESTRICTOR: Range = house("conductance of the restrictor", "m³/(s·√Pa)", 1e-13, 1e-1);
/// Resistance to flow.
pub(super) const RESISTANCE: Range = house("resistance to flow", "Pa·s/m³", 0.0, 1e13);
/// Volume that water fills.
pub(super) const VOLUME: Range = house("volume", "m³", 1e-9, 1e6);
/// Volume made or flushed, from nothing.
pub(super) const RUN: Range = house("volume of a run", "m³", 0.0, 1e6);
/// Span of time.
pub(super) const TIME: Range = house("time", "s", 0.0, 1e10);
/// Mass of salt.
pub(super) const SALT: Range = house("mass of salt", "kg", 0.0, 1e6);
/// Bore of a restrictor.
pub(super) const BORE: Range = house("bore", "m", 1e-5, 0.1);
/// Discharge coefficient.
pub(super) const DISCHARGE: Range = house("discharge coefficient", "", 0.1, 1.0);
/// Density of the water in a restrictor.
pub(super) const DENSITY: Range = house("density", "kg/m³", 900.0, 1100.0);
