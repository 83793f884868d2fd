//! A leak detector that shuts off.
//!
//! Water on the floor shuts the feed and stops the pumps at once, and they stay so until a person presses reset on a
//! dry floor. Safe state: shut and stopped. What it doesn't do: it shuts nothing that has no electric valve.

use super::super::block::Read;
use super::super::signal::{Alarm, Input, Output};
use super::super::wiring::Wiring;
use super::common::fault;

pub(super) fn wire(wiring: &mut Wiring, reset: Read) -> Read {
    let wet = wiring.input(Input::Leak, "there is water on the floor");
    let leak = fault(wiring, wet, reset, "a leak was found");
    wiring.output(Output::Alarm(Alarm::Leak), leak);
    leak
}
