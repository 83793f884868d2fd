//! `control`: the keys of its answer, its page, its files.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, page, refused, run};
use std::fs;
use std::path::PathBuf;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

#[test]
fn it_has_its_keys() {
    for name in EXAMPLES {
        let answer = json(&format!("control ../../stations/{name}.toml"));
        let keys: Vec<&String> = answer.as_object().expect("an object").keys().collect();
        for key in [
            "format",
            "program",
            "truth_table",
            "inputs_outputs",
            "wiring",
            "structured_text",
            "cautions",
        ] {
            assert!(keys.iter().any(|own| *own == key), "{name}: {key}");
        }
        assert_eq!(keys.len(), 7);
        let text = answer["structured_text"].as_str().expect("a text");
        assert!(
            text.contains(&format!("{name}.toml")) && text.ends_with("END_PROGRAM\n"),
            "{name}"
        );
        assert!(!text.contains("../"), "{name}: no folders");
        for point in answer["inputs_outputs"].as_array().expect("a list") {
            let variable = point["variable"].as_str().expect("a name");
            assert!(text.contains(&format!("    {variable} : ")), "{name}: {variable}");
        }
        for table in answer["truth_table"].as_array().expect("a list") {
            let columns = table["columns"].as_array().expect("a list").len();
            for row in table["rows"].as_array().expect("a list") {
                assert_eq!(row["cells"].as_array().expect("a list").len(), columns, "{name}");
                assert!(row["on"].is_boolean());
            }
        }
    }
}

/// After a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all control::
#[test]
fn pages_as_they_were() {
    for name in EXAMPLES {
        let text =
            page(&format!("control ../../stations/{name}.toml")).replace("../../stations/", "stations/");
        let path =
            PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/letters/control-{name}.txt"));
        if std::env::var_os("BLESS").is_some() {
            fs::write(&path, &text).expect("written");
        }
        let before = fs::read_to_string(&path).unwrap_or_default();
        assert!(text == before, "the page control-{name} has changed:\n{text}");
    }
}

#[test]
fn units_are_the_owners_or_those_asked_for() {
    let own = page("control ../../stations/larkhaven.toml");
    let asked = page("control ../../stations/larkhaven.toml --units us");
    assert!(own.contains("880 mm") && own.contains("20.5 °C"), "{own}");
    assert!(asked.contains(" in above") && asked.contains("°F"), "{asked}");
    assert!(!asked.contains(" mm") && !asked.contains("20.5"), "{asked}");
}

#[test]
fn the_folder_holds_program_and_list() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path().join("made/here");
    let line = format!(
        "control ../../stations/skelder-hatchery.toml --out \"{}\"",
        here.display()
    );
    // The second time in place of the first.
    for _ in 0..2 {
        let text = run(&line);
        assert_eq!(text.status.code(), Some(0));
    }
    let names: Vec<String> = fs::read_dir(&here)
        .expect("the folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    assert_eq!(names.len(), 2, "nothing half written is left: {names:?}");
    let program = fs::read_to_string(here.join("control.st")).expect("the program");
    let answer = json("control ../../stations/skelder-hatchery.toml");
    assert_eq!(answer["structured_text"], program);
    let list = fs::read_to_string(here.join("control.csv")).expect("the list");
    let points = answer["inputs_outputs"].as_array().expect("a list");
    assert_eq!(list.lines().count(), points.len() + 1);
    for (row, point) in list.lines().skip(1).zip(points) {
        let tag = point["tag"].as_str().expect("a tag");
        assert!(row.starts_with(&format!("{tag},")), "{row}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    refused("control no-such-file.toml");
    refused("control --out");
    let file = tempfile::NamedTempFile::new().expect("a file");
    let line = format!(
        "control ../../stations/larkhaven.toml --out \"{}\"",
        file.path().display()
    );
    let errors = refused(&line);
    assert!(
        errors
            .iter()
            .any(|error| error["what"].to_string().contains("not a folder")),
        "{errors:?}"
    );
}
