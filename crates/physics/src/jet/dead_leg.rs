//! A length of pipe that holds old water, and how much to let run before a sample.

use super::error::JetError;
use super::limits::{BORE, FLOW, KINEMATIC_VISCOSITY};
use crate::stats::normal_quantile;
use crate::{OutOfRange, Range};
use libm::pow;
use std::f64::consts::{FRAC_PI_4, PI};

const LENGTH: Range = Range {
    quantity: "length of the pipe",
    unit: "m",
    min: 1e-3,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
const PIPE_VOLUMES: Range = Range {
    quantity: "pipe volumes",
    unit: "",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
/// What old water may be left in the sample; at half and more it is no sample.
const OLD_SHARE: Range = Range {
    quantity: "share of old water",
    unit: "",
    min: 1e-6,
    max: 0.5,
    source_key: "HOUSE-RULE",
};
const TURBULENT_REYNOLDS: Range = Range {
    quantity: "Reynolds number of the pipe",
    unit: "",
    min: 4000.0,
    max: 1e5,
    source_key: "BLASIUS-1913",
};
/// Pipe that is long enough for its length to count in bores.
const LENGTH_IN_BORES: Range = Range {
    quantity: "length of the pipe in bores",
    unit: "",
    min: 1.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// A pipe between the vessel and the tap, with nothing branching off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadLeg {
    /// Length, L, `1e-3..=1000` m.
    pub length_m: f64,
    /// Inner diameter, d, `1e-3..=0.2` m.
    pub bore_m: f64,
}

impl DeadLeg {
    /// What it holds, m³.
    ///
    /// # Errors
    /// [`OutOfRange`] for length and bore.
    pub fn volume_m3(&self) -> Result<f64, OutOfRange> {
        let bore_m = BORE.require(self.bore_m)?;
        Ok(FRAC_PI_4 * bore_m * bore_m * LENGTH.require(self.length_m)?)
    }
}

/// How the water goes through the pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LegFlow {
    /// Reynolds number up to 4000: taken as laminar, the slower to flush, also between 2300 and 4000.
    Laminar,
    /// Reynolds number above 4000.
    Turbulent,
}

/// How much to let run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flush {
    /// Reynolds number in the pipe.
    pub reynolds: f64,
    /// What follows from it.
    pub flow: LegFlow,
    /// Pipe volumes to let run.
    pub pipe_volumes: f64,
    /// The same, m³.
    pub volume_m3: f64,
    /// The time it takes, s.
    pub time_s: f64,
}

/// Returns the share of old water in what leaves a pipe with laminar flow after n pipe volumes: all of it up to half a
/// volume, then `1/(4·n²)`.
///
/// Derivation: at radius r the speed is `2·ū·(1 − r²/R²)`, so water at r has been through the pipe after n volumes when
/// `2·(1 − r²/R²) > 1/n`. Old water leaves where it hasn't, at `q = r²/R² > 1 − 1/(2·n)`; its share of the flow is the
/// integral of `2·(1 − q)` over q from there to 1, which is `(1/(2·n))²`.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 10⁶ volumes.
///
/// # Source
/// Own derivation, as above, from the parabolic profile. Diffusion across the pipe, which helps, is left out.
pub fn laminar_old_share_leaving(pipe_volumes: f64) -> Result<f64, OutOfRange> {
    let n = PIPE_VOLUMES.require(pipe_volumes)?;
    Ok(if n < 0.5 { 1.0 } else { 1.0 / (4.0 * n * n) })
}

/// Returns the share of a pipe that still holds old water after n volumes with laminar flow: `1 − n` up to half a
/// volume, then `1/(4·n)`, for the wall lets go late.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 10⁶ volumes.
///
/// # Source
/// Own derivation: what [`laminar_old_share_leaving`] has yet to carry out, its integral from n on.
pub fn laminar_old_share_inside(pipe_volumes: f64) -> Result<f64, OutOfRange> {
    let n = PIPE_VOLUMES.require(pipe_volumes)?;
    Ok(if n < 0.5 { 1.0 - n } else { 1.0 / (4.0 * n) })
}

/// Returns the pipe volumes after which what leaves a laminar pipe holds no more than a share of old water:
/// `1/(2·√x)`. 5 for 1 %.
///
/// # Arguments
/// * `old_share`: x, `1e-6..=0.5`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// [`laminar_old_share_leaving`] solved for volumes.
///
/// # Examples
/// ```
/// assert!((physics::jet::laminar_volumes(0.01)? - 5.0).abs() < 1e-12);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn laminar_volumes(old_share: f64) -> Result<f64, OutOfRange> {
    Ok(0.5 / OLD_SHARE.require(old_share)?.sqrt())
}

