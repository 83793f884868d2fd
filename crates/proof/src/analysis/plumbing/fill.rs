//! The purifier's fill: what it brings into each vessel that fills itself, by the vessel's level.
//!
//! Owns: at which level it runs and why. Doesn't own: how much the purifier makes (`water`).

use station::sections::{Control, Fill};
use station::{Station, Vessel};

use crate::analysis::speak::tape;

/// The fill of one vessel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Filling {
    permeate_m3_s: f64,
    start_m: f64,
    stop_m: f64,
    /// From the beginning.
    runs: bool,
}

/// Height over which a fill that begins on the way is taken to come on, m: a step in the flow would stop the integrator.
const COMES_ON_M: f64 = 0.005;
/// A level that is read to less than that is the same level, m.
const SAME_M: f64 = 1e-9;

impl Filling {
    /// What comes in at a level, once the task goes on.
    pub(super) fn flow_m3_s(&self, level_m: f64) -> f64 {
        if level_m >= self.stop_m {
            0.0
        } else if self.runs {
            self.permeate_m3_s
        } else {
            self.permeate_m3_s * ((self.start_m + COMES_ON_M - level_m) / COMES_ON_M).clamp(0.0, 1.0)
        }
    }
}

/// Where a fill stands at a moment.
pub(super) enum State {
    /// Water comes in.
    Runs(Filling, String),
    /// None comes, but it will when the level has sunk.
    Waits(Filling, String),
    /// None comes at any level.
    Never(String),
}

/// The fill of every vessel at its level; `None` for those that a person fills. What is made goes to equal parts into
/// those that run at the moment.
pub(super) fn fills(station: &Station, levels_m: &[f64], permeate_m3_s: f64) -> Vec<Option<State>> {
    let mut states: Vec<Option<State>> = station
        .vessels
        .iter()
        .zip(levels_m)
        .map(|(vessel, level_m)| {
            (vessel.fields.fill.value == Fill::Automatic)
                .then(|| state(station, vessel, *level_m, permeate_m3_s))
        })
        .collect();
    let running = states
        .iter()
        .filter(|state| matches!(state, Some(State::Runs(..))))
        .count();
    for state in states.iter_mut().flatten() {
        if let State::Runs(filling, _) = state {
            filling.permeate_m3_s /= running as f64;
        }
    }
    states
}

fn state(station: &Station, vessel: &Vessel, level_m: f64, permeate_m3_s: f64) -> State {
    let name = &vessel.name;
    let never = |why: String| State::Never(why);
    let Some(purifier) = &station.purifier else {
        return never(format!(
            "{name} fills itself, but the file has no purifier that does it."
        ));
    };
    if let Some(other) = &purifier.fields.fills
        && other.value != *name
    {
        return never(format!("The purifier fills {}, not {name}.", other.value));
    }
    if permeate_m3_s <= 0.0 {
        return never("The purifier makes nothing.".to_owned());
    }
    let Some(stop) = &vessel.fields.stop_level else {
        return never(format!(
            "{name} has no stop_level in the file, so its fill isn't counted."
        ));
    };
    let stop_m = stop.value.m();
    let start_m = match (purifier.fields.control.value, &vessel.fields.start_level) {
        // A float opens as soon as it sinks.
        (Control::Float, _) => stop_m,
        (Control::Levels, Some(start)) => start.value.m(),
        (Control::Levels, None) => {
            return never(format!(
                "{name} has no start_level in the file, so its fill isn't counted."
            ));
        }
        (Control::Timer, _) => {
            return never(
                "A clock starts the purifier, whatever the level: its fill isn't counted.".to_owned(),
            );
        }
        (Control::Attended, _) => {
            return never("A person starts the purifier: its fill isn't counted.".to_owned());
        }
    };
    let filling = |runs| Filling {
        permeate_m3_s,
        start_m,
        stop_m,
        runs,
    };
    let at = tape(station, level_m);
    if level_m >= stop_m - SAME_M {
        State::Waits(
            filling(false),
            format!(
                "Nothing runs into {name}: at {at} it stands at its stop level of {} or above.",
                tape(station, stop_m)
            ),
        )
    } else if level_m <= start_m + SAME_M {
        let until = tape(station, stop_m);
        State::Runs(
            filling(true),
            match purifier.fields.control.value {
                Control::Float => {
                    format!("The purifier runs into {name}: its float hangs open under {until}.")
                }
                _ => format!(
                    "The purifier runs into {name}: at {at} it stands no higher than its start level of {}, and it is filled to {until}.",
                    tape(station, start_m)
                ),
            },
        )
    } else {
        State::Waits(
            filling(false),
            format!(
                "Nothing runs into {name}: at {at} it stands above its start level of {}. A run that has begun already goes on to {}.",
                tape(station, start_m),
                tape(station, stop_m)
            ),
        )
    }
}
