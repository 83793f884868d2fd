//! The map against a slow one that shares no code with it beyond physics and the station: every position of valves and
//! pumps on stations thrown together, one by one.

mod dice;
mod harm;
mod joined;
mod map;
mod mouth;
mod pumps;
mod random;
mod stirred;
mod sums;
mod water;

use std::collections::BTreeMap;

use proof::{HarmOfState, MistakeKind, StateOfStation, every_state, prove};
use station::Station;

use harm::Harm;
use map::{State, Switches, Told, hazards, situations, states, wrong_moves};

/// Both solve the same laws to a step of 1e-5 of the flow, after which what is left is 1e-10 of it; they differ by dead
/// ends that one leaves out, and by the steps of time of the slow one's mixing. A tenth of a per cent and a half are
/// ample for those and far below anything that matters.
const FLOW: f64 = 1e-3;
const TIME: f64 = 5e-3;

/// The station that a seed throws.
pub(crate) fn thrown(seed: u64) -> Station {
    random::station(seed)
}

fn close(own: f64, other: f64, tolerance: f64) -> bool {
    (own - other).abs() <= tolerance * own.abs().max(other.abs())
}

/// What is counted over all stations.
#[derive(Debug, Default)]
struct Count {
    stations: usize,
    /// Those without a state on an edge, of which the lists are compared too.
    whole: usize,
    states: usize,
    unsettled: usize,
    on_edge: usize,
    /// Harms of each kind that were compared.
    kinds: BTreeMap<MistakeKind, usize>,
}

/// Stations that are thrown: some twenty-five thousand states in a few seconds.
const STATIONS: u64 = 240;

#[test]
fn the_map_is_what_every_position_comes_to() {
    let mut count = Count::default();
    for seed in 0..STATIONS {
        compare(seed, &mut count);
    }
    // A hair, half a per cent of a threshold, is hit by chance: of a dozen thresholds a state, by one state in a hundred, or
    // something is wrong. In fewer still waters go round between the same lines.
    assert!(count.on_edge * 50 <= count.states, "{count:?}");
    assert!(count.unsettled * 100 <= count.states, "{count:?}");
    assert!(count.whole * 4 >= count.stations * 3, "{count:?}");
    // Every kind of harm was among them, and often, or the stations are too tame.
    assert_eq!(count.kinds.len(), MistakeKind::ALL.len(), "{count:?}");
    assert!(count.kinds.values().all(|harms| *harms >= 100), "{count:?}");
}

fn compare(seed: u64, count: &mut Count) {
    let station = thrown(seed);
    let proof = prove(&station);
    let permeate_m3_s = proof.figure("permeate").map_or(0.0, |figure| figure.value);
    let map = every_state(&station, permeate_m3_s).unwrap();
    let switches = Switches::of(&station);
    let situations = situations(&station);
    let slow: Vec<Vec<State>> = situations
        .iter()
        .map(|situation| states(&station, &switches, situation, permeate_m3_s))
        .collect();
    assert_eq!(map.len(), slow.iter().map(Vec::len).sum::<usize>(), "seed {seed}");
    let (mut unsettled, mut on_edge) = (0, 0);
    for (situation, slow) in situations.iter().zip(&slow) {
        for state in slow {
            let names = switches.names(state.position);
            let own = map.iter().find(|own| {
                own.situation == situation.name && (&own.valves_open, &own.pumps_on) == (&names.0, &names.1)
            });
            let own = own.unwrap_or_else(|| panic!("seed {seed}: no state {names:?} at {}", situation.name));
            count.states += 1;
            if state.unsettled || state.on_edge {
                unsettled += usize::from(state.unsettled);
                on_edge += usize::from(!state.unsettled);
                continue;
            }
            for harm in &state.harms {
                *count.kinds.entry(harm.kind).or_default() += 1;
            }
            if let Err(wrong) = alike(&station, own, &state.harms) {
                panic!(
                    "seed {seed}: {wrong}\n{own:#?}\n{:#?}\n{}",
                    state.harms, station.text
                );
            }
        }
    }
    count.unsettled += unsettled;
    count.on_edge += on_edge;
    count.stations += 1;
    if on_edge + unsettled > 0 {
        return;
    }
    count.whole += 1;
    let mistakes = proof.mistakes.unwrap();
    let all = slow.iter().flatten();
    let harmless = all.clone().filter(|state| state.harms.is_empty()).count();
    assert_eq!(
        (mistakes.map.states_tried, mistakes.map.harmless),
        (map.len() as u64, harmless as u64),
        "seed {seed}"
    );
    for own in &mistakes.map.counts {
        let states = all
            .clone()
            .filter(|state| state.harms.iter().any(|harm| harm.kind == own.kind))
            .count();
        assert_eq!(own.states, states as u64, "seed {seed}: {:?}", own.kind);
    }
    let least = mistakes.map.hazards.iter().map(|own| {
        let told = (
            own.valves_open.clone(),
            own.pumps_on.clone(),
            own.kind,
            own.victim.clone(),
        );
        (told, own.seconds_to_harm)
    });
    same(
        (seed, &station),
        "hazards",
        least.collect(),
        hazards(&station, &switches, &slow),
    );
    let moves = mistakes.one_step.iter().map(|own| {
        let whose = vec![own.lineup.clone(), own.moved.clone(), own.turned.to_owned()];
        (
            (whose, Vec::new(), own.kind, own.victim.clone()),
            own.seconds_to_harm,
        )
    });
    let lineups = proof.lineups.unwrap();
    same(
        (seed, &station),
        "wrong moves",
        moves.collect(),
        wrong_moves(&station, &switches, &slow, &lineups),
    );
}

/// Kinds, victims, flows and times.
fn alike(station: &Station, own: &StateOfStation, slow: &[Harm]) -> Result<(), String> {
    let of = |harm: &HarmOfState| {
        slow.iter()
            .find(|other| (other.kind, station.name_of(other.victim)) == (harm.kind, &harm.victim))
    };
    if own.harms.len() != slow.len() {
        return Err("not the same harms".to_owned());
    }
    for harm in &own.harms {
        let Some(other) = of(harm) else {
            return Err(format!("{:?} of {} is not there", harm.kind, harm.victim));
        };
        if !close(harm.flow_m3_per_s, other.flow_m3_s, FLOW) {
            return Err(format!("{:?} at {} m³/s", harm.kind, harm.flow_m3_per_s));
        }
        if !close(harm.seconds_to_harm, other.seconds, TIME) {
            return Err(format!("{:?} after {} s", harm.kind, harm.seconds_to_harm));
        }
    }
    Ok(())
}

/// The same list, in any order.
fn same((seed, station): (u64, &Station), what: &str, mut own: Vec<(Told, f64)>, mut slow: Vec<(Told, f64)>) {
    own.sort_by(|a, b| a.0.cmp(&b.0));
    slow.sort_by(|a, b| a.0.cmp(&b.0));
    let alike = own.len() == slow.len()
        && own
            .iter()
            .zip(&slow)
            .all(|(own, slow)| own.0 == slow.0 && close(own.1, slow.1, TIME));
    assert!(
        alike,
        "seed {seed}: {what}: {own:#?}\nbut {slow:#?}\n{}",
        station.text
    );
}
