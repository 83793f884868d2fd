//! How long a jet takes to mix a vessel.

use super::aim::{Aim, JetPath, StirredVessel, jet_path};
use super::error::JetError;
use super::nozzle::Nozzle;
use crate::{OutOfRange, Range};
use libm::{log, log1p};
use std::f64::consts::FRAC_PI_4;

/// Below about 10⁴ a jet isn't fully turbulent and mixing times grow (from memory).
const JET_REYNOLDS: Range = Range {
    quantity: "Reynolds number of the jet",
    unit: "",
    min: 1e4,
    max: 1e7,
    source_key: "GRENVILLE-TILTON-1996",
};
const DEPTH_BY_DIAMETER: Range = Range {
    quantity: "depth by diameter",
    unit: "",
    min: 0.2,
    max: 3.0,
    source_key: "GRENVILLE-TILTON-1996",
};
/// Before 6 bores it is still a core; beyond a few hundred the jet is spent (common practice, no source: about 400).
const PATH_IN_BORES: Range = Range {
    quantity: "path of the jet in bores",
    unit: "",
    min: 6.0,
    max: 400.0,
    source_key: "COMMON-PRACTICE",
};

/// How near to the final mixture everywhere: a share, short of all.
pub const HOMOGENEITY: Range = Range {
    quantity: "homogeneity",
    unit: "",
    min: 0.0,
    max: 0.999_999,
    source_key: "HOUSE-RULE",
};

/// The same question by the three correlations, each to 95 % homogeneity where it says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlendTimes {
    /// By the turbulence at the end of the jet, to 95 %: [`turbulence_time_s`].
    pub turbulence_s: f64,
    /// By circulation, to 95 %, with T²·H: [`circulation_time_s`].
    pub circulation_s: f64,
    /// The same with the volume instead of T²·H, π/4 of it.
    pub circulation_by_volume_s: f64,
    /// By [`crossing_time_s`], "complete mixing"; for jets that cross the vessel, so not along its axis.
    pub crossing_s: Option<f64>,
}

impl BlendTimes {
    /// The shortest of them, s.
    pub fn shortest_s(&self) -> f64 {
        let jet = self.turbulence_s.min(self.circulation_by_volume_s);
        self.crossing_s.map_or(jet, |crossing_s| jet.min(crossing_s))
    }

    /// The longest of them, s; the one to wait for.
    pub fn longest_s(&self) -> f64 {
        let jet = self.turbulence_s.max(self.circulation_s);
        self.crossing_s.map_or(jet, |crossing_s| jet.max(crossing_s))
    }
}

/// Returns the mixing time of a vessel by all three correlations, for waters of one density.
///
/// Where they differ, nobody here can say which is right; their spread is the doubt.
///
/// # Arguments
/// * `vessel`: the water.
/// * `nozzle`: the jet.
/// * `aim`: where it points.
/// * `kinematic_viscosity_m2_s`: ν, `3e-7..=5e-6`.
///
/// # Errors
/// [`JetError::OutOfRange`] also for a jet below Re 10⁴, a depth outside 0.2 to 3 diameters, a path outside 6 to
/// 400 bores; those of [`jet_path`].
///
/// # Examples
/// ```
/// use physics::jet::{Aim, Nozzle, StirredVessel, blend_times};
///
/// let drum = StirredVessel { diameter_m: 0.56, depth_m: 0.8 };
/// let pump = Nozzle { flow_m3_s: 25e-3 / 60.0, bore_m: 0.013 };
/// let times = blend_times(&drum, &pump, &Aim::Diagonal, 1e-6)?;
/// assert!((times.turbulence_s - 70.0).abs() < 0.5);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn blend_times(
    vessel: &StirredVessel,
    nozzle: &Nozzle,
    aim: &Aim,
    kinematic_viscosity_m2_s: f64,
) -> Result<BlendTimes, JetError> {
    JET_REYNOLDS.require(nozzle.reynolds(kinematic_viscosity_m2_s)?)?;
    let path = jet_path(vessel, aim)?;
    let circulation_s = circulation_time_s(vessel, nozzle, &path)?;
    Ok(BlendTimes {
        turbulence_s: turbulence_time_s(nozzle, &path)?,
        circulation_s,
        circulation_by_volume_s: FRAC_PI_4 * circulation_s,
        crossing_s: match aim {
            Aim::Axial => None,
            Aim::Diagonal | Aim::Inclined { .. } => Some(crossing_time_s(vessel, nozzle)?),
        },
    })
}

