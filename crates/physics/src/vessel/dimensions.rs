//! The shapes vessels come in, and the lengths that fix each.

use super::{check, cone_bottom::ConeBottom, error::ShapeError, table};

/// One measured row: this level holds this volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableRow {
    /// Level above the lowest point of the inner floor.
    pub level_m: f64,
    /// Volume below that level.
    pub volume_m3: f64,
}

/// The inner lengths of a vessel, as given. [`Shape::new`](super::Shape::new) checks them.
#[derive(Debug, Clone, PartialEq)]
pub enum Dimensions {
    /// Upright cylinder: a drum.
    Cylinder {
        /// Inner diameter.
        diameter_m: f64,
        /// From floor to rim.
        height_m: f64,
    },
    /// Round, and evenly wider or narrower towards the top: a bin, a bucket.
    TaperedRound {
        /// Inner diameter at the floor.
        diameter_bottom_m: f64,
        /// Inner diameter at the rim.
        diameter_top_m: f64,
        /// From floor to rim.
        height_m: f64,
    },
    /// Rectangular with upright sides.
    Box {
        /// Inner length.
        length_m: f64,
        /// Inner width.
        width_m: f64,
        /// From floor to rim.
        height_m: f64,
    },
    /// Rectangular with leaning sides; length and width each go evenly from floor to rim.
    TaperedBox {
        /// Inner length at the floor.
        length_bottom_m: f64,
        /// Inner width at the floor.
        width_bottom_m: f64,
        /// Inner length at the rim.
        length_top_m: f64,
        /// Inner width at the rim.
        width_top_m: f64,
        /// From floor to rim.
        height_m: f64,
    },
    /// A cylinder on its side, with flat ends.
    HorizontalCylinder {
        /// Inner diameter, which is also the height.
        diameter_m: f64,
        /// Inner length along the axis.
        length_m: f64,
    },
    /// Upright cylinder on a cone.
    ConeBottom {
        /// Inner diameter of the cylinder.
        diameter_m: f64,
        /// Height of the cone.
        cone_height_m: f64,
        /// Inner diameter where the cone ends at the bottom; 0 for a point.
        cone_outlet_diameter_m: f64,
        /// From the lower end of the cone to the rim.
        height_m: f64,
    },
    /// Any other shape, by measured rows, each higher and fuller than the one before. The last row is the rim.
    /// The empty vessel, level 0 and volume 0, needs no row.
    Table {
        /// The rows.
        rows: Vec<TableRow>,
    },
}

impl Dimensions {
    /// All that is wrong with these dimensions; empty when nothing is.
    pub fn faults(&self) -> Vec<ShapeError> {
        let lengths: &[(&'static str, f64)] = match *self {
            Self::Cylinder { diameter_m, height_m } => &[("diameter_m", diameter_m), ("height_m", height_m)],
            Self::TaperedRound {
                diameter_bottom_m,
                diameter_top_m,
                height_m,
            } => &[
                ("diameter_bottom_m", diameter_bottom_m),
                ("diameter_top_m", diameter_top_m),
                ("height_m", height_m),
            ],
            Self::Box {
                length_m,
                width_m,
                height_m,
            } => &[
                ("length_m", length_m),
                ("width_m", width_m),
                ("height_m", height_m),
            ],
            Self::TaperedBox {
                length_bottom_m,
                width_bottom_m,
                length_top_m,
                width_top_m,
                height_m,
            } => &[
                ("length_bottom_m", length_bottom_m),
                ("width_bottom_m", width_bottom_m),
                ("length_top_m", length_top_m),
                ("width_top_m", width_top_m),
                ("height_m", height_m),
            ],
            Self::HorizontalCylinder { diameter_m, length_m } => {
                &[("diameter_m", diameter_m), ("length_m", length_m)]
            }
            Self::ConeBottom {
                diameter_m,
                cone_height_m,
                cone_outlet_diameter_m,
                height_m,
            } => {
                return ConeBottom {
                    diameter_m,
                    cone_height_m,
                    cone_outlet_diameter_m,
                    height_m,
                }
                .faults()
                .collect();
            }
            Self::Table { ref rows } => return table::faults(rows),
        };
        lengths
            .iter()
            .filter_map(|&(place, value_m)| check::dimension(place, value_m).err())
            .collect()
    }
}
