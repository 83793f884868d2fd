//! The way of each line through the grid: one after the other, the shortest first, each by the cheapest way that is left
//! (A*; Hart, Nilsson & Raphael 1968, from memory). A bend and a crossing cost as much as some millimetres of way.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::graph::{Graph, Kind};
use super::grid::{Grid, Heading, Point, Port};
use super::lanes::Cells;
use super::ports::{Ports, ports};

/// What a bend and a crossing cost, in hundredths of a millimetre of way (house rule).
const BEND: u64 = 700;
const CROSSING: u64 = 1500;
/// What a track further from the middle of its channel costs, so that lines share tracks where they can.
const ASIDE: u64 = 60;

/// The way of one piece: ports of its ends, and the points where it begins, bends and ends.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub(super) from: Port,
    pub(super) to: Port,
    pub(super) points: Vec<Point>,
}

/// What lies on a point.
#[derive(Debug, Clone, Copy, Default)]
struct Used {
    level: bool,
    upright: bool,
    bend: bool,
    blocked: bool,
    /// Node whose port needs it, one more than its index, and whether that port's line is level.
    kept: [usize; 2],
}

/// A port and the first point outside of it.
type Mouth = (Port, Point);

struct Router<'g> {
    graph: &'g Graph,
    cells: &'g Cells,
    grid: &'g Grid,
    /// Nominal places of the lines of the grid, hundredths of a millimetre.
    x: Vec<u64>,
    y: Vec<u64>,
    used: Vec<Used>,
    /// Of the search: what it costs to come to a point so, and from where one does.
    cost: Vec<u64>,
    before: Vec<usize>,
    /// Sides of joints that are taken.
    taken: Vec<[bool; 4]>,
}

/// The ways of all pieces; nothing where one of them finds none.
pub(super) fn route(
    graph: &Graph,
    cells: &Cells,
    grid: &Grid,
    (x_mm, y_mm): (&[f64], &[f64]),
) -> Option<Vec<Way>> {
    let hundredths = |places: &[f64]| places.iter().map(|mm| (mm * 100.0).round() as u64).collect();
    let mut router = Router {
        graph,
        cells,
        grid,
        x: hundredths(x_mm),
        y: hundredths(y_mm),
        used: vec![Used::default(); grid.width * grid.height],
        cost: vec![0; 4 * grid.width * grid.height],
        before: vec![0; 4 * grid.width * grid.height],
        taken: vec![[false; 4]; graph.nodes.len()],
    };
    router.block();
    let ports = ports(graph, cells);
    router.keep(&ports);
    let mut order: Vec<usize> = (0..graph.edges.len()).collect();
    order.sort_by_key(|edge| (!router.is_straight(*edge), router.distance(*edge, &ports), *edge));
    let mut ways: Vec<Option<Way>> = vec![None; graph.edges.len()];
    for edge in order {
        let way = router.find(edge, &ports[edge])?;
        router.mark(edge, &way);
        ways[edge] = Some(way);
    }
    ways.into_iter().collect()
}

