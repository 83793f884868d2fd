//! Recirculation by a timer.
//!
//! A pump runs for a set time, again and again, with a pause before each. Whatever stops it, or keeps it from running,
//! begins the pause anew, and so does power that came back. Safe state: it stands.

use super::super::block::{Kind, Read};
use super::super::settings::Recirculation;
use super::super::wiring::Wiring;

/// The wire that wants the pump; `needs` are what must be on for that.
pub(super) fn wire(wiring: &mut Wiring, own: Recirculation, needs: &[Read], vessel: &str) -> Option<Read> {
    let Recirculation { every_s, for_s } = own;
    if !(for_s > 0.0 && for_s < every_s) {
        return None;
    }
    let enough = wiring.later(
        Kind::OnDelay { delay_s: for_s },
        format!("{vessel} has been recirculated long enough"),
    );
    let mut needs = needs.to_vec();
    needs.push(!enough.wire);
    let waits = wiring.all(&needs, format!("{vessel} waits or is recirculated"));
    let runs = wiring.on_delay(waits, every_s - for_s, format!("{vessel} is to be recirculated"));
    wiring.join(&enough, &[runs]);
    Some(runs)
}
