//! Plumbing: which line joins what, with every name found.
//!
//! Owns: the graph of lines between vessels, pumps, tees, draw points and tanks, as indices into the station; the
//! refusal of what can't be joined. Doesn't own: what flows (the proof's), what fittings cost (physics').

mod check;
mod height;
mod linked;
mod names;
mod refuse;

use physics::hydraulics::parts::Tube;

use crate::fault::Fault;
use crate::sections::LineFields;
use crate::station::Station;

/// What a line can end at, as an index into the station's list of its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// A vessel.
    Vessel(usize),
    /// A tank.
    Tank(usize),
    /// A pump.
    Pump(usize),
    /// A tee.
    Tee(usize),
    /// A draw point.
    Draw(usize),
}

impl End {
    /// What it is, in the words by which a file tells it apart: `tee` in `"tee spout"`.
    pub fn kind(self) -> &'static str {
        match self {
            Self::Vessel(_) => "vessel",
            Self::Tank(_) => "tank",
            Self::Pump(_) => "pump",
            Self::Tee(_) => "tee",
            Self::Draw(_) => "draw point",
        }
    }

    fn is_tank(self) -> bool {
        matches!(self, Self::Tank(_))
    }
}

/// A line's two ends, and its tube where its size is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JoinedLine {
    /// Where it begins.
    pub from: End,
    /// Where it ends.
    pub to: End,
    /// Its tube by the catalogue; `None` where its size isn't there and its bore was measured.
    pub tube: Option<Tube>,
}

impl JoinedLine {
    /// Its bore, m: as measured, otherwise by the catalogue.
    pub fn bore_m(&self, fields: &LineFields) -> Option<f64> {
        let measured = fields.bore.as_ref().map(|bore| bore.value.m());
        measured.or(self.tube.map(|tube| tube.inner_diameter_m))
    }
}

/// A task: from here to there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Where the water comes from.
    pub from: End,
    /// Where it goes.
    pub to: End,
    /// The pump that moves it; `None` by gravity.
    pub pump: Option<usize>,
    /// The valves that the owner opens for it; `None` where they are to be found.
    pub open: Option<Vec<usize>>,
}

/// The graph of a station's lines.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plumbing {
    /// The lines, in the order of the station's.
    pub lines: Vec<JoinedLine>,
    /// For each valve the line that it is in.
    pub line_of_valve: Vec<usize>,
    /// For each valve the other way of its three-way valve, told at either of the two.
    pub other_way: Vec<Option<usize>>,
    /// For each pump the valves of which one must be open for it to run; none where it runs anyhow.
    pub runs_only_with: Vec<Vec<usize>>,
    /// The tasks, in the order of the station's lineups.
    pub tasks: Vec<Task>,
}

impl Plumbing {
    /// The lines that begin or end here.
    pub fn lines_at(&self, end: End) -> impl Iterator<Item = usize> + '_ {
        self.lines
            .iter()
            .enumerate()
            .filter(move |(_, line)| line.from == end || line.to == end)
            .map(|(at, _)| at)
    }

    /// The valves of a line, in their order along it.
    pub fn valves_of(&self, line: usize) -> impl Iterator<Item = usize> + '_ {
        self.line_of_valve
            .iter()
            .enumerate()
            .filter(move |(_, own)| **own == line)
            .map(|(at, _)| at)
    }
}

impl Station {
    /// The owner's name of an end.
    pub fn name_of(&self, end: End) -> &str {
        let name = match end {
            End::Vessel(at) => self.vessels.get(at).map(|vessel| &vessel.name),
            End::Tank(at) => self.tanks.get(at).map(|tank| &tank.name),
            End::Pump(at) => self.pumps.get(at).map(|pump| &pump.name),
            End::Tee(at) => self.tees.get(at).map(|tee| &tee.name),
            End::Draw(at) => self.draw_points.get(at).map(|draw| &draw.name),
        };
        name.map_or("", String::as_str)
    }

    /// Heights of a line's two ends above the room's floor, m; `None` in a tank whose height isn't known, and for a line that
    /// isn't there.
    pub fn line_ends_m(&self, line: usize) -> [Option<f64>; 2] {
        match (self.lines.get(line), self.plumbing.lines.get(line)) {
            (Some(own), Some(joined)) => height::ends_m(self, &own.fields, *joined),
            _ => [None; 2],
        }
    }

    /// Whether anything is plumbed.
    pub fn is_plumbed(&self) -> bool {
        !self.lines.is_empty()
    }
}

/// Finds every name and refuses what can't be joined.
pub(crate) fn join(station: &Station, faults: &mut Vec<Fault>) -> Plumbing {
    let before = faults.len();
    let plumbing = Plumbing {
        lines: names::lines(station, faults),
        line_of_valve: names::valves(station, faults),
        other_way: linked::other_ways(station, faults),
        runs_only_with: linked::interlocks(station, faults),
        tasks: names::tasks(station, faults),
    };
    if faults.len() == before {
        check::check(station, &plumbing, faults);
    }
    plumbing
}
