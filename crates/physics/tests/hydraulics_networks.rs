//! Networks against the reference set of `validation/networks`, and against what can be worked by hand.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers of tests; shown with --nocapture"
)]

use crate::hydraulics_support;

use hydraulics_support::{Blend, Case, cases};
use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::friction::{Churchill, FrictionLaw};
use physics::hydraulics::network::Solver;
use serde_json::Value;

struct Difference {
    flow: f64,
    head_m: f64,
}

/// Largest difference of a flow by its own size (of nothing: by 10⁻⁸ m³/s), and of a head.
fn compare<F: FrictionLaw>(case: &Case, solver: &Solver<F>, solution: &Value, skip: &[String]) -> Difference {
    let mut worst = Difference {
        flow: 0.0,
        head_m: 0.0,
    };
    for (name, link) in &case.links {
        let expected = solution["flow_m3_s"][name].as_f64().unwrap();
        let found = solver.flow_m3_s(*link);
        if expected.abs() < 1e-8 {
            assert!(
                found.abs() < 1e-8,
                "{}: {name} carries {found} m³/s, not nothing",
                case.name
            );
        } else if !skip.contains(name) {
            worst.flow = worst.flow.max((found / expected - 1.0).abs());
        }
    }
    for (name, expected) in solution["head_m"].as_object().unwrap() {
        let node = case.nodes[name];
        let Some(pressure) = solver.gauge_pressure_pa(node) else {
            continue;
        };
        let elevation = elevation(case, name);
        let head = elevation + pressure / (case.water.density_kg_m3() * GRAVITY_M_S2);
        worst.head_m = worst.head_m.max((head - expected.as_f64().unwrap()).abs());
    }
    worst
}

fn elevation(case: &Case, name: &str) -> f64 {
    let data = hydraulics_support::json(&format!("networks/{}.json", case.name));
    let nodes = data["nodes"].as_array().unwrap();
    nodes
        .iter()
        .find(|node| node["id"] == name)
        .and_then(|node| node["elevation_m"].as_f64())
        .unwrap_or(0.0)
}

/// Links whose Reynolds number lies between 2000 and 4000, where laws of friction may differ by tens of per cent.
fn in_transition(case: &Case) -> Vec<String> {
    let data = hydraulics_support::json(&format!("networks/{}.json", case.name));
    data["links"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|link| {
            let name = link["id"].as_str().unwrap();
            let flow = case.exact["flow_m3_s"][name].as_f64().unwrap().abs();
            let bore = link["diameter_m"].as_f64()?;
            let reynolds = 4.0 * flow / (std::f64::consts::PI * bore * case.water.kinematic_viscosity_m2_s());
            (2000.0..4000.0).contains(&reynolds).then(|| name.to_owned())
        })
        .collect()
}

/// Source: `validation/networks`, `solution_exact` (a general root finder on continuity and energy). The same law of
/// friction, so the tolerance is the file's own: 1e-6 of a flow, 1e-6 m of a head.
#[test]
fn the_solver_finds_the_exact_solutions_with_the_reference_law() {
    for case in cases() {
        let mut solver = case.solver::<Blend>();
        let effort = solver.solve().unwrap();
        let residual_m3_s = solver.flow_residual_m3_s();
        assert!(residual_m3_s < 1e-12, "{}: {residual_m3_s:e}", case.name);
        let worst = compare(&case, &solver, &case.exact, &[]);
        println!(
            "{}: {:.1e} {:.1e} m, {effort:?}",
            case.name, worst.flow, worst.head_m
        );
        assert!(
            worst.flow < 1e-6,
            "{}: a flow is off by {:e}",
            case.name,
            worst.flow
        );
        assert!(
            worst.head_m < 1e-6,
            "{}: a head is off by {:e} m",
            case.name,
            worst.head_m
        );
    }
}

/// Source: as above, both solutions. Another sound law of friction: 1.5 % of a flow and 0.01 m where no link is in
/// transition, which is what such laws differ by; 10 % for a link in transition.
#[test]
fn the_own_law_of_friction_comes_close_to_both_solutions() {
    for case in cases() {
        let mut solver = case.solver::<Churchill>();
        solver.solve().unwrap();
        assert!(solver.head_residual_m() < 1e-9, "{}", case.name);
        let transition = in_transition(&case);
        for solution in [&case.exact, &case.epanet] {
            let worst = compare(&case, &solver, solution, &transition);
            let all = compare(&case, &solver, solution, &[]);
            println!("{}: {:.1e} {:.1e} m", case.name, worst.flow, worst.head_m);
            assert!(
                worst.flow < 0.015,
                "{}: a flow is off by {:e}",
                case.name,
                worst.flow
            );
            assert!(
                all.flow < 0.1,
                "{}: a flow in transition is off by {:e}",
                case.name,
                all.flow
            );
            assert!(
                worst.head_m < 0.01,
                "{}: a head is off by {:e} m",
                case.name,
                worst.head_m
            );
        }
    }
}

/// What is forgotten leaves nothing behind: after any other states the solution of a network is the one that it has at
/// first, to the last bit. Tolerance: none.
#[test]
fn a_solver_that_has_forgotten_is_a_new_one() {
    for case in cases() {
        let mut new = case.solver::<Churchill>();
        let mut old = case.solver::<Churchill>();
        for turn in 0..6_usize {
            for (at, valve) in case.valves.values().enumerate() {
                old.set_open(*valve, !(turn + at).is_multiple_of(3)).unwrap();
            }
            old.solve().unwrap();
        }
        for valve in case.valves.values() {
            old.set_open(*valve, true).unwrap();
            new.set_open(*valve, true).unwrap();
        }
        old.forget();
        new.solve().unwrap();
        old.solve().unwrap();
        for (name, link) in &case.links {
            let (old, new) = (old.flow_m3_s(*link), new.flow_m3_s(*link));
            assert!(
                old.to_bits() == new.to_bits(),
                "{}: {name}: {old:e} {new:e}",
                case.name
            );
        }
    }
}

/// Which branches take part is kept for the last states that were solved. Whether it is found again or anew, flows and
/// pressures are those of a new solver, to the last bit: rounds through few states, which are all kept, and through so many
/// that each has been given up when it comes back. Tolerance: none.
#[test]
fn what_takes_part_is_the_same_found_again() {
    for case in cases() {
        for states in [2_usize, 9] {
            let mut old = case.solver::<Churchill>();
            for turn in 0..3 * states {
                let mut new = case.solver::<Churchill>();
                for (at, valve) in case.valves.values().enumerate() {
                    let open = (turn % states) >> (at % 4) & 1 == 0;
                    old.set_open(*valve, open).unwrap();
                    new.set_open(*valve, open).unwrap();
                }
                old.forget();
                new.solve().unwrap();
                old.solve().unwrap();
                for (name, link) in &case.links {
                    let (old, new) = (old.flow_m3_s(*link), new.flow_m3_s(*link));
                    assert!(
                        old.to_bits() == new.to_bits(),
                        "{}: {name}, turn {turn}: {old:e} {new:e}",
                        case.name
                    );
                }
                for node in case.nodes.values() {
                    let bits = |solver: &Solver| solver.gauge_pressure_pa(*node).map(f64::to_bits);
                    assert!(bits(&old) == bits(&new), "{}: turn {turn}", case.name);
                }
            }
        }
    }
}
