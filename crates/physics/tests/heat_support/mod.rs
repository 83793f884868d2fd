//! The salt drum whose losses the tests of heat reckon.
#![allow(unreachable_pub, reason = "each test file is a crate of its own")]

use physics::evaporation::SurfaceAir;
use physics::heat::{OpenSurface, STILL_WATER_FILM_W_M2_K, VesselWall};

/// Its side.
pub const WALL: VesselWall = VesselWall {
    height_m: 0.8,
    thickness_m: 0.005,
    conductivity_w_m_k: 0.45,
    emissivity: 0.9,
    inside_film_w_m2_k: STILL_WATER_FILM_W_M2_K,
};

/// Its open mouth; a test sets the temperature of the water.
pub const DRUM_MOUTH: OpenSurface = OpenSurface {
    area_m2: 0.26,
    air: SurfaceAir {
        water_temperature_c: 0.0,
        air_temperature_c: 24.0,
        relative_humidity: 0.5,
        air_speed_m_s: 0.1,
        practical_salinity: 0.0,
    },
    activity_factor: 0.5,
};
