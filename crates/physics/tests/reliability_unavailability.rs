//! Unavailability of single parts and of parts that back each other up, against limits, closed forms and each other.

use physics::reliability::{
    Finding, ReliabilityError, Twins, partly_tested_mean, revealed, since_test, staggered_pair_mean,
    tested_mean, tested_mean_handbook, tested_together_frequency_per_s, tested_together_mean,
};
use proptest::prelude::*;

/// What a handful of roundings leave.
const ROUNDING: f64 = 3e-15;

/// A quadrature of up to 300 panels, and what it is compared with.
const QUADRATURE: f64 = 3e-14;

const YEAR_S: f64 = 31_557_600.0;

/// Simpson's rule over 0 to 1: the mean of a smooth function by other means than the code's.
fn simpson(function: impl Fn(f64) -> f64) -> f64 {
    const STEPS: u32 = 400;
    let weight = |step: u32| match step {
        0 | STEPS => 1.0,
        step if step % 2 == 1 => 4.0,
        _ => 2.0,
    };
    let at = |step: u32| weight(step) * function(f64::from(step) / f64::from(STEPS));
    (0..=STEPS).map(at).sum::<f64>() / (3.0 * f64::from(STEPS))
}

proptest! {
    #[test]
    fn a_tested_part_lies_between_its_series(x in (-12.0..2.0_f64).prop_map(libm::exp10), interval_s in 1.0..1e9_f64) {
        let rate = x / interval_s;
        prop_assume!(rate <= 1.0 && x < 100.0);
        let mean = tested_mean(rate, interval_s).unwrap();
        prop_assert!(mean > 0.0 && mean < 1.0);
        prop_assert!(mean <= x / 2.0 * (1.0 + ROUNDING));
        prop_assert!(mean >= (x / 2.0 - x * x / 6.0) * (1.0 - ROUNDING));
        if x <= 2.0 {
            let short = tested_mean_handbook(rate, interval_s).unwrap();
            prop_assert!(short >= mean * (1.0 - ROUNDING));
            prop_assert!(x > 0.1 || short <= 1.04 * mean);
        }
        // It is the mean of what it is at each age; the fourth derivative of that is x⁴, Simpson's error x⁴/(180·400⁴).
        let slow = simpson(|age| since_test(rate, age * interval_s).unwrap());
        prop_assert!((slow - mean).abs() <= x.min(1.0) * (ROUNDING * 10.0 + x * x * x * x.max(1.0) / 4.6e12));
    }

    #[test]
    fn longer_between_tests_is_worse(x in 1e-9..30.0_f64, longer in 1.001..3.0_f64) {
        let rate = x / YEAR_S;
        prop_assert!(tested_mean(rate, longer * YEAR_S).unwrap() > tested_mean(rate, YEAR_S).unwrap());
        prop_assert!(tested_mean(longer * rate, YEAR_S).unwrap() > tested_mean(rate, YEAR_S).unwrap());
        prop_assert!(since_test(rate, longer * YEAR_S).unwrap() >= since_test(rate, YEAR_S).unwrap());
        prop_assert!(revealed(rate, longer * YEAR_S).unwrap() > revealed(rate, YEAR_S).unwrap());
        let twins = |interval_s| Twins { rate_per_s: rate, interval_s, beta: 0.1 }.mean().unwrap();
        prop_assert!(twins(longer * YEAR_S).both > twins(YEAR_S).both);
    }

    #[test]
    fn a_repaired_part_fails_once_in_its_cycle(x in 1e-9..100.0_f64) {
        // λ(1 − q) is one failure in each mean time up and down together.
        let (rate, repair_s) = (x / YEAR_S, YEAR_S);
        let q = revealed(rate, repair_s).unwrap();
        prop_assert!((rate * (1.0 - q) * (1.0 / rate + repair_s) - 1.0).abs() <= ROUNDING * (1.0 + x));
    }

    #[test]
    fn tested_together_parts_are_worse_than_their_means(x in proptest::collection::vec(1e-9..20.0_f64, 1..=4)) {
        let rates: Vec<f64> = x.iter().map(|x| x / YEAR_S).collect();
        let together = tested_together_mean(&rates, YEAR_S).unwrap();
        let means: Vec<f64> = rates.iter().map(|rate| tested_mean(*rate, YEAR_S).unwrap()).collect();
        let product: f64 = means.iter().product();
        // Chebyshev's inequality: all rise together. And no more than the best of them.
        prop_assert!(together >= product * (1.0 - QUADRATURE));
        prop_assert!(together <= means.iter().copied().fold(1.0, f64::min) * (1.0 + QUADRATURE));
        if let [rate] = rates[..] {
            prop_assert!((together / tested_mean(rate, YEAR_S).unwrap() - 1.0).abs() <= QUADRATURE);
        }
        // n + 1 times smaller than at the interval's end while faults are rare: e^(−x) lies between 1 − x and 1.
        let n = x.len() as f64;
        let sum: f64 = x.iter().sum();
        let rare: f64 = x.iter().product::<f64>() / (n + 1.0);
        prop_assert!(together <= rare * (1.0 + QUADRATURE) && together >= rare * (1.0 - sum / 2.0));
    }

    #[test]
    fn by_turns_is_better_than_at_once(a in 1e-9..20.0_f64, b in 1e-9..20.0_f64, offset in 0.0..1.0_f64) {
        let rates = [a / YEAR_S, b / YEAR_S];
        let at = |offset| staggered_pair_mean(rates, YEAR_S, offset).unwrap();
        let together = tested_together_mean(&rates, YEAR_S).unwrap();
        for end in [0.0, 1.0] {
            prop_assert!((at(end) / together - 1.0).abs() <= QUADRATURE);
        }
        prop_assert!(at(offset) <= together * (1.0 + QUADRATURE));
        // The other part's view of the same pair.
        let turned = staggered_pair_mean([rates[1], rates[0]], YEAR_S, 1.0 - offset).unwrap();
        prop_assert!((turned / at(offset) - 1.0).abs() <= QUADRATURE);
    }

    #[test]
    fn over_all_offsets_the_pair_is_independent(a in 1e-6..3.0_f64, b in 1e-6..3.0_f64) {
        let rates = [a / YEAR_S, b / YEAR_S];
        let mean = simpson(|offset| staggered_pair_mean(rates, YEAR_S, offset).unwrap());
        let product = tested_mean(rates[0], YEAR_S).unwrap() * tested_mean(rates[1], YEAR_S).unwrap();
        // Simpson's error, (a + b)⁴/(180·400⁴) of the value at most.
        prop_assert!((mean / product - 1.0).abs() <= 1e-9, "{mean} for {product}");
    }

    #[test]
    fn a_common_cause_lies_between_two_parts_and_one(x in 1e-9..50.0_f64, beta in 0.0..1.0_f64) {
        let rate = x / YEAR_S;
        let of = |beta| Twins { rate_per_s: rate, interval_s: YEAR_S, beta };
        let two = tested_together_mean(&[rate; 2], YEAR_S).unwrap();
        let one = tested_mean(rate, YEAR_S).unwrap();
        let mean = of(beta).mean().unwrap();
        prop_assert!((of(0.0).mean().unwrap().both / two - 1.0).abs() <= QUADRATURE);
        prop_assert_eq!(of(0.0).mean().unwrap().common, 0.0);
        prop_assert!((of(1.0).mean().unwrap().both / one - 1.0).abs() <= QUADRATURE);
        prop_assert!(mean.both >= two * (1.0 - QUADRATURE) && mean.both <= one * (1.0 + QUADRATURE));
        prop_assert!(mean.common <= mean.both);
        // 1 − 2e^(−u) + e^(−(2−β)u), in closed form, where that keeps its digits.
        if x > 1.0 {
            let e = |x: f64| -libm::expm1(-x) / x;
            let closed = 1.0 - 2.0 * e(x) + e((2.0 - beta) * x);
            prop_assert!((mean.both / closed - 1.0).abs() <= QUADRATURE);
        }
        if x <= 2.0 {
            let (better, simple) = (of(beta).handbook().unwrap(), of(beta).simplified().unwrap());
            prop_assert!(mean.both <= better.both * (1.0 + QUADRATURE));
            prop_assert!(better.both <= simple.both * (1.0 + ROUNDING));
            prop_assert!(x > 0.1 || better.both <= 1.1 * mean.both);
            prop_assert_eq!(better.common, simple.common);
        }
    }

    #[test]
    fn a_test_that_finds_a_share_is_between_all_and_none(x in 1e-9..2.0_f64, share in 0.0..1.0_f64, intervals in 1..40_u32) {
        let rate = x / YEAR_S;
        let at = |share| partly_tested_mean(rate, YEAR_S, share, intervals).unwrap();
        let all = tested_mean(rate, YEAR_S).unwrap();
        let none = tested_mean(rate, YEAR_S * f64::from(intervals)).unwrap();
        prop_assert!((at(1.0) / all - 1.0).abs() <= QUADRATURE);
        prop_assert!((at(0.0) / none - 1.0).abs() <= QUADRATURE);
        prop_assert!(at(share) >= all * (1.0 - QUADRATURE) && at(share) <= none * (1.0 + QUADRATURE));
        // Over the whole mission, interval by interval; Simpson's error is x⁴/(180·400⁴) at most.
        let slow = (0..intervals)
            .map(|k| simpson(|age| -libm::expm1(-x * (age + (1.0 - share) * f64::from(k)))))
            .sum::<f64>()
            / f64::from(intervals);
        prop_assert!((at(share) / slow - 1.0).abs() <= 1e-11, "{} for {slow}", at(share));
    }
}

