//! Time of one step of control, on the programs of the examples, and of a year of events.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use station::Station;
use station::control::{Event, Program, State};

/// Events in a year of the plant (house rule, for the sake of comparison).
const EVENTS: u32 = 1500;

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
fn steps(criterion: &mut Criterion) {
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
        let taken = year(&program, &mut begin.clone());
        println!(
            "{name}: {} inputs, {} blocks; {EVENTS} events are {taken} steps",
            program.inputs().len(),
            program.blocks().len()
        );
        let mut state = begin.clone();
        let mut group = criterion.benchmark_group("control");
        group.throughput(Throughput::Elements(u64::from(taken)));
        group.bench_function(format!("{name}, a year of events"), |bencher| {
            bencher.iter(|| {
                state.clone_from(&begin);
                year(black_box(&program), &mut state)
            });
        });
    }
}

criterion_group!(benches, steps);
criterion_main!(benches);
