//! Ways from here to there, and the valve positions that make each.

use std::collections::BTreeSet;

use station::Station;
use station::plumbing::{End, Task};

use super::state::Setting;

/// Ways that are looked at for one task; a station has a few.
const MOST_WAYS: usize = 64;
/// Lines that a way may have.
const LONGEST: usize = 40;

/// A way of water: its lines in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Way {
    pub(super) lines: Vec<usize>,
}

impl Way {
    /// The setting that opens what is on the way and nothing else.
    pub(super) fn setting(&self, station: &Station, pump: Option<usize>) -> Setting {
        let open = station
            .plumbing
            .line_of_valve
            .iter()
            .map(|line| self.lines.contains(line))
            .collect();
        Setting { open, pump }
    }
}

/// Lines that no water may pass: taken out, opened to the air, or shut off.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Without(pub(crate) BTreeSet<usize>);

impl Without {
    /// Everything is there.
    pub(crate) fn nothing() -> Self {
        Self(BTreeSet::new())
    }
}

/// Every way of a task: through its pump and no other; by gravity first without pumps, then through standing ones.
pub(super) fn ways(station: &Station, task: &Task, without: &Without) -> Vec<Way> {
    let mut search = Search {
        station,
        task,
        without,
        used: BTreeSet::new(),
        lines: Vec::new(),
        found: Vec::new(),
    };
    for line in station.plumbing.lines_at(task.from) {
        search.follow(task.from, line);
    }
    let pumps_on = |way: &Way| {
        way.lines
            .iter()
            .filter(|line| matches!(station.plumbing.lines[**line].to, End::Pump(_)))
            .count()
    };
    let mut found = search.found;
    found.sort_by_key(|way| (pumps_on(way), way.lines.len()));
    found
}

struct Search<'a> {
    station: &'a Station,
    task: &'a Task,
    without: &'a Without,
    used: BTreeSet<End>,
    lines: Vec<usize>,
    found: Vec<Way>,
}

impl Search<'_> {
    /// Follows a line away from an end.
    fn follow(&mut self, from: End, line: usize) {
        if self.found.len() >= MOST_WAYS || self.lines.len() >= LONGEST || self.lines.contains(&line) {
            return;
        }
        if self.without.0.contains(&line) {
            return;
        }
        let joined = self.station.plumbing.lines[line];
        let forward = joined.from == from;
        let far = if forward { joined.to } else { joined.from };
        let one_way = self
            .station
            .plumbing
            .valves_of(line)
            .any(|valve| self.station.valves[valve].fields.kind.value.is_check());
        if one_way && !forward {
            return;
        }
        self.lines.push(line);
        if far == self.task.to {
            if self.is_right() {
                self.found.push(Way {
                    lines: self.lines.clone(),
                });
            }
        } else if self.passes(far, forward) && self.used.insert(far) {
            let onward: Vec<usize> = self
                .station
                .plumbing
                .lines_at(far)
                // Out of a pump by its other side only.
                .filter(|next| match far {
                    End::Pump(_) => self.station.plumbing.lines[*next].from == far,
                    _ => true,
                })
                .collect();
            for next in onward {
                self.follow(far, next);
            }
            self.used.remove(&far);
        }
        self.lines.pop();
    }

    /// Whether water may go on from an end that a line was followed to.
    fn passes(&self, end: End, forward: bool) -> bool {
        match end {
            End::Tee(_) => true,
            End::Pump(pump) => forward && self.task.pump.is_none_or(|own| own == pump),
            End::Vessel(_) | End::Tank(_) | End::Draw(_) => false,
        }
    }

    fn is_right(&self) -> bool {
        match self.task.pump {
            None => true,
            Some(pump) => self
                .lines
                .iter()
                .any(|line| self.station.plumbing.lines[*line].to == End::Pump(pump)),
        }
    }
}
