//! The root of a function between two points where its sign differs.

use std::convert::Infallible;

/// A root, and what it took to find it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// The argument: an end of a bracket no wider than the tolerance.
    pub x: f64,
    /// The function there.
    pub residual: f64,
    /// How often the function was evaluated, the two ends included.
    pub evaluations: u32,
}

/// Why no root could be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RootError<E = Infallible> {
    /// The function has the same sign at both ends, so it may have no root between them.
    #[error("no change of sign between {low} (where it is {at_low}) and {high} (where it is {at_high})")]
    NoSignChange {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Function at the lower end.
        at_low: f64,
        /// Function at the upper end.
        at_high: f64,
    },
    /// The ends aren't finite numbers in increasing order.
    #[error("{low} to {high} is not an interval")]
    NotAnInterval {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// The tolerance is finer than neighbouring numbers of the interval lie apart, or not a number.
    #[error("a tolerance of {tolerance} is finer than the numbers there: at least {finest}")]
    ToleranceTooFine {
        /// Tolerance asked for.
        tolerance: f64,
        /// Finest that can be met.
        finest: f64,
    },
    /// The function isn't a finite number at a point inside the bracket.
    #[error("the function is {value} at {x}")]
    NotFinite {
        /// Where.
        x: f64,
        /// What it gave.
        value: f64,
    },
    /// The function itself refused.
    #[error(transparent)]
    Function(E),
}

/// Finds a root of `function` in `low..=high` to within `tolerance`, in the unit of the argument.
///
/// The method is ITP: interpolate, truncate, project. It's as quick as regula falsi with corrections on smooth
/// functions, and its worst case exceeds plain bisection by one evaluation, so that the effort is bounded
/// whatever the function: `ceil(log2((high - low)/tolerance)) + 1` steps.
///
/// # Errors
/// [`RootError`] for ends that are no interval or without a change of sign, a tolerance below four spacings
/// of the numbers there, and a function that isn't finite. Never NaN.
///
/// # Source
/// `OLIVEIRA-TAKAHASHI-2020`, with k1 = 0.2/(high - low), k2 = 2, n0 = 1. One addition of our own: the point is
/// always moved towards the middle by at least half the tolerance, so that the last steps land on the other side
/// of the root instead of creeping up on it from one side.
///
/// # Examples
/// ```
/// use physics::numerics::bracketed_root;
///
/// let root = bracketed_root(|x| x * x - 2.0, 1.0, 2.0, 1e-14)?;
/// assert!((root.x - 2_f64.sqrt()).abs() < 1e-14);
/// assert!(root.evaluations <= 12);
/// # Ok::<(), physics::numerics::RootError>(())
/// ```
pub fn bracketed_root(
    mut function: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<Root, RootError> {
    try_bracketed_root(|x| Ok::<f64, Infallible>(function(x)), low, high, tolerance)
}

/// As [`bracketed_root`], for a function that may refuse.
///
/// # Errors
/// Those of [`bracketed_root`], and [`RootError::Function`] with the function's own refusal.
pub fn try_bracketed_root<E>(
    mut function: impl FnMut(f64) -> Result<f64, E>,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<Root, RootError<E>> {
    if !(low.is_finite() && high.is_finite() && low < high && (high - low).is_finite()) {
        return Err(RootError::NotAnInterval { low, high });
    }
    let finest = 4.0 * f64::EPSILON * low.abs().max(high.abs());
    if !(tolerance >= finest && tolerance > 0.0 && tolerance.is_finite()) {
        return Err(RootError::ToleranceTooFine { tolerance, finest });
    }
    let mut evaluate = |x: f64| {
        let value = function(x).map_err(RootError::Function)?;
        if value.is_finite() {
            Ok(value)
        } else {
            Err(RootError::NotFinite { x, value })
        }
    };

    let (at_low, at_high) = (evaluate(low)?, evaluate(high)?);
    if at_low == 0.0 {
        return Ok(Root {
            x: low,
            residual: at_low,
            evaluations: 2,
        });
    }
    if at_high == 0.0 {
        return Ok(Root {
            x: high,
            residual: at_high,
            evaluations: 2,
        });
    }
    if (at_low < 0.0) == (at_high < 0.0) {
        return Err(RootError::NoSignChange {
            low,
            high,
            at_low,
            at_high,
        });
    }

    let (mut a, mut b, mut at_a, mut at_b) = (low, high, at_low, at_high);
    let mut evaluations = 2;
    let truncation = 0.2 / (high - low);
    // Radius of projection: what is left of bisection's worst case, halved with every step.
    let mut reach = tolerance;
    while reach < high - low {
        reach *= 2.0;
    }
    while b - a > tolerance {
        let middle = a + (b - a) / 2.0;
        let radius = (reach - (b - a) / 2.0).max(0.0);
        let falsi = a - (b - a) * (at_a / (at_b - at_a));
        let toward_middle = if falsi <= middle { 1.0 } else { -1.0 };
        let shift = (truncation * (b - a) * (b - a)).max(tolerance / 2.0);
        let truncated = if shift <= (middle - falsi).abs() {
            falsi + toward_middle * shift
        } else {
            middle
        };
        let x = if (truncated - middle).abs() <= radius {
            truncated
        } else {
            middle - toward_middle * radius
        };

        let value = evaluate(x)?;
        evaluations += 1;
        if value == 0.0 {
            return Ok(Root {
                x,
                residual: value,
                evaluations,
            });
        }
        if (value < 0.0) == (at_a < 0.0) {
            (a, at_a) = (x, value);
        } else {
            (b, at_b) = (x, value);
        }
        reach /= 2.0;
    }
    let (x, residual) = if at_a.abs() <= at_b.abs() {
        (a, at_a)
    } else {
        (b, at_b)
    };
    Ok(Root {
        x,
        residual,
        evaluations,
    })
}
