//! What the network solver refuses, and that a refusal changes nothing.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use crate::hydraulics_support;

use hydraulics_support::elements::{CURVE, NEAR, check_valve, close, in_series, line, passage, pump};
use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::{Element, LinkId, Network, NodeId, Passage, Solver};
use physics::hydraulics::{HydraulicsError, LineWater, LossCoefficient};

/// Each refusal says what is wrong and what to do.
#[test]
fn what_cannot_be_is_refused() {
    let mut network = Network::new();
    let vessel = network.terminal(0.0).unwrap();
    let junction = network.junction(0.0).unwrap();
    let tube = line(0.01, 1.0, 1.5e-6, 0.0);
    let link = network.link(vessel, junction, tube.clone()).unwrap();
    let mut refused = vec![
        network.junction(f64::NAN).unwrap_err(),
        network.terminal(2e3).unwrap_err(),
        network
            .link(vessel, junction, line(0.0, 1.0, 0.0, 0.0))
            .unwrap_err(),
        network
            .link(vessel, junction, line(0.01, -1.0, 0.0, 0.0))
            .unwrap_err(),
        network
            .link(vessel, junction, line(0.01, 1.0, 0.002, 0.0))
            .unwrap_err(),
        network
            .link(vessel, junction, line(0.01, 1.0, 0.0, -1.0))
            .unwrap_err(),
        network.link(vessel, junction, check_valve(-0.1)).unwrap_err(),
        network
            .link(vessel, junction, Element::Valve(passage(f64::INFINITY, 1.0)))
            .unwrap_err(),
        network
            .link(vessel, junction, Element::Pump(pump(CURVE, f64::NAN)))
            .unwrap_err(),
        Passage::orifice(0.01, 0.2).unwrap_err(),
        Passage::orifice(0.0, 0.6).unwrap_err(),
        LineWater::new(0.0, 1e-6).unwrap_err(),
        LineWater::new(1000.0, 1e-3).unwrap_err(),
        LineWater::of_salinity(80.0, 20.0).unwrap_err(),
    ];
    let mut solver = Solver::<Churchill>::new(&network);
    refused.extend([
        solver.set_terminal(vessel, -2e5, true).unwrap_err(),
        solver.start_from(&[f64::NAN]).unwrap_err(),
    ]);
    for refusal in &refused {
        assert!(matches!(refusal, HydraulicsError::OutOfRange(_)), "{refusal}");
    }
    let ends = [
        network.link(vessel, vessel, tube.clone()).unwrap_err(),
        network.link(vessel, NodeId(7), tube.clone()).unwrap_err(),
    ];
    for refusal in &ends {
        assert_eq!(*refusal, HydraulicsError::Ends { link: 1 });
    }
    let other = [
        solver.set_terminal(junction, 0.0, true).unwrap_err(),
        solver.set_terminal(NodeId(9), 0.0, true).unwrap_err(),
        solver.set_open(link, true).unwrap_err(),
        solver.set_loss(link, LossCoefficient::NONE).unwrap_err(),
        solver.set_speed(link, 1.0).unwrap_err(),
        solver.set_water(LinkId(5), LineWater::nominal()).unwrap_err(),
        solver.start_from(&[]).unwrap_err(),
    ];
    for refusal in &other {
        assert!(matches!(refusal, HydraulicsError::NotThat { .. }), "{refusal}");
    }
    while network.node_count() < 2000 {
        network.junction(0.0).unwrap();
    }
    while network.link_count() < 2000 {
        network.link(vessel, junction, tube.clone()).unwrap();
    }
    let large = [
        network.junction(0.0).unwrap_err(),
        network.link(vessel, junction, tube).unwrap_err(),
    ];
    for refusal in &large {
        assert_eq!(
            *refusal,
            HydraulicsError::TooLarge {
                most: 2000,
                given: 2001
            }
        );
    }
    let stuck = HydraulicsError::NotConverged {
        iterations: 200,
        residual_m: 0.1,
    };
    for refusal in refused
        .iter()
        .chain(&ends)
        .chain(&other)
        .chain(&large)
        .chain([&stuck])
    {
        assert!(!refusal.mend().is_empty() && !refusal.to_string().is_empty());
    }
}

/// A list of starts that is refused half-way through would otherwise leave an answer that is silently wrong.
#[test]
fn what_is_refused_changes_nothing() {
    let parts = [
        Element::Pump(pump(CURVE, 1e6)),
        Element::Valve(passage(0.01, 4.0)),
    ];
    let (mut solver, _, links) = in_series::<Churchill>(&parts, 0.1, LineWater::nominal());
    solver.set_speed(links[0], 1.0).unwrap();
    solver.solve().unwrap();
    let before = solver.flow_m3_s(links[0]);
    assert!(solver.set_speed(links[0], 2.1).is_err());
    assert!(solver.set_speed(links[0], f64::NAN).is_err());
    assert!(
        solver
            .set_loss(links[1], LossCoefficient::constant(-1.0))
            .is_err()
    );
    assert!(solver.start_from(&[1e-4, 11.0]).is_err());
    solver.solve().unwrap();
    assert!(close(solver.flow_m3_s(links[0]), before, NEAR));
}
