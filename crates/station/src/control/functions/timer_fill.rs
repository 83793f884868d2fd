//! Fill by a clock.
//!
//! The clock calls for water once a day for a set time, whatever came before: after power came back it goes by the time
//! of day, so hours that were missed stay missed. Safe state: no call.

use super::super::block::{Kind, Read};
use super::super::settings::{PurifierSettings, timer_s};
use super::super::wiring::Wiring;

/// When the clock begins, s after midnight (house rule: nine in the morning, so that somebody is about).
const BEGINS_S: f64 = 9.0 * 3600.0;

pub(super) fn wire(wiring: &mut Wiring, purifier: &PurifierSettings) -> Read {
    let kind = Kind::Daily {
        from_s: BEGINS_S,
        for_s: timer_s(purifier),
    };
    wiring.block(kind, &[], "it is the time of day to fill")
}
