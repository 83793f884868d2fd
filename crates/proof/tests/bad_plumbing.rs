//! Whatever is done to the plumbing of a file, it ends in placed faults or in a proof.

use crate::survival;

use proptest::prelude::*;
use survival::{cases, survive};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../stations/larkhaven.toml"),
    include_str!("../../../stations/juniper-street-school.toml"),
    include_str!("../../../stations/skelder-hatchery.toml"),
];

/// Values that are sound somewhere in the plumbing, and some that are nowhere.
const VALUES: &[&str] = &[
    "\"fresh\"",
    "\"salt\"",
    "\"salt-east\"",
    "\"drum\"",
    "\"bucket\"",
    "\"touch-pool\"",
    "\"suction\"",
    "\"bracket\"",
    "\"salt-pump\"",
    "\"tee suction\"",
    "\"vessel \"",
    "\"draw point bucket\"",
    "\"spigot\"",
    "\"none\"",
    "\",\"",
    "\"pump\"",
    "\"gravity\"",
    "\"vinyl hose\"",
    "\"schedule 40 pipe\"",
    "\"push-fit tube\"",
    "\"spring check\"",
    "\"solenoid\"",
    "\"float\"",
    "\"needle\"",
    "\"10 mm\"",
    "\"1 mm\"",
    "\"200 mm\"",
    "\"25 mm\"",
    "\"3/4 in\"",
    "\"6 m\"",
    "\"-3 m\"",
    "\"500 m\"",
    "\"1 m ± 2 m\"",
    "\"0.01 L/min\"",
    "\"2000 L/min\"",
    "\"1 Pa\"",
    "\"10 bar\"",
    "\"1 %\"",
    "\"100 %\"",
    "0",
    "0.001",
    "1.5",
    "100",
    "true",
    "[[\"0 L/min\", \"4 m\"], [\"40 L/min\", \"0 m\"]]",
    "[[\"0 L/min\", \"0.001 m\"], [\"0.001 L/min\", \"-100 m\"]]",
    "[[\"3000 L/min\", \"100 m\"]]",
];

/// Keys of the plumbing that few lines have.
const KEYS: &[&str] = &[
    "from_level",
    "to_level",
    "tank_height",
    "crest",
    "siphon_break",
    "bore",
    "barb_bore",
    "barbs",
    "measured_flow",
    "measured_drop",
    "rated_pressure",
    "entrance",
    "kv",
    "opening",
    "cracking",
    "nozzle",
    "branch",
    "open",
    "volume",
    "speed",
    "dry_lift",
    "primes_itself",
];

/// Where the plumbing of an example begins, and where each of its values stands: behind a ` = ` that opens no section.
fn values(text: &str) -> (usize, Vec<core::ops::Range<usize>>) {
    let begin = text
        .find("[pumps")
        .or_else(|| text.find("[draw_points"))
        .expect("it is plumbed");
    let found = text[begin..]
        .match_indices(" = ")
        .map(|(at, sign)| begin + at + sign.len())
        .filter(|at| !text[*at..].starts_with('{'))
        .map(|at| {
            let rest = &text[at..];
            let end = match rest.chars().next() {
                Some('"') => rest[1..].find('"').map_or(rest.len(), |end| end + 2),
                Some('[') => rest.find("]]").map_or(rest.len(), |end| end + 2),
                _ => rest.find([',', ' ', '\n']).unwrap_or(rest.len()),
            };
            at..at + end
        })
        .collect();
    (begin, found)
}

#[derive(Debug, Clone)]
enum Slip {
    /// A value in place of another.
    Value(prop::sample::Index, &'static str),
    /// A value of the same file in place of another.
    Exchanged(prop::sample::Index, prop::sample::Index),
    /// A key more in a section that stands on lines of its own.
    Key(prop::sample::Index, &'static str, &'static str),
    /// A line less.
    Cut(prop::sample::Index),
}

fn slip() -> impl Strategy<Value = Slip> {
    use prop::sample::{Index, select};
    prop_oneof![
        (any::<Index>(), select(VALUES)).prop_map(|(at, value)| Slip::Value(at, value)),
        (any::<Index>(), any::<Index>()).prop_map(|(one, other)| Slip::Exchanged(one, other)),
        (any::<Index>(), select(KEYS), select(VALUES)).prop_map(|(at, key, value)| Slip::Key(at, key, value)),
        any::<Index>().prop_map(Slip::Cut),
    ]
}

fn slipped(text: &str, slip: &Slip) -> String {
    let (begin, values) = values(text);
    let put =
        |at: core::ops::Range<usize>, what: &str| format!("{}{what}{}", &text[..at.start], &text[at.end..]);
    match slip {
        _ if values.is_empty() => text.to_owned(),
        Slip::Value(at, value) => put(at.get(&values).clone(), value),
        Slip::Exchanged(one, other) => put(one.get(&values).clone(), &text[other.get(&values).clone()]),
        Slip::Key(at, key, value) => {
            let heads: Vec<usize> = text[begin..]
                .match_indices("]\n")
                .map(|(at, _)| begin + at + 2)
                .collect();
            if heads.is_empty() {
                return text.to_owned();
            }
            let at = *at.get(&heads);
            put(at..at, &format!("{key} = {value}\n"))
        }
        Slip::Cut(at) => {
            let lines: Vec<usize> = text[begin..]
                .match_indices('\n')
                .map(|(at, _)| begin + at + 1)
                .collect();
            let Some(pair) = lines.windows(2).nth(at.index(lines.len().max(1))) else {
                return text.to_owned();
            };
            put(pair[0]..pair[1], "")
        }
    }
}

#[test]
fn the_values_of_the_plumbing_are_found() {
    for text in EXAMPLES {
        let (_, values) = values(text);
        assert!(values.len() >= 12, "{}", values.len());
        for at in values {
            let (key, value) = (text[..at.start].trim_end_matches(" = "), &text[at]);
            assert!(key.ends_with(|c: char| c.is_ascii_lowercase()), "{key}");
            let whole = match value.chars().next() {
                Some('"') => value.len() > 1 && value.ends_with('"'),
                Some('[') => value.ends_with("]]"),
                _ => matches!(value, "true" | "false") || value.parse::<f64>().is_ok(),
            };
            assert!(whole, "{value}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(256)))]

    #[test]
    fn slips_are_survived(example in 0..EXAMPLES.len(), slips in prop::collection::vec(slip(), 1..4)) {
        let mut text = EXAMPLES[example].to_owned();
        for one in &slips {
            text = slipped(&text, one);
        }
        survive(&text);
    }
}
