//! One pipe after the other on the grid: the cheapest way that is left for it (A*; Hart, Nilsson & Raphael 1968, from memory),
//! and what it takes. A bend and a crossing cost as much as some millimetres of way.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::grid::{Grid, Mouth};
use super::parts::{Join, Parts};
use super::ways::Way;
use crate::schematic::grid::Heading;

/// What a bend and a crossing cost, in hundredths of a millimetre of way (house rule).
const BEND: u64 = 500;
const CROSSING: u64 = 1500;
/// What it costs to pass where another pipe may have to end, and to run beside another that is nearer than so much.
const KEPT: u64 = 4000;
const BESIDE: u64 = 300;
const NEAR_MM: f64 = 2.0;

/// What lies on a point.
#[derive(Debug, Clone, Copy, Default)]
struct Used {
    level: bool,
    upright: bool,
    bend: bool,
    /// One more than the number of the end whose point it is.
    own: usize,
    /// Whether it is somebody's mouth.
    kept: usize,
}

pub(super) struct Router<'p> {
    grid: &'p Grid,
    used: Vec<Used>,
    cost: Vec<u64>,
    before: Vec<usize>,
    /// How many times as dear it is to run where a pipe doesn't by its file.
    outside: u64,
}

/// Which end of the station it is: pipes that end there may pass.
fn number(end: &Join) -> usize {
    match *end {
        Join::Joint { stand, tee, .. } => 1 + 1000 * (stand + 1) + tee,
        ref other => 1 + other.stand(),
    }
}

/// Whether its mouth is a point that others can't pass.
fn is_point(end: &Join) -> bool {
    matches!(end, Join::Joint { .. } | Join::Tap { .. } | Join::Tank { .. })
}

/// A way on the grid, and the mouths at its ends.
struct Found {
    from: Mouth,
    to: Mouth,
    points: Vec<(usize, usize)>,
    spent: u64,
}

impl<'p> Router<'p> {
    pub(super) fn on(grid: &'p Grid, outside: u64) -> Self {
        let points = grid.x_mm.len() * grid.y_mm.len();
        Self {
            grid,
            used: vec![Used::default(); points],
            cost: vec![u64::MAX; 4 * points],
            before: vec![usize::MAX; 4 * points],
            outside,
        }
    }

    /// Lays all in an order: what each costs, with its way; or which of them found none.
    pub(super) fn round(
        &mut self,
        parts: &Parts,
        mouths: &[[Vec<Mouth>; 2]],
        order: &[usize],
    ) -> Result<Vec<(u64, Way)>, usize> {
        self.used.fill(Used::default());
        for (piece, own) in parts.pieces.iter().zip(mouths) {
            for (end, mouths) in piece.ends.iter().zip(own) {
                for mouth in mouths {
                    let used = &mut self.used[self.grid.index(mouth.point)];
                    match is_point(end) {
                        true => used.own = number(end),
                        false => used.kept = number(end),
                    }
                }
            }
        }
        let mut laid: Vec<Option<(u64, Way)>> = vec![None; parts.pieces.len()];
        // Sides of tees and pumps that are taken.
        let mut taken: Vec<(usize, Heading)> = Vec::new();
        for at in order {
            let ends = &parts.pieces[*at].ends;
            let own = [number(&ends[0]), number(&ends[1])];
            let [starts, goals] = [0, 1].map(|end| self.free(&ends[end], &mouths[*at][end], &taken));
            let band_mm = parts.pieces[*at].band_mm(&parts.stands);
            let found = self.find((&starts, &goals), own, band_mm).ok_or(*at)?;
            self.mark(&found.points, found.from.side, found.to.side.back());
            self.mark_drop(found.from.point, &ends[0]);
            self.mark_drop(found.to.point, &ends[1]);
            taken.extend([(own[0], found.from.side), (own[1], found.to.side)]);
            laid[*at] = Some((found.spent, self.way(&found, ends, band_mm)));
        }
        Ok(laid.into_iter().flatten().collect())
    }

    /// The mouths that nobody has taken yet.
    fn free(&self, end: &Join, mouths: &[Mouth], taken: &[(usize, Heading)]) -> Vec<Mouth> {
        let own = number(end);
        let is_free = |mouth: &&Mouth| match end {
            Join::Wall { .. } | Join::Tip { .. } | Join::Rim { .. } => {
                let used = &self.used[self.grid.index(mouth.point)];
                let is_rim = matches!(end, Join::Rim { .. });
                !used.bend && !used.level && !used.upright && (!is_rim || self.falls_free(mouth.point))
            }
            _ => !taken.contains(&(own, mouth.side)),
        };
        mouths.iter().filter(is_free).copied().collect()
    }

