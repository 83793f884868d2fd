//! The hole that stops a line from emptying its vessel backwards.
//!
//! A line whose end hangs in the water draws it back when the pump stops. A hole in it, under water while the pump runs, lets
//! air in as soon as the level has sunk to it. A hole that clogs doesn't.

use super::error::SuctionError;
use super::limits::HEIGHT;
use crate::{OutOfRange, Range};

const HOLE: Range = Range {
    quantity: "diameter of the hole",
    unit: "m",
    min: 1e-3,
    max: 0.1,
    source_key: "HOUSE-RULE",
};
const AREA: Range = Range {
    quantity: "area of the vessel",
    unit: "m²",
    min: 1e-4,
    max: 1e4,
    source_key: "HOUSE-RULE",
};

/// Heights between which the centre of the hole may lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoleHeights {
    /// Lower, and the vessel sinks below its lowest level, m.
    pub lowest_m: f64,
    /// Higher, and the hole sprays while the pump runs, m.
    pub highest_m: f64,
}

/// Returns between which heights the hole may lie.
///
/// The siphon is taken to break only when the hole is free to its lower edge, and to be quiet only when it's covered to its
/// upper.
///
/// # Arguments
/// * `usual_m`: level when the pump runs, `-100..=100`.
/// * `lowest_m`: level below which the vessel mustn't be drawn, `-100..=100`.
/// * `hole_m`: diameter of the hole, `1e-3..=0.1`.
///
/// # Errors
/// [`SuctionError::NoRoomForHole`] when the levels lie closer together than the hole is wide;
/// [`SuctionError::OutOfRange`].
///
/// # Source
/// GEOMETRY; that the hole lies under water above the lowest level is common practice, no source.
pub fn siphon_break_heights(usual_m: f64, lowest_m: f64, hole_m: f64) -> Result<HoleHeights, SuctionError> {
    let usual_m = HEIGHT.require(usual_m)?;
    let lowest_m = HEIGHT.require(lowest_m)?;
    let hole_m = HOLE.require(hole_m)?;
    let heights = HoleHeights {
        lowest_m: lowest_m + hole_m / 2.0,
        highest_m: usual_m - hole_m / 2.0,
    };
    if heights.lowest_m <= heights.highest_m {
        Ok(heights)
    } else {
        Err(SuctionError::NoRoomForHole {
            hole_m,
            lowest_m,
            usual_m,
        })
    }
}

/// Returns the water that goes back before the hole breaks the siphon, in m³; none when the level is below it already.
///
/// What the line itself holds comes on top.
///
/// # Arguments
/// * `area_m2`: of the vessel's surface, upright walls, `1e-4..=1e4`.
/// * `level_m`: when the pump stops, `-100..=100`.
/// * `hole_centre_m`: `-100..=100`.
/// * `hole_m`: its diameter, `1e-3..=0.1`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// GEOMETRY.
pub fn back_flow_m3(area_m2: f64, level_m: f64, hole_centre_m: f64, hole_m: f64) -> Result<f64, OutOfRange> {
    let area_m2 = AREA.require(area_m2)?;
    let free_at_m = HEIGHT.require(hole_centre_m)? - HOLE.require(hole_m)? / 2.0;
    let sinks_m = HEIGHT.require(level_m)? - free_at_m;
    Ok(if sinks_m > 0.0 { area_m2 * sinks_m } else { 0.0 })
}
