//! Names beside what they name: off every pipe, off each other; with a leader where there is no room near.

use super::area::{Area, Stretch};
use crate::drawing::TextStyle;
use crate::font::descent_mm;
use crate::words::lines;

/// White between a name and what it names, and around it.
const NEAR_MM: f64 = 0.9;
const AROUND_MM: f64 = 0.45;
/// White between two names, besides.
const BETWEEN_MM: f64 = 0.9;
/// From one line of a name to the next, as a share of its size.
pub(super) const LINE: f64 = 1.17;
/// How wide names may be, the widest first.
const NAMES_MM: [f64; 3] = [26.0, 16.0, 11.0];

/// A name with its lines and the box that it takes.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub(super) path: String,
    pub(super) lines: Vec<String>,
    pub(super) style: TextStyle,
    pub(super) area: Area,
    /// From what it names, where it stands further off.
    pub(super) leader: Option<Stretch>,
}

/// What is named.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    pub(super) path: String,
    pub(super) name: String,
    pub(super) style: TextStyle,
    /// What it is beside, or within.
    pub(super) area: Area,
    pub(super) within: bool,
    /// How many pipes its leader may cross.
    pub(super) crosses: usize,
    /// Whether above and below come before left and right.
    pub(super) is_level: bool,
}

/// Finds places for names.
pub(super) struct Names {
    /// Paper for names.
    pub(super) paper: Area,
    /// What no name may lie on.
    pub(super) taken: Vec<Area>,
    /// Straight stretches of pipes: a leader may cross one of them.
    pub(super) pipes: Vec<Area>,
    /// What only its own name stands in.
    pub(super) bodies: Vec<Area>,
    /// What no leader may cross.
    pub(super) symbols: Vec<Area>,
    pub(super) leaders: Vec<Stretch>,
    pub(super) set: Vec<Named>,
}

impl Names {
    /// Sets a name where there is room; tells whether there was.
    pub(super) fn set(&mut self, wanted: &Wanted) -> bool {
        let near =
            |names: &mut Self, within: bool| NAMES_MM.iter().any(|own| names.set_near(wanted, within, *own));
        wanted.within && near(self, true)
            || near(self, false)
            || NAMES_MM.iter().any(|own| self.set_far(wanted, *own))
    }

    fn set_near(&mut self, wanted: &Wanted, is_within: bool, width_mm: f64) -> bool {
        let lines = broken(wanted, width_mm);
        let (across, high) = size_mm(&lines, wanted.style);
        let places = match is_within {
            true => within(&wanted.area, across),
            false => beside(&wanted.area, (across, high), wanted.is_level),
        };
        let fits = |area: &Area| match is_within {
            true => area.wider(AROUND_MM).within(&wanted.area),
            false => self.is_outside(area),
        };
        let found = places
            .into_iter()
            .map(|place| Area::about(place, (0.5 * across, 0.5 * high)))
            .find(|area| fits(area) && self.is_free(area));
        let Some(area) = found else { return false };
        self.put(wanted, lines, area, None);
        true
    }

    fn put(&mut self, wanted: &Wanted, lines: Vec<String>, area: Area, leader: Option<Stretch>) {
        self.taken.push(area.wider(BETWEEN_MM));
        self.leaders.extend(leader);
        self.set.push(Named {
            path: wanted.path.clone(),
            lines,
            style: wanted.style,
            area,
            leader,
        });
    }

    /// Sets a name further off, with a leader that crosses no name and no symbol.
    fn set_far(&mut self, wanted: &Wanted, width_mm: f64) -> bool {
        let lines = broken(wanted, width_mm);
        let size = size_mm(&lines, wanted.style);
        let centre = wanted.area.middle();
        let rings = (1..=RINGS).flat_map(|ring| {
            (0..DIRECTIONS).map(move |turn| {
                (
                    ring as f64 * RING_MM,
                    turn as f64 * core::f64::consts::TAU / DIRECTIONS as f64,
                )
            })
        });
        let found = rings
            .map(|(off, turn)| {
                let (across, upright) = (libm::cos(turn), libm::sin(turn));
                let reach = |half: (f64, f64), size: (f64, f64)| {
                    (half.0 + 0.5 * size.0 + off, half.1 + 0.5 * size.1 + off)
                };
                let far = reach(wanted.area.half(), size);
                let place = (centre.0 + across * far.0, centre.1 + upright * far.1);
                let area = Area::about(place, (0.5 * size.0, 0.5 * size.1));
                (area, leader(&wanted.area, &area))
            })
            .find(|(area, leader)| {
                self.is_free(area) && self.is_outside(area) && self.is_clear(wanted, *leader)
            });
        let Some((area, leader)) = found else { return false };
        self.put(wanted, lines, area, Some(leader));
        true
    }

