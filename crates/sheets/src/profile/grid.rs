//! The grid that pipes run on: an upright line through each place where a pipe may end, a level one at each height, and
//! between them as many as there is room for.

use super::order::Places;
use super::parts::{CLEAR_MM, Join, PURIFIER_MM, Parts, Thing};
use crate::schematic::grid::Heading;

/// What stands is kept free of pipes this far around.
const AROUND_MM: f64 = 1.0;
/// Height of the arrow at a tank, with what is white below it.
const ARROW_MM: f64 = 5.0;
/// About so far apart are lines between those that are needed.
const PITCH_MM: f64 = 2.2;
/// From the wall of a vessel to the first place where a pipe comes down into it, and from one to the next.
const INSIDE_MM: f64 = 2.6;
const NEXT_MM: f64 = 3.4;
/// The lowest line that pipes run on without need.
const LOWEST_MM: f64 = 2.4;
/// What the sign of a free surface takes to either side.
const SURFACE_MM: f64 = 2.0;
/// White above the highest pipe and beside the outermost.
const EDGE_MM: f64 = 4.0;

/// Where a pipe may end: a point of the grid, the way out from there, and the place itself in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mouth {
    pub(super) point: (usize, usize),
    pub(super) side: Heading,
    pub(super) end_mm: (f64, f64),
}

/// Places across from the left, heights above the floor, and what stands on them.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    pub(super) x_mm: Vec<f64>,
    pub(super) y_mm: Vec<f64>,
    pub(super) blocked: Vec<bool>,
}

impl Grid {
    pub(super) fn of(parts: &Parts, places: &Places) -> Self {
        let (mut x, mut y) = (Vec::new(), vec![LOWEST_MM]);
        for piece in &parts.pieces {
            for end in &piece.ends {
                for ((x_mm, y_mm), _) in mouths_mm(parts, places, end) {
                    x.push(x_mm);
                    y.push(y_mm);
                }
            }
        }
        let highest = parts.stands.iter().map(|own| own.high_mm).fold(0.0, f64::max);
        let top = y.iter().copied().fold(highest, f64::max);
        x.extend([-EDGE_MM, places.width_mm + EDGE_MM]);
        y.push(top + EDGE_MM);
        let (x_mm, y_mm) = (filled(x), filled(y));
        let mut grid = Self {
            blocked: vec![false; x_mm.len() * y_mm.len()],
            x_mm,
            y_mm,
        };
        for (at, stand) in parts.stands.iter().enumerate() {
            let (half_mm, upright) = match stand.thing {
                Thing::Joints => continue,
                // An arrow is there, where a line comes down to its tank.
                Thing::Tank if stand.high_mm - stand.low_mm > ARROW_MM => (
                    2.0 * AROUND_MM,
                    (stand.low_mm - 2.0 * AROUND_MM, stand.low_mm + ARROW_MM),
                ),
                Thing::Tank => continue,
                // The tap itself is a mouth; what it fills stands below it.
                Thing::Draw { .. } => (
                    stand.half_mm + AROUND_MM,
                    (stand.low_mm, stand.high_mm - 0.5 - AROUND_MM),
                ),
                _ => (
                    stand.half_mm + AROUND_MM,
                    (stand.low_mm - AROUND_MM, stand.high_mm + AROUND_MM),
                ),
            };
            let across = (places.middle_mm[at] - half_mm, places.middle_mm[at] + half_mm);
            grid.block(across, upright);
        }
        grid
    }

    fn block(&mut self, across: (f64, f64), upright: (f64, f64)) {
        for (row, y) in self.y_mm.iter().enumerate() {
            for (col, x) in self.x_mm.iter().enumerate() {
                if (across.0..=across.1).contains(x) && (upright.0..=upright.1).contains(y) {
                    self.blocked[row * self.x_mm.len() + col] = true;
                }
            }
        }
    }

    pub(super) fn index(&self, (col, row): (usize, usize)) -> usize {
        row * self.x_mm.len() + col
    }

    pub(super) fn next(&self, (col, row): (usize, usize), heading: Heading) -> Option<(usize, usize)> {
        match heading {
            Heading::East => (col + 1 < self.x_mm.len()).then_some((col + 1, row)),
            Heading::West => col.checked_sub(1).map(|col| (col, row)),
            Heading::North => (row + 1 < self.y_mm.len()).then_some((col, row + 1)),
            Heading::South => row.checked_sub(1).map(|row| (col, row)),
        }
    }

