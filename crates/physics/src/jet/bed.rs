//! Whether a jet along the floor keeps undissolved salt moving.

use super::error::JetError;
use super::grain::{Grain, Liquid, settling_speed_m_s};
use super::limits::GRAVITY_M_S2;
use super::nozzle::{Nozzle, SpeedBounds, floor_speed_m_s};
use crate::Range;
use libm::{cbrt, exp};

/// From silt to gravel, which the curve was drawn through (from memory).
const GRAIN_NUMBER: Range = Range {
    quantity: "dimensionless size of the grain",
    unit: "",
    min: 0.1,
    max: 1000.0,
    source_key: "SOULSBY-1997",
};

/// Skin friction under a jet along a wall, `2·τ/(ρ·u²)`, its bounds. House rule: `SIGALLA-1958` gives 0.0565 by the
/// fourth root of a Reynolds number of 10³ to 10⁴, 0.010 to 0.006; grains make a floor rougher than his was, and a
/// jet that isn't pressed to the floor rubs less.
const FRICTION_LOW: f64 = 0.004;
const FRICTION_HIGH: f64 = 0.012;

/// What undissolved salt does under a stream.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SaltOnFloor {
    /// It stays where it fell.
    LiesStill,
    /// It may or may not move.
    InDoubt,
    /// It rolls and hops along.
    Rolls,
    /// It is carried off the floor.
    Suspended,
}

/// A grain on the floor at some distance from a nozzle that points along the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorTransport {
    /// Speed of the stream there.
    pub speed: SpeedBounds,
    /// Friction speed there, √(τ/ρ).
    pub friction_speed: SpeedBounds,
    /// Friction speed at which grains begin to move, m/s.
    pub to_move_m_s: f64,
    /// Speed at which the grain sinks, m/s; a friction speed above it keeps the grain up.
    pub settling_m_s: f64,
    /// What follows.
    pub verdict: SaltOnFloor,
}

/// How far from the nozzle grains move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloorReach {
    /// Up to here they move by the lower bounds, m.
    pub surely_m: f64,
    /// Beyond here they don't by the upper bounds, m.
    pub perhaps_m: f64,
}

/// Returns the Shields number at which grains of this size begin to move:
/// `0.30/(1 + 1.2·D*) + 0.055·(1 − exp(−0.020·D*))`, `D* = D·(R·g/ν²)^⅓`.
///
/// # Errors
/// [`JetError::GrainFloats`]; [`JetError::OutOfRange`], also for D* outside 0.1 to 1000.
///
/// # Source
/// `SOULSBY-1997`. A curve through much scatter, for level beds of loose grains: single grains on a smooth floor move
/// sooner, caked salt doesn't move at all.
pub fn critical_shields(grain: &Grain, liquid: &Liquid) -> Result<f64, JetError> {
    let (diameter_m, _) = grain.require()?;
    let (_, kinematic) = liquid.require()?;
    let submerged = grain.submerged(liquid)?;
    let size = diameter_m * cbrt(submerged * GRAVITY_M_S2 / (kinematic * kinematic));
    let size = GRAIN_NUMBER.require(size)?;
    Ok(0.30 / (1.0 + 1.2 * size) + 0.055 * (1.0 - exp(-0.020 * size)))
}

/// Returns the friction speed at which grains begin to move, m/s: `√(θ·R·g·D)`.
///
/// # Errors
/// As [`critical_shields`].
///
/// # Source
/// DEFINITION of the Shields number, θ by [`critical_shields`].
pub fn shear_speed_to_move_m_s(grain: &Grain, liquid: &Liquid) -> Result<f64, JetError> {
    let shields = critical_shields(grain, liquid)?;
    Ok((shields * grain.submerged(liquid)? * GRAVITY_M_S2 * grain.diameter_m).sqrt())
}

/// Returns what undissolved salt does on the floor, at a distance from a nozzle that points along it.
///
/// On the line of the jet. In the corners, and behind the nozzle, the floor sees less.
///
/// # Arguments
/// * `nozzle`: the jet.
/// * `grain`, `liquid`: salt and water.
/// * `distance_m`: from the nozzle, `1e-3..=30`.
///
/// # Errors
/// As [`critical_shields`], and [`JetError::OutOfRange`] for the jet.
///
/// # Source
/// [`floor_speed_m_s`] with skin friction of 0.004 to 0.012 (house rule); motion by [`critical_shields`], suspension
/// where the friction speed exceeds the settling speed (`BAGNOLD-1966`, from memory). The verdict is honest to a
/// factor of about 2 in speed; between its bounds it says that it is in doubt.
///
/// # Examples
/// ```
/// use physics::jet::{Grain, GrainShape, Liquid, Nozzle, SaltOnFloor, floor_transport};
///
/// let water = Liquid { density_kg_m3: 1000.0, viscosity_pa_s: 1e-3 };
/// let salt = Grain { diameter_m: 1e-3, density_kg_m3: 2165.0, shape: GrainShape::Natural };
/// let pump = Nozzle { flow_m3_s: 25e-3 / 60.0, bore_m: 0.013 };
/// assert_eq!(floor_transport(&pump, &salt, &water, 0.5)?.verdict, SaltOnFloor::Rolls);
/// assert_eq!(floor_transport(&pump, &salt, &water, 5.0)?.verdict, SaltOnFloor::LiesStill);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn floor_transport(
    nozzle: &Nozzle,
    grain: &Grain,
    liquid: &Liquid,
    distance_m: f64,
) -> Result<FloorTransport, JetError> {
    let speed = floor_speed_m_s(nozzle, distance_m)?;
    let friction_speed = SpeedBounds {
        low_m_s: speed.low_m_s * (FRICTION_LOW / 2.0).sqrt(),
        high_m_s: speed.high_m_s * (FRICTION_HIGH / 2.0).sqrt(),
    };
    let to_move_m_s = shear_speed_to_move_m_s(grain, liquid)?;
    let settling_m_s = settling_speed_m_s(grain, liquid)?;
    let verdict = if friction_speed.high_m_s < to_move_m_s {
        SaltOnFloor::LiesStill
    } else if friction_speed.low_m_s < to_move_m_s {
        SaltOnFloor::InDoubt
    } else if friction_speed.low_m_s < settling_m_s {
        SaltOnFloor::Rolls
    } else {
        SaltOnFloor::Suspended
    };
    Ok(FloorTransport {
        speed,
        friction_speed,
        to_move_m_s,
        settling_m_s,
        verdict,
    })
}

/// Returns how far from a nozzle that points along the floor grains are moved, by the lower and the upper bounds; 0
/// where the jet is too slow in its core already.
///
/// # Errors
/// As [`floor_transport`].
///
/// # Source
/// [`floor_transport`] solved for distance.
pub fn floor_reach(nozzle: &Nozzle, grain: &Grain, liquid: &Liquid) -> Result<FloorReach, JetError> {
    let to_move_m_s = shear_speed_to_move_m_s(grain, liquid)?;
    // The core has ended 9 bores from the nozzle at the latest.
    let far_m = 20.0 * nozzle.bore_m;
    let far = floor_speed_m_s(nozzle, far_m)?;
    let core_m_s = nozzle.speed_m_s()?;
    let reach = |far_speed: f64, friction: f64| {
        let needed_m_s = to_move_m_s / (friction / 2.0).sqrt();
        if needed_m_s > core_m_s {
            0.0
        } else {
            far_speed * far_m / needed_m_s
        }
    };
    Ok(FloorReach {
        surely_m: reach(far.low_m_s, FRICTION_LOW),
        perhaps_m: reach(far.high_m_s, FRICTION_HIGH),
    })
}
