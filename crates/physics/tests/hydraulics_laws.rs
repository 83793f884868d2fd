//! The network solver against laws that can be worked by hand, and against problems that are solved here another way: water
//! in tubes. Tolerance where none is argued: `NEAR`.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use crate::hydraulics_support;

use hydraulics_support::elements::{NEAR, close, flow_in_series, line, passage};
use hydraulics_support::{Blend, json};
use physics::hydraulics::friction::{Churchill, darcy_friction_factor};
use physics::hydraulics::network::{Element, LinkId, Network, NodeId, Passage, Solver};
use physics::hydraulics::{GRAVITY_M_S2, LineWater};
use std::f64::consts::PI;

/// Torricelli's law, Q = C·A·√(2·g·h) (long known; `ORIFICE`).
#[test]
fn torricelli() {
    for (bore_m, discharge, head_m) in [
        (0.001, 0.62, 0.8),
        (0.012, 0.62, 0.3),
        (0.02, 0.98, 4.0),
        (0.05, 1.0, 1e-3),
    ] {
        let orifice = Element::Passage(Passage::orifice(bore_m, discharge).unwrap());
        for water in [LineWater::nominal(), LineWater::of_salinity(35.0, 25.0).unwrap()] {
            let flow = flow_in_series::<Churchill>(std::slice::from_ref(&orifice), head_m, water);
            let expected = discharge * PI / 4.0 * bore_m * bore_m * (2.0 * GRAVITY_M_S2 * head_m).sqrt();
            assert!(close(flow, expected, NEAR), "{flow} {expected}");
        }
    }
}

/// The law of Hagen and Poiseuille, h = 128·μ·L·Q/(π·ρ·g·D⁴) (long known), to rounding: below Re 100 the law of friction is
/// 64/Re itself. Above, up to Re 1500, it differs from it by rounding, and the table by 1e-9.
#[test]
fn hagen_and_poiseuille() {
    let salt = LineWater::of_salinity(35.0, 25.0).unwrap();
    for (bore_m, length_m, head_m, water, tolerance) in [
        (0.003, 5.0, 0.01, LineWater::nominal(), 1e-13),
        (0.0015, 2.0, 0.05, salt, 1e-13),
        (0.0005, 0.3, 0.2, salt, 1e-13),
        (0.004, 10.0, 0.2, LineWater::nominal(), NEAR),
        (0.006, 20.0, 0.15, salt, NEAR),
    ] {
        let flow = flow_in_series::<Churchill>(&[line(bore_m, length_m, 1.5e-6, 0.0)], head_m, water);
        let viscosity_pa_s = water.kinematic_viscosity_m2_s() * water.density_kg_m3();
        let fourth = bore_m * bore_m * bore_m * bore_m;
        let expected =
            head_m * PI * water.density_kg_m3() * GRAVITY_M_S2 * fourth / (128.0 * viscosity_pa_s * length_m);
        let reynolds = 4.0 * expected / (PI * bore_m * water.kinematic_viscosity_m2_s());
        assert!(
            reynolds < if tolerance < NEAR { 100.0 } else { 1500.0 },
            "{reynolds}"
        );
        assert!(
            close(flow, expected, tolerance),
            "{flow} {expected}: {:e}",
            flow / expected - 1.0
        );
    }
}

