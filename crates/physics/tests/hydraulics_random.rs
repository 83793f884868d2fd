//! Random networks: each is solved from a cold start, and the answer is held to the laws by what anybody can ask
//! of a solver: flows, pressures and losses.
//!
//! `NETWORKS=1000000` (as `scripts/test-long` does) runs a million of them; here a fixed share, the same every time.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "helpers of tests; shown with --nocapture"
)]

use physics::hydraulics::friction::{Churchill, FrictionLaw};
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump, Solver};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};

/// The law itself, without the solver's table of it.
#[derive(Debug, Clone, Copy)]
struct Exact;

impl FrictionLaw for Exact {
    const SMOOTH: bool = false;

    fn resistance(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
        Churchill::resistance(reynolds, relative_roughness)
    }
}

/// SplitMix64 (`STEELE-LEA-FLOOD-2014`).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
    /// Evenly by orders of magnitude.
    fn scaled(&mut self, low: f64, high: f64) -> f64 {
        libm::exp(self.between(libm::log(low), libm::log(high)))
    }
    fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }
    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

struct Built {
    network: Network,
    elevation_m: Vec<f64>,
    terminal: Vec<bool>,
    ends: Vec<(NodeId, NodeId)>,
    elements: Vec<Element>,
}

fn build(chance: &mut Chance) -> Built {
    let mut built = Built {
        network: Network::new(),
        elevation_m: Vec::new(),
        terminal: Vec::new(),
        ends: Vec::new(),
        elements: Vec::new(),
    };
    let count = 2 + chance.below(18);
    let mut nodes = Vec::new();
    for _ in 0..count {
        let elevation = chance.between(-1.0, 3.0);
        let terminal = chance.one_in(3);
        let node = if terminal {
            built.network.terminal(elevation)
        } else {
            built.network.junction(elevation)
        };
        nodes.push(node.unwrap());
        built.elevation_m.push(elevation);
        built.terminal.push(terminal);
    }
    let links = count - 1 + chance.below(count);
    for at in 0..links {
        // A tree first, mostly; then anything.
        let (a, b) = if at + 1 < count && !chance.one_in(10) {
            (at + 1, chance.below(at + 1))
        } else {
            let a = chance.below(count);
            (a, (a + 1 + chance.below(count - 1)) % count)
        };
        let (a, b) = if chance.one_in(2) { (a, b) } else { (b, a) };
        let element = element(chance);
        built.network.link(nodes[a], nodes[b], element.clone()).unwrap();
        built.ends.push((nodes[a], nodes[b]));
        built.elements.push(element);
    }
    built
}

fn element(chance: &mut Chance) -> Element {
    let bore_m = chance.scaled(3e-3, 5e-2);
    let laminar = if chance.one_in(2) {
        chance.between(0.0, 1000.0)
    } else {
        0.0
    };
    let loss = LossCoefficient {
        turbulent: chance.scaled(0.05, 20.0),
        laminar,
    };
    let passage = Passage { bore_m, loss };
    match chance.below(8) {
        0 => Element::Valve(passage),
        1 => Element::Passage(passage),
        2 => Element::Check {
            passage,
            cracking_head_m: if chance.one_in(3) {
                0.0
            } else {
                chance.scaled(0.01, 1.0)
            },
        },
        3 => {
            let (head, flow) = (chance.scaled(0.3, 20.0), chance.scaled(1e-5, 2e-3));
            let point = |share: f64, left: f64| PumpPoint {
                flow_m3_s: share * flow,
                head_m: left * head,
            };
            let bend = chance.between(0.55, 0.95);
            let points = [
                point(0.0, 1.0),
                point(0.5, bend),
                point(1.0, chance.between(0.0, 0.5)),
            ];
            let curve = if chance.one_in(2) {
                PumpCurve::through(&points)
            } else {
                PumpCurve::straight_between(&points)
            };
            Element::Pump(Pump {
                curve: curve.unwrap(),
                standing_loss_s2_m5: head / (flow * flow),
            })
        }
        _ => Element::Line(Line {
            bore_m,
            length_m: chance.scaled(0.05, 50.0),
            roughness_m: if chance.one_in(4) {
                bore_m * chance.scaled(1e-4, 0.05)
            } else {
                1.5e-6
            },
            loss,
        }),
    }
}

