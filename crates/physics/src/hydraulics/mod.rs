//! Water that is moved: what a pump needs before it and does behind it.
//!
//! Owns: the suction side, what a pump does to water and tube.
//!
//! Must not know: the station, makes of pumps.

pub mod pump_effects;
pub mod suction;
