//! Every registered method against a number that its own code did not make.
//!
//! Sources: `fill_lines`, `salt_batch`, `freshwater_co2` and `evaporation` are tables in `validation/`
//! (quadrature; mass balance on TEOS-10 density; Parkhurst & Appelo 2013 with ion pairs; the natatorium form by
//! another program). `handbook 10` is a worked case of the design handbook. `arithmetic`: by hand.

mod integrated;
mod stirring;
mod supply;
mod water;

use proof::{METHODS, method};

const DAY: f64 = 86_400.0;
const WEEK: f64 = 7.0 * DAY;

/// Method, inputs in SI, expected, tolerance, source.
type Case = (&'static str, &'static [f64], f64, f64, &'static str);

/// Method, inputs in SI, expected, tolerance, source; the tolerance is half a unit of the last printed digit,
/// or rounding where the source has full precision.
#[rustfmt::skip]
const CASES: &[Case] = &[
    ("volume-cylinder", &[0.336, 1.341, 0.06705], 0.005_945_210_256_232_274, 1e-14, "fill_lines 01"),
    ("volume-tapered-round", &[0.722, 0.756656, 0.642, 0.0321], 0.013_173_804_031_215_822, 1e-14, "fill_lines 02"),
    ("volume-box", &[0.838, 0.332, 0.307, 0.01535], 0.004_270_615_6, 1e-14, "fill_lines 03"),
    ("volume-tapered-box", &[0.454, 0.417, 0.532088, 0.448275, 0.456, 0.0228], 0.004_343_150_883_061_8, 1e-14, "fill_lines 04"),
    ("volume-horizontal-cylinder", &[0.493, 0.851, 0.02465], 0.003_036_638_818_132_698_2, 1e-14, "fill_lines 05"),
    // pi/12 x 0.3 x (0.1^2 + 0.1 x 0.7 + 0.7^2) + pi/4 x 0.49 x 0.2
    ("volume-cone-bottom", &[0.1, 0.7, 0.3, 1.0, 0.5], 0.121_736_715_326_604_3, 1e-12, "arithmetic"),
    ("volume-measured", &[0.0, 0.0, 0.2, 0.046, 0.4, 0.095, 0.3], 0.0705, 1e-14, "arithmetic"),
    ("level-cylinder", &[0.336, 1.341, 0.0118904], 0.134_099_768_660_705_22, 1e-9, "fill_lines 01"),
    ("level-tapered-round", &[0.722, 0.756656, 0.642, 0.0275663], 0.066_994_732_523_766_84, 1e-9, "fill_lines 02"),
    ("level-box", &[0.838, 0.332, 0.307, 0.0085412], 0.030_699_887_856_916_93, 1e-9, "fill_lines 03"),
    ("level-tapered-box", &[0.454, 0.417, 0.532088, 0.448275, 0.456, 0.0097362], 0.050_728_110_393_261_396, 1e-9, "fill_lines 04"),
    ("level-horizontal-cylinder", &[0.493, 0.851, 0.0162448], 0.077_142_597_960_271_04, 1e-9, "fill_lines 05"),
    ("level-cone-bottom", &[0.1, 0.7, 0.3, 1.0, 0.121_736_715_326_604_3], 0.5, 1e-9, "arithmetic"),
    ("level-measured", &[0.0, 0.0, 0.2, 0.046, 0.4, 0.095, 0.0705], 0.3, 1e-12, "arithmetic"),
    ("level-above", &[0.88, 0.03], 0.91, 1e-15, "arithmetic"),
    ("level-below", &[0.85, 0.04], 0.81, 1e-15, "arithmetic"),
    ("run-volume", &[0.348, 0.103], 0.245, 1e-15, "arithmetic"),
    ("drawable-volume", &[0.103, 0.036], 0.067, 1e-15, "arithmetic"),
    ("drawable-volume", &[0.03, 0.036], 0.0, 0.0, "arithmetic: nothing below the lowest level"),
    ("sum-of-volumes", &[0.1, 0.2, 0.3], 0.6, 1e-15, "arithmetic"),
    ("mass-when-full", &[0.2, 35.0, 25.0, 0.0], 204.7, 0.05, "handbook 21"),
    ("mass-when-full", &[0.2, 35.0, 25.0, 11.0], 215.7, 0.05, "handbook 21 and 11 kg"),
    ("floor-load", &[213.06, 0.536, 0.5, 1.0], 795.0, 0.5, "handbook 21: 208 L on 0.268 m2"),
    ("pouring-height", &[0.52, 0.85], 1.37, 1e-15, "arithmetic"),
    ("strength-of-the-mix", &[8.0, 0.2, 35.0, 25.0, 1.0], 7.197 / 8.0, 1e-4, "handbook 21"),
    ("strength-of-the-mix", &[33.950_606_960_280_496, 0.822, 32.0, 21.1, 0.0], 0.809, 1e-9, "salt_batch batch_02"),
    ("dry-mass-for-finished", &[0.2, 35.0, 25.0, 1.0], 7.197, 5e-4, "handbook 21"),
    ("fresh-for-finished", &[0.2, 35.0, 25.0, 1.0], 0.1981, 5e-5, "handbook 21"),
    ("finished-from-bag", &[33.950_606_960_280_496, 32.0, 21.1, 0.809], 0.835_740_852_617_953_3, 1e-9, "salt_batch batch_02"),
    ("fresh-from-bag", &[33.950_606_960_280_496, 32.0, 21.1, 0.809], 0.822, 1e-9, "salt_batch batch_02"),
    ("salinity-reached", &[33.950_606_960_280_496, 0.822, 21.1, 0.809], 32.0, 1e-9, "salt_batch batch_02"),
    ("ion-at-salinity", &[0.42, 35.0, 35.0, 25.0], 0.42, 1e-15, "limit: the analysed water itself"),
    ("ion-at-salinity", &[0.42, 35.0, 15.0, 25.0], 0.177_354_017_451_934_85, 1e-12, "densities of validation/seawater.csv, in proportion"),
    ("ion-at-salinity", &[0.42, 35.0, 0.0, 25.0], 0.0, 0.0, "limit: no salt"),
    ("batch-in-a-change", &[0.02, 35.0, 35.0, 24.0], 0.02, 1e-12, "limit: nothing to thin"),
    ("batch-in-a-change", &[0.02, 35.0, 0.0, 24.0], 0.0, 1e-12, "limit: all fresh"),
    // 0.02 m3 x 1010.4513 kg/m3 / 2 / 1023.6437 kg/m3
    ("batch-in-a-change", &[0.02, 35.0, 17.5, 24.0], 0.009_871_124, 1e-9, "arithmetic: half the salt of each kilogram"),
    ("fresh-in-a-bucket", &[0.02, 35.0, 35.0, 24.0], 0.0, 1e-12, "limit: nothing to thin"),
    ("fresh-in-a-bucket", &[0.02, 35.0, 0.0, 24.0], 0.02, 1e-12, "limit: all fresh"),
    ("sum-of-flows", &[1e-6, 2e-6], 3e-6, 1e-20, "arithmetic"),
    ("change-rate", &[0.09, WEEK], 0.09 / 604_800.0, 1e-20, "arithmetic"),
    ("fresh-in-salt-water", &[0.2, 35.0, 25.0, 1.0], 0.1981, 5e-5, "handbook 21"),
    ("emergency-change", &[0.25, 0.9], 0.225, 1e-15, "arithmetic"),
    ("time-a-store-lasts", &[0.3, 0.1 / DAY], 3.0 * DAY, 1e-6, "arithmetic"),
    ("time-between-runs", &[0.2, 0.1 / DAY], 2.0 * DAY, 1e-6, "arithmetic"),
    ("top-off-drift", &[35.0, 0.005 / DAY, 0.5], 10.5, 1e-9, "handbook 10: 1 % a day for 30 days"),
    ("change-fraction", &[0.09, 0.9], 0.1, 1e-15, "arithmetic"),
    ("level-before-change", &[1e-3 / DAY, WEEK, 0.15], 46.7e-3, 0.05e-3, "handbook 10: +1 mg/L a day, weekly 15 %"),
    ("fraction-to-hold", &[1e-3 / DAY, WEEK, 46.666_667e-3], 0.15, 1e-8, "handbook 10, backwards"),
    ("one-change-now", &[2e-3, 0.25e-3], 0.875, 1e-12, "handbook 10: ammonia 2.0 to 0.25 mg/L"),
    ("exchange-now", &[1e-3, 0.3679e-3, 0.5], 0.5, 1e-4, "handbook 10: one volume leaves 0.3679"),
    ("cost-of-salt", &[10.0, 68.0, 20.0], 34.0, 1e-12, "arithmetic"),
    ("cost-of-batch", &[34.0, 0.2, 20.0], 38.0, 1e-12, "arithmetic"),
    ("cost-per-volume", &[38.0, 0.2], 190.0, 1e-12, "arithmetic"),
];

/// All cases: of the stores, of the water made, of what it costs.
fn cases() -> impl Iterator<Item = &'static Case> {
    CASES
        .iter()
        .chain(water::CASES)
        .chain(supply::CASES)
        .chain(stirring::CASES)
}

