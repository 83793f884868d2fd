//! Student's distribution: how wide an interval few residuals leave.

/// Quantiles for a probability of 0.975, for 1 to 30 degrees of freedom.
const QUANTILES: [f64; 30] = [
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.160, 2.145, 2.131,
    2.120, 2.110, 2.101, 2.093, 2.086, 2.080, 2.074, 2.069, 2.064, 2.060, 2.056, 2.052, 2.048, 2.045, 2.042,
];
/// The same of the normal distribution.
const NORMAL: f64 = 1.959_964;

/// Half width of a 95 % interval in standard uncertainties, for one degree of freedom or more.
///
/// Source: `JCGM-100-2008` table G.2, from memory; beyond 30 degrees two terms of the usual expansion about
/// the normal quantile, `z + (z³ + z)/(4ν) + (5z⁵ + 16z³ + 3z)/(96ν²)`, from memory. Both are held by a test.
pub(super) fn half_width_95(degrees: usize) -> f64 {
    if let Some(&quantile) = QUANTILES.get(degrees.saturating_sub(1)) {
        quantile
    } else {
        let (z, n) = (NORMAL, count(degrees));
        let z3 = z * z * z;
        z + (z3 + z) / (4.0 * n) + (5.0 * z3 * z * z + 16.0 * z3 + 3.0 * z) / (96.0 * n * n)
    }
}

/// A count as a number; exact below 2⁵³.
#[expect(clippy::cast_precision_loss, reason = "no sample has 2⁵³ readings")]
pub(super) fn count(of: usize) -> f64 {
    of as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Probability within ±t, by the substitution `x = √ν·tan θ` and Simpson's rule: `∫cos^(ν−1)θ dθ`.
    fn within(t: f64, degrees: usize) -> f64 {
        let power = count(degrees) - 1.0;
        let integral = |to: f64| {
            let steps = 2000_u32;
            let h = to / f64::from(steps);
            let f = |i: u32| libm::pow(libm::cos(f64::from(i) * h).max(0.0), power);
            let inner: f64 = (1..steps)
                .map(|i| f(i) * if i % 2 == 1 { 4.0 } else { 2.0 })
                .sum();
            h / 3.0 * (f(0) + inner + f(steps))
        };
        integral(libm::atan(t / count(degrees).sqrt())) / integral(std::f64::consts::FRAC_PI_2)
    }

    #[test]
    fn half_widths_hold_95_percent() {
        for degrees in 1..=200 {
            let held = within(half_width_95(degrees), degrees);
            // Three decimals of the quantile; density there is at most 0.06.
            assert!((held - 0.95).abs() < 1e-4, "{degrees}: {held}");
        }
    }
}
