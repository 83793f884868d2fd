//! `batch` and `trim` through the door: the figures, the keys, the refusals, the words.

use crate::common;

use common::{json, number, page, refused};
use serde_json::Value;

/// Everything is in double precision, so only rounding and the density formula's own form remain: its 75-term
/// polynomial and the exact one differ by less than 1e-6.
const TOLERANCE: f64 = 1e-6;

fn cases() -> Vec<Value> {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/salt_batch.json");
    let text = std::fs::read_to_string(file).expect("the table is there");
    let value: Value = serde_json::from_str(&text).expect("the table is JSON");
    value["cases"].as_array().expect("a list of cases").clone()
}

#[track_caller]
fn close(case: &Value, what: &str, got: f64, expected: f64) {
    assert!(
        (got - expected).abs() <= TOLERANCE * expected.abs(),
        "{}: {what} is {got}, the table says {expected}",
        case["name"]
    );
}

#[test]
fn batches_and_trims_meet_the_table() {
    let mut done = 0;
    for case in cases() {
        let given = |key: &str| number(&case["given"], key);
        let expect = |key: &str| number(&case["expect"], key);
        let trim = |rest: String| {
            json(&format!(
                "trim --volume \"{} m3\" --measured {} --target {} --temperature \"{} C\" {rest}",
                given("volume_m3"),
                given("measured_SP"),
                given("target_SP"),
                given("t_C")
            ))
        };
        match case["kind"].as_str().expect("a text") {
            "make_batch" => {
                let line = |measure: String| {
                    format!(
                        "batch {measure} --target {} --temperature \"{} C\" --anhydrous-fraction {}",
                        given("target_SP"),
                        given("t_C"),
                        given("anhydrous_fraction")
                    )
                };
                for measure in [
                    format!("--volume \"{} m3\"", given("fresh_volume_m3")),
                    format!("--finished \"{} m3\"", expect("finished_volume_m3")),
                    format!("--bag \"{} kg\"", expect("dry_mass_kg")),
                ] {
                    let batch = json(&line(measure));
                    for key in ["dry_mass_kg", "finished_volume_m3"] {
                        close(&case, key, number(&batch, key), expect(key));
                    }
                    close(
                        &case,
                        "fresh",
                        number(&batch, "fresh_volume_m3"),
                        given("fresh_volume_m3"),
                    );
                    // A difference of two nearly equal volumes loses two digits.
                    let rise = number(&batch, "rise_fraction");
                    assert!(
                        (rise - expect("rise_fraction")).abs() < TOLERANCE,
                        "{}",
                        case["name"]
                    );
                }
            }
            "add_salt" => {
                let answer = trim(format!("--anhydrous-fraction {}", given("anhydrous_fraction")));
                // The mass is a difference of two salinities: the density's error is not, but theirs is magnified.
                close(
                    &case,
                    "salt",
                    number(&answer, "add_salt_kg"),
                    expect("dry_mass_kg"),
                );
                assert!(answer.get("add_water_m3").is_none());
            }
            "add_water" => {
                let answer = trim(String::new());
                close(
                    &case,
                    "water",
                    number(&answer, "add_water_m3"),
                    expect("water_volume_m3"),
                );
                assert!(answer.get("add_salt_kg").is_none());
            }
            "replace_with_water" => {
                let answer = trim(String::new());
                let drawn = number(&answer, "replace_water_m3");
                // Drawn and added differ by the small change of density, which the formulas give to 1e-6 of itself
                // but 1e-4 of the difference.
                assert!(
                    (drawn - expect("withdraw_volume_m3")).abs() < 1e-4 * drawn,
                    "{}: {drawn}",
                    case["name"]
                );
            }
            // Stronger water in place of salt: not asked through the door yet.
            "replace_with_stronger" => continue,
            kind => panic!("{kind} has no test"),
        }
        done += 1;
    }
    assert!(done >= 15, "the table has shrunk");
}

#[test]
fn a_remainder_closes_the_balance() {
    let answer = json(
        "batch --remaining \"60 L\" --remaining-salinity 34.2 --to \"200 L\" --target 35 --temperature \"24 C\" \
         --anhydrous-fraction 0.93",
    );
    let whole =
        json("batch --finished \"200 L\" --target 35 --temperature \"24 C\" --anhydrous-fraction 0.93");
    let left =
        json("batch --finished \"60 L\" --target 34.2 --temperature \"24 C\" --anhydrous-fraction 0.93");
    let salt = number(&whole, "dry_mass_kg") - number(&left, "dry_mass_kg");
    assert!((number(&answer, "dry_mass_kg") - salt).abs() < 1e-9);
    let water = number(&whole, "fresh_volume_m3") - number(&left, "fresh_volume_m3");
    assert!((number(&answer, "add_water_m3") - water).abs() < 1e-9);
    assert!((number(&answer, "finished_volume_m3") - 0.2).abs() < 1e-12);
}

