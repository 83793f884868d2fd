//! Boxes and straight stretches, millimetres across and above the floor: what meets what.

use super::ways::Way;

/// A box: from left to right, and from below to above, millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) across: (f64, f64),
    pub(super) upright: (f64, f64),
}

impl Area {
    pub(super) fn about((x, y): (f64, f64), half: (f64, f64)) -> Self {
        Self {
            across: (x - half.0, x + half.0),
            upright: (y - half.1, y + half.1),
        }
    }

    pub(super) fn wider(self, by: f64) -> Self {
        Self {
            across: (self.across.0 - by, self.across.1 + by),
            upright: (self.upright.0 - by, self.upright.1 + by),
        }
    }

    pub(super) fn meets(&self, other: &Self) -> bool {
        self.across.0 < other.across.1
            && other.across.0 < self.across.1
            && self.upright.0 < other.upright.1
            && other.upright.0 < self.upright.1
    }

    pub(super) fn middle(&self) -> (f64, f64) {
        (
            0.5 * (self.across.0 + self.across.1),
            0.5 * (self.upright.0 + self.upright.1),
        )
    }

    pub(super) fn half(&self) -> (f64, f64) {
        (
            0.5 * (self.across.1 - self.across.0),
            0.5 * (self.upright.1 - self.upright.0),
        )
    }

    /// Whether a stretch runs through it, by clipping it to the sides (Liang and Barsky 1984; from memory).
    pub(super) fn is_crossed(&self, (from, to): Stretch) -> bool {
        let mut span = (0.0_f64, 1.0_f64);
        let sides = [
            (from.0 - to.0, from.0 - self.across.0),
            (to.0 - from.0, self.across.1 - from.0),
            (from.1 - to.1, from.1 - self.upright.0),
            (to.1 - from.1, self.upright.1 - from.1),
        ];
        for (step, room) in sides {
            if step == 0.0 {
                if room < 0.0 {
                    return false;
                }
            } else if step < 0.0 {
                span.0 = span.0.max(room / step);
            } else {
                span.1 = span.1.min(room / step);
            }
        }
        span.0 < span.1
    }

    pub(super) fn within(&self, other: &Self) -> bool {
        self.across.0 >= other.across.0
            && self.across.1 <= other.across.1
            && self.upright.0 >= other.upright.0
            && self.upright.1 <= other.upright.1
    }
}

/// A straight stretch.
pub(super) type Stretch = ((f64, f64), (f64, f64));

pub(super) fn stretches(way: &Way) -> impl Iterator<Item = Stretch> + '_ {
    way.corners_mm.windows(2).map(|pair| (pair[0], pair[1]))
}

pub(super) fn long_mm((from, to): Stretch) -> f64 {
    (to.0 - from.0).abs() + (to.1 - from.1).abs()
}

/// The box of a stretch.
pub(super) fn area_of((from, to): Stretch) -> Area {
    Area {
        across: (from.0.min(to.0), from.0.max(to.0)),
        upright: (from.1.min(to.1), from.1.max(to.1)),
    }
}

/// What comes down from the ends of a way.
pub(super) fn drops(way: &Way) -> impl Iterator<Item = Stretch> + '_ {
    let ends = [way.corners_mm.first(), way.corners_mm.last()];
    ends.into_iter().zip(way.drops_mm).filter_map(|(corner, drop)| {
        let (corner, drop) = (*corner?, drop?);
        Some((corner, (corner.0, drop)))
    })
}
