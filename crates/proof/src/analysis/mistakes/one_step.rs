//! From each task every single wrong move.

use station::Station;
use station::plumbing::{End, Task};
use station::sections::Water;

use super::kind::Kind;
use super::survey::{HarmIds, HarmSet};

/// What a task is there to do, or comes to by itself when it is done: no mistake.
///
/// A bucket under a draw point is watched; a vessel is filled on purpose; a source that a task empties is its end.
pub(super) fn purpose(station: &Station, task: &Task, ids: &HarmIds) -> HarmSet {
    let mut set = 0;
    match task.to {
        End::Draw(_) => set |= ids.bit(Kind::ToFloor, task.to),
        End::Vessel(_) if task.from != task.to => {
            set |= ids.bit(Kind::OverRim, task.to);
            // Water for a batch, or salt water into a vessel that is to be salted.
            if holds(station, task.from) != holds(station, task.to) {
                set |= ids.bit(Kind::FreshIntoSalt, task.to);
            }
        }
        End::Tank(_) => {
            set |= ids.bit(Kind::SiphonIntoTank, task.to) | ids.bit(Kind::OverRim, task.to);
            if holds(station, task.from) == Some(Water::Fresh) {
                set |= ids.bit(Kind::FreshIntoSalt, task.to);
            }
        }
        End::Vessel(_) | End::Pump(_) | End::Tee(_) => {}
    }
    match task.from {
        End::Tank(_) => set |= ids.bit(Kind::TankDrawnBack, task.from),
        End::Vessel(_) if task.from != task.to => {
            set |= ids.bit(Kind::HeaterUncovered, task.from);
            if let Some(pump) = task.pump {
                set |= ids.bit(Kind::PumpDry, End::Pump(pump));
            }
        }
        End::Vessel(_) | End::Draw(_) | End::Pump(_) | End::Tee(_) => {}
    }
    set
}

fn holds(station: &Station, end: End) -> Option<Water> {
    match end {
        End::Vessel(vessel) => Some(station.vessels[vessel].fields.holds.value),
        _ => None,
    }
}
