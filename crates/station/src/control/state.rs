//! What control remembers from one event to the next.

use super::scan::Places;
use super::set::Set;

/// All wires, timers, latches and readings of a running program. Its size is fixed when the program starts.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Where each wire stands.
    pub(super) places: Places,
    /// All wires, as bits.
    pub(super) words: Box<[u64]>,
    /// The blocks whose latches hold and whose edges saw their read on.
    pub(super) memory: Set,
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
    #[inline]
    pub fn wire(&self, wire: usize) -> bool {
        let (word, bit) = self.places.of(wire);
        self.words.get(word).is_some_and(|word| word & bit != 0)
    }

    /// Puts a wire on or off, and tells whether it was otherwise.
    #[inline]
    pub(super) fn put(&mut self, wire: usize, on: bool) -> bool {
        let (word, bit) = self.places.of(wire);
        let Some(word) = self.words.get_mut(word) else {
            return false;
        };
        let before = *word;
        *word = if on { before | bit } else { before & !bit };
        *word != before
    }
}
