//! Rates that are known within a factor, and what that leaves of figures made of them.

use super::{error::ReliabilityError, limits::DOUBTED};
use crate::{
    OutOfRange,
    stats::{self, Placement, SampleError, latin_hypercube, normal_quantile},
};

/// The standard normal deviate below which 95 % lie.
const DEVIATE_95: f64 = 1.644_853_626_951_472_7;

/// A quantity whose logarithm is normal: as likely to be ten times too high as ten times too low.
///
/// # Source
/// `WASH-1400-1975`: generic rates as log-normal, with an error factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    /// Half lies below.
    pub median: f64,
    /// Standard deviation of the natural logarithm.
    pub log_deviation: f64,
}

impl LogNormal {
    /// The one of which a twentieth lies below `low` and a twentieth above `high`.
    ///
    /// # Errors
    /// [`ReliabilityError::NotARange`] unless `low ≤ high`; [`ReliabilityError::OutOfRange`] outside 10⁻³⁰ to 10³⁰.
    ///
    /// # Examples
    /// ```
    /// use physics::reliability::LogNormal;
    ///
    /// let float = LogNormal::of_range(1e-6, 1e-4)?;
    /// assert!((float.median / 1e-5 - 1.0).abs() < 1e-15);
    /// assert!((float.error_factor() / 10.0 - 1.0).abs() < 1e-14);
    /// // The mean lies well above the middle of so wide a range.
    /// assert!((float.mean() / 2.66e-5 - 1.0).abs() < 0.002);
    /// # Ok::<(), physics::reliability::ReliabilityError>(())
    /// ```
    pub fn of_range(low: f64, high: f64) -> Result<Self, ReliabilityError> {
        if !(low > 0.0 && low <= high) {
            return Err(ReliabilityError::NotARange { low, high });
        }
        let (low, high) = (DOUBTED.require(low)?, DOUBTED.require(high)?);
        Ok(Self {
            median: low.sqrt() * high.sqrt(),
            log_deviation: libm::log(high / low) / (2.0 * DEVIATE_95),
        })
    }

    /// By how much the 95 % point exceeds the median, and the median the 5 % point: `√(high/low)`.
    pub fn error_factor(&self) -> f64 {
        libm::exp(DEVIATE_95 * self.log_deviation)
    }

    /// The mean, `median·e^(σ²/2)`.
    pub fn mean(&self) -> f64 {
        self.median * libm::exp(self.log_deviation * self.log_deviation / 2.0)
    }

    /// The value below which it lies with a probability.
    ///
    /// # Errors
    /// [`OutOfRange`] for a probability of 0, 1, outside, or NaN.
    pub fn quantile(&self, probability: f64) -> Result<f64, OutOfRange> {
        Ok(self.median * libm::exp(self.log_deviation * normal_quantile(probability)?))
    }
}

/// A doubted quantity, and whose doubt it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubtful {
    /// What is believed of it.
    pub belief: LogNormal,
    /// Quantities of one key are wrong together: two floats of a make have one doubtful rate, not two that would make
    /// up for each other. The same from run to run.
    pub doubt_key: u64,
}

/// A figure with its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// A twentieth of the draws lies below.
    pub low: f64,
    /// Half of the draws lies below.
    pub median: f64,
    /// Mean of the draws.
    pub mean: f64,
    /// A twentieth of the draws lies above.
    pub high: f64,
}

/// Carries the doubt of several quantities through a function of them, by draws that are the same everywhere.
///
/// # Arguments
/// * `inputs`: in the order in which `figure` takes their values.
/// * `seed`, `draws`: as in [`latin_hypercube`]; 20 draws or more, some hundreds for two digits.
/// * `figure`: made of one value for each input.
///
/// # Errors
/// [`ReliabilityError::Sample`] for fewer than 20 draws, or when the figure of a draw isn't finite; what `figure`
/// refuses.
///
/// # Source
/// `MCKAY-BECKMAN-CONOVER-1979`; `HYNDMAN-FAN-1996` for the ends. That quantities known from one source are wrong
/// together: `APOSTOLAKIS-KAPLAN-1981`.
pub fn spread<F>(inputs: &[Doubtful], seed: u64, draws: u32, figure: F) -> Result<Spread, ReliabilityError>
where
    F: Fn(&[f64]) -> Result<f64, ReliabilityError>,
{
    const LEAST_DRAWS: usize = 20;
    if (draws as usize) < LEAST_DRAWS {
        return Err(ReliabilityError::Sample(SampleError::TooFew {
            given: draws as usize,
            needed: LEAST_DRAWS,
        }));
    }
    let columns: Vec<Vec<f64>> = inputs
        .iter()
        .map(|input| latin_hypercube(seed, input.doubt_key, draws, Placement::Midpoint))
        .collect();
    let mut values = vec![0.0; inputs.len()];
    let mut figures = Vec::with_capacity(draws as usize);
    for draw in 0..draws as usize {
        for ((value, input), column) in values.iter_mut().zip(inputs).zip(&columns) {
            *value = input.belief.quantile(column[draw])?;
        }
        figures.push(figure(&values)?);
    }
    let mean = stats::mean(&figures)?;
    figures.sort_by(f64::total_cmp);
    Ok(Spread {
        low: stats::quantile_of_sorted(&figures, 0.05)?,
        median: stats::quantile_of_sorted(&figures, 0.5)?,
        mean,
        high: stats::quantile_of_sorted(&figures, 0.95)?,
    })
}

/// A number times some of the inputs.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// The number: fills per second, say, or a test interval.
    pub factor: f64,
    /// Which inputs, by number; one may stand several times.
    pub inputs: Vec<usize>,
}

/// Returns the sum of products of values, as the frequency of a harm is one of rates; for [`spread`].
///
/// # Errors
/// [`ReliabilityError::NoSuchInput`].
///
/// # Source
/// `DEFINITION`.
pub fn sum_of_products(products: &[Product], values: &[f64]) -> Result<f64, ReliabilityError> {
    let mut sum = 0.0;
    for (number, product) in products.iter().enumerate() {
        let mut term = product.factor;
        for &input in &product.inputs {
            term *= values.get(input).ok_or(ReliabilityError::NoSuchInput {
                product: number,
                input,
                inputs: values.len(),
            })?;
        }
        sum += term;
    }
    Ok(sum)
}

#[cfg(test)]
mod tests {
    use super::DEVIATE_95;
    use crate::stats::normal_quantile;

    #[test]
    fn the_deviate_is_that_of_95_percent() {
        // A rounding of 0.95 moves it by 1.1·10⁻¹⁶ over the density there, 0.103.
        assert!((normal_quantile(0.95).unwrap() - DEVIATE_95).abs() < 2e-15);
    }
}