const BATCH: &str = "batch --volume \"200 L\" --target 35 --temperature \"24 C\"";

#[test]
fn doubt_is_carried_to_the_mass() {
    let certain = json(&format!("{BATCH} --anhydrous-fraction 0.93"));
    assert!(certain.get("dry_mass_low_kg").is_none());
    // ±2 % of two standard uncertainties are ±1.96 % of a 95 % interval.
    let doubtful =
        json("batch --volume \"200 L ± 2 %\" --target 35 --temperature \"24 C\" --anhydrous-fraction 0.93");
    let (low, high) = (
        number(&doubtful, "dry_mass_low_kg"),
        number(&doubtful, "dry_mass_high_kg"),
    );
    let mass = number(&certain, "dry_mass_kg");
    assert!((low / mass - (1.0 - 0.0196)).abs() < 1e-3, "{low} of {mass}");
    assert!((high / mass - (1.0 + 0.0196)).abs() < 1e-3, "{high} of {mass}");
    // The same draws every time.
    let line = format!("{BATCH} --label \"20 kg makes 540 L\"");
    assert_eq!(json(&line), json(&line));
}

/// What a label leaves unsaid makes the answer wider, and each word narrower.
#[test]
fn every_word_of_a_label_narrows_the_answer() {
    let width = |label: &str| {
        let answer = json(&format!("{BATCH} --label \"{label}\""));
        let mass = number(&answer, "dry_mass_kg");
        match answer.get("dry_mass_low_kg") {
            None => 0.0,
            Some(_) => {
                let (low, high) = (
                    number(&answer, "dry_mass_low_kg"),
                    number(&answer, "dry_mass_high_kg"),
                );
                assert!(low <= mass && mass <= high, "{label}: {answer}");
                (high - low) / mass
            }
        }
    };
    let widths = [
        "20 kg makes 510 L",
        "20 kg makes 510 L at 35",
        "20 kg makes 510 L at 35 finished",
        "20 kg makes 510 L at 35 and 25 C finished",
    ]
    .map(width);
    assert!(widths.is_sorted_by(|wide, narrow| wide > narrow), "{widths:?}");
    assert!(widths[0] > 0.05 && widths[3] <= 0.0, "{widths:?}");
}

/// A label that only just holds as finished water is read so, and its strength never passes 1.
#[test]
fn a_tight_label_counts_finished_water() {
    let answer = json(&format!("{BATCH} --label \"20 kg makes 552 L at 35 and 25 C\""));
    assert!(number(&answer, "anhydrous_fraction_high") <= 1.0, "{answer}");
    assert!(number(&answer, "anhydrous_fraction_low") > 0.99, "{answer}");
}

#[test]
fn a_trim_offers_both_ways() {
    let weaken = json("trim --volume \"200 L\" --measured 36.4 --target 35 --temperature \"24 C\"");
    assert!(number(&weaken, "replace_water_m3") < number(&weaken, "add_water_m3"));
    let strengthen = json(
        "trim --volume \"200 L\" --measured 33.5 --target 35 --temperature \"24 C\" --anhydrous-fraction 0.93",
    );
    assert!(number(&strengthen, "add_salt_after_withdrawing_kg") < number(&strengthen, "add_salt_kg"));
    let nothing = json("trim --volume \"200 L\" --measured 35 --target 35 --temperature \"24 C\"");
    for key in ["add_salt_kg", "add_water_m3", "replace_water_m3"] {
        assert!(number(&nothing, key).abs() <= 0.0, "{nothing}");
    }
}

#[track_caller]
fn refuse(line: &str, place: &str, what: &str) {
    let errors = refused(line);
    assert!(
        errors
            .iter()
            .any(|error| error["where"] == place && error["what"].as_str().expect("a text").contains(what)),
        "{line}: {errors:?}"
    );
}

