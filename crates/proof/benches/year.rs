//! A simulated year at the coarse pace, by the values of the file, on one core: its time with the days before it, from which
//! it finds its rhythm, and by itself; its events and the time of each.
//!
//! `cargo bench -p proof --bench year` times the three examples; with `-- --once` each year is simulated once and nothing
//! is timed, for a tool that counts instructions; with `-- --figures` a line of JSON tells what each year came to, to be laid
//! beside the same of another version. The name of an example behind that is for it alone.

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
    let flags: Vec<String> = std::env::args().skip(1).collect();
    let has = |flag: &str| flags.iter().any(|own| own == flag);
    for (name, text) in EXAMPLES {
        if has(name) || !EXAMPLES.iter().any(|(name, _)| has(name)) {
            let told = match years(text) {
                Ok(mut years) if has("--figures") => figures(&mut years),
                Ok(mut years) if has("--once") => {
                    timed(&mut years, Duration::ZERO).map(|_| format!("{YEARS} years"))
                }
                Ok(mut years) => timed(&mut years, PASS_TIME),
                Err(what) => Err(what),
            };
            println!("{name}: {}", told.unwrap_or_else(|what| what));
        }
    }
}

fn years(text: &str) -> Result<PlainYears, String> {
    let station = Station::read(text).map_err(|faults| format!("{faults:?}"))?;
    PlainYears::of(&station, SEED).map_err(|fault| fault.to_string())
}

fn figures(years: &mut PlainYears) -> Result<String, String> {
    let mut lines = String::new();
    for year in 0..YEARS {
        let totals = years.simulate(year).map_err(|fault| fault.to_string())?;
        lines += "\n";
        lines += &serde_json::to_string(&totals).map_err(|error| error.to_string())?;
    }
    Ok(lines)
}

/// Means of a year: its time, without the days before it as well, its events, the time of one.
fn timed(years: &mut PlainYears, pass_time: Duration) -> Result<String, String> {
    let mut least_s = [f64::INFINITY; YEARS as usize];
    let mut least_before_s = least_s;
    let begun = Instant::now();
    loop {
        let mut events = 0;
        for ((year, least_s), least_before_s) in (0..YEARS).zip(&mut least_s).zip(&mut least_before_s) {
            let start = Instant::now();
            let own = black_box(&mut *years).simulate(year);
            *least_s = least_s.min(start.elapsed().as_secs_f64());
            events += own.map_err(|fault| fault.to_string())?.events;
            if !pass_time.is_zero() {
                let start = Instant::now();
                let before = black_box(&mut *years).simulate_before(year);
                *least_before_s = least_before_s.min(start.elapsed().as_secs_f64());
                before.map_err(|fault| fault.to_string())?;
            }
        }
        if begun.elapsed() >= pass_time {
            let events = events as f64 / YEARS as f64;
            let mean_us = |each_s: &[f64]| 1e6 * each_s.iter().sum::<f64>() / YEARS as f64;
            let year_us = mean_us(&least_s);
            let itself_us = year_us - mean_us(&least_before_s);
            let event_ns = 1e3 * year_us / events;
            return Ok(format!(
                "{year_us:.1} us a year, {itself_us:.1} us without the days before it; {events:.0} events, {event_ns:.1} ns an event"
            ));
        }
    }
}
