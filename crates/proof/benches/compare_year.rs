//! Our half of `scripts/compare-year`: years of Larkhaven by the values of its file, timed on one core; and with
//! `--plain` its plant and the chance of those years for the other half.
//!
//! Prints JSON.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use proof::plain_year::PlainYears;
use serde_json::{Value, json};
use station::Station;

const SEED: u64 = 20_261_126;
/// Years that are compared.
const YEARS: u64 = 25;
/// Passes over all of them are made for so long, of which the quickest counts: the others met something else on the
/// machine.
const PASS_TIME: Duration = Duration::from_secs(5);

fn main() {
    let plain = std::env::args().any(|argument| argument == "--plain");
    match if plain { data() } else { timed() } {
        Ok(out) => println!("{out}"),
        Err(what) => println!("{}", json!({ "failed": what })),
    }
}

fn years() -> Result<PlainYears, String> {
    let text = include_str!("../../../stations/larkhaven.toml");
    let station = Station::read(text).map_err(|faults| format!("{faults:?}"))?;
    PlainYears::of(&station, SEED).map_err(|fault| fault.to_string())
}

fn data() -> Result<Value, String> {
    let years = years()?;
    let draws: Vec<_> = (0..YEARS).map(|year| years.draws(year)).collect();
    Ok(json!({ "plant": years.plant(), "years": draws }))
}

fn timed() -> Result<Value, String> {
    let years = years()?;
    let (mut least_s, mut totals) = (f64::INFINITY, None);
    let begun = Instant::now();
    while totals.is_none() || begun.elapsed() < PASS_TIME {
        let start = Instant::now();
        let all: Result<Vec<_>, _> = (0..YEARS).map(|year| black_box(&years).simulate(year)).collect();
        least_s = least_s.min(start.elapsed().as_secs_f64());
        totals = Some(all.map_err(|fault| fault.to_string())?);
    }
    Ok(json!({ "year_s": least_s / YEARS as f64, "totals": totals }))
}
