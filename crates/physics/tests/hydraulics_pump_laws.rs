//! The network solver against laws that can be worked by hand: pumps, and check valves with them. Tolerance where none is
//! argued: `NEAR`.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use crate::hydraulics_support;

use hydraulics_support::elements::{
    CURVE, NEAR, check_valve, close, flow_in_series, in_series, line, passage, pump, quadratic,
};
use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::{Element, Network, NodeId, Pump, Solver};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, LineWater};

/// Affinity laws (common practice, no source): against a purely quadratic system the flow goes with the speed, the
/// head with its square.
#[test]
fn affinity() {
    let throttle = passage(0.012, 6.0);
    let (mut solver, _, links) = in_series::<Churchill>(
        &[Element::Pump(pump(CURVE, 1e6)), Element::Passage(throttle)],
        0.0,
        LineWater::nominal(),
    );
    let mut at = |speed: f64| {
        solver.set_speed(links[0], speed).unwrap();
        solver.solve().unwrap();
        (solver.flow_m3_s(links[0]), -solver.head_loss_m(links[0]))
    };
    let (full_flow, full_head) = at(1.0);
    assert!(full_flow > 1e-4);
    assert!(close(
        full_head,
        quadratic(throttle) * full_flow * full_flow,
        NEAR
    ));
    for speed in [0.1, 0.5, 0.9, 1.2, 2.0] {
        let (flow, head) = at(speed);
        assert!(close(flow, speed * full_flow, NEAR), "{speed}: {flow}");
        assert!(close(head, speed * speed * full_head, NEAR), "{speed}: {head}");
    }
}

/// H₀ − a·Q² = k·Q² has the root √(H₀/(a + k)).
#[test]
fn a_power_law_pump_meets_a_quadratic_system() {
    let (shut_m, a) = (3.5, 9e6);
    let point = |flow_m3_s: f64| PumpPoint {
        flow_m3_s,
        head_m: shut_m - a * flow_m3_s * flow_m3_s,
    };
    let curve = PumpCurve::power_law([point(0.0), point(2e-4), point(5e-4)]).unwrap();
    let throttle = passage(0.01, 4.0);
    for speed in [1.0, 0.6] {
        let own = Pump {
            curve: curve.clone(),
            standing_loss_s2_m5: a,
        };
        let (mut solver, _, links) = in_series::<Churchill>(
            &[Element::Pump(own), Element::Valve(throttle)],
            0.0,
            LineWater::nominal(),
        );
        solver.set_speed(links[0], speed).unwrap();
        solver.solve().unwrap();
        let expected = speed * (shut_m / (a + quadratic(throttle))).sqrt();
        assert!(close(solver.flow_m3_s(links[0]), expected, NEAR));
    }
}

/// A pump lifts no higher than with its outlet closed; then water comes back through it, unless something holds it.
#[test]
fn against_more_than_its_shut_off_head_a_pump_runs_backwards_or_a_check_valve_holds() {
    let standing = 2e7;
    let throttle = passage(0.01, 4.0);
    let held = [
        Element::Pump(pump(CURVE, standing)),
        check_valve(0.0),
        Element::Passage(throttle),
    ];
    let (mut solver, nodes, links) = in_series::<Churchill>(&held, -5.0, LineWater::nominal());
    solver.set_speed(links[0], 1.0).unwrap();
    solver.solve().unwrap();
    assert_eq!(solver.flow_m3_s(links[0]), 0.0);
    // Between pump and check valve stands what the pump lifts.
    let found = solver.gauge_pressure_pa(nodes[1]).unwrap();
    assert!(
        (found - (4.0 - 5.0) * 1000.0 * GRAVITY_M_S2).abs() < 1e-6,
        "{found}"
    );

    let free = [Element::Pump(pump(CURVE, standing)), Element::Passage(throttle)];
    let (mut solver, _, links) = in_series::<Churchill>(&free, -5.0, LineWater::nominal());
    solver.set_speed(links[0], 1.0).unwrap();
    solver.solve().unwrap();
    // One metre is left to drive water through the standing loss and the throttle.
    let expected = -(1.0 / (standing + quadratic(throttle))).sqrt();
    assert!(close(solver.flow_m3_s(links[0]), expected, NEAR));
}

#[test]
fn a_standing_pump_passes_a_siphon_both_ways() {
    let standing = 2e7;
    let throttle = passage(0.01, 4.0);
    for head_m in [0.4, -0.4] {
        let parts = [Element::Passage(throttle), Element::Pump(pump(CURVE, standing))];
        let flow = flow_in_series::<Churchill>(&parts, head_m, LineWater::nominal());
        let expected = (0.4 / (standing + quadratic(throttle))).sqrt().copysign(head_m);
        assert!(close(flow, expected, NEAR), "{flow} {expected}");
    }
}

