//! How much of the time a part is down, by the way in which its fault is found.

use super::{
    error::ReliabilityError,
    limits::{EXPOSURE, HANDBOOK_EXPOSURE, MOST_TESTS, RATE, SHARE, TIME, exposure},
};
use crate::{OutOfRange, Range};

/// How the fault of a part comes to light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finding {
    /// At once; repaired in the mean time given.
    Revealed {
        /// Failures per second of service.
        rate_per_s: f64,
        /// Mean time to repair.
        repair_s: f64,
    },
    /// By a test at fixed intervals, after which it is as good as new; the moment asked for is any.
    Tested {
        /// Failures per second.
        rate_per_s: f64,
        /// Time between tests.
        interval_s: f64,
    },
    /// Not yet: so long after the last test, whose date is known.
    SinceTest {
        /// Failures per second.
        rate_per_s: f64,
        /// Time since the last test.
        age_s: f64,
    },
    /// Never, over a mission; the moment asked for is any of it.
    Never {
        /// Failures per second.
        rate_per_s: f64,
        /// How long the part serves.
        mission_s: f64,
    },
    /// When it is needed: it fails to answer so often.
    OnDemand {
        /// Probability of failing when called.
        probability: f64,
    },
}

impl Finding {
    /// The share of the time that the part is down; of a part found by its age, the probability that it is down now.
    ///
    /// # Errors
    /// [`OutOfRange`] as the functions of this room: [`revealed`], [`tested_mean`], [`since_test`].
    pub fn unavailability(&self) -> Result<f64, OutOfRange> {
        match *self {
            Self::Revealed { rate_per_s, repair_s } => revealed(rate_per_s, repair_s),
            Self::Tested {
                rate_per_s,
                interval_s: time_s,
            }
            | Self::Never {
                rate_per_s,
                mission_s: time_s,
            } => tested_mean(rate_per_s, time_s),
            Self::SinceTest { rate_per_s, age_s } => since_test(rate_per_s, age_s),
            Self::OnDemand { probability } => SHARE.require(probability),
        }
    }

    /// How often the part fails while it is up, per second; none for one that only fails when called.
    pub fn rate_per_s(&self) -> Option<f64> {
        match *self {
            Self::Revealed { rate_per_s, .. }
            | Self::Tested { rate_per_s, .. }
            | Self::SinceTest { rate_per_s, .. }
            | Self::Never { rate_per_s, .. } => Some(rate_per_s),
            Self::OnDemand { .. } => None,
        }
    }
}

/// Returns the long-run unavailability of a part whose fault shows at once: `λ·MTTR/(1 + λ·MTTR)`.
///
/// # Arguments
/// * `rate_per_s`: failures per second while it is up, 0 to 1.
/// * `repair_s`: mean time from the fault to being up again, up to a hundred years; of any distribution.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `RAUSAND-HOYLAND-2004`: mean down time by mean time between failures.
pub fn revealed(rate_per_s: f64, repair_s: f64) -> Result<f64, OutOfRange> {
    let expected = RATE.require(rate_per_s)? * TIME.require(repair_s)?;
    Ok(expected / (1.0 + expected))
}

/// Returns the mean unavailability of a part whose fault only a test finds: `1 − (1 − e^(−λτ))/(λτ)`.
///
/// The test takes no time and the repair none to speak of; both can be added. A part that is never tested has the
/// same mean over its mission, with that for `τ`.
///
/// # Arguments
/// * `rate_per_s`: failures per second, 0 to 1.
/// * `interval_s`: time between tests, up to a hundred years. Rate times interval: up to 100.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Properties
/// Rises with both; never above `λτ/2` nor 1. Good to about 10⁻¹⁵ of itself however small `λτ` is.
///
/// # Source
/// The mean of `1 − e^(−λt)` over 0 to `τ`; `RAUSAND-HOYLAND-2004`.
///
/// # Examples
/// ```
/// use physics::reliability::tested_mean;
///
/// // One failure in a million hours, tested yearly.
/// let hour_s = 3600.0;
/// assert!((tested_mean(1e-6 / hour_s, 8760.0 * hour_s)? - 4.367e-3).abs() < 5e-7);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn tested_mean(rate_per_s: f64, interval_s: f64) -> Result<f64, OutOfRange> {
    Ok(saw_tooth_mean(exposure(rate_per_s, interval_s)?))
}

