//! Moist air, and the water that an open surface gives to it.
//!
//! Owns: saturation pressure of water vapour over water and ice, dew point, humidity ratio, what salt takes off the
//! vapour pressure, evaporation from an open surface.
//!
//! Must not know: lids, rooms and their ventilation, what evaporation does to salinity
//! ([`after_evaporation`](crate::mixing::after_evaporation)).

mod air;
mod salt;
mod surface;

pub use air::{
    AIR_PRESSURE, AIR_TEMPERATURE, RELATIVE_HUMIDITY, dew_point_c, humidity_ratio, saturation_pressure_pa,
    vapour_pressure_pa,
};
pub use salt::{VAPOUR_SALINITY, vapour_pressure_share};
pub use surface::{
    ACTIVITY_FACTOR, AIR_SPEED, SurfaceAir, WATER_TEMPERATURE, evaporation_kg_s_m2, latent_heat_j_kg,
    simple_evaporation_kg_s_m2,
};
