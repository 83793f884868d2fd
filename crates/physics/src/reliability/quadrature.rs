//! The mean of a smooth function over an interval.

/// Places and weights of Gauss and Legendre's rule of 8 points on −1 to 1, of which it has the mirror image, too.
///
/// Solved for to 40 digits from the polynomial.
const POINTS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_29),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_47),
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_26),
];

/// The mean of a function over `from..=to`, cut in so many equal panels: exact for polynomials to degree 15 in each.
///
/// A product of up to eight `1 − e^(−xᵢt)` whose `xᵢ` come to 1 at most over a panel differs from such a polynomial by
/// its 16th derivative over 16!, and the rule by (8!)⁴/(17·(16!)³) = 1.7·10⁻²³ of that derivative: nothing.
pub(super) fn mean(from: f64, to: f64, panels: u32, function: impl Fn(f64) -> f64) -> f64 {
    let panels = panels.max(1);
    let half = (to - from) / f64::from(panels) / 2.0;
    let sum: f64 = (0..panels)
        .map(|panel| {
            let middle = from + half * f64::from(2 * panel + 1);
            let both = |&(place, weight): &(f64, f64)| {
                weight * (function(middle - half * place) + function(middle + half * place))
            };
            POINTS.iter().map(both).sum::<f64>()
        })
        .sum();
    sum / f64::from(2 * panels)
}

/// So many panels that no more than one failure is expected in each.
pub(super) fn panels(exposure: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a whole number, at most 800 by the ranges of its arguments"
    )]
    let panels = exposure.ceil() as u32;
    panels.max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_to_degree_15_are_exact() {
        for degree in 0..16 {
            let power = |t: f64| (0..degree).fold(1.0, |product, _| product * t);
            let exact = 1.0 / f64::from(degree + 1);
            for panels in [1, 3] {
                // A few roundings of a sum of 8 or 24.
                let got = mean(0.0, 1.0, panels, power);
                assert!((got / exact - 1.0).abs() < 2e-15, "{degree}, {panels}: {got}");
            }
        }
        // And no further: with one panel, degree 16 is off by 1.7·10⁻²³·16!, 4·10⁻¹⁰.
        let off = mean(0.0, 1.0, 1, |t| libm::pow(t, 16.0)) - 1.0 / 17.0;
        assert!((off.abs() / 3.55e-10 - 1.0).abs() < 0.02, "{off}");
    }
}
