//! `brinewright first-litre`, as scripts and people call it.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

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

/// The file's value is judged with its own doubt.
#[test]
fn a_sure_value_in_the_file_is_beaten() {
    let larkhaven = std::fs::read_to_string("../../stations/larkhaven.toml").expect("an example");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sure.toml");
    for (hold_up, agrees) in [
        ("200 mL ± 5 mL", false),
        ("200 mL ± 120 mL", true),
        ("84 mL ± 2 mL", true),
    ] {
        let text = larkhaven.replace("[purifier]\n", &format!("[purifier]\nhold_up = \"{hold_up}\"\n"));
        assert_ne!(text, larkhaven);
        std::fs::write(&path, text).expect("written");
        let line = format!("first-litre {} \"{}\"", readings(83.0, "uS/cm"), path.display());
        assert_eq!(json(&line)["agrees_with_file"], agrees, "{hold_up}");
        let told = page(&line);
        assert_eq!(told.contains("doesn't agree"), !agrees, "{hold_up}: {told}");
    }
}

/// Nothing more, nothing less; without a file nothing is compared.
#[test]
fn the_answer_has_its_keys() {
    let told = json(&format!("first-litre {}", readings(83.0, "uS/cm")));
    let mut keys: Vec<&str> = told
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect();
    let mut wanted = [
        "format",
        "hold_up_m3",
        "low_m3",
        "high_m3",
        "membranes",
        "start_salt_kg",
        "solids_at_start_kg_m3",
        "steady_kg_m3",
        "scatter_kg_m3",
        "agrees_with_file",
    ];
    wanted.sort_unstable();
    keys.sort_unstable();
    assert_eq!(keys, wanted);
    assert!(told["agrees_with_file"].is_null());
}

/// Readings in other units of the same thing give the same answer; cups stay in millilitres in any system.
#[test]
fn other_units_tell_the_same() {
    let ours = "first-litre --reading \"50 mL: 200 uS/cm\" --reading \"100 mL: 110 uS/cm\" \
                --reading \"200 mL: 40 uS/cm\" --reading \"400 mL: 12 uS/cm\" --reading \"800 mL: 9 uS/cm\"";
    let theirs = "first-litre --reading \"0.05 L: 0.2 mS/cm\" --reading \"0.1 L: 0.11 mS/cm\" \
                  --reading \"0.2 L: 0.04 mS/cm\" --reading \"0.4 L: 0.012 mS/cm\" --reading \"0.8 L: 0.009 mS/cm\"";
    let (one, other) = (json(ours), json(theirs));
    for key in ["hold_up_m3", "low_m3", "high_m3", "start_salt_kg"] {
        // Only the last digits of the readings differ.
        assert!(
            (number(&one, key) / number(&other, key) - 1.0).abs() < 1e-6,
            "{key}"
        );
    }
    let american = page(&format!("{ours} --units us"));
    assert!(
        american.contains(" mL of permeate stand behind the membrane"),
        "{american}"
    );
    let school = page(&format!("{ours} ../../stations/juniper-street-school.toml"));
    assert!(school.contains("The file has 80 mL ± 40 mL"), "{school}");
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
            errors.iter().all(|error| error["where"] == "--reading"),
            "{errors:?}"
        );
        assert!(
            errors
                .iter()
                .any(|error| error["what"].as_str().is_some_and(|what| what.contains(word))),
            "{line}: {errors:?}"
        );
    }
}
