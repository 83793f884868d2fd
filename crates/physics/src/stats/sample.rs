//! Figures of a sample: mean, spread, quantiles, correlation.

/// Why a sample has no such figure.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SampleError {
    /// Fewer values than the figure needs.
    #[error("{given} values where at least {needed} are needed")]
    TooFew {
        /// Values given.
        given: usize,
        /// Values needed.
        needed: usize,
    },
    /// A value that isn't a finite number, or so large that its square isn't.
    #[error("value {index} is {value}, not a number to reckon with")]
    NotFinite {
        /// Which, from 0.
        index: usize,
        /// The value.
        value: f64,
    },
    /// Two samples that should go in pairs don't.
    #[error("{first} values against {second}: they do not go in pairs")]
    Unpaired {
        /// Values in the first.
        first: usize,
        /// Values in the second.
        second: usize,
    },
    /// All values are the same, so that nothing can vary with them.
    #[error("all values are the same, so that nothing varies with them")]
    NoSpread,
    /// A share outside 0 to 1.
    #[error("{probability} is not a share between 0 and 1")]
    Probability {
        /// The share.
        probability: f64,
    },
}

/// Values beyond this are refused: the sum of a million of their squares would no longer be finite.
const LARGEST: f64 = 1e150;

/// Returns the arithmetic mean.
///
/// # Errors
/// [`SampleError`] for an empty sample and for a value that isn't finite or exceeds 10¹⁵⁰.
///
/// # Source
/// Definition.
pub fn mean(sample: &[f64]) -> Result<f64, SampleError> {
    check(sample, 1)?;
    Ok(sample.iter().sum::<f64>() / count(sample))
}

/// Returns the experimental standard deviation, with `n − 1` in the denominator.
///
/// # Errors
/// As [`mean`]; two values at least.
///
/// # Source
/// `JCGM-100-2008` 4.2.2, equation 4.
///
/// # Examples
/// ```
/// use physics::stats::standard_deviation;
///
/// let readings_v = [5.007, 4.994, 5.005, 4.990, 4.999];
/// assert!((standard_deviation(&readings_v)? - 0.007_176).abs() < 1e-6);
/// # Ok::<(), physics::stats::SampleError>(())
/// ```
pub fn standard_deviation(sample: &[f64]) -> Result<f64, SampleError> {
    check(sample, 2)?;
    let mean = mean(sample)?;
    let squares: f64 = sample.iter().map(|value| (value - mean) * (value - mean)).sum();
    Ok((squares / (count(sample) - 1.0)).sqrt())
}

/// Returns the standard uncertainty of the mean of repeated readings, `s/√n`.
///
/// # Errors
/// As [`standard_deviation`].
///
/// # Source
/// `JCGM-100-2008` 4.2.3, equation 5.
pub fn standard_deviation_of_mean(sample: &[f64]) -> Result<f64, SampleError> {
    Ok(standard_deviation(sample)? / count(sample).sqrt())
}

/// Returns the correlation coefficient of paired values, `-1..=1`.
///
/// # Errors
/// As [`standard_deviation`]; samples of different length, and one without spread.
///
/// # Source
/// `JCGM-100-2008` 5.2.2 and 5.2.3, equations 14 and 17.
pub fn correlation(first: &[f64], second: &[f64]) -> Result<f64, SampleError> {
    if first.len() != second.len() {
        return Err(SampleError::Unpaired {
            first: first.len(),
            second: second.len(),
        });
    }
    check(first, 2)?;
    check(second, 2)?;
    let (mean_first, mean_second) = (mean(first)?, mean(second)?);
    let (mut both, mut square_first, mut square_second) = (0.0, 0.0, 0.0);
    for (a, b) in first.iter().zip(second) {
        let (a, b) = (a - mean_first, b - mean_second);
        both += a * b;
        square_first += a * a;
        square_second += b * b;
    }
    let spread = square_first.sqrt() * square_second.sqrt();
    if spread > 0.0 {
        Ok((both / spread).clamp(-1.0, 1.0))
    } else {
        Err(SampleError::NoSpread)
    }
}

/// Returns the value below which the given share of a sample lies, straight between neighbouring values.
///
/// With the `n` values in order and `h = (n − 1)·p`, it is the value at place `h`, counted from 0.
///
/// # Errors
/// As [`mean`]; a share outside 0 to 1.
///
/// # Source
/// `HYNDMAN-FAN-1996`, definition 7.
///
/// # Examples
/// ```
/// use physics::stats::quantile;
///
/// assert_eq!(quantile(&[4.0, 1.0, 3.0, 2.0], 0.5)?, 2.5);
/// assert_eq!(quantile(&[4.0, 1.0, 3.0, 2.0], 1.0)?, 4.0);
/// # Ok::<(), physics::stats::SampleError>(())
/// ```
pub fn quantile(sample: &[f64], probability: f64) -> Result<f64, SampleError> {
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    quantile_of_sorted(&sorted, probability)
}

/// As [`quantile`], for a sample that is in rising order already, which the caller answers for.
///
/// # Errors
/// As [`quantile`].
pub fn quantile_of_sorted(sorted: &[f64], probability: f64) -> Result<f64, SampleError> {
    check(sorted, 1)?;
    if !(0.0..=1.0).contains(&probability) {
        return Err(SampleError::Probability { probability });
    }
    let place = (count(sorted) - 1.0) * probability;
    let below = place.floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number between 0 and the length"
    )]
    let index = below as usize;
    let low = sorted[index.min(sorted.len() - 1)];
    let high = sorted[(index + 1).min(sorted.len() - 1)];
    Ok(low + (high - low) * (place - below))
}

fn count(sample: &[f64]) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "no sample in memory has 2^53 values")]
    let count = sample.len() as f64;
    count
}

fn check(sample: &[f64], needed: usize) -> Result<(), SampleError> {
    if sample.len() < needed {
        return Err(SampleError::TooFew {
            given: sample.len(),
            needed,
        });
    }
    match sample
        .iter()
        .position(|value| !(-LARGEST..=LARGEST).contains(value))
    {
        Some(index) => Err(SampleError::NotFinite {
            index,
            value: sample[index],
        }),
        None => Ok(()),
    }
}
