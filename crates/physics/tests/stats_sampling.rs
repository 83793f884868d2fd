//! Stratified draws, the normal quantile, and figures of a sample.

use physics::stats::{
    Placement, SampleError, correlation, latin_hypercube, mean, normal_cumulative, normal_quantile, quantile,
    standard_deviation, standard_deviation_of_mean,
};
use proptest::prelude::*;

struct Quantile {
    probability: f64,
    deviate: f64,
    tolerance: f64,
    source: &'static str,
    why_tolerance: &'static str,
}

#[rustfmt::skip]
const QUANTILES: &[Quantile] = &[
    Quantile { probability: 0.25, deviate: -0.674_489_750_196_081_7, tolerance: 1e-15, source: "WICHURA-1988, test value of PPND16; from memory", why_tolerance: "its stated accuracy, 1 part in 1e16, and two roundings" },
    Quantile { probability: 0.001, deviate: -3.090_232_306_167_814, tolerance: 2e-15, source: "WICHURA-1988, test value of PPND16; from memory", why_tolerance: "as above" },
    Quantile { probability: 1e-20, deviate: -9.262_340_089_798_408, tolerance: 5e-15, source: "WICHURA-1988, test value of PPND16; from memory", why_tolerance: "as above, at nine" },
    Quantile { probability: 0.5, deviate: 0.0, tolerance: 0.0, source: "symmetry", why_tolerance: "exact" },
    Quantile { probability: 0.841_344_746, deviate: 1.0, tolerance: 3e-9, source: "printed tables of the normal integral, 9 decimals; from memory", why_tolerance: "half a unit of the ninth decimal over the density 0.242" },
    Quantile { probability: 0.95, deviate: 1.644_854, tolerance: 5e-7, source: "printed tables, 6 decimals; from memory", why_tolerance: "half a unit of the last printed digit" },
    Quantile { probability: 0.975, deviate: 1.959_964, tolerance: 5e-7, source: "printed tables, 6 decimals; from memory", why_tolerance: "half a unit of the last printed digit" },
    Quantile { probability: 0.995, deviate: 2.575_829, tolerance: 5e-7, source: "printed tables, 6 decimals; from memory", why_tolerance: "half a unit of the last printed digit" },
];

#[test]
fn normal_quantiles_meet_the_tables() {
    for row in QUANTILES {
        let got = normal_quantile(row.probability).unwrap();
        let Quantile {
            probability,
            deviate,
            source,
            why_tolerance,
            ..
        } = row;
        assert!(
            (got - deviate).abs() <= row.tolerance,
            "p={probability}: {got} against {deviate} of {source} ({why_tolerance})"
        );
    }
    for probability in [0.0, 1.0, -0.1, 1.1, f64::NAN] {
        assert!(normal_quantile(probability).is_err());
    }
    assert!(normal_cumulative(f64::NAN).is_err());
}

#[test]
fn quantile_and_integral_undo_each_other() {
    // Two algorithms without a common coefficient: 60 decades of the tail, and the middle.
    for step in 1..=600 {
        let probability = libm::exp10(-f64::from(step) / 10.0);
        let back = normal_cumulative(normal_quantile(probability).unwrap()).unwrap();
        // The integral falls by a factor 1 - z²·ε for a rounding of z by ε; z² is at most 275 here.
        assert!((back / probability - 1.0).abs() < 2e-13, "{probability}: {back}");
    }
    for step in 1..1000 {
        let probability = f64::from(step) / 1000.0;
        let back = normal_cumulative(normal_quantile(probability).unwrap()).unwrap();
        assert!((back - probability).abs() < 1e-15, "{probability}: {back}");
    }
}

