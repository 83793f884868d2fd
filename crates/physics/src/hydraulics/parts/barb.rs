//! The hose barb: a tube pushed over a narrower tail.

use super::{
    bore_change::{sudden_contraction, sudden_expansion},
    limits::BORE,
    loss::LossCoefficient,
    part_error::PartError,
};
use crate::OutOfRange;

/// Bore of a barb by that of its tube, where nobody measured.
///
/// Common practice, no source: the tail must fit into the tube and has a wall of its own.
pub const USUAL_BARB_SHARE: f64 = 0.80;

/// Laminar constant of the entrance into the barb, on the barb's bore.
///
/// House rule: as of any entrance (`HOOPER-1981`).
const LAMINAR_ENTRANCE: f64 = 160.0;

/// The bore that a barb usually has in a tube, in m: [`USUAL_BARB_SHARE`] of the tube's.
///
/// # Errors
/// [`OutOfRange`] for a tube outside `1e-3..=0.3` m, or so narrow that its barb would be.
///
/// # Source
/// Common practice, no source. The bore through the barb is what counts: measure it with a drill's shank.
pub fn usual_barb_bore_m(tube_bore_m: f64) -> Result<f64, OutOfRange> {
    BORE.require(BORE.require(tube_bore_m)? * USUAL_BARB_SHARE)
}

/// Loss of a hose barb on the bore of its tube: into the barb and out of it again.
///
/// `K = (0.5·(1 − b²) + (1 − b²)²)/b⁴` with `b = d/D`, whichever way the water runs.
///
/// # Arguments
/// * `tube_bore_m`: inner diameter of the tube, D, `1e-3..=0.3`.
/// * `barb_bore_m`: inner diameter through the barb, d, `1e-3..=tube_bore_m`; [`usual_barb_bore_m`] where it isn't
///   known.
///
/// # Errors
/// [`PartError::NotNarrower`]; [`PartError::OutOfRange`].
///
/// # Source
/// [`sudden_contraction`] and [`sudden_expansion`]; friction inside the barb isn't counted.
///
/// # Examples
/// ```
/// use physics::hydraulics::parts::hose_barb;
///
/// let barb = hose_barb(0.0127, 0.0102)?;
/// assert!((barb.turbulent - 0.73).abs() < 0.01);
/// # Ok::<(), physics::hydraulics::parts::PartError>(())
/// ```
pub fn hose_barb(tube_bore_m: f64, barb_bore_m: f64) -> Result<LossCoefficient, PartError> {
    let contraction = sudden_contraction(barb_bore_m, tube_bore_m)?;
    let on_barb = LossCoefficient {
        turbulent: contraction + sudden_expansion(barb_bore_m, tube_bore_m)?,
        // As the turbulent loss of a contraction is to that of an entrance.
        laminar: LAMINAR_ENTRANCE * contraction / 0.5,
    };
    Ok(on_barb.at_other_bore(barb_bore_m, tube_bore_m)?)
}