impl Router<'_> {
    fn block(&mut self) {
        for node in 0..self.graph.nodes.len() {
            let (col, row) = (self.cells.col[node], self.cells.row[node]);
            let (top, foot) = (self.grid.row(row), self.grid.row(row + self.cells.span[node] - 1));
            for h in top..=foot {
                for line in 0..self.grid.lines[col] {
                    let at = self.grid.index((self.grid.column(col) + line, h));
                    self.used[at].blocked = true;
                }
            }
        }
    }

    /// Keeps the way out of each port: to the end of its channel, or to its middle where another port lies opposite.
    fn keep(&mut self, ports: &[Ports]) {
        for (edge, own) in ports.iter().enumerate() {
            let piece = &self.graph.edges[edge];
            for (node, ports) in [(piece.from, &own[0]), (piece.to, &own[1])] {
                for port in ports {
                    self.keep_port(node, *port);
                }
            }
        }
    }

    fn keep_port(&mut self, node: usize, port: Port) {
        let count = match port.side.is_level() {
            true => self.grid.upright,
            false => self.grid.level,
        };
        let kind = usize::from(port.side.is_level());
        let mut point = self.grid.outside(self.cells, node, port);
        for step in 0..count {
            let at = self.grid.index(point);
            let kept = self.used[at].kept[kind];
            // Beyond the middle the opposite port comes first.
            if kept == 0 || 2 * step < count {
                self.used[at].kept[kind] = node + 1;
            }
            match self.grid.next(point, port.side) {
                Some(next) => point = next,
                None => break,
            }
        }
    }

    /// Whether a piece goes straight on along its row, with nothing between.
    fn is_straight(&self, edge: usize) -> bool {
        let piece = &self.graph.edges[edge];
        let (from, to) = (piece.from, piece.to);
        let row = self.cells.row[from] + self.cells.side[edge];
        let holds = |node: usize| self.graph.nodes[node].kind.holds();
        if holds(to)
            || piece.reject
            || row != self.cells.row[to]
            || self.cells.col[from] >= self.cells.col[to]
        {
            return false;
        }
        (self.cells.col[from] + 1..self.cells.col[to])
            .all(|col| !self.used[self.grid.index((self.grid.column(col), self.grid.row(row)))].blocked)
    }

    fn distance(&self, edge: usize, ports: &[Ports]) -> u64 {
        let piece = &self.graph.edges[edge];
        let place = |node: usize, ports: &[Port]| {
            ports
                .first()
                .map_or((0, 0), |port| self.grid.outside(self.cells, node, *port))
        };
        let (from, to) = (
            place(piece.from, &ports[edge][0]),
            place(piece.to, &ports[edge][1]),
        );
        self.apart(from, to)
    }

    fn apart(&self, from: Point, to: Point) -> u64 {
        self.x[from.0].abs_diff(self.x[to.0]) + self.y[from.1].abs_diff(self.y[to.1])
    }

    fn find(&mut self, edge: usize, ports: &Ports) -> Option<Way> {
        let piece = &self.graph.edges[edge];
        let free = |node: usize, ports: &[Port]| -> Vec<Mouth> {
            let joint = self.graph.nodes[node].kind == Kind::Joint;
            ports
                .iter()
                .filter(|port| !joint || !self.taken[node][port.side as usize])
                .map(|port| (*port, self.grid.outside(self.cells, node, *port)))
                .collect()
        };
        let (starts, goals) = (free(piece.from, &ports[0]), free(piece.to, &ports[1]));
        let own = [piece.from + 1, piece.to + 1];
        self.cost.fill(u64::MAX);
        self.before.fill(usize::MAX);
        let mut cost = core::mem::take(&mut self.cost);
        let mut before = core::mem::take(&mut self.before);
        let found = self.search((&starts, &goals), own, &mut cost, &mut before);
        (self.cost, self.before) = (cost, before);
        found
    }

    fn search(
        &self,
        (starts, goals): (&[Mouth], &[Mouth]),
        own: [usize; 2],
        cost: &mut [u64],
        before: &mut [usize],
    ) -> Option<Way> {
        let state = |point: Point, heading: Heading| 4 * self.grid.index(point) + heading as usize;
        let rest = |point: Point| {
            let ways = goals.iter().map(|(_, goal)| self.apart(point, *goal));
            ways.min().unwrap_or(0)
        };
        let mut open = BinaryHeap::new();
        for (port, point) in starts {
            let at = state(*point, port.side);
            cost[at] = 0;
            open.push(Reverse((rest(*point), 0, *point, port.side)));
        }
        while let Some(Reverse((_, spent, point, heading))) = open.pop() {
            let here = state(point, heading);
            if spent > cost[here] {
                continue;
            }
            let arrives = goals
                .iter()
                .find(|(port, goal)| *goal == point && port.side == heading.back());
            // The last point is passed straight on, into the port.
            if let (Some((to, _)), Some(_)) = (arrives, self.step(point, heading, heading, own)) {
                return self.traced(here, before, starts, *to);
            }
            for turn in Heading::ALL {
                if turn == heading.back() {
                    continue;
                }
                let Some(toll) = self.step(point, heading, turn, own) else {
                    continue;
                };
                // A turn into a port ends there.
                let into = goals
                    .iter()
                    .any(|(port, goal)| *goal == point && port.side == turn.back());
                let (next, way) = match self.grid.next(point, turn) {
                    _ if into && turn != heading => (point, 0),
                    Some(next) if !self.used[self.grid.index(next)].blocked => {
                        (next, self.apart(point, next))
                    }
                    _ => continue,
                };
                let spent = spent + toll + way;
                let there = state(next, turn);
                if spent < cost[there] {
                    cost[there] = spent;
                    before[there] = here;
                    open.push(Reverse((spent + rest(next), spent, next, turn)));
                }
            }
        }
        None
    }

    /// What it costs to go through a point, where that can be.
    fn step(&self, point: Point, heading: Heading, turn: Heading, own: [usize; 2]) -> Option<u64> {
        let used = &self.used[self.grid.index(point)];
        let kept_by_others = |kind: bool| {
            let kept = used.kept[usize::from(kind)];
            kept != 0 && !own.contains(&kept)
        };
        if used.bend {
            return None;
        }
        if heading == turn {
            let level = heading.is_level();
            let (along, across) = match level {
                true => (used.level, used.upright),
                false => (used.upright, used.level),
            };
            return match (along || kept_by_others(level), across) {
                (true, _) => None,
                (false, true) => Some(CROSSING),
                (false, false) => Some(0),
            };
        }
        if used.level || used.upright || kept_by_others(true) || kept_by_others(false) {
            return None;
        }
        Some(BEND + self.aside(point, turn))
    }

    /// How far a track lies from the middle of its channel.
    fn aside(&self, (v, h): Point, turn: Heading) -> u64 {
        let off = |at: usize, count: usize| (2 * at).abs_diff(count.saturating_sub(1)) as u64 * ASIDE / 2;
        if turn.is_level() {
            let at = h % (self.grid.level + 1);
            return if at < self.grid.level {
                off(at, self.grid.level)
            } else {
                0
            };
        }
        (0..=self.grid.lines.len())
            .map(|col| self.grid.channel(col))
            .find(|first| (*first..first + self.grid.upright).contains(&v))
            .map_or(0, |first| off(v - first, self.grid.upright))
    }

    /// The points of a way from its end back to its beginning.
    fn traced(&self, end: usize, before: &[usize], starts: &[Mouth], to: Port) -> Option<Way> {
        let point = |state: usize| ((state / 4) % self.grid.width, state / 4 / self.grid.width);
        let mut states = vec![end];
        let mut at = end;
        while before[at] != usize::MAX {
            at = before[at];
            states.push(at);
        }
        states.reverse();
        let first = states.first()?;
        let (from, _) = starts
            .iter()
            .find(|(port, start)| *start == point(*first) && port.side as usize == first % 4)?;
        let mut points: Vec<Point> = vec![point(*first)];
        for pair in states.windows(2) {
            let place = point(pair[0]);
            if pair[0] % 4 != pair[1] % 4 && points.last() != Some(&place) {
                points.push(place);
            }
        }
        let last = point(*states.last()?);
        if points.last() != Some(&last) {
            points.push(last);
        }
        Some(Way {
            from: *from,
            to,
            points,
        })
    }

    fn mark(&mut self, edge: usize, way: &Way) {
        let piece = &self.graph.edges[edge];
        self.taken[piece.from][way.from.side as usize] = true;
        self.taken[piece.to][way.to.side as usize] = true;
        let mut headings = vec![way.from.side];
        headings.extend(way.points.windows(2).map(|pair| heading(pair[0], pair[1])));
        headings.push(way.to.side.back());
        for (at, point) in way.points.iter().enumerate() {
            let index = self.grid.index(*point);
            let used = &mut self.used[index];
            match (headings[at], headings[at + 1]) {
                (a, b) if a.is_level() != b.is_level() => used.bend = true,
                (a, _) if a.is_level() => used.level = true,
                _ => used.upright = true,
            }
        }
        for pair in way.points.windows(2) {
            let way = heading(pair[0], pair[1]);
            let mut point = pair[0];
            while let Some(next) = self.grid.next(point, way) {
                if next == pair[1] {
                    break;
                }
                let at = self.grid.index(next);
                match way.is_level() {
                    true => self.used[at].level = true,
                    false => self.used[at].upright = true,
                }
                point = next;
            }
        }
    }
}

/// Where the second of two points on one line of the grid lies.
pub(super) fn heading(from: Point, to: Point) -> Heading {
    match (to.0.cmp(&from.0), to.1.cmp(&from.1)) {
        (core::cmp::Ordering::Greater, _) => Heading::East,
        (core::cmp::Ordering::Less, _) => Heading::West,
        (_, core::cmp::Ordering::Greater) => Heading::South,
        _ => Heading::North,
    }
}
