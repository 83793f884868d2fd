//! The lines as one takes them apart: places with their heights, lengths of tube and valves between them.
//!
//! A file doesn't say where along its line a valve stands. House rule: at the vessel or tank that the line begins or
//! ends at, on its dry side where it pours in or hangs in from above; otherwise where the line ends, as flows have it.

use station::Station;
use station::plumbing::End;
use station::sections::Valve;

use crate::analysis::plumbing::Pipework;

/// What joins two places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Piece {
    /// The tube of a line.
    Tube(usize),
    /// A valve.
    Valve(usize),
}

/// A piece between two places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Joint {
    pub(super) piece: Piece,
    pub(super) ends: [usize; 2],
}

/// A place: where lines meet, where one ends, or between two valves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// What is there; nothing between valve and tube.
    pub(super) end: Option<End>,
    pub(super) height_m: f64,
}

/// A tube as water stands in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tube {
    pub(super) volume_m3: f64,
    /// Its highest point, where that is above both ends.
    pub(super) crest_m: Option<f64>,
    /// A hole that lets air in.
    pub(super) hole_m: Option<f64>,
}

/// A mouth of a line in a vessel or tank that water can come out of the line's way, towards the part.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spring {
    pub(super) end: End,
    pub(super) place: usize,
    pub(super) line: usize,
    /// Height of its surface; nothing where nobody told.
    pub(super) surface_m: Option<f64>,
    /// Height down to which it runs out by itself.
    pub(super) down_to_m: f64,
    /// Whether the line hangs in over the rim, so that it can be lifted out.
    pub(super) hangs: bool,
}

impl Spring {
    /// Whether its water stands higher than a place; unknown water does.
    pub(super) fn is_above(&self, height_m: f64) -> bool {
        self.surface_m.is_none_or(|surface_m| surface_m > height_m)
    }

    /// Whether air that comes in at a hole stops it.
    pub(super) fn is_broken_by(&self, hole_m: f64) -> bool {
        self.surface_m.is_none_or(|surface_m| hole_m >= surface_m)
    }
}

/// The lines of a station in pieces.
pub(super) struct Mesh {
    pub(super) places: Vec<Place>,
    pub(super) joints: Vec<Joint>,
    pub(super) tubes: Vec<Tube>,
    pub(super) springs: Vec<Spring>,
    /// Whether a valve is closed by a hand and trusted to hold.
    pub(super) by_hand: Vec<bool>,
    /// For each pump its place and the joints that take its water on.
    pub(super) outlets: Vec<(usize, Vec<usize>)>,
    /// Joints at each place.
    at: Vec<Vec<usize>>,
}

/// Whether a hand closes it and it holds both ways.
///
/// House rule: a check valve holds one way and leaks with a grain of salt in it, a float's valve opens when the level
/// falls, a solenoid holds against one side only. None of them is trusted while somebody works on a line.
pub(super) fn is_trusted(kind: Valve) -> bool {
    kind.is_set() && kind != Valve::Solenoid
}

impl Mesh {
    /// Every vessel at this level above its floor.
    pub(super) fn new(station: &Station, pipework: &Pipework, levels_m: &[f64]) -> Self {
        let mut mesh = Self {
            places: Vec::new(),
            joints: Vec::new(),
            tubes: Vec::new(),
            springs: Vec::new(),
            by_hand: station
                .valves
                .iter()
                .map(|valve| is_trusted(valve.fields.kind.value))
                .collect(),
            outlets: Vec::new(),
            at: Vec::new(),
        };
        let pumps: Vec<usize> = (0..station.pumps.len())
            .map(|at| mesh.place(Some(End::Pump(at)), pipework.pumps[at].height_m))
            .collect();
        let tees: Vec<usize> = station
            .tees
            .iter()
            .enumerate()
            .map(|(at, tee)| mesh.place(Some(End::Tee(at)), tee.fields.height.value.m()))
            .collect();
        mesh.outlets = pumps.iter().map(|place| (*place, Vec::new())).collect();
        for line in 0..station.lines.len() {
            mesh.add_line(station, pipework, line, levels_m, (&pumps, &tees));
        }
        mesh
    }

    fn place(&mut self, end: Option<End>, height_m: f64) -> usize {
        self.places.push(Place { end, height_m });
        self.at.push(Vec::new());
        self.places.len() - 1
    }

    fn join(&mut self, piece: Piece, ends: [usize; 2]) {
        let joint = self.joints.len();
        self.joints.push(Joint { piece, ends });
        for end in ends {
            self.at[end].push(joint);
        }
    }