/// Returns the time to 95 % homogeneity by the turbulence at the far end of the jet, s: `3.00·Z²/(U·d)`.
///
/// # Errors
/// [`OutOfRange`] for the nozzle, and for a path outside 6 to 400 bores.
///
/// # Source
/// `GRENVILLE-TILTON-1996`; the constant from memory. For jets that are turbulent, and vessels of 0.2 to 3 diameters
/// of depth; [`blend_times`] holds to that.
pub fn turbulence_time_s(nozzle: &Nozzle, path: &JetPath) -> Result<f64, OutOfRange> {
    let speed_times_bore = nozzle.speed_times_bore_m2_s()?;
    PATH_IN_BORES.require(path.length_m / nozzle.bore_m)?;
    Ok(3.0 * path.length_m * path.length_m / speed_times_bore)
}

/// Returns the time to 95 % homogeneity by the circulation that the jet drives, s: `k·T²·H/(U·d·Z)`, k = 9.34 for a
/// jet more than 15° from the horizontal and 13.8 up to there.
///
/// Doubt: nobody here could read whether T²·H or the volume stands in it, which is 27 % less; [`BlendTimes`] tells
/// both.
///
/// # Errors
/// [`OutOfRange`] for vessel and nozzle, a depth outside 0.2 to 3 diameters, a path outside 6 to 400 bores.
///
/// # Source
/// `GRENVILLE-TILTON-2011`, form and constants from memory.
pub fn circulation_time_s(
    vessel: &StirredVessel,
    nozzle: &Nozzle,
    path: &JetPath,
) -> Result<f64, OutOfRange> {
    let (diameter_m, depth_m) = vessel.require()?;
    let speed_times_bore = nozzle.speed_times_bore_m2_s()?;
    DEPTH_BY_DIAMETER.require(depth_m / diameter_m)?;
    PATH_IN_BORES.require(path.length_m / nozzle.bore_m)?;
    let k = if path.above_horizontal_deg.abs() > 15.0 {
        9.34
    } else {
        13.8
    };
    Ok(k * diameter_m * diameter_m * depth_m / (speed_times_bore * path.length_m))
}

/// Returns the time of "complete mixing" by a jet across a diameter of a round tank, s: `8·T²/√(Q·U)`, which is
/// `9.03·T²/(U·d)`.
///
/// For a second liquid that is pumped in within half of that time, in wide tanks; it knows no depth.
///
/// # Errors
/// [`OutOfRange`] for vessel and nozzle.
///
/// # Source
/// `FOSSETT-PROSSER-1949`.
pub fn crossing_time_s(vessel: &StirredVessel, nozzle: &Nozzle) -> Result<f64, OutOfRange> {
    let (diameter_m, _) = vessel.require()?;
    Ok(8.0 * diameter_m * diameter_m / nozzle.momentum_m4_s2()?.sqrt())
}

/// Returns the time to another homogeneity than 95 %, s: `θ95·ln(1 − x)/ln 0.05`; to 99 % 1.54 times as long.
///
/// # Arguments
/// * `time_to_95_s`: θ95, 0 to a year.
/// * `homogeneity`: x, within [`HOMOGENEITY`].
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Own derivation: unevenness that dies away as `exp(−t/τ)`, as it does once the jet has been everywhere.
pub fn time_to_homogeneity_s(time_to_95_s: f64, homogeneity: f64) -> Result<f64, OutOfRange> {
    let homogeneity = HOMOGENEITY.require(homogeneity)?;
    Ok(super::limits::TIME.require(time_to_95_s)? * log1p(-homogeneity) / log(0.05))
}
