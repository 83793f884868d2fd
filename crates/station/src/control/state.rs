//! What control remembers from one event to the next.

use super::set::Set;

/// All wires, timers, latches and readings of a running program. Its size is fixed when the program starts.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Inputs first, then one wire for each block.
    pub(super) wires: Box<[bool]>,
    /// What latches hold and what edges saw last, by block.
    pub(super) memory: Box<[bool]>,
    /// When the timer of a block runs out, s.
    pub(super) due_s: Box<[f64]>,
    /// The blocks whose timers run.
    pub(super) running: Set,
    /// The first of those moments, s; infinite while no timer runs.
    pub(super) next_due_s: f64,
    /// The last temperature of each vessel, °C; infinite before the first, which heats nothing.
    pub(super) temperature_c: Box<[f64]>,
    /// The moment of the last event, s.
    pub(super) at_s: f64,
    /// Whether there is power.
    pub(super) powered: bool,
}

impl State {
    /// The moment of the last event, s.
    pub fn at_s(&self) -> f64 {
        self.at_s
    }

    /// Whether a wire is on: inputs first, then one wire for each block.
    pub fn wire(&self, wire: usize) -> bool {
        self.wires.get(wire).is_some_and(|on| *on)
    }
}
