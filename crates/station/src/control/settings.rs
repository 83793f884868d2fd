//! What control is made from: plain values, read from a station in one place.

use super::ways::{Source, fills, sources};
use crate::plumbing::End;
use crate::sections::Control;
use crate::station::{Station, Vessel, spoken};

/// The longest attended run where the file gives neither a limit nor hours (house rule: a person's half day).
const ATTENDED_LIMIT_S: f64 = 4.0 * 3600.0;
/// Hours a day of a timer without hours (house rule: day and night, as its supply is counted).
const TIMER_S: f64 = 24.0 * 3600.0;
/// Half the difference between a thermostat's on and off, K (common practice, no source: 1 K in all).
const THERMOSTAT_HALF_BAND_K: f64 = 0.5;

/// What control of a station is made from. Vessels, tanks, pumps and valves are indices into the station's lists, and
/// the lists here are in their order.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The purifier, where there is one.
    pub purifier: Option<PurifierSettings>,
    /// Whether there is a leak detector; it stops feed and pumps.
    pub leak_detector: bool,
    /// The vessels.
    pub vessels: Vec<VesselSettings>,
    /// Names of the tanks, and whether each has a high cut-out.
    pub tanks: Vec<(String, bool)>,
    /// The pumps.
    pub pumps: Vec<PumpSettings>,
    /// Names of the valves.
    pub valves: Vec<String>,
}

/// What starts and stops the purifier.
#[derive(Debug, Clone, PartialEq)]
pub struct PurifierSettings {
    /// What starts and stops a run.
    pub control: Control,
    /// Whether an electric valve stops the feed.
    pub feed_valve: bool,
    /// The vessels that it fills.
    pub fills: Vec<usize>,
    /// Hours a day of a timer, longest attended run, s.
    pub hours_a_day_s: Option<f64>,
    /// After so long without a stop a run is a fault, s.
    pub longest_run_s: Option<f64>,
    /// Whether the feed is shut while nobody is here.
    pub shut_when_away: bool,
    /// When a timer opens the feed, s after midnight.
    pub timer_begins_s: f64,
}

/// What is sensed and switched at a vessel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct VesselSettings {
    /// Its name, in plain words.
    pub name: String,
    /// Whether it has a switch at its start mark.
    pub start: bool,
    /// Whether it has a switch at its stop mark.
    pub stop: bool,
    /// Whether its backup tells that it closes.
    pub backup: bool,
    /// Whether it has a low cut-out.
    pub low_cutout: bool,
    /// Whether it has a high cut-out.
    pub high_cutout: bool,
    /// Its heater.
    pub heater: Option<HeaterSettings>,
    /// How it is recirculated by itself.
    pub recirculation: Option<Recirculation>,
}

/// A heater and its thermostat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeaterSettings {
    /// Whether a switch stops it before it stands dry.
    pub low_water_cutoff: bool,
    /// Whether it keeps the vessel warm by itself; otherwise a person asks.
    pub keeps_warm: bool,
    /// It goes on below this, °C.
    pub on_below_c: f64,
    /// It goes off at this and above, °C.
    pub off_at_c: f64,
}

/// Recirculation by a timer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recirculation {
    /// From one beginning to the next, s.
    pub every_s: f64,
    /// How long each time, s; what isn't between 0 and `every_s` means never.
    pub for_s: f64,
}

/// A pump and what it may do.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PumpSettings {
    /// Its name, in plain words.
    pub name: String,
    /// Whether a switch stops it where no water flows.
    pub flow_switch: bool,
    /// Valves of which one must be open for it to run.
    pub runs_only_with: Vec<usize>,
    /// The vessels that it can draw from.
    pub sources: Vec<Source>,
    /// The vessels and tanks that it can fill.
    pub fills: Vec<End>,
    /// The vessels that it recirculates by a task of their own.
    pub recirculates: Vec<usize>,
}

