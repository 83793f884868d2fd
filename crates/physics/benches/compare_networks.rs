//! Our half of `scripts/compare-networks`: the reference networks in the valve states of a file, from a cold start,
//! from the last answer, and with levels that move.
//!
//! Prints, as JSON, seconds for each solution (the least of many passes), the flows, and what is left over.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

#[path = "../tests/hydraulics_support/mod.rs"]
mod hydraulics_support;

use hydraulics_support::{Case, cases};
use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::{LinkId, Solver};
use serde_json::{Map, Value, json};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// Passes are made for so long, of which the quickest counts: the others met something else on the machine.
const PASS_TIME: Duration = Duration::from_millis(400);

fn main() {
    let Some(path) = std::env::args()
        .skip(1)
        .find(|argument| !argument.starts_with("--"))
    else {
        println!("which file of valve states? scripts/compare-networks makes one");
        return;
    };
    let text = std::fs::read_to_string(path).expect("the file of valve states can be read");
    let file: Value = serde_json::from_str(&text).expect("the file of valve states is JSON");
    let mut out = Map::new();
    for case in cases() {
        let of = |list: &str| valve_states(&case, &file[list][&case.name]);
        out.insert(case.name.clone(), measure(&case, &of("random"), &of("own")));
    }
    println!("{}", Value::Object(out));
}

/// For each state every valve and whether it is open.
fn valve_states(case: &Case, states: &Value) -> Vec<Vec<(LinkId, bool)>> {
    let list = |value: &Value| value.as_array().expect("a list").clone();
    list(states)
        .iter()
        .map(|state| {
            let closed = list(state);
            case.valves
                .iter()
                .map(|(name, valve)| (*valve, !closed.iter().any(|closed| closed == name.as_str())))
                .collect()
        })
        .collect()
}

fn measure(case: &Case, states: &[Vec<(LinkId, bool)>], own: &[Vec<(LinkId, bool)>]) -> Value {
    let mut solver = case.solver::<Churchill>();
    let own_s = least_s(&mut solver, own, Start::Cold);
    let cold_s = least_s(&mut solver, states, Start::Cold);
    let polished_s = least_s(&mut solver, states, Start::ColdAndPolished);
    let again_s = least_s(&mut solver, states, Start::LastAnswer);
    let levels_s = least_levels_s(case, states.len());
    let (mut flows, mut head_residual_m, mut polished_residual_m, mut steps) =
        (Vec::new(), 0.0_f64, 0.0_f64, 0);
    for state in states {
        set(&mut solver, state);
        solver.forget();
        steps += solver.solve().expect("the state has a solution").iterations;
        head_residual_m = head_residual_m.max(solver.head_residual_m());
        let of_link: Map<String, Value> = case
            .links
            .iter()
            .map(|(name, link)| (name.clone(), json!(solver.flow_m3_s(*link))))
            .collect();
        flows.push(of_link);
        polish(&mut solver);
        polished_residual_m = polished_residual_m.max(solver.head_residual_m());
    }
    json!({
        "own_s": own_s,
        "cold_s": cold_s,
        "polished_s": polished_s,
        "polished_residual_m": polished_residual_m,
        "again_s": again_s,
        "levels_s": levels_s,
        "head_residual_m": head_residual_m,
        "steps": f64::from(steps) / states.len() as f64,
        "flow_m3_s": flows,
    })
}

fn set(solver: &mut Solver, state: &[(LinkId, bool)]) {
    for (valve, open) in state {
        solver.set_open(*valve, *open).expect("it is a valve");
    }
}

/// One more step, from costs by the law at the last flows.
fn polish(solver: &mut Solver) {
    black_box(solver.head_residual_m());
    black_box(solver.solve().expect("the state has a solution"));
}

#[derive(Clone, Copy, PartialEq)]
enum Start {
    Cold,
    ColdAndPolished,
    LastAnswer,
}

fn least_s(solver: &mut Solver, states: &[Vec<(LinkId, bool)>], from: Start) -> f64 {
    let mut least = f64::INFINITY;
    let begun = Instant::now();
    while begun.elapsed() < PASS_TIME {
        let start = Instant::now();
        for state in black_box(states) {
            set(solver, state);
            if from != Start::LastAnswer {
                solver.forget();
            }
            black_box(solver.solve().expect("the state has a solution"));
            if from == Start::ColdAndPolished {
                polish(solver);
            }
        }
        least = least.min(start.elapsed().as_secs_f64() / states.len() as f64);
    }
    least
}

/// The network's own valves; levels that wander by up to 20 mm.
fn least_levels_s(case: &Case, turns: usize) -> f64 {
    let mut solver = case.solver::<Churchill>();
    let per_head = case.water.density_kg_m3() * GRAVITY_M_S2;
    let mut least = f64::INFINITY;
    let begun = Instant::now();
    while begun.elapsed() < PASS_TIME {
        let start = Instant::now();
        for turn in 0..turns {
            let shift_m = 0.02 * (turn % 17) as f64 / 16.0;
            for (at, (node, head_m)) in case.heads.iter().enumerate() {
                let level_m = if at % 2 == 0 {
                    head_m + shift_m
                } else {
                    head_m - shift_m
                };
                solver
                    .set_terminal(*node, level_m * per_head, true)
                    .expect("it is a terminal");
            }
            black_box(solver.solve().expect("the state has a solution"));
        }
        least = least.min(start.elapsed().as_secs_f64() / turns as f64);
    }
    least
}
