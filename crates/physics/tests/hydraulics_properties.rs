//! What must hold of every network, however it is written down, started or cut up.
//!
//! Tolerance where none is argued: 1e-7 of the largest flow, since the last step of each solution leaves 1e-10 of a flow and
//! a flow may be what is left of two that are a thousand times as large; and 0.1 µL/s where every link resists a small flow in
//! proportion. Elsewhere 0.1 mL/s, since heads are solved to 1e-11 m,
//! which drives 0.044 mL/s through the widest passage here, where it has no laminar loss, and the two answers may differ
//! by twice that.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump, Solver};
use physics::hydraulics::pump_curve::{PumpCurve, PumpPoint};
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};
use proptest::prelude::*;
use proptest::sample::Index;

/// A network to be written down in one way or another.
#[derive(Debug, Clone)]
struct Plan {
    nodes: Vec<Place>,
    links: Vec<Join>,
    water: LineWater,
}

impl Plan {
    /// Whether every link loses head in proportion to the flow where that is small.
    fn resists_everywhere(&self) -> bool {
        self.links.iter().all(|join| match join.element {
            Element::Valve(own) | Element::Passage(own) | Element::Check { passage: own, .. } => {
                own.loss.laminar > 0.1
            }
            Element::Pump(_) => false,
            _ => true,
        })
    }
}

/// A node; its level above itself and whether it can give water, where it is a terminal.
#[derive(Debug, Clone, Copy)]
struct Place {
    elevation_m: f64,
    terminal: Option<(f64, bool)>,
}

#[derive(Debug, Clone)]
struct Join {
    from: usize,
    to: usize,
    element: Element,
    open: bool,
    speed: f64,
}

/// How it is written down: which node and which link comes when, and which links the other way round.
#[derive(Debug, Clone)]
struct Script {
    nodes: Vec<usize>,
    links: Vec<usize>,
    flipped: Vec<bool>,
}

impl Script {
    fn plain(plan: &Plan) -> Self {
        Self {
            nodes: (0..plan.nodes.len()).collect(),
            links: (0..plan.links.len()).collect(),
            flipped: vec![false; plan.links.len()],
        }
    }
}

/// A solver, and where each link of the plan went.
struct Written {
    solver: Solver,
    node: Vec<NodeId>,
    link: Vec<(LinkId, f64)>,
}

fn write(plan: &Plan, script: &Script) -> Written {
    let mut network = Network::new();
    let mut id = vec![NodeId(0); plan.nodes.len()];
    for at in &script.nodes {
        let place = plan.nodes[*at];
        id[*at] = if place.terminal.is_some() {
            network.terminal(place.elevation_m).unwrap()
        } else {
            network.junction(place.elevation_m).unwrap()
        };
    }
    let mut link = vec![(LinkId(0), 1.0); plan.links.len()];
    for at in &script.links {
        let join = &plan.links[*at];
        let (from, to) = (id[join.from], id[join.to]);
        link[*at] = if script.flipped[*at] && either_way(&join.element) {
            (network.link(to, from, join.element.clone()).unwrap(), -1.0)
        } else {
            (network.link(from, to, join.element.clone()).unwrap(), 1.0)
        };
    }
    let mut solver = Solver::new(&network);
    solver.set_water_everywhere(plan.water);
    for (at, place) in plan.nodes.iter().enumerate() {
        if let Some((level_m, supplies)) = place.terminal {
            let pressure = level_m * plan.water.density_kg_m3() * GRAVITY_M_S2;
            solver.set_terminal(id[at], pressure, supplies).unwrap();
        }
    }
    let mut written = Written {
        solver,
        node: id,
        link,
    };
    written.set_positions(plan);
    written
}

impl Written {
    fn set_positions(&mut self, plan: &Plan) {
        for (join, (link, _)) in plan.links.iter().zip(&self.link) {
            match join.element {
                Element::Valve(_) => self.solver.set_open(*link, join.open).unwrap(),
                Element::Pump(_) => self.solver.set_speed(*link, join.speed).unwrap(),
                _ => {}
            }
        }
    }

