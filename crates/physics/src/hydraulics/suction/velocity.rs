//! How fast water usually goes, before a pump and behind it.

use super::limits::{BORE, VELOCITY};
use crate::{OutOfRange, Range};
use std::f64::consts::PI;

/// Highest usual velocity on the suction side, m/s; common practice, no source.
pub const USUAL_SUCTION_M_S: f64 = 1.0;
/// Highest usual velocity behind a pump, in plastics, m/s; common practice, no source.
pub const USUAL_DISCHARGE_M_S: f64 = 2.0;

const FLOW: Range = Range {
    quantity: "flow",
    unit: "m³/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// Where a tube lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Before the pump.
    Suction,
    /// Behind it.
    Discharge,
}

/// How a velocity stands to the usual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum VelocityFinding {
    /// No faster than usual.
    Usual,
    /// Faster: more loss, more noise, a harder blow.
    Fast {
        /// Velocity by the highest usual one.
        ratio: f64,
    },
}

/// Returns the mean velocity in a tube, in m/s: `4·Q/(π·D²)`.
///
/// # Arguments
/// * `flow_m3_s`: Q, `0..=1`.
/// * `bore_m`: D, `1e-3..=0.5`.
///
/// # Errors
/// [`OutOfRange`], also for a velocity above 20 m/s.
///
/// # Source
/// GEOMETRY.
pub fn mean_velocity_m_s(flow_m3_s: f64, bore_m: f64) -> Result<f64, OutOfRange> {
    let bore_m = BORE.require(bore_m)?;
    VELOCITY.require(4.0 * FLOW.require(flow_m3_s)? / (PI * bore_m * bore_m))
}

/// Returns how a velocity stands to the usual of its place.
///
/// # Errors
/// [`OutOfRange`] for a velocity outside `0..=20` m/s.
///
/// # Source
/// [`USUAL_SUCTION_M_S`], [`USUAL_DISCHARGE_M_S`]: common practice, no source.
pub fn judge_velocity(place: Place, velocity_m_s: f64) -> Result<VelocityFinding, OutOfRange> {
    let usual_m_s = match place {
        Place::Suction => USUAL_SUCTION_M_S,
        Place::Discharge => USUAL_DISCHARGE_M_S,
    };
    let ratio = VELOCITY.require(velocity_m_s)? / usual_m_s;
    Ok(if ratio <= 1.0 {
        VelocityFinding::Usual
    } else {
        VelocityFinding::Fast { ratio }
    })
}
