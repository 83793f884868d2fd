//! The order of turning, replayed move by move, and searched again by a walk through every state.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use proof::{Lineup, MistakeKind as Kind, Proof, REST, SwitchOrder, every_state, prove};
use station::plumbing::{End, Task};
use station::sections::Water;
use station::{Situation, Station, lowest_drawable_m};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../stations/larkhaven.toml"),
    include_str!("../../../stations/juniper-street-school.toml"),
    include_str!("../../../stations/skelder-hatchery.toml"),
];

/// What is open and what runs.
type Set = BTreeSet<String>;
type Harm = (Kind, String);

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// Valves and pumps may share a name.
fn set_of(valves: &[String], pumps: &[String]) -> Set {
    let valves = valves.iter().map(|name| format!("valve {name}"));
    valves
        .chain(pumps.iter().map(|name| format!("pump {name}")))
        .collect()
}

/// For each state what it does at each moment.
type Map = BTreeMap<Set, BTreeMap<String, BTreeSet<Harm>>>;

/// Against closed valves a pump may stand for a minute while the next is turned.
fn map(station: &Station, proof: &Proof) -> Map {
    let permeate = proof.figure("permeate").map_or(0.0, |figure| figure.value);
    let mut map = Map::new();
    for state in every_state(station, permeate).expect("few enough") {
        let counts =
            |harm: &proof::HarmOfState| harm.kind != Kind::PumpAgainstClosed || harm.seconds_to_harm < 60.0;
        let harms = state.harms.into_iter().filter(counts);
        map.entry(set_of(&state.valves_open, &state.pumps_on))
            .or_default()
            .entry(state.situation)
            .or_default()
            .extend(harms.map(|harm| (harm.kind, harm.victim)));
    }
    map
}

/// What a task is there to do: said here once more, apart from the program.
fn purpose(station: &Station, task: &Task) -> BTreeSet<Harm> {
    let name = |end: End| station.name_of(end).to_owned();
    let water = |end: End| match end {
        End::Vessel(at) => Some(station.vessels[at].fields.holds.value),
        _ => None,
    };
    let mut out = BTreeSet::new();
    let round = task.from == task.to;
    match task.to {
        End::Draw(_) => drop(out.insert((Kind::ToFloor, name(task.to)))),
        End::Tank(_) => {
            // What runs on when the pump has stopped is no purpose.
            if task.pump.is_none() {
                out.insert((Kind::SiphonIntoTank, name(task.to)));
            }
            out.insert((Kind::OverRim, name(task.to)));
            if water(task.from) == Some(Water::Fresh) {
                out.insert((Kind::FreshIntoSalt, name(task.to)));
            }
        }
        _ if !round => {
            out.insert((Kind::OverRim, name(task.to)));
            if water(task.from) != water(task.to) {
                out.insert((Kind::FreshIntoSalt, name(task.to)));
            }
        }
        _ => {}
    }
    match task.from {
        End::Tank(_) => drop(out.insert((Kind::TankDrawnBack, name(task.from)))),
        _ if !round => {
            if let Some(pump) = task.pump {
                out.insert((Kind::PumpDry, station.pumps[pump].name.clone()));
            }
        }
        _ => {}
    }
    out
}

/// The valves that stand open between tasks: those of tasks that go round in a vessel which a timer stirs, but of several whose
/// lines can be joined the first alone.
fn resting(station: &Station, proof: &Proof) -> BTreeSet<String> {
    let all = &proof.lineups.as_ref().expect("there").lineups;
    let mut open: BTreeSet<String> = BTreeSet::new();
    for (task, lineup) in station.plumbing.tasks.iter().zip(all) {
        let End::Vessel(vessel) = task.from else { continue };
        let is_stirred = station.vessels[vessel].fields.recirculate_every.is_some();
        let own = lineup.valves_open.as_deref().unwrap_or_default();
        if task.to == task.from
            && is_stirred
            && task.pump.is_some()
            && open.is_disjoint(&joined(station, own))
        {
            open.extend(own.iter().cloned());
        }
    }
    open
}

/// The valves that lines, tees and pumps lead to from some valves, whatever is open.
fn joined(station: &Station, from: &[String]) -> BTreeSet<String> {
    let line_of = |name: &String| {
        let at = station.valves.iter().position(|own| own.name == *name);
        station.plumbing.line_of_valve[at.expect("a valve")]
    };
    let mut lines: BTreeSet<usize> = from.iter().map(line_of).collect();
    loop {
        let ends: Vec<End> = lines
            .iter()
            .flat_map(|line| {
                [
                    station.plumbing.lines[*line].from,
                    station.plumbing.lines[*line].to,
                ]
            })
            .filter(|end| matches!(end, End::Tee(_) | End::Pump(_)))
            .collect();
        let more = (0..station.lines.len()).filter(|line| {
            let own = &station.plumbing.lines[*line];
            ends.contains(&own.from) || ends.contains(&own.to)
        });
        let before = lines.len();
        let more: Vec<usize> = more.collect();
        lines.extend(more);
        if lines.len() == before {
            break;
        }
    }
    let valves = station.valves.iter().map(|own| own.name.clone());
    valves.filter(|name| lines.contains(&line_of(name))).collect()
}

