//! How water behaves: pure functions of SI numbers.
//!
//! Owns: the correlations for sea water and for fresh water with its carbonate, what instruments read in them, the
//! geometry of vessels, the mass balance of mixing and dilution, membranes, resin, carbon and filters, tubes with
//! their fittings, valves and pumps, networks of them, the heat of a vessel and its mixing by a jet, evaporation, faults
//! that coincide, the numerical and statistical tools they need. Every correlation states its source and its range, and
//! refuses outside it.
//!
//! Must not know: files, text with units, the station, clocks, randomness without a given seed.
//!
//! Units: SI, carried in the name (`level_m`). Temperatures in degrees Celsius on ITS-90 (`_c`), because
//! every source tabulates them so; practical salinity has no unit.
//!
//! Determinism: `+ - * / sqrt` and `libm` only, so that the same input gives the same bytes everywhere.

pub mod carbon;
pub mod carbonate;
pub mod dilution;
pub mod evaporation;
pub mod freshwater;
pub mod heat;
pub mod hydraulics;
pub mod instrument;
pub mod jet;
pub mod membrane;
pub mod mixing;
pub mod numerics;
mod range;
pub mod reliability;
pub mod resin;
pub mod seawater;
pub mod sediment;
pub mod stats;
pub mod vessel;

pub use range::{OutOfRange, Range};
