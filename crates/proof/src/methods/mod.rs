//! The register of methods.

mod carbon;
mod cost;
mod dilution;
mod evaporation;
mod feed;
mod geometry;
mod membrane;
mod mixing;
mod need;
mod plumbing;
mod resin;
mod restrictor;
mod runs;
mod stirring;
mod supply;
mod weight;

pub(crate) use carbon::*;
pub(crate) use cost::*;
pub(crate) use dilution::*;
pub(crate) use evaporation::*;
pub(crate) use feed::*;
pub(crate) use geometry::*;
pub(crate) use membrane::*;
pub(crate) use mixing::*;
pub(crate) use need::*;
pub(crate) use plumbing::*;
pub(crate) use resin::*;
pub(crate) use restrictor::*;
pub(crate) use runs::*;
pub(crate) use stirring::*;
pub(crate) use supply::*;
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
    &BATCH_IN_CHANGE,
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
    &FEED_TEMPERATURE,
    &DISSOLVED_SOLIDS,
    &CONDUCTIVITY_FROM_SOLIDS,
    &CARBON_DIOXIDE,
    &CARBON_DIOXIDE_LEFT,
    &INLET_PRESSURE,
    &STATIC_HEAD,
    &CALCITE_INDEX,
    &FEED_SIDE_SOLIDS,
    &MEMBRANE_WATER,
    &MEMBRANE_SALT,
    &SUM_OF_WATER_CONDUCTANCES,
    &SUM_OF_PRESSURES,
    &RESTRICTOR_FROM_RATIO,
    &RESTRICTOR_FROM_BORE,
    &PERMEATE_FLOW,
    &REJECT_FLOW,
    &PERMEATE_SOLIDS,
    &REJECT_SOLIDS,
    &SOLIDS_IN_SERIES,
    &PRESSURE_AT_MEMBRANE,
    &PRESSURE_BEFORE_BOOSTER,
    &DROP_AT_A_LITRE,
    &LEAST_PRESSURE,
    &RECOVERY,
    &IDLE_TIME,
    &SOLIDS_AFTER_IDLE,
    &START_SALT,
    &TIMER_RUN,
    &FLOAT_VOLUME,
    &CLOSING_SHARE,
    &SHUT_OFF_PRESSURE,
    &THROTTLE_TIME,
    &STOP_SALT,
    &MEAN_SOLIDS,
    &THROTTLED_SOLIDS,
    &REJECT_RATIO,
    &DRAWN_DAY_AND_NIGHT,
    &REJECT_RATIO_ALWAYS,
    &SHORT_OVER_LONG,
    &HOLD_UP_FOR_TWICE,
    &SALT_LOAD,
    &GAS_LOAD,
    &GAS_ON_METER,
    &SILICA_LOAD,
    &LOAD_TOGETHER,
    &GAS_SHARE,
    &RESIN_LIFE,
    &WORSE_OF_TWO_LIVES,
    &PRICE_OF_RESINS,
    &COST_OF_RESIN,
    &COST_OF_SEPARATE_RESINS,
    &CONTACT_TIME,
    &CONTACT_FOR_CHLORINE,
    &CONTACT_FOR_CHLORAMINE,
    &CONTACT_FOR_CHLORAMINE_CATALYTIC,
    &SUM_OF_CONCENTRATIONS,
    &FILTER_LIFE,
    &FILTER_LIFE_CHLORAMINE,
    &FILTER_LIFE_BY_CALENDAR,
    &TIME_TO_DAMAGE,
    &AMMONIA_LEFT,
    &EVAPORATION,
    &SEASON,
    &MADE_A_DAY,
    &MADE_BEYOND_FLUSH,
    &MARGIN,
    &DELIVERED_RATE,
    &NEED_BEYOND,
    &WANTED_WHILE_RUNNING,
    &FILL_TIME,
    &NEED_OF_TIME,
    &RATIO,
    &PEAK_DAY,
    &COST_OF_WATER,
    &SUM_OF_PRICES,
    &COST_OF_PART,
    &COST_OF_POWER,
    &COST_AS_IT_COMES,
    &MIXABLE,
    &COST_TOGETHER,
    &DAYS_LEFT,
    &CHANGES_LEFT,
    &LINEUP_FLOW,
    &MISTAKE_FLOW,
    &MISTAKE_TIME,
    &LINEUP_TIME,
    &LINEUP_HEAD,
    &LINEUP_INLET,
    &NPSH_AVAILABLE,
    &LEAST_LEVEL,
    &TURNOVER,
    &JET_SHORTEST,
    &JET_LONGEST,
    &TURNOVER_MIXING,
    &TO_99,
    &GRAIN_DISSOLVES,
    &FIRST_MEASUREMENT,
    &WARM_UP,
    &LEAD_TIME,
];

/// The method with this key.
pub fn method(key: &str) -> Option<&'static Method> {
    METHODS.iter().copied().find(|method| method.key == key)
}