impl Settings {
    /// From a station.
    ///
    /// A level in the file is a switch where something electric reads it: a low cut-out always; start, stop and backup
    /// where the purifier isn't left to a float alone. House rule: a backup tells by a contact that it closes.
    pub fn of(station: &Station) -> Self {
        let purifier = station.purifier.as_ref().map(|purifier| {
            let fields = &purifier.fields;
            PurifierSettings {
                control: fields.control.value,
                feed_valve: fields.feed_valve.value,
                fills: station.filled(),
                hours_a_day_s: fields.hours_a_day.as_ref().map(|hours| hours.value.s()),
                longest_run_s: fields.longest_run.as_ref().map(|longest| longest.value.s()),
                shut_when_away: fields.shut_when_away.value,
                // House rule: a clock is set to open when somebody comes.
                timer_begins_s: station.people.arrives.value.s_after_midnight(),
            }
        });
        let vessels = station.vessels.iter().enumerate().map(|(at, vessel)| {
            let switched = purifier
                .as_ref()
                .is_some_and(|own| own.control != Control::Float && own.fills.contains(&at));
            vessel_settings(vessel, switched)
        });
        let tank = |tank: &crate::station::Tank| (spoken(&tank.name), tank.fields.high_cutout.value);
        Self {
            leak_detector: station
                .purifier
                .as_ref()
                .is_some_and(|own| own.fields.leak_detector.value),
            vessels: vessels.collect(),
            tanks: station.tanks.iter().map(tank).collect(),
            pumps: (0..station.pumps.len())
                .map(|pump| pump_settings(station, pump))
                .collect(),
            valves: station.valves.iter().map(|valve| spoken(&valve.name)).collect(),
            purifier,
        }
    }
}

fn vessel_settings(vessel: &Vessel, switched: bool) -> VesselSettings {
    let fields = &vessel.fields;
    let mixing_c = fields.mixing_temperature.value.c();
    VesselSettings {
        name: spoken(&vessel.name),
        start: switched && fields.start_level.is_some(),
        stop: switched && fields.stop_level.is_some(),
        backup: switched && fields.backup_level.is_some(),
        low_cutout: fields.low_cutout_level.is_some(),
        high_cutout: fields.high_cutout.value,
        heater: fields.heater.as_ref().map(|_| HeaterSettings {
            low_water_cutoff: fields.heater_cutout.value && fields.heater_level.is_some(),
            keeps_warm: fields.keeps_warm.value,
            on_below_c: mixing_c - THERMOSTAT_HALF_BAND_K,
            off_at_c: mixing_c + THERMOSTAT_HALF_BAND_K,
        }),
        recirculation: match (&fields.recirculate_every, &fields.recirculate_for) {
            (Some(every), Some(long)) => Some(Recirculation {
                every_s: every.value.s(),
                for_s: long.value.s(),
            }),
            _ => None,
        },
    }
}

fn pump_settings(station: &Station, pump: usize) -> PumpSettings {
    let own = &station.pumps[pump];
    let mixes = station.plumbing.tasks.iter().filter_map(|task| match task.from {
        End::Vessel(vessel) if task.to == task.from && task.pump == Some(pump) => Some(vessel),
        _ => None,
    });
    let mut recirculates: Vec<usize> = mixes.collect();
    recirculates.sort_unstable();
    recirculates.dedup();
    PumpSettings {
        name: spoken(&own.name),
        flow_switch: own.fields.flow_switch.value,
        runs_only_with: station.plumbing.runs_only_with[pump].clone(),
        sources: sources(station, pump),
        fills: fills(station, pump),
        recirculates,
    }
}

/// The longest attended run, s: the hours a day, or the longest run, whichever is shorter.
pub(super) fn attended_limit_s(purifier: &PurifierSettings) -> f64 {
    let given = [purifier.hours_a_day_s, purifier.longest_run_s];
    let shortest_s = given.into_iter().flatten().fold(f64::INFINITY, f64::min);
    if shortest_s.is_finite() {
        shortest_s
    } else {
        ATTENDED_LIMIT_S
    }
}

/// How long a timer opens the feed each day, s.
pub(super) fn timer_s(purifier: &PurifierSettings) -> f64 {
    purifier.hours_a_day_s.unwrap_or(TIMER_S)
}
