//! Elements and lines for networks that are worked by hand.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::f64::consts::PI;

use physics::hydraulics::friction::FrictionLaw;
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump, Solver};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};

/// Of a flow, where no other tolerance is argued: a last step of 1e-5 of it leaves 1e-10 (Newton's steps are squared), and
/// the table of the law of friction adds up to 1e-9 outside the transition.
pub const NEAR: f64 = 1e-9;

pub fn line(bore_m: f64, length_m: f64, roughness_m: f64, loss: f64) -> Element {
    Element::Line(Line {
        bore_m,
        length_m,
        roughness_m,
        loss: LossCoefficient::constant(loss),
    })
}

pub fn passage(bore_m: f64, loss: f64) -> Passage {
    Passage {
        bore_m,
        loss: LossCoefficient::constant(loss),
    }
}

pub fn check_valve(cracking_head_m: f64) -> Element {
    Element::Check {
        passage: passage(0.01, 2.0),
        cracking_head_m,
    }
}

/// Head of a passage by the square of its flow, s²/m⁵.
pub fn quadratic(passage: Passage) -> f64 {
    let area = PI / 4.0 * passage.bore_m * passage.bore_m;
    passage.loss.turbulent / (2.0 * GRAVITY_M_S2 * area * area)
}

/// Links one behind the other from a vessel to another, with the head that the first stands above the second.
pub fn in_series<F: FrictionLaw>(
    elements: &[Element],
    head_m: f64,
    water: LineWater,
) -> (Solver<F>, Vec<NodeId>, Vec<LinkId>) {
    let mut network = Network::new();
    let mut nodes = vec![network.terminal(0.0).unwrap()];
    let mut links = Vec::new();
    for (at, element) in elements.iter().enumerate() {
        let next = if at + 1 == elements.len() {
            network.terminal(0.0)
        } else {
            network.junction(0.0)
        };
        nodes.push(next.unwrap());
        links.push(network.link(nodes[at], nodes[at + 1], element.clone()).unwrap());
    }
    let mut solver = Solver::new(&network);
    solver.set_water_everywhere(water);
    let pressure = head_m * water.density_kg_m3() * GRAVITY_M_S2;
    solver.set_terminal(nodes[0], pressure, true).unwrap();
    (solver, nodes, links)
}

pub fn flow_in_series<F: FrictionLaw>(elements: &[Element], head_m: f64, water: LineWater) -> f64 {
    let (mut solver, _, links) = in_series::<F>(elements, head_m, water);
    solver.solve().unwrap();
    solver.flow_m3_s(links[0])
}

pub fn close(found: f64, expected: f64, tolerance: f64) -> bool {
    (found / expected - 1.0).abs() <= tolerance
}

pub fn pump(pairs: &[(f64, f64)], standing_loss_s2_m5: f64) -> Pump {
    let points: Vec<PumpPoint> = pairs
        .iter()
        .map(|&(flow_m3_s, head_m)| PumpPoint { flow_m3_s, head_m })
        .collect();
    Pump {
        curve: PumpCurve::through(&points).unwrap(),
        standing_loss_s2_m5,
    }
}

/// A small pump.
pub const CURVE: &[(f64, f64)] = &[(0.0, 4.0), (2e-4, 3.7), (4e-4, 2.8), (6e-4, 1.2)];
