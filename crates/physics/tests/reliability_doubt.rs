//! Rates that are known within a factor, and ranges as one says them.

use physics::reliability::{
    Doubtful, LogNormal, Product, ReliabilityError, return_period_years, round_outwards, spread,
    sum_of_products,
};
use proptest::prelude::*;

fn doubt(low: f64, high: f64, doubt_key: u64) -> Doubtful {
    Doubtful {
        belief: LogNormal::of_range(low, high).expect("a range"),
        doubt_key,
    }
}

fn product_of_all(values: &[f64]) -> Result<f64, ReliabilityError> {
    let all = Product {
        factor: 1.0,
        inputs: (0..values.len()).collect(),
    };
    sum_of_products(&[all], values)
}

proptest! {
    #[test]
    fn a_range_has_a_twentieth_beyond_each_end(low in (-12.0..0.0_f64).prop_map(libm::exp10), factor in 1.0..1000.0_f64) {
        let belief = LogNormal::of_range(low, low * factor).unwrap();
        // A rounding of the deviate's 1.645, times the logarithm's 3.5 at most.
        for (probability, expected) in [(0.05, low), (0.5, low * factor.sqrt()), (0.95, low * factor)] {
            let got = belief.quantile(probability).unwrap();
            prop_assert!((got / expected - 1.0).abs() < 1e-14, "{probability}: {got} for {expected}");
        }
        prop_assert!((belief.error_factor() / factor.sqrt() - 1.0).abs() < 1e-14);
        prop_assert!(belief.mean() >= belief.median);
    }

    #[test]
    fn rounding_goes_outwards_and_no_further_than_a_step(low in (-15.0..15.0_f64).prop_map(libm::exp10), factor in 1.0..1e4_f64) {
        let high = low * factor;
        let (below, above) = round_outwards(low, high).unwrap();
        // Steps are at most a factor of 2 apart; what is on one within 10⁻⁹ stays.
        prop_assert!(below <= low * (1.0 + 1.1e-9) && low < 2.0 * below);
        prop_assert!(above >= high * (1.0 - 1.1e-9) && above < 2.0 * high);
        for end in [below, above] {
            let text = format!("{end:e}");
            let figure = text.split('e').next().unwrap();
            prop_assert!(["1", "2", "3", "5"].contains(&figure), "{text}");
        }
        prop_assert_eq!(round_outwards(below, above).unwrap(), (below, above));
    }

    #[test]
    fn years_between_are_the_other_way_round(low in (-6.0..2.0_f64).prop_map(libm::exp10), factor in 1.0..1e4_f64) {
        let (shortest, longest) = return_period_years(low, low * factor).unwrap();
        prop_assert!(shortest <= (1.0 + 1.1e-9) / (low * factor) && longest >= (1.0 - 1.1e-9) / low);
    }
}

#[test]
fn ranges_are_said_in_round_numbers() {
    #[rustfmt::skip]
    let rows = [
        (0.0042, 0.27, 0.003, 0.3),
        (1.0, 1.0, 1.0, 1.0),
        (0.9999, 1.0001, 0.5, 2.0),
        (3.0, 300.0, 3.0, 300.0),
        (299.999_999_999_9, 300.000_000_000_1, 300.0, 300.0),
        (9.99, 10.01, 5.0, 20.0),
        (4.99e-7, 5.01e-7, 3e-7, 1e-6),
    ];
    for (low, high, below, above) in rows {
        assert_eq!(round_outwards(low, high), Ok((below, above)), "{low} to {high}");
    }
    assert_eq!(return_period_years(1.0 / 300.0, 1.0 / 3.0), Ok((3.0, 300.0)));
    for (low, high) in [
        (0.0, 1.0),
        (2.0, 1.0),
        (f64::NAN, 1.0),
        (1.0, f64::NAN),
        (-1.0, 1.0),
    ] {
        assert!(matches!(
            round_outwards(low, high),
            Err(ReliabilityError::NotARange { .. })
        ));
        assert!(return_period_years(low, high).is_err());
        assert!(LogNormal::of_range(low, high).is_err());
    }
    assert!(round_outwards(1e-22, 1.0).is_err() && round_outwards(1.0, f64::INFINITY).is_err());
}

