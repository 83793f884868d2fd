//! A simulated year at the coarse pace, by the values of the file, on one core: its time, its events and the time of each.
//!
//! `cargo bench -p proof --bench year` times the three examples; with `-- --once` each year is simulated once and nothing
//! is timed, for a tool that counts instructions.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use proof::plain_year::PlainYears;
use station::Station;

const SEED: u64 = 20_261_126;
const YEARS: u64 = 100;
/// Passes over all of them are made for so long, of which each year's quickest counts: the others met something else on the
/// machine.
const PASS_TIME: Duration = Duration::from_secs(3);

const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
    (
        "juniper-street-school",
        include_str!("../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder-hatchery",
        include_str!("../../../stations/skelder-hatchery.toml"),
    ),
];

fn main() {
    let once = std::env::args().any(|argument| argument == "--once");
    let asked: Vec<String> = std::env::args()
        .filter(|own| !own.starts_with('-'))
        .skip(1)
        .collect();
    for (name, text) in EXAMPLES {
        if !asked.is_empty() && !asked.iter().any(|own| own == name) {
            continue;
        }
        match years(text).and_then(|years| timed(&years, if once { Duration::ZERO } else { PASS_TIME })) {
            Ok((year_us, events)) if !once => println!(
                "{name}: {year_us:.1} us a year, {events:.0} events, {:.1} ns an event",
                1e3 * year_us / events
            ),
            Ok((_, events)) => println!("{name}: {YEARS} years, {events:.0} events each"),
            Err(what) => println!("{name}: {what}"),
        }
    }
}

fn years(text: &str) -> Result<PlainYears, String> {
    let station = Station::read(text).map_err(|faults| format!("{faults:?}"))?;
    PlainYears::of(&station, SEED).map_err(|fault| fault.to_string())
}

/// Mean time of a year, µs, and mean number of its events.
fn timed(years: &PlainYears, pass_time: Duration) -> Result<(f64, f64), String> {
    let mut least_s = [f64::INFINITY; YEARS as usize];
    let begun = Instant::now();
    loop {
        let mut events = 0;
        for (year, least_s) in (0..YEARS).zip(&mut least_s) {
            let start = Instant::now();
            let own = black_box(years).simulate(year);
            *least_s = least_s.min(start.elapsed().as_secs_f64());
            events += own.map_err(|fault| fault.to_string())?.events;
        }
        if begun.elapsed() >= pass_time {
            let years = YEARS as f64;
            return Ok((1e6 * least_s.iter().sum::<f64>() / years, events as f64 / years));
        }
    }
}
