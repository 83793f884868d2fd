//! An attended fill.
//!
//! Only a person starts it, by switching it on. It stops by itself at the stop mark, at its longest time, at a fault,
//! without power, and when the person switches it off; then it never starts again by itself, even with the switch left
//! on. Safe state: shut.

use super::super::block::{Kind, Read};
use super::super::settings::{PurifierSettings, attended_limit_s};
use super::super::signal::{Input, Task};
use super::super::wiring::Wiring;
use super::common::Common;

/// The run; `may` is what must be on for it.
pub(super) fn wire(wiring: &mut Wiring, purifier: &PurifierSettings, may: &[Read], common: &Common) -> Read {
    let asked = wiring.input(Input::Ask(Task::Fill), "a person has the fill switched on");
    let begins = wiring.rising_edge(asked, "the fill was just switched on");
    let over = wiring.later(
        Kind::OnDelay {
            delay_s: attended_limit_s(purifier),
        },
        "the attended run has lasted as long as it may",
    );
    let mut ends: Vec<Read> = may.iter().map(|read| !*read).collect();
    ends.extend([!asked, !common.settled, over.wire]);
    let ends = wiring.any(&ends, "the attended run must end");
    let run = wiring.latch(begins, ends, "an attended run goes on");
    wiring.join(&over, &[run]);
    run
}
