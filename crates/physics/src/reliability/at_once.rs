//! Parts that back each other up and are tested at the same moment, or by turns.

use super::{
    error::ReliabilityError,
    limits::{MOST_TOGETHER, SHARE, exposure},
    quadrature::{mean, panels},
};
use crate::OutOfRange;

/// Returns the share of the time that all of several parts are down, all tested at the same moments.
///
/// It is more than the product of their means: all are at their worst together, just before the test. For small `λτ` it
/// is `Π(λᵢτ)/(n + 1)`: two parts have 4/3 of the product of their means, three have 2.
///
/// # Arguments
/// * `rates_per_s`: of 1 to 8 parts, each as in [`tested_mean`](super::tested_mean).
/// * `interval_s`: between tests.
///
/// # Errors
/// [`ReliabilityError::PartCount`], [`ReliabilityError::OutOfRange`].
///
/// # Properties
/// No figure but sums of products of positive numbers: good to about 10⁻¹⁴ of itself however small the rates.
///
/// # Source
/// The mean of `Π(1 − e^(−λᵢt))` over 0 to `τ`, by Gauss's rule. The short form of two, `(λτ)²/3`: `IEC-61508-6`
/// annex B.
pub fn tested_together_mean(rates_per_s: &[f64], interval_s: f64) -> Result<f64, ReliabilityError> {
    let (x, count) = exposures(rates_per_s, interval_s)?;
    let x = &x[..count];
    Ok(mean(0.0, 1.0, panels(x.iter().sum()), |t| {
        x.iter().map(|x| -libm::expm1(-x * t)).product()
    }))
}

/// Returns how often all of several parts that are tested at the same moments come to be down together, per second:
/// `Π(1 − e^(−λᵢτ))/τ`.
///
/// Exact, where [`set_frequency_per_s`](super::set_frequency_per_s) with the parts' means takes them as if tested at
/// unrelated times: for two parts the same to first order, for three the exact one is 4/3 of it, for four 2.
///
/// # Errors
/// As [`tested_together_mean`]. An interval of 0 is refused.
///
/// # Source
/// In an interval it happens once, if every part fails by its end. Derived here.
pub fn tested_together_frequency_per_s(
    rates_per_s: &[f64],
    interval_s: f64,
) -> Result<f64, ReliabilityError> {
    use super::limits::TIME_ABOVE_0;
    let (x, count) = exposures(rates_per_s, interval_s)?;
    let all: f64 = x[..count].iter().map(|x| -libm::expm1(-x)).product();
    Ok(all / TIME_ABOVE_0.require(interval_s)?)
}

/// Returns the share of the time that two parts are both down, each tested at the same interval, the second so much of
/// it before the first.
///
/// For small `λτ` and half an interval between, `5/24·λ₁λ₂τ²`: 5/8 of what it is when both are tested at once.
///
/// # Arguments
/// * `rates_per_s`, `interval_s`: as in [`tested_mean`](super::tested_mean).
/// * `offset`: share of the interval between the test of the second and the next of the first, 0 to 1; 0 and 1 are both
///   at once.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// The mean of the product of two saw-teeth, of which one is shifted. Derived here.
pub fn staggered_pair_mean(rates_per_s: [f64; 2], interval_s: f64, offset: f64) -> Result<f64, OutOfRange> {
    let [first, second] = [
        exposure(rates_per_s[0], interval_s)?,
        exposure(rates_per_s[1], interval_s)?,
    ];
    let offset = SHARE.require(offset)?;
    let panels = panels(first + second);
    let both = |age: f64, other: f64| libm::expm1(-first * age) * libm::expm1(-second * other);
    // From the first's test to the second's next, and from there to the first's.
    let before = mean(0.0, 1.0 - offset, panels, |age| both(age, age + offset));
    let after = mean(1.0 - offset, 1.0, panels, |age| both(age, age + offset - 1.0));
    Ok((1.0 - offset) * before + offset * after)
}

/// Failures of each part expected in an interval, and how many parts there are.
pub(super) fn exposures(
    rates_per_s: &[f64],
    interval_s: f64,
) -> Result<([f64; MOST_TOGETHER], usize), ReliabilityError> {
    let count = rates_per_s.len();
    if !(1..=MOST_TOGETHER).contains(&count) {
        return Err(ReliabilityError::PartCount {
            given: count,
            most: MOST_TOGETHER,
        });
    }
    let mut expected = [0.0; MOST_TOGETHER];
    for (to, rate) in expected.iter_mut().zip(rates_per_s) {
        *to = exposure(*rate, interval_s)?;
    }
    Ok((expected, count))
}
