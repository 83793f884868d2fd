//! `brinewright supply`, as scripts and people call it.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page, refused, run};
use serde_json::Value;
use std::path::{Path, PathBuf};

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// As the tests' own folder sees it, short enough for the page.
fn file(name: &str) -> String {
    format!("../../stations/{name}.toml")
}

/// A copy of an example with something replaced.
fn changed(name: &str, from: &str, to: &str) -> (tempfile::TempDir, String) {
    let text = std::fs::read_to_string(file(name)).expect("an example");
    assert!(text.contains(from), "{from}");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("changed.toml");
    std::fs::write(&path, text.replacen(from, to, 1)).expect("written");
    let path = path.display().to_string();
    (folder, path)
}

/// The units asked for stand above the file's own.
#[test]
fn units_may_be_asked_for() {
    for (units, shown, other) in [("us", " gal", " L/day"), ("si", " L/day", " gal")] {
        let sheets = EXAMPLES.map(|name| format!("supply \"{}\"", file(name)));
        for command in sheets
            .iter()
            .map(String::as_str)
            .chain(["prove", "why run.litre"])
        {
            let page = page(&format!("{command} --units {units}"));
            let said = command.starts_with("why") || page.contains(shown);
            assert!(said && !page.contains(other), "{command} {units}");
        }
    }
}

/// A deliveries-only station tells what comes, at what price.
#[test]
fn deliveries_are_told_without_a_purifier() {
    let text = std::fs::read_to_string(file("larkhaven")).expect("an example");
    let (begin, end) = (
        text.find("[purifier]").expect("it"),
        text.find("[delivered.bay]").expect("it"),
    );
    let shop = "[delivered.shop]\nkind = \"purified\"\nholds = \"fresh\"\nvolume = \"400 L\"\nevery = \"2 weeks\"\nprice = \"9 ct/L\"\n";
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("shop.toml");
    std::fs::write(&path, format!("{}{shop}{}", &text[..begin], &text[end..])).expect("written");
    let page = page(&format!("supply \"{}\"", path.display()));
    // 400 L in 14 days.
    let row = page
        .lines()
        .find(|line| line.trim_start().starts_with("shop "))
        .expect("its row");
    assert!(
        row.contains("400 L") && row.contains("28.6 L/day") && row.contains("9 ct/L"),
        "{page}"
    );
    assert!(
        page.contains("fresh water comes ready-made. 28.6 L/day"),
        "{page}"
    );
}

/// A range that a figure left is told below the figures, once.
#[test]
fn a_range_that_is_left_is_told() {
    let (_folder, path) = changed("larkhaven", "coldest = \"6 C ± 1 C\"", "coldest = \"1 C\"");
    let page = page(&format!("prove \"{path}\""));
    assert_eq!(page.matches("beyond 5 to 35 °C").count(), 1, "{page}");
}

/// The sheets as they are; after a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all supply::
#[test]
fn sheets_as_they_were() {
    for name in EXAMPLES {
        let sheet = page(&format!("supply \"{}\"", file(name)))
            .replace(&file(name), &format!("stations/{name}.toml"));
        let kept = root().join(format!("crates/brinewright/tests/letters/supply-{name}.txt"));
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&kept, &sheet).expect("written");
        }
        let before = std::fs::read_to_string(&kept).expect("a sheet that was kept");
        assert_eq!(sheet, before, "the sheet of {name} has changed");
    }
}

