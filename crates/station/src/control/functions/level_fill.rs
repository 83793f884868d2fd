//! Fill between a start mark and a stop mark.
//!
//! A vessel calls for water once its start mark has been dry for the debounce, and until its stop mark has been wet for
//! it. Where only one mark has a switch, that one does both. Without any it never calls. After power came back it waits
//! for the start mark again. Safe state: no call. A vessel that was full and low within a minute has a switch that
//! can't be right, which is told.

use super::super::block::Read;
use super::super::settings::VesselSettings;
use super::super::signal::{Alarm, Mark, Output};
use super::super::wiring::Wiring;
use super::common::{Common, DEBOUNCE_S, switch};

/// No vessel falls from its stop mark to its start mark faster than this, s (house rule).
const FASTEST_USE_S: f64 = 60.0;

/// The wire that a vessel calls for water by.
pub(super) fn wire(
    wiring: &mut Wiring,
    at: usize,
    vessel: &VesselSettings,
    full: Option<Read>,
    common: &Common,
) -> Option<Read> {
    let name = &vessel.name;
    let call = |wiring: &mut Wiring, low, full| wiring.latch(low, full, format!("{name} calls for water"));
    match (vessel.start, full) {
        (true, Some(full)) => {
            let low = low(wiring, at, vessel, Mark::Start);
            chatter(wiring, at, vessel, low, full, common);
            Some(call(wiring, low, full))
        }
        (true, None) => Some(low(wiring, at, vessel, Mark::Start)),
        (false, Some(full)) => {
            let low = low(wiring, at, vessel, Mark::Stop);
            Some(call(wiring, low, full))
        }
        (false, None) => None,
    }
}

fn low(wiring: &mut Wiring, at: usize, vessel: &VesselSettings, mark: Mark) -> Read {
    let wet = switch(wiring, at, vessel, mark);
    wiring.on_delay(!wet, DEBOUNCE_S, format!("{} is low", vessel.name))
}

/// The wire that says that a vessel is full, where a switch tells.
pub(super) fn full(wiring: &mut Wiring, at: usize, vessel: &VesselSettings) -> Option<Read> {
    vessel.stop.then(|| {
        let wet = switch(wiring, at, vessel, Mark::Stop);
        wiring.on_delay(wet, DEBOUNCE_S, format!("{} is full", vessel.name))
    })
}

fn chatter(wiring: &mut Wiring, at: usize, vessel: &VesselSettings, low: Read, full: Read, common: &Common) {
    let name = &vessel.name;
    let long_ago = wiring.on_delay(
        !full,
        FASTEST_USE_S,
        format!("{name} hasn't been full for a minute"),
    );
    let lately = wiring.latch(full, long_ago, format!("{name} was full within a minute"));
    let both = wiring.all(
        &[low, lately],
        format!("{name} is low, and was full within a minute"),
    );
    let told = wiring.latch(both, common.reset, format!("the switches of {name} chatter"));
    wiring.output(Output::Alarm(Alarm::Chatter(at)), told);
}
