//! `brinewright first-litre`, as scripts and people call it.

#[allow(dead_code, reason = "the other tests use the rest")]
mod common;

use common::{json, number, page, refused};

/// Readings of a hold-up that is well mixed: steady + excess exp(-V/V_h), in µS/cm (own derivation, design handbook
/// section 2).
#[expect(
    clippy::disallowed_methods,
    reason = "the last digit varies by platform, which a reading doesn't show"
)]
fn readings(hold_up_ml: f64, unit: &str) -> String {
    [50.0_f64, 100.0, 150.0, 200.0, 300.0, 400.0, 600.0, 900.0]
        .iter()
        .map(|ml| {
            let shown = 9.0 + 260.0 * (-ml / hold_up_ml).exp();
            format!("--reading \"{ml} mL: {shown:.6} {unit}\" ")
        })
        .collect()
}

#[test]
fn the_hold_up_comes_back() {
    for hold_up_ml in [45.0, 80.0, 140.0] {
        let told = json(&format!("first-litre {}", readings(hold_up_ml, "uS/cm")));
        let off = number(&told, "hold_up_m3") / (hold_up_ml * 1e-6) - 1.0;
        assert!(off.abs() < 1e-3, "{hold_up_ml}: {off}");
        assert!(number(&told, "low_m3") <= number(&told, "hold_up_m3"));
        assert!(number(&told, "high_m3") >= number(&told, "hold_up_m3"));
        // 9 µS/cm by 0.65 mg/L each.
        assert!((number(&told, "steady_kg_m3") - 9.0 * 0.65e-3).abs() < 1e-7);
        assert_eq!(told["membranes"], 1);
    }
    // The unit of the readings doesn't matter to the hold-up, the steady value may be given.
    let solids = json(&format!(
        "first-litre {} --steady \"9 ppm\"",
        readings(80.0, "ppm")
    ));
    assert!((number(&solids, "hold_up_m3") / 80e-6 - 1.0).abs() < 1e-3);
    assert!((number(&solids, "steady_kg_m3") - 9e-3).abs() < 1e-12);
}

#[test]
fn a_file_is_compared_with_it() {
    let larkhaven = json(&format!(
        "first-litre {} ../../stations/larkhaven.toml",
        readings(83.0, "uS/cm")
    ));
    assert_eq!(larkhaven["agrees_with_file"], true);
    let far = json(&format!(
        "first-litre {} ../../stations/larkhaven.toml",
        readings(240.0, "uS/cm")
    ));
    assert_eq!(far["agrees_with_file"], false);
    // Two membranes share it.
    let skelder = json(&format!(
        "first-litre {} ../../stations/skelder-hatchery.toml",
        readings(200.0, "uS/cm")
    ));
    assert_eq!(skelder["membranes"], 2);
    assert!((number(&skelder, "hold_up_m3") / 100e-6 - 1.0).abs() < 1e-3);
}

#[test]
fn a_person_is_told_what_to_write() {
    let text = page(&format!(
        "first-litre {} ../../stations/larkhaven.toml",
        readings(83.0, "uS/cm")
    ));
    for part in ["hold_up = \"83", "agrees", "0.65 mg/L for each µS/cm"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let help = page("first-litre --help");
    assert!(help.contains("Relieve the pressure"), "{help}");
}

#[test]
fn slips_are_told() {
    for (line, word) in [
        ("first-litre", "no readings"),
        (
            "first-litre --reading \"50 mL: 90 uS/cm\" --reading \"100 mL: 40 uS/cm\" --reading \"200 mL: 20 uS/cm\"",
            "too few",
        ),
        ("first-litre --reading \"50 mL 90 uS/cm\"", "no colon"),
        ("first-litre --reading \"50 mL: 90 bar\"", "bar"),
        (
            "first-litre --reading \"50 mL: 90 uS/cm\" --reading \"100 mL: 40 ppm\"",
            "some readings are",
        ),
        (
            "first-litre --reading \"50 mL: 90 ppm\" --reading \"40 mL: 60 ppm\" --reading \"200 mL: 20 ppm\" --reading \"300 mL: 9 ppm\"",
            "no larger volume",
        ),
        (
            "first-litre --reading \"50 mL: 9 ppm\" --reading \"100 mL: 20 ppm\" --reading \"200 mL: 40 ppm\" --reading \"300 mL: 90 ppm\"",
            "do not fall",
        ),
    ] {
        let errors = refused(line);
        assert!(
            errors
                .iter()
                .any(|error| error["what"].as_str().is_some_and(|what| what.contains(word))),
            "{line}: {errors:?}"
        );
    }
}
