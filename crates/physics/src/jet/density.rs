//! A jet against a difference of density: fresh water into brine, or brine into fresh water.

use super::error::JetError;
use super::limits::{DENSITY, DISTANCE, GRAVITY_M_S2};
use super::nozzle::Nozzle;
use std::f64::consts::FRAC_PI_4;

/// Reach of a jet turned back by its weight or lift, in bores per densimetric Froude number: `2.46/√2`, 2.46 being
/// per radius and with the Froude number of the radius (`TURNER-1966`).
const REACH: f64 = 1.739_5;
/// Below it a jet is a weak fountain, with other laws. House rule, within what is told of the change.
const LEAST_FROUDE: f64 = 3.0;
/// Doubt of a reach, a share. House rule: constants in the literature differ by about so much (from memory).
const REACH_DOUBT: f64 = 0.2;

/// Whether a jet gets where it is meant to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AgainstDensity {
    /// It gets there, the doubt allowed for.
    Through,
    /// It may.
    InDoubt,
    /// It turns back before.
    TurnsBack,
}

/// A jet that density works against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpposedJet {
    /// Densimetric Froude number.
    pub froude: f64,
    /// How far it gets, m, to ±20 %.
    pub reach_m: f64,
    /// Whether that is far enough.
    pub outcome: AgainstDensity,
}

/// Returns the densimetric Froude number of a jet: `U/√(g·d·|Δρ|/ρ)`, ρ that of the water in the vessel.
///
/// # Arguments
/// * `nozzle`: the jet.
/// * `jet_kg_m3`, `vessel_kg_m3`: densities, `950..=1250`.
///
/// # Errors
/// [`JetError::EqualDensities`], [`JetError::OutOfRange`].
///
/// # Source
/// DEFINITION; `FOSSETT-PROSSER-1949` found a modified one of these to decide between mixing and layers.
pub fn densimetric_froude(nozzle: &Nozzle, jet_kg_m3: f64, vessel_kg_m3: f64) -> Result<f64, JetError> {
    let speed_m_s = nozzle.speed_m_s()?;
    let jet = DENSITY.require(jet_kg_m3)?;
    let vessel = DENSITY.require(vessel_kg_m3)?;
    let difference = (jet - vessel).abs();
    // A microgram in a litre: below it the reach is beyond any vessel, and the number beyond meaning.
    if difference < 1e-6 {
        return Err(JetError::EqualDensities {
            density_kg_m3: vessel,
        });
    }
    Ok(speed_m_s / (GRAVITY_M_S2 * nozzle.bore_m * difference / vessel).sqrt())
}

/// Returns how far a vertical jet gets against its weight or lift, m: `1.74·d·Fr`. Fresh water blown down into brine,
/// or brine blown up into fresh water; the two are alike where densities differ little.
///
/// # Arguments
/// As [`densimetric_froude`].
///
/// # Errors
/// [`JetError::SpillsBeforeItMixes`] below a Froude number of 3; those of [`densimetric_froude`].
///
/// # Source
/// `TURNER-1966`, the height at which such a fountain stays, from memory; its first burst goes 1.4 times as far.
///
/// # Examples
/// ```
/// use physics::jet::{Nozzle, opposed_reach_m};
///
/// // Fresh water down into sea water: a hand's breadth for a slow pump, more than a metre for a good one.
/// let slow = Nozzle { flow_m3_s: 1e-4, bore_m: 0.02 };
/// let fast = Nozzle { flow_m3_s: 4e-4, bore_m: 0.013 };
/// assert!((opposed_reach_m(&slow, 998.0, 1025.0)? - 0.154).abs() < 0.001);
/// assert!((opposed_reach_m(&fast, 998.0, 1025.0)? - 1.176).abs() < 0.005);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn opposed_reach_m(nozzle: &Nozzle, jet_kg_m3: f64, vessel_kg_m3: f64) -> Result<f64, JetError> {
    let froude = densimetric_froude(nozzle, jet_kg_m3, vessel_kg_m3)?;
    if froude < LEAST_FROUDE {
        return Err(JetError::SpillsBeforeItMixes {
            froude,
            least_froude: LEAST_FROUDE,
        });
    }
    Ok(REACH * nozzle.bore_m * froude)
}

/// Returns whether a vertical jet gets over a distance against its weight or lift.
///
/// # Arguments
/// As [`densimetric_froude`], and `distance_m`, `1e-3..=30`: to the surface upwards, to the floor downwards.
///
/// # Errors
/// As [`opposed_reach_m`].
///
/// # Source
/// As [`opposed_reach_m`]; the doubt of ±20 % is a house rule.
pub fn opposed_jet(
    nozzle: &Nozzle,
    jet_kg_m3: f64,
    vessel_kg_m3: f64,
    distance_m: f64,
) -> Result<OpposedJet, JetError> {
    let distance_m = DISTANCE.require(distance_m)?;
    let reach_m = opposed_reach_m(nozzle, jet_kg_m3, vessel_kg_m3)?;
    let outcome = if reach_m * (1.0 - REACH_DOUBT) >= distance_m {
        AgainstDensity::Through
    } else if reach_m * (1.0 + REACH_DOUBT) < distance_m {
        AgainstDensity::TurnsBack
    } else {
        AgainstDensity::InDoubt
    };
    Ok(OpposedJet {
        froude: densimetric_froude(nozzle, jet_kg_m3, vessel_kg_m3)?,
        reach_m,
        outcome,
    })
}

/// Returns the distance after which a jet's own momentum no longer rules it, m: `(π/4)^¼·d·Fr`. A level jet of fresh
/// water runs straight for about so far, then rises as a plume; one of brine falls.
///
/// # Arguments
/// As [`densimetric_froude`].
///
/// # Errors
/// As [`densimetric_froude`].
///
/// # Source
/// `FISCHER-1979`: `M^(3/4)/B^(1/2)`, M = Q·U the momentum and B = Q·g·Δρ/ρ the lift, from memory.
pub fn jet_length_scale_m(nozzle: &Nozzle, jet_kg_m3: f64, vessel_kg_m3: f64) -> Result<f64, JetError> {
    let froude = densimetric_froude(nozzle, jet_kg_m3, vessel_kg_m3)?;
    Ok(FRAC_PI_4.sqrt().sqrt() * nozzle.bore_m * froude)
}
