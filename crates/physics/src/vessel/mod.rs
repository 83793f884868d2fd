//! The inside of a vessel: how much is in it at a level, and how high an amount stands.
//!
//! Owns: the shapes vessels come in, the checks of their dimensions, volume against level and back, the free
//! surface (where air is met, and how fast the level moves), the horizontal room taken.
//!
//! Must not know: walls, lids, fittings, what the vessel holds, what it is for. Every length is an inner one,
//! every level is measured upwards from the lowest point of the inner floor.
//!
//! A [`Shape`] is valid by construction, so that a level inside it always has a volume. The functions named
//! after a shape (`volume_tapered_round_m3`) are the same formulas on plain numbers, checked at each call.

mod boxes;
mod check;
mod cone_bottom;
mod dimensions;
mod error;
mod lying;
mod round;
mod shape;
mod table;

pub use boxes::{level_box_m, level_tapered_box_m, volume_box_m3, volume_tapered_box_m3};
pub use check::{DIMENSION_RANGE, VOLUME_RANGE};
pub use cone_bottom::{level_cone_bottom_m, volume_cone_bottom_m3};
pub use dimensions::{Dimensions, TableRow};
pub use error::{LevelError, ShapeError, VesselError};
pub use lying::{level_horizontal_cylinder_m, volume_horizontal_cylinder_m3};
pub use round::{level_cylinder_m, level_tapered_round_m, volume_cylinder_m3, volume_tapered_round_m3};
pub use shape::Shape;
