//! What the schematic shows, as nodes and the pieces of pipe between them: each valve is a node of its own.

use station::control::Mark;
use station::plumbing::End;
use station::register::{Field, Place};
use station::sections::{Valve, Water};
use station::tags::{level_switch, valve_letters};
use station::{Station, shown, spoken};

use super::purifier;
use super::tags::{Tags, tag};

/// What a node is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Feed,
    Filter,
    Membrane,
    Bed,
    Restrictor,
    Drain,
    Vessel(Water),
    Tank(Water),
    Pump,
    Draw,
    Joint,
    Valve(Valve),
    Vent,
}

impl Kind {
    /// Whether lines come to it from above and leave it at its side: what stands upright and holds water.
    pub(super) fn holds(self) -> bool {
        matches!(self, Self::Vessel(_) | Self::Tank(_))
    }
}

/// One thing on the schematic.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) kind: Kind,
    /// Path in the station file.
    pub(super) path: String,
    /// Its name or its tag.
    pub(super) label: String,
    /// Level switches, from above downwards, with their paths.
    pub(super) levels: Vec<(String, String)>,
    /// The cell that the file gives it.
    pub(super) place: Option<Place>,
    /// What of the station's ends it is.
    pub(super) end: Option<End>,
    /// Path of a hole in the line right behind it, that breaks a siphon.
    pub(super) hole: Option<String>,
    /// Which of the station's valves, or of its pumps.
    pub(super) at: Option<usize>,
}

/// A piece of pipe from one node to the next.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) path: String,
    /// Which of the station's lines it is a piece of.
    pub(super) line: Option<usize>,
    /// Whether it ends below the water.
    pub(super) drowned: bool,
    /// Whether it begins below the water of a tank.
    pub(super) dips: bool,
    /// Whether it is what a membrane rejects.
    pub(super) reject: bool,
    /// Whether it leaves a tee at a right angle.
    pub(super) branch: bool,
}

/// All of them.
#[derive(Debug, Clone, Default)]
pub(super) struct Graph {
    pub(super) nodes: Vec<Node>,
    pub(super) edges: Vec<Edge>,
}

/// A tank below this practical salinity is shown as fresh water (house rule).
const FRESH: f64 = 0.5;
/// Pieces that meet in one joint at the most.
const MOST_AT_A_JOINT: usize = 4;

impl Graph {
    pub(super) fn add(&mut self, kind: Kind, path: impl Into<String>, label: impl Into<String>) -> usize {
        self.nodes.push(Node {
            kind,
            path: path.into(),
            label: label.into(),
            levels: Vec::new(),
            place: None,
            end: None,
            hole: None,
            at: None,
        });
        self.nodes.len() - 1
    }

    pub(super) fn join(&mut self, from: usize, to: usize, path: &str) -> &mut Edge {
        self.edges.push(Edge {
            from,
            to,
            path: path.to_owned(),
            line: None,
            drowned: false,
            dips: false,
            reject: false,
            branch: false,
        });
        let last = self.edges.len() - 1;
        &mut self.edges[last]
    }

    /// Pieces that end at a node, and those that begin there.
    pub(super) fn into(&self, node: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.edges.len()).filter(move |edge| self.edges[*edge].to == node)
    }

    pub(super) fn out_of(&self, node: usize) -> impl Iterator<Item = usize> + '_ {
        (0..self.edges.len()).filter(move |edge| self.edges[*edge].from == node)
    }
}

/// The station as a graph.
pub(super) fn graph(station: &Station, tags: Tags) -> Graph {
    let mut graph = Graph::default();
    let vessels: Vec<usize> = (0..station.vessels.len())
        .map(|at| vessel(&mut graph, station, at, tags))
        .collect();
    purifier::add(&mut graph, station, &vessels, tags);
    let place_of = |field: &Option<Field<Place>>| field.as_ref().map(|field| field.value);
    let mut ends: Vec<(End, usize)> = vessels
        .iter()
        .enumerate()
        .map(|(at, node)| (End::Vessel(at), *node))
        .collect();
    for (at, tank) in station.tanks.iter().enumerate() {
        // A tank that no line leads to is carried to by hand, or not at all.
        if station.plumbing.lines_at(End::Tank(at)).next().is_some() {
            let name = shown(&tank.name);
            let water = match tank.fields.salinity.value.practical() < FRESH {
                true => Water::Fresh,
                false => Water::Salt,
            };
            let node = graph.add(
                Kind::Tank(water),
                format!("tanks.{}", tank.name),
                tag(tags, &name, "TK", station.vessels.len() + at),
            );
            graph.nodes[node].place = place_of(&tank.fields.place);
            ends.push((End::Tank(at), node));
        }
    }
    for (at, pump) in station.pumps.iter().enumerate() {
        let path = format!("pumps.{}", pump.name);
        let node = graph.add(Kind::Pump, path, tag(tags, &spoken(&pump.name), "P", at));
        graph.nodes[node].place = place_of(&pump.fields.place);
        graph.nodes[node].at = Some(at);
        ends.push((End::Pump(at), node));
    }
    for (at, tee) in station.tees.iter().enumerate() {
        // Joints have no tags in ISA-5.1: with tags they stay bare.
        let label = match tags {
            Tags::Owner => spoken(&tee.name),
            Tags::Isa => String::new(),
        };
        let node = graph.add(Kind::Joint, format!("tees.{}", tee.name), label);
        graph.nodes[node].place = place_of(&tee.fields.place);
        ends.push((End::Tee(at), node));
    }
    for (at, draw) in station.draw_points.iter().enumerate() {
        let path = format!("draw_points.{}", draw.name);
        let node = graph.add(Kind::Draw, path, tag(tags, &spoken(&draw.name), "D", at));
        graph.nodes[node].place = place_of(&draw.fields.place);
        ends.push((End::Draw(at), node));
    }
    for (end, node) in &ends {
        graph.nodes[*node].end = Some(*end);
    }
    for at in 0..station.plumbing.lines.len() {
        line(&mut graph, station, at, &ends, tags);
    }
    split_joints(&mut graph);
    graph
}

