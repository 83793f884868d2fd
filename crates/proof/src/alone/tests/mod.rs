//! Checks of a station left alone.

mod beside;
mod laws;
mod plant;
mod tanks;
mod waters;

use station::Station;

use super::{Fault, Ground, Outcome, Start, Trace, faults, phases, run};
use crate::analysis::{plain_network, prepare, settings};

/// The examples: their names and texts.
const EXAMPLES: [(&str, &str); 3] = [
    (
        "Larkhaven",
        include_str!("../../../../../stations/larkhaven.toml"),
    ),
    (
        "Juniper",
        include_str!("../../../../../stations/juniper-street-school.toml"),
    ),
    (
        "Skelder",
        include_str!("../../../../../stations/skelder-hatchery.toml"),
    ),
];

/// A long weekend, s.
const WEEKEND_S: f64 = 64.0 * 3600.0;

/// Does something with a station's ground and its beginnings.
fn with_ground<T>(text: &str, act: impl FnOnce(&Ground<'_>, &[Start]) -> T) -> T {
    let station = Station::read(text).expect("a sound station");
    let plant = prepare(&station, false).expect("a plant").nominal;
    let pipework = station
        .is_plumbed()
        .then(|| plain_network(&station).expect("a network"));
    let settings = pipework
        .as_ref()
        .map_or_else(Vec::new, |pipework| settings(&station, pipework));
    let ground = Ground::new(&station, &plant, pipework, &settings).expect("within bounds");
    let starts = phases(&ground, &settings);
    act(&ground, &starts)
}

/// All faults of a ground.
fn all_faults(ground: &Ground<'_>) -> Vec<Fault> {
    faults(ground.station, ground.plant, ground.program())
}

/// A weekend with some faults.
fn weekend(ground: &Ground<'_>, start: &Start, faults: &[Fault]) -> (Outcome, Trace) {
    run(ground, &mut ground.lines(), start, 600.0, faults, WEEKEND_S).expect("flows can be computed")
}
