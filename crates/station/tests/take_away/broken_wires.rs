//! A broken wire is an open contact: it stops, and starts nothing.

use station::control::take_away::{Facts, Signal, TakeAway};
use station::control::{Event, Input, Output, Program, State};

use super::rigs::{Chance, EXAMPLES, example, mixture};

/// What runs: feed, pumps, heaters.
fn running(program: &Program, state: &State) -> Vec<Output> {
    let outputs = program.outputs().enumerate();
    outputs
        .filter(|(at, output)| program.is_on(state, *at) && !matches!(output, Output::Alarm(_)))
        .map(|(_, output)| output)
        .collect()
}

/// Lets time pass, timer by timer.
fn wait(program: &Program, state: &mut State, until_s: f64) {
    while let Some(due_s) = program.due_s(state).filter(|due_s| *due_s <= until_s) {
        program.step(state, due_s, Event::Due);
    }
    program.step(state, until_s, Event::Due);
}

/// At random moments each wire is broken. At once and for as long as a switch is doubted, nothing runs that doesn't run
/// with the wire whole. One kind is excused, and the list says so: a valve that is told by being closed, which stirring
/// may then find open.
fn breaks_stop(facts: &Facts, seed: u64) -> (usize, usize) {
    let take = TakeAway::told(facts).expect("a small program");
    let program = &take.program;
    let mut chance = Chance(seed);
    let first: Vec<bool> = program.inputs().iter().map(|_| chance.percent(60)).collect();
    let mut state = program.start(0.0, &first);
    let power = program.input(Input::Power).expect("power");
    program.step(
        &mut state,
        0.0,
        Event::Changed {
            input: power,
            on: true,
        },
    );
    let (mut broken, mut stopped) = (0, 0);
    let mut at_s = 0.0;
    for _ in 0..300 {
        at_s += chance.one_of(&[0.5, 2.0, 2.5, 9.0, 70.0, 302.0]);
        wait(program, &mut state, at_s);
        for _ in 0..chance.one_of(&[1, 1, 2]) {
            let input = chance.below(program.inputs().len());
            if input != power {
                let on = chance.percent(60);
                program.step(&mut state, at_s, Event::Changed { input, on });
            }
        }
        for point in &take.points {
            let event = match point.signal {
                Signal::Input(input) => {
                    let is_excused =
                        matches!(program.inputs()[input], Input::ValveOpen { .. }) && !point.on_when_closed;
                    if is_excused {
                        continue;
                    }
                    Event::Changed {
                        input,
                        on: !point.on_when_closed,
                    }
                }
                Signal::Temperature(vessel) => Event::Reading {
                    vessel,
                    temperature_c: f64::NAN,
                },
                Signal::Output(_) => continue,
            };
            let (mut whole, mut cut) = (state.clone(), state.clone());
            program.step(&mut cut, at_s, event);
            for after_s in [0.0, 1.0, 1.9] {
                wait(program, &mut whole, at_s + after_s);
                wait(program, &mut cut, at_s + after_s);
                let (whole, cut) = (running(program, &whole), running(program, &cut));
                assert!(
                    cut.iter().all(|output| whole.contains(output)),
                    "a broken wire of {} starts {cut:?}, where {whole:?} ran",
                    point.tag
                );
                stopped += usize::from(cut.len() < whole.len());
            }
            broken += 1;
        }
    }
    (broken, stopped)
}

#[test]
fn a_broken_wire_starts_nothing() {
    for name in EXAMPLES {
        let (broken, stopped) = breaks_stop(&example(name), 3);
        assert!(
            broken > 0 && (stopped > 0 || name == "juniper-street-school"),
            "{name}: {broken} {stopped}"
        );
    }
    for seed in 0..40 {
        breaks_stop(&mixture(seed), seed);
    }
}