    /// Whether a leader crosses no symbol, no name, no other leader, no vessel, and no more pipes than it may.
    fn is_clear(&self, wanted: &Wanted, leader: Stretch) -> bool {
        let crosses = |other: &Area| *other != wanted.area && other.is_crossed(leader);
        // A pipe runs out of what is named, too: a leader lies beside it, or leaves it at once.
        let pipes = self
            .pipes
            .iter()
            .filter(|pipe| pipe.wider(0.3).is_crossed(leader));
        !self.symbols.iter().any(crosses)
            && !self.bodies.iter().any(crosses)
            && !self
                .set
                .iter()
                .any(|name| name.area.wider(0.3).is_crossed(leader))
            && !self.leaders.iter().any(|other| cross(*other, leader))
            && pipes.count() <= wanted.crosses
    }

    fn is_outside(&self, area: &Area) -> bool {
        !self.bodies.iter().any(|body| area.meets(body))
    }

    /// Whether a name may stand there.
    fn is_free(&self, area: &Area) -> bool {
        let around = area.wider(AROUND_MM);
        area.within(&self.paper)
            && !self.taken.iter().any(|other| around.meets(other))
            && !self.leaders.iter().any(|leader| around.is_crossed(*leader))
    }
}

/// A name in lines of a width, or of its longest word's: no word is torn.
fn broken(wanted: &Wanted, width_mm: f64) -> Vec<String> {
    let words = wanted.name.split(' ').map(|word| wanted.style.width_mm(word));
    lines(&wanted.name, words.fold(width_mm, f64::max) + 0.01, wanted.style)
}

/// Whether two stretches cross: the ends of each lie on either side of the other.
fn cross(one: Stretch, other: Stretch) -> bool {
    let side = |(from, to): Stretch, point: (f64, f64)| {
        (to.0 - from.0) * (point.1 - from.1) - (to.1 - from.1) * (point.0 - from.0)
    };
    side(one, other.0) * side(one, other.1) <= 0.0 && side(other, one.0) * side(other, one.1) <= 0.0
}

/// Rings about a thing at which its name is tried, the step from one to the next, and directions on each.
const RINGS: usize = 12;
const RING_MM: f64 = 1.5;
const DIRECTIONS: usize = 24;

/// What lines of a name take.
fn size_mm(lines: &[String], style: TextStyle) -> (f64, f64) {
    let across = lines.iter().map(|line| style.width_mm(line)).fold(0.0, f64::max);
    let below = descent_mm(style.size_mm, style.face) + 0.1;
    (
        across,
        (lines.len() as f64 - 1.0) * LINE * style.size_mm + style.cap_mm() + below,
    )
}

/// A leader from the edge of a thing to that of its name, as short as it can be.
fn leader(thing: &Area, name: &Area) -> Stretch {
    let near = |own: (f64, f64), other: (f64, f64)| {
        let middle = 0.5 * (own.0.max(other.0) + own.1.min(other.1));
        if own.1 < other.0 {
            (own.1, other.0)
        } else if other.1 < own.0 {
            (own.0, other.1)
        } else {
            (middle, middle)
        }
    };
    let (x, y) = (near(thing.across, name.across), near(thing.upright, name.upright));
    ((x.0, y.0), (x.1, y.1))
}

/// Middles of a name beside a thing, the best first.
fn beside(area: &Area, (across, high): (f64, f64), is_level: bool) -> Vec<(f64, f64)> {
    let (x, y) = (
        0.5 * (area.across.0 + area.across.1),
        0.5 * (area.upright.0 + area.upright.1),
    );
    let (right, left) = (
        area.across.1 + NEAR_MM + 0.5 * across,
        area.across.0 - NEAR_MM - 0.5 * across,
    );
    let (above, below) = (
        area.upright.1 + NEAR_MM + 0.5 * high,
        area.upright.0 - NEAR_MM - 0.5 * high,
    );
    let shifts = |most: f64| {
        let steps = (most / 1.2).floor() as usize;
        (1..=steps).flat_map(|step| [1.2 * step as f64, -1.2 * step as f64])
    };
    let mut sides = vec![(right, y), (left, y)];
    let mut ends = vec![(x, below), (x, above)];
    for shift in shifts(0.5 * (area.upright.1 - area.upright.0 + high)) {
        sides.extend([(right, y + shift), (left, y + shift)]);
    }
    for shift in shifts(0.5 * (area.across.1 - area.across.0 + across)) {
        ends.extend([(x + shift, below), (x + shift, above)]);
    }
    match is_level {
        true => ends.into_iter().chain(sides).collect(),
        false => sides.into_iter().chain(ends).collect(),
    }
}

/// Middles of a name within a thing, the best first.
fn within(area: &Area, across: f64) -> Vec<(f64, f64)> {
    let middle = 0.5 * (area.across.0 + area.across.1);
    let spare = 0.5 * (area.across.1 - area.across.0 - across) - 1.0;
    let high = area.upright.1 - area.upright.0;
    [0.6, 0.5, 0.4, 0.7, 0.3, 0.8, 0.2]
        .into_iter()
        .flat_map(|share| {
            [0.0, 0.5, -0.5, 1.0, -1.0]
                .map(|side| (middle + side * spare.max(0.0), area.upright.0 + share * high))
        })
        .collect()
}
