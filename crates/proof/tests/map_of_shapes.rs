//! The map of positions of generated stations: it solves few states and must say what every state solved by itself says.

use std::collections::BTreeSet;

use proof::{StateOfStation, every_state, mistake_map};
use station::Station;

use crate::shapes;
use shapes::Shape;

const PERMEATE_M3_S: f64 = 8e-7;

fn is_part(part: &StateOfStation, of: &StateOfStation) -> bool {
    let within = |part: &[String], of: &[String]| part.iter().all(|name| of.contains(name));
    within(&part.valves_open, &of.valves_open) && within(&part.pumps_on, &of.pumps_on)
}

/// By counting: the number of states of each kind, of harmless ones, and the least sets, each from the list of all states.
#[test]
fn the_map_says_what_every_state_says() {
    for (shape, valves) in Shape::ALL.into_iter().flat_map(|shape| [(shape, 8), (shape, 10)]) {
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

        let mut least = BTreeSet::new();
        let harmful: Vec<&StateOfStation> = states.iter().filter(|state| !state.harms.is_empty()).collect();
        for state in &harmful {
            for harm in &state.harms {
                let does = |other: &&&StateOfStation| {
                    let same =
                        |own: &proof::HarmOfState| (own.kind, &own.victim) == (harm.kind, &harm.victim);
                    other.harms.iter().any(same)
                };
                let smaller = |other: &&&StateOfStation| {
                    is_part(other, state)
                        && (&other.valves_open, &other.pumps_on) != (&state.valves_open, &state.pumps_on)
                };
                if !harmful.iter().filter(smaller).any(|other| does(&other)) {
                    least.insert((&state.valves_open, &state.pumps_on, harm.kind, &harm.victim));
                }
            }
        }
        let told: BTreeSet<_> = map
            .hazards
            .iter()
            .map(|hazard| (&hazard.valves_open, &hazard.pumps_on, hazard.kind, &hazard.victim))
            .collect();
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
