//! `prove`, `why` and `level` through the real binary: the contract's keys, the exit codes, the letter.

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_brinewright"))
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("the binary runs")
}

fn text(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("UTF-8")
}

fn object(arguments: &[&str]) -> Value {
    serde_json::from_str(&text(arguments)).expect("one JSON object")
}

fn temporary(name: &str, contents: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::write(&path, contents).expect("a file");
    let path = path.to_str().expect("UTF-8").to_owned();
    (folder, path)
}

/// contract.md: keys of `prove`.
#[test]
fn prove_has_the_keys_of_the_contract() {
    let proof = object(&["prove", "--json"]);
    assert_eq!(proof["format"], 1);
    for key in [
        "figures", "findings", "needs", "supply", "levels", "batch", "cost",
    ] {
        assert!(!proof[key].is_null(), "{key} is missing");
    }
    for figure in proof["figures"].as_array().expect("a list") {
        for key in ["key", "value", "unit", "method", "inputs"] {
            assert!(!figure[key].is_null(), "{key} is missing from {figure}");
        }
        assert!(figure.get("low").is_some() && figure.get("high").is_some());
        for input in figure["inputs"].as_array().expect("a list") {
            for key in ["name", "value", "unit", "origin"] {
                assert!(!input[key].is_null(), "{key} is missing from {input}");
            }
        }
    }
    let findings = proof["findings"].as_array().expect("a list");
    assert_eq!(findings[0]["severity"], "must");
    for finding in findings {
        for key in ["id", "severity", "where", "sentence"] {
            assert!(!finding[key].is_null(), "{key} is missing from {finding}");
        }
    }
    assert_eq!(
        findings[0]["remedy"]["edits"][0]["path"],
        "vessels.fresh.start_level"
    );
    assert_eq!(findings[0]["remedy"]["edits"][0]["text"], "320 mm ± 5 mm");
    assert_eq!(findings[0]["remedy"]["tried"], true);
}

#[test]
fn why_answers_every_figure_and_meets_a_slip() {
    let proof = object(&["prove", "--json"]);
    for figure in proof["figures"].as_array().expect("a list").iter().step_by(15) {
        let key = figure["key"].as_str().expect("a key");
        let why = object(&["why", key, "--json"]);
        for wanted in [
            "key", "title", "formula", "inputs", "value", "unit", "sources", "range",
        ] {
            assert!(!why[wanted].is_null(), "{wanted} is missing from {why}");
        }
        assert_eq!(why["value"], figure["value"]);
        assert!(text(&["why", key]).contains("Formula"));
    }
    let output = run(&["why", "fresh.runn"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("did you mean `fresh.run`?"));
}

/// contract.md: `level` gives the same four keys both ways, and is its own inverse.
#[test]
fn level_goes_both_ways() {
    let file = "stations/larkhaven.toml";
    for vessel in ["fresh", "salt"] {
        let one = object(&["level", file, "--vessel", vessel, "--volume", "150 L", "--json"]);
        let at = format!("{} m", one["level_m"]);
        let other = object(&["level", file, "--vessel", vessel, "--at", &at, "--json"]);
        let volume = other["volume_m3"].as_f64().expect("a number");
        // 1e-12: the level goes through text with 17 digits.
        assert!((volume - 0.150).abs() < 1e-12, "{volume}");
        let rim = one["level_m"].as_f64().expect("a number") + one["from_rim_m"].as_f64().expect("a number");
        assert!((rim - if vessel == "fresh" { 1.010 } else { 0.850 }).abs() < 1e-12);
    }
    for (arguments, part) in [
        (
            ["--vessel", "fresh", "--volume", "500 L"],
            "doesn't hold that much",
        ),
        (["--vessel", "fresh", "--at", "2 m"], "above the rim"),
        (["--vessel", "fresh", "--at", "-1 mm"], "below the floor"),
        (["--vessel", "tub", "--at", "1 mm"], "there is no vessel `tub`"),
        (["--vessel", "fresh", "--at", "1"], "has no unit"),
    ] {
        let output = run(&[&["level", file][..], &arguments[..]].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains(part) && said.contains("mend"), "{said}");
    }
}

/// contract.md: 2 where the input is wrong, 3 with `--strict` where something must be fixed.
#[test]
fn exit_codes() {
    assert_eq!(run(&["prove"]).status.code(), Some(0));
    assert_eq!(run(&["prove", "--strict"]).status.code(), Some(3));
    assert_eq!(run(&["prove", "no-such-file.toml"]).status.code(), Some(2));
    assert_eq!(run(&["prove", "stations"]).status.code(), Some(2));
    let (_folder, path) = temporary(
        "bad.toml",
        "title = 3\n[vessels.a]\nholds = \"fresh\"\nshape = \"drum\"\n",
    );
    let output = run(&["prove", &path, "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let errors: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(errors["format"], 1);
    let errors = errors["errors"].as_array().expect("a list");
    assert_eq!(errors.len(), 2, "{errors:?}");
    for error in errors {
        for key in ["where", "what", "mend"] {
            assert!(
                error[key].as_str().is_some_and(|text| !text.is_empty()),
                "{error}"
            );
        }
    }
    assert!(
        errors[1]["where"]
            .as_str()
            .is_some_and(|place| place.ends_with("bad.toml:4:9")),
        "{errors:?}"
    );
    let (_folder, path) = temporary("binary.toml", "title = \"x\"\n");
    std::fs::write(&path, [0xff, 0xfe, 0x00]).expect("written");
    assert_eq!(run(&["prove", &path]).status.code(), Some(2));
}

/// The letter fits a terminal of 80 columns, and its refusals are drawn at their place.
#[test]
fn the_letter_fits_eighty_columns() {
    for file in [
        "stations/larkhaven.toml",
        "stations/juniper-street-school.toml",
        "stations/skelder-hatchery.toml",
    ] {
        for line in text(&["prove", file]).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
    let mended = include_str!("../../../stations/larkhaven.toml").replace("880 mm ± 5 mm", "1200 mm");
    let (_folder, path) = temporary("high.toml", &mended);
    let output = run(&["prove", &path]);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    for part in [
        "error: the stop level is above the rim",
        "stop_level = \"1200 mm\"",
        "^^^^^^^^^",
        "the vessel `fresh` is 1 010 mm high",
        "mend: at most 970 mm",
    ] {
        assert!(said.contains(part), "{part} is missing from\n{said}");
    }
}

/// The letters as they are; after a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all prove::
#[test]
fn letters_as_they_were() {
    for name in ["larkhaven", "juniper-street-school", "skelder-hatchery"] {
        let letter = text(&["prove", &format!("stations/{name}.toml")]);
        let path = root().join(format!("crates/brinewright/tests/letters/{name}.txt"));
        if std::env::var_os("BLESS").is_some() {
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            std::fs::write(&path, &letter).expect("written");
        }
        let kept = std::fs::read_to_string(&path).expect("a letter that was kept");
        assert_eq!(letter, kept, "the letter of {name} changed");
    }
}
