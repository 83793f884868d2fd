//! `year` and `compare`: the contract's keys, the pages as they are, what is refused.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page, refused, run};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

fn file(name: &str) -> String {
    format!("../../stations/{name}.toml")
}

/// A mean within its own interval.
#[track_caller]
fn over(value: &Value, key: &str) {
    let own = &value[key];
    let [mean, low, high] = ["mean", "low", "high"].map(|key| number(own, key));
    assert!(low <= mean && mean <= high, "{key}: {own}");
    assert!(number(own, "p05") <= number(own, "p95"), "{key}: {own}");
}

/// contract.md: keys of `year`, each mean with its interval; the residuals are shares.
#[test]
fn year_has_the_keys_of_the_contract() {
    for name in EXAMPLES {
        let answer = json(&format!("year \"{}\" --years 40 --seed 1", file(name)));
        for key in [
            "runs",
            "run_volume_m3",
            "resin_litres_per_bed",
            "reject_m3",
            "cost",
            "shortfall_hours",
        ] {
            over(&answer, key);
        }
        for key in ["residual_water", "residual_salt"] {
            let residual = number(&answer, key);
            assert!((0.0..1e-9).contains(&residual), "{name}: {key} {residual}");
        }
        let shares: f64 = answer["cost"]["items"]
            .as_array()
            .expect("items")
            .iter()
            .map(|item| number(item, "share"))
            .sum();
        assert!((shares - 1.0).abs() < 1e-9, "{name}: {shares}");
        assert_eq!(number(&answer, "years"), 40.0);
    }
}

/// The same seed, the same years; another seed, others.
#[test]
fn a_seed_is_a_chance() {
    let of = |seed: u32| json(&format!("year --years 20 --seed {seed}"));
    assert_eq!(of(3), of(3));
    assert_ne!(of(3)["cost"], of(4)["cost"]);
}

/// contract.md: keys of `compare`. Two of the same differ in nothing; money is compared within one currency only.
#[test]
fn compare_has_the_keys_of_the_contract() {
    let [lark, school, hatchery] = EXAMPLES.map(file);
    let answer = json(&format!(
        "compare \"{lark}\" \"{lark}\" \"{hatchery}\" --years 20"
    ));
    let designs = answer["designs"].as_array().expect("designs");
    assert_eq!(designs.len(), 3);
    for (design, file) in designs.iter().zip([&lark, &lark, &hatchery]) {
        assert_eq!(design["file"], **file);
        assert!(
            design["figures"]
                .as_array()
                .is_some_and(|figures| figures.len() > 10)
        );
    }
    let differences = answer["differences"].as_array().expect("differences");
    assert_eq!(differences.len(), 2);
    let figures = |at: usize| differences[at]["figures"].as_array().expect("figures");
    for own in figures(0) {
        assert_eq!(number(&own["difference"], "mean"), 0.0, "{own}");
        assert_eq!(own["matters"], false);
    }
    let cost = figures(1).iter().find(|own| own["key"] == "cost").expect("cost");
    assert_eq!(cost["matters"], true);
    let answer = json(&format!("compare \"{lark}\" \"{school}\" --years 20"));
    assert_eq!(answer["currency"], Value::Null);
    assert!(!answer["designs"].to_string().contains("\"key\":\"cost\""));
}

#[test]
fn what_cannot_be_is_refused() {
    let lark = file("larkhaven");
    for (line, place, part) in [
        ("year --years 1".to_owned(), "--years", "from 2 to"),
        ("year --years 200000".to_owned(), "--years", "from 2 to"),
        ("year --years some".to_owned(), "command line", "some"),
        ("year nowhere.toml".to_owned(), "nowhere.toml", "no such file"),
        (format!("compare \"{lark}\""), "FILE", "two files or more"),
        (
            format!("compare \"{lark}\" nowhere.toml"),
            "nowhere.toml",
            "no such file",
        ),
        (
            format!("compare \"{lark}\" \"{lark}\" --years 1"),
            "--years",
            "from 2 to",
        ),
    ] {
        let errors = refused(&line);
        assert_eq!(errors[0]["where"], place, "{line}: {errors:?}");
        let what = errors[0]["what"].as_str().expect("a text");
        assert!(what.contains(part), "{line}: {what}");
    }
}