/// Returns the pipe volumes after which what leaves a turbulent pipe holds no more than a share of old water.
///
/// Derivation: the new water pushes the old out as a plug, whose front spreads by `√(2·K·t)`. After n volumes the front
/// is `(n − 1)·L` past the end and has spread by `√(2·n/Pe)·L`, `Pe = ū·L/K`; the old share is that of a normal
/// distribution beyond `z = (n − 1)/√(2·n/Pe)`, so `√n = (b + √(b² + 4))/2` with `b = z·√(2/Pe)`. With
/// `K = 10.1·(d/2)·ū·√(f/8)` the Péclet number is `0.198·(L/d)/√(f/8)`.
///
/// # Arguments
/// * `length_in_bores`: L/d, `1..=1e6`.
/// * `reynolds`: of the pipe, `4000..=1e5`.
/// * `old_share`: `1e-6..=0.5`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `TAYLOR-1954` for the spread and `BLASIUS-1913` for the friction of smooth pipes, `f = 0.3164/Re^¼`, both from
/// memory. Short pipes, below some hundred bores, spread less than that: on the safe side. Bends, tees and valves
/// spread more and aren't reckoned.
pub fn turbulent_volumes(length_in_bores: f64, reynolds: f64, old_share: f64) -> Result<f64, OutOfRange> {
    let length_in_bores = LENGTH_IN_BORES.require(length_in_bores)?;
    let friction = 0.3164 / pow(TURBULENT_REYNOLDS.require(reynolds)?, 0.25);
    let deviate = -normal_quantile(OLD_SHARE.require(old_share)?)?;
    let peclet = 2.0 / 10.1 * length_in_bores / (friction / 8.0).sqrt();
    let spread = deviate * (2.0 / peclet).sqrt();
    let root = (spread + (spread * spread + 4.0).sqrt()) / 2.0;
    Ok(root * root)
}

/// Returns how much to let run before what leaves a dead leg is what stands in the vessel, but for a share.
///
/// Only for water that goes through the leg from end to end. A branch that ends blind isn't flushed by the water that
/// passes its mouth, however much of it.
///
/// # Arguments
/// * `leg`: the pipe.
/// * `flow_m3_s`: at which it runs, `1e-7..=0.1`.
/// * `kinematic_viscosity_m2_s`: `3e-7..=5e-6`.
/// * `old_share`: what may be left, `1e-6..=0.5`; 0.01 for a measurement.
///
/// # Errors
/// [`JetError::OutOfRange`], also for a Reynolds number above 10⁵.
///
/// # Source
/// [`laminar_volumes`] up to a Reynolds number of 4000, [`turbulent_volumes`] above; that the range between 2300 and
/// 4000 counts as laminar is a house rule.
///
/// # Examples
/// ```
/// use physics::jet::{DeadLeg, LegFlow, flush};
///
/// // 3 m of half-inch hose: a trickle takes five of its volumes, an open tap one and a third.
/// let hose = DeadLeg { length_m: 3.0, bore_m: 0.013 };
/// let trickle = flush(&hose, 1e-5, 1e-6, 0.01)?;
/// let open = flush(&hose, 2e-4, 1e-6, 0.01)?;
/// assert!(trickle.flow == LegFlow::Laminar && (trickle.volume_m3 - 1.99e-3).abs() < 1e-5);
/// assert!(open.flow == LegFlow::Turbulent && open.pipe_volumes < 1.35);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn flush(
    leg: &DeadLeg,
    flow_m3_s: f64,
    kinematic_viscosity_m2_s: f64,
    old_share: f64,
) -> Result<Flush, JetError> {
    let leg_m3 = leg.volume_m3()?;
    let flow_m3_s = FLOW.require(flow_m3_s)?;
    let kinematic = KINEMATIC_VISCOSITY.require(kinematic_viscosity_m2_s)?;
    let reynolds = 4.0 * flow_m3_s / (PI * leg.bore_m * kinematic);
    let (flow, pipe_volumes) = if reynolds <= TURBULENT_REYNOLDS.min {
        (LegFlow::Laminar, laminar_volumes(old_share)?)
    } else {
        let volumes = turbulent_volumes(leg.length_m / leg.bore_m, reynolds, old_share)?;
        (LegFlow::Turbulent, volumes)
    };
    let volume_m3 = pipe_volumes * leg_m3;
    Ok(Flush {
        reynolds,
        flow,
        pipe_volumes,
        volume_m3,
        time_s: volume_m3 / flow_m3_s,
    })
}
