//! Every field of the water's sections, at its ends, beyond them and at random: a placed fault or a proof.

use crate::survival;

use proptest::prelude::*;
use station::register::{FieldSpec, Form};
use station::sections::REGISTER;
use station::{Edit, Station, edit};
use survival::{cases, due, ends_well, survive};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../stations/larkhaven.toml"),
    include_str!("../../../stations/juniper-street-school.toml"),
    include_str!("../../../stations/skelder-hatchery.toml"),
];

/// Sections that tell what water comes, how it is made and how it leaves, by what precedes a name.
const SECTIONS: [&str; 9] = [
    "feed",
    "feed_states.",
    "purifier",
    "filters.",
    "membranes.",
    "resin_beds.",
    "delivered.",
    "tanks.",
    "room",
];

/// Fields of those sections, with the paths at which an example has them.
fn fields(text: &str) -> Vec<(String, &'static FieldSpec)> {
    let heads: Vec<&str> = text
        .lines()
        .filter_map(|line| line.strip_prefix('[')?.split_once(']'))
        .map(|(head, _)| head)
        .collect();
    let mut fields = Vec::new();
    for section in REGISTER {
        let begin = section.path.trim_end_matches('*');
        if !SECTIONS.contains(&begin) {
            continue;
        }
        let mine = heads.iter().filter(|head| match begin.ends_with('.') {
            true => head.starts_with(begin),
            false => **head == begin,
        });
        for head in mine {
            fields.extend(
                section
                    .fields
                    .iter()
                    .map(|field| (format!("{head}.{}", field.key), field)),
            );
        }
    }
    fields
}

/// A quantity's number and what follows it.
fn number_and_unit(text: &str) -> (f64, &str) {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.' && c != '-')
        .unwrap_or(text.len());
    (text[..end].parse().expect("a number"), &text[end..])
}

/// A field's value by two numbers from 0 to 1: below zero, between its ends, at them, beyond; with or without a doubt.
fn value(field: &FieldSpec, place: f64, doubt: f64) -> String {
    match field.form {
        Form::Choice(words) => {
            let at = (place * words.len() as f64) as usize;
            format!("\"{}\"", words[at.min(words.len() - 1)].word)
        }
        Form::YesNo => (place < 0.5).to_string(),
        Form::Text => "\"fresh\"".to_owned(),
        Form::LevelTable => "[]".to_owned(),
        Form::PumpTable | Form::Place | Form::Weekdays | Form::TimeOfDay | Form::DayOfYear | Form::Date => {
            field.example.to_owned()
        }
        Form::Quantity(_) => {
            let example = field.example.trim_matches('"');
            let (least, most) = field.range.unwrap_or((example, example));
            let (from, from_unit) = number_and_unit(least);
            let (to, to_unit) = number_and_unit(most);
            // Between ends in different units one goes up a thousandfold from the lower, or down from the upper one.
            let (low, high, unit) = match (from_unit == to_unit, place < 0.5) {
                (true, _) => (from, to, from_unit),
                (false, true) => (from, from * 1e3, from_unit),
                (false, false) => (to * 1e-3, to, to_unit),
            };
            let number = match (doubt * 10.0) as u32 {
                0 => low,
                1 => high,
                2 => -high,
                3 => high * 1.01,
                4 if low > 0.0 => low * libm::pow(high / low, place),
                _ => low + place * (high - low),
            };
            match doubt {
                doubt if doubt > 0.9 => format!("\"{number:.6}{unit} ± 95 %\""),
                doubt if doubt > 0.7 => format!("\"{number:.6}{unit} ± 10 %\""),
                _ => format!("\"{number:.6}{unit}\""),
            }
        }
    }
}

fn edited(text: &str, edits: Vec<Edit>) -> String {
    edit::apply(text, &edits).unwrap_or_else(|error| panic!("{error}"))
}

