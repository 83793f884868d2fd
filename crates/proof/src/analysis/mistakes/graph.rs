//! Which lines are joined in a position: patterns, each of which is solved once.
//!
//! A vessel holds its own level whatever flows, so two lines that meet only in a vessel don't feel each other. What
//! remains joined through open valves, tees and pumps is a pattern; lines that lead nowhere carry nothing and are left
//! out of it.

use station::Station;
use station::plumbing::End;

use super::blocks::Block;
use super::switches::{Position, Switch, Switches};
use crate::method::Refusal;

/// The most lines that a pattern can name.
pub(super) const MOST_LINES: usize = 128;

/// Lines that are joined and can carry water, and the pumps that run among them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Pattern {
    /// A bit for each line of the station.
    pub(super) lines: u128,
    /// The running pumps among them, as they are in a position.
    pub(super) pumps: Position,
}

impl Pattern {
    pub(super) fn has(&self, line: usize) -> bool {
        self.lines >> line & 1 == 1
    }
}

/// A line or a pump between two junctions; `None` where it ends in the open.
#[derive(Debug, Clone, Copy)]
struct Edge {
    /// Valves that must be open.
    needs: Position,
    ends: [Option<usize>; 2],
    part: Part,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Line(usize),
    /// A pump and its bit.
    Pump(usize, Position),
}

/// The graph of a station.
#[derive(Debug, Clone)]
pub(super) struct Graph {
    edges: Vec<Edge>,
    junctions: usize,
    tees: usize,
}

/// Room to work in.
#[derive(Debug, Clone, Default)]
pub(super) struct Scratch {
    alive: Vec<bool>,
    degree: Vec<u32>,
    root: Vec<usize>,
    slot: Vec<Option<usize>>,
}

impl Graph {
    /// Of a station.
    ///
    /// # Errors
    /// [`Refusal::TooMany`] lines.
    pub(super) fn of(station: &Station, switches: &Switches) -> Result<Self, Refusal> {
        if station.lines.len() > MOST_LINES {
            return Err(Refusal::TooMany {
                what: "lines",
                given: station.lines.len(),
                most: MOST_LINES,
            });
        }
        let tees = station.tees.len();
        let junction = |end: End, begins: bool| match end {
            End::Tee(tee) => Some(tee),
            // A line that begins at a pump leaves its outlet.
            End::Pump(pump) => Some(tees + 2 * pump + usize::from(begins)),
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => None,
        };
        let lines = station.plumbing.lines.iter().enumerate().map(|(at, line)| Edge {
            needs: station
                .plumbing
                .valves_of(at)
                .map(|valve| switches.mask_of(Switch::Valve(valve)))
                .fold(0, |a, b| a | b),
            ends: [junction(line.from, true), junction(line.to, false)],
            part: Part::Line(at),
        });
        let pumps = (0..station.pumps.len()).map(|pump| Edge {
            needs: 0,
            ends: [Some(tees + 2 * pump), Some(tees + 2 * pump + 1)],
            part: Part::Pump(pump, switches.mask_of(Switch::Pump(pump))),
        });
        Ok(Self {
            edges: lines.chain(pumps).collect(),
            junctions: tees + 2 * station.pumps.len(),
            tees,
        })
    }

    /// The patterns of a position, by their first lines; and the running pumps through which no way leads, as bits.
    pub(super) fn patterns(
        &self,
        position: Position,
        scratch: &mut Scratch,
        out: &mut Vec<Pattern>,
    ) -> Position {
        out.clear();
        let Scratch {
            alive,
            degree,
            root,
            slot,
        } = scratch;
        alive.clear();
        degree.clear();
        degree.resize(self.junctions, 0);
        for edge in &self.edges {
            let open = position & edge.needs == edge.needs;
            alive.push(open);
            if open {
                for end in edge.ends.iter().flatten() {
                    degree[*end] += 1;
                }
            }
        }
        self.drop_dead_ends(alive, degree);
        root.clear();
        root.extend(0..self.junctions);
        for (edge, _) in self.edges.iter().zip(alive.iter()).filter(|(_, alive)| **alive) {
            if let [Some(one), Some(other)] = edge.ends {
                let (one, other) = (find(root, one), find(root, other));
                root[one.max(other)] = one.min(other);
            }
        }
        let mut stalled = 0;
        slot.clear();
        slot.resize(self.junctions, None);
        for (edge, alive) in self.edges.iter().zip(alive.iter()) {
            if !alive {
                if let Part::Pump(_, bit) = edge.part {
                    stalled |= position & bit;
                }
                continue;
            }
            let mut add = || {
                out.push(Pattern { lines: 0, pumps: 0 });
                out.len() - 1
            };
            let slot = match edge.ends.iter().flatten().next() {
                Some(end) => *slot[find(root, *end)].get_or_insert_with(add),
                // From the open to the open: alone.
                None => add(),
            };
            match edge.part {
                Part::Line(line) => out[slot].lines |= 1 << line,
                Part::Pump(_, bit) => out[slot].pumps |= position & bit,
            }
        }
        stalled
    }

    /// The valves of some lines.
    pub(super) fn valves_of(&self, lines: u128) -> Position {
        let own = self.edges.iter().filter(|edge| match edge.part {
            Part::Line(line) => lines >> line & 1 == 1,
            Part::Pump(..) => false,
        });
        own.fold(0, |valves, edge| valves | edge.needs)
    }