/// What is set of a built network, so that the laws can be checked against it.
struct Set {
    solver: Solver<Exact>,
    tabled: Solver<Churchill>,
    closed: Vec<bool>,
    speed: Vec<f64>,
    supplies: Vec<bool>,
    water: Vec<LineWater>,
}

fn set(chance: &mut Chance, built: &Built) -> Set {
    let mut set = Set {
        solver: Solver::new(&built.network),
        tabled: Solver::new(&built.network),
        closed: vec![false; built.elements.len()],
        speed: vec![0.0; built.elements.len()],
        supplies: vec![true; built.terminal.len()],
        water: Vec::new(),
    };
    let waters = [
        LineWater::of_salinity(0.0, 12.0).unwrap(),
        LineWater::of_salinity(35.0, 25.0).unwrap(),
    ];
    let mixed = chance.one_in(3);
    set.solver.set_water_everywhere(waters[0]);
    set.tabled.set_water_everywhere(waters[0]);
    set.water = vec![waters[0]; built.elements.len()];
    if mixed {
        for link in 0..built.elements.len() {
            if chance.one_in(2) {
                set.solver.set_water(LinkId(link), waters[1]).unwrap();
                set.tabled.set_water(LinkId(link), waters[1]).unwrap();
            }
        }
    }
    for (node, terminal) in built.terminal.iter().enumerate() {
        if *terminal {
            set.supplies[node] = !chance.one_in(4);
            let depth = if set.supplies[node] {
                chance.between(0.0, 1.2)
            } else {
                0.0
            };
            // Now and then two vessels of one level: nothing should flow between them.
            let depth = if chance.one_in(6) {
                1.0 - built.elevation_m[node]
            } else {
                depth
            };
            let pressure = (1000.0 * GRAVITY_M_S2 * depth).max(-50_000.0);
            set.solver
                .set_terminal(NodeId(node), pressure, set.supplies[node])
                .unwrap();
            set.tabled
                .set_terminal(NodeId(node), pressure, set.supplies[node])
                .unwrap();
        }
    }
    change_positions(chance, built, &mut set);
    set
}

fn change_positions(chance: &mut Chance, built: &Built, set: &mut Set) {
    for (link, element) in built.elements.iter().enumerate() {
        match element {
            Element::Valve(_) => {
                set.closed[link] = chance.one_in(2);
                set.solver.set_open(LinkId(link), !set.closed[link]).unwrap();
                set.tabled.set_open(LinkId(link), !set.closed[link]).unwrap();
            }
            Element::Pump(_) => {
                set.speed[link] = [0.0, 1.0, 0.6][chance.below(3)];
                set.solver.set_speed(LinkId(link), set.speed[link]).unwrap();
                set.tabled.set_speed(LinkId(link), set.speed[link]).unwrap();
            }
            _ => {}
        }
    }
}

