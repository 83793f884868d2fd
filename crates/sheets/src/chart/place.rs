//! Where a chart's own labels stand: beside their curve or point, off every curve, off each other.

use super::{LABEL, Plot, Valued};
use crate::drawing::{Anchor, Bounds, Ink, Point, Stroke, at};

/// Between a curve and a label, and between two labels.
const GAP_MM: f64 = 1.1;
/// Radius of a dot with the white around it.
const DOT_MM: f64 = 1.6;
/// From one row of labels to the next.
const ROW_MM: f64 = 1.45;
/// Rows that are tried above and below a curve.
const ROWS: u32 = 4;

/// A curve on the paper.
struct Skyline(Vec<Edges>);

/// A curve at a place: the edges of its band, and the curve itself.
#[derive(Clone, Copy)]
struct Edges {
    x_mm: f64,
    top_mm: f64,
    foot_mm: f64,
    line_mm: f64,
}

impl Edges {
    /// Part of the way to another.
    fn towards(&self, other: &Self, share: f64) -> Self {
        let mix = |from: f64, to: f64| from + share * (to - from);
        Self {
            x_mm: mix(self.x_mm, other.x_mm),
            top_mm: mix(self.top_mm, other.top_mm),
            foot_mm: mix(self.foot_mm, other.foot_mm),
            line_mm: mix(self.line_mm, other.line_mm),
        }
    }
}

impl Skyline {
    /// The curve at the ends of a span and at every point within.
    fn over(&self, from_mm: f64, to_mm: f64) -> impl Iterator<Item = Edges> {
        self.0
            .windows(2)
            .filter(move |pair| pair[1].x_mm >= from_mm && pair[0].x_mm <= to_mm)
            .flat_map(move |pair| {
                let width_mm = (pair[1].x_mm - pair[0].x_mm).max(1e-9);
                [from_mm.max(pair[0].x_mm), to_mm.min(pair[1].x_mm)]
                    .map(|x_mm| pair[0].towards(&pair[1], (x_mm - pair[0].x_mm) / width_mm))
            })
    }

    /// The highest and lowest edge of its band over a span; nothing where it isn't there.
    fn band_over(&self, from_mm: f64, to_mm: f64) -> Option<(f64, f64)> {
        self.over(from_mm, to_mm)
            .map(|edges| (edges.top_mm, edges.foot_mm))
            .reduce(|(top, foot), (other_top, other_foot)| (top.min(other_top), foot.max(other_foot)))
    }

    /// The middle of the curve itself over a span.
    fn line_over(&self, from_mm: f64, to_mm: f64) -> Option<f64> {
        let (top, foot) = self
            .over(from_mm, to_mm)
            .map(|edges| (edges.line_mm, edges.line_mm))
            .reduce(|(top, foot), (line, _)| (top.min(line), foot.max(line)))?;
        Some(0.5 * (top + foot))
    }
}

/// A point on a curve that has a name.
pub(super) struct Callout<'w> {
    /// Where it is.
    pub(super) place: Point,
    /// What it is called.
    pub(super) words: &'w str,
}

/// A label that found its place.
#[derive(Clone, Copy)]
struct Set {
    base: Point,
    anchor: Anchor,
    bounds: Bounds,
}

/// What is taken on a chart.
pub(super) struct Places {
    curves: Vec<Skyline>,
    taken: Vec<Bounds>,
    room: Bounds,
}

impl Places {
    /// An empty chart: labels stand between its axes.
    pub(super) fn of(plot: &Plot) -> Self {
        Self {
            curves: Vec::new(),
            // Ticks and the names of the axes are there already.
            taken: plot
                .drawing
                .text_bounds()
                .into_iter()
                .map(|(bounds, _)| bounds)
                .collect(),
            room: Bounds {
                left_mm: plot.left_mm + GAP_MM,
                top_mm: plot.top_mm - LABEL.size_mm,
                right_mm: plot.right_mm + 2.0,
                bottom_mm: plot.foot_mm - 0.8,
            },
        }
    }

    /// A curve with its band is on it.
    pub(super) fn curve(&mut self, plot: &Plot, points: &[Valued]) {
        let edges = points
            .iter()
            .map(|point| {
                let [high, low, value] =
                    [point.high, point.low, point.value].map(|value| plot.place(point.x, value));
                Edges {
                    x_mm: value.x_mm,
                    top_mm: high.y_mm,
                    foot_mm: low.y_mm,
                    line_mm: value.y_mm,
                }
            })
            .collect();
        self.curves.push(Skyline(edges));
    }

