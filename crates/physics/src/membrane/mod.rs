//! A reverse-osmosis membrane: what it makes, at what purity and at what reject, and what a start costs.
//!
//! Owns: one lumped element or several in a row with their restrictor and resistances, temperature, the wall
//! concentration, the inverse (pressure for a wanted flow), the salt that creeps in while the element stands, the
//! slow stop of a float valve, normalised figures, and the fit of the hold-up from a logged first litre.
//!
//! Must not know: resin, carbonate, cost, when a station starts or stops.
//!
//! Only the products of area with the two permeabilities matter, so that an element is two conductances. Scaling
//! these with volumes, hold-ups and flows together leaves every concentration and every time as it was.
//!
//! Pressures are gauge pressures. Concentrations are dissolved solids as mass by volume.

mod at_recovery;
mod element;
mod error;
mod first_litre;
mod float_stop;
mod idle;
mod least_pressure;
pub mod limits;
pub mod normalise;
mod operate;
mod ratio;
mod restrictor;
mod row_nested;
mod row_newton;
mod series;
pub mod shut_off;
mod start;
mod student;
mod temperature;
mod wall;

pub use at_recovery::at_recovery;
pub use element::{Element, Rating};
pub use error::MembraneError;
pub use first_litre::{FirstLitre, HoldUpFit, Scatter, fit_hold_up};
pub use float_stop::{FloatStop, throttled_forever_kg_m3};
pub use idle::{
    HoldUp, Idle, idle_equilibrium_kg_m3, idle_time_constant_s, repeated_start_kg_m3, solids_after_idle_kg_m3,
};
pub use least_pressure::least_pressure_pa;
pub use operate::{Feed, Operating, operate};
pub use ratio::{RunLengths, hold_up_for_ratio, load_ratio};
pub use restrictor::{Resistances, Restrictor, reject_for};
pub use series::operate_series;
pub use start::{after_flush_kg, break_even_m3, mean_solids_kg_m3, solids_during_run_kg_m3, start_salt_kg};
pub use temperature::TemperatureResponse;
pub use wall::{
    concentration_factor, membrane_pressure_pa, net_driving_pressure_pa, permeate_solids_kg_m3, polarisation,
    reject_solids_kg_m3, wall_factor,
};