#[test]
fn a_check_valve_passes_one_way_and_takes_its_cracking_head() {
    let tube = line(0.01, 2.0, 1.5e-6, 1.0);
    let nominal = LineWater::nominal();
    // The loss of an open check valve, 2 on 0.01 m, adds to that of the line's own fittings.
    let open = flow_in_series::<Churchill>(&[line(0.01, 2.0, 1.5e-6, 3.0)], 0.5, nominal);
    for (head_m, cracking_m) in [(0.5, 0.0), (0.7, 0.2), (0.51, 0.01)] {
        let flow = flow_in_series::<Churchill>(&[tube.clone(), check_valve(cracking_m)], head_m, nominal);
        assert!(close(flow, open, NEAR), "{flow} {open}");
    }
    for (head_m, cracking_m) in [(-0.5, 0.0), (0.5, 0.6), (-1e-6, 0.0), (0.0, 0.1), (-3.0, 0.2)] {
        let flow = flow_in_series::<Churchill>(&[tube.clone(), check_valve(cracking_m)], head_m, nominal);
        assert_eq!(flow, 0.0, "{head_m} {cracking_m}");
    }
}

/// Behind a check valve that nothing flows past, the pressure is that before it less what opens it: in a line that ends
/// blindly, before a ring, and before a closed valve.
#[test]
fn pressure_behind_a_check_valve_is_less_by_what_opens_it() {
    for behind in ["nothing", "a ring", "a closed valve"] {
        let mut network = Network::new();
        let vessel = network.terminal(0.5).unwrap();
        let nodes: Vec<NodeId> = (0..3).map(|_| network.junction(0.0).unwrap()).collect();
        let tube = line(0.01, 1.0, 1.5e-6, 1.0);
        network.link(vessel, nodes[0], tube.clone()).unwrap();
        network.link(nodes[0], nodes[1], check_valve(0.2)).unwrap();
        network.link(nodes[1], nodes[2], tube.clone()).unwrap();
        let mut valve = None;
        match behind {
            "a ring" => {
                network.link(nodes[2], nodes[1], tube).unwrap();
            }
            "a closed valve" => {
                let blind = network.junction(0.0).unwrap();
                let element = Element::Valve(passage(0.01, 1.0));
                valve = Some(network.link(nodes[2], blind, element).unwrap());
            }
            _ => {}
        }
        let mut solver = Solver::<Churchill>::new(&network);
        solver.set_terminal(vessel, 1000.0 * GRAVITY_M_S2, true).unwrap();
        if let Some(valve) = valve {
            solver.set_open(valve, false).unwrap();
        }
        solver.solve().unwrap();
        for (node, head_m) in nodes.iter().zip([1.5, 1.3, 1.3]) {
            let found = solver.gauge_pressure_pa(*node).unwrap();
            assert!(
                (found - head_m * 1000.0 * GRAVITY_M_S2).abs() < 1e-6,
                "{behind}: {found}"
            );
        }
    }
}

/// In one branch, and with a tap between them, which makes two branches of them.
#[test]
fn two_check_valves_that_face_each_other_pass_nothing() {
    for head_m in [2.0, -2.0, 0.0] {
        for tapped in [false, true] {
            for towards in [false, true] {
                let mut network = Network::new();
                let (left, right) = (network.terminal(0.0).unwrap(), network.terminal(0.0).unwrap());
                let middle = network.junction(0.0).unwrap();
                let (a, b) = if towards {
                    (
                        network.link(left, middle, check_valve(0.0)).unwrap(),
                        network.link(right, middle, check_valve(0.0)).unwrap(),
                    )
                } else {
                    (
                        network.link(middle, left, check_valve(0.0)).unwrap(),
                        network.link(middle, right, check_valve(0.0)).unwrap(),
                    )
                };
                if tapped {
                    let tap = network.junction(0.0).unwrap();
                    network.link(middle, tap, line(0.01, 0.1, 0.0, 0.0)).unwrap();
                }
                let mut solver = Solver::<Churchill>::new(&network);
                solver
                    .set_terminal(left, head_m * 1000.0 * GRAVITY_M_S2, true)
                    .unwrap();
                solver.solve().unwrap();
                let told = format!("{head_m} {tapped} {towards}");
                assert_eq!((solver.flow_m3_s(a), solver.flow_m3_s(b)), (0.0, 0.0), "{told}");
            }
        }
    }
}