    /// The points at which a pipe may come to something.
    pub(super) fn mouths(&self, parts: &Parts, places: &Places, end: &Join) -> Vec<Mouth> {
        let nearest = |all: &[f64], wanted: f64| {
            let apart = |at: &usize| (all[*at] - wanted).abs();
            (0..all.len())
                .min_by(|a, b| apart(a).total_cmp(&apart(b)))
                .unwrap_or(0)
        };
        mouths_mm(parts, places, end)
            .into_iter()
            .map(|((x, y), (side, end_mm))| Mouth {
                point: (nearest(&self.x_mm, x), nearest(&self.y_mm, y)),
                side,
                end_mm,
            })
            .collect()
    }
}

/// The same in millimetres: where the mouth lies, its side, and where the pipe ends.
type Placed = ((f64, f64), (Heading, (f64, f64)));

fn mouths_mm(parts: &Parts, places: &Places, end: &Join) -> Vec<Placed> {
    let stand = &parts.stands[end.stand()];
    let middle = places.middle_mm[end.stand()];
    let (left, right) = (middle - stand.half_mm, middle + stand.half_mm);
    match *end {
        Join::Wall { at_mm, half_mm, .. } => vec![
            (
                (left - CLEAR_MM, at_mm),
                (Heading::West, (middle - half_mm, at_mm)),
            ),
            (
                (right + CLEAR_MM, at_mm),
                (Heading::East, (middle + half_mm, at_mm)),
            ),
        ],
        Join::Tip { at_mm, .. } => vec![((middle, at_mm - CLEAR_MM), (Heading::South, (middle, at_mm)))],
        Join::Rim { over_mm, half_mm, .. } => {
            let count = ((right - left - 2.0 * INSIDE_MM) / NEXT_MM).floor().max(0.0);
            (0..=count as usize)
                .map(|at| left + INSIDE_MM + at as f64 * NEXT_MM)
                // The sign of the free surface stands at a quarter of the width.
                .filter(|x| (x - (0.75 * left + 0.25 * right)).abs() > SURFACE_MM)
                // It ends within a vessel that narrows, too.
                .filter(|x| (x - middle).abs() <= half_mm - 0.5 * INSIDE_MM)
                .map(|x| ((x, over_mm), (Heading::North, (x, over_mm))))
                .collect()
        }
        Join::Pump { out, .. } => {
            let y = end.height_mm(&parts.stands);
            let radius = stand.half_mm;
            let far = radius + CLEAR_MM;
            let mut sides = vec![
                ((middle - far, y), (Heading::West, (middle - radius, y))),
                ((middle + far, y), (Heading::East, (middle + radius, y))),
            ];
            if out {
                sides.push(((middle, y + far), (Heading::North, (middle, y + radius))));
            }
            sides
        }
        Join::Tap { at_mm, .. } => [Heading::West, Heading::East, Heading::North]
            .map(|side| ((middle, at_mm), (side, (middle, at_mm))))
            .to_vec(),
        Join::Tank { over_mm, .. } => [Heading::West, Heading::East, Heading::North]
            .map(|side| ((middle, over_mm), (side, (middle, over_mm))))
            .to_vec(),
        Join::Joint { at_mm, .. } => Heading::ALL
            .map(|side| ((middle, at_mm), (side, (middle, at_mm))))
            .to_vec(),
        Join::Purifier { .. } => {
            let y = end.height_mm(&parts.stands);
            let (x_far, y_far) = (PURIFIER_MM.0 + CLEAR_MM, PURIFIER_MM.1 + CLEAR_MM);
            vec![
                ((middle + x_far, y), (Heading::East, (middle + PURIFIER_MM.0, y))),
                ((middle, y + y_far), (Heading::North, (middle, y + PURIFIER_MM.1))),
                ((middle - x_far, y), (Heading::West, (middle - PURIFIER_MM.0, y))),
            ]
        }
    }
}

/// Places in order, each once, with others between them where there is room.
fn filled(mut needed: Vec<f64>) -> Vec<f64> {
    const SAME_MM: f64 = 0.02;
    needed.sort_by(f64::total_cmp);
    needed.dedup_by(|a, b| (*a - *b).abs() < SAME_MM);
    let mut all = Vec::new();
    for pair in needed.windows(2) {
        let steps = ((pair[1] - pair[0]) / PITCH_MM).round().max(1.0);
        all.extend((0..steps as usize).map(|at| pair[0] + (pair[1] - pair[0]) * at as f64 / steps));
    }
    all.extend(needed.last());
    all
}
