//! What flows in one position, the slow way: the whole network built anew from what is open, solved cold in one piece,
//! the waters followed.

use physics::hydraulics::friction::ChurchillUntabled;
use physics::hydraulics::network::{Element, Line, LinkId, Network, NodeId, Passage, Pump, Solver};
use physics::hydraulics::parts::{FittingKind, LossCoefficient, ValvePosition};
use physics::hydraulics::{GRAVITY_M_S2, LineWater};
use station::plumbing::End;
use station::{Situation, Station};

use super::mouth::{Mouth, Position, mouths, water_at};

/// Flow that counts as none, m³/s: the rule of the map.
pub(super) const STILL_M3_S: f64 = 1e-9;
/// Times that waters are followed and the network solved again: the rule of the map.
const ROUNDS: usize = 4;

/// What flows.
#[derive(Debug, Clone)]
pub(super) struct Flowing {
    /// From each line's beginning to its end.
    pub(super) lines_m3_s: Vec<f64>,
    /// Salinity and temperature of the water in each line.
    pub(super) waters: Vec<(f64, f64)>,
    pub(super) pumps_m3_s: Vec<f64>,
    /// Head over the room's floor at each line's beginning and end, where that is a tee or a pump and anything tells.
    pub(super) heads_m: Vec<[Option<f64>; 2]>,
    /// Whether the waters stopped changing.
    pub(super) settled: bool,
}

/// What flows in a position at a moment.
///
/// It begins with what usually stands in the lines. Near a balance that decides: lines full of salt water may hold back
/// what lines full of fresh water let run, and both are steady.
pub(super) fn flowing(station: &Station, situation: &Situation, position: &Position) -> Flowing {
    let mouths = mouths(station, situation, position);
    let mut waters: Vec<(f64, f64)> = usual(station)
        .into_iter()
        .map(|vessel| vessel.map_or((0.0, 20.0), |at| water_at(station, situation, End::Vessel(at))))
        .collect();
    let mut all = solved(station, situation, position, &mouths, &waters);
    for _ in 0..ROUNDS {
        let next = followed(station, situation, &all.lines_m3_s, &waters);
        all.settled = same(&next, &waters);
        if all.settled {
            break;
        }
        waters = next;
        all = solved(station, situation, position, &mouths, &waters);
    }
    all.settled = all.settled || same(&followed(station, situation, &all.lines_m3_s, &waters), &waters);
    all
}

fn same(one: &[(f64, f64)], other: &[(f64, f64)]) -> bool {
    one.iter()
        .zip(other)
        .all(|(a, b)| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6)
}

/// The vessel that each line is fewest lines away from, the first of several: whose water stands in it.
fn usual(station: &Station) -> Vec<Option<usize>> {
    let lines = &station.plumbing.lines;
    let touch = |one: usize, other: usize| {
        [lines[one].from, lines[one].to].into_iter().any(|end| {
            matches!(end, End::Tee(_) | End::Pump(_)) && [lines[other].from, lines[other].to].contains(&end)
        })
    };
    (0..lines.len())
        .map(|line| {
            // Rings of lines around this one, until a ring touches a vessel.
            let mut ring = vec![line];
            let mut seen = ring.clone();
            loop {
                let found = ring.iter().filter_map(|own| {
                    [lines[*own].from, lines[*own].to]
                        .into_iter()
                        .find_map(|end| match end {
                            End::Vessel(at) => Some(at),
                            _ => None,
                        })
                });
                if let Some(at) = found.min() {
                    return Some(at);
                }
                let next: Vec<usize> = (0..lines.len())
                    .filter(|own| !seen.contains(own) && ring.iter().any(|near| touch(*near, *own)))
                    .collect();
                if next.is_empty() {
                    return None;
                }
                seen.extend(&next);
                ring = next;
            }
        })
        .collect()
}

