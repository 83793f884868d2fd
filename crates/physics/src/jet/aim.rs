//! Where a jet points, and how far it runs before it meets wall, floor or surface.

use super::error::JetError;
use crate::{OutOfRange, Range};
use libm::{atan2, cos, hypot, sin};
use std::f64::consts::PI;

/// A beaker up to a water tower.
const DIAMETER: Range = Range {
    quantity: "diameter of the vessel",
    unit: "m",
    min: 0.05,
    max: 20.0,
    source_key: "HOUSE-RULE",
};
const DEPTH: Range = Range {
    quantity: "depth of the water",
    unit: "m",
    min: 0.02,
    max: 20.0,
    source_key: "HOUSE-RULE",
};
const VOLUME: Range = Range {
    quantity: "volume",
    unit: "m³",
    min: 1e-5,
    max: 6300.0,
    source_key: "HOUSE-RULE",
};
const ELEVATION: Range = Range {
    quantity: "elevation of the jet",
    unit: "°",
    min: -90.0,
    max: 90.0,
    source_key: "DEFINITION",
};
const HEIGHT: Range = Range {
    quantity: "height of the nozzle",
    unit: "m",
    min: 0.0,
    max: 20.0,
    source_key: "HOUSE-RULE",
};

/// The water in a round vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StirredVessel {
    /// Inner diameter, T, `0.05..=20` m.
    pub diameter_m: f64,
    /// Depth of the water, H, `0.02..=20` m; not the height of the vessel.
    pub depth_m: f64,
}

impl StirredVessel {
    /// The round vessel of the same volume and depth, for boxes and tapered drums: `T = √(4·V/(π·H))`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a volume outside `1e-5..=6300` m³ and where diameter or depth leave their range.
    ///
    /// # Source
    /// House rule: a box has corners that a round vessel has not; look there with the second reading.
    pub fn of_volume(volume_m3: f64, depth_m: f64) -> Result<Self, OutOfRange> {
        let depth_m = DEPTH.require(depth_m)?;
        let diameter_m = DIAMETER.require((4.0 * VOLUME.require(volume_m3)? / (PI * depth_m)).sqrt())?;
        Ok(Self { diameter_m, depth_m })
    }

    /// Volume of the water, m³.
    ///
    /// # Errors
    /// [`OutOfRange`] for diameter and depth.
    pub fn volume_m3(&self) -> Result<f64, OutOfRange> {
        let (diameter_m, depth_m) = self.require()?;
        Ok(PI / 4.0 * diameter_m * diameter_m * depth_m)
    }

    pub(super) fn require(&self) -> Result<(f64, f64), OutOfRange> {
        Ok((DIAMETER.require(self.diameter_m)?, DEPTH.require(self.depth_m)?))
    }
}

/// How the nozzle points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// From the wall at the floor to where the opposite wall meets the surface: the longest path there is.
    Diagonal,
    /// Along the vertical axis, from the floor to the surface or down from there.
    Axial,
    /// From a nozzle at the wall, through the axis, at an elevation.
    Inclined {
        /// Height over the floor, from 0 to the depth of the water.
        nozzle_height_m: f64,
        /// Elevation of the jet, `−90..=90` °; negative downwards.
        above_horizontal_deg: f64,
    },
}

/// The straight line that a jet runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JetPath {
    /// Length to the first wall, floor or surface, Z, m.
    pub length_m: f64,
    /// Elevation, °; negative downwards.
    pub above_horizontal_deg: f64,
}

/// Returns the path of a jet up to the first thing it meets.
///
/// # Errors
/// [`JetError::NozzleDry`], [`JetError::NoPath`], [`JetError::OutOfRange`].
///
/// # Source
/// `GEOMETRY`. That the longest path mixes best is told of side entry and axial jets alike (a preprint of 2023, read
/// in public).
///
/// # Examples
/// ```
/// use physics::jet::{Aim, StirredVessel, jet_path};
///
/// let drum = StirredVessel { diameter_m: 0.56, depth_m: 0.8 };
/// let path = jet_path(&drum, &Aim::Diagonal)?;
/// assert!((path.length_m - 0.977).abs() < 0.001 && (path.above_horizontal_deg - 55.0).abs() < 0.1);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn jet_path(vessel: &StirredVessel, aim: &Aim) -> Result<JetPath, JetError> {
    let (diameter_m, depth_m) = vessel.require()?;
    Ok(match *aim {
        Aim::Diagonal => JetPath {
            length_m: hypot(diameter_m, depth_m),
            above_horizontal_deg: atan2(depth_m, diameter_m) * 180.0 / PI,
        },
        Aim::Axial => JetPath {
            length_m: depth_m,
            above_horizontal_deg: 90.0,
        },
        Aim::Inclined {
            nozzle_height_m,
            above_horizontal_deg,
        } => {
            let nozzle_height_m = HEIGHT.require(nozzle_height_m)?;
            let above_horizontal_deg = ELEVATION.require(above_horizontal_deg)?;
            if nozzle_height_m > depth_m {
                return Err(JetError::NozzleDry {
                    nozzle_height_m,
                    depth_m,
                });
            }
            let length_m = inclined_length_m(diameter_m, depth_m, nozzle_height_m, above_horizontal_deg);
            if length_m <= 0.0 {
                return Err(JetError::NoPath {
                    nozzle_height_m,
                    above_horizontal_deg,
                });
            }
            JetPath {
                length_m,
                above_horizontal_deg,
            }
        }
    })
}

fn inclined_length_m(diameter_m: f64, depth_m: f64, height_m: f64, above_horizontal_deg: f64) -> f64 {
    let angle = above_horizontal_deg * PI / 180.0;
    let (rise, run) = (sin(angle), cos(angle));
    // Straight up or down, cos is 6e-17: the wall is then 10^15 m away, and floor or surface come first.
    let to_wall = diameter_m / run.max(f64::MIN_POSITIVE);
    if rise > 0.0 {
        to_wall.min((depth_m - height_m) / rise)
    } else if rise < 0.0 {
        to_wall.min(height_m / -rise)
    } else {
        to_wall
    }
}
