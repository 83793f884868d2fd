//! What the printers know of a station besides its program: names, where its marks lie, units.

use super::super::block::Read;
use super::super::program::Program;
use super::super::settings::Settings;
use super::super::signal::{Input, Mark, Task};
use crate::quantity::{Currency, Kind, UnitSystem, format_plain, format_tape};
use crate::station::{Station, Vessel};
use crate::tags::Counts;

/// Names and marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// What control is made from, with the names.
    pub settings: Settings,
    /// Its title.
    pub title: String,
    /// The file that it was read from; empty where there is none.
    pub file: String,
    /// The owner's units.
    pub units: UnitSystem,
    /// How many there are of what is numbered through.
    pub counts: Counts,
    /// Where marks lie above the vessel's floor, m.
    pub marks_m: Vec<(usize, Mark, f64)>,
}

impl Facts {
    /// Of a station that was read from a file of this name.
    pub fn of(station: &Station, file: &str) -> Self {
        let marks = |(at, vessel): (usize, &Vessel)| {
            let fields = &vessel.fields;
            let given = [
                (Mark::LowCutout, fields.low_cutout_level.as_ref()),
                (Mark::HeaterLevel, fields.heater_level.as_ref()),
                (Mark::Start, fields.start_level.as_ref()),
                (Mark::Stop, fields.stop_level.as_ref()),
                (Mark::Backup, fields.backup_level.as_ref()),
            ];
            let high_m = vessel.shape.height_m() - fields.freeboard.value.m();
            given
                .into_iter()
                .filter_map(move |(mark, level)| Some((at, mark, level?.value.m())))
                .chain([(at, Mark::High, high_m)])
                .collect::<Vec<_>>()
        };
        Self {
            settings: Settings::of(station),
            title: station.title.title.value.clone(),
            file: file.to_owned(),
            units: station.units(),
            counts: Counts::of(station),
            marks_m: station.vessels.iter().enumerate().flat_map(marks).collect(),
        }
    }

    /// Of settings alone: nothing is known of marks.
    pub fn bare(settings: Settings) -> Self {
        Self {
            title: String::new(),
            file: String::new(),
            units: UnitSystem::Si,
            counts: Counts {
                vessels: settings.vessels.len(),
                tanks: settings.tanks.len(),
                valves: settings.valves.len(),
            },
            marks_m: Vec::new(),
            settings,
        }
    }

    pub(super) fn vessel(&self, at: usize) -> &str {
        self.settings.vessels.get(at).map_or("", |own| own.name.as_str())
    }

    pub(super) fn tank(&self, at: usize) -> &str {
        self.settings.tanks.get(at).map_or("", |(name, _)| name.as_str())
    }

    pub(super) fn pump(&self, at: usize) -> &str {
        self.settings.pumps.get(at).map_or("", |own| own.name.as_str())
    }

    pub(super) fn valve(&self, at: usize) -> &str {
        self.settings.valves.get(at).map_or("", String::as_str)
    }

    /// Where a mark lies, in the owner's units: ` (880 mm)`, or nothing where that isn't known.
    pub(super) fn height(&self, vessel: usize, mark: Mark) -> String {
        let own = self
            .marks_m
            .iter()
            .find(|(at, own, _)| *at == vessel && *own == mark);
        own.map_or_else(String::new, |(.., m)| {
            format!(" ({})", format_tape(*m, self.units))
        })
    }

    /// A temperature in the owner's units.
    pub(super) fn temperature(&self, celsius: f64) -> String {
        format_plain(Kind::Temperature, celsius, self.units, &Currency::default())
    }

    /// What an input says when it is on, as a name for it in a program.
    pub(super) fn short(&self, input: Input) -> String {
        match input {
            Input::Power => "power".into(),
            Input::LevelAtOrAbove { vessel, mark } => format!(
                "{} {}",
                self.vessel(vessel),
                match mark {
                    Mark::LowCutout => "above low cut-out",
                    Mark::HeaterLevel => "covers heater",
                    Mark::Start => "at start",
                    Mark::Stop => "at stop",
                    Mark::Backup => "at backup",
                    Mark::High => "at high cut-out",
                }
            ),
            Input::TankHigh { tank } => format!("{} at high cut-out", self.tank(tank)),
            Input::Leak => "floor wet".into(),
            Input::SomebodyHere => "somebody here".into(),
            Input::Ask(Task::Fill) => "fill switched on".into(),
            Input::Ask(Task::Pump(at)) => format!("{} switched on", self.pump(at)),
            Input::Ask(Task::Warm(at)) => format!("{} wanted warm", self.vessel(at)),
            Input::Reset => "reset pressed".into(),
            Input::FlowSeen { pump } => format!("{} has flow", self.pump(pump)),
            Input::ValveOpen { valve } => format!("{} not closed", self.valve(valve)),
        }
    }
}

/// A time as it is told: `2 s`, `5 min`, `11 h 40 min`. Whole milliseconds, as a controller counts.
pub(super) fn time(seconds: f64) -> String {
    let ms = milliseconds(seconds);
    let mut parts = Vec::new();
    let mut rest = ms;
    for (name, unit) in [("d", 86_400_000), ("h", 3_600_000), ("min", 60_000)] {
        if rest >= unit {
            parts.push(format!("{} {name}", rest / unit));
            rest %= unit;
        }
    }
    if rest > 0 || parts.is_empty() {
        let (whole, part) = (rest / 1000, rest % 1000);
        parts.push(match part {
            0 => format!("{whole} s"),
            _ => format!("{} s", format!("{whole}.{part:03}").trim_end_matches('0')),
        });
    }
    parts.join(" ")
}

/// Whole milliseconds of a time; nothing is below zero.
pub(super) fn milliseconds(seconds: f64) -> u64 {
    // A float beyond the range becomes the range's end, and what isn't a number becomes 0.
    (seconds * 1000.0).round() as u64
}

impl Facts {
    /// What a block reads, in words, with the mark's height.
    pub(super) fn said(&self, program: &Program, read: &Read) -> String {
        let wire = usize::from(read.wire);
        let height = program.inputs().get(wire).map(|input| self.height_of(*input));
        let not = if read.negated { "not: " } else { "" };
        format!("{not}{}{}", program.name(wire), height.unwrap_or_default())
    }

    /// Where the mark of an input lies, as [`Facts::height`]; nothing for what is no level.
    pub(super) fn height_of(&self, input: Input) -> String {
        match input {
            Input::LevelAtOrAbove { vessel, mark } => self.height(vessel, mark),
            _ => String::new(),
        }
    }
}
