//! Water that is moved: what a pump needs before it.
//!
//! Owns: the suction side.
//!
//! Must not know: the station, makes of pumps.

pub mod suction;
