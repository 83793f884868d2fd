//! Everything that a hand can turn or switch: a position of all of them is one number.
//!
//! Owns: which bit is which valve or pump, and what a three-way valve or an interlock doesn't let happen.

use station::Station;

use super::super::plumbing::Setting;
use crate::method::Refusal;

/// A position of every valve and pump: a bit is set where a valve is open or a pump runs.
pub(crate) type Position = u64;

/// The most valves and pumps that a position counts.
pub(super) const MOST: usize = 48;

/// One thing that can be turned or switched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Switch {
    /// A valve that somebody turns, by its place in the station.
    Valve(usize),
    /// A pump, likewise.
    Pump(usize),
}

/// All of them: first the valves, then the pumps, each in the order of the file.
#[derive(Debug, Clone)]
pub(crate) struct Switches {
    all: Vec<Switch>,
    /// For each its other way, where it is half of a three-way valve.
    other_way: Vec<Option<usize>>,
    /// Pumps with the valves of which one must be open: bit of the pump, bits of the valves.
    interlocks: Vec<(Position, Position)>,
}

impl Switches {
    /// Those of a station.
    ///
    /// # Errors
    /// [`Refusal::TooMany`].
    pub(crate) fn of(station: &Station) -> Result<Self, Refusal> {
        let valves =
            (0..station.valves.len()).filter(|valve| station.valves[*valve].fields.kind.value.is_set());
        let all: Vec<Switch> = valves
            .map(Switch::Valve)
            .chain((0..station.pumps.len()).map(Switch::Pump))
            .collect();
        if all.len() > MOST {
            return Err(Refusal::TooMany {
                what: "valves and pumps",
                given: all.len(),
                most: MOST,
            });
        }
        let mut own = Self {
            other_way: vec![None; all.len()],
            all,
            interlocks: Vec::new(),
        };
        for bit in 0..own.all.len() {
            if let Switch::Valve(valve) = own.all[bit]
                && let Some(other) = station.plumbing.other_way[valve]
            {
                own.other_way[bit] = own.bit_of(Switch::Valve(other));
            }
        }
        for (pump, needed) in station.plumbing.runs_only_with.iter().enumerate() {
            if needed.is_empty() {
                continue;
            }
            let valves = needed.iter().map(|valve| own.mask_of(Switch::Valve(*valve)));
            let interlock = (own.mask_of(Switch::Pump(pump)), valves.fold(0, |a, b| a | b));
            own.interlocks.push(interlock);
        }
        Ok(own)
    }

    /// How many there are.
    pub(crate) fn count(&self) -> usize {
        self.all.len()
    }

    /// The one of a bit.
    pub(crate) fn switch(&self, bit: usize) -> Switch {
        self.all[bit]
    }

    fn bit_of(&self, switch: Switch) -> Option<usize> {
        self.all.iter().position(|own| *own == switch)
    }

    /// Its bit as a number; 0 for what nobody turns.
    pub(crate) fn mask_of(&self, switch: Switch) -> Position {
        self.bit_of(switch).map_or(0, |bit| 1 << bit)
    }

    /// The position of a task.
    pub(crate) fn position_of(&self, setting: &Setting) -> Position {
        let is_on = |switch: &Switch| match *switch {
            Switch::Valve(valve) => setting.open[valve],
            Switch::Pump(pump) => setting.pump == Some(pump),
        };
        let bits = self.all.iter().enumerate().filter(|(_, switch)| is_on(switch));
        bits.fold(0, |position, (bit, _)| position | 1 << bit)
    }

    /// A position with every pump stopped.
    pub(super) fn with_pumps_stopped(&self, position: Position) -> Position {
        let pumps = self.all.iter().enumerate();
        let pumps = pumps.filter(|(_, switch)| matches!(switch, Switch::Pump(_)));
        pumps.fold(position, |position, (bit, _)| position & !(1 << bit))
    }

    /// Whether it can be at all: a three-way valve never has both ways open, and an interlock stops its pump.
    pub(crate) fn can_be(&self, position: Position) -> bool {
        !self.opens_both_ways(position) && self.stopped(position) == position
    }

    /// Whether both ways of a three-way valve are open, which can't be.
    pub(super) fn opens_both_ways(&self, position: Position) -> bool {
        let ways = self.other_way.iter().enumerate();
        ways.filter_map(|(bit, other)| Some((bit, (*other)?)))
            .any(|(bit, other)| position >> bit & position >> other & 1 == 1)
    }

    /// The position with the pumps stopped that an interlock stops.
    fn stopped(&self, position: Position) -> Position {
        let mut position = position;
        for (pump, valves) in &self.interlocks {
            if position & valves == 0 {
                position &= !pump;
            }
        }
        position
    }

    /// What one move of a switch makes of a position; opening one way of a three-way valve closes the other. `None` where
    /// an interlock holds it.
    pub(crate) fn moved(&self, position: Position, bit: usize) -> Option<Position> {
        let mut next = position ^ (1 << bit);
        if next >> bit & 1 == 1
            && let Some(other) = self.other_way[bit]
        {
            next &= !(1 << other);
        }
        let next = self.stopped(next);
        (next != position).then_some(next)
    }

    /// Whether each move turns one switch and no other.
    pub(crate) fn one_at_a_time(&self) -> bool {
        self.interlocks.is_empty() && self.other_way.iter().all(Option::is_none)
    }

    /// The switches in the order in which one would move them: stop pumps, close valves, open valves, start pumps.
    pub(crate) fn in_order(&self, position: Position) -> Vec<usize> {
        let mut bits: Vec<usize> = (0..self.all.len()).collect();
        bits.sort_by_key(|bit| match (self.all[*bit], position >> bit & 1 == 1) {
            (Switch::Pump(_), true) => 0,
            (Switch::Valve(_), true) => 1,
            (Switch::Valve(_), false) => 2,
            (Switch::Pump(_), false) => 3,
        });
        bits
    }

    /// The valves that are open, by their places in the station.
    pub(crate) fn open_valves(&self, position: Position) -> Vec<usize> {
        let open = self
            .all
            .iter()
            .enumerate()
            .filter(|(bit, _)| position >> bit & 1 == 1);
        open.filter_map(|(_, switch)| match switch {
            Switch::Valve(valve) => Some(*valve),
            Switch::Pump(_) => None,
        })
        .collect()
    }

    /// The owner's names of what is open and what runs.
    pub(crate) fn names(&self, station: &Station, position: Position) -> (Vec<String>, Vec<String>) {
        let (mut valves, mut pumps) = (Vec::new(), Vec::new());
        for (bit, switch) in self.all.iter().enumerate() {
            if position >> bit & 1 == 1 {
                match *switch {
                    Switch::Valve(valve) => valves.push(station.valves[valve].name.clone()),
                    Switch::Pump(pump) => pumps.push(station.pumps[pump].name.clone()),
                }
            }
        }
        (valves, pumps)
    }
}