fn vessel(graph: &mut Graph, station: &Station, at: usize, tags: Tags) -> usize {
    let vessel = &station.vessels[at];
    let path = format!("vessels.{}", vessel.name);
    let label = tag(tags, &shown(&vessel.name), "TK", at);
    let node = graph.add(Kind::Vessel(vessel.fields.holds.value), path.clone(), label);
    graph.nodes[node].place = vessel.fields.place.as_ref().map(|field| field.value);
    if tags == Tags::Isa {
        let fields = &vessel.fields;
        graph.nodes[node].levels = [
            (Mark::Backup, "backup_level", fields.backup_level.is_some()),
            (Mark::Stop, "stop_level", fields.stop_level.is_some()),
            (Mark::Start, "start_level", fields.start_level.is_some()),
            (
                Mark::LowCutout,
                "low_cutout_level",
                fields.low_cutout_level.is_some(),
            ),
        ]
        .into_iter()
        .filter(|(.., given)| *given)
        .map(|(mark, key, _)| (level_switch(at, mark), format!("{path}.{key}")))
        .collect();
    }
    node
}

/// A line from end to end: its valves in their order, then the hole that breaks its siphon.
fn line(graph: &mut Graph, station: &Station, at: usize, ends: &[(End, usize)], tags: Tags) {
    let joined = &station.plumbing.lines[at];
    let line = &station.lines[at];
    let node_of = |end: End| ends.iter().find(|(own, _)| *own == end).map(|(_, node)| *node);
    let (Some(from), Some(to)) = (node_of(joined.from), node_of(joined.to)) else {
        return;
    };
    let path = format!("lines.{}", line.name);
    let mut way = vec![from];
    for valve in station.plumbing.valves_of(at) {
        let own = &station.valves[valve];
        let kind = own.fields.kind.value;
        let node = graph.add(
            Kind::Valve(kind),
            format!("valves.{}", own.name),
            tag(tags, &spoken(&own.name), valve_letters(kind), valve),
        );
        graph.nodes[node].at = Some(valve);
        way.push(node);
    }
    if line.fields.siphon_break.is_some() {
        let hole = format!("{path}.siphon_break");
        match way.last() {
            Some(valve) if way.len() > 1 => graph.nodes[*valve].hole = Some(hole),
            _ => way.push(graph.add(Kind::Vent, hole, "")),
        }
    }
    way.push(to);
    let is_branch = |end: End| match end {
        End::Tee(tee) => {
            let branch = station.tees[tee].fields.branch.as_ref();
            branch.is_some_and(|branch| branch.value.trim() == line.name)
        }
        _ => false,
    };
    let pieces = way.len() - 1;
    for (piece, pair) in way.windows(2).enumerate() {
        let (first, last) = (piece == 0, piece + 1 == pieces);
        let edge = graph.join(pair[0], pair[1], &path);
        edge.line = Some(at);
        edge.drowned = last && (line.fields.to_level.is_some() || under_water(station, at, joined.to));
        edge.dips = first && under_water(station, at, joined.from);
        edge.branch = first && is_branch(joined.from) || last && is_branch(joined.to);
    }
}

/// Whether an end of a line lies below the water of its tank; without a height of its own it lies at the water.
fn under_water(station: &Station, line: usize, end: End) -> bool {
    let End::Tank(tank) = end else { return false };
    let own = &station.lines[line].fields.tank_height;
    let water = &station.tanks[tank].fields.water_height;
    match (own, water) {
        (Some(own), Some(water)) => own.value.m() < water.value.m(),
        _ => false,
    }
}

/// A joint of more than four pieces becomes a row of joints.
fn split_joints(graph: &mut Graph) {
    for node in 0..graph.nodes.len() {
        if graph.nodes[node].kind != Kind::Joint {
            continue;
        }
        let mut own: Vec<(usize, bool)> = (0..graph.edges.len())
            .flat_map(|edge| [(edge, false), (edge, true)])
            .filter(|(edge, end)| match end {
                false => graph.edges[*edge].from == node,
                true => graph.edges[*edge].to == node,
            })
            .collect();
        if own.len() <= MOST_AT_A_JOINT {
            continue;
        }
        // What comes stays at the first, what goes on is spread behind it.
        own.sort_by_key(|(edge, end)| (!end, *edge));
        let path = graph.nodes[node].path.clone();
        let mut here = node;
        let mut free = MOST_AT_A_JOINT - 1;
        let count = own.len();
        for (done, (edge, end)) in own.into_iter().enumerate() {
            // The last joint has no other behind it.
            if free == 0 && done + 1 < count {
                let next = graph.add(Kind::Joint, path.clone(), "");
                graph.join(here, next, &path);
                here = next;
                free = MOST_AT_A_JOINT - 2;
            }
            free = free.saturating_sub(1);
            match end {
                false => graph.edges[edge].from = here,
                true => graph.edges[edge].to = here,
            }
        }
    }
}