    /// A dot is on it.
    fn dot(&mut self, place: Point) {
        self.taken.push(Bounds {
            left_mm: place.x_mm - DOT_MM,
            top_mm: place.y_mm - DOT_MM,
            right_mm: place.x_mm + DOT_MM,
            bottom_mm: place.y_mm + DOT_MM,
        });
    }

    /// Names a curve where there is room, from its right end leftwards; not at all where there is none, as a name on
    /// the wrong curve is worse.
    pub(super) fn name(&mut self, plot: &mut Plot, curve: usize, words: &str) -> bool {
        let width = LABEL.width_mm(words);
        let steps = 40_u32;
        for above in [true, false] {
            for step in 0..=steps {
                let share = 1.0 - f64::from(step) / f64::from(steps);
                let left = self.room.left_mm + share * (self.room.right_mm - width - self.room.left_mm);
                let Some(base_mm) = self.beside(curve, left, left + width, above, 0) else {
                    continue;
                };
                let bounds = LABEL.bounds(at(left, base_mm), Anchor::Start, words);
                if !self.free(&bounds) || !self.nearest(curve, &bounds) {
                    continue;
                }
                self.set(plot, at(left, base_mm), Anchor::Start, words, bounds);
                return true;
            }
        }
        false
    }

    /// Whether no other curve runs between a label and its own.
    fn nearest(&self, curve: usize, bounds: &Bounds) -> bool {
        let middle_mm = 0.5 * (bounds.top_mm + bounds.bottom_mm);
        let far = |curve: &Skyline| curve.line_over(bounds.left_mm, bounds.right_mm);
        let Some(own_mm) = self.curves.get(curve).and_then(far) else {
            return false;
        };
        self.curves
            .iter()
            .enumerate()
            .filter(|(at, _)| *at != curve)
            .filter_map(|(_, other)| far(other))
            .all(|other_mm| !(own_mm.min(middle_mm)..=own_mm.max(middle_mm)).contains(&other_mm))
    }

    /// Sets a label on a patch of paper, so that no line of the grid runs through it.
    fn set(&mut self, plot: &mut Plot, base: Point, anchor: Anchor, words: &str, bounds: Bounds) {
        const PATCH_MM: f64 = 0.5;
        let (left, right) = (bounds.left_mm - PATCH_MM, bounds.right_mm + PATCH_MM);
        let (top, foot) = (bounds.top_mm - PATCH_MM, bounds.bottom_mm);
        plot.drawing.area(
            vec![at(left, top), at(right, top), at(right, foot), at(left, foot)],
            Ink::Paper,
            1.0,
            "",
        );
        plot.drawing.text(base, anchor, words, LABEL, "");
        self.taken.push(bounds);
    }

    /// The base of a label over a span, so many rows above or below a curve.
    fn beside(&self, curve: usize, from_mm: f64, to_mm: f64, above: bool, row: u32) -> Option<f64> {
        let (top, foot) = self.curves.get(curve)?.band_over(from_mm, to_mm)?;
        let off = f64::from(row) * ROW_MM * LABEL.size_mm;
        Some(match above {
            true => top - GAP_MM - off,
            false => foot + GAP_MM + LABEL.cap_mm() + off,
        })
    }

    fn free(&self, bounds: &Bounds) -> bool {
        let within = bounds.left_mm >= self.room.left_mm
            && bounds.right_mm <= self.room.right_mm
            && bounds.top_mm >= self.room.top_mm
            && bounds.bottom_mm <= self.room.bottom_mm;
        let off_curves = self.curves.iter().all(|curve| {
            curve
                .band_over(bounds.left_mm, bounds.right_mm)
                .is_none_or(|(top, foot)| bounds.bottom_mm < top || bounds.top_mm > foot)
        });
        within && off_curves && !self.taken.iter().any(|other| other.overlaps(&apart(bounds)))
    }

    /// Names a curve by a leader from one of its points, where its name has no room beside it.
    pub(super) fn name_from_afar(&mut self, plot: &mut Plot, curve: usize, points: &[Valued], words: &str) {
        for point in points.iter().rev() {
            let place = plot.place(point.x, point.value);
            if self.callouts(plot, curve, &[Callout { place, words }]) {
                return;
            }
        }
    }

