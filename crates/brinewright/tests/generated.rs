//! Pages and the schema that are made from the code: they are in the repository for readers and editors, and
//! must say what the code says.

use core::fmt::Write as _;
use std::fs;
use std::path::PathBuf;

use jsonschema::Validator;
use serde_json::{Map, Value};
use toml::de::{DeTable, DeValue};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

/// Compares a file with what the code says; writes it where `BLESS=1` asks for that.
#[track_caller]
fn hold(name: &str, text: &str) {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../docs")
        .join(name);
    if std::env::var_os("BLESS").is_some_and(|value| value == "1") {
        fs::write(&path, text).expect("docs can be written");
    }
    let on_disk = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        on_disk == text,
        "docs/{name} isn't what the code says; write it anew: BLESS=1 cargo test -p brinewright --test all generated::"
    );
}

#[test]
fn the_reference_of_the_station_file() {
    hold("station-file.md", &station::reference());
}

#[test]
fn the_schema_of_the_station_file() {
    hold("station.schema.json", &station::json_schema());
}

#[test]
fn the_page_of_methods() {
    hold("methods.md", &methods());
}

fn methods() -> String {
    let mut out = "\
# Methods

Every figure of a proof is made by one of these methods, and `brinewright why KEY` shows which, with its inputs. Inputs and output are in SI units. The sources stand in [sources.md](sources.md).

This page is generated from the register of methods; to change it, change the method.
"
    .to_owned();
    for method in proof::METHODS {
        let unit = match method.output.si_unit() {
            "1" => "no unit".to_owned(),
            unit => unit.to_owned(),
        };
        write!(
            out,
            "\n## {}\n\nKey `{}`; gives {} ({unit}).\n\n```\n{}\n```\n\n- Inputs: {}\n- Holds: {}\n- Sources: {}\n",
            upper_first(method.title),
            method.key,
            method.output.with_article(),
            method.formula,
            method.inputs.join("; "),
            method.range,
            method.sources.join(", "),
        )
        .expect("a string takes all text");
    }
    out
}

fn upper_first(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

fn schema() -> Validator {
    let schema: Value = serde_json::from_str(&station::json_schema()).expect("the schema is JSON");
    jsonschema::draft202012::meta::validate(&schema).expect("the schema is a schema");
    jsonschema::draft202012::new(&schema).expect("the schema compiles")
}

fn as_json(text: &str) -> Value {
    table(DeTable::parse(text).expect(text).get_ref())
}

fn table(table: &DeTable<'_>) -> Value {
    let members: Map<String, Value> = table
        .iter()
        .map(|(key, value)| (key.get_ref().to_string(), json(value.get_ref())))
        .collect();
    Value::Object(members)
}

fn json(value: &DeValue<'_>) -> Value {
    match value {
        DeValue::String(text) => Value::from(text.as_ref()),
        DeValue::Integer(number) => serde_json::from_str(&number.to_string()).expect("a number"),
        DeValue::Float(number) => serde_json::from_str(number.as_str()).expect("a number"),
        DeValue::Boolean(value) => Value::from(*value),
        DeValue::Array(items) => items.iter().map(|item| json(item.get_ref())).collect(),
        DeValue::Table(inner) => table(inner),
        DeValue::Datetime(date) => Value::from(date.to_string()),
    }
}

/// The new file with every offer taken that the others leave room for.
fn full_template() -> String {
    station::template()
        .lines()
        .map(|line| match line.strip_prefix('#') {
            Some(offer) if offer.starts_with(|c: char| c.is_ascii_lowercase() || c == '[') => offer,
            _ => line,
        })
        .fold(String::new(), |text, line| text + line + "\n")
}

#[test]
fn the_schema_takes_what_the_reader_takes() {
    let schema = schema();
    let measured = "title = \"x\"\n[vessels.a]\nholds = \"fresh\"\nshape = \"measured\"\ntable = [[\"1 m\", \"200 L\"]]\n";
    for text in [
        LARKHAVEN,
        JUNIPER,
        SKELDER,
        &station::template(),
        &full_template(),
        measured,
    ] {
        let faults: Vec<String> = schema
            .iter_errors(&as_json(text))
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{faults:#?}\n{text}");
    }
}

/// Each fault is planted in a sound file, refused by the schema, and refused by the reader.
#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let schema = schema();
    for (what, from, to) in [
        ("an unknown key", "[people]\n", "[people]\nheight = \"1 m\"\n"),
        ("an unknown key at the top", "title = ", "titel = \"x\"\ntitle = "),
        ("an unknown section", "[people]\n", "[person]\n"),
        ("no title", "title = ", "# title = "),
        ("a missing field", "salinity = 33\n", ""),
        ("a missing dimension", "diameter = \"710 mm ± 4 mm\"\n", ""),
        (
            "a dimension of another shape",
            "shape = \"cylinder\"\n",
            "shape = \"cylinder\"\nwidth = \"1 m\"\n",
        ),
        (
            "a shape without its dimensions",
            "shape = \"cylinder\"",
            "shape = \"box\"",
        ),
        ("a wrong word", "holds = \"fresh\"", "holds = \"sweet\""),
        ("no word at all", "holds = \"fresh\"", "holds = true"),
        (
            "a number without its unit",
            "ceiling = \"2.9 m\"",
            "ceiling = 2.9",
        ),
        ("a number out of its range", "salinity = 33\n", "salinity = 330\n"),
        (
            "a text for yes or no",
            "made_for_liquids = true",
            "made_for_liquids = \"yes\"",
        ),
        ("a day that is none", "\"Monday to Saturday\"", "\"Mon-Sat\""),
        ("a time that is none", "\"08:30\"", "\"8:30 am\""),
        ("a day of the year that is none", "\"22 December\"", "\"22.12.\""),
        (
            "an empty text",
            "title = \"Larkhaven, old boiler room\"",
            "title = \"\"",
        ),
        (
            "a name that can't be one",
            "[tanks.quarantine]",
            "[tanks.\"a b\"]",
        ),
        (
            "a value for a section",
            "[people]\npouring_height = \"1.25 m\"\nlift = \"20 kg\"\n",
            "[people.x]\n",
        ),
    ] {
        let text = LARKHAVEN.replace(from, to);
        assert_ne!(text, LARKHAVEN, "{what}: nothing was planted");
        assert!(!schema.is_valid(&as_json(&text)), "{what} passes the schema");
        assert!(station::Station::read(&text).is_err(), "{what} passes the reader");
    }
    let no_vessel = as_json("title = \"x\"\n");
    assert!(!schema.is_valid(&no_vessel), "a station without a vessel");
    assert!(
        !schema.is_valid(&as_json("title = \"x\"\n[vessels]\n")),
        "a station without a vessel in [vessels]"
    );
}
