//! `blend` through the door: the keys, the balances, the refusals, the words.

use crate::common;

use common::{json, number, page, refused};
use physics::seawater::density_kg_m3;
use serde_json::Value;

const POUR: &str = "blend --volume \"60 L\" --salinity 34.2 --temperature \"24 C\" --with \"140 L\" \
                    --with-salinity 0 --with-temperature \"18 C\"";
const BUCKET: &str = "blend --bucket \"20 L\" --from 35 --wanted 30 --temperature \"24 C\"";

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect()
}

/// Mass of a water, and its salt as mass times salinity: what is conserved, but for a constant factor.
fn mass_and_salt(volume_m3: f64, salinity: f64, temperature_c: f64) -> (f64, f64) {
    let mass = volume_m3 * density_kg_m3(salinity, temperature_c).expect("in range");
    (mass, mass * salinity)
}

#[track_caller]
fn same(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() <= 1e-9 * expected.abs(),
        "{got} in place of {expected}"
    );
}

#[test]
fn the_keys_are_these() {
    let certain = ["format", "practical_salinity", "temperature_c", "volume_m3"];
    let mut got = json(POUR);
    got.sort_all_objects();
    assert_eq!(keys(&got), certain);
    let mut doubtful = json(&POUR.replace("34.2", "\"34.2 ± 0.3\""));
    doubtful.sort_all_objects();
    assert_eq!(
        keys(&doubtful),
        [
            "format",
            "practical_salinity",
            "practical_salinity_high",
            "practical_salinity_low",
            "temperature_c",
            "volume_m3"
        ]
    );
    // Of ±0.3, the share of the first water's mass, at 95 %.
    let first = mass_and_salt(0.06, 34.2, 24.0).0;
    let share = first / (first + mass_and_salt(0.14, 0.0, 18.0).0);
    let half_width =
        (number(&doubtful, "practical_salinity_high") - number(&doubtful, "practical_salinity_low")) / 2.0;
    assert!((half_width - 0.294 * share).abs() < 0.005, "{half_width}");
    let mut bucket = json(BUCKET);
    bucket.sort_all_objects();
    assert_eq!(keys(&bucket), ["format", "strong_volume_m3", "weak_volume_m3"]);
}

#[test]
fn pouring_keeps_mass_and_salt() {
    let blend = json(POUR);
    let (first, other) = (mass_and_salt(0.06, 34.2, 24.0), mass_and_salt(0.14, 0.0, 18.0));
    let got = mass_and_salt(
        number(&blend, "volume_m3"),
        number(&blend, "practical_salinity"),
        number(&blend, "temperature_c"),
    );
    same(got.0, first.0 + other.0);
    same(got.1, first.1 + other.1);
}

#[test]
fn a_bucket_keeps_mass_and_salt() {
    for (thin, weak) in [("", 0.0), ("--thin-with 12", 12.0)] {
        let parts = json(&format!("{BUCKET} {thin}"));
        let strong = mass_and_salt(number(&parts, "strong_volume_m3"), 35.0, 24.0);
        let weak = mass_and_salt(number(&parts, "weak_volume_m3"), weak, 24.0);
        let wanted = mass_and_salt(0.02, 30.0, 24.0);
        same(strong.0 + weak.0, wanted.0);
        same(strong.1 + weak.1, wanted.1);
    }
}

#[test]
fn warm_and_cold_fresh_water_meet_the_handbook() {
    let blend = json(
        "blend --volume \"150 L\" --salinity 0 --temperature \"24 C\" --with \"50 L\" --with-salinity 0 \
         --with-temperature \"10 C\"",
    );
    assert!((number(&blend, "temperature_c") - 20.5).abs() < 0.05, "{blend}");
}

#[test]
fn without_its_own_temperature_the_second_water_has_that_of_the_first() {
    let unsaid = json(&POUR.replace("--with-temperature \"18 C\"", ""));
    assert_eq!(unsaid, json(&POUR.replace("18 C", "24 C")));
}

#[test]
fn what_cannot_be_is_refused_with_its_place() {
    for (line, place, what) in [
        (
            "blend --temperature \"24 C\"".to_owned(),
            "command line",
            "--volume or --bucket",
        ),
        (
            format!("{POUR} --bucket \"20 L\""),
            "command line",
            "which one holds?",
        ),
        (
            format!("{BUCKET} --with-temperature \"18 C\""),
            "command line",
            "which one holds?",
        ),
        (POUR.replace("--with \"140 L\"", ""), "--with", "--with is needed"),
        (POUR.replace("140 L", "1e9 m3"), "--with", "outside the valid"),
        (
            BUCKET.replace("--wanted 30", "--wanted 36"),
            "--wanted",
            "isn't between 0 and 35",
        ),
        (
            format!("{BUCKET} --thin-with 32"),
            "--wanted",
            "isn't between 32 and 35",
        ),
        (
            format!("{BUCKET} --thin-with 35"),
            "--thin-with",
            "isn't weaker than the 35",
        ),
    ] {
        let errors = refused(&line);
        assert!(
            errors.iter().any(
                |error| error["where"] == place && error["what"].as_str().expect("a text").contains(what)
            ),
            "{line}: {errors:?}"
        );
    }
}

#[test]
fn a_blend_is_told_in_a_line_and_a_bucket_in_steps() {
    insta::assert_snapshot!(page(POUR), @"200 L at 10.4, 19.8 °C");
    insta::assert_snapshot!(page(BUCKET), @r"
    For 20 L at 30: 2.92 L of fresh water and 17.1 L of water of 35.

    Bring both to 24 °C first. Pour the fresh water first, then the stronger, and
    stir. Measure the salinity before use, and match the temperature to that of the
    water it goes into.
    ");
}