/// Hydrostatics: in water at rest the pressure goes by the depth (`DEFINITION`). Tolerance: rounding of a pressure.
#[test]
fn water_at_rest_presses_by_its_depth() {
    let water = LineWater::of_salinity(35.0, 25.0).unwrap();
    let per_m = water.density_kg_m3() * GRAVITY_M_S2;
    let mut network = Network::new();
    let vessel = network.terminal(2.0).unwrap();
    let heights = [1.5, 0.4, -0.7, 0.9];
    let nodes: Vec<NodeId> = heights
        .iter()
        .map(|height| network.junction(*height).unwrap())
        .collect();
    let beyond = network.junction(0.2).unwrap();
    let mut before = vessel;
    for node in &nodes {
        network.link(before, *node, line(0.01, 2.0, 1.5e-6, 1.0)).unwrap();
        before = *node;
    }
    let valve = network
        .link(before, beyond, Element::Valve(passage(0.01, 0.1)))
        .unwrap();
    let outlet = network.terminal(0.0).unwrap();
    network
        .link(beyond, outlet, line(0.01, 1.0, 1.5e-6, 1.0))
        .unwrap();
    let mut solver = Solver::<Churchill>::new(&network);
    solver.set_water_everywhere(water);
    solver.set_terminal(vessel, 0.3 * per_m, true).unwrap();
    solver.set_terminal(outlet, 0.0, false).unwrap();
    solver.set_open(valve, false).unwrap();
    solver.solve().unwrap();
    for link in 0..network.link_count() {
        assert_eq!(solver.flow_m3_s(LinkId(link)), 0.0);
    }
    for (node, height) in nodes.iter().zip(heights) {
        let expected = per_m * (2.3 - height);
        let found = solver.gauge_pressure_pa(*node).unwrap();
        assert!((found - expected).abs() < 1e-9, "{found} {expected}");
    }
}

/// A U-tube with two waters: they balance where ρ₁·h₁ = ρ₂·h₂, and then the foot knows the pressure of either.
/// A tap at the foot keeps the two legs apart, as links in series carry one water.
#[test]
fn two_waters_balance_by_their_weight() {
    let fresh = LineWater::of_salinity(0.0, 20.0).unwrap();
    let brine = LineWater::new(1190.0, 1.8e-6).unwrap();
    let tall = 1.3;
    let low = tall * fresh.density_kg_m3() / brine.density_kg_m3();
    for (lower_leg, sign) in [(low, 0.0), (low - 0.01, 1.0), (low + 0.01, -1.0)] {
        let mut network = Network::new();
        let left = network.terminal(tall).unwrap();
        let right = network.terminal(lower_leg).unwrap();
        let foot = network.junction(0.0).unwrap();
        let tap = network.junction(0.0).unwrap();
        let down = network.link(left, foot, line(0.008, 2.0, 1.5e-6, 0.5)).unwrap();
        let up = network.link(foot, right, line(0.008, 2.0, 1.5e-6, 1.0)).unwrap();
        network.link(foot, tap, line(0.008, 0.1, 1.5e-6, 0.0)).unwrap();
        let mut solver = Solver::<Churchill>::new(&network);
        solver.set_water_everywhere(fresh);
        solver.set_water(up, brine).unwrap();
        solver.solve().unwrap();
        let flow = solver.flow_m3_s(down);
        if sign == 0.0 {
            // What the rounding of a head drives through 4 m of tube.
            assert!(flow.abs() < 1e-17, "{flow}");
            let expected = tall * fresh.density_kg_m3() * GRAVITY_M_S2;
            for node in [foot, tap] {
                assert!((solver.gauge_pressure_pa(node).unwrap() - expected).abs() < 1e-9);
            }
        } else {
            assert!(flow * sign > 1e-7, "{flow}");
        }
        assert!((solver.flow_m3_s(up) - flow).abs() <= 1e-20);
    }
}

/// Flow for a head through a tube and its fittings, by fixed-point steps on f: independent of the solver.
fn flow_by_steps(head_m: f64, bore_m: f64, length_m: f64, roughness_m: f64, loss: f64, nu_m2_s: f64) -> f64 {
    let mut f = 0.02;
    let mut velocity = 0.0;
    for _ in 0..500 {
        velocity = (2.0 * GRAVITY_M_S2 * head_m / (loss + f * length_m / bore_m)).sqrt();
        f = 0.5 * f + 0.5 * darcy_friction_factor(velocity * bore_m / nu_m2_s, roughness_m / bore_m).unwrap();
    }
    velocity * PI / 4.0 * bore_m * bore_m
}

/// Two reservoirs joined by a pipe, H = (K + f·L/D)·v²/2g, as in any textbook; solved here by steps on f.
#[test]
fn two_reservoirs() {
    for (head_m, bore_m, length_m, roughness_m, loss) in [
        (10.0, 0.3, 1000.0, 2.6e-4, 1.5),
        (6.0, 0.15, 300.0, 1e-4, 3.0),
        (0.8, 0.0127, 4.0, 1.5e-6, 4.3),
    ] {
        let flow = flow_in_series::<Churchill>(
            &[line(bore_m, length_m, roughness_m, loss)],
            head_m,
            LineWater::nominal(),
        );
        let expected = flow_by_steps(head_m, bore_m, length_m, roughness_m, loss, 1e-6);
        assert!(close(flow, expected, NEAR), "{flow} {expected}");
    }
}

