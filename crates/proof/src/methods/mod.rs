//! The register of methods.

mod cost;
mod dilution;
mod geometry;
mod mixing;
mod need;
mod weight;

pub(crate) use cost::*;
pub(crate) use dilution::*;
pub(crate) use geometry::*;
pub(crate) use mixing::*;
pub(crate) use need::*;
pub(crate) use weight::*;

use crate::method::Method;

/// Every method, in the order of the documentation.
pub const METHODS: &[&Method] = &[
    &VOLUME_CYLINDER,
    &VOLUME_TAPERED_ROUND,
    &VOLUME_BOX,
    &VOLUME_TAPERED_BOX,
    &VOLUME_HORIZONTAL_CYLINDER,
    &VOLUME_CONE_BOTTOM,
    &VOLUME_MEASURED,
    &LEVEL_CYLINDER,
    &LEVEL_TAPERED_ROUND,
    &LEVEL_BOX,
    &LEVEL_TAPERED_BOX,
    &LEVEL_HORIZONTAL_CYLINDER,
    &LEVEL_CONE_BOTTOM,
    &LEVEL_MEASURED,
    &LEVEL_ABOVE,
    &LEVEL_BELOW,
    &RUN_VOLUME,
    &DRAWABLE_VOLUME,
    &SUM_OF_VOLUMES,
    &MASS_WHEN_FULL,
    &FLOOR_LOAD,
    &POURING_HEIGHT,
    &STRENGTH_FROM_LABEL,
    &DRY_MASS_FOR_FINISHED,
    &FRESH_FOR_FINISHED,
    &FINISHED_FROM_BAG,
    &FRESH_FROM_BAG,
    &SALINITY_REACHED,
    &ION_AT_SALINITY,
    &FRESH_IN_BUCKET,
    &DAILY_SUM,
    &CHANGE_RATE,
    &SALT_RATE_AS_FRESH,
    &EMERGENCY_VOLUME,
    &DAYS_HELD,
    &RUNS_A_WEEK,
    &TOP_OFF_DRIFT,
    &CHANGE_FRACTION,
    &STEADY_BEFORE_CHANGE,
    &FRACTION_TO_HOLD,
    &ONE_CHANGE_NOW,
    &EXCHANGE_NOW,
    &COST_OF_SALT,
    &COST_OF_BATCH,
    &COST_PER_VOLUME,
];

/// The method with this key.
pub fn method(key: &str) -> Option<&'static Method> {
    METHODS.iter().copied().find(|method| method.key == key)
}