/// Where a task stands, with what stays open in parts of the plumbing that it has nothing to do with; and what it is there to
/// do.
fn stop(station: &Station, proof: &Proof, name: &str) -> (Set, BTreeSet<Harm>) {
    let resting = resting(station, proof);
    if name == REST {
        let open: Vec<String> = resting.into_iter().collect();
        return (set_of(&open, &[]), BTreeSet::new());
    }
    let all = &proof.lineups.as_ref().expect("there").lineups;
    let at = all.iter().position(|lineup| lineup.name == name).expect("there");
    let lineup: &Lineup = &all[at];
    let own = lineup.valves_open.as_ref().expect("there");
    let others = resting
        .difference(&joined(station, own))
        .cloned()
        .collect::<Vec<_>>();
    let open: Vec<String> = own.iter().cloned().chain(others).collect();
    (
        set_of(&open, &lineup.pumps_on),
        purpose(station, &station.plumbing.tasks[at]),
    )
}

/// One move: a name more or less. A three-way valve's other way closes.
fn moved(station: &Station, state: &Set, what: &str) -> Set {
    let mut next = state.clone();
    if !next.remove(what) {
        if let Some(name) = what.strip_prefix("valve ") {
            let at = station
                .valves
                .iter()
                .position(|valve| valve.name == name)
                .expect("there");
            if let Some(other) = station.plumbing.other_way[at] {
                next.remove(&format!("valve {}", station.valves[other].name));
            }
        }
        next.insert(what.to_owned());
    }
    next
}

/// The moments at which one would set a task: its source has water, a vessel that it fills isn't full.
fn moments(station: &Station, map: &Map, task: Option<&Task>) -> Vec<String> {
    let names: BTreeSet<&String> = map.values().flat_map(BTreeMap::keys).collect();
    let all: Vec<String> = names.into_iter().cloned().collect();
    let Some(task) = task else { return all };
    let [start, full, worst] = Situation::named(station);
    let crossed = Situation::crossed(station);
    let fits = |name: &&String| {
        let moment = [&start, &full, &worst, &crossed]
            .into_iter()
            .find(|moment| moment.name == **name)
            .expect("a moment");
        let volume = |at: usize, level_m: f64| station.vessels[at].shape.volume_m3(level_m).expect("a level");
        let gives = match task.from {
            End::Vessel(at) => {
                let own = volume(at, moment.vessels[at].level_m);
                let low = volume(at, lowest_drawable_m(&station.vessels[at]));
                own - low > 0.03 * station.vessels[at].shape.full_volume_m3()
            }
            _ => true,
        };
        let takes = match task.to {
            End::Vessel(at) if task.to != task.from => {
                moment.vessels[at].level_m < full.vessels[at].level_m - 1e-9
            }
            _ => true,
        };
        gives && takes
    };
    let fitting: Vec<String> = all.iter().filter(fits).cloned().collect();
    if fitting.is_empty() { all } else { fitting }
}

/// What a state does at some moments, beyond what is excused and what is so with everything closed.
fn beyond(map: &Map, state: &Set, moments: &[String], excused: &BTreeSet<Harm>) -> BTreeSet<Harm> {
    let nothing = BTreeSet::new();
    let mut out = BTreeSet::new();
    for moment in moments {
        let rest = map[&Set::new()].get(moment).unwrap_or(&nothing);
        let own = map[state].get(moment).unwrap_or(&nothing);
        out.extend(
            own.iter()
                .filter(|harm| !excused.contains(harm) && !rest.contains(harm))
                .cloned(),
        );
    }
    out
}

/// The fewest moves through states that do nothing but what the two tasks are there for; `None` where there are none.
fn fewest(
    station: &Station,
    map: &Map,
    from: &Set,
    to: &Set,
    (moments, excused): (&[String], &BTreeSet<Harm>),
) -> Option<usize> {
    let whats: BTreeSet<String> = map.keys().flatten().cloned().collect();
    let mut seen: BTreeMap<Set, usize> = BTreeMap::from([(from.clone(), 0)]);
    let mut waiting = VecDeque::from([from.clone()]);
    while let Some(state) = waiting.pop_front() {
        let moves = seen[&state];
        if state == *to {
            return Some(moves);
        }
        for what in &whats {
            let next = moved(station, &state, what);
            if !map.contains_key(&next) {
                continue;
            }
            let passes = next == *to || beyond(map, &next, moments, excused).is_empty();
            if passes && !seen.contains_key(&next) {
                seen.insert(next.clone(), moves + 1);
                waiting.push_back(next);
            }
        }
    }
    None
}

