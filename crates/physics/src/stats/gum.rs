//! Propagation of standard uncertainty to first order.

/// A best estimate and its standard uncertainty, in the same unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, one standard deviation; 0 for an exact input.
    pub standard_uncertainty: f64,
}

/// Two inputs that vary together. Pairs not listed vary on their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correlation {
    /// Index of one input.
    pub first: usize,
    /// Index of the other.
    pub second: usize,
    /// Correlation coefficient, `-1..=1`.
    pub coefficient: f64,
}

/// What one input adds to the uncertainty of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Partial derivative of the result by this input, at the estimates.
    pub sensitivity: f64,
    /// `|sensitivity|` times the input's standard uncertainty, in the unit of the result.
    pub standard_uncertainty: f64,
}

/// A result with its standard uncertainty, and where that comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// The function at the estimates.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard_uncertainty: f64,
    /// One per input, in their order.
    pub contributions: Vec<Contribution>,
}

/// Why an uncertainty could not be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GumError {
    /// Sensitivities and uncertainties that don't go in pairs.
    #[error("{sensitivities} sensitivities for {uncertainties} uncertainties")]
    Unpaired {
        /// Sensitivities given.
        sensitivities: usize,
        /// Uncertainties given.
        uncertainties: usize,
    },
    /// An input that isn't a finite number, or whose uncertainty is negative.
    #[error("input {index} is {value} with a standard uncertainty of {standard_uncertainty}")]
    Input {
        /// Which, from 0.
        index: usize,
        /// Its value, or its sensitivity.
        value: f64,
        /// Its standard uncertainty.
        standard_uncertainty: f64,
    },
    /// A correlation of an input with itself, with one that doesn't exist, or beyond ±1.
    #[error("inputs {first} and {second} cannot be correlated by {coefficient}")]
    Correlation {
        /// Index of one input.
        first: usize,
        /// Index of the other.
        second: usize,
        /// The coefficient.
        coefficient: f64,
    },
    /// Correlations that can't all hold at once: they'd make a variance negative.
    #[error("the correlations contradict each other: the variance would be {variance}")]
    Contradiction {
        /// The variance they give.
        variance: f64,
    },
    /// The function refused, or gave no finite number, near the estimates.
    #[error("the function has no value when input {index} is {value}")]
    NoValue {
        /// Which input was moved, from 0.
        index: usize,
        /// Where to.
        value: f64,
    },
    /// Figures too large to square.
    #[error("the uncertainty is too large a number")]
    Overflow,
}

