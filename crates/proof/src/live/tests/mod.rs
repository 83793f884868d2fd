//! Checks of the live station.

mod acts;
mod air;
mod beside;
mod follow;
mod laws;
mod let_go;
mod tasks;
mod wrong_water;

use station::Station;

use super::{Act, Beginning, Follow, Live, Snapshot, live};

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

fn example(name: &str) -> Station {
    let text = EXAMPLES.iter().find(|own| own.0 == name).expect("an example").1;
    Station::read(text).expect("a sound station")
}

fn with<T>(station: &Station, beginning: Beginning, act: impl FnOnce(&mut Live<'_>) -> T) -> T {
    live(station, beginning, act).expect("a plant")
}

fn seen(live: &Live<'_>) -> Snapshot {
    live.snapshot().expect("a picture")
}

/// A snapshot's bytes.
fn bytes(snapshot: &Snapshot) -> String {
    serde_json::to_string(snapshot).expect("plain data")
}

fn valve(name: &str, open: bool) -> Act {
    Act::Valve {
        valve: name.to_owned(),
        open,
    }
}

fn begin(task: &str) -> Act {
    Act::Begin {
        task: task.to_owned(),
    }
}

/// Does the card's steps up to where one watches, or its end.
fn go_through(live: &mut Live<'_>, card: &mut Follow) {
    while let Some(act) = card.next_step().and_then(|step| step.act.clone()) {
        live.act(&act).expect("a step");
        live.look_on(card);
    }
}

/// Mixes until no salt lies on a floor: a mix leaves a hundredth.
fn mixed(live: &mut Live<'_>) {
    for _ in 0..5 {
        live.act(&begin("mix")).expect("begins");
        live.advance(7.0 * 3600.0).expect("goes on");
        if seen(live).vessels.iter().all(|own| own.grains_kg == 0.0) {
            return;
        }
    }
    panic!("it doesn't dissolve: {:?}", seen(live).vessels);
}

/// A day at a station, in its own words: each of its tasks begun and some ended, each third valve turned, each ninth fault
/// put in and mended, salt poured. Times are odd, so that no step ends there.
fn a_day(station: &Station, live: &Live<'_>) -> Vec<(f64, Act)> {
    let mut acts = Vec::new();
    let mut at_s = 17.31;
    let mut then = |after_s: f64, act: Act| {
        at_s += after_s;
        acts.push((at_s, act));
    };
    for (task, own) in station.lineups.iter().enumerate() {
        then(211.7, begin(&own.name));
        if task % 2 == 1 {
            then(97.3, Act::End);
        }
    }
    then(50.1, Act::End);
    for own in station
        .valves
        .iter()
        .step_by(3)
        .filter(|own| own.fields.kind.value.is_set())
    {
        then(33.3, valve(&own.name, true));
        then(61.9, valve(&own.name, false));
    }
    for fault in live.faults().into_iter().step_by(9) {
        then(
            120.7,
            Act::Break {
                fault: fault.fault.clone(),
            },
        );
        then(300.1, Act::Mend { fault: fault.fault });
    }
    then(10.0, Act::Wipe);
    let salt = station
        .vessels
        .iter()
        .find(|own| own.fields.holds.value == station::sections::Water::Salt);
    if let Some(salt) = salt {
        then(
            60.0,
            Act::Salt {
                vessel: salt.name.clone(),
                mass_kg: 0.25,
            },
        );
    }
    acts
}