/// Everything that must hold of any solution, by what the solver answers to anybody.
fn laws(built: &Built, set: &mut Set, told: &str) {
    set.solver
        .solve()
        .unwrap_or_else(|error| panic!("{told}: {error}"));
    set.tabled
        .solve()
        .unwrap_or_else(|error| panic!("{told}, by the table: {error}"));
    let mut sum = vec![0.0; built.terminal.len()];
    let mut largest = 0.0_f64;
    for (link, (from, to)) in built.ends.iter().enumerate() {
        let flow = set.solver.flow_m3_s(LinkId(link));
        assert!(flow.is_finite(), "{told}: link {link} carries {flow}");
        largest = largest.max(flow.abs());
        sum[from.0] -= flow;
        sum[to.0] += flow;
        if set.closed[link] {
            assert_eq!(flow, 0.0, "{told}: closed valve {link}");
        }
        if matches!(built.elements[link], Element::Check { .. }) {
            assert!(flow >= 0.0, "{told}: check valve {link} passes {flow} back");
        }
    }
    for link in 0..built.ends.len() {
        let (exact, tabled) = (
            set.solver.flow_m3_s(LinkId(link)),
            set.tabled.flow_m3_s(LinkId(link)),
        );
        assert!(
            (exact - tabled).abs() <= 1e-6 * largest + 1e-8,
            "{told}: link {link} carries {exact} by the law and {tabled} by its table"
        );
    }
    for (node, sum) in sum.iter().enumerate() {
        if !built.terminal[node] {
            // Rounding of the largest flow, times what a sparse elimination may add to it; of nothing, 30 mL in a year.
            assert!(
                sum.abs() <= 1e-11 * largest + 1e-12,
                "{told}: node {node} is left with {sum} m³/s"
            );
        } else if !set.supplies[node] {
            assert!(*sum >= -1e-12, "{told}: terminal {node} gives {sum} m³/s");
        }
    }
    assert!(set.solver.flow_residual_m3_s() <= 1e-11 * largest + 1e-12);

    for (link, (from, to)) in built.ends.iter().enumerate() {
        let (Some(before), Some(behind)) = (
            set.solver.gauge_pressure_pa(*from),
            set.solver.gauge_pressure_pa(*to),
        ) else {
            continue;
        };
        if set.closed[link] {
            continue;
        }
        let flow = set.solver.flow_m3_s(LinkId(link));
        let per_head = set.solver.water(LinkId(link)).density_kg_m3() * GRAVITY_M_S2;
        let rise = built.elevation_m[from.0] - built.elevation_m[to.0];
        let lost = set.solver.head_loss_m(LinkId(link));
        let left = (before - behind) / per_head + rise - lost;
        // What a shut check valve or an outlet in the air holds back.
        // A flow of nothing is known to 10⁻¹² m³/s, which a steep pump turns into a head of 10⁻⁶ m.
        let small = if flow.abs() < 1e-11 { 1e-6 } else { 2e-8 };
        let (mut least, mut most) = (-small, small);
        if flow == 0.0 {
            if let Element::Check { cracking_head_m, .. } = built.elements[link] {
                (least, most) = (f64::NEG_INFINITY, cracking_head_m + small);
            }
            if !set.supplies[from.0] {
                most = f64::INFINITY;
            }
            if !set.supplies[to.0] {
                least = f64::NEG_INFINITY;
            }
        }
        assert!(
            (least..=most).contains(&left),
            "{told}: link {link} ({:?}) carries {flow} and {left} m are left over",
            built.elements[link]
        );
    }
}

/// The laws of hydraulics: heads to 2·10⁻⁸ m, since a step of 10⁻⁵ of a flow leaves 10⁻¹⁰ of it. By the table of the
/// law of friction, which keeps to it within 2·10⁻⁷, the same flows to 10⁻⁶ of the largest and 10 µL/s.
#[test]
fn random_networks_obey_the_laws() {
    let count: u64 = std::env::var("NETWORKS").map_or(20_000, |count| count.parse().unwrap());
    let mut most = 0;
    let first: u64 = std::env::var("FIRST_NETWORK").map_or(0, |first| first.parse().unwrap());
    for seed in first..first + count {
        let mut chance = Chance(seed);
        let built = build(&mut chance);
        let mut set = set(&mut chance, &built);
        laws(&built, &mut set, &format!("network {seed}, cold"));
        // A neighbouring state, from the last solution; then valves and pumps as chance has it.
        for node in 0..built.terminal.len() {
            if built.terminal[node] && set.supplies[node] {
                let pressure = 1000.0 * GRAVITY_M_S2 * chance.between(0.0, 1.2);
                set.solver.set_terminal(NodeId(node), pressure, true).unwrap();
                set.tabled.set_terminal(NodeId(node), pressure, true).unwrap();
            }
        }
        laws(&built, &mut set, &format!("network {seed}, other levels"));
        change_positions(&mut chance, &built, &mut set);
        laws(&built, &mut set, &format!("network {seed}, other valves"));
        most = most.max(set.solver.solve().unwrap().iterations);
    }
    println!("{count} networks; a solved one took at most {most} steps again");
}