/// The water of each line that flows, from where it comes from; of the others what stands in them.
fn followed(
    station: &Station,
    situation: &Situation,
    flows_m3_s: &[f64],
    standing: &[(f64, f64)],
) -> Vec<(f64, f64)> {
    let lines = &station.plumbing.lines;
    let runs = |line: usize| flows_m3_s[line].abs() > STILL_M3_S;
    let beginning = |line: usize| match flows_m3_s[line] > 0.0 {
        true => (lines[line].from, lines[line].to),
        false => (lines[line].to, lines[line].from),
    };
    let mut waters = standing.to_vec();
    // Turn by turn each line takes the mixture of what comes to its beginning, until all have what the sources send them.
    for _ in 0..20_000 {
        let mut change: f64 = 0.0;
        for line in (0..lines.len()).filter(|line| runs(*line)) {
            let (source, _) = beginning(line);
            let water = match source {
                End::Vessel(_) | End::Tank(_) => water_at(station, situation, source),
                End::Draw(_) => standing[line],
                End::Tee(_) | End::Pump(_) => {
                    let brings = |other: &usize| runs(*other) && beginning(*other).1 == source;
                    let (mut sum, mut salinity, mut temperature) = (0.0, 0.0, 0.0);
                    for other in (0..lines.len()).filter(brings) {
                        let share = flows_m3_s[other].abs();
                        sum += share;
                        salinity += share * waters[other].0;
                        temperature += share * waters[other].1;
                    }
                    if sum > 0.0 {
                        (salinity / sum, temperature / sum)
                    } else {
                        standing[line]
                    }
                }
            };
            change = change
                .max((water.0 - waters[line].0).abs())
                .max((water.1 - waters[line].1).abs());
            waters[line] = water;
        }
        if change < 1e-10 {
            break;
        }
    }
    waters
}

/// Builds and solves.
fn solved(
    station: &Station,
    situation: &Situation,
    position: &Position,
    mouths: &[Mouth],
    waters: &[(f64, f64)],
) -> Flowing {
    let mut network = Network::new();
    let tees: Vec<(NodeId, f64)> = station
        .tees
        .iter()
        .map(|tee| {
            let height_m = tee.fields.height.value.m();
            (network.junction(height_m).unwrap(), height_m)
        })
        .collect();
    let mut pumps = Vec::new();
    for pump in &station.pumps {
        let height_m = pump.fields.height.value.m();
        let (inlet, outlet) = (
            network.junction(height_m).unwrap(),
            network.junction(height_m).unwrap(),
        );
        let curve = pump.fields.curve.value.curve.clone();
        let most = curve.largest_flow_m3_s();
        let standing_loss_s2_m5 = curve.shut_off_head_m() / (most * most);
        let element = Element::Pump(Pump {
            curve,
            standing_loss_s2_m5,
        });
        pumps.push((
            network.link(inlet, outlet, element).unwrap(),
            inlet,
            outlet,
            height_m,
        ));
    }
    let mut terminals: Vec<(NodeId, Mouth)> = Vec::new();
    let mut links: Vec<Vec<LinkId>> = Vec::new();
    let mut ends: Vec<[Option<(NodeId, f64)>; 2]> = Vec::new();
    for line in 0..station.lines.len() {
        if !position.is_open(station, line) {
            links.push(Vec::new());
            ends.push([None, None]);
            continue;
        }
        let joined = station.plumbing.lines[line];
        let mut inner = [None, None];
        let mut nodes = [NodeId(0); 2];
        for (side, end) in [joined.from, joined.to].into_iter().enumerate() {
            let (node, height_m) = match end {
                End::Tee(at) => tees[at],
                End::Pump(at) if side == 0 => (pumps[at].2, pumps[at].3),
                End::Pump(at) => (pumps[at].1, pumps[at].3),
                End::Vessel(_) | End::Tank(_) | End::Draw(_) => {
                    let own = mouths
                        .iter()
                        .find(|own| own.line == line && own.is_last == (side == 1));
                    let own = *own.unwrap();
                    let node = network.terminal(own.height_m).unwrap();
                    terminals.push((node, own));
                    nodes[side] = node;
                    continue;
                }
            };
            nodes[side] = node;
            inner[side] = Some((node, height_m));
        }
        links.push(add(&mut network, station, line, nodes));
        ends.push(inner);
    }
    // Tees and pumps stay places of their own however few lines are open: the solver takes links in series for one line
    // with one water.
    let ports = pumps
        .iter()
        .flat_map(|(_, inlet, outlet, height_m)| [(*inlet, *height_m), (*outlet, *height_m)]);
    for (node, height_m) in tees.iter().copied().chain(ports) {
        let stub = Element::Passage(Passage {
            bore_m: 0.01,
            loss: LossCoefficient::NONE,
        });
        for _ in 0..2 {
            let end = network.junction(height_m).unwrap();
            network.link(node, end, stub.clone()).unwrap();
        }
    }
    let mut solver: Solver<ChurchillUntabled> = Solver::new(&network);
    for (node, own) in &terminals {
        let (salinity, temperature) = water_at(station, situation, own.end);
        let density = LineWater::of_salinity(salinity, temperature)
            .unwrap()
            .density_kg_m3();
        let pressure_pa = density * GRAVITY_M_S2 * own.depth_m;
        solver.set_terminal(*node, pressure_pa, own.gives).unwrap();
    }
    for (line, own) in links.iter().enumerate() {
        let water = LineWater::of_salinity(waters[line].0, waters[line].1).unwrap();
        for link in own {
            solver.set_water(*link, water).unwrap();
        }
    }
    for (at, (link, ..)) in pumps.iter().enumerate() {
        let speed = if position.runs[at] {
            station.pumps[at].fields.speed.value.of_one()
        } else {
            0.0
        };
        solver.set_speed(*link, speed).unwrap();
        // It lifts the water that its lines hold.
        let before = station
            .plumbing
            .lines
            .iter()
            .position(|line| line.to == End::Pump(at))
            .unwrap();
        let water = LineWater::of_salinity(waters[before].0, waters[before].1).unwrap();
        solver.set_water(*link, water).unwrap();
    }
    solver.solve().unwrap();
    let head_m = |end: Option<(NodeId, f64)>| {
        let (node, height_m) = end?;
        Some(height_m + solver.gauge_pressure_pa(node)? / (1000.0 * GRAVITY_M_S2))
    };
    Flowing {
        lines_m3_s: links
            .iter()
            .map(|own| own.first().map_or(0.0, |link| solver.flow_m3_s(*link)))
            .collect(),
        waters: waters.to_vec(),
        pumps_m3_s: pumps.iter().map(|(link, ..)| solver.flow_m3_s(*link)).collect(),
        heads_m: ends.into_iter().map(|own| own.map(head_m)).collect(),
        settled: false,
    }
}