/// Charts and tables lie in the folder, and nothing of a purifier where none is left.
#[test]
fn the_folder_holds_charts_and_tables() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path().join("made/here");
    let output = run(&format!("year --years 20 --out \"{}\"", here.display()));
    assert_eq!(output.status.code(), Some(0));
    for name in [
        "reserve-of-fresh-water",
        "reserve-of-salt-water",
        "run-volumes",
        "cost-by-item",
    ] {
        let svg = fs::read_to_string(here.join(format!("{name}.svg"))).expect("a drawing");
        assert!(svg.starts_with("<svg") && !svg.contains("NaN"), "{name}");
        let png = fs::read(here.join(format!("{name}.png"))).expect("a picture");
        assert!(png.starts_with(b"\x89PNG"), "{name}");
    }
    // A head, 52 weeks and the day that is left.
    let weeks = fs::read_to_string(here.join("reserve-by-week.csv")).expect("a table");
    assert_eq!(weeks.lines().count(), 54);
    let blocked = here.join("cost-by-item.csv");
    let errors = refused(&format!("year --years 2 --out \"{}\"", blocked.display()));
    assert_eq!(errors[0]["what"], "that is a file, not a folder");
}

/// What must be fixed stands before what a year costs; where nothing must, the cost comes first.
#[test]
fn what_must_be_fixed_comes_first() {
    for (name, must) in EXAMPLES.into_iter().zip([false, true, false]) {
        let command = format!("year \"{}\" --years 20", file(name));
        let findings = &json(&command)["findings"];
        let musts = findings.as_array().expect("findings").iter();
        let musts = musts.filter(|own| own["severity"] == "must").count();
        assert_eq!(musts > 0, must, "{name}");
        let page = page(&command);
        let verdict = page.split("\n\n").nth(1).expect("a paragraph");
        let first = if must {
            "Nearly sound: one thing must be fixed."
        } else {
            "A year costs"
        };
        assert!(verdict.starts_with(first), "{verdict}");
    }
}

/// Changes are told in words: no key of the file, no section in its brackets.
#[test]
fn changes_are_told_without_keys() {
    let mut told = 0;
    for name in EXAMPLES {
        let answer = json(&format!("year \"{}\" --years 20", file(name)));
        for change in answer["changes"].as_array().expect("changes") {
            let sentence = change["sentence"].as_str().expect("a sentence");
            assert!(!sentence.contains(['[', '_']), "{sentence}");
            assert!(
                !sentence.contains("true") && !sentence.contains("false"),
                "{sentence}"
            );
            told += 1;
        }
    }
    assert!(told > 3, "{told}");
}

/// The units that are asked for stand above the file's own.
#[test]
fn units_may_be_asked_for() {
    for (units, shown, other) in [("us", " gal", " L\n"), ("si", " L", " gal")] {
        let text = page(&format!("year --years 20 --units {units}"));
        assert!(text.contains(shown) && !text.contains(other), "{text}");
    }
}

/// The pages as they are; after a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all year::
#[test]
fn pages_as_they_were() {
    let mut pages: Vec<(String, String)> = EXAMPLES
        .iter()
        .map(|name| {
            (
                format!("year-{name}"),
                format!("year \"{}\" --years 40", file(name)),
            )
        })
        .collect();
    let [lark, school, hatchery] = EXAMPLES.map(file);
    pages.extend([
        (
            "compare-two".to_owned(),
            format!("compare \"{lark}\" \"{hatchery}\" --years 40"),
        ),
        (
            "compare-three".to_owned(),
            format!("compare \"{lark}\" \"{lark}\" \"{school}\" --years 40"),
        ),
    ]);
    for (kept, command) in pages {
        let text = page(&command).replace("../../stations/", "stations/");
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/letters/{kept}.txt"));
        if std::env::var_os("BLESS").is_some() {
            fs::write(&path, &text).expect("written");
        }
        let before = fs::read_to_string(&path).expect("a page that was kept");
        assert_eq!(text, before, "the page {kept} has changed");
    }
}
