//! What a run has asked of each part: whether a fault of that part would have changed anything.
//!
//! A run asks a switch what it says, a relay what it does, a float whether it lets water in. Where a part was only ever
//! asked for what its fault makes it say anyway, the run with that fault is the same run, event by event. So a pair whose
//! second fault is silent along the run of the first needs no run of its own. A test runs all pairs of small stations and
//! compares.

use super::fault::{Fault, FloatFault};

/// Whether something was ever off, and ever on.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Was {
    pub(super) off: bool,
    pub(super) on: bool,
}

impl Was {
    pub(super) fn note(&mut self, on: bool) {
        self.on |= on;
        self.off |= !on;
    }

    /// Whether it was always so, as far as it was asked.
    fn always(self, on: bool) -> bool {
        if on { !self.off } else { !self.on }
    }
}

/// What one run has asked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Trace {
    pub(super) heard: Vec<Was>,
    pub(super) told: Vec<Was>,
    pub(super) feed_valve: Was,
    /// First floats and second ones, by vessel.
    pub(super) floats: [Vec<Was>; 2],
    pub(super) heaters: Vec<Was>,
    /// The feed stood open; permeate was made; the feed stood open with nothing made.
    pub(super) open: bool,
    pub(super) made: bool,
    pub(super) waited: bool,
    /// Water came to the drain.
    pub(super) drained: bool,
    /// Joints that water stood in, lines at whose end water arrived, pumps that were to run: as bits.
    pub(super) joints: u64,
    pub(super) arrived: u64,
    pub(super) ran: u64,
    /// Valves that stood open, and that stood shut.
    pub(super) valves_open: u64,
    pub(super) valves_shut: u64,
    /// By vessel: whether it fell so low that a fallen switch would tell.
    pub(super) empty: Vec<bool>,
    /// Vessel of each level switch's input.
    pub(super) vessel_of: Vec<Option<usize>>,
    /// Somebody had something in hand to end.
    pub(super) in_hand: bool,
}

impl Trace {
    pub(super) fn new(inputs: usize, outputs: usize, vessels: usize) -> Self {
        Self {
            heard: vec![Was::default(); inputs],
            told: vec![Was::default(); outputs],
            floats: [vec![Was::default(); vessels], vec![Was::default(); vessels]],
            heaters: vec![Was::default(); vessels],
            empty: vec![false; vessels],
            vessel_of: vec![None; inputs],
            ..Self::default()
        }
    }

    /// Whether a fault would have changed nothing of this run. `joints` are the joints of the station, in their order.
    pub(crate) fn is_silent(&self, fault: Fault, joints: &[super::Joint]) -> bool {
        let bit = |set: u64, at: usize| set >> at & 1 == 1;
        match fault {
            Fault::Switch { input, on } => self.heard[input].always(on),
            Fault::SwitchFallen { input } => {
                let low = self.vessel_of[input].is_some_and(|vessel| self.empty[vessel]);
                self.heard[input].always(true) && !low
            }
            Fault::Relay { output, on } => self.told[output].always(on),
            Fault::FeedValve { open } => self.feed_valve.always(open),
            Fault::Float { vessel, at, how } => {
                let float = self.floats[at as usize][vessel];
                match how {
                    FloatFault::Open => float.always(true),
                    FloatFault::Shut => float.always(false),
                    FloatFault::Weeps => float.always(true) || !self.open,
                }
            }
            Fault::Feed(super::FeedFault::Lost | super::FeedFault::High) => !self.open,
            Fault::RejectRunsOn | Fault::Cycles => !self.waited,
            Fault::MembraneTorn => !self.made,
            // With floats shut it is only asked when the feed stands open.
            Fault::PermeateTubeOff
            | Fault::FittingWeeps
            | Fault::HousingWeeps
            | Fault::FeedTubeOff { before_valve: false } => !self.open,
            Fault::DrainBlocked => !self.drained,
            Fault::Apart(joint) => joints
                .iter()
                .position(|own| *own == joint)
                .is_some_and(|at| !bit(self.joints, at)),
            Fault::Slipped { line } => !bit(self.arrived, line),
            Fault::PumpStands { pump } => !bit(self.ran, pump),
            Fault::Valve { valve, open: true } => !bit(self.valves_shut, valve),
            Fault::Valve { valve, open: false } => !bit(self.valves_open, valve),
            // One that works is told by its thermostat; one that is stuck by nothing.
            Fault::Heater { vessel, on: false } => self.heaters[vessel].always(false),
            Fault::NobodyEndsIt => !self.in_hand,
            Fault::ControllerDead => {
                let off = |was: &Was| was.always(false);
                self.told.iter().all(off) && self.heaters.iter().all(off)
            }
            Fault::ControllerHung
            | Fault::Heater { on: true, .. }
            | Fault::PowerOut { .. }
            | Fault::Feed(super::FeedFault::Frozen)
            | Fault::FeedTubeOff { before_valve: true }
            | Fault::PumpLeftOn { .. } => false,
        }
    }
}
