//! What several functions share: the moment after power came back, the reset, marks.

use super::super::block::Kind;
use super::super::block::Read;
use super::super::settings::{Settings, VesselSettings};
use super::super::signal::{Input, Mark};
use super::super::wiring::Wiring;
use super::leak;

/// How long a switch must say the same before it counts, and how long after power came back a person's switch counts
/// for nothing, s (house rule: longer than waves and bouncing contacts, short against any fill).
pub(super) const DEBOUNCE_S: f64 = 2.0;

/// Wires that several functions read.
pub(super) struct Common {
    /// Power has been there for a moment. Until then no switch that a person left on starts anything: its edge falls
    /// into this time, and what it sets is held reset.
    pub(super) settled: Read,
    /// A person pressed reset; for one scan.
    pub(super) reset: Read,
    /// The leak's fault, where there is a detector.
    pub(super) leak: Option<Read>,
}

impl Common {
    pub(super) fn wire(wiring: &mut Wiring, settings: &Settings, power: Read) -> Self {
        let settled = wiring.on_delay(power, DEBOUNCE_S, "power has settled");
        let button = wiring.input(Input::Reset, "reset is pressed");
        let pressed = wiring.rising_edge(button, "reset was just pressed");
        // A button that is stuck when power comes back resets nothing.
        let reset = wiring.all(&[pressed, settled], "faults are reset");
        let leak = settings.leak_detector.then(|| leak::wire(wiring, reset));
        Self { settled, reset, leak }
    }
}

/// A fault: on from its cause until a person presses reset after the cause is gone. It outlasts a loss of power.
pub(super) fn fault(wiring: &mut Wiring, cause: Read, reset: Read, name: &str) -> Read {
    let mend = wiring.all(&[reset, !cause], format!("reset of: {name}"));
    wiring.block(Kind::Latch { retained: true }, &[cause, mend], name)
}

/// The switch at a mark of a vessel, as it is.
pub(super) fn switch(wiring: &mut Wiring, at: usize, vessel: &VesselSettings, mark: Mark) -> Read {
    let place = match mark {
        Mark::LowCutout => "low cut-out",
        Mark::HeaterLevel => "heater's level",
        Mark::Start => "start mark",
        Mark::Stop => "stop mark",
        Mark::Backup => "backup mark",
        Mark::High => "high cut-out",
    };
    wiring.input(
        Input::LevelAtOrAbove { vessel: at, mark },
        format!("{} stands at or above its {place}", vessel.name),
    )
}
