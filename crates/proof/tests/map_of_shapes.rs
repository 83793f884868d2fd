//! The map of positions of generated stations: it solves few states and must say what every state solved by itself says.

use std::collections::{BTreeMap, BTreeSet};

use proof::{MistakeKind, StateOfStation, every_state, mistake_map};
use station::Station;

use crate::shapes;
use shapes::Shape;

const PERMEATE_M3_S: f64 = 8e-7;

/// Open valves and running pumps, a bit for each name as they come first.
fn bits(valves: &[String], pumps: &[String], names: &mut Vec<String>) -> usize {
    valves.iter().chain(pumps).fold(0, |bits, name| {
        let at = names.iter().position(|own| own == name).unwrap_or_else(|| {
            names.push(name.clone());
            names.len() - 1
        });
        bits | 1 << at
    })
}

/// Of the positions that do something, those of which no part does: by what each is with one switch less, smallest first.
fn without_parts(does: &[bool]) -> Vec<usize> {
    let mut part_does = vec![false; does.len()];
    for position in 0..does.len() {
        let mut less = (0..usize::BITS)
            .filter(|bit| position >> bit & 1 == 1)
            .map(|bit| position & !(1 << bit));
        part_does[position] = less.any(|less| does[less] || part_does[less]);
    }
    (0..does.len())
        .filter(|position| does[*position] && !part_does[*position])
        .collect()
}

/// By counting: the number of states of each kind, of harmless ones, and the least sets, each from the list of all states.
/// From 13 switches on positions are put together on two threads.
#[test]
fn the_map_says_what_every_state_says() {
    let small = Shape::ALL.into_iter().flat_map(|shape| [(shape, 8), (shape, 10)]);
    for (shape, valves) in small.chain([(Shape::Header, 12)]) {
        let station = Station::read(&shape.station(valves)).unwrap();
        let map = mistake_map(&station, PERMEATE_M3_S).unwrap();
        let states = every_state(&station, PERMEATE_M3_S).unwrap();
        let of = format!("{} of {valves} valves", shape.word());
        assert_eq!(map.states_tried, states.len() as u64, "{of}");
        let harmless = states.iter().filter(|state| state.harms.is_empty()).count();
        assert_eq!(map.harmless, harmless as u64, "{of}");
        assert!(map.harmless < map.states_tried, "{of}");
        for count in &map.counts {
            let does = |state: &&StateOfStation| state.harms.iter().any(|harm| harm.kind == count.kind);
            let counted = states.iter().filter(does).count();
            assert_eq!(count.states, counted as u64, "{of}: {:?}", count.kind);
        }
        // Solved once each, and fewer than there are states.
        assert!(
            map.patterns_solved < states.len() / 2,
            "{of}: {}",
            map.patterns_solved
        );

        let mut names = Vec::new();
        let mut does: BTreeMap<(MistakeKind, &str), Vec<bool>> = BTreeMap::new();
        let mut position_of = |valves: &[String], pumps: &[String]| bits(valves, pumps, &mut names);
        let positions: Vec<usize> = states
            .iter()
            .map(|state| position_of(&state.valves_open, &state.pumps_on))
            .collect();
        let told: BTreeSet<_> = map
            .hazards
            .iter()
            .map(|own| {
                (
                    position_of(&own.valves_open, &own.pumps_on),
                    own.kind,
                    own.victim.as_str(),
                )
            })
            .collect();
        for (position, state) in positions.iter().zip(&states) {
            for harm in &state.harms {
                let own = does.entry((harm.kind, &harm.victim));
                own.or_insert_with(|| vec![false; 1 << names.len()])[*position] = true;
            }
        }
        let mut least = BTreeSet::new();
        for ((kind, victim), does) in &does {
            least.extend(
                without_parts(does)
                    .into_iter()
                    .map(|position| (position, *kind, *victim)),
            );
        }
        assert_eq!(told, least, "{of}");
    }
}

/// Above eighteen valves and pumps the answer says that it isn't all, whatever the shape.
#[test]
fn long_stations_say_what_was_looked_at() {
    for shape in Shape::ALL {
        let station = Station::read(&shape.station(24)).unwrap();
        let map = mistake_map(&station, PERMEATE_M3_S).unwrap();
        assert_eq!(map.switches, 24 + station.pumps.len());
        assert!(
            map.exhaustive.contains("other positions weren't looked at"),
            "{}",
            map.exhaustive
        );
        assert!(!map.hazards.is_empty());
        assert!(every_state(&station, PERMEATE_M3_S).is_err());
    }
}