/// A line's tube and valves, one after the other.
///
/// Straight tubes without fittings: what is lost beyond friction is lost where they begin and end (Crane TP-410: an
/// entrance flush with the wall, a leg of a tee, one velocity head at an open end).
fn add(network: &mut Network, station: &Station, line: usize, [from, to]: [NodeId; 2]) -> Vec<LinkId> {
    let fields = &station.lines[line].fields;
    let joined = station.plumbing.lines[line];
    let bore_m = joined.bore_m(fields).unwrap();
    let is_open = |end: End| !matches!(end, End::Tee(_) | End::Pump(_));
    let mut loss = LossCoefficient::NONE;
    if is_open(joined.from) {
        loss = loss + FittingKind::FlushEntrance.loss(bore_m).unwrap();
    }
    if is_open(joined.to) {
        loss = loss + FittingKind::Exit.loss(bore_m).unwrap();
    }
    for end in [joined.from, joined.to] {
        if let End::Tee(_) = end {
            let leg = match station.plumbing.lines_at(end).count() {
                0..3 => FittingKind::TeeRunLeg.loss(bore_m).unwrap(),
                _ => {
                    let through = FittingKind::TeeBranch.loss(bore_m).unwrap();
                    LossCoefficient {
                        turbulent: 0.5 * through.turbulent,
                        laminar: 0.5 * through.laminar,
                    }
                }
            };
            loss = loss + leg;
        }
    }
    let mut elements = vec![Element::Line(Line {
        bore_m,
        length_m: fields.length.value.m(),
        roughness_m: joined.tube.unwrap().roughness_m,
        loss,
    })];
    for valve in station.plumbing.valves_of(line) {
        let kind = station.valves[valve].fields.kind.value.kind();
        let ValvePosition::Open(loss) = kind.passage(bore_m, 1.0).unwrap() else {
            panic!("a valve that is shut when it is open");
        };
        let passage = Passage { bore_m, loss };
        elements.push(match kind.cracking() {
            Some(cracking) => Element::Check {
                passage,
                cracking_head_m: cracking.usual_pa / (1000.0 * GRAVITY_M_S2),
            },
            None => Element::Valve(passage),
        });
    }
    // Every valve stands behind the tube, wherever the station has it: in one line the order doesn't matter.
    let mut links = Vec::new();
    let mut here = from;
    let last = elements.len() - 1;
    for (place, element) in elements.into_iter().enumerate() {
        let next = if place == last {
            to
        } else {
            network.junction(0.5).unwrap()
        };
        links.push(network.link(here, next, element).unwrap());
        here = next;
    }
    links
}