proptest! {
    #[test]
    fn each_slice_is_drawn_once(seed: u64, key: u64, draws in 0..300_u32) {
        for placement in [Placement::Midpoint, Placement::Jittered] {
            let column = latin_hypercube(seed, key, draws, placement);
            let mut slices: Vec<u32> = column.iter().map(|p| (p * f64::from(draws)) as u32).collect();
            slices.sort_unstable();
            prop_assert_eq!(slices, (0..draws).collect::<Vec<_>>());
            prop_assert!(column.iter().all(|p| *p > 0.0 && *p < 1.0));
            prop_assert!(column.iter().all(|p| normal_quantile(*p).is_ok()));
            prop_assert_eq!(&column, &latin_hypercube(seed, key, draws, placement));
        }
    }

    #[test]
    fn a_sample_lies_between_its_ends(sample in prop::collection::vec(-1e6..1e6_f64, 1..50), p in 0.0..=1.0_f64) {
        let (low, high) = (quantile(&sample, 0.0).unwrap(), quantile(&sample, 1.0).unwrap());
        let rounding = 1e-15 * (low.abs() + high.abs()) * 50.0;
        prop_assert!((low..=high).contains(&quantile(&sample, p).unwrap()));
        prop_assert!((low - rounding..=high + rounding).contains(&mean(&sample).unwrap()));
    }
}

#[test]
fn columns_of_different_keys_go_their_own_ways() {
    let mut worst = 0.0_f64;
    let columns: Vec<_> = (0..12)
        .map(|key| latin_hypercube(7, key, 512, Placement::Midpoint))
        .collect();
    for (index, first) in columns.iter().enumerate() {
        for second in &columns[..index] {
            worst = worst.max(correlation(first, second).unwrap().abs());
        }
    }
    // 66 pairs of shuffles: each correlation has a standard deviation of 1/sqrt(511) = 0.044; four of them.
    assert!(worst < 0.177, "{worst}");
}

#[test]
fn the_draws_are_pinned() {
    // Same seed, same bytes, on every machine and in every build: a change here moves every interval shown.
    assert_eq!(latin_hypercube(42, 1, 8, Placement::Midpoint), PINNED_MIDPOINTS);
    assert_eq!(latin_hypercube(42, 1, 3, Placement::Jittered), PINNED_JITTERED);
}
const PINNED_MIDPOINTS: [f64; 8] = [0.5625, 0.1875, 0.6875, 0.8125, 0.3125, 0.0625, 0.9375, 0.4375];
const PINNED_JITTERED: [f64; 3] = [
    0.749_971_080_014_394_7,
    0.454_957_919_925_049_47,
    0.324_854_325_609_534_8,
];

#[test]
fn stratified_draws_find_a_mean_and_a_spread_quickly() {
    let deviates: Vec<f64> = latin_hypercube(1, 1, 512, Placement::Midpoint)
        .into_iter()
        .map(|p| normal_quantile(p).unwrap())
        .collect();
    // Midpoints are symmetric, so the mean is nothing but rounding; the cut tails cost a little spread.
    assert!(mean(&deviates).unwrap().abs() < 1e-14);
    assert!((standard_deviation(&deviates).unwrap() - 1.0).abs() < 0.002);
}

#[test]
fn quantiles_of_five_readings() {
    // HYNDMAN-FAN-1996 definition 7, by hand: h = 4·p.
    let readings = [15.0, 50.0, 20.0, 40.0, 35.0];
    for (p, expected) in [
        (0.0, 15.0),
        (0.05, 16.0),
        (0.25, 20.0),
        (0.4, 29.0),
        (0.5, 35.0),
        (1.0, 50.0),
    ] {
        assert!((quantile(&readings, p).unwrap() - expected).abs() < 1e-13, "{p}");
    }
}

#[test]
fn samples_without_sense_are_refused() {
    assert_eq!(mean(&[]), Err(SampleError::TooFew { given: 0, needed: 1 }));
    assert_eq!(
        standard_deviation_of_mean(&[1.0]),
        Err(SampleError::TooFew { given: 1, needed: 2 })
    );
    assert_eq!(
        mean(&[1.0, f64::INFINITY]),
        Err(SampleError::NotFinite {
            index: 1,
            value: f64::INFINITY
        })
    );
    assert!(mean(&[f64::NAN]).is_err());
    assert_eq!(correlation(&[1.0, 2.0], &[3.0, 3.0]), Err(SampleError::NoSpread));
    assert_eq!(
        correlation(&[1.0, 2.0], &[3.0]),
        Err(SampleError::Unpaired { first: 2, second: 1 })
    );
    assert!(quantile(&[1.0], f64::NAN).is_err());
}
