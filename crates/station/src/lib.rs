//! What the station is: its file, its quantities, its fields, valid by construction.
//!
//! Owns: quantities with units, the register of fields, reading a station file with every fault at its
//! place, editing it, the moment ([`Situation`]), the schema and the reference page.
//! Must not know: files (it takes text), results, the simulated truth.

pub mod catalogue;
mod check;
pub mod control;
pub mod edit;
mod fault;
mod file;
pub mod label;
pub mod plumbing;
pub mod quantity;
pub mod register;
pub mod sections;
mod situation;
mod station;
pub mod tags;

pub use check::{End, Reach, reach};
pub use edit::{Edit, EditError};
pub use fault::{Fault, Lines, Position};
pub use file::did_you_mean;
pub use register::{json_schema, reference, template};
pub use situation::{Situation, VesselMoment, lowest_drawable_m};
pub use station::{
    Dimension, FLOOR_DRAIN_M, Named, Purifier, Station, Tank, Vessel, read_alike, shown, spoken,
};
