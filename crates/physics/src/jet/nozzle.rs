//! The jet behind a nozzle: speed, Reynolds number, momentum, and how it slows.

use super::limits::{BORE, DISTANCE, FLOW, KINEMATIC_VISCOSITY};
use crate::{OutOfRange, Range};
use std::f64::consts::{FRAC_PI_4, SQRT_2};

/// Speeds a small pump can make; 30 m/s takes 4.5 bar.
const SPEED: Range = Range {
    quantity: "speed in the nozzle",
    unit: "m/s",
    min: 1e-3,
    max: 30.0,
    source_key: "HOUSE-RULE",
};

/// Speed on the axis of a round jet, in nozzle speeds, at a distance in bores: `6.3·d/x` (`RAJARATNAM-1976`).
const FREE_DECAY: f64 = 6.3;

/// A round opening through which a pump returns water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nozzle {
    /// Flow, Q, `1e-7..=0.1` m³/s.
    pub flow_m3_s: f64,
    /// Inner diameter, d, `1e-3..=0.2` m.
    pub bore_m: f64,
}

impl Nozzle {
    /// Returns the mean speed in the nozzle, U, m/s: `Q/(π/4·d²)`.
    ///
    /// # Errors
    /// [`OutOfRange`] for flow and bore, and for a speed outside 0.001 to 30 m/s.
    ///
    /// # Examples
    /// ```
    /// let nozzle = physics::jet::Nozzle { flow_m3_s: 25e-3 / 60.0, bore_m: 0.013 };
    /// assert!((nozzle.speed_m_s()? - 3.14).abs() < 0.005);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn speed_m_s(&self) -> Result<f64, OutOfRange> {
        let bore_m = BORE.require(self.bore_m)?;
        SPEED.require(FLOW.require(self.flow_m3_s)? / (FRAC_PI_4 * bore_m * bore_m))
    }

    /// Returns the jet's Reynolds number: `U·d/ν`, ν `3e-7..=5e-6` m²/s.
    ///
    /// # Errors
    /// As [`speed_m_s`](Self::speed_m_s), and for the viscosity.
    pub fn reynolds(&self, kinematic_viscosity_m2_s: f64) -> Result<f64, OutOfRange> {
        Ok(self.speed_m_s()? * self.bore_m / KINEMATIC_VISCOSITY.require(kinematic_viscosity_m2_s)?)
    }

    /// Returns `U·d`, m²/s, which is all that a mixing time knows of a nozzle: the root of momentum by density.
    ///
    /// # Errors
    /// As [`speed_m_s`](Self::speed_m_s).
    pub(super) fn speed_times_bore_m2_s(&self) -> Result<f64, OutOfRange> {
        Ok(self.speed_m_s()? * self.bore_m)
    }

    /// Returns the momentum that the jet carries by density, `Q·U`, m⁴/s². Mixing time goes with its root's inverse.
    ///
    /// # Errors
    /// As [`speed_m_s`](Self::speed_m_s).
    pub fn momentum_m4_s2(&self) -> Result<f64, OutOfRange> {
        Ok(self.flow_m3_s * self.speed_m_s()?)
    }
}

/// A speed of which only the bounds are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedBounds {
    /// Lower bound.
    pub low_m_s: f64,
    /// Upper bound.
    pub high_m_s: f64,
}

/// Returns the speed on the axis of a jet in open water, m/s: U in the core, then `6.3·U·d/x`.
///
/// # Arguments
/// * `nozzle`: the jet.
/// * `distance_m`: from the nozzle, x, `1e-3..=30`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `RAJARATNAM-1976`. For turbulent jets; the constant is given between 5.8 and 6.5 elsewhere (from memory).
pub fn axis_speed_m_s(nozzle: &Nozzle, distance_m: f64) -> Result<f64, OutOfRange> {
    decayed(nozzle, distance_m, FREE_DECAY)
}

/// Returns the greatest speed over the floor, m/s, of a jet aimed along it: between `6.3·U·d/x` and `√2` of that.
///
/// Own derivation of the upper bound: a floor without friction is a mirror, so that the jet is half of one with
/// twice the momentum, and speed goes with the root of momentum. Friction and the sideways spread of a jet along a
/// wall take some of it away; that they take no more than all of the gain is a house rule.
///
/// # Arguments
/// As [`axis_speed_m_s`].
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `RAJARATNAM-1976` for the free jet and for the fall with the inverse of distance; the bounds are ours.
pub fn floor_speed_m_s(nozzle: &Nozzle, distance_m: f64) -> Result<SpeedBounds, OutOfRange> {
    Ok(SpeedBounds {
        low_m_s: decayed(nozzle, distance_m, FREE_DECAY)?,
        high_m_s: decayed(nozzle, distance_m, FREE_DECAY * SQRT_2)?,
    })
}

fn decayed(nozzle: &Nozzle, distance_m: f64, decay: f64) -> Result<f64, OutOfRange> {
    let speed_m_s = nozzle.speed_m_s()?;
    let left = decay * nozzle.bore_m / DISTANCE.require(distance_m)?;
    // In the core the jet hasn't slowed yet.
    Ok(if left < 1.0 { speed_m_s * left } else { speed_m_s })
}
