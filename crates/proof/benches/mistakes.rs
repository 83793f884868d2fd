//! How the map of positions grows with the valves of a station, in each shape.
//!
//! `cargo bench -p proof --bench mistakes`: prints a table; asserts nothing, since machines differ. With `--json` the
//! same as one JSON list, for the chart in `docs/decisions`. With a shape and a number of valves, `-- header 16`, that one
//! map once, to count its instructions under a profiler; with a third number, `-- header 16 40`, as often as that.

#![expect(clippy::print_stdout, reason = "a bench prints")]

use std::hint::black_box;
use std::time::Instant;

use proof::{MistakeMap, mistake_map};
use serde_json::{Value, json};
use station::Station;

#[path = "../tests/shapes/mod.rs"]
mod shapes;
use shapes::Shape;

/// A litre in 20 minutes: a small purifier.
const PERMEATE_M3_S: f64 = 8e-7;
/// Up to so many valves the quickest of several rounds counts: the others met something else on the machine.
const MANY_ROUNDS_TO: usize = 16;

fn main() {
    let as_json = std::env::args().any(|argument| argument == "--json");
    let mut rows = Vec::new();
    if !as_json {
        println!(
            "shape         valves pumps situations positions  patterns     map, ms  a state, us  every position"
        );
    }
    let only = only();
    for shape in Shape::ALL {
        for valves in [8, 12, 16, 20, 24] {
            if only
                .as_ref()
                .is_some_and(|only| only.shape != shape.word() || only.valves != valves)
            {
                continue;
            }
            let rounds = match (&only, valves) {
                (Some(only), _) => only.rounds,
                (None, ..=MANY_ROUNDS_TO) => 10,
                (None, _) => 2,
            };
            let Some(row) = measured(shape, valves, rounds) else {
                println!("{} of {valves} valves can't be computed", shape.word());
                continue;
            };
            if !as_json {
                print(&row);
            }
            rows.push(row);
        }
    }
    if as_json {
        println!("{}", Value::Array(rows));
    }
}

/// The one map that is asked for.
struct Only {
    shape: String,
    valves: usize,
    rounds: usize,
}

/// The one map that is asked for: a shape's word, or its words, a number of valves, and how often (once).
fn only() -> Option<Only> {
    let arguments = std::env::args().skip(1);
    let (numbers, words): (Vec<String>, Vec<String>) = arguments
        .filter(|argument| !argument.starts_with("--"))
        .partition(|argument| argument.parse::<usize>().is_ok());
    let mut numbers = numbers.iter().filter_map(|number| number.parse().ok());
    Some(Only {
        shape: words.join(" "),
        valves: numbers.next()?,
        rounds: numbers.next().unwrap_or(1),
    })
}

fn measured(shape: Shape, valves: usize, rounds: usize) -> Option<Value> {
    let station = Station::read(&shape.station(valves)).ok()?;
    let mut least_s = f64::INFINITY;
    let mut map: Option<MistakeMap> = None;
    for _ in 0..rounds {
        let start = Instant::now();
        map = Some(black_box(mistake_map(black_box(&station), PERMEATE_M3_S)).ok()?);
        least_s = least_s.min(start.elapsed().as_secs_f64());
    }
    let map = map?;
    let situations = map.situations.len() as u64;
    Some(json!({
        "shape": shape.word(),
        "valves": valves,
        "pumps": station.pumps.len(),
        "situations": situations,
        "positions": map.states_tried / situations,
        "patterns": map.patterns_solved,
        "map_ms": least_s * 1e3,
        "state_us": least_s * 1e6 / map.states_tried as f64,
        "exhaustive": map.exhaustive.starts_with("every position of every valve"),
    }))
}

fn print(row: &Value) {
    let number = |key: &str| row[key].as_f64().unwrap_or(f64::NAN);
    println!(
        "{:13} {:6} {:5} {:10} {:9} {:9} {:11.2} {:12.2}  {}",
        row["shape"].as_str().unwrap_or_default(),
        number("valves"),
        number("pumps"),
        number("situations"),
        number("positions"),
        number("patterns"),
        number("map_ms"),
        number("state_us"),
        if row["exhaustive"] == true { "yes" } else { "no" },
    );
}
