//! Waters that mix, and a level that is held at the brim of an outlet.

use super::super::run::walk;
use super::super::{Fault, Hands, Lens, Phase, State};
use super::{EXAMPLES, WEEKEND_S, all_faults, with_ground};

/// A tub of purified and one of salt water, joined by an open line at their outlets; a pump that takes from the one and
/// gives to the other under water.
const JOINED: &str = r#"
title = "joined"
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
floor_height = "400 mm"
outlet_level = "50 mm"
start_level = "250 mm"
stop_level = "600 mm"
used_for = "rinsing"
[vessels.salt]
holds = "salt"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "400 mm"
outlet_level = "50 mm"
stop_level = "600 mm"
target_salinity = 35
mixing_temperature = "25 C"
[pumps.pump]
curve = [["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]
height = "300 mm"
[lines.joins]
from = "fresh"
to = "salt"
to_level = "50 mm"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.suction]
from = "salt"
to = "pump"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.jet]
from = "pump"
to = "fresh"
to_level = "100 mm"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[valves]
jet = { line = "jet", kind = "ball" }
"#;

/// How a station stands after so long.
fn after(text: &str, faults: &[&str], until_s: f64, look: impl FnOnce(&Hands<'_, '_>, &State)) {
    with_ground(text, |ground, starts| {
        let all = all_faults(ground);
        let faults: Vec<Fault> = all
            .iter()
            .filter(|own| faults.contains(&format!("{own:?}").as_str()))
            .copied()
            .collect();
        let start = starts.iter().find(|own| own.phase == Phase::Idle).expect("idle");
        let lens = Lens::of(ground, &faults);
        let hands = Hands {
            ground,
            lens: &lens,
            start,
            keeps_rounds: false,
        };
        let state = walk(&hands, &mut ground.lines(), 600.0, until_s).expect("flows");
        look(&hands, &state);
    });
}

/// The pump's relay is welded and its valve left open: salt water comes to the one side and runs back from there with what
/// it has mixed with. Two stirred bodies that exchange q come nearer to each other by e^(−q·(1/V₁+1/V₂)·t), and in the end
/// both have what all the salt in all the water makes. Steps of a tenth of a body make it 0.9 of each, where the exponential
/// makes 0.905: the rate is up to ln(0.8)/0.2 = 12 % too quick. In the end: to the rounding of half a day's exchange.
#[test]
fn two_waters_that_are_exchanged_become_one() {
    let faults = ["Relay { output: 0, on: true }", "Valve { valve: 0, open: true }"];
    let apart_at = |until_s: f64| {
        let mut told = [0.0; 4];
        after(JOINED, &faults, until_s, |hands, state| {
            let brine = &hands.ground.plant.brine;
            let per_m3 =
                |vessel: usize| state.contents[vessel].salt_kg / brine.volume_m3(state.contents[vessel]);
            let volume = |vessel: usize| brine.volume_m3(state.contents[vessel]);
            told = [
                per_m3(1) - per_m3(0),
                volume(0),
                volume(1),
                state.out.water_m3 + brine.salt_m3_kg * state.out.salt_kg,
            ];
            assert!(!state.outcome.restless);
        });
        told
    };
    let [early, ..] = apart_at(600.0);
    let [later, fresh_m3, salt_m3, _] = apart_at(1200.0);
    // What each gave to the other in between, half of all that moved.
    let exchanged_m3 = (apart_at(1200.0)[3] - apart_at(600.0)[3]) / 2.0;
    let exponent = exchanged_m3 * (1.0 / fresh_m3 + 1.0 / salt_m3);
    let here = libm::log(early / later);
    assert!(exponent > 0.5, "they hardly met: {exponent}");
    assert!((here / exponent - 1.0).abs() < 0.12, "{here} beside {exponent}");

    after(JOINED, &faults, 43_200.0, |hands, state| {
        let brine = &hands.ground.plant.brine;
        let all = |contents: &[crate::plant::Amount]| {
            let salt: f64 = contents.iter().map(|own| own.salt_kg).sum();
            let volume: f64 = contents.iter().map(|own| brine.volume_m3(*own)).sum();
            salt / volume
        };
        let mixed_kg_m3 = all(&hands.start.contents);
        assert!(mixed_kg_m3 > 10.0);
        for own in &state.contents {
            let there = own.salt_kg / brine.volume_m3(*own);
            assert!(
                (there / mixed_kg_m3 - 1.0).abs() < 1e-9,
                "{there} of {mixed_kg_m3}"
            );
        }
    });
}

/// Skelder's mixing pump, its relay welded, empties the east salt vessel into the west one, whose jet was left open; as soon
/// as the pump has lost its water some siphons back. In the world the level stays at the outlet's brim, and so it does here,
/// with few events: a run that knew one side or the other at a time went to and fro for the whole weekend.
#[test]
fn a_level_is_held_at_the_brim_of_an_outlet() {
    let (_, text) = EXAMPLES[2];
    let faults = ["Relay { output: 7, on: true }", "Valve { valve: 13, open: true }"];
    after(text, &faults, WEEKEND_S, |hands, state| {
        let of = |name: &str| {
            hands
                .ground
                .station
                .vessels
                .iter()
                .position(|own| own.name.as_str() == name)
        };
        let (east, west) = (
            of("salt-east").expect("a vessel"),
            of("salt-west").expect("a vessel"),
        );
        let volume_m3 = |vessel: usize| state.volume_m3(hands.ground, vessel);
        let brim = &hands.ground.brims[east][1];
        assert!(
            (volume_m3(east) - brim.outlet_m3).abs() < 1e-8,
            "{}",
            volume_m3(east)
        );
        let stood_m3 = hands.ground.plant.brine.volume_m3(hands.start.contents[west]);
        assert!(volume_m3(west) > stood_m3 + 0.1, "{}", volume_m3(west));
        assert!(state.outcome.events < 100, "{}", state.outcome.events);
    });
}

/// Skelder's two salt vessels, joined by an outlet that was left open, are alike and hold one water, so that by hand their
/// balance is the same volume in both: half of what both held. A timer's pump drives them apart once in twelve hours; before
/// it runs again they are back within a decilitre, a tenth of a per mille of what they hold. A run that overshot the balance
/// swayed four litres to either side, with twice the events.
#[test]
fn two_levels_that_find_their_balance_rest_there() {
    let (_, text) = EXAMPLES[2];
    // Eleven hours after the pump has stopped for the first time, shortly before it runs again.
    after(
        text,
        &["Valve { valve: 8, open: true }"],
        84_000.0,
        |hands, state| {
            let outlet = hands.ground.station.valves[8].name.as_str();
            assert_eq!(outlet, "salt-west");
            let stood: Vec<f64> = [2, 3]
                .map(|vessel| hands.ground.plant.brine.volume_m3(hands.start.contents[vessel]))
                .to_vec();
            for vessel in [2, 3] {
                let off_m3 = state.volume_m3(hands.ground, vessel) - (stood[0] + stood[1]) / 2.0;
                assert!(off_m3.abs() < 1e-4, "{vessel}: {off_m3}");
            }
            assert!(state.outcome.events < 20, "{}", state.outcome.events);
        },
    );
}
