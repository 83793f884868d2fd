//! Friction in round tubes, from laminar to rough by one smooth law.
//!
//! Owns: the law, and its slope, which the solver needs. A solver takes its law as a type, so that tests can
//! run the same solver on another law (a textbook's, a reference program's) and compare to rounding.

mod table;

pub(in crate::hydraulics) use table::FrictionTables;

use crate::{OutOfRange, Range};

/// Reynolds numbers of small stations, with room on both sides.
const REYNOLDS: Range = Range {
    quantity: "Reynolds number",
    unit: "",
    min: 1e-6,
    max: 1e8,
    source_key: "CHURCHILL-1977",
};
/// Smooth plastic to corrugated hose.
pub(in crate::hydraulics) const RELATIVE_ROUGHNESS: Range = Range {
    quantity: "roughness per bore",
    unit: "",
    min: 0.0,
    max: 0.1,
    source_key: "CHURCHILL-1977",
};

/// A law of friction in a round tube.
pub trait FrictionLaw {
    /// `f·Re²`, with f the Darcy friction factor, and its derivative by Re; both rise with Re, from 0.
    ///
    /// Not f itself: f has a pole where nothing flows, and the loss of head has none.
    ///
    /// `reynolds` is 0 or more and finite, `relative_roughness` (ε/D) is `0..=0.1`.
    fn resistance(reynolds: f64, relative_roughness: f64) -> (f64, f64);

    /// Whether the law has no corner, so that a solver may look it up in a table that was made of it.
    const SMOOTH: bool;
}

/// Churchill's law for all regimes.
///
/// f = 8·[(8/Re)¹² + (A + B)^−1.5]^(1/12), A = {2.457·ln 1/[(7/Re)^0.9 + 0.27·ε/D]}¹⁶, B = (37 530/Re)¹⁶
///
/// # Source
/// `CHURCHILL-1977`. Laminar flow by it is 64/Re to 0.2 % up to Re 2000. Between Re 2000 and 4000 flow is
/// uncertain by nature; there the law is one smooth rise among several that would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Churchill;

/// Below this the other term is less than the rounding of 64/Re.
pub(in crate::hydraulics) const SURELY_LAMINAR: f64 = 100.0;

impl FrictionLaw for Churchill {
    const SMOOTH: bool = true;

    fn resistance(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
        if reynolds < SURELY_LAMINAR {
            return (64.0 * reynolds, 64.0);
        }
        let inverse = 1.0 / reynolds;
        let viscous = libm::exp(0.9 * libm::log(7.0 * inverse));
        let inside = viscous + 0.27 * relative_roughness;
        let theta = -2.457 * libm::log(inside);
        let a = sixteenth(theta);
        let b = sixteenth(37_530.0 * inverse);
        let sum = a + b;
        let turbulent = 1.0 / (sum * sum.sqrt());
        let eighth = 8.0 * inverse;
        let quartic = eighth * eighth * eighth * eighth;
        let laminar = quartic * quartic * quartic;
        let both = laminar + turbulent;
        let factor = 8.0 * libm::cbrt(both.sqrt().sqrt());
        // Logarithmic slopes: of A, of (A + B)^−1.5, of f.
        let of_a = 16.0 * 2.457 * 0.9 * viscous / (inside * theta);
        let of_turbulent = -1.5 * (a * of_a - 16.0 * b) / sum;
        let of_factor = (turbulent * of_turbulent - 12.0 * laminar) / (12.0 * both);
        let per_reynolds = factor * reynolds;
        (per_reynolds * reynolds, per_reynolds * (2.0 + of_factor))
    }
}

/// [`Churchill`]'s law asked anew each time: for a network that is solved a few times only, whose table wouldn't pay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ChurchillUntabled;

impl FrictionLaw for ChurchillUntabled {
    const SMOOTH: bool = false;

    fn resistance(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
        Churchill::resistance(reynolds, relative_roughness)
    }
}

#[inline]
fn sixteenth(x: f64) -> f64 {
    let square = x * x;
    let fourth = square * square;
    let eighth = fourth * fourth;
    eighth * eighth
}

/// The Darcy friction factor of a round tube, f.
///
/// # Arguments
/// * `reynolds`: Re = v·D/ν, `1e-6..=1e8`.
/// * `relative_roughness`: ε/D, `0..=0.1`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `CHURCHILL-1977`.
pub fn darcy_friction_factor(reynolds: f64, relative_roughness: f64) -> Result<f64, OutOfRange> {
    let reynolds = REYNOLDS.require(reynolds)?;
    let (resistance, _) = Churchill::resistance(reynolds, RELATIVE_ROUGHNESS.require(relative_roughness)?);
    Ok(resistance / (reynolds * reynolds))
}
