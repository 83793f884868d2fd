//! Which vessels a pump can draw from, and what it can fill, by the lines alone.

use crate::plumbing::End;
use crate::station::Station;

/// A vessel that a pump can draw from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The vessel.
    pub vessel: usize,
    /// The valves that a person turns nearest to the vessel. While one isn't closed the pump may be drawing from the
    /// vessel.
    pub valves: Vec<usize>,
    /// Whether a way has no such valve, so that the pump always may be.
    pub is_open: bool,
}

/// The vessels that a pump can draw from: from its inlet along lines and through tees.
pub(super) fn sources(station: &Station, pump: usize) -> Vec<Source> {
    let lines = &station.plumbing.lines;
    let near = reached(station, |line| {
        (lines[line].to == End::Pump(pump)).then_some(lines[line].from)
    });
    let vessels = near.iter().filter_map(|end| match end {
        End::Vessel(vessel) => Some(*vessel),
        _ => None,
    });
    vessels
        .map(|vessel| source(station, pump, vessel, &near))
        .collect()
}

/// The vessels and tanks that a pump can fill: from its outlet along lines and through tees.
pub(super) fn fills(station: &Station, pump: usize) -> Vec<End> {
    let lines = &station.plumbing.lines;
    let mut ends = reached(station, |line| {
        (lines[line].from == End::Pump(pump)).then_some(lines[line].to)
    });
    ends.retain(|end| matches!(end, End::Vessel(_) | End::Tank(_)));
    ends
}

/// Every end that can be reached through tees from where some lines lead.
fn reached(station: &Station, first: impl Fn(usize) -> Option<End>) -> Vec<End> {
    let lines = &station.plumbing.lines;
    let mut ends: Vec<End> = (0..lines.len()).filter_map(first).collect();
    let mut done = 0;
    while let Some(end) = ends.get(done).copied() {
        done += 1;
        if !matches!(end, End::Tee(_)) {
            continue;
        }
        for line in station.plumbing.lines_at(end) {
            let other = other_end(station, line, end);
            if !ends.contains(&other) {
                ends.push(other);
            }
        }
    }
    ends.sort_unstable();
    ends.dedup();
    ends
}

fn other_end(station: &Station, line: usize, end: End) -> End {
    let joined = &station.plumbing.lines[line];
    if joined.from == end {
        joined.to
    } else {
        joined.from
    }
}

/// From a vessel towards the pump, up to the first valve on each way.
fn source(station: &Station, pump: usize, vessel: usize, near: &[End]) -> Source {
    let mut own = Source {
        vessel,
        valves: Vec::new(),
        is_open: false,
    };
    let mut open = vec![End::Vessel(vessel)];
    let mut done = 0;
    while let Some(here) = open.get(done).copied() {
        done += 1;
        for line in station.plumbing.lines_at(here) {
            let there = other_end(station, line, here);
            let arrives = station.plumbing.lines[line].to == End::Pump(pump);
            let leads_on = matches!(there, End::Tee(_)) && near.contains(&there);
            if !arrives && !leads_on {
                continue;
            }
            match nearest_valve(station, line, here) {
                Some(valve) if !own.valves.contains(&valve) => own.valves.push(valve),
                Some(_) => {}
                None if arrives => own.is_open = true,
                None if !open.contains(&there) => open.push(there),
                None => {}
            }
        }
    }
    own.valves.sort_unstable();
    own
}

/// The valve of a line that a person turns, nearest to one of its ends.
fn nearest_valve(station: &Station, line: usize, end: End) -> Option<usize> {
    let valves = station.plumbing.valves_of(line);
    let mut set = valves.filter(|valve| station.valves[*valve].fields.kind.value.is_set());
    if station.plumbing.lines[line].from == end {
        set.next()
    } else {
        set.last()
    }
}