/// Each field alone at its least and greatest value, and each word of each choice.
#[test]
fn each_field_at_its_ends() {
    let (mut tried, mut proved, mut wrong) = (0, 0, Vec::new());
    let mut case = 0;
    for text in EXAMPLES {
        for (path, field) in fields(text) {
            let values: Vec<String> = match field.form {
                Form::Choice(words) => words.iter().map(|word| format!("\"{}\"", word.word)).collect(),
                Form::YesNo => vec!["true".to_owned(), "false".to_owned()],
                Form::Text
                | Form::LevelTable
                | Form::PumpTable
                | Form::Place
                | Form::Weekdays
                | Form::TimeOfDay
                | Form::DayOfYear
                | Form::Date => {
                    vec![field.example.to_owned()]
                }
                Form::Quantity(_) => match field.range {
                    Some((least, most)) => vec![format!("\"{least}\""), format!("\"{most}\"")],
                    None => vec![field.example.to_owned(), "\"0\"".to_owned()],
                },
            };
            for value in values {
                case += 1;
                if !due(case) {
                    continue;
                }
                let changed = edited(
                    text,
                    vec![Edit {
                        path: path.clone(),
                        text: value.clone(),
                    }],
                );
                tried += 1;
                match ends_well(&changed) {
                    Ok(read) => proved += usize::from(read),
                    Err(what) => wrong.push(format!("{path} = {value}: {what}")),
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // An end may be impossible with what else stands there: coldest at 40 C. Most aren't.
    assert!(proved * 4 > tried * 3, "{proved} of {tried}");
}

/// A tank whose evaporation is to be computed never drops out of the need: it would be short by that without a word.
#[test]
fn evaporation_is_never_left_out() {
    let text = EXAMPLES[2];
    let mut missing = Vec::new();
    let mut case = 0;
    for (path, field) in fields(text) {
        let Some((least, most)) = field
            .range
            .filter(|_| path.starts_with("room") || path.starts_with("tanks"))
        else {
            continue;
        };
        // Measured, it isn't computed.
        if path == "tanks.larval-rings.evaporation" {
            continue;
        }
        for end in [least, most] {
            case += 1;
            if !due(case) {
                continue;
            }
            let edit = Edit::quoted(path.clone(), end);
            let Ok(station) = Station::read(&edited(text, vec![edit])) else {
                continue;
            };
            let proof = proof::prove(&station);
            let all = ["broodstock", "larval-rings", "grow-out"];
            if !all.iter().all(|tank| {
                proof
                    .figures
                    .iter()
                    .any(|figure| figure.key == format!("{tank}.evaporation"))
            }) {
                missing.push(format!("{path} = {end}"));
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

/// An example reads with any single field as its help shows it, unless that field can't stand with its neighbours.
#[test]
fn examples_of_the_help_can_be_read() {
    let mut refused = Vec::new();
    for (path, field) in fields(EXAMPLES[0]) {
        let changed = edited(
            EXAMPLES[0],
            vec![Edit {
                path: path.clone(),
                text: field.example.to_owned(),
            }],
        );
        if Station::read(&changed).is_err() {
            refused.push(path);
        }
    }
    // A state of the feed comes in a month there or after a mean time, and the restrictor is told by its flow.
    let otherwise = [
        "feed_states.flushing-week.every",
        "feed_states.main-repair.in_month",
        "feed_states.hard-frost.in_month",
        "purifier.restrictor_bore",
        "purifier.waste_ratio",
    ];
    assert_eq!(refused, otherwise);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(400)))]

    /// Several at once, as a form half filled in has them.
    #[test]
    fn fields_at_random(
        example in 0..EXAMPLES.len(),
        drawn in prop::collection::vec((0.0..1.0_f64, 0.0..1.0_f64, 0.0..1.0_f64), 1..7),
    ) {
        let text = EXAMPLES[example];
        let fields = fields(text);
        let edits = drawn.iter().map(|(which, place, doubt)| {
            let (path, field) = &fields[(which * fields.len() as f64) as usize];
            Edit { path: path.clone(), text: value(field, *place, *doubt) }
        });
        survive(&edited(text, edits.collect()));
    }

    /// Any text in any field.
    #[test]
    fn texts_at_random(
        example in 0..EXAMPLES.len(),
        which in 0.0..1.0_f64,
        text in prop_oneof![
            "[0-9]{1,6}(\\.[0-9]{1,3})? ?(bar|psi|C|F|L|mL|gal|mg/L|uS/cm|%|L/day|gal/day|EUR|eq/L|dKH)?( ± [0-9]{1,4} ?%)?",
            "\\PC{0,30}",
        ],
    ) {
        let file = EXAMPLES[example];
        let fields = fields(file);
        let (path, _) = &fields[(which * fields.len() as f64) as usize];
        // What blanks an owner's words hold is the owner's.
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",");
        survive(&edited(file, vec![Edit::quoted(path.clone(), &text)]));
    }
}
