//! Water in tubes: what it costs to flow, and where it goes.
//!
//! Owns: friction ([`friction`]), what tubes, fittings and valves cost ([`parts`]), what pumps do to it
//! ([`pump_curve`], [`pump_effects`]) and need before them ([`suction`]), networks of all of them between open
//! vessels ([`network`]).
//!
//! Doesn't own: what a station is made of and which of its valves are open; how levels fall while it flows.

mod error;
pub mod friction;
pub mod network;
pub mod parts;
pub mod pump_curve;
pub mod pump_effects;
pub mod suction;
mod water;

pub use error::HydraulicsError;
pub use parts::LossCoefficient;
pub use water::LineWater;

/// Standard acceleration of free fall, m/s² (ISO 80000-3, exact by convention).
pub const GRAVITY_M_S2: f64 = 9.806_65;