    fn solved(&mut self) -> Vec<f64> {
        self.solver.solve().unwrap();
        self.link
            .iter()
            .map(|(link, sign)| sign * self.solver.flow_m3_s(*link))
            .collect()
    }
}

fn either_way(element: &Element) -> bool {
    !matches!(element, Element::Check { .. } | Element::Pump(_))
}

fn loss() -> impl Strategy<Value = LossCoefficient> {
    (0.05..10.0_f64, prop_oneof![Just(0.0), 0.0..1000.0_f64])
        .prop_map(|(turbulent, laminar)| LossCoefficient { turbulent, laminar })
}

fn passage() -> impl Strategy<Value = Passage> {
    (3e-3..3e-2_f64, loss()).prop_map(|(bore_m, loss)| Passage { bore_m, loss })
}

fn tube() -> impl Strategy<Value = Line> {
    (
        3e-3..3e-2_f64,
        0.05..20.0_f64,
        prop_oneof![Just(0.0), 0.0..0.05_f64],
        loss(),
    )
        .prop_map(|(bore_m, length_m, relative, loss)| Line {
            bore_m,
            length_m,
            roughness_m: relative * bore_m,
            loss,
        })
}

fn pump() -> impl Strategy<Value = Pump> {
    (0.5..10.0_f64, 5e-5..1e-3_f64, 0.6..0.95_f64).prop_map(|(head, flow, bend)| {
        let point = |share: f64, left: f64| PumpPoint {
            flow_m3_s: share * flow,
            head_m: left * head,
        };
        Pump {
            curve: PumpCurve::through(&[point(0.0, 1.0), point(0.5, bend), point(1.0, 0.2)]).unwrap(),
            standing_loss_s2_m5: head / (flow * flow),
        }
    })
}

fn element() -> impl Strategy<Value = Element> {
    prop_oneof![
        5 => tube().prop_map(Element::Line),
        2 => passage().prop_map(Element::Valve),
        1 => passage().prop_map(Element::Passage),
        1 => (passage(), prop_oneof![Just(0.0), 0.01..0.5_f64])
            .prop_map(|(passage, cracking_head_m)| Element::Check { passage, cracking_head_m }),
        1 => pump().prop_map(Element::Pump),
    ]
}

fn place() -> impl Strategy<Value = Place> {
    let terminal = prop_oneof![
        2 => Just(None),
        1 => (0.0..1.5_f64, prop::bool::weighted(0.8))
            .prop_map(|(level_m, supplies)| Some((if supplies { level_m } else { 0.0 }, supplies))),
    ];
    (-0.5..2.0_f64, terminal).prop_map(|(elevation_m, terminal)| Place {
        elevation_m,
        terminal,
    })
}

/// Three to twelve nodes, all joined, and up to eight links more.
fn plan() -> impl Strategy<Value = Plan> {
    let join = || {
        (
            any::<Index>(),
            any::<Index>(),
            element(),
            any::<bool>(),
            prop::sample::select(vec![0.0, 0.7, 1.0]),
        )
    };
    (
        prop::collection::vec(place(), 3..12),
        prop::collection::vec(join(), 11),
        prop::collection::vec(join(), 0..8),
        prop_oneof![Just(0.0), 0.0..40.0_f64],
    )
        .prop_map(|(mut nodes, tree, more, salinity)| {
            nodes[0].terminal = Some((1.0, true));
            let count = nodes.len();
            let mut links = Vec::new();
            for (at, (a, b, element, open, speed)) in tree.into_iter().take(count - 1).chain(more).enumerate()
            {
                let (from, to) = if at + 1 < count {
                    let (low, high) = (a.index(at + 1), at + 1);
                    if b.index(2) == 0 { (low, high) } else { (high, low) }
                } else {
                    let from = a.index(count);
                    (from, (from + 1 + b.index(count - 1)) % count)
                };
                links.push(Join {
                    from,
                    to,
                    element,
                    open,
                    speed,
                });
            }
            Plan {
                nodes,
                links,
                water: LineWater::of_salinity(salinity, 22.0).unwrap(),
            }
        })
}

