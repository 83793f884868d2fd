//! Who reads gallons reads no litres: every face of a station in US units, and no SI unit in its words.

use std::fs;
use std::path::Path;

use crate::common::run;
use crate::served::{Bench, TEXT, answers};
use serde_json::{Value, json};

/// Units that a reader of gallons doesn't use, as they stand behind a number.
const BEHIND_A_NUMBER: [&str; 24] = [
    "L", "mL", "mm", "cm", "m", "km", "kg", "g", "bar", "mbar", "kPa", "Pa", "C", "K", "L/min", "mL/min",
    "L/h", "L/day", "m/s", "kg/m2", "kg/m²", "m3/h", "L/h/bar", "eq/L",
];
/// What is none of theirs wherever it stands.
const ANYWHERE: [&str; 9] = [
    "litre", "litres", "°C", "m3", "m³", "L/min", "ct/L", "USD/L", "USD/kg",
];

/// What stands there for a reason, as it stands.
const ARGUED: [&str; 9] = [
    // Resin, as its sellers have it everywhere.
    "A mixed bed of 1 L, as it is sold",
    // The live conductor, at its terminal.
    "L behind",
    // The flow that the pressure of filters is told at: a definition, with what it is in gallons.
    "at 1 L/min (0.26 gal/min)",
    // The command for a station's first water is called that.
    "first litre",
    // A signal to the panel: the control reckons in it, and whoever wires the transmitter needs to know.
    "a reading in °C",
    // What a sample is compensated to by every meter, and what makers rate membranes at.
    "at 25 C",
    "at 15 C",
    // Tubes as they are sold.
    "metric pipe 10 bar",
    "metric pipe 16 bar",
];

/// SI units in a text, each with what stands before it.
fn si_units(text: &str) -> Vec<String> {
    // Lines are filled: what is argued for may be broken anywhere.
    let mut text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for argued in ARGUED {
        text = text.replace(argued, "");
    }
    let words: Vec<&str> = text.split(' ').collect();
    let bare = |word: &str| {
        let marks = [',', '.', ';', ':', ')', '(', '"', '?', '!', '|', '<', '>'];
        word.trim_matches(marks.as_slice()).to_owned()
    };
    let mut found = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let unit = bare(word);
        let before = at.checked_sub(1).map_or("", |at| words[at]);
        let is_number = before.ends_with(|c: char| c.is_ascii_digit());
        if ANYWHERE.contains(&unit.as_str()) || is_number && BEHIND_A_NUMBER.contains(&unit.as_str()) {
            found.push(words[at.saturating_sub(6)..(at + 2).min(words.len())].join(" "));
        }
    }
    found
}

/// What a person sees of a page: no marks, no scripts, but what its fields propose.
fn seen(page: &str) -> String {
    let mut out = String::new();
    for piece in page.split('<') {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        for name in ["placeholder=\"", "aria-valuetext=\"", "aria-label=\""] {
            let said = tag.split(name).nth(1).and_then(|rest| rest.split('"').next());
            out += &format!(" {} | ", said.unwrap_or_default());
        }
        out += text;
        out.push(' ');
    }
    out.replace('\u{a0}', " ")
}

/// A station in gallons as the questions make it.
fn begun() -> String {
    let bench = Bench::open();
    let mut typed = answers();
    typed["units"] = "US".into();
    typed["currency"] = "USD".into();
    typed["thrift"] = "least".into();
    typed["water_price"] = "0.011 USD/gal".into();
    for (key, text) in [
        ("volume", "75 gal"),
        ("temperature", "77 F"),
        ("evaporation", "0.7 gal/day"),
    ] {
        typed["tanks"][0][key] = text.into();
    }
    for (key, text) in [
        ("width", "6 ft"),
        ("depth", "3 ft"),
        ("ceiling", "8 ft"),
        ("door", "32 in"),
    ] {
        typed[key] = text.into();
    }
    let plan = bench.post(
        "/api/begin/plan",
        &json!({ "answers": typed, "width_mm": 200 }).to_string(),
    );
    assert_eq!(plan.status, 200, "{plan:?}");
    let told: Value = serde_json::from_str(&plan.body).expect("JSON");
    for (key, own) in told.as_object().expect("an object") {
        let found = own
            .as_str()
            .map_or_else(Vec::new, |text| si_units(&seen(&ranges_left_out(text))));
        assert!(found.is_empty(), "/begin, {key}: {found:#?}");
    }
    let write = json!({ "answers": typed, "name": "begun.toml" });
    let answer = bench.post("/api/begin/write", &write.to_string());
    assert_eq!(answer.status, 200, "{answer:?}");
    fs::read_to_string(bench.folder.path().join("begun.toml")).expect("it was written")
}