#[test]
fn the_answer_holds_the_year_and_its_doubt() {
    for name in EXAMPLES {
        let answer = json(&format!("supply \"{}\"", file(name)));
        let made = &answer["supply"]["purifier"];
        let months = made["months"].as_array().expect("months");
        assert_eq!(months.len(), 12);
        for month in months {
            let water = &month["made_m3_per_s"];
            assert!(
                number(water, "low") < number(water, "value")
                    && number(water, "value") < number(water, "high")
            );
        }
        let leanest = made["leanest_month"].as_str().expect("a month");
        let margin = |month: &Value| number(&month["margin_m3_per_s"], "value");
        let least = months
            .iter()
            .min_by(|a, b| margin(a).total_cmp(&margin(b)))
            .expect("a month");
        assert_eq!(least["month"], leanest);
        // The parts add up to the whole.
        let parts: f64 = answer["cost"]["parts"]
            .as_array()
            .expect("parts")
            .iter()
            .map(|part| number(&part["per_m3"], "value"))
            .sum();
        let whole = number(&answer["cost"]["purified_water_per_m3"], "value");
        assert!((parts / whole - 1.0).abs() < 1e-12, "{name}: {parts} {whole}");
        // From one tenth to the next a run never gets dearer (common practice, no source).
        let curve = made["curve"].as_array().expect("a curve");
        for pair in curve.windows(2) {
            assert!(number(&pair[0], "run_volume_m3") < number(&pair[1], "run_volume_m3"));
            let cost = |point: &Value| number(&point["cost_per_m3"], "value");
            assert!(cost(&pair[1]) <= cost(&pair[0]) * (1.0 + 1e-9), "{name}");
        }
        let controls = made["controls"].as_array().expect("ways");
        assert_eq!(controls.len(), 5);
        assert_eq!(
            controls.iter().filter(|row| row["owners"] == true).count(),
            1,
            "{name}"
        );
    }
}

/// Counts the estimates below a value; each must have both ends about it, or neither.
fn estimates(value: &Value, path: &str) -> usize {
    match value {
        Value::Object(fields) => {
            let mine = fields.contains_key("low") || fields.contains_key("high");
            if mine {
                assert!(
                    ["value", "low", "high"]
                        .iter()
                        .all(|key| fields.contains_key(*key)),
                    "{path}: {value}"
                );
                let middle = number(value, "value");
                match (fields["low"].as_f64(), fields["high"].as_f64()) {
                    (Some(low), Some(high)) => assert!(low <= middle && middle <= high, "{path}: {value}"),
                    (None, None) => {}
                    _ => panic!("{path}: one end alone: {value}"),
                }
            }
            let below = fields
                .iter()
                .map(|(key, below)| estimates(below, &format!("{path}.{key}")));
            usize::from(mine) + below.sum::<usize>()
        }
        Value::Array(rows) => rows
            .iter()
            .enumerate()
            .map(|(at, row)| estimates(row, &format!("{path}[{at}]")))
            .sum(),
        _ => 0,
    }
}

/// With its usual feed, and on each of its odd days.
#[test]
fn each_estimate_has_its_ends() {
    for name in EXAMPLES {
        let line = format!("supply \"{}\"", file(name));
        let answer = json(&line);
        // Twelve months with four estimates or more each.
        assert!(estimates(&answer, name) > 48, "{name}");
        for state in answer["feed_states"].as_array().expect("states") {
            let state = state["name"].as_str().expect("a name");
            assert!(
                estimates(&json(&format!("{line} --feed {state}")), state) > 48,
                "{name}: {state}"
            );
        }
    }
}

#[test]
fn a_state_of_the_feed_is_proved() {
    let usual = json("supply");
    let frost = json("supply --feed hard-frost");
    assert_eq!(frost["feed_state"], "hard-frost");
    assert!(number(&frost["supply"], "made_m3_per_s") < 0.8 * number(&usual["supply"], "made_m3_per_s"));
    // The usual day tells of each odd one, an odd day of none.
    let names: Vec<&str> = usual["feed_states"]
        .as_array()
        .expect("states")
        .iter()
        .filter_map(|state| state["name"].as_str())
        .collect();
    assert_eq!(names, ["flushing-week", "main-repair", "hard-frost"]);
    assert_eq!(frost["feed_states"], serde_json::json!([]));
    // What the usual day tells of the odd one is what proving it gives.
    let told = &usual["feed_states"][2];
    assert_eq!(
        number(told, "made_m3_per_s"),
        number(&frost["supply"], "made_m3_per_s")
    );
    assert!(page("supply --feed hard-frost").contains("With the feed of hard frost."));
    assert!(page("prove --feed main-repair").contains("Proved with the feed of main repair."));
    // What to test that day stands on both, and is what the usual day told.
    let tests = json("prove --feed hard-frost")["tests_today"].clone();
    assert_eq!(tests, told["tests"]);
    assert!(page("prove --feed hard-frost").contains("Test today\n  pressure at the membrane"));
    for command in ["supply", "prove", "why permeate"] {
        let errors = refused(&format!("{command} --feed hard-forst"));
        assert_eq!(errors[0]["where"], "--feed");
        assert!(
            errors[0]["mend"]
                .as_str()
                .is_some_and(|mend| mend.contains("hard-frost"))
        );
    }
}

