//! Batches and trims against `validation/salt_batch.json`.

use physics::mixing::{
    Recipe, Water, batch_from_dry_mass, batch_from_finished_volume, batch_from_fresh_volume,
    trim_by_replacement, trim_by_salt, trim_by_water,
};
use serde_json::Value;

const TOLERANCE: f64 = 1e-12;
const WHY: &str = "the same balance and the same density polynomial: rounding only";

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

/// Compares every expected field that `got` names; masses withdrawn are differences of like numbers, so they are
/// compared against the size of the whole.
#[track_caller]
fn compare(case: &Value, got: &[(&str, f64, f64)]) {
    for &(key, got, size) in got {
        let expected = number(&case["expect"], key);
        let off = (got - expected).abs() / size.max(expected.abs());
        assert!(
            off <= TOLERANCE,
            "{} {key}: {got} for {expected} ({WHY})",
            case["name"]
        );
    }
}

#[test]
fn batches_and_trims_meet_the_reference() {
    let text = include_str!("../../../validation/salt_batch.json");
    let data: Value = serde_json::from_str(text).unwrap();
    let cases = data["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 20);
    for case in cases {
        if case["kind"] == "make_batch" {
            check_batch(case);
        } else {
            check_trim(case);
        }
    }
}

fn check_batch(case: &Value) {
    let given = &case["given"];
    let recipe = Recipe {
        practical_salinity: number(given, "target_SP"),
        temperature_c: number(given, "t_C"),
        strength: number(given, "anhydrous_fraction"),
    };
    let batch = batch_from_fresh_volume(&recipe, number(given, "fresh_volume_m3")).expect("a sound case");
    compare(
        case,
        &[
            ("rho_fresh_kg_m3", batch.fresh_density_kg_m3, 0.0),
            ("fresh_mass_kg", batch.fresh_mass_kg, 0.0),
            ("dry_mass_kg", batch.dry_mass_kg, 0.0),
            ("finished_mass_kg", batch.finished_mass_kg, 0.0),
            ("rho_finished_kg_m3", batch.finished_density_kg_m3, 0.0),
            ("finished_volume_m3", batch.finished_volume_m3, 0.0),
            ("rise_fraction", batch.rise_fraction, 1.0),
            (
                "dry_mass_per_finished_volume_kg_m3",
                batch.dry_mass_per_finished_volume_kg_m3,
                0.0,
            ),
        ],
    );
    // The same batch, planned from its other two ends.
    let from_finished = batch_from_finished_volume(&recipe, batch.finished_volume_m3).expect("a sound case");
    let from_bag = batch_from_dry_mass(&recipe, batch.dry_mass_kg).expect("a sound case");
    for other in [from_finished, from_bag] {
        for (got, expected) in [
            (other.fresh_volume_m3, batch.fresh_volume_m3),
            (other.dry_mass_kg, batch.dry_mass_kg),
            (other.finished_volume_m3, batch.finished_volume_m3),
        ] {
            assert!(
                (got / expected - 1.0).abs() < 1e-13,
                "{}: {got} for {expected}",
                case["name"]
            );
        }
    }
}

fn check_trim(case: &Value) {
    let given = &case["given"];
    let water = Water {
        volume_m3: number(given, "volume_m3"),
        practical_salinity: number(given, "measured_SP"),
        temperature_c: number(given, "t_C"),
    };
    let target = number(given, "target_SP");
    let mass_kg = water.mass_kg().expect("a sound case");
    match case["kind"].as_str().expect("a name") {
        "add_salt" => {
            let trim =
                trim_by_salt(&water, target, number(given, "anhydrous_fraction")).expect("a sound case");
            compare(
                case,
                &[
                    ("dry_mass_kg", trim.dry_mass_kg, 0.0),
                    ("finished_volume_m3", trim.finished_volume_m3, 0.0),
                ],
            );
        }
        "add_water" => {
            let trim = trim_by_water(&water, target).expect("a sound case");
            compare(
                case,
                &[
                    ("water_mass_kg", trim.added_mass_kg, 0.0),
                    ("water_volume_m3", trim.added_volume_m3, 0.0),
                    ("finished_volume_m3", trim.finished_volume_m3, 0.0),
                ],
            );
        }
        kind @ ("replace_with_water" | "replace_with_stronger") => {
            let replacement = if kind == "replace_with_water" {
                0.0
            } else {
                number(given, "replacement_SP")
            };
            let trim = trim_by_replacement(&water, target, replacement).expect("a sound case");
            compare(
                case,
                &[
                    ("withdraw_mass_kg", trim.withdraw_mass_kg, mass_kg),
                    ("withdraw_volume_m3", trim.withdraw_volume_m3, water.volume_m3),
                    ("added_mass_kg", trim.added_mass_kg, mass_kg),
                    ("added_volume_m3", trim.added_volume_m3, water.volume_m3),
                    ("finished_volume_m3", trim.finished_volume_m3, 0.0),
                ],
            );
        }
        other => panic!("unknown kind {other}"),
    }
}