/// Evaluates a method that must answer.
fn answer(key: &str, inputs: &[f64]) -> f64 {
    let method = method(key).unwrap_or_else(|| panic!("{key} isn't registered"));
    method
        .evaluate(inputs)
        .unwrap_or_else(|refusal| panic!("{key}{inputs:?}: {refusal}"))
}

#[test]
fn each_method_meets_its_case() {
    let misses: Vec<String> = cases()
        .filter_map(|(key, inputs, expected, tolerance, source)| {
            let got = answer(key, inputs);
            let miss = (got - expected).abs() > *tolerance;
            miss.then(|| format!("{key}{inputs:?}: {got}, {source} says {expected} to {tolerance}"))
        })
        .collect();
    assert!(misses.is_empty(), "{misses:#?}");
}

#[test]
fn no_method_goes_without_a_case() {
    for method in METHODS {
        // A whole network gives these; `plumbing.rs` and the physics hold it.
        if matches!(method.evaluate(&[1.0]), Err(proof::Refusal::Solved)) {
            continue;
        }
        assert!(
            cases().any(|case| case.0 == method.key),
            "{} has no case",
            method.key
        );
        assert!(
            method.evaluate(&[]).is_err() || method.inputs.len() == 1,
            "{} answers without inputs",
            method.key
        );
        assert!(
            method.evaluate(&[f64::NAN; 9]).is_err(),
            "{} answers NaN",
            method.key
        );
    }
}
