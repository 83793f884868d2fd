//! `readings`: each reading as salinity, the verdict, the suspect, the words.

use crate::common;

use common::{json, number, page, refused};
use proptest::prelude::*;
use serde_json::Value;

fn told(answer: &Value, instrument: &str) -> f64 {
    let readings = answer["readings"].as_array().expect("a list");
    let one = readings
        .iter()
        .find(|one| one["instrument"] == instrument)
        .unwrap_or_else(|| panic!("no {instrument} in {answer}"));
    assert!(number(one, "low") < number(one, "practical_salinity"), "{one}");
    assert!(number(one, "high") > number(one, "practical_salinity"), "{one}");
    number(one, "practical_salinity")
}

fn words(line: &str) -> String {
    page(line).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Salinity 35 at 25 °C: 53.07 mS/cm, 1.02637 on 25C/25C, 1.02459 on 60F/60F, 1.02531 on 20C/20C, 1023.34 kg/m³
/// (handbook figures, to their last digit).
#[test]
fn every_instrument_is_read_on_its_own_scale() {
    for (hydrometer, reference) in [
        ("1.02637", "25C/25C"),
        ("1.02531", "20C/20C"),
        ("1.02459", "60f/60f"),
    ] {
        let answer = json(&format!(
            "readings --refractometer 35 --conductivity \"53.07 mS/cm\" --hydrometer {hydrometer} --reference \
             {reference} --density \"1023.34 kg/m3\" --weighed 35 --temperature \"25 C\""
        ));
        for instrument in [
            "refractometer",
            "conductivity meter",
            "hydrometer",
            "density meter",
            "weighed batch",
        ] {
            let salinity = told(&answer, instrument);
            assert!((salinity - 35.0).abs() < 0.02, "{instrument}: {salinity}");
        }
        assert_eq!(answer["agree"], true);
        assert_eq!(answer["suspect"], Value::Null);
        assert_eq!(answer["deciding_test"], Value::Null);
        assert!((number(&answer, "practical_salinity") - 35.0).abs() < 0.02);
    }
}

#[test]
fn a_compensating_meter_is_read_back() {
    let line = "--weighed 35 --conductivity";
    let at_20 = json(&format!("readings {line} \"47.92 mS/cm\" --temperature \"20 C\""));
    assert!((told(&at_20, "conductivity meter") - 35.0).abs() < 0.02);
    // 47.92/(1 - 5 · 0.02) mS/cm.
    let shown = json(&format!(
        "readings {line} \"53.244 mS/cm\" --compensation \"2 %/C\" --temperature \"20 C\""
    ));
    assert!((told(&shown, "conductivity meter") - 35.0).abs() < 0.02);
    assert!(
        words(&format!("readings {line} \"47.92 mS/cm\" --temperature \"20 C\"")).contains("--compensation")
    );
    assert!(
        !words(&format!("readings {line} \"53.07 mS/cm\" --temperature \"25 C\"")).contains("--compensation")
    );
}

/// ± is two standard uncertainties: means, ends and χ² by hand.
#[test]
fn the_mean_is_the_one_by_hand() {
    let answer = json("readings --refractometer \"35 ± 0.4\" --weighed \"35.5 ± 0.8\"");
    // Weights 25 and 6.25.
    assert!((number(&answer, "practical_salinity") - 35.1).abs() < 1e-6);
    let u = 1.0 / 31.25_f64.sqrt();
    assert!((number(&answer, "high") - 35.1 - 1.959_964 * u).abs() < 1e-6);
    assert!((number(&answer, "low") - 35.1 + 1.959_964 * u).abs() < 1e-6);
    // 0.5²/(0.2² + 0.4²).
    assert!((number(&answer, "chi_square") - 1.25).abs() < 1e-6);
    assert_eq!(answer["degrees_of_freedom"], 1);
}

#[test]
fn of_two_that_disagree_neither_is_blamed() {
    let line = "readings --refractometer \"37 ± 0.5\" --conductivity \"53.07 mS/cm ± 1 %\" --temperature \"25 C ± 0.2 C\"";
    let answer = json(line);
    assert_eq!(answer["agree"], false);
    for key in ["suspect", "practical_salinity", "low", "high"] {
        assert_eq!(answer[key], Value::Null, "{key}");
    }
    let test = answer["deciding_test"].as_str().expect("a test");
    assert!(
        test.contains("check-solution") && test.contains("another kind"),
        "{test}"
    );
    assert!(words(line).contains("no reading tells which"));
}

#[test]
fn the_one_that_is_off_is_named_with_its_test() {
    let near = "--conductivity \"53.07 mS/cm ± 1 %\" --weighed \"34.9 ± 0.6\" --temperature \"25 C ± 0.2 C\"";
    for (bad, instrument, test) in [
        (
            "--refractometer \"38 ± 0.6\"",
            "refractometer",
            "made for a refractometer",
        ),
        (
            "--hydrometer \"1.0290 ± 0.0005\" --reference 25C/25C",
            "hydrometer",
            "made for a hydrometer",
        ),
        (
            "--density \"1020 kg/m3 ± 0.5 kg/m3\"",
            "density meter",
            "check solution for a hydrometer",
        ),
    ] {
        let answer = json(&format!("readings {bad} {near}"));
        assert_eq!(answer["agree"], false, "{answer}");
        assert_eq!(answer["suspect"], instrument, "{answer}");
        assert!(
            answer["deciding_test"]
                .as_str()
                .is_some_and(|text| text.contains(test)),
            "{answer}"
        );
        assert!(
            (number(&answer, "practical_salinity") - 35.0).abs() < 0.15,
            "{answer}"
        );
        let text = words(&format!("readings {bad} {near}"));
        assert!(text.contains("likeliest off"), "{text}");
        assert!(text.contains("What decides"), "{text}");
    }
    let weighed = json(
        "readings --refractometer \"35 ± 0.6\" --weighed \"31 ± 0.6\" --density \"1023.3 kg/m3 ± 0.4 kg/m3\" \
         --temperature \"25 C ± 0.2 C\"",
    );
    assert_eq!(weighed["suspect"], "weighed batch");
    assert!(
        weighed["deciding_test"]
            .as_str()
            .is_some_and(|text| text.contains("Weigh again"))
    );
}

#[test]
fn what_was_not_stated_is_said() {
    let line = "readings --refractometer 35.5 --hydrometer 1.0262 --reference 25C/25C --temperature \"25 C\"";
    let answer = json(line);
    for one in answer["readings"].as_array().expect("a list") {
        assert_eq!(one["accuracy_stated"], false);
    }
    let text = words(line);
    assert_eq!(text.matches("common practice, no source").count(), 3, "{text}");
    assert!(
        text.contains("The refractometer came without ±; taken: ± 1"),
        "{text}"
    );
    let stated = words(
        "readings --refractometer \"35.5 ± 0.8\" --hydrometer \"1.0262 ± 0.0005\" --reference 25C/25C --temperature \
         \"25 C ± 0.3 C\"",
    );
    assert!(!stated.contains("no source"), "{stated}");
    // The full question of the manual fits the page.
    page(
        "readings --refractometer \"35.5 ± 0.8\" --conductivity \"50.9 mS/cm ± 1 %\" --hydrometer \"1.0255 ± 0.0005\" \
         --reference 25C/25C --density \"1023.5 kg/m3 ± 0.2 kg/m3\" --weighed \"34.8 ± 0.6\" --temperature \"25 C\"",
    );
}

#[test]
fn what_cannot_be_compared_is_refused() {
    for (line, place, what) in [
        ("", "command line", "two readings or more"),
        ("--refractometer 35", "command line", "two readings or more"),
        (
            "--refractometer 35 --conductivity \"53 mS/cm\"",
            "--temperature",
            "is needed",
        ),
        (
            "--weighed 35 --hydrometer 1.026 --temperature \"25 C\"",
            "--reference",
            "until its scale is known",
        ),
        (
            "--weighed 35 --hydrometer 1.026 --reference 30C/30C --temperature \"25 C\"",
            "--reference",
            "no scale of a hydrometer",
        ),
        (
            "--weighed 35 --refractometer 35 --reference 25C/25C",
            "--reference",
            "belongs to",
        ),
        (
            "--weighed 35 --refractometer 35 --compensation \"2 %/C\"",
            "--compensation",
            "belongs to",
        ),
        (
            "--weighed 35 --refractometer 1.026",
            "--refractometer",
            "specific gravity?",
        ),
        (
            "--weighed 35 --refractometer 35 --temperature \"38 C\"",
            "--temperature",
            "10 to 30",
        ),
        (
            "--weighed 35 --conductivity \"90 mS/cm\" --temperature \"25 C\"",
            "--conductivity",
            "outside the valid",
        ),
        (
            "--weighed 35 --conductivity \"53 mS/cm\" --compensation \"5 %/C\" --temperature \"20 C\"",
            "--compensation",
            "outside the valid",
        ),
        (
            "--weighed 35 --hydrometer 1.2 --reference 25C/25C --temperature \"25 C\"",
            "--hydrometer",
            "outside the valid",
        ),
        (
            "--weighed 35 --density \"35 L\" --temperature \"25 C\"",
            "--density",
            "measures a volume",
        ),
    ] {
        let errors = refused(&format!("readings {line}"));
        assert!(
            errors.iter().any(|error| error["where"] == place
                && error["what"].as_str().is_some_and(|text| text.contains(what))),
            "{line}: {errors:?}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Six standard uncertainties off, two readings near: named, whichever it is. The order of the options is free.
    #[test]
    fn a_planted_outlier_is_named_in_any_order(
        truth in 28.0..38.0_f64,
        off in prop::array::uniform3(-0.4..0.4_f64),
        planted in 0..3_usize,
        turn in 0..3_usize,
        up in any::<bool>(),
    ) {
        // ± 0.6: a standard uncertainty of 0.3, also as density.
        let u = 0.3;
        let density = |salinity: f64| {
            let water = json(&format!("water --salinity {salinity} --temperature \"25 C\""));
            number(&water, "density_kg_per_m3")
        };
        let mut salinities = off.map(|off| truth + off * u);
        salinities[planted] += if up { 6.0 } else { -6.0 } * u;
        let slope = density(35.5) - density(34.5);
        let mut options = [
            format!("--refractometer \"{} ± 0.6\"", salinities[0]),
            format!("--density \"{} kg/m3 ± {} kg/m3\"", density(salinities[1]), 0.6 * slope),
            format!("--weighed \"{} ± 0.6\"", salinities[2]),
        ];
        options.rotate_left(turn);
        let answer = json(&format!("readings {} --temperature \"25 C ± 0.01 C\"", options.join(" ")));
        let names = ["refractometer", "density meter", "weighed batch"];
        prop_assert_eq!(answer["suspect"].as_str(), Some(names[planted]), "{}", answer);
        let rest: f64 = (0..3).filter(|place| *place != planted).map(|place| salinities[place]).sum();
        prop_assert!((number(&answer, "practical_salinity") - rest / 2.0).abs() < 0.01, "{}", answer);
    }
}
