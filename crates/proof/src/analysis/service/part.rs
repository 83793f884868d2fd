//! The parts that are taken out, and where the station is opened for each.

use std::collections::BTreeSet;

use serde::Serialize;
use station::Station;
use station::plumbing::End;

use super::mesh::{Mesh, Piece};
use super::reach::{Kept, Opening, keep_away};

/// What kind of part is taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// A pump.
    Pump,
    /// A vessel, emptied: to clean it, or for a leak.
    Vessel,
    /// A valve.
    Valve,
    /// One line, or several that the same valves shut off.
    Lines,
    /// The heater of a vessel.
    Heater,
    /// The chiller of a vessel.
    Chiller,
    /// A filter for particles.
    SedimentFilter,
    /// A filter of carbon.
    Carbon,
    /// A membrane.
    Membrane,
    /// A bed of resin.
    ResinBed,
    /// All of the purifier.
    Purifier,
}

impl PartKind {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pump => "pump",
            Self::Vessel => "vessel",
            Self::Valve => "valve",
            Self::Lines => "lines",
            Self::Heater => "heater",
            Self::Chiller => "chiller",
            Self::SedimentFilter => "sediment filter",
            Self::Carbon => "carbon",
            Self::Membrane => "membrane",
            Self::ResinBed => "resin bed",
            Self::Purifier => "purifier",
        }
    }

    /// Whether it belongs to the purifier.
    pub fn is_of_purifier(self) -> bool {
        matches!(
            self,
            Self::SedimentFilter | Self::Carbon | Self::Membrane | Self::ResinBed | Self::Purifier
        )
    }
}

/// A part of the plumbing, taken out.
#[derive(Debug, Clone)]
pub(super) struct Subject {
    pub(super) name: String,
    pub(super) kind: PartKind,
    pub(super) kept: Kept,
    /// Lines that can't be used while it is out, even with every open end capped.
    pub(super) own_lines: BTreeSet<usize>,
    /// The lines that it is, for a hose to change.
    pub(super) lines: Vec<usize>,
    /// The vessel that it is.
    pub(super) vessel: Option<usize>,
    /// Ends of its lines that are lifted out of the water before: line and what they hang in.
    pub(super) lifted: Vec<(usize, End)>,
}

/// Every pump.
pub(super) fn pumps(station: &Station, mesh: &Mesh) -> Vec<Subject> {
    (0..station.pumps.len())
        .filter_map(|at| pump(station, mesh, at))
        .collect()
}

/// Every pump, vessel and valve, then the lines in groups.
pub(super) fn subjects(station: &Station, mesh: &Mesh) -> Vec<Subject> {
    let mut out = pumps(station, mesh);
    out.extend((0..station.vessels.len()).map(|at| vessel(station, mesh, at)));
    out.extend((0..station.valves.len()).filter_map(|at| valve(station, mesh, at)));
    out.extend(lines(station, mesh));
    out
}

fn pump(station: &Station, mesh: &Mesh, at: usize) -> Option<Subject> {
    let end = End::Pump(at);
    let place = mesh.places.iter().position(|place| place.end == Some(end))?;
    let opening = Opening {
        removed: None,
        places: vec![place],
        emptied: Vec::new(),
    };
    Some(Subject {
        name: station.pumps[at].name.clone(),
        kind: PartKind::Pump,
        kept: keep_away(mesh, &opening),
        own_lines: station.plumbing.lines_at(end).collect(),
        lines: Vec::new(),
        vessel: None,
        lifted: Vec::new(),
    })
}

fn vessel(station: &Station, mesh: &Mesh, at: usize) -> Subject {
    let end = End::Vessel(at);
    let opening = Opening {
        removed: None,
        places: (0..mesh.places.len())
            .filter(|place| mesh.places[*place].end == Some(end))
            .collect(),
        emptied: springs(mesh, |spring| spring.end == end),
    };
    Subject {
        name: station.vessels[at].name.clone(),
        kind: PartKind::Vessel,
        kept: keep_away(mesh, &opening),
        own_lines: station.plumbing.lines_at(end).collect(),
        lines: Vec::new(),
        vessel: Some(at),
        lifted: Vec::new(),
    }
}

fn valve(station: &Station, mesh: &Mesh, at: usize) -> Option<Subject> {
    let piece = Piece::Valve(at);
    let opening = Opening {
        removed: Some(piece),
        places: mesh.joint_of(piece)?.ends.to_vec(),
        emptied: Vec::new(),
    };
    Some(Subject {
        name: station.valves[at].name.clone(),
        kind: PartKind::Valve,
        kept: keep_away(mesh, &opening),
        own_lines: station
            .plumbing
            .line_of_valve
            .get(at)
            .copied()
            .into_iter()
            .collect(),
        lines: Vec::new(),
        vessel: None,
        lifted: Vec::new(),
    })
}

/// Lines, those together that the same closed valves shut off.
fn lines(station: &Station, mesh: &Mesh) -> Vec<Subject> {
    let mut out: Vec<Subject> = Vec::new();
    for line in 0..station.lines.len() {
        let Some(own) = one_line(station, mesh, line) else {
            continue;
        };
        let same = out.iter_mut().find(|other| {
            set(&other.kept.close) == set(&own.kept.close)
                && set(&other.kept.opened) == set(&own.kept.opened)
                && ends(mesh, &other.kept) == ends(mesh, &own.kept)
        });
        match same {
            None => out.push(own),
            Some(group) => {
                group.lines.extend(own.lines);
                group.own_lines.extend(own.own_lines);
                group.lifted.extend(own.lifted);
                // Whichever of them comes off, as much as the worst.
                if own.kept.standing_m3 > group.kept.standing_m3 {
                    group.kept = own.kept;
                }
            }
        }
    }
    for group in &mut out {
        let names: Vec<&str> = group
            .lines
            .iter()
            .map(|line| station.lines[*line].name.as_str())
            .collect();
        group.name = names.join(", ");
    }
    out
}

fn one_line(station: &Station, mesh: &Mesh, line: usize) -> Option<Subject> {
    let piece = Piece::Tube(line);
    // An end that hangs over a rim is lifted out with its line.
    let emptied = springs(mesh, |spring| spring.line == line && spring.hangs);
    let lifted = emptied.iter().map(|at| (line, mesh.springs[*at].end)).collect();
    let opening = Opening {
        removed: Some(piece),
        places: mesh.joint_of(piece)?.ends.to_vec(),
        emptied,
    };
    Some(Subject {
        name: station.lines[line].name.clone(),
        kind: PartKind::Lines,
        kept: keep_away(mesh, &opening),
        own_lines: BTreeSet::from([line]),
        lines: vec![line],
        vessel: None,
        lifted,
    })
}

fn springs(mesh: &Mesh, wanted: impl Fn(&super::mesh::Spring) -> bool) -> Vec<usize> {
    (0..mesh.springs.len())
        .filter(|at| wanted(&mesh.springs[*at]))
        .collect()
}

fn set(list: &[usize]) -> BTreeSet<usize> {
    list.iter().copied().collect()
}

fn ends(mesh: &Mesh, kept: &Kept) -> BTreeSet<End> {
    kept.open_springs
        .iter()
        .map(|(at, _)| mesh.springs[*at].end)
        .collect()
}