#[test]
fn what_cannot_be_is_refused_with_its_place() {
    let rest = "--target 35 --temperature \"24 C\" --anhydrous-fraction 0.93";
    for (line, place, what) in [
        ("--volume 200", "--volume", "has no unit"),
        ("--volume \"200 kg\"", "--volume", "`kg` measures a mass"),
        ("--volume \"nan L\"", "--volume", "doesn't begin with a number"),
        ("--volume \"inf L\"", "--volume", "doesn't begin with a number"),
        ("--volume \"-200 L\"", "--volume", "isn't above zero"),
        ("--volume \"0 L\"", "--volume", "isn't above zero"),
        ("--volume \"1e9 m3\"", "--volume", "outside the valid"),
        (
            "--volume \"200 L ± 300 L\"",
            "--volume",
            "reaches down to nothing",
        ),
        ("--volume \"\"", "--volume", "empty"),
        ("--finished \"20 kg\"", "--finished", "`kg` measures a mass"),
        ("--bag \"20 L\"", "--bag", "`L` measures a volume"),
        ("--bag \"1e12 kg\"", "--bag", "outside the valid"),
        (
            "",
            "command line",
            "one of --volume, --finished, --bag or --remaining",
        ),
        (
            "--volume \"3 L\" --finished \"3 L\"",
            "command line",
            "which one holds?",
        ),
        (
            "--volume \"3 L\" --bag \"3 kg\"",
            "command line",
            "which one holds?",
        ),
        ("--volume \"3 L\" --to \"3 L\"", "--to", "belongs to --remaining"),
        ("--remaining \"3 L\"", "--to", "is needed"),
        (
            "--remaining \"3 L\" --to \"9 L\"",
            "--remaining-salinity",
            "is needed",
        ),
        (
            "--remaining \"9 L\" --remaining-salinity 30 --to \"3 L\"",
            "--to",
            "less than what is left",
        ),
        (
            "--remaining \"9 L\" --remaining-salinity 30 --to \"9.01 L\"",
            "--to",
            "fill",
        ),
        (
            "--remaining \"190 L\" --remaining-salinity 40 --to \"200 L\"",
            "--remaining",
            "too strong",
        ),
        (
            "--volume \"3 L\" --volume \"3 L\"",
            "command line",
            "more than once",
        ),
        (
            "--volume \"3 L\" --label \"20 kg makes 540 L\"",
            "command line",
            "which one holds?",
        ),
        ("--volume \"3 L\" --vessel big", "command line", "no option"),
    ] {
        refuse(&format!("batch {line} {rest}"), place, what);
    }
    for (line, place, what) in [
        ("--target 35 --temperature 24", "--temperature", "has no unit"),
        (
            "--target 35 --temperature \"24 L\"",
            "--temperature",
            "`L` measures a volume",
        ),
        (
            "--target 35 --temperature \"90 C\"",
            "--temperature",
            "outside the valid -2 to 40",
        ),
        (
            "--target 35 --temperature \"-40 C\"",
            "--temperature",
            "outside the valid -2 to 40",
        ),
        ("--target 35", "--temperature", "is needed"),
        ("--temperature \"24 C\"", "--target", "is needed"),
        (
            "--target 1.025 --temperature \"24 C\"",
            "--target",
            "specific gravity?",
        ),
        ("--target 53 --temperature \"24 C\"", "--target", "mS/cm?"),
        ("--target 350 --temperature \"24 C\"", "--target", "0 to 42"),
        ("--target -1 --temperature \"24 C\"", "--target", "0 to 42"),
        (
            "--target \"35 L\" --temperature \"24 C\"",
            "--target",
            "`L` measures a volume",
        ),
    ] {
        refuse(
            &format!("batch --volume \"200 L\" --anhydrous-fraction 0.93 {line}"),
            place,
            what,
        );
    }
    for (mix, place, what) in [
        ("", "command line", "nothing tells how strong"),
        ("--anhydrous-fraction 93", "--anhydrous-fraction", "0.6 to 1"),
        ("--anhydrous-fraction 0", "--anhydrous-fraction", "0.6 to 1"),
        ("--anhydrous-fraction 1.01", "--anhydrous-fraction", "0.6 to 1"),
        (
            "--anhydrous-fraction much",
            "--anhydrous-fraction",
            "doesn't begin with a number",
        ),
        (
            "--label \"20 kg makes 600 L at 35\"",
            "--label",
            "takes 21.592 kg of salt",
        ),
        (
            "--label \"20 kg makes 600 L\"",
            "--label",
            "more salt than the bag holds",
        ),
        (
            "--label \"20 kg makes 200 L at 35\"",
            "--label",
            "% of the mix would be salt",
        ),
        (
            "--label \"20 kg makes 540 L at 1.025\"",
            "--label",
            "specific gravity?",
        ),
        ("--label \"20 makes 540 L\"", "--label", "has no unit"),
        (
            "--label \"540 L per bag\"",
            "--label",
            "which mass makes which volume",
        ),
    ] {
        refuse(&format!("{BATCH} {mix}"), place, what);
    }
    for (line, place, what) in [
        (
            "--volume 200 --measured 36 --target 35",
            "--volume",
            "has no unit",
        ),
        (
            "--volume \"200 L\" --measured 1.03 --target 35",
            "--measured",
            "specific gravity?",
        ),
        ("--volume \"200 L\" --target 35", "--measured", "is needed"),
        (
            "--volume \"200 L\" --measured 33 --target 35",
            "command line",
            "nothing tells how strong",
        ),
        (
            "--volume \"200 L\" --measured 33 --target 0",
            "--target",
            "no amount",
        ),
        (
            "--volume \"1e9 m3\" --measured 35 --target 35",
            "--volume",
            "outside the valid",
        ),
    ] {
        refuse(&format!("trim {line} --temperature \"24 C\""), place, what);
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let errors = refused("batch --volume 200 --target 1.025 --temperature 24 --label \"20 kg\"");
    let places: Vec<&str> = errors
        .iter()
        .filter_map(|error| error["where"].as_str())
        .collect();
    assert_eq!(places, ["--temperature", "--target", "--volume", "--label"]);
}

#[test]
fn a_batch_is_told_in_sentences() {
    insta::assert_snapshot!(page(&format!("{BATCH} --label \"20 kg makes 540 L at 35\"")), @r"
    Weigh out 7.45 kg ± 0.04 kg of mix for a salinity of 35.

    Fill to 200 L of fresh water at 24 °C first. Once the salt is in, it is 202 L:
    between upright walls the level rises by 1.1 %.

    Weighed and measured so, the salinity comes to 35.00 ± 0.18. Test it before use.

    The label doesn't say
      its temperature (taken as 25 °C ± 5 °C)
      whether its volume is fresh or finished water (taken as either)

    Take care
      Add the salt slowly to moving water; never pour water onto dry salt.
      Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.
      Never mix in a vessel with animals in it.
      Heat and test only when all of it is dissolved.
    ");
    insta::assert_snapshot!(page("batch --bag \"44 lb\" --target 35 --temperature \"75 F\" --units us \
        --label \"44 lb makes 140 gal at 35 and 77 F finished\""), @r"
    44 lb of mix makes 140 gal of salt water at a salinity of 35.

    Fill to 138 gal of fresh water at 75 °F first. Once the salt is in, it is
    140 gal: between upright walls the level rises by 1.1 %.

    Take care
      Add the salt slowly to moving water; never pour water onto dry salt.
      Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.
      Never mix in a vessel with animals in it.
      Heat and test only when all of it is dissolved.
    ");
    insta::assert_snapshot!(page("batch --remaining \"60 L ± 1 L\" --remaining-salinity 34.2 --to \"200 L\" \
        --target 35 --temperature \"24 C\" --anhydrous-fraction \"0.93 ± 0.02\""), @r"
    Weigh out 5.47 kg ± 0.12 kg of mix for a salinity of 35.

    To the 60.0 L ± 1.0 L left at 34.2 add 138 L of fresh water, all at 24 °C, then
    the salt; it comes to 200 L. The salt alone raises the volume by 0.9 %.

    Weighed and measured so, the salinity comes to 35.0 ± 0.5. Test it before use.

    Take care
      Add the salt slowly to moving water; never pour water onto dry salt.
      Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.
      Never mix in a vessel with animals in it.
      Heat and test only when all of it is dissolved.
    ");
}

#[test]
fn a_trim_is_told_in_sentences() {
    insta::assert_snapshot!(
        page("trim --volume \"200 L\" --measured \"36.4 ± 0.5\" --target 35 --temperature \"24 C\""), @r"
    From 36.4 ± 0.5 down to 35, 200 L of salt water:

    Either
      add 8.2 L ± 2.8 L of fresh water, which makes 208 L of it;

    or, at the same volume,
      draw off 7.9 L ± 2.6 L and put as much fresh water back.
    ");
    insta::assert_snapshot!(page("trim --volume \"200 L\" --measured 33.5 --target 35 --temperature \"24 C\" \
        --anhydrous-fraction 0.93"), @r"
    From 33.5 up to 35, 200 L of salt water:

    Either
      add 344 g of mix; the volume grows by 115 mL;

    or, where there is no room,
      draw off 115 mL first and add 344 g of mix; the volume stays.

    Take care
      Add the salt slowly to moving water; never pour water onto dry salt.
      Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.
      Never add dry salt to a vessel with animals in it.
    ");
    insta::assert_snapshot!(page("trim --volume \"200 L\" --measured 35 --target 35 --temperature \"24 C\""), @r"
    Nothing to do: 200 L at a salinity of 35 are as wanted.
    ");
}