/// Replays one order, and holds its length to the fewest.
fn replayed(station: &Station, proof: &Proof, map: &Map, order: &SwitchOrder, searched: bool) {
    let (from, own) = stop(station, proof, &order.from);
    let (to, other) = stop(station, proof, &order.to);
    let excused: BTreeSet<Harm> = own.union(&other).cloned().collect();
    let task = |name: &str| {
        let all = &proof.lineups.as_ref().expect("there").lineups;
        let at = all.iter().position(|lineup| lineup.name == name)?;
        Some(&station.plumbing.tasks[at])
    };
    let moments = moments(station, map, task(&order.to).or(task(&order.from)));
    let fewest = |order: usize| match searched {
        true => fewest(station, map, &from, &to, (&moments, &excused)),
        false => Some(order),
    };
    let pair = format!("{} to {}", order.from, order.to);
    let Some(moves) = &order.moves else {
        assert!(order.none.is_some(), "{pair} says neither");
        assert_eq!(fewest(0), None, "{pair} can be done");
        return;
    };
    let mut state = from.clone();
    for (at, own) in moves.iter().enumerate() {
        let what = match own.turn {
            "open" | "close" => format!("valve {}", own.what),
            _ => format!("pump {}", own.what),
        };
        assert_eq!(
            state.contains(&what),
            matches!(own.turn, "close" | "stop"),
            "{pair}: {own:?}"
        );
        state = moved(station, &state, &what);
        if at + 1 < moves.len() {
            let beyond = beyond(map, &state, &moments, &excused);
            assert!(beyond.is_empty(), "{pair}, after {own:?}: {beyond:?}");
        }
    }
    assert_eq!(state, to, "{pair}");
    assert_eq!(Some(moves.len()), fewest(moves.len()), "{pair}");
}

#[test]
fn every_order_of_the_examples_is_harmless_and_shortest() {
    for text in EXAMPLES {
        let station = read(text);
        let proof = prove(&station);
        let map = map(&station, &proof);
        let tasks = proof.lineups.as_ref().expect("there").lineups.len();
        assert_eq!(proof.switching.len(), (tasks + 1) * tasks);
        // Of a large station every order is replayed, and every sixteenth searched again, which takes its time; all where
        // `SHARE=1` asks for them.
        let all = std::env::var("SHARE").is_ok_and(|share| share == "1");
        let every = if map.len() > 5_000 && !all { 16 } else { 1 };
        for (at, order) in proof.switching.iter().enumerate() {
            replayed(&station, &proof, &map, order, at % every == 0);
        }
    }
}

/// A pump lifts purified water into a batch that stands higher, through a line that ends under its water. Valve first,
/// and salt water runs back through the standing pump; pump first, and it works against a closed valve: with 800 W its
/// 0.15 L are at 60 °C in half a minute, too soon to turn the valve meanwhile. There is no order;
/// with a check valve there is one.
const LIFTED: &str = r#"
title = "lifted"
[room]
lowest_winter_temperature = "15 C"
[salt]
anhydrous_fraction = 0.9
[vessels.fresh]
holds = "fresh"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
start_level = "300 mm"
stop_level = "800 mm"
[vessels.salt]
holds = "salt"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "1 m"
batch_volume = "150 L"
start_level = "500 mm"
[pumps.lift]
curve = [["0 L/min", "5 m"], ["20 L/min", "4 m"], ["40 L/min", "0 m"]]
height = "20 mm"
power = "1 kW"
[lines.in]
from = "fresh"
to = "lift"
tube = "metric pipe 10 bar"
size = "25 mm"
length = "500 mm"
[lines.up]
from = "lift"
to = "salt"
to_level = "100 mm"
tube = "metric pipe 10 bar"
size = "25 mm"
length = "2 m"
[valves]
stop = { line = "up", kind = "ball" }
[lineups.fill]
from = "fresh"
to = "salt"
by = "pump"
volume = "20 L"
open = "stop"
"#;

#[test]
fn where_there_is_no_order_that_is_proved() {
    let order = |text: &str| {
        let station = read(text);
        let proof = prove(&station);
        let map = map(&station, &proof);
        for order in &proof.switching {
            replayed(&station, &proof, &map, order, true);
        }
        proof.switching[0].clone()
    };
    let without = order(LIFTED);
    assert_eq!((without.from.as_str(), without.to.as_str()), (REST, "fill"));
    assert_eq!(without.moves, None);
    let checked = format!("{LIFTED}\n[valves.back]\nline = \"up\"\nkind = \"swing check\"\n");
    let with = order(&checked);
    let moves: Vec<(&str, &str)> = with
        .moves
        .as_ref()
        .expect("an order")
        .iter()
        .map(|own| (own.turn, own.what.as_str()))
        .collect();
    assert_eq!(moves, [("open", "stop"), ("start", "lift")]);
}
