//! What mistakes don't hang on: the order of the file, the names of its vessels, which end of a line is told first.
//!
//! On stations thrown together, each against itself told otherwise.

use proof::{MistakeKind as Kind, Mistakes};
use station::Station;
use station::plumbing::End;

use super::brute_force::thrown;
use super::support::{mistakes_of, read};

/// Seeds that the comparison with the slow map doesn't use.
const SEEDS: core::ops::Range<u64> = 10_000..10_060;

/// Both are solved to 1e-10 of the flow, from different starts.
const SAME: f64 = 1e-6;

/// What is compared: hazards and wrong moves, without their order, with how soon they come.
fn told(mistakes: &Mistakes, rename: impl Fn(&str) -> String) -> Vec<(String, Kind, String, f64)> {
    let list = |names: &[String]| {
        let mut names: Vec<&str> = names.iter().map(String::as_str).collect();
        names.sort_unstable();
        names.join(" ")
    };
    let hazards = mistakes.map.hazards.iter().map(|own| {
        let who = format!("{} / {}", list(&own.valves_open), list(&own.pumps_on));
        (who, own.kind, rename(&own.victim), own.seconds_to_harm)
    });
    let moves = mistakes.one_step.iter().map(|own| {
        let who = format!("{}: {} {}", own.lineup, own.moved, own.turned);
        (who, own.kind, rename(&own.victim), own.seconds_to_harm)
    });
    let mut all: Vec<_> = hazards.chain(moves).collect();
    all.sort_by(|a, b| (&a.0, a.1, &a.2).cmp(&(&b.0, b.1, &b.2)));
    all
}

#[track_caller]
fn same(seed: u64, own: &[(String, Kind, String, f64)], other: &[(String, Kind, String, f64)]) {
    let alike = own.len() == other.len()
        && own
            .iter()
            .zip(other)
            .all(|(a, b)| (&a.0, a.1, &a.2) == (&b.0, b.1, &b.2) && (a.3 - b.3).abs() <= SAME * a.3.max(b.3));
    assert!(alike, "seed {seed}: {own:#?}\nbut {other:#?}");
}

/// The file's sections, each with its head.
fn sections(text: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    for line in text.lines() {
        if line.starts_with('[') {
            all.push(String::new());
        }
        let last = all.last_mut().unwrap();
        last.push_str(line);
        last.push('\n');
    }
    all
}

#[test]
fn the_order_of_the_valves_in_the_file_is_nothing() {
    let mut some = 0;
    for seed in SEEDS {
        let station = thrown(seed);
        let (mut valves, others): (Vec<String>, Vec<String>) = sections(&station.text)
            .into_iter()
            .partition(|section| section.starts_with("[valves."));
        valves.reverse();
        let turned = read(&format!("{}{}", others.concat(), valves.concat()));
        assert_eq!(turned.valves.len(), station.valves.len());
        let (own, other) = (mistakes_of(&station), mistakes_of(&turned));
        some += own.map.hazards.len();
        same(seed, &told(&own, str::to_owned), &told(&other, str::to_owned));
        assert_eq!(
            (own.map.states_tried, own.map.harmless, own.map.counts),
            (other.map.states_tried, other.map.harmless, other.map.counts)
        );
    }
    assert!(some > 200, "{some}");
}

/// Names that sort the other way round.
const NAMES: [(&str, &str); 4] = [
    ("fresh", "zulu"),
    ("salt", "yankee"),
    ("fresh-too", "alpha"),
    ("salt-too", "bravo"),
];

#[test]
fn the_names_of_vessels_are_only_names() {
    let renamed = |name: &str| {
        let own = NAMES.iter().find(|(own, _)| *own == name);
        own.map_or(name, |(_, new)| new).to_owned()
    };
    for seed in SEEDS {
        let station = thrown(seed);
        let mut text = station.text.clone();
        for (name, new) in NAMES {
            text = text
                .replace(&format!("[vessels.{name}]"), &format!("[vessels.{new}]"))
                .replace(&format!("from = \"{name}\""), &format!("from = \"{new}\""))
                .replace(&format!("to = \"{name}\""), &format!("to = \"{new}\""));
        }
        let (own, other) = (mistakes_of(&station), mistakes_of(&read(&text)));
        same(seed, &told(&own, renamed), &told(&other, str::to_owned));
    }
}

/// Lines between two tees without a check valve can be told from either end. Where a line begins or ends in the open, its
/// direction says something: the loss of its mouth, and whether it pours.
#[test]
fn the_direction_of_a_line_is_nothing() {
    let mut turned = 0;
    for seed in SEEDS {
        let station = thrown(seed);
        let text = mirrored(&station, &mut turned);
        if text == station.text {
            continue;
        }
        let (own, other) = (mistakes_of(&station), mistakes_of(&read(&text)));
        same(seed, &told(&own, str::to_owned), &told(&other, str::to_owned));
    }
    assert!(turned > 20, "{turned}");
}

fn mirrored(station: &Station, turned: &mut usize) -> String {
    let mut text = String::new();
    for section in sections(&station.text) {
        let line = station
            .lines
            .iter()
            .position(|line| section.starts_with(&format!("[lines.{}]", line.name)));
        let is_free = |line: &usize| {
            let joined = station.plumbing.lines[*line];
            let mut valves = station.plumbing.valves_of(*line);
            let checked = valves.any(|valve| station.valves[valve].fields.kind.value.is_check());
            matches!((joined.from, joined.to), (End::Tee(_), End::Tee(_))) && !checked
        };
        match line.filter(is_free) {
            Some(_) => {
                *turned += 1;
                let section = section
                    .replace("from = ", "was from = ")
                    .replace("to = ", "from = ");
                text.push_str(&section.replace("was from = ", "to = "));
            }
            None => text.push_str(&section),
        }
    }
    text
}