/// Returns the handbook's short form of [`tested_mean`], `λτ/2`, always on the safe side of it.
///
/// # Arguments
/// As [`tested_mean`]; rate times interval up to 2, where it reaches 1. Below 0.1 it is within 4 % of the exact mean.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `IEC-61508-6` annex B, one channel, without the time of repair.
pub fn tested_mean_handbook(rate_per_s: f64, interval_s: f64) -> Result<f64, OutOfRange> {
    Ok(HANDBOOK_EXPOSURE.require(RATE.require(rate_per_s)? * TIME.require(interval_s)?)? / 2.0)
}

/// Returns the probability that a part is down so long after its last test: `1 − e^(−λt)`.
///
/// # Errors
/// [`OutOfRange`], as [`tested_mean`].
///
/// # Source
/// `DEFINITION` of a constant rate.
pub fn since_test(rate_per_s: f64, age_s: f64) -> Result<f64, OutOfRange> {
    Ok(-libm::expm1(-exposure(rate_per_s, age_s)?))
}

/// Returns the mean unavailability over a mission of a part whose test finds a share of its faults only; the others stay
/// until the mission ends.
///
/// A test that doesn't move the float tests nothing: with a share of 0 the interval is of no use, with 1 it is
/// [`tested_mean`].
///
/// # Arguments
/// * `rate_per_s`, `interval_s`: as [`tested_mean`].
/// * `share_found`: of the faults that a test would find, 0 to 1.
/// * `intervals`: how many make the mission, 1 to 36 525.
///
/// # Errors
/// [`OutOfRange`]; rate times mission up to 100, too.
///
/// # Source
/// Two independent saw-teeth of rates `cλ` and `(1 − c)λ`, either of which has the part down; in the `k`-th interval the
/// second begins at `1 − e^(−(1−c)λkτ)`. Derived here.
pub fn partly_tested_mean(
    rate_per_s: f64,
    interval_s: f64,
    share_found: f64,
    intervals: u32,
) -> Result<f64, OutOfRange> {
    const INTERVALS: Range = Range {
        quantity: "intervals in a mission",
        unit: "",
        min: 1.0,
        max: MOST_TESTS as f64,
        source_key: "HOUSE-RULE",
    };
    let x = exposure(rate_per_s, interval_s)?;
    let left = (1.0 - SHARE.require(share_found)?) * x;
    let count = INTERVALS.require(f64::from(intervals))?;
    EXPOSURE.require(x * count)?;
    let within = saw_tooth_mean(x);
    let at_start: f64 = (0..intervals)
        .map(|k| -libm::expm1(-left * f64::from(k)))
        .sum::<f64>()
        / count;
    // Down at the start of the interval, or up then and down by now.
    Ok(at_start + (1.0 - at_start) * within)
}

/// Refuses what isn't a probability, as an unavailability must be.
pub(super) fn require_share(share: f64) -> Result<f64, ReliabilityError> {
    Ok(SHARE.require(share)?)
}

/// The mean of `1 − e^(−t)` over 0 to `x`.
fn saw_tooth_mean(x: f64) -> f64 {
    if x < 0.5 {
        // x/2! − x²/3! + x³/4! − …; the sixteenth term is below 10⁻¹⁸ of the first.
        let mut term = x / 2.0;
        let mut sum = 0.0;
        for n in 3..=18 {
            sum += term;
            term *= -x / f64::from(n);
        }
        sum
    } else {
        1.0 + libm::expm1(-x) / x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn series_and_closed_form_meet() {
        let closed = |x: f64| 1.0 + libm::expm1(-x) / x;
        for x in [0.3, 0.4, 0.499_999] {
            // What the closed form loses: a rounding of 1 against a mean of 0.13 at least.
            assert!((saw_tooth_mean(x) / closed(x) - 1.0).abs() < 3e-15, "{x}");
        }
        assert_eq!(saw_tooth_mean(0.0), 0.0);
        assert_eq!(saw_tooth_mean(1e-300), 5e-301);
    }
}