    /// Hundredths of a millimetre from one point to another.
    pub(super) fn apart(&self, from: (usize, usize), to: (usize, usize)) -> u64 {
        let (x, y) = (&self.grid.x_mm, &self.grid.y_mm);
        ((x[from.0] - x[to.0]).abs() * 100.0 + (y[from.1] - y[to.1]).abs() * 100.0).round() as u64
    }

    fn find(
        &mut self,
        (starts, goals): (&[Mouth], &[Mouth]),
        own: [usize; 2],
        band_mm: (f64, f64),
    ) -> Option<Found> {
        self.cost.fill(u64::MAX);
        self.before.fill(usize::MAX);
        let state =
            |grid: &Grid, point: (usize, usize), heading: Heading| 4 * grid.index(point) + heading as usize;
        let rest = |own: &Self, point| {
            goals
                .iter()
                .map(|goal| own.apart(point, goal.point))
                .min()
                .unwrap_or(0)
        };
        let mut open = BinaryHeap::new();
        for start in starts {
            let at = state(self.grid, start.point, start.side);
            self.cost[at] = 0;
            open.push(Reverse((rest(self, start.point), 0, start.point, start.side)));
        }
        while let Some(Reverse((_, spent, point, heading))) = open.pop() {
            let here = state(self.grid, point, heading);
            if spent > self.cost[here] {
                continue;
            }
            let is_start = self.before[here] == usize::MAX;
            let goal = goals
                .iter()
                .find(|goal| goal.point == point && goal.side == heading.back());
            if let (Some(to), false) = (goal, is_start) {
                return self.traced(here, starts, *to);
            }
            for turn in Heading::ALL {
                if turn == heading.back() {
                    continue;
                }
                // A turn into a mouth ends there, a way along it passes.
                let into = turn != heading
                    && goals
                        .iter()
                        .any(|goal| goal.point == point && goal.side == turn.back());
                let Some(toll) = self.toll(point, heading, turn, own, is_start) else {
                    continue;
                };
                let (next, way) = match self.grid.next(point, turn) {
                    _ if into => (point, 0),
                    Some(next) if !self.grid.blocked[self.grid.index(next)] => {
                        let is_free = [0, own[0], own[1]].contains(&self.used[self.grid.index(next)].own);
                        match is_free {
                            true => (next, self.apart(point, next)),
                            false => continue,
                        }
                    }
                    _ => continue,
                };
                let outside = match is_within(band_mm, self.grid.y_mm[next.1]) {
                    true => 0,
                    false => self.outside * way,
                };
                let spent = spent + toll + way + outside;
                let there = state(self.grid, next, turn);
                if spent < self.cost[there] {
                    self.cost[there] = spent;
                    self.before[there] = here;
                    open.push(Reverse((spent + rest(self, next), spent, next, turn)));
                }
            }
        }
        None
    }

    /// What it costs to go through a point, where that can be.
    fn toll(
        &self,
        point: (usize, usize),
        heading: Heading,
        turn: Heading,
        own: [usize; 2],
        is_start: bool,
    ) -> Option<u64> {
        let used = &self.used[self.grid.index(point)];
        // A point that pipes end at is left, and come to, but not passed or turned at.
        if used.own != 0 {
            return (is_start && heading == turn).then_some(0);
        }
        let kept = if used.kept != 0 && !own.contains(&used.kept) {
            KEPT
        } else {
            0
        };
        if used.bend {
            return None;
        }
        if heading != turn {
            return (!used.level && !used.upright).then_some(BEND + kept);
        }
        let (along, across) = match heading.is_level() {
            true => (used.level, used.upright),
            false => (used.upright, used.level),
        };
        if along {
            return None;
        }
        let crossing = if across { CROSSING } else { 0 };
        Some(kept + crossing + self.beside(point, heading))
    }

    /// What it costs to run close by another.
    fn beside(&self, point: (usize, usize), heading: Heading) -> u64 {
        let aside = match heading.is_level() {
            true => [Heading::North, Heading::South],
            false => [Heading::East, Heading::West],
        };
        let near = aside
            .into_iter()
            .filter_map(|way| self.grid.next(point, way))
            .filter(|next| {
                let used = &self.used[self.grid.index(*next)];
                let along = if heading.is_level() {
                    used.level
                } else {
                    used.upright
                };
                (along || used.bend) && self.apart(point, *next) < (100.0 * NEAR_MM) as u64
            });
        BESIDE * near.count() as u64
    }