const DRAWS: u32 = 2000;

#[test]
fn a_product_of_doubts_is_log_normal_again() {
    let inputs = [doubt(1e-6, 1e-4, 1), doubt(1e-3, 3e-2, 2), doubt(0.5, 2.0, 3)];
    let got = spread(&inputs, 7, DRAWS, product_of_all).unwrap();
    let log_deviation = inputs
        .iter()
        .map(|input| input.belief.log_deviation * input.belief.log_deviation)
        .sum::<f64>()
        .sqrt();
    let median: f64 = inputs.iter().map(|input| input.belief.median).product();
    // Of 2000 draws, unstratified, the 5 % point is uncertain by sqrt(0.05·0.95/2000)/0.103 = 0.047 deviations, the
    // median by sqrt(0.25/2000)/0.399 = 0.028; four of each.
    for (what, got, deviates, tolerance) in [
        ("low", got.low, -1.645, 0.19),
        ("median", got.median, 0.0, 0.11),
        ("high", got.high, 1.645, 0.19),
    ] {
        let off = libm::log(got / median) / log_deviation - deviates;
        assert!(off.abs() < tolerance, "{what}: off by {off} deviations");
    }
    // The mean's own scatter: sqrt(e^(σ²) − 1) of it over the root of the draws, four times.
    let square = log_deviation * log_deviation;
    let mean = median * libm::exp(square / 2.0);
    let tolerance = 4.0 * (libm::expm1(square) / f64::from(DRAWS)).sqrt();
    assert!(
        (got.mean / mean - 1.0).abs() < tolerance,
        "{} for {mean} within {tolerance}",
        got.mean
    );
}

#[test]
fn what_is_doubted_together_is_wrong_together() {
    let alike = [doubt(1e-6, 1e-4, 5), doubt(1e-6, 1e-4, 5)];
    let got = spread(&alike, 7, DRAWS, product_of_all).unwrap();
    // A square: its ends are the squares of the ends, but for the half of a slice that lies between draws: a 4000th
    // over the density at the ends, 0.103/σ each of σ = 1.4, doubled.
    for (got, expected) in [(got.low, 1e-12), (got.median, 1e-10), (got.high, 1e-8)] {
        assert!((got / expected - 1.0).abs() < 0.01, "{got} for {expected}");
    }
    let apart = [alike[0], doubt(1e-6, 1e-4, 6)];
    let independent = spread(&apart, 7, DRAWS, product_of_all).unwrap();
    assert!(got.high / got.low > 10.0 * independent.high / independent.low);
    assert!(
        got.mean > 3.0 * independent.mean,
        "the mean of a square is more than the square of the mean"
    );
    // The same everywhere, and whatever other inputs there are.
    assert_eq!(spread(&alike, 7, DRAWS, product_of_all), Ok(got));
    let beside = [alike[0], alike[1], doubt(1.0, 1.0, 9)];
    assert_eq!(spread(&beside, 7, DRAWS, product_of_all), Ok(got));
}

#[test]
fn sums_of_products_are_summed_and_checked() {
    let products = [
        Product {
            factor: 2.0,
            inputs: vec![0, 1],
        },
        Product {
            factor: 0.5,
            inputs: vec![1, 1],
        },
        Product {
            factor: 7.0,
            inputs: vec![],
        },
    ];
    assert_eq!(sum_of_products(&products, &[3.0, 4.0]), Ok(24.0 + 8.0 + 7.0));
    assert_eq!(
        sum_of_products(&products, &[3.0]),
        Err(ReliabilityError::NoSuchInput {
            product: 0,
            input: 1,
            inputs: 1
        })
    );
    let inputs = [doubt(1.0, 2.0, 1)];
    assert!(spread(&inputs, 1, 19, product_of_all).is_err());
    assert!(spread(&inputs, 1, 20, |_| Ok(f64::NAN)).is_err());
    let refused = spread(&inputs, 1, 20, |_| Err(ReliabilityError::NeverHappens));
    assert_eq!(refused, Err(ReliabilityError::NeverHappens));
}
