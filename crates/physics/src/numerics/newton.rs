//! The root of a function whose slope is known, kept inside a bracket.

use super::root::{Root, RootError, bracketed_root};

/// Steps after which Newton's method is given up for one that can't fail.
const MOST_STEPS: u32 = 40;

/// Finds a root of a function with known slope in `low..=high`, from a guess.
///
/// Newton's method, except that a step which leaves the bracket, or doesn't halve the residual, is replaced by
/// halving the bracket. With a fair guess three or four steps reach rounding. What isn't found in forty steps is
/// left to [`bracketed_root`], so that the effort stays bounded.
///
/// # Arguments
/// * `function`: gives value and slope.
/// * `low`, `high`: where the value has different signs.
/// * `guess`: anywhere; outside the bracket, or not a number, it's replaced by the middle.
/// * `tolerance`: in the unit of the argument; met by the bracket or by the next step, residual over slope.
///
/// # Errors
/// [`RootError`], as [`bracketed_root`].
///
/// # Source
/// Newton's method, from memory.
///
/// # Examples
/// ```
/// use physics::numerics::bracketed_newton;
///
/// let root = bracketed_newton(|x| (x * x - 2.0, 2.0 * x), 1.0, 2.0, 1.4, 1e-14)?;
/// assert!((root.x - 2_f64.sqrt()).abs() < 1e-14);
/// assert!(root.evaluations <= 6);
/// # Ok::<(), physics::numerics::RootError>(())
/// ```
pub fn bracketed_newton(
    mut function: impl FnMut(f64) -> (f64, f64),
    low: f64,
    high: f64,
    guess: f64,
    tolerance: f64,
) -> Result<Root, RootError> {
    let (at_low, at_high) = (function(low).0, function(high).0);
    let mut evaluations = 2;
    let finest = 4.0 * f64::EPSILON * low.abs().max(high.abs());
    let sound = low < high && tolerance >= finest && at_low.is_finite() && at_high.is_finite();
    // Ends that are roots, and every bad question, are answered in one place.
    if !sound || at_low == 0.0 || at_high == 0.0 || (at_low < 0.0) == (at_high < 0.0) {
        return bracketed_root(|x| function(x).0, low, high, tolerance);
    }

    let (mut a, mut b) = (low, high);
    let mut x = if a < guess && guess < b {
        guess
    } else {
        a + (b - a) / 2.0
    };
    let mut previous = f64::INFINITY;
    for _ in 0..MOST_STEPS {
        let (value, slope) = function(x);
        evaluations += 1;
        if !value.is_finite() {
            return Err(RootError::NotFinite { x, value });
        }
        let step = value / slope;
        if (value < 0.0) == (at_low < 0.0) {
            a = x;
        } else {
            b = x;
        }
        if value == 0.0 || step.abs() <= tolerance || b - a <= tolerance {
            return Ok(Root {
                x,
                residual: value,
                evaluations,
            });
        }
        let next = x - step;
        let good = a < next && next < b && value.abs() <= previous / 2.0;
        x = if good { next } else { a + (b - a) / 2.0 };
        previous = value.abs();
    }
    let rest = bracketed_root(|x| function(x).0, a, b, tolerance)?;
    Ok(Root {
        evaluations: rest.evaluations + evaluations,
        ..rest
    })
}
