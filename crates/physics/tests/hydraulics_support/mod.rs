//! The reference networks of `validation/networks`, and the friction law that they were solved with.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "each test file and bench uses its share; what is missing stops it"
)]

pub mod elements;

use std::collections::BTreeMap;
use std::path::PathBuf;

use physics::hydraulics::friction::FrictionLaw;
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump, Solver};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};
use serde_json::Value;

/// 64/Re to Re 2000, exact Colebrook above Re 4000, f linear in Re between: the rule of `solution_exact`.
///
/// Written for the tests, from the definition; nothing of it is shared with the law under test.
#[derive(Debug, Clone, Copy)]
pub struct Blend;

impl FrictionLaw for Blend {
    const SMOOTH: bool = false;

    fn resistance(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
        let value = |reynolds: f64| {
            let f = if reynolds <= 2000.0 {
                return 64.0 * reynolds;
            } else if reynolds < 4000.0 {
                let high = colebrook(4000.0, relative_roughness);
                0.032 + (high - 0.032) * (reynolds - 2000.0) / 2000.0
            } else {
                colebrook(reynolds, relative_roughness)
            };
            f * reynolds * reynolds
        };
        let step = 1e-4 * reynolds.max(1.0);
        let low = (reynolds - step).max(0.0);
        let slope = (value(reynolds + step) - value(low)) / (reynolds + step - low);
        (value(reynolds), slope)
    }
}

/// The root of Colebrook's equation (1939) by fixed-point steps until they stop.
pub fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    let mut x = 7.0_f64;
    for _ in 0..200 {
        let next = -2.0 * libm::log10(relative_roughness / 3.7 + 2.51 * x / reynolds);
        if (next - x).abs() < 1e-15 * x {
            break;
        }
        x = next;
    }
    1.0 / (x * x)
}

/// A reference network, built.
pub struct Case {
    pub name: String,
    pub network: Network,
    pub nodes: BTreeMap<String, NodeId>,
    /// For each link of the case the link that tells its flow.
    pub links: BTreeMap<String, LinkId>,
    /// The valve in front of each pipe.
    pub valves: BTreeMap<String, LinkId>,
    pub closed: Vec<LinkId>,
    pub pumps: Vec<LinkId>,
    pub heads: Vec<(NodeId, f64)>,
    pub water: LineWater,
    pub exact: Value,
    pub epanet: Value,
}

impl Case {
    pub fn solver<F: FrictionLaw>(&self) -> Solver<F> {
        let mut solver = Solver::<F>::new(&self.network);
        solver.set_water_everywhere(self.water);
        for (node, head_m) in &self.heads {
            solver
                .set_terminal(*node, head_m * self.water.density_kg_m3() * GRAVITY_M_S2, true)
                .unwrap();
        }
        for link in &self.closed {
            solver.set_open(*link, false).unwrap();
        }
        for pump in &self.pumps {
            solver.set_speed(*pump, 1.0).unwrap();
        }
        solver
    }
}

pub fn validation(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../validation")
        .join(path)
}

pub fn json(path: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(validation(path)).unwrap()).unwrap()
}

pub fn cases() -> Vec<Case> {
    [
        "01_gravity_series",
        "02_laminar_tube",
        "03_closed_branch",
        "04_dead_head",
        "05_reverse_bypass",
        "06_parallel_branches",
        "07_ring_header",
        "08_two_pumps",
        "09_thirty_links",
    ]
    .into_iter()
    .map(case)
    .collect()
}

/// Terminals stand at elevation 0, since the cases give total heads; a pump has a check valve behind it, since the
/// cases say that it passes nothing back; every pipe has a valve of no loss in front of it, so that it can be closed.
pub fn case(name: &str) -> Case {
    let data = json(&format!("networks/{name}.json"));
    let number = |value: &Value| value.as_f64().unwrap();
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let mut network = Network::new();
    let (mut nodes, mut links, mut heads) = (BTreeMap::new(), BTreeMap::new(), Vec::new());
    let (mut valves, mut closed, mut pumps) = (BTreeMap::new(), Vec::new(), Vec::new());
    for node in data["nodes"].as_array().unwrap() {
        let id = if node["type"] == "fixed_head" {
            let id = network.terminal(0.0).unwrap();
            heads.push((id, number(&node["head_m"])));
            id
        } else {
            network.junction(number(&node["elevation_m"])).unwrap()
        };
        nodes.insert(text(&node["id"]), id);
    }
    for link in data["links"].as_array().unwrap() {
        let (from, to) = (nodes[&text(&link["from"])], nodes[&text(&link["to"])]);
        let between = network.junction(0.0).unwrap();
        let free = Passage {
            bore_m: 0.02,
            loss: LossCoefficient::default(),
        };
        let id = if link["type"] == "pump" {
            let points: Vec<PumpPoint> = link["curve_m3_s_m"]
                .as_array()
                .unwrap()
                .iter()
                .map(|point| PumpPoint {
                    flow_m3_s: number(&point[0]),
                    head_m: number(&point[1]),
                })
                .collect();
            let curve = match link["curve_form"].as_str().unwrap() {
                "power_law_3_point" => PumpCurve::power_law([points[0], points[1], points[2]]),
                "piecewise_linear" => PumpCurve::straight_between(&points),
                other => panic!("{other}"),
            };
            let pump = Pump {
                curve: curve.unwrap(),
                standing_loss_s2_m5: 1e6,
            };
            let id = network.link(from, between, Element::Pump(pump)).unwrap();
            let check = Element::Check {
                passage: free,
                cracking_head_m: 0.0,
            };
            let behind = network.junction(0.0).unwrap();
            network.link(between, behind, check).unwrap();
            let valve = network.link(behind, to, Element::Valve(free)).unwrap();
            if link["status"] == "closed" {
                closed.push(valve);
            }
            pumps.push(id);
            id
        } else {
            let line = Line {
                bore_m: number(&link["diameter_m"]),
                length_m: number(&link["length_m"]),
                roughness_m: number(&link["roughness_m"]),
                loss: LossCoefficient {
                    turbulent: number(&link["minor_loss_K"]),
                    laminar: 0.0,
                },
            };
            let valve = network.link(from, between, Element::Valve(free)).unwrap();
            let id = network.link(between, to, Element::Line(line)).unwrap();
            valves.insert(text(&link["id"]), valve);
            if link["status"] == "closed" {
                closed.push(valve);
            }
            id
        };
        links.insert(text(&link["id"]), id);
    }
    let fluid = &data["fluid"];
    Case {
        name: name.to_owned(),
        network,
        nodes,
        links,
        valves,
        closed,
        pumps,
        heads,
        water: LineWater::new(number(&fluid["rho_kg_m3"]), number(&fluid["nu_m2_s"])).unwrap(),
        exact: data["solution_exact"].clone(),
        epanet: data["solution_epanet"].clone(),
    }
}