#[test]
fn rare_faults_have_their_well_known_factors() {
    let rate = 1e-9 / YEAR_S;
    let one = tested_mean(rate, YEAR_S).unwrap();
    // The next term is x = 10⁻⁹ smaller.
    for (parts, factor) in [(1, 1.0), (2, 4.0 / 3.0), (3, 2.0), (4, 16.0 / 5.0)] {
        let together = tested_together_mean(&vec![rate; parts], YEAR_S).unwrap();
        let product = (0..parts).fold(1.0, |product, _| product * one);
        assert!((together / product / factor - 1.0).abs() < 1e-8, "{parts}");
    }
    // By turns, half an interval apart: 5/24 of (λτ)², from memory, and 5/8 of what it is at once.
    let by_turns = staggered_pair_mean([rate; 2], YEAR_S, 0.5).unwrap();
    assert!((by_turns / 1e-18 * 24.0 / 5.0 - 1.0).abs() < 1e-8);
    // Ever so rare, and still to the last digits: nothing is subtracted.
    let tiny = tested_together_mean(&[1e-100; 2], 1.0).unwrap();
    assert!((tiny / 1e-200 * 3.0 - 1.0).abs() < QUADRATURE);
}

#[test]
fn each_way_of_finding_has_its_law() {
    let rate_per_s = 1e-8;
    let is = |finding: Finding, expected: f64| assert_eq!(finding.unavailability(), Ok(expected));
    is(
        Finding::Revealed {
            rate_per_s,
            repair_s: 1e8,
        },
        0.5,
    );
    let year = tested_mean(rate_per_s, YEAR_S).unwrap();
    is(
        Finding::Tested {
            rate_per_s,
            interval_s: YEAR_S,
        },
        year,
    );
    is(
        Finding::Never {
            rate_per_s,
            mission_s: YEAR_S,
        },
        year,
    );
    let now = Finding::SinceTest {
        rate_per_s,
        age_s: YEAR_S,
    };
    is(now, 1.0 - libm::exp(-rate_per_s * YEAR_S));
    assert_eq!(now.rate_per_s(), Some(rate_per_s));
    let asked = Finding::OnDemand { probability: 1e-3 };
    is(asked, 1e-3);
    assert_eq!(asked.rate_per_s(), None);
    assert!(Finding::OnDemand { probability: 1.5 }.unavailability().is_err());
}

