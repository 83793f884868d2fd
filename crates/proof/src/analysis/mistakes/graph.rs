//! Which lines are joined in a position: patterns, each of which is solved once.
//!
//! A vessel holds its own level whatever flows, so two lines that meet only in a vessel don't feel each other. What
//! remains joined through open valves, tees and pumps is a pattern; lines that lead nowhere carry nothing and are left
//! out of it.

use station::Station;
use station::plumbing::End;

use super::blocks::Block;
use super::outcome::lines_of;
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
    /// By line the valves that must be open.
    needs: Vec<Position>,
    /// By pump its bit.
    pumps: Vec<Position>,
    /// By junction what meets in it.
    around: Vec<Meeting>,
    junctions: usize,
    tees: usize,
}

/// Some lines and pumps: a bit for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Parts {
    lines: u128,
    pumps: u64,
}

/// What meets in a junction.
#[derive(Debug, Clone, Copy, Default)]
struct Meeting {
    parts: Parts,
    /// Those lines that end where they begin.
    rings: u128,
}

impl Parts {
    fn and(self, other: Self) -> Self {
        Self {
            lines: self.lines & other.lines,
            pumps: self.pumps & other.pumps,
        }
    }

    fn or(self, other: Self) -> Self {
        Self {
            lines: self.lines | other.lines,
            pumps: self.pumps | other.pumps,
        }
    }

    fn without(self, other: Self) -> Self {
        Self {
            lines: self.lines & !other.lines,
            pumps: self.pumps & !other.pumps,
        }
    }

    fn is_empty(self) -> bool {
        self.lines == 0 && self.pumps == 0
    }

    fn is_one(self) -> bool {
        let lines = self.lines & self.lines.wrapping_sub(1) == 0;
        let pumps = self.pumps & self.pumps.wrapping_sub(1) == 0;
        lines && pumps && (self.lines == 0) != (self.pumps == 0)
    }
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
        let junctions = tees + 2 * station.pumps.len();
        let mut graph = Self {
            edges: lines.chain(pumps).collect(),
            needs: Vec::new(),
            pumps: Vec::new(),
            around: vec![Meeting::default(); junctions],
            junctions,
            tees,
        };
        for edge in &graph.edges {
            let parts = match edge.part {
                Part::Line(line) => {
                    graph.needs.push(edge.needs);
                    Parts {
                        lines: 1 << line,
                        pumps: 0,
                    }
                }
                Part::Pump(pump, bit) => {
                    graph.pumps.push(bit);
                    Parts {
                        lines: 0,
                        pumps: 1 << pump,
                    }
                }
            };
            for end in edge.ends.iter().flatten() {
                let meeting = &mut graph.around[*end];
                // Seen from its other end already.
                meeting.rings |= meeting.parts.and(parts).lines;
                meeting.parts = meeting.parts.or(parts);
            }
        }
        Ok(graph)
    }

    /// The patterns of a position, by their first lines; and the running pumps through which no way leads, as bits.
    pub(super) fn patterns(&self, position: Position, out: &mut Vec<Pattern>) -> Position {
        out.clear();
        let all = self.open(position);
        let alive = self.without_dead_ends(all);
        let mut left = alive;
        while !left.is_empty() {
            let joined = self.joined(first_of(left), alive);
            left = left.without(joined);
            out.push(Pattern {
                lines: joined.lines,
                pumps: position & self.bits_of(joined.pumps),
            });
        }
        position & self.bits_of(all.without(alive).pumps)
    }

    /// The lines that are open in a position, and all pumps.
    fn open(&self, position: Position) -> Parts {
        let needs = self.needs.iter().enumerate();
        Parts {
            lines: needs.fold(0, |lines, (line, needs)| {
                lines | u128::from(position & needs == *needs) << line
            }),
            pumps: self.pumps.iter().fold(0, |pumps, _| pumps << 1 | 1),
        }
    }

    /// The bits of some pumps.
    fn bits_of(&self, pumps: u64) -> Position {
        let each = self.pumps.iter().enumerate();
        let own = each.filter(|(pump, _)| pumps >> pump & 1 == 1);
        own.fold(0, |bits, (_, bit)| bits | bit)
    }

    /// Takes away what leads nowhere, until nothing does: there and back by turns, since a run of it may lie either way.
    fn without_dead_ends(&self, mut alive: Parts) -> Parts {
        loop {
            let before = alive;
            for around in self.around.iter().chain(self.around.iter().rev()) {
                let own = alive.and(around.parts);
                if own.is_one() && own.lines & around.rings == 0 {
                    alive = alive.without(own);
                }
            }
            if alive == before {
                return alive;
            }
        }
    }

    /// All of some parts that are joined to a few of them.
    fn joined(&self, few: Parts, among: Parts) -> Parts {
        let mut joined = few;
        loop {
            let before = joined;
            for around in &self.around {
                if !joined.and(around.parts).is_empty() {
                    joined = joined.or(among.and(around.parts));
                }
            }
            if joined == before || joined == among {
                return joined;
            }
        }
    }

    /// The valves of some lines.
    pub(super) fn valves_of(&self, lines: u128) -> Position {
        lines_of(lines).fold(0, |valves, line| valves | self.needs[line])
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

    /// The lines from which water can reach a pump's inlet in a position without passing that pump.
    pub(super) fn suction_of(&self, pump: usize, position: Position) -> u128 {
        self.reached_from(self.tees + 2 * pump, pump, position)
    }

    /// The lines that water from a pump's outlet can reach in a position without passing that pump.
    pub(super) fn discharge_of(&self, pump: usize, position: Position) -> u128 {
        self.reached_from(self.tees + 2 * pump + 1, pump, position)
    }

    fn reached_from(&self, junction: usize, pump: usize, position: Position) -> u128 {
        let own = Parts {
            lines: 0,
            pumps: 1 << pump,
        };
        let among = self.open(position).without(own);
        self.joined(among.and(self.around[junction].parts), among).lines
    }
}

/// The first line of some parts; the first pump where there is none.
fn first_of(parts: Parts) -> Parts {
    let pumps = if parts.lines == 0 { parts.pumps } else { 0 };
    Parts {
        lines: parts.lines & parts.lines.wrapping_neg(),
        pumps: pumps & pumps.wrapping_neg(),
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

fn find(root: &mut [usize], of: usize) -> usize {
    let mut at = of;
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}
