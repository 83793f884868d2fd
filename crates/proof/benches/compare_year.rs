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
/// Passes over all of them are made for so long, of which each year's quickest counts: the others met something else on the
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
    let mut years = years()?;
    let mut least_s = [f64::INFINITY; YEARS as usize];
    let mut totals = Vec::new();
    let begun = Instant::now();
    while totals.is_empty() || begun.elapsed() < PASS_TIME {
        totals.clear();
        for (year, least_s) in (0..YEARS).zip(&mut least_s) {
            let start = Instant::now();
            let own = black_box(&mut years).simulate(year);
            *least_s = least_s.min(start.elapsed().as_secs_f64());
            totals.push(own.map_err(|fault| fault.to_string())?);
        }
    }
    let year_s = least_s.iter().sum::<f64>() / YEARS as f64;
    Ok(json!({ "year_s": year_s, "totals": totals }))
}
