//! Tubes by nominal size: the true bore, the outer diameter, the roughness.
//!
//! Owns: the kinds of tube that small stations are built from, the sizes in which each is known.
//!
//! Must not know: who makes them, what runs through them.
//!
//! A nominal size is a name, not a measure: the bore of a half-inch pipe is 15.8 mm, that of a half-inch push-fit
//! tube 9.5 mm. A tube that isn't here is measured.

mod hose;
mod kind;
mod lookup;
mod pipe;
mod push_fit;
mod size;

pub use kind::TubeKind;
pub(super) use lookup::names_of;
pub use lookup::{Tube, find_tube, known_tubes};
