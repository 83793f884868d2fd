//! The depth of water that keeps an outlet from drawing air through a vortex.
//!
//! The rule is written for the intakes of pumps. Bulkhead outlets in the wall of a vessel are taken by analogy, the depth
//! measured to their centre: no test of such small outlets stands behind it.

use super::error::SuctionError;
use super::limits::{BORE, GRAVITY_M_S2, HEIGHT, VELOCITY};
use crate::{OutOfRange, Range};
use std::f64::consts::PI;

/// Growth of the depth with the Froude number.
const GROWTH: f64 = 2.3;

/// Depths of household vessels and some more.
const SUBMERGENCE: Range = Range {
    quantity: "water above the outlet",
    unit: "m",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Returns the Froude number of the flow in an outlet or a tube: `V/√(g·D)`.
///
/// # Arguments
/// * `velocity_m_s`: mean velocity, V, `0..=20`.
/// * `bore_m`: D, `1e-3..=0.5`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION.
pub fn froude_number(velocity_m_s: f64, bore_m: f64) -> Result<f64, OutOfRange> {
    let velocity_m_s = VELOCITY.require(velocity_m_s)?;
    Ok(velocity_m_s / (GRAVITY_M_S2 * BORE.require(bore_m)?).sqrt())
}

/// Returns the least depth of water above an outlet without an air-drawing vortex, in m: `D·(1 + 2.3·V/√(g·D))`.
///
/// # Arguments
/// * `bore_m`: of the opening into the vessel, D, `1e-3..=0.5`.
/// * `velocity_m_s`: mean velocity in that opening, V, `0..=20`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ANSI-HI-98`, by analogy for outlets in a wall.
///
/// # Examples
/// ```
/// let depth_m = physics::hydraulics::suction::least_submergence_m(0.070, 0.275_854)?;
/// assert!((depth_m - 0.1236).abs() < 1e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn least_submergence_m(bore_m: f64, velocity_m_s: f64) -> Result<f64, OutOfRange> {
    Ok(bore_m * (1.0 + GROWTH * froude_number(velocity_m_s, bore_m)?))
}

/// Returns the lowest level to draw a vessel down to, in m: the outlet's centre and [`least_submergence_m`] above it.
///
/// # Arguments
/// * `outlet_m`: height of the outlet's centre, `-100..=100`.
/// * `bore_m`, `velocity_m_s`: as there.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`least_submergence_m`].
pub fn least_level_m(outlet_m: f64, bore_m: f64, velocity_m_s: f64) -> Result<f64, OutOfRange> {
    Ok(HEIGHT.require(outlet_m)? + least_submergence_m(bore_m, velocity_m_s)?)
}

/// Returns the greatest flow without an air-drawing vortex, in m³/s: [`least_submergence_m`] solved for the flow.
///
/// # Arguments
/// * `bore_m`: D, `1e-3..=0.5`.
/// * `submergence_m`: water above the outlet's centre, S, `0..=100`.
///
/// # Errors
/// [`SuctionError::TooShallow`] for a depth of one bore or less; [`SuctionError::OutOfRange`], also for a flow that would
/// pass 20 m/s.
///
/// # Source
/// As [`least_submergence_m`].
pub fn greatest_flow_m3_s(bore_m: f64, submergence_m: f64) -> Result<f64, SuctionError> {
    let bore_m = BORE.require(bore_m)?;
    let submergence_m = SUBMERGENCE.require(submergence_m)?;
    if submergence_m <= bore_m {
        return Err(SuctionError::TooShallow {
            submergence_m,
            bore_m,
        });
    }
    let froude = (submergence_m / bore_m - 1.0) / GROWTH;
    let velocity_m_s = VELOCITY.require(froude * (GRAVITY_M_S2 * bore_m).sqrt())?;
    Ok(velocity_m_s * PI / 4.0 * bore_m * bore_m)
}
