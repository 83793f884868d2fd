//! A range as one says it: about once in 3 to 300 years.

use super::{error::ReliabilityError, limits::ROUNDED};

/// The figures that are said.
const STEPS: [f64; 4] = [1.0, 2.0, 3.0, 5.0];

/// How near a step a value is taken to be on it: what rounding leaves, far below anything that is meant.
const ON_STEP: f64 = 1e-9;

/// Rounds a range outwards to one figure of 1, 2, 3 or 5, so that it claims no more than before.
///
/// An end that is on a step stays.
///
/// # Errors
/// [`ReliabilityError::NotARange`] unless `0 < low ≤ high`; [`ReliabilityError::OutOfRange`] outside 10⁻²¹ to 10²¹.
///
/// # Source
/// `HOUSE-RULE`: the doubt of a rate is a factor of several, and the steps are a factor of 1.5 to 2 apart.
///
/// # Examples
/// ```
/// use physics::reliability::round_outwards;
///
/// assert_eq!(round_outwards(0.0042, 0.27)?, (0.003, 0.3));
/// assert_eq!(round_outwards(700.0, 700.0)?, (500.0, 1000.0));
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn round_outwards(low: f64, high: f64) -> Result<(f64, f64), ReliabilityError> {
    if !(low > 0.0 && low <= high) {
        return Err(ReliabilityError::NotARange { low, high });
    }
    let (low, high) = (ROUNDED.require(low)?, ROUNDED.require(high)?);
    let below = steps_from_below(low)
        .take_while(|step| *step <= low * (1.0 + ON_STEP))
        .last();
    let above = steps_from_below(high).find(|step| *step >= high * (1.0 - ON_STEP));
    Ok((below.unwrap_or(low), above.unwrap_or(high)))
}

/// Turns a range of how often something happens in a year into one of years between, rounded outwards: it happens about
/// once in so many to so many years.
///
/// # Errors
/// As [`round_outwards`].
///
/// # Source
/// `HOUSE-RULE`, as [`round_outwards`].
///
/// # Examples
/// ```
/// use physics::reliability::return_period_years;
///
/// assert_eq!(return_period_years(0.0042, 0.27)?, (3.0, 300.0));
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn return_period_years(low_per_year: f64, high_per_year: f64) -> Result<(f64, f64), ReliabilityError> {
    if !(low_per_year > 0.0 && low_per_year <= high_per_year) {
        return Err(ReliabilityError::NotARange {
            low: low_per_year,
            high: high_per_year,
        });
    }
    round_outwards(1.0 / high_per_year, 1.0 / low_per_year)
}

/// The steps from the decade before a value's to the one after.
fn steps_from_below(value: f64) -> impl Iterator<Item = f64> {
    #[expect(clippy::cast_possible_truncation, reason = "between −21 and 21 by the range")]
    let decade = libm::floor(libm::log10(value)) as i32;
    (decade - 1..=decade + 1).flat_map(|decade| STEPS.iter().map(move |step| scaled(*step, decade)))
}

/// `step·10^decade` as the number nearest to it: powers of ten are exact to the 22nd, and dividing rounds once.
fn scaled(step: f64, decade: i32) -> f64 {
    let power = (0..decade.unsigned_abs()).fold(1.0, |power, _| power * 10.0);
    if decade < 0 { step / power } else { step * power }
}