/// Returns the combined standard uncertainty, in the unit of the result:
/// `u² = Σ cᵢ²uᵢ² + 2·ΣΣ cᵢcⱼrᵢⱼuᵢuⱼ`.
///
/// # Arguments
/// * `sensitivities`: partial derivatives `cᵢ`.
/// * `standard_uncertainties`: `uᵢ`, not negative, one per sensitivity.
/// * `correlations`: each pair at most once.
///
/// # Errors
/// [`GumError`] for inputs that don't pair up or aren't finite, and for impossible correlations.
///
/// # Source
/// `JCGM-100-2008` 5.1.2 and 5.2.2, equations 10, 13 and 16.
///
/// # Examples
/// ```
/// use physics::stats::{Correlation, combined_standard_uncertainty};
///
/// let weighings_kg = [0.02, 0.02];
/// let apart = combined_standard_uncertainty(&[1.0, -1.0], &weighings_kg, &[])?;
/// assert!((apart - 0.02 * 2_f64.sqrt()).abs() < 1e-15);
/// // On the same scale, most of the error is in both and drops out of the difference.
/// let same_scale = [Correlation { first: 0, second: 1, coefficient: 0.8 }];
/// assert!(combined_standard_uncertainty(&[1.0, -1.0], &weighings_kg, &same_scale)? < apart / 2.0);
/// # Ok::<(), physics::stats::GumError>(())
/// ```
pub fn combined_standard_uncertainty(
    sensitivities: &[f64],
    standard_uncertainties: &[f64],
    correlations: &[Correlation],
) -> Result<f64, GumError> {
    if sensitivities.len() != standard_uncertainties.len() {
        return Err(GumError::Unpaired {
            sensitivities: sensitivities.len(),
            uncertainties: standard_uncertainties.len(),
        });
    }
    let mut signed = Vec::with_capacity(sensitivities.len());
    for (index, (&value, &standard_uncertainty)) in
        sensitivities.iter().zip(standard_uncertainties).enumerate()
    {
        check_input(index, value, standard_uncertainty)?;
        signed.push(value * standard_uncertainty);
    }
    let squares: f64 = signed.iter().map(|part| part * part).sum();
    let mut variance = squares;
    for &Correlation {
        first,
        second,
        coefficient,
    } in correlations
    {
        let pair = (first != second && (-1.0..=1.0).contains(&coefficient))
            .then(|| Some(signed.get(first)? * signed.get(second)?))
            .flatten();
        let Some(product) = pair else {
            return Err(GumError::Correlation {
                first,
                second,
                coefficient,
            });
        };
        variance += 2.0 * coefficient * product;
    }
    if !variance.is_finite() {
        return Err(GumError::Overflow);
    }
    // Parts that cancel fully leave the rounding of the sum, on either side of nothing.
    if variance < -1e-12 * squares {
        return Err(GumError::Contradiction { variance });
    }
    Ok(variance.max(0.0).sqrt())
}

/// Propagates the uncertainties of estimates through a function, to first order.
///
/// Sensitivities are central differences at two widths, combined so that their leading error drops out: relative
/// 10⁻⁹ and better for smooth functions. An input is moved by its own uncertainty, but by no more than a
/// thousandth and no less than a ten-millionth of its value; both ways, twice.
///
/// # Arguments
/// * `function`: of the inputs in order; `None` where it refuses.
/// * `estimates`: the inputs.
/// * `correlations`: each pair at most once.
///
/// # Errors
/// [`GumError`] as [`combined_standard_uncertainty`], and where the function has no value near the estimates.
///
/// # Source
/// `JCGM-100-2008` 5.1 and 5.2.
///
/// # Examples
/// ```
/// use physics::stats::{Estimate, propagate};
///
/// let diameter_m = Estimate { value: 0.585, standard_uncertainty: 0.002 };
/// let level_m = Estimate { value: 0.742, standard_uncertainty: 0.003 };
/// let volume = propagate(
///     |x| Some(std::f64::consts::FRAC_PI_4 * x[0] * x[0] * x[1]),
///     &[diameter_m, level_m],
///     &[],
/// )?;
/// assert!((volume.standard_uncertainty - 0.001_584_234).abs() < 1e-9);
/// assert!(volume.contributions[0].standard_uncertainty > volume.contributions[1].standard_uncertainty);
/// # Ok::<(), physics::stats::GumError>(())
/// ```
pub fn propagate(
    mut function: impl FnMut(&[f64]) -> Option<f64>,
    estimates: &[Estimate],
    correlations: &[Correlation],
) -> Result<Propagation, GumError> {
    for (index, estimate) in estimates.iter().enumerate() {
        check_input(index, estimate.value, estimate.standard_uncertainty)?;
    }
    let mut inputs: Vec<f64> = estimates.iter().map(|estimate| estimate.value).collect();
    let mut sensitivities = Vec::with_capacity(inputs.len());
    for (index, estimate) in estimates.iter().enumerate() {
        let mut slope = |half_width: f64| {
            let mut at = |value: f64| {
                inputs[index] = value;
                let answer = function(&inputs).filter(|answer| answer.is_finite());
                inputs[index] = estimate.value;
                answer.ok_or(GumError::NoValue { index, value })
            };
            let (low, high) = (estimate.value - half_width, estimate.value + half_width);
            Ok::<f64, GumError>((at(high)? - at(low)?) / (high - low))
        };
        let half_width = half_width(estimate);
        let (wide, narrow) = (slope(half_width)?, slope(half_width / 2.0)?);
        sensitivities.push(narrow + (narrow - wide) / 3.0);
    }
    let first = estimates.first().map_or(0.0, |estimate| estimate.value);
    let value = function(&inputs)
        .filter(|answer| answer.is_finite())
        .ok_or(GumError::NoValue {
            index: 0,
            value: first,
        })?;
    let uncertainties: Vec<f64> = estimates
        .iter()
        .map(|estimate| estimate.standard_uncertainty)
        .collect();
    let standard_uncertainty = combined_standard_uncertainty(&sensitivities, &uncertainties, correlations)?;
    let contributions = sensitivities
        .iter()
        .zip(uncertainties)
        .map(|(&sensitivity, u)| Contribution {
            sensitivity,
            standard_uncertainty: sensitivity.abs() * u,
        })
        .collect();
    Ok(Propagation {
        value,
        standard_uncertainty,
        contributions,
    })
}

