//! Our half of `scripts/compare-mistakes`: the map of a station of 16 valves, timed; its network for the other half; and
//! a sample of positions with the flows that we find in them.
//!
//! Prints JSON.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use proof::mistake_map;
use proof::network::{plain, plain_flows};
use serde_json::{Value, json};
use station::{Situation, Station};

#[path = "../tests/shapes/mod.rs"]
mod shapes;
use shapes::Shape;

const VALVES: usize = 16;
/// A litre in 20 minutes: a small purifier.
const PERMEATE_M3_S: f64 = 8e-7;
/// Passes are made for so long, of which the quickest counts: the others met something else on the machine.
const PASS_TIME: Duration = Duration::from_secs(6);
/// Positions of the sample.
const SAMPLE: usize = 300;

fn main() {
    match compared() {
        Ok(out) => println!("{out}"),
        Err(what) => println!("{{\"failed\": \"{what}\"}}"),
    }
}

fn compared() -> Result<Value, String> {
    let text = Shape::Header.station(VALVES);
    let station = Station::read(&text).map_err(|faults| format!("{faults:?}"))?;
    let told = |refusal: &dyn std::fmt::Display| refusal.to_string();
    let (mut least_s, mut map) = (f64::INFINITY, None);
    let begun = Instant::now();
    while map.is_none() || begun.elapsed() < PASS_TIME {
        let start = Instant::now();
        map = Some(
            black_box(mistake_map(black_box(&station), PERMEATE_M3_S)).map_err(|refusal| told(&refusal))?,
        );
        least_s = least_s.min(start.elapsed().as_secs_f64());
    }
    let map = map.ok_or("too many switches")?;
    let named = Situation::named(&station);
    let all = named.into_iter().chain([Situation::crossed(&station)]);
    let mut situations = Vec::new();
    for situation in all.filter(|own| map.situations.contains(&own.name)) {
        let samples = positions()
            .map(|position| sample(&station, &situation, position))
            .collect::<Result<Vec<_>, _>>()?;
        situations.push(json!({
            "name": situation.name,
            "network": plain(&station, &situation).map_err(|refusal| told(&refusal))?,
            "samples": samples,
        }));
    }
    Ok(json!({
        "map_s": least_s,
        "states": map.states_tried,
        "patterns": map.patterns_solved,
        "situations": situations,
    }))
}

/// Valves bit by bit, then the pump: numbers of Knuth's generator, always the same.
fn positions() -> impl Iterator<Item = u64> {
    let mut state: u64 = 20_261_126;
    (0..SAMPLE).map(move |_| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        state >> (63 - VALVES)
    })
}

fn sample(station: &Station, situation: &Situation, position: u64) -> Result<Value, String> {
    let on = |bit: usize| position >> bit & 1 == 1;
    let valves: Vec<String> = (0..VALVES)
        .filter(|bit| on(*bit))
        .map(|bit| station.valves[bit].name.clone())
        .collect();
    let pumps: Vec<String> = station
        .pumps
        .iter()
        .filter(|_| on(VALVES))
        .map(|pump| pump.name.clone())
        .collect();
    let flows = plain_flows(station, situation, &valves, &pumps).map_err(|refusal| refusal.to_string())?;
    Ok(json!({ "valves": valves, "pumps": pumps, "flow_m3_s": flows }))
}