    fn add_line(
        &mut self,
        station: &Station,
        pipework: &Pipework,
        line: usize,
        levels_m: &[f64],
        (pumps, tees): (&[usize], &[usize]),
    ) {
        let joined = station.plumbing.lines[line];
        let own = &pipework.lines[line];
        let mut ending = |end: End, height_m: f64| match end {
            End::Pump(at) => pumps[at],
            End::Tee(at) => tees[at],
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => self.place(Some(end), height_m),
        };
        let from = ending(joined.from, own.from_height_m);
        let to = ending(joined.to, own.to_height_m);
        let stored = |end| matches!(end, End::Vessel(_) | End::Tank(_));
        let first = stored(joined.from) || stored(joined.to);
        let valves: Vec<usize> = station.plumbing.valves_of(line).collect();
        if let End::Pump(pump) = joined.from {
            // Its first piece comes next: the tube, or a valve before it.
            let next = self.joints.len() + if first { 0 } else { valves.len() };
            self.outlets[pump].1.push(next);
        }
        let mut here = if first { from } else { to };
        let tube = Piece::Tube(line);
        if first {
            for valve in &valves {
                let next = self.place(None, own.from_height_m);
                self.join(Piece::Valve(*valve), [here, next]);
                here = next;
            }
            self.join(tube, [here, to]);
        } else {
            for valve in valves.iter().rev() {
                let next = self.place(None, own.to_height_m);
                self.join(Piece::Valve(*valve), [next, here]);
                here = next;
            }
            self.join(tube, [from, here]);
        }
        let fields = &station.lines[line].fields;
        self.tubes.push(Tube {
            volume_m3: own.volume_m3(),
            crest_m: own.crest.map(|(_, height_m)| height_m),
            hole_m: fields.siphon_break.as_ref().map(|hole| hole.value.m()),
        });
        for (place, begins) in [(from, true), (to, false)] {
            self.springs
                .extend(spring(station, pipework, line, place, begins, levels_m));
        }
    }

    /// Joints at a place.
    pub(super) fn joints_at(&self, place: usize) -> impl Iterator<Item = &Joint> {
        self.at[place].iter().map(|joint| &self.joints[*joint])
    }

    /// Whether a line ends at this place: in a vessel, a tank or the air.
    pub(super) fn ends_there(&self, place: usize) -> bool {
        matches!(
            self.places[place].end,
            Some(End::Vessel(_) | End::Tank(_) | End::Draw(_))
        )
    }

    /// The joint of a piece.
    pub(super) fn joint_of(&self, piece: Piece) -> Option<&Joint> {
        self.joints.iter().find(|joint| joint.piece == piece)
    }
}

impl Joint {
    /// The other side of a piece.
    pub(super) fn far(&self, from: usize) -> usize {
        if self.ends[0] == from {
            self.ends[1]
        } else {
            self.ends[0]
        }
    }
}

/// What a line's end in a vessel or tank can give; nothing where it ends in air or a hole breaks its siphon.
fn spring(
    station: &Station,
    pipework: &Pipework,
    line: usize,
    place: usize,
    begins: bool,
    levels_m: &[f64],
) -> Option<Spring> {
    let joined = station.plumbing.lines[line];
    let own = &pipework.lines[line];
    let fields = &station.lines[line].fields;
    let (end, mouth_m, other_m) = if begins {
        (joined.from, own.from_height_m, own.to_height_m)
    } else {
        (joined.to, own.to_height_m, own.from_height_m)
    };
    let top_m = own
        .crest
        .map_or(own.from_height_m.max(own.to_height_m), |(_, crest)| crest);
    let (surface_m, hangs) = match end {
        End::Vessel(at) => {
            // It pours in over the rim, out of which it can take nothing.
            if !begins && fields.to_level.is_none() {
                return None;
            }
            let vessel = &station.vessels[at];
            let floor_m = vessel.fields.floor_height.value.m();
            let rim_m = floor_m + vessel.height_m();
            // An outlet goes through the wall, unless its line climbs over the rim; a line in from above hangs.
            let over_m = if begins {
                own.crest.map_or(mouth_m, |(_, crest)| crest)
            } else {
                top_m
            };
            (Some(floor_m + levels_m[at]), over_m >= rim_m)
        }
        End::Tank(at) => {
            let told = station.tanks[at].fields.water_height.as_ref();
            (told.map(|height| height.value.m()), true)
        }
        End::Pump(_) | End::Tee(_) | End::Draw(_) => return None,
    };
    if surface_m.is_some_and(|surface_m| surface_m <= mouth_m) {
        return None;
    }
    let hole_m = fields.siphon_break.as_ref().map(|hole| hole.value.m());
    let spring = Spring {
        end,
        place,
        line,
        surface_m,
        // A siphon ends where its hole comes out of the water.
        down_to_m: match (hole_m, surface_m) {
            (Some(hole_m), Some(surface_m)) if top_m.max(other_m) > surface_m => mouth_m.max(hole_m),
            _ => mouth_m,
        },
        hangs,
    };
    if hole_m.is_some_and(|hole_m| spring.is_broken_by(hole_m)) {
        return None;
    }
    Some(spring)
}
