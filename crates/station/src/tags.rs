//! Tags as ISA-5.1 builds them: letters for what a thing does, a number for its place in the file among its kind, so that
//! it stays.
//!
//! Owns: the letters and the numbers, for drawings and lists alike. Doesn't own: where a tag is written.
//!
//! Letters of ISA-5.1, from memory: first A analysis, F flow, H hand, K time, L level, P pressure, T temperature, X
//! unclassified, Z position; then A alarm, E sensing element, S switch, V valve, CV one that regulates itself, H high,
//! HH very high, L low, LL very low, C closed, O open. TK for a tank, P for a pump, D for a draw point, CK for a check
//! valve and EH for an electric heater are common practice, no source.

use crate::control::{Alarm, Input, Mark, Output, Task};
use crate::sections::Valve;
use crate::station::Station;

/// Letters and a number that counts from 1.
pub fn tag(letters: &str, at: usize) -> String {
    format!("{letters}-{}", at + 1)
}

/// Letters of a valve.
pub fn valve_letters(kind: Valve) -> &'static str {
    match kind {
        Valve::Solenoid => "XV",
        Valve::Float => "LCV",
        kind if kind.is_check() => "CK",
        _ => "HV",
    }
}

/// Tag of a vessel.
pub fn vessel(at: usize) -> String {
    tag("TK", at)
}

/// Tag of a tank; tanks are numbered behind the vessels.
pub fn tank(vessels: usize, at: usize) -> String {
    tag("TK", vessels + at)
}

/// Tag of a pump.
pub fn pump(at: usize) -> String {
    tag("P", at)
}

/// Tag of a level switch of a vessel. Two marks that do the same for something else have a B behind the number.
pub fn level_switch(at: usize, mark: Mark) -> String {
    match mark {
        Mark::Backup => tag("LSHH", at),
        Mark::High => tag("LSHH", at) + "B",
        Mark::Stop => tag("LSH", at),
        Mark::Start => tag("LSL", at),
        Mark::HeaterLevel => tag("LSL", at) + "B",
        Mark::LowCutout => tag("LSLL", at),
    }
}

/// How many there are of what is numbered through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Vessels.
    pub vessels: usize,
    /// Tanks.
    pub tanks: usize,
    /// Valves of the file.
    pub valves: usize,
}

impl Counts {
    /// Of a station.
    pub fn of(station: &Station) -> Self {
        Self {
            vessels: station.vessels.len(),
            tanks: station.tanks.len(),
            valves: station.valves.len(),
        }
    }

    /// Tag of the purifier's electric feed valve: behind the valves of the file.
    pub fn feed_valve(&self) -> String {
        tag(valve_letters(Valve::Solenoid), self.valves)
    }

    /// Tag of what is sensed. Switches that a person turns: 1 reset, 2 somebody is here, 3 the fill, from 101 the pumps,
    /// from 201 the heaters (house rule). What belongs to no vessel is numbered behind vessels and tanks. `None` for
    /// power, which is no contact.
    pub fn input(&self, input: Input) -> Option<String> {
        let floor = self.vessels + self.tanks;
        Some(match input {
            Input::Power => return None,
            Input::LevelAtOrAbove { vessel, mark } => level_switch(vessel, mark),
            Input::TankHigh { tank } => tag("LSHH", self.vessels + tank),
            Input::Leak => tag("LSH", floor),
            Input::Reset => tag("HS", 0),
            Input::SomebodyHere => tag("HS", 1),
            Input::Ask(Task::Fill) => tag("HS", 2),
            Input::Ask(Task::Pump(at)) => tag("HS", 100 + at),
            Input::Ask(Task::Warm(at)) => tag("HS", 200 + at),
            Input::FlowSeen { pump } => tag("FSL", pump),
            Input::ValveOpen { valve } => tag("ZSC", valve),
        })
    }

    /// Tag of what is switched.
    pub fn output(&self, output: Output) -> String {
        let floor = self.vessels + self.tanks;
        match output {
            Output::Feed => self.feed_valve(),
            Output::Pump(at) => pump(at),
            Output::Heater(at) => tag("EH", at),
            Output::Alarm(Alarm::Leak) => tag("LAH", floor),
            Output::Alarm(Alarm::Overfull) => tag("LAHH", floor),
            Output::Alarm(Alarm::RunTooLong) => tag("KAH", floor),
            Output::Alarm(Alarm::DryPump(at)) => tag("FAL", at),
            Output::Alarm(Alarm::Chatter(at)) => tag("LA", at),
        }
    }
}

/// Tag of the thermometer of a vessel.
pub fn thermometer(at: usize) -> String {
    tag("TE", at)
}