    /// Names points of a curve, each with a leader; of all ways without a collision the one with the shortest leaders.
    /// Tells whether there was one.
    pub(super) fn callouts(&mut self, plot: &mut Plot, curve: usize, callouts: &[Callout<'_>]) -> bool {
        let before = self.taken.len();
        for callout in callouts {
            self.dot(callout.place);
        }
        let mut chosen = Vec::new();
        let mut best = (f64::INFINITY, Vec::new());
        self.choose(curve, callouts, 0.0, &mut chosen, &mut best);
        if best.1.len() < callouts.len() {
            self.taken.truncate(before);
            return false;
        }
        for (callout, set) in callouts.iter().zip(best.1) {
            self.set(plot, set.base, set.anchor, callout.words, set.bounds);
            // The leader begins at its dot's edge.
            let end_mm = set.leader_mm(callout.place);
            let edge_mm = match end_mm > callout.place.y_mm {
                true => callout.place.y_mm + 1.1,
                false => callout.place.y_mm - 1.1,
            };
            let x_mm = callout.place.x_mm;
            plot.drawing.line(
                vec![at(x_mm, edge_mm), at(x_mm, end_mm)],
                Stroke::Hair,
                Ink::Second,
                "",
            );
        }
        true
    }

    /// Tries every place of the next label beside those that are chosen.
    fn choose(
        &self,
        curve: usize,
        callouts: &[Callout<'_>],
        cost: f64,
        chosen: &mut Vec<Set>,
        best: &mut (f64, Vec<Set>),
    ) {
        if cost >= best.0 {
            return;
        }
        let Some(callout) = callouts.get(chosen.len()) else {
            *best = (cost, chosen.clone());
            return;
        };
        for row in 0..ROWS {
            for (above, side) in [(false, 0), (true, 0), (false, 1), (true, 1)] {
                let Some(set) = self.candidate(curve, callout, above, side == 0, row) else {
                    continue;
                };
                let clear = chosen.iter().zip(callouts).all(|(other, theirs)| {
                    !apart(&set.bounds).overlaps(&other.bounds)
                        && !other.leads_through(theirs.place, &set.bounds)
                        && !set.leads_through(callout.place, &other.bounds)
                });
                let past_others = self
                    .taken
                    .iter()
                    .filter(|other| !holds(other, callout.place))
                    .all(|other| !set.leads_through(callout.place, other));
                if !clear || !past_others {
                    continue;
                }
                let length = (set.base.y_mm - callout.place.y_mm).abs();
                // Below and to the right are where one looks first.
                let odd = if above { 0.5 } else { 0.0 } + 0.3 * f64::from(side);
                chosen.push(set);
                self.choose(curve, callouts, cost + length + odd, chosen, best);
                chosen.pop();
            }
        }
    }

    fn candidate(
        &self,
        curve: usize,
        callout: &Callout<'_>,
        above: bool,
        right: bool,
        row: u32,
    ) -> Option<Set> {
        let width = LABEL.width_mm(callout.words);
        let (anchor, x_mm, from_mm) = match right {
            true => (Anchor::Start, callout.place.x_mm + GAP_MM, callout.place.x_mm),
            false => (
                Anchor::End,
                callout.place.x_mm - GAP_MM,
                callout.place.x_mm - GAP_MM - width,
            ),
        };
        let base_mm = self.beside(curve, from_mm, from_mm + width + GAP_MM, above, row)?;
        let base = at(x_mm, base_mm);
        let bounds = LABEL.bounds(base, anchor, callout.words);
        self.free(&bounds).then_some(Set { base, anchor, bounds })
    }
}

impl Set {
    /// How far its leader reaches: to the far edge of the label, past which it stands.
    fn leader_mm(&self, from: Point) -> f64 {
        match self.base.y_mm > from.y_mm {
            true => self.bounds.bottom_mm.min(self.base.y_mm),
            false => self.bounds.top_mm,
        }
    }

    /// Whether its leader runs through another label.
    fn leads_through(&self, from: Point, other: &Bounds) -> bool {
        let end = self.leader_mm(from);
        let (top, foot) = (from.y_mm.min(end), from.y_mm.max(end));
        let across = other.left_mm - 0.4 < from.x_mm && from.x_mm < other.right_mm + 0.4;
        across && other.top_mm < foot && top < other.bottom_mm
    }
}

/// A label with the white beside it, without which two would read as one.
fn apart(bounds: &Bounds) -> Bounds {
    const WHITE_MM: f64 = 2.2;
    Bounds {
        left_mm: bounds.left_mm - WHITE_MM,
        right_mm: bounds.right_mm + WHITE_MM,
        ..*bounds
    }
}

/// Whether a place lies in a box: the dot's own, from which a leader begins.
fn holds(bounds: &Bounds, place: Point) -> bool {
    (bounds.left_mm..=bounds.right_mm).contains(&place.x_mm)
        && (bounds.top_mm..=bounds.bottom_mm).contains(&place.y_mm)
}
