//! Fill by a clock.
//!
//! The clock calls for water once a day for a set time, whatever came before: after power came back it goes by the time
//! of day, so hours that were missed stay missed. Safe state: no call.

use super::super::block::{Kind, Read};
use super::super::settings::{PurifierSettings, timer_s};
use super::super::wiring::Wiring;

pub(super) fn wire(wiring: &mut Wiring, purifier: &PurifierSettings) -> Read {
    let kind = Kind::Daily {
        from_s: purifier.timer_begins_s,
        for_s: timer_s(purifier),
    };
    wiring.block(kind, &[], "it is the time of day to fill")
}
