//! Why a shape, a level or an amount was refused.

use crate::OutOfRange;

/// What is wrong with the dimensions of a vessel.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ShapeError {
    /// A length that is negative, zero, absurdly large or not a number.
    #[error("{place}: {reason}")]
    Dimension {
        /// Which dimension, by its name in [`Dimensions`](super::Dimensions).
        place: &'static str,
        /// Value and limits.
        reason: OutOfRange,
    },
    /// The cone reaches above the rim.
    #[error("cone_height_m: the cone is {cone_height_m} m high, the whole vessel only {height_m} m")]
    ConeAboveRim {
        /// Height of the cone.
        cone_height_m: f64,
        /// Height of floor to rim.
        height_m: f64,
    },
    /// The cone's outlet is wider than the vessel, or negative.
    #[error("cone_outlet_diameter_m: {outlet_diameter_m} m does not fit a vessel {diameter_m} m wide")]
    ConeOutlet {
        /// Diameter where the cone ends at the bottom.
        outlet_diameter_m: f64,
        /// Diameter of the vessel.
        diameter_m: f64,
    },
    /// A measured table without a single filled level.
    #[error("table: no row above level 0")]
    TableEmpty,
    /// A measured table whose level 0 holds something.
    #[error("table row {row}: level 0 holds {volume_m3} m³")]
    TableFloorNotEmpty {
        /// Row, the first being 1.
        row: usize,
        /// Volume given for level 0.
        volume_m3: f64,
    },
    /// A row of a measured table that lies outside what a vessel can be.
    #[error("table row {row}: {reason}")]
    TableValue {
        /// Row, the first being 1.
        row: usize,
        /// Value and limits.
        reason: OutOfRange,
    },
    /// A row of a measured table whose level doesn't rise above the row before.
    #[error("table row {row}: level {level_m} m does not rise above the {previous_m} m of the row before")]
    TableLevelNotRising {
        /// Row, the first being 1.
        row: usize,
        /// Its level.
        level_m: f64,
        /// Level of the row before.
        previous_m: f64,
    },
    /// A row of a measured table whose volume doesn't rise above the row before.
    #[error(
        "table row {row}: volume {volume_m3} m³ does not rise above the {previous_m3} m³ of the row before"
    )]
    TableVolumeNotRising {
        /// Row, the first being 1.
        row: usize,
        /// Its volume.
        volume_m3: f64,
        /// Volume of the row before.
        previous_m3: f64,
    },
}

impl ShapeError {
    /// Name of the dimension at fault, as in [`Dimensions`](super::Dimensions); `"table"` for a table.
    pub fn place(&self) -> &'static str {
        match self {
            Self::Dimension { place, .. } => place,
            Self::ConeAboveRim { .. } => "cone_height_m",
            Self::ConeOutlet { .. } => "cone_outlet_diameter_m",
            Self::TableEmpty
            | Self::TableFloorNotEmpty { .. }
            | Self::TableValue { .. }
            | Self::TableLevelNotRising { .. }
            | Self::TableVolumeNotRising { .. } => "table",
        }
    }

    /// Row of the table at fault, the first being 1.
    pub fn row(&self) -> Option<usize> {
        match self {
            Self::TableFloorNotEmpty { row, .. }
            | Self::TableValue { row, .. }
            | Self::TableLevelNotRising { row, .. }
            | Self::TableVolumeNotRising { row, .. } => Some(*row),
            Self::Dimension { .. }
            | Self::ConeAboveRim { .. }
            | Self::ConeOutlet { .. }
            | Self::TableEmpty => None,
        }
    }

    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::Dimension { .. } => "measure the inside again, and check the unit",
            Self::ConeAboveRim { .. } => {
                "give the height of the whole vessel, from the cone's outlet to the rim"
            }
            Self::ConeOutlet { .. } => "give the inner width at the lower end of the cone, 0 for a point",
            Self::TableEmpty => "add the measured levels with the volume each holds, the last at the rim",
            Self::TableFloorNotEmpty { .. } => {
                "measure levels from the lowest point of the inner floor, where the vessel is empty"
            }
            Self::TableValue { .. } => "check the row, and the unit of its column",
            Self::TableLevelNotRising { .. } | Self::TableVolumeNotRising { .. } => {
                "put the rows in order, each higher and fuller than the one before; drop rows given twice"
            }
        }
    }
}

/// A level or an amount that the vessel cannot hold.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LevelError {
    /// Level above the rim: the vessel would run over.
    #[error("a level of {level_m} m is above the rim at {rim_m} m")]
    AboveRim {
        /// The level.
        level_m: f64,
        /// Height of the rim.
        rim_m: f64,
    },
    /// Level below the lowest point of the floor.
    #[error("a level of {level_m} m is below the floor")]
    BelowFloor {
        /// The level.
        level_m: f64,
    },
    /// More than the vessel holds when brim-full.
    #[error("{volume_m3} m³ do not fit into {full_m3} m³")]
    MoreThanFull {
        /// The amount.
        volume_m3: f64,
        /// What fits in, brim-full.
        full_m3: f64,
    },
    /// Less than nothing.
    #[error("{volume_m3} m³ are less than nothing")]
    LessThanEmpty {
        /// The amount.
        volume_m3: f64,
    },
    /// Not a number.
    #[error("not a number")]
    NotANumber,
}

/// Why a formula on plain numbers refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum VesselError {
    /// The dimensions are at fault.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The level or the amount is at fault.
    #[error(transparent)]
    Level(#[from] LevelError),
}