#[test]
fn what_makes_no_sense_is_refused() {
    for rate in [-1e-9, 1.5, f64::NAN, f64::INFINITY] {
        assert!(tested_mean(rate, YEAR_S).is_err());
        assert!(revealed(rate, YEAR_S).is_err());
        assert!(since_test(rate, YEAR_S).is_err());
        assert!(tested_mean_handbook(rate, YEAR_S).is_err());
    }
    for time_s in [-1.0, 101.0 * YEAR_S, f64::NAN] {
        assert!(tested_mean(1e-9, time_s).is_err());
        assert!(revealed(1e-9, time_s).is_err());
    }
    assert_eq!(tested_mean(1e-9, 0.0), Ok(0.0));
    assert!(tested_mean(1e-5, YEAR_S).is_err(), "300 failures between tests");
    assert!(
        tested_mean_handbook(1e-7, YEAR_S).is_err(),
        "the short form would exceed 1"
    );
    assert_eq!(
        tested_together_mean(&[], YEAR_S),
        Err(ReliabilityError::PartCount { given: 0, most: 8 })
    );
    assert!(tested_together_mean(&[1e-9; 9], YEAR_S).is_err());
    assert!(tested_together_frequency_per_s(&[1e-9], 0.0).is_err());
    assert!(staggered_pair_mean([1e-9; 2], YEAR_S, 1.1).is_err());
    assert!(partly_tested_mean(1e-9, YEAR_S, 1.1, 3).is_err());
    assert!(partly_tested_mean(1e-9, YEAR_S, 0.5, 0).is_err());
    let twins = Twins {
        rate_per_s: 1e-9,
        interval_s: YEAR_S,
        beta: 1.1,
    };
    assert!(twins.mean().is_err() && twins.handbook().is_err() && twins.simplified().is_err());
}
