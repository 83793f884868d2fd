//! Whoever reads a page or a sentence of an example meets its names in plain words; keys, paths and what is typed keep theirs.

use std::fs;

use serde_json::Value;
use station::Station;

use crate::common::{json, run};

const STATIONS: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

/// What is asked of each.
const COMMANDS: [&str; 10] = [
    "prove",
    "supply",
    "supply --at full",
    "lineups --orders --service",
    "flows",
    "mistakes --all",
    "absence",
    "year --years 20",
    "control",
    "lead-time --volume \"150 L\"",
];

fn of_each() -> impl Iterator<Item = (Station, String)> {
    STATIONS.into_iter().flat_map(|name| {
        let path = format!("../../stations/{name}.toml");
        COMMANDS.into_iter().filter_map(move |command| {
            // The school mixes no such batch.
            if name.starts_with("juniper") && command.starts_with("lead-time") {
                return None;
            }
            let text = fs::read_to_string(&path).expect("an example");
            let station = Station::read(&text).expect("a station");
            let (first, options) = command.split_once(' ').unwrap_or((command, ""));
            Some((station, format!("{first} {path} {options}")))
        })
    })
}

/// What is typed.
fn is_command(line: &str) -> bool {
    line.trim_start().starts_with("brinewright ")
}

#[test]
fn in_every_line_of_the_terminal() {
    for (station, command) in of_each() {
        let output = run(&command);
        assert_eq!(output.status.code(), Some(0), "{command}");
        let text = String::from_utf8(output.stdout).expect("UTF-8");
        for line in text.lines().filter(|line| !is_command(line)) {
            assert_eq!(station.in_words(line), line, "{command}");
        }
    }
}

/// Texts of the object.
fn sentences<'v>(value: &'v Value, out: &mut Vec<&'v str>) {
    match value {
        Value::String(text) => out.push(text),
        Value::Array(all) => all.iter().for_each(|own| sentences(own, out)),
        // Edits and the program text are the file's and the controller's own; what parts are found by are names.
        Value::Object(all) => {
            let read = all
                .iter()
                .filter(|(key, _)| !matches!(key.as_str(), "edits" | "structured_text" | "name" | "part"));
            read.for_each(|(_, own)| sentences(own, out));
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[test]
fn in_every_sentence_of_the_object() {
    for (station, command) in of_each() {
        let answer = json(&command);
        let mut all = Vec::new();
        sentences(&answer, &mut all);
        let names = |text: &str| text.split(", ").all(|own| !own.contains(' '));
        for text in all.into_iter().filter(|text| !names(text)) {
            assert_eq!(station.in_words(text), text, "{command}");
        }
    }
}