/// Three reservoirs that meet in a junction: the problem as in any textbook (its numbers are made up here), solved by
/// bisection on the head of the junction, at which what comes is what goes.
#[test]
fn three_reservoirs() {
    let pipes = [
        (30.0, 0.30, 600.0, 3e-4),
        (18.0, 0.20, 450.0, 1.5e-4),
        (9.0, 0.25, 900.0, 1e-3),
    ];
    let into = |junction_m: f64, at: usize| {
        let (level_m, bore_m, length_m, roughness_m) = pipes[at];
        let head_m: f64 = level_m - junction_m;
        flow_by_steps(head_m.abs(), bore_m, length_m, roughness_m, 0.0, 1e-6).copysign(head_m)
    };
    let (mut low, mut high) = (9.0, 30.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if (0..3).map(|at| into(middle, at)).sum::<f64>() > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let mut network = Network::new();
    let junction = network.junction(4.0).unwrap();
    let links: Vec<LinkId> = pipes
        .iter()
        .map(|&(level_m, bore_m, length_m, roughness_m)| {
            let vessel = network.terminal(level_m).unwrap();
            network
                .link(vessel, junction, line(bore_m, length_m, roughness_m, 0.0))
                .unwrap()
        })
        .collect();
    let mut solver = Solver::<Churchill>::new(&network);
    solver.solve().unwrap();
    for (at, link) in links.iter().enumerate() {
        let (found, expected) = (solver.flow_m3_s(*link), into(low, at));
        assert!(close(found, expected, 1e-8), "{found} {expected}");
    }
    let head = 4.0 + solver.gauge_pressure_pa(junction).unwrap() / (1000.0 * GRAVITY_M_S2);
    assert!((head - low).abs() < 1e-8, "{head} {low}");
}

/// Source: worked once elsewhere by the same laws, to the digits given: a fill by gravity through 1.5 m of tube with
/// fittings of 3.3 and the velocity head that is lost at its end.
#[test]
fn gravity_fills_worked_elsewhere() {
    for (bore_m, head_m, expected_l_min, digit) in [
        (9.5e-3, 0.5, 4.4, 0.1),
        (12.7e-3, 0.5, 8.6, 0.1),
        (19.1e-3, 0.5, 21.5, 0.1),
        (25.4e-3, 0.5, 40.0, 1.0),
        (19.1e-3, 0.8, 27.5, 0.1),
        (19.1e-3, 0.5, 21.6, 0.2),
        (19.1e-3, 0.2, 13.4, 0.1),
    ] {
        let flow =
            flow_in_series::<Churchill>(&[line(bore_m, 1.5, 1.5e-6, 4.3)], head_m, LineWater::nominal());
        let found = flow * 60_000.0;
        assert!(
            (found - expected_l_min).abs() <= 0.5 * digit,
            "{bore_m} {head_m}: {found} {expected_l_min}"
        );
    }
}

/// Source: `validation/drains.json`: the flow at each moment of its series. The same law of friction: what the file's
/// integration leaves of a level, 1e-8. Another sound law: 0.5 % of a time (the file's own), of a flow 1 %; 10 % in
/// transition.
#[test]
fn drains_flow_as_their_heads_drive() {
    let mut rows = 0;
    for case in json("drains.json")["cases"].as_array().unwrap() {
        let of = |part: &str, field: &str| case[part][field].as_f64().unwrap();
        let hose = line(
            of("hose", "diameter_m"),
            of("hose", "length_m"),
            of("hose", "roughness_m"),
            of("hose", "sum_K") + 1.0,
        );
        let water = LineWater::new(of("fluid", "rho_kg_m3"), of("fluid", "nu_m2_s")).unwrap();
        for row in case["results"].as_array().unwrap() {
            let number = |field: &str| row[field].as_f64().unwrap();
            let (head_m, expected, reynolds) = (number("driving_head_m"), number("flow_m3_s"), number("Re"));
            let same = flow_in_series::<Blend>(std::slice::from_ref(&hose), head_m, water);
            assert!(
                close(same, expected, 1e-8),
                "{}: {:e}",
                case["name"],
                same / expected - 1.0
            );
            let own = flow_in_series::<Churchill>(std::slice::from_ref(&hose), head_m, water);
            let fair = if (2000.0..4000.0).contains(&reynolds) {
                0.1
            } else {
                0.01
            };
            assert!(
                close(own, expected, fair),
                "{}: {:e}",
                case["name"],
                own / expected - 1.0
            );
            rows += 1;
        }
    }
    assert!(rows >= 20, "{rows}");
}

/// A header of tees, some of its pieces written the other way about: with all branches closed but the last it is one line,
/// whose head falls evenly; with another open it parts there, and with all closed again it is one line as before.
#[test]
fn a_header_with_closed_branches_is_one_line() {
    const PIECES: usize = 6;
    let piece_m = 0.7;
    let piece = || line(0.02, piece_m, 1.5e-6, 0.0);
    let mut network = Network::new();
    let vessel = network.terminal(0.0).unwrap();
    let end = network.terminal(0.0).unwrap();
    let tees: Vec<NodeId> = (1..PIECES).map(|_| network.junction(0.0).unwrap()).collect();
    let (mut last, mut links, mut valves) = (vessel, Vec::new(), Vec::new());
    for (at, next) in tees.iter().copied().chain([end]).enumerate() {
        let turned = at % 2 == 1;
        let (from, to) = if turned { (next, last) } else { (last, next) };
        links.push((network.link(from, to, piece()).unwrap(), turned));
        last = next;
    }
    for tee in &tees {
        let (foot, tap) = (network.junction(0.0).unwrap(), network.terminal(0.0).unwrap());
        valves.push(
            network
                .link(*tee, foot, Element::Valve(passage(0.02, 0.1)))
                .unwrap(),
        );
        network.link(foot, tap, piece()).unwrap();
    }
    let head_m = 1.2;
    let mut solver = Solver::<Churchill>::new(&network);
    let per_head = 1000.0 * GRAVITY_M_S2;
    solver.set_terminal(vessel, head_m * per_head, true).unwrap();
    let whole = line(0.02, piece_m * PIECES as f64, 1.5e-6, 0.0);
    let expected = flow_in_series::<Churchill>(&[whole], head_m, LineWater::nominal());
    let along = |solver: &Solver, at: usize| {
        let (link, turned): (LinkId, bool) = links[at];
        let flow = solver.flow_m3_s(link);
        if turned { -flow } else { flow }
    };
    for open in [None, Some(2), None, Some(0), Some(PIECES - 2), None] {
        for (at, valve) in valves.iter().enumerate() {
            solver.set_open(*valve, open == Some(at)).unwrap();
        }
        solver.solve().unwrap();
        for at in 0..PIECES {
            let flow = along(&solver, at);
            match open {
                None => assert!(close(flow, expected, NEAR), "{open:?} {at}: {flow}"),
                // The same up to the tee, and less behind it.
                Some(tee) => {
                    let before = along(&solver, if at <= tee { 0 } else { PIECES - 1 });
                    assert!(close(flow, before, NEAR), "{open:?} {at}: {flow}");
                    assert!((along(&solver, 0) > expected) && (along(&solver, PIECES - 1) < expected));
                }
            }
        }
        for (at, tee) in tees.iter().enumerate() {
            let found_m = solver.gauge_pressure_pa(*tee).unwrap() / per_head;
            let fallen = (at + 1) as f64 / PIECES as f64;
            match open {
                // A head is told to some 10⁻¹⁰ of what is lost.
                None => assert!(
                    (found_m - head_m * (1.0 - fallen)).abs() < 1e-8,
                    "{at}: {found_m}"
                ),
                Some(_) => assert!(found_m < head_m * (1.0 - fallen), "{open:?} {at}: {found_m}"),
            }
        }
    }
}