fn every_command(text: &str, vessel: &str, salt: &str, folder: &Path) {
    let file = folder.join("own.toml");
    fs::write(&file, text).expect("written");
    let file = file.display();
    for line in [
        format!("prove {file}"),
        format!("supply {file}"),
        format!("lineups {file}"),
        format!("mistakes {file}"),
        format!("control {file}"),
        format!("absence {file} --hours 64"),
        format!("year {file} --years 10"),
        format!("lead-time {file} --volume \"20 gal\""),
        format!("level {file} --vessel {vessel} --volume \"30 gal\""),
        format!("trim {file} --vessel {salt} --at \"20 in\" --measured 36"),
    ] {
        let output = run(&line);
        let told = String::from_utf8(output.stdout).expect("UTF-8");
        assert!(
            told.len() > 40,
            "{line}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let found = si_units(&told);
        assert!(found.is_empty(), "{line}: {found:#?}");
    }
    // Sentences of the machine's answer are the same words.
    let output = run(&format!("prove {file} --json"));
    let proof: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    for finding in proof["findings"].as_array().expect("a list") {
        for own in [&finding["sentence"], &finding["remedy"]["sentence"]] {
            let found = si_units(own.as_str().unwrap_or_default());
            assert!(found.is_empty(), "{finding}: {found:#?}");
        }
    }
}

/// A page once its result is there.
fn fresh(bench: &Bench, path: &str) -> String {
    loop {
        let answer = bench.get(path);
        assert_eq!(answer.status, 200, "{path}");
        if !answer.body.contains("data-state=\"waiting\"") {
            return answer.body;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
}

fn every_page(text: &str) {
    let bench = Bench::of(text);
    for path in [
        "/needs",
        "/supply",
        "/levels",
        "/plumbing",
        "/mistakes",
        "/away",
        "/year",
        "/compare",
    ] {
        let page = fresh(&bench, path);
        let found = si_units(&origins_left_out(&seen(&ranges_left_out(&page))));
        assert!(found.is_empty(), "{path}: {found:#?}");
    }
    let view: Value = serde_json::from_str(&bench.get("/api/view?width_mm=190").body).expect("JSON");
    for key in [
        "verdict", "away", "year", "leading", "findings", "vessels", "drawing",
    ] {
        let told = ranges_left_out(view[key].as_str().unwrap_or_default());
        let found = si_units(&origins_left_out(&seen(&told)));
        assert!(found.is_empty(), "/api/view, {key}: {found:#?}");
    }
}

/// Each figure's why tells the range of its method as that is published.
fn ranges_left_out(page: &str) -> String {
    let mut out = String::new();
    for (at, own) in page.split("Holds: ").enumerate() {
        out += match at {
            0 => own,
            _ => own.split_once("Sources: ").map_or("", |(_, rest)| rest),
        };
    }
    out
}

/// Origins of defaults quote where they come from, in the units that are used there.
fn origins_left_out(text: &str) -> String {
    let mut out = String::new();
    for (at, own) in text.split("default of ").enumerate() {
        if at == 0 {
            out += own;
            continue;
        }
        // Up to the next figure of the list, which begins behind two blanks.
        out += own.split_once("  ").map_or("", |(_, rest)| rest);
        out.push(' ');
    }
    out
}

#[test]
fn who_reads_gallons_reads_no_litres() {
    let folder = tempfile::tempdir().expect("a folder");
    every_command(TEXT, "drum", "drum", folder.path());
    every_page(TEXT);
    let begun = begun();
    every_command(&begun, "fresh", "salt", folder.path());
    every_page(&begun);
}

/// The form: what its fields propose, their units, and what holds without a value.
#[test]
fn fields_propose_what_their_owner_would_write() {
    let bench = Bench::open();
    let page = bench.get("/edit").body;
    for piece in page.split("class=\"field\"").skip(1) {
        let field = piece.split("class=\"must\"").next().unwrap_or_default();
        // Its help may name the unit of a definition; an origin quotes.
        let behind = field.split_once("</label>").map_or("", |(_, rest)| rest);
        let told = seen(behind);
        let told = told
            .split_once("Without it ")
            .map_or(told.clone(), |(before, rest)| {
                format!(
                    "{before} {}",
                    rest.split_once(": ").map_or(rest, |(value, _)| value)
                )
            });
        let found = si_units(&told);
        // Without a word of it the money is the euro.
        if field.contains("display.currency") {
            continue;
        }
        // A bag is told as it is printed.
        assert!(
            found.is_empty() || field.contains("makes 540 L"),
            "{found:#?}: {field}"
        );
        assert!(!told.contains("EUR"), "the station's money is another: {told}");
        assert!(
            !told.contains("true") && !told.contains("false"),
            "yes or no: {told}"
        );
    }
    // A bare number is taken in the unit that is shown.
    let set = json!({ "revision": 1, "edits": [{ "path": "room.air_temperature", "text": "75" }] });
    assert_eq!(bench.post("/api/change", &set.to_string()).status, 200);
    assert!(
        bench.text().contains("air_temperature = \"75 °F\""),
        "{}",
        bench.text()
    );
}

/// What is looked for is found, and a reader of litres has it.
#[test]
fn units_are_told_apart() {
    assert_eq!(si_units("It holds 20 L, and no more."), ["It holds 20 L, and"]);
    assert_eq!(si_units("a difference of 7 °C too much").len(), 1);
    assert_eq!(si_units("what a litre costs").len(), 1);
    assert!(si_units("20 gal at 1 L/min (0.26 gal/min), 12 mg/L, 3.1 meq/L").is_empty());
    let output = run("supply");
    assert!(si_units(&String::from_utf8_lossy(&output.stdout)).len() > 10);
}
