//! The temperature of the water in a vessel: what warms it, what it loses, and when it gets where it should.
//!
//! Owns: the heat balance of a stirred vessel with its time constant, steady temperature and the time to another one;
//! what passes a wall and leaves an open surface; warming and mixing waters; a thermostat's duty.
//!
//! Must not know: heaters and chillers (a power comes as a number), what electricity costs, the air of the room and
//! what warms it, salinity beyond heat capacity and vapour pressure.
//!
//! One temperature for all the water: it has to be stirred, or the numbers are those of no place in it.

mod balance;
mod error;
mod limits;
mod open_surface;
mod store;
mod thermostat;
mod wall;

pub use balance::{HeatBalance, Reach};
pub use error::HeatError;
pub use open_surface::{OpenSurface, SurfaceLoss, open_surface_loss};
pub use store::{energy_to_warm_j, heat_capacity_j_k, mixed_temperature_c};
pub use thermostat::{Duty, thermostat_duty};
pub use wall::{
    AirFilm, EnvelopePart, STILL_WATER_FILM_W_M2_K, VesselWall, WallLoss, air_film, loss_w_k,
    upright_plate_nusselt, wall_loss,
};
