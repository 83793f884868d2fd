//! Pumps that one step of the control switches together.

use station::Station;

use crate::analysis::prepare;
use crate::plant::drive::step;
use crate::plant::{Chance, Coarse, DAY_S, State, drive};

/// Both pumps are asked for in one turn of the hand, each with the valves of one of its tasks: the control hears of the flow
/// through each of them, and of none any more once both are stopped together.
#[test]
fn the_control_hears_of_every_flow() {
    let text = include_str!("../../../../../stations/skelder-hatchery.toml");
    let station = Station::read(text).expect("an example of the project");
    let plant = prepare(&station, false).expect("it has vessels").nominal;
    let pumps = &plant.wiring.pumps;
    assert!(pumps.iter().filter(|ends| ends.flow.is_some()).count() >= 2);
    let mut state = State::begin(&plant, 7.0 * DAY_S, Chance::new(1, 0));
    // Long enough for switches to be believed, and over before anybody comes.
    drive(&plant, &mut state, &mut Coarse, 7.0 * DAY_S + 600.0).expect("it can be driven");
    let tasks = &station.plumbing.tasks;
    let of_pump = |pump: usize| tasks.iter().position(|task| task.pump == Some(pump));
    let hands = || {
        (0..pumps.len())
            .filter_map(of_pump)
            .map(|task| &plant.wiring.by_hand[task])
    };
    let begin: Vec<(usize, bool)> = hands().flat_map(|hand| hand.for_task.clone()).collect();
    let end: Vec<(usize, bool)> = hands().flat_map(|hand| hand.behind_it.clone()).collect();
    let mut flows = |changes: &[(usize, bool)]| -> Vec<(bool, bool)> {
        step(&plant, &mut state, changes);
        let with_flow = pumps.iter().filter_map(|ends| Some((ends.output?, ends.flow?)));
        with_flow
            .map(|(output, flow)| {
                (
                    state.control.is_on(&plant.wiring.program, output),
                    state.inputs[flow],
                )
            })
            .collect()
    };
    assert_eq!(flows(&begin), [(true, true); 2]);
    assert_eq!(flows(&end), [(false, false); 2]);
}