    /// The parts that are joined where every valve is open, by their first lines.
    pub(super) fn joined_at_most(&self) -> Vec<Block> {
        let mut root: Vec<usize> = (0..self.junctions).collect();
        for edge in &self.edges {
            if let [Some(one), Some(other)] = edge.ends {
                let (one, other) = (find(&mut root, one), find(&mut root, other));
                root[one.max(other)] = one.min(other);
            }
        }
        let mut slot: Vec<Option<usize>> = vec![None; self.junctions];
        let mut all: Vec<Block> = Vec::new();
        for edge in &self.edges {
            let mut add = || {
                all.push(Block { lines: 0, mask: 0 });
                all.len() - 1
            };
            let at = match edge.ends.iter().flatten().next() {
                Some(end) => *slot[find(&mut root, *end)].get_or_insert_with(add),
                None => add(),
            };
            match edge.part {
                Part::Line(line) => {
                    all[at].lines |= 1 << line;
                    all[at].mask |= edge.needs;
                }
                Part::Pump(_, bit) => all[at].mask |= bit,
            }
        }
        all
    }

    /// Simple ways from one open end to another, at most so many: what must be open for each, and the pumps on it.
    pub(super) fn ways(&self, most: usize) -> Vec<WayOfWater> {
        let mut walk = Walk {
            graph: self,
            most,
            passed: vec![false; self.junctions],
            found: Vec::new(),
        };
        for (at, edge) in self.edges.iter().enumerate() {
            match edge.ends {
                [None, None] => walk.found.push(WayOfWater {
                    valves: edge.needs,
                    pumps: 0,
                }),
                [None, Some(next)] | [Some(next), None] => {
                    walk.follow(at, next, edge.needs, 0, at);
                }
                [Some(_), Some(_)] => {}
            }
        }
        walk.found.truncate(most);
        walk.found
    }

    /// Takes away what leads nowhere, until nothing does: there and back by turns, since a run of it may lie either way.
    fn drop_dead_ends(&self, alive: &mut [bool], degree: &mut [u32]) {
        let count = self.edges.len();
        while self.drop(0..count, alive, degree) && self.drop((0..count).rev(), alive, degree) {}
    }

    /// One round of it; whether anything led nowhere.
    fn drop(&self, order: impl Iterator<Item = usize>, alive: &mut [bool], degree: &mut [u32]) -> bool {
        let mut dropped = false;
        for at in order {
            let ends = self.edges[at].ends.iter().flatten();
            if alive[at] && ends.clone().any(|end| degree[*end] == 1) {
                alive[at] = false;
                dropped = true;
                for end in ends {
                    degree[*end] -= 1;
                }
            }
        }
        dropped
    }

    /// The lines from which water can reach a pump's inlet in a position without passing that pump.
    pub(super) fn suction_of(&self, pump: usize, position: Position) -> u128 {
        self.reached_from(self.tees + 2 * pump, pump, position)
    }

    /// The lines that water from a pump's outlet can reach in a position without passing that pump.
    pub(super) fn discharge_of(&self, pump: usize, position: Position) -> u128 {
        self.reached_from(self.tees + 2 * pump + 1, pump, position)
    }

    fn reached_from(&self, junction: usize, pump: usize, position: Position) -> u128 {
        let mut lines = 0_u128;
        let mut reached = vec![false; self.junctions];
        reached[junction] = true;
        loop {
            let mut changed = false;
            for edge in &self.edges {
                if edge.part_is_pump(pump) || position & edge.needs != edge.needs {
                    continue;
                }
                if !edge.ends.iter().flatten().any(|end| reached[*end]) {
                    continue;
                }
                for end in edge.ends.iter().flatten() {
                    changed |= !core::mem::replace(&mut reached[*end], true);
                }
                if let Part::Line(line) = edge.part {
                    changed |= lines >> line & 1 == 0;
                    lines |= 1 << line;
                }
            }
            if !changed {
                return lines;
            }
        }
    }
}

/// What must be open for a way of water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct WayOfWater {
    pub(super) valves: Position,
    pub(super) pumps: Position,
}

struct Walk<'g> {
    graph: &'g Graph,
    most: usize,
    passed: Vec<bool>,
    found: Vec<WayOfWater>,
}

impl Walk<'_> {
    /// Goes on from a junction. Each way is found from both its ends; it is kept from the lower.
    fn follow(&mut self, first: usize, junction: usize, valves: Position, pumps: Position, came: usize) {
        if self.found.len() >= self.most || core::mem::replace(&mut self.passed[junction], true) {
            return;
        }
        for (at, edge) in self.graph.edges.iter().enumerate() {
            if at == came || !edge.ends.contains(&Some(junction)) {
                continue;
            }
            let valves = valves | edge.needs;
            let pumps = match edge.part {
                Part::Pump(_, bit) => pumps | bit,
                Part::Line(_) => pumps,
            };
            match edge.ends {
                [Some(one), Some(other)] => {
                    let next = if one == junction { other } else { one };
                    if !self.passed[next] {
                        self.follow(first, next, valves, pumps, at);
                    }
                }
                _ if at > first => self.found.push(WayOfWater { valves, pumps }),
                _ => {}
            }
        }
        self.passed[junction] = false;
    }
}

impl Edge {
    fn part_is_pump(&self, pump: usize) -> bool {
        matches!(self.part, Part::Pump(own, _) if own == pump)
    }
}

fn find(root: &mut [usize], of: usize) -> usize {
    let mut at = of;
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}