/// The moments with names, as `Situation` has them.
#[test]
fn the_feed_may_stop_at_a_named_moment() {
    let moments: Vec<String> = json("supply")["supply"]["endurance"]
        .as_array()
        .expect("moments")
        .iter()
        .map(|stores| stores["at"].as_str().expect("a name").to_owned())
        .collect();
    assert_eq!(moments, ["worst", "start", "full"]);
    let count = |line: &str| page(line).matches("When the feed stops").count();
    assert_eq!(count("supply"), 2);
    assert_eq!(count("supply --at full"), 1);
    assert!(page("supply --at start").contains("When the feed stops where fills start"));
    assert_eq!(refused("supply --at noon")[0]["where"], "command line");
}

#[test]
fn strict_ends_with_three_where_something_must_be_fixed() {
    let code = |name: &str| run(&format!("supply --strict \"{}\"", file(name))).status.code();
    assert_eq!(code("juniper-street-school"), Some(3));
    assert_eq!(code("skelder-hatchery"), Some(0));
}

#[test]
fn without_a_purifier_the_stores_are_told() {
    let text = std::fs::read_to_string(file("larkhaven")).expect("an example");
    let begin = text.find("# ---- water: what comes").expect("the water");
    let end = text
        .find("[instruments.hand-refractometer]")
        .expect("the instruments");
    let (_folder, path) = changed("larkhaven", &text[begin..end], "");
    let sheet = page(&format!("supply \"{path}\""));
    assert!(
        sheet.contains("No purifier is described") && sheet.contains("When the feed stops"),
        "{sheet}"
    );
    assert_eq!(
        json(&format!("supply \"{path}\""))["supply"]["purifier"],
        Value::Null
    );
}

/// A state is asked of a file that has none.
#[test]
fn without_states_one_can_be_added() {
    let text = std::fs::read_to_string(file("juniper-street-school")).expect("an example");
    let begin = text.find("[feed_states.chlorine-flush]").expect("its state");
    let end = text.find("[purifier]").expect("the purifier");
    let (_folder, path) = changed("juniper-street-school", &text[begin..end], "");
    let errors = refused(&format!("supply \"{path}\" --feed chlorine-flush"));
    assert_eq!(errors.len(), 1);
    assert!(
        errors[0]["mend"]
            .as_str()
            .is_some_and(|mend| mend.contains("[feed_states")),
        "{errors:?}"
    );
    assert_eq!(
        json(&format!("supply \"{path}\""))["feed_states"],
        serde_json::json!([])
    );
}

/// Odd purifiers print within the page, whatever they lack.
#[test]
fn odd_purifiers_fit_the_page() {
    for (name, from, to) in [
        (
            "larkhaven",
            "control = \"level switches\"",
            "control = \"timer\"\nhours_a_day = \"6 h\"",
        ),
        (
            "larkhaven",
            "control = \"level switches\"",
            "control = \"attended\"",
        ),
        (
            "larkhaven",
            "control = \"level switches\"",
            "control = \"float alone\"",
        ),
        (
            "larkhaven",
            "pressure = \"4.2 bar ± 0.3 bar\"",
            "pressure = \"0.1 bar\"",
        ),
        ("larkhaven", "price = \"4.80 EUR/m3\"", ""),
        (
            "larkhaven",
            "[resin_beds.canister]\nkind = \"mixed\"\nvolume = \"0.55 L ± 0.03 L\"\nprice = \"15 EUR/L\"\n",
            "",
        ),
        (
            "skelder-hatchery",
            "membrane_order = \"series\"",
            "membrane_order = \"parallel\"",
        ),
        ("skelder-hatchery", "units = \"SI\"", "units = \"US\""),
        (
            "skelder-hatchery",
            "[resin_beds.lead]\n",
            "[resin_beds.lead]\nkind = \"cation\"\n",
        ),
    ] {
        let (_folder, path) = changed(name, from, to);
        if to.contains("cation") {
            let text = std::fs::read_to_string(&path).expect("written");
            std::fs::write(
                &path,
                text.replace("[resin_beds.lag]\n", "[resin_beds.lag]\nkind = \"anion\"\n"),
            )
            .expect("written");
        }
        page(&format!("supply \"{path}\""));
        page(&format!("prove \"{path}\""));
    }
}
