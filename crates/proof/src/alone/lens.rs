//! What a set of faults bends: what control hears, what its outputs do, where water can go. A healthy part is passed as
//! it is.

use super::fault::{Fault, FeedFault, FloatAt, FloatFault};
use super::ground::Ground;

/// All faults of a run, sorted by what they touch.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lens {
    /// By input of the program: what it says whatever happens.
    says: Vec<Option<bool>>,
    /// By input: a level switch that lies on the floor.
    fallen: Vec<bool>,
    /// By output of the program: what its relay does whatever it is told.
    relays: Vec<Option<bool>>,
    pub(crate) feed_valve: Option<bool>,
    /// By float, first ones and second ones, and by vessel.
    floats: [Vec<Option<FloatFault>>; 2],
    pub(crate) dead: bool,
    pub(crate) hung: bool,
    /// Power is away, and whether it comes back.
    pub(crate) power_out: Option<bool>,
    pub(crate) feed: Option<FeedFault>,
    pub(crate) reject_runs_on: bool,
    pub(crate) cycles: bool,
    pub(crate) torn: bool,
    pub(crate) housing_weeps: bool,
    pub(crate) fitting_weeps: bool,
    /// The feed tube is off: whether before its electric valve.
    pub(crate) feed_tube_off: Option<bool>,
    pub(crate) permeate_off: bool,
    pub(crate) drain_blocked: bool,
    /// Joints that are apart and lines that have slipped out, as bits.
    pub(crate) apart: u64,
    pub(crate) slipped: u64,
    /// Pumps that stand whatever they are told, as bits.
    pub(crate) stands: u64,
    /// Pumps that were left on, valves that were left open or shut, as bits.
    pub(crate) left_on: u64,
    pub(crate) left_open: u64,
    pub(crate) left_shut: u64,
    /// By vessel: what its heater does whatever it is told.
    heaters: Vec<Option<bool>>,
    pub(crate) nobody_ends_it: bool,
}

fn put<T: Copy>(list: &mut Vec<Option<T>>, at: usize, value: T) {
    if list.len() <= at {
        list.resize(at + 1, None);
    }
    list[at] = Some(value);
}

impl Lens {
    pub(crate) fn of(ground: &Ground<'_>, faults: &[Fault]) -> Self {
        let mut lens = Self::default();
        for fault in faults {
            lens.add(ground, *fault);
        }
        lens
    }

    fn add(&mut self, ground: &Ground<'_>, fault: Fault) {
        match fault {
            Fault::Switch { input, on } => put(&mut self.says, input, on),
            Fault::SwitchFallen { input } => {
                if self.fallen.len() <= input {
                    self.fallen.resize(input + 1, false);
                }
                self.fallen[input] = true;
            }
            Fault::Relay { output, on } => put(&mut self.relays, output, on),
            Fault::FeedValve { open } => self.feed_valve = Some(open),
            Fault::Float { vessel, at, how } => put(&mut self.floats[at as usize], vessel, how),
            Fault::ControllerDead => self.dead = true,
            Fault::ControllerHung => self.hung = true,
            Fault::PowerOut { comes_back } => self.power_out = Some(comes_back),
            Fault::Feed(how) => self.feed = Some(how),
            Fault::RejectRunsOn => self.reject_runs_on = true,
            Fault::Cycles => self.cycles = true,
            Fault::MembraneTorn => self.torn = true,
            Fault::HousingWeeps => self.housing_weeps = true,
            Fault::FittingWeeps => self.fitting_weeps = true,
            Fault::FeedTubeOff { before_valve } => self.feed_tube_off = Some(before_valve),
            Fault::PermeateTubeOff => self.permeate_off = true,
            Fault::DrainBlocked => self.drain_blocked = true,
            Fault::Apart(joint) => {
                if let Some(at) = ground.joints.iter().position(|own| *own == joint) {
                    self.apart |= 1 << at;
                }
            }
            Fault::Slipped { line } => self.slipped |= 1 << line,
            Fault::PumpStands { pump } => self.stands |= 1 << pump,
            Fault::PumpLeftOn { pump } => self.left_on |= 1 << pump,
            Fault::Valve { valve, open: true } => self.left_open |= 1 << valve,
            Fault::Valve { valve, open: false } => self.left_shut |= 1 << valve,
            Fault::Heater { vessel, on } => put(&mut self.heaters, vessel, on),
            Fault::NobodyEndsIt => self.nobody_ends_it = true,
        }
    }

    /// What control hears of an input that truly is so.
    pub(crate) fn hears(&self, input: usize, truth: bool) -> bool {
        self.says.get(input).copied().flatten().unwrap_or(truth)
    }

    /// Whether a level switch lies on its vessel's floor.
    pub(crate) fn is_fallen(&self, input: usize) -> bool {
        self.fallen.get(input).is_some_and(|fallen| *fallen)
    }

    /// What an output's relay does when told so.
    pub(crate) fn relay(&self, output: usize, told: bool) -> bool {
        self.relays.get(output).copied().flatten().unwrap_or(told)
    }

    /// Whether a vessel's float lets water in when it should or shouldn't, and whether it weeps while it shouldn't.
    pub(crate) fn float(&self, vessel: usize, at: FloatAt, should: bool) -> (bool, bool) {
        match self.floats[at as usize].get(vessel).copied().flatten() {
            None => (should, false),
            Some(FloatFault::Open) => (true, false),
            Some(FloatFault::Shut) => (false, false),
            Some(FloatFault::Weeps) => (should, !should),
        }
    }

    /// What a vessel's heater does when told so.
    pub(crate) fn heater(&self, vessel: usize, told: bool) -> bool {
        self.heaters.get(vessel).copied().flatten().unwrap_or(told)
    }
}
