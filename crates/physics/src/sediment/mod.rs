//! Filters that hold back dirt: the pressure they cost, clean and loaded, and what a fall of output comes from.
//!
//! Owns: the cake on a surface (pressure at a given flow, the straight line at a given pressure), cartridges with
//! depth (resistance when clean, growth fitted to two readings, water to a limit), and the parts of a fall of
//! output.
//!
//! Must not know: the membrane (what temperature does to its output comes as a number), grades and makes of
//! filters.
//!
//! Laminar flow through the medium: pressure goes with flow and with viscosity. The housing's own loss goes with
//! the square of flow and isn't counted.

mod cake;
mod cartridge;
mod diagnosis;
mod error;

pub use cake::{Cake, ConstantPressureLine, cake_pressure_drop_pa, constant_pressure_line};
pub use cartridge::{
    DropReading, Growth, cartridge_resistance_pa_s_m3, fit_growth, loaded_drop_pa, volume_to_limit_m3,
};
pub use diagnosis::{Cause, NOTICEABLE_FALL, OutputFall, StationReading, diagnose, output_fall};
pub use error::SedimentError;