/// Standard uncertainty of what lies anywhere within `±half_width` with the same chance: `a/√3`.
///
/// # Source
/// `JCGM-100-2008` 4.3.7.
pub fn rectangular_standard_uncertainty(half_width: f64) -> f64 {
    half_width / 3_f64.sqrt()
}

/// Standard uncertainty of what lies within `±half_width`, most likely in the middle: `a/√6`.
///
/// # Source
/// `JCGM-100-2008` 4.3.9.
pub fn triangular_standard_uncertainty(half_width: f64) -> f64 {
    half_width / 6_f64.sqrt()
}

/// Returns the effective degrees of freedom of a combined uncertainty: `u⁴/Σ(uᵢ⁴/νᵢ)`.
///
/// # Arguments
/// * `combined`: combined standard uncertainty of uncorrelated contributions.
/// * `contributions`: each contribution in the unit of the result with its degrees of freedom, positive;
///   infinite for a limit taken as certain.
///
/// # Errors
/// [`GumError::Input`] for a contribution larger than the whole, degrees that aren't positive, and NaN.
/// Where nothing is in doubt the answer is infinite.
///
/// # Source
/// `JCGM-100-2008` G.4.1, the Welch-Satterthwaite formula.
pub fn effective_degrees_of_freedom(combined: f64, contributions: &[(f64, f64)]) -> Result<f64, GumError> {
    let mut sum = 0.0;
    for (index, &(contribution, degrees)) in contributions.iter().enumerate() {
        let inside = contribution.abs() <= combined * (1.0 + 1e-9);
        if !(inside && combined.is_finite() && degrees > 0.0) {
            return Err(GumError::Input {
                index,
                value: degrees,
                standard_uncertainty: contribution,
            });
        }
        if combined > 0.0 {
            let square = (contribution / combined) * (contribution / combined);
            sum += square * square / degrees;
        }
    }
    Ok(1.0 / sum)
}

fn half_width(estimate: &Estimate) -> f64 {
    let Estimate {
        value,
        standard_uncertainty,
    } = *estimate;
    let size = value.abs();
    if size > 0.0 {
        let wished = if standard_uncertainty > 0.0 {
            standard_uncertainty
        } else {
            1e-4 * size
        };
        wished.clamp(1e-7 * size, 1e-3 * size)
    } else if standard_uncertainty > 0.0 {
        // Nothing to compare with but the uncertainty itself.
        1e-2 * standard_uncertainty
    } else {
        // An exact zero: its sensitivity is for information only.
        1e-3
    }
}

fn check_input(index: usize, value: f64, standard_uncertainty: f64) -> Result<(), GumError> {
    if value.is_finite() && standard_uncertainty.is_finite() && standard_uncertainty >= 0.0 {
        Ok(())
    } else {
        Err(GumError::Input {
            index,
            value,
            standard_uncertainty,
        })
    }
}