    fn traced(&self, end: usize, starts: &[Mouth], to: Mouth) -> Option<Found> {
        let point = |state: usize| {
            let at = state / 4;
            (at % self.grid.x_mm.len(), at / self.grid.x_mm.len())
        };
        let mut states = vec![end];
        let mut at = end;
        while self.before[at] != usize::MAX {
            at = self.before[at];
            states.push(at);
        }
        states.reverse();
        let first = *states.first()?;
        let from = starts
            .iter()
            .find(|start| start.point == point(first) && start.side as usize == first % 4)?;
        let mut points = vec![point(first)];
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
        Some(Found {
            from: *from,
            to,
            points,
            spent: self.cost[end],
        })
    }

    /// Notes what a way takes, from the heading that it begins with to the one that it ends with.
    fn mark(&mut self, points: &[(usize, usize)], first: Heading, last: Heading) {
        let mut headings = vec![first];
        headings.extend(points.windows(2).map(|pair| heading(pair[0], pair[1])));
        headings.push(last);
        for (at, point) in points.iter().enumerate() {
            let used = &mut self.used[self.grid.index(*point)];
            match (headings[at], headings[at + 1]) {
                (a, b) if a.is_level() != b.is_level() => used.bend = true,
                (a, _) if a.is_level() => used.level = true,
                _ => used.upright = true,
            }
        }
        for pair in points.windows(2) {
            let way = heading(pair[0], pair[1]);
            let mut point = pair[0];
            while let Some(next) = self.grid.next(point, way) {
                if next == pair[1] {
                    break;
                }
                let used = &mut self.used[self.grid.index(next)];
                match way.is_level() {
                    true => used.level = true,
                    false => used.upright = true,
                }
                point = next;
            }
        }
    }

    /// Whether nothing comes down where a pipe would.
    fn falls_free(&self, mouth: (usize, usize)) -> bool {
        let below = core::iter::successors(Some(mouth), |point| self.grid.next(*point, Heading::South));
        let air = below.take_while(|point| !self.grid.blocked[self.grid.index(*point)]);
        air.map(|point| &self.used[self.grid.index(point)])
            .all(|used| !used.upright && !used.bend)
    }

    /// Notes what comes down from a mouth.
    fn mark_drop(&mut self, mouth: (usize, usize), end: &Join) {
        let (Join::Rim { end_mm, .. } | Join::Tank { end_mm, .. }) = *end else {
            return;
        };
        let mut point = mouth;
        while let Some(next) = self.grid.next(point, Heading::South) {
            if self.grid.y_mm[next.1] < end_mm {
                break;
            }
            self.used[self.grid.index(next)].upright = true;
            point = next;
        }
    }

    fn way(&self, found: &Found, ends: &[Join; 2], band_mm: (f64, f64)) -> Way {
        let place = |point: &(usize, usize)| (self.grid.x_mm[point.0], self.grid.y_mm[point.1]);
        let mut corners_mm = vec![found.from.end_mm];
        corners_mm.extend(found.points.iter().map(place));
        corners_mm.push(found.to.end_mm);
        let drops_mm = [0, 1].map(|end| match ends[end] {
            Join::Rim { end_mm, .. } => Some(end_mm),
            Join::Tank { end_mm, over_mm, .. } => (over_mm - end_mm > 0.5).then_some(end_mm),
            _ => None,
        });
        Way {
            strays: corners_mm.iter().any(|(_, y)| !is_within(band_mm, *y)),
            corners_mm: straightened(&corners_mm),
            drops_mm,
            sides: [found.from.side, found.to.side],
        }
    }
}

fn heading(from: (usize, usize), to: (usize, usize)) -> Heading {
    match (to.0.cmp(&from.0), to.1.cmp(&from.1)) {
        (core::cmp::Ordering::Greater, _) => Heading::East,
        (core::cmp::Ordering::Less, _) => Heading::West,
        (_, core::cmp::Ordering::Greater) => Heading::North,
        _ => Heading::South,
    }
}

/// Whether a pipe is at a height that it has by its file.
fn is_within(band_mm: (f64, f64), y_mm: f64) -> bool {
    const SAME_MM: f64 = 0.05;
    (band_mm.0 - SAME_MM..=band_mm.1 + SAME_MM).contains(&y_mm)
}

/// Without corners at which nothing turns.
fn straightened(corners: &[(f64, f64)]) -> Vec<(f64, f64)> {
    const SAME_MM: f64 = 1e-6;
    let same = |a: f64, b: f64| (a - b).abs() < SAME_MM;
    let mut out: Vec<(f64, f64)> = Vec::new();
    for corner in corners {
        if out
            .last()
            .is_some_and(|last| same(last.0, corner.0) && same(last.1, corner.1))
        {
            continue;
        }
        if let [.., one, two] = out[..]
            && (same(one.0, two.0) && same(two.0, corner.0) || same(one.1, two.1) && same(two.1, corner.1))
        {
            out.pop();
        }
        out.push(*corner);
    }
    out
}
