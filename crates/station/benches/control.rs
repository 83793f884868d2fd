//! Time of one step of control, on the programs of the examples, over a year of events.
//!
//! `cargo bench -p station --bench control`: prints, asserts nothing, since machines differ.

use std::hint::black_box;
use std::time::Instant;

use station::Station;
use station::control::{Event, Program, State};

/// Events in a year of the plant (house rule, for the sake of comparison).
const EVENTS: u32 = 1500;

/// Passes, of which the quickest counts: the others met something else on the machine.
const PASSES: u32 = 5000;

/// Inputs that go on and off in turn, each after the timers that ran out before it.
fn year(program: &Program, state: &mut State) -> u32 {
    let inputs = u32::try_from(program.inputs().len()).unwrap_or(u32::MAX);
    let mut steps = 0;
    let start_s = state.at_s();
    for event in 0..EVENTS {
        let at_s = start_s + f64::from(event) * 21_024.0;
        while let Some(due_s) = program.due_s(state).filter(|due_s| *due_s <= at_s) {
            program.step(state, due_s, Event::Due);
            steps += 1;
        }
        // Power, the first of the inputs, stays.
        let input = (1 + event % (inputs - 1)) as usize;
        let on = event / (inputs - 1) % 2 == 0;
        program.step(state, at_s, Event::Changed { input, on });
        steps += 1;
    }
    steps
}

#[expect(clippy::print_stdout, reason = "a bench prints")]
fn main() {
    for (name, text) in [
        ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
        (
            "skelder-hatchery",
            include_str!("../../../stations/skelder-hatchery.toml"),
        ),
    ] {
        let Ok(Ok(program)) = Station::read(text).map(|station| Program::of(&station)) else {
            continue;
        };
        let all_on = vec![true; program.inputs().len()];
        let begin = program.start(0.0, &all_on);
        let (mut least_s, mut steps) = (f64::INFINITY, 0);
        for _ in 0..PASSES {
            let mut state = begin.clone();
            let start = Instant::now();
            steps = year(black_box(&program), black_box(&mut state));
            least_s = least_s.min(start.elapsed().as_secs_f64());
        }
        println!(
            "{name}: {} inputs, {} blocks; {EVENTS} events are {steps} steps in {:.1} us, {:.1} ns each",
            program.inputs().len(),
            program.blocks().len(),
            least_s * 1e6,
            least_s * 1e9 / f64::from(steps)
        );
    }
}
