//! What the purifier makes, rejects and loses, by its feed, its floats and its faults.

use super::fault::FeedFault;
use super::ground::Ground;
use super::lens::Lens;

/// What a housing loses where its seal sits badly, and a push-in fitting, m³/s (house rules: a litre in an hour, a
/// quarter of one).
const HOUSING_M3_S: f64 = 1e-3 / 3600.0;
const FITTING_M3_S: f64 = 0.25e-3 / 3600.0;
/// What a float passes that shuts badly, as a share of the permeate (house rule).
const WEEP: f64 = 0.05;
/// Pressure of a high feed over the usual one (house rule: a reducer that creeps, a quiet night).
const HIGH: f64 = 1.5;
/// From one start to the next of a purifier whose check valve leaks, s (common practice, no source: "every few minutes").
pub(crate) const CYCLE_S: f64 = 300.0;

/// What flows at the purifier now.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Made {
    /// Vessels that get permeate, as bits, and each one's share, m³/s.
    pub(crate) fills: u64,
    pub(crate) share_m3_s: f64,
    pub(crate) permeate_m3_s: f64,
    pub(crate) reject_m3_s: f64,
    /// Onto the floor at the purifier, m³/s; not the reject.
    pub(crate) floor_m3_s: f64,
    /// Whether the feed stands open with nothing made.
    pub(crate) waits: bool,
}

/// What flows while its feed valve stands open or not; `ways` are the vessels whose float lets water in, `weeping` those
/// whose float should be shut and weeps. `thawed` is whether a frozen feed has thawed.
pub(crate) fn made(
    ground: &Ground<'_>,
    lens: &Lens,
    open: bool,
    (ways, weeping): (u64, u64),
    thawed: bool,
) -> Made {
    let mut made = Made::default();
    if ground.plant.purifier.is_none() {
        return made;
    }
    let comes = match lens.feed {
        Some(FeedFault::Lost) => false,
        Some(FeedFault::Frozen) => thawed,
        _ => true,
    };
    if !comes {
        return made;
    }
    let split = lens.feed == Some(FeedFault::Frozen) || lens.feed_tube_off == Some(true);
    let off_behind = lens.feed_tube_off == Some(false) && open;
    if split || off_behind {
        made.floor_m3_s = ground.burst_m3_s;
        return made;
    }
    // House rule: an electric valve stands first, where the tube leaves the tap.
    if !open {
        return made;
    }
    if lens.housing_weeps {
        made.floor_m3_s += HOUSING_M3_S;
    }
    if lens.fitting_weeps {
        made.floor_m3_s += FITTING_M3_S;
    }
    let mut usual = ground.usual;
    if lens.feed == Some(FeedFault::High) && ground.reducer().is_none() {
        // Permeate goes with the pressure, reject with its root (an orifice).
        usual.permeate_m3_s *= HIGH;
        usual.reject_m3_s *= libm::sqrt(HIGH);
    }
    if lens.permeate_off {
        made.permeate_m3_s = usual.permeate_m3_s;
        made.floor_m3_s += usual.permeate_m3_s;
        made.reject_m3_s = usual.reject_m3_s;
    } else if ways != 0 {
        made.fills = ways;
        made.permeate_m3_s = usual.permeate_m3_s;
        made.share_m3_s = usual.permeate_m3_s / f64::from(ways.count_ones());
        made.reject_m3_s = usual.reject_m3_s;
    } else {
        made.waits = true;
        if weeping != 0 {
            made.fills = weeping;
            made.permeate_m3_s = WEEP * usual.permeate_m3_s;
            made.share_m3_s = made.permeate_m3_s / f64::from(weeping.count_ones());
            // It starts for what has wept, again and again: for that share of the time its reject runs as well.
            made.reject_m3_s = WEEP * usual.reject_m3_s;
        }
        if !ground.shut_off || lens.reject_runs_on {
            made.reject_m3_s = usual.reject_m3_s;
        }
    }
    made
}