fn script(plan: Plan) -> impl Strategy<Value = (Plan, Script)> {
    let (nodes, links) = (plan.nodes.len(), plan.links.len());
    (
        Just((0..nodes).collect::<Vec<_>>()).prop_shuffle(),
        Just((0..links).collect::<Vec<_>>()).prop_shuffle(),
        prop::collection::vec(any::<bool>(), links),
    )
        .prop_map(move |(nodes, links, flipped)| {
            (
                plan.clone(),
                Script {
                    nodes,
                    links,
                    flipped,
                },
            )
        })
}

fn same(plan: &Plan, found: &[f64], expected: &[f64]) -> Result<(), TestCaseError> {
    let still = if plan.resists_everywhere() { 1e-10 } else { 1e-7 };
    let largest = expected.iter().fold(0.0_f64, |most, flow| most.max(flow.abs()));
    for (link, (a, b)) in found.iter().zip(expected).enumerate() {
        prop_assert!(
            (a - b).abs() <= 1e-7 * largest + still,
            "link {} carries {} and {}",
            link,
            a,
            b
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_500, ..ProptestConfig::default() })]

    #[test]
    fn it_does_not_matter_how_a_network_is_written_down((plan, script) in plan().prop_flat_map(script)) {
        let (mut one, mut other) = (write(&plan, &Script::plain(&plan)), write(&plan, &script));
        let expected = one.solved();
        same(&plan, &other.solved(), &expected)?;
        for (a, b) in one.node.iter().zip(&other.node) {
            // Where a part is joined to the rest by nothing but a one-way link that carries nothing, rounding decides whether
            // its pressure is told or isn't; what is told must be the same. 10 mPa: a micrometre of water.
            if let (Some(a), Some(b)) = (one.solver.gauge_pressure_pa(*a), other.solver.gauge_pressure_pa(*b)) {
                prop_assert!((a - b).abs() < 0.01, "{} {}", a, b);
            }
        }
        for (join, flow) in plan.links.iter().zip(&expected) {
            match join.element {
                Element::Valve(_) if !join.open => prop_assert_eq!(*flow, 0.0),
                Element::Check { .. } => prop_assert!(*flow >= 0.0),
                _ => {}
            }
        }
    }

    #[test]
    fn every_start_leads_to_the_same_answer(plan in plan(), starts in prop::collection::vec(-1.0..1.0_f64, 20), power in 0..8_i32) {
        let mut written = write(&plan, &Script::plain(&plan));
        let expected = written.solved();
        let scale = libm::exp10(f64::from(-power));
        let starts: Vec<f64> = starts.iter().cycle().take(plan.links.len()).map(|start| scale * start).collect();
        written.solver.start_from(&starts).unwrap();
        same(&plan, &written.solved(), &expected)?;
        written.solver.start_from(&vec![0.0; plan.links.len()]).unwrap();
        same(&plan, &written.solved(), &expected)?;
    }

    #[test]
    fn warm_and_cold_answers_are_the_same(plan in plan(), turns in prop::collection::vec(any::<(bool, Index)>(), 1..6)) {
        let mut plan = plan;
        let mut warm = write(&plan, &Script::plain(&plan));
        warm.solved();
        for (open, which) in turns {
            let at = which.index(plan.links.len());
            plan.links[at].open = open;
            plan.links[at].speed = if open { 1.0 } else { 0.0 };
            warm.set_positions(&plan);
            let found = warm.solved();
            same(&plan, &found, &write(&plan, &Script::plain(&plan)).solved())?;
            // And asked again, it says the same.
            same(&plan, &warm.solved(), &found)?;
        }
    }

    #[test]
    fn a_line_cut_in_two_is_the_same_line(plan in plan(), share in 0.01..0.99_f64, height in -1.0..2.0_f64) {
        let expected = write(&plan, &Script::plain(&plan)).solved();
        let mut cut = plan.clone();
        for at in 0..plan.links.len() {
            let Element::Line(line) = plan.links[at].element else {
                continue;
            };
            // Where it runs in between doesn't matter, nor where its fittings sit.
            cut.nodes.push(Place { elevation_m: height, terminal: None });
            let middle = cut.nodes.len() - 1;
            let part = |share: f64| Element::Line(Line {
                length_m: share * line.length_m,
                loss: LossCoefficient { turbulent: share * line.loss.turbulent, laminar: share * line.loss.laminar },
                ..line
            });
            let rest = Join { from: middle, element: part(1.0 - share), ..plan.links[at].clone() };
            cut.links[at].to = middle;
            cut.links[at].element = part(share);
            cut.links.push(rest);
        }
        let found = write(&cut, &Script::plain(&cut)).solved();
        same(&plan, &found[..plan.links.len()], &expected)?;
    }

    /// Two copies of a network that share some of its nodes carry the same.
    #[test]
    fn mirrored_halves_carry_the_same(plan in plan(), shared in any::<Index>()) {
        let shared = 1 + shared.index(plan.nodes.len() - 1);
        let mut both = plan.clone();
        let mirrored = |node: usize| if node < shared { node } else { plan.nodes.len() + node - shared };
        both.nodes.extend_from_slice(&plan.nodes[shared..]);
        both.links.extend(plan.links.iter().map(|join| Join {
            from: mirrored(join.from),
            to: mirrored(join.to),
            ..join.clone()
        }));
        let flows = write(&both, &Script::plain(&both)).solved();
        let (left, right) = flows.split_at(plan.links.len());
        same(&plan, left, right)?;
    }

    /// Every link beside another like it: between the same terminals everything flows twice, pressures stay. What holds
    /// for a single line holds for all of a network.
    #[test]
    fn everything_in_parallel_doubles_the_flow(plan in plan()) {
        let mut single = write(&plan, &Script::plain(&plan));
        let expected = single.solved();
        let mut double = plan.clone();
        double.links.extend(plan.links.iter().cloned());
        let flows = write(&double, &Script::plain(&double)).solved();
        let (left, right) = flows.split_at(plan.links.len());
        same(&plan, left, &expected)?;
        same(&plan, right, &expected)?;
    }

    /// Losses by the square of the flow: four times the head, twice the flow.
    #[test]
    fn four_times_the_head_doubles_a_quadratic_flow(plan in plan()) {
        let mut plan = plan;
        for place in &mut plan.nodes {
            place.elevation_m = 0.0;
        }
        for join in &mut plan.links {
            let (bore_m, loss) = match join.element {
                Element::Line(line) => (line.bore_m, line.loss),
                Element::Valve(own) | Element::Passage(own) | Element::Check { passage: own, .. } => (own.bore_m, own.loss),
                _ => (0.01, LossCoefficient::constant(1.0)),
            };
            join.element = Element::Passage(Passage { bore_m, loss: LossCoefficient::constant(loss.turbulent) });
        }
        let once = write(&plan, &Script::plain(&plan)).solved();
        for place in &mut plan.nodes {
            if let Some((level_m, _)) = &mut place.terminal {
                *level_m *= 4.0;
            }
        }
        let twice: Vec<f64> = write(&plan, &Script::plain(&plan)).solved().iter().map(|flow| 0.5 * flow).collect();
        same(&plan, &twice, &once)?;
    }

    /// Heads are heights of the water itself: at the same levels and viscosity a denser one flows the same.
    #[test]
    fn denser_water_of_the_same_viscosity_flows_the_same(plan in plan(), density in 950.0..1250.0_f64) {
        let expected = write(&plan, &Script::plain(&plan)).solved();
        let mut denser = plan.clone();
        denser.water = LineWater::new(density, plan.water.kinematic_viscosity_m2_s()).unwrap();
        same(&plan, &write(&denser, &Script::plain(&denser)).solved(), &expected)?;
    }

    /// A vessel that stands higher gives no less, and the others take no less from it.
    #[test]
    fn a_higher_level_gives_more(plan in plan(), rise in 0.001..1.0_f64) {
        let out = |plan: &Plan| -> f64 {
            let flows = write(plan, &Script::plain(plan)).solved();
            plan.links.iter().zip(&flows)
                .map(|(join, flow)| if join.from == 0 { *flow } else if join.to == 0 { -flow } else { 0.0 })
                .sum()
        };
        let before = out(&plan);
        let mut higher = plan.clone();
        higher.nodes[0].terminal = Some((1.0 + rise, true));
        let after = out(&higher);
        prop_assert!(after >= before - 1e-7 * before.abs() - 1e-7, "{} {}", before, after);
    }
}
