//! A control that runs and looks up the steps that it has made before.
//!
//! Owns: where it stands among what it has learned. Doesn't own: what was learned (`learned`), what a step does (`step`).

use super::learned::{Learned, Made};
use super::outputs::Outputs;
use super::program::{POWER, Program};
use super::set::Set;
use super::signal::Event;
use super::state::State;

/// Timers that a standpoint can tell apart; with more of them running a step is made each time.
const MOST_TIMERS: usize = 64;

/// A running control with what it has learned. It comes to the same as its [`State`] stepped by [`Program::step`], and is
/// quicker where the same happens again and again.
#[derive(Debug, Clone)]
pub struct Practised {
    /// Inputs, time and the moments of timers that run or have run out are up to date; all else only where it stands nowhere.
    state: State,
    learned: Learned,
    /// The standpoint that it stands at; none where it wasn't looked for since blocks were stepped.
    at: Option<usize>,
}

impl Practised {
    /// From a state, with nothing learned.
    pub fn new(state: State) -> Self {
        Self {
            state,
            learned: Learned::nothing(),
            at: None,
        }
    }

    /// Swaps what it has learned with what another control of the same program has.
    pub fn swap_learned(&mut self, program: &Program, others: &mut Learned) {
        self.step_out(program);
        core::mem::swap(&mut self.learned, others);
    }

    /// The state, as steps would have left it.
    pub fn state(&mut self, program: &Program) -> &State {
        self.step_out(program);
        &self.state
    }

    /// When the next timer runs out, s; infinite while none runs.
    #[inline]
    pub fn due_s(&self) -> f64 {
        self.state.next_due_s
    }

    /// Whether an output, by its index, is on.
    #[inline]
    pub fn is_on(&self, program: &Program, output: usize) -> bool {
        let Some((word, bit)) = program.output_places.get(output) else {
            return false;
        };
        let standpoint = self.at.and_then(|at| self.learned.standpoints.get(at));
        let on = match (standpoint, word.checked_sub(program.places.input_words)) {
            (Some(standpoint), Some(word)) => standpoint.on.0.get(word),
            _ => self.state.words.get(*word),
        };
        on.is_some_and(|on| on & bit != 0)
    }

    /// Whether any of some outputs may be on; surely none where it says so.
    #[inline]
    pub fn may_be_on(&self, outputs: Outputs) -> bool {
        let standpoint = self.at.and_then(|at| self.learned.standpoints.get(at));
        standpoint.is_none_or(|standpoint| standpoint.outputs.meets(outputs))
    }

    /// Takes in an event as [`Program::step`] does, and tells which outputs were switched.
    #[inline]
    pub fn step(&mut self, program: &Program, at_s: f64, event: Event) -> Outputs {
        match event {
            Event::Due => self.step_together(program, at_s, &[]),
            Event::Changed { input, on } if input != POWER => {
                self.step_together(program, at_s, &[(input, on)])
            }
            _ => self.step_plainly(program, at_s, event),
        }
    }

    /// Takes in several inputs that change at one moment as [`Program::step_together`] does, and tells which outputs were
    /// switched.
    pub fn step_together(&mut self, program: &Program, at_s: f64, changes: &[(usize, bool)]) -> Outputs {
        let state = &mut self.state;
        if at_s > state.at_s && at_s < f64::INFINITY {
            state.at_s = at_s;
        }
        let (mut is_read, mut by_value) = (false, false);
        for (input, on) in changes {
            if let Some(sensed) = program.sensed.get(*input)
                && let Some(word) = state.words.get_mut(sensed.word)
                && (*word & sensed.bit != 0) != *on
            {
                *word ^= sensed.bit;
                is_read |= sensed.is_read;
                by_value |= sensed.by_value;
            }
        }
        let struck = state.next_due_s <= state.at_s;
        if !state.powered || !(is_read || struck) {
            return Outputs::default();
        }
        let at = match self.at {
            Some(at) => at,
            None => self.learned.place(program, state),
        };
        let from = &self.learned.standpoints[at];
        let mut due = 0;
        if struck {
            for (place, timer) in from.timers.of(&self.learned.timers).iter().enumerate() {
                if state.due_s[usize::from(timer.block)] <= state.at_s {
                    due |= 1_u64.wrapping_shl(place as u32);
                }
            }
        }
        let inputs = &state.words[..program.places.input_words];
        let turn = self.learned.turn(from, inputs, due);
        let Some(turn) = turn.filter(|_| !by_value && due & from.by_value == 0) else {
            return self.make(program, at, due, changes);
        };
        let mut next_due_s = f64::INFINITY;
        for timer in turn.timers.of(&self.learned.timers) {
            let due_s = &mut state.due_s[usize::from(timer.block)];
            if timer.is_begun {
                *due_s = state.at_s + timer.delay_s;
            }
            if timer.runs && *due_s < next_due_s {
                next_due_s = *due_s;
            }
        }
        state.next_due_s = next_due_s;
        self.at = Some(usize::from(turn.to));
        turn.switched
    }

    /// Brings the blocks up to date with where it stands, and stands nowhere.
    fn step_out(&mut self, program: &Program) {
        let Some(at) = self.at.take() else { return };
        let standpoint = &self.learned.standpoints[at];
        let blocks = self.state.words[program.places.input_words..].iter_mut();
        for (word, on) in blocks.zip(&standpoint.on.0) {
            *word = *on;
        }
        (self.state.memory, self.state.running) = (standpoint.memory, standpoint.running);
        // A timer that neither runs nor has run out is off.
        for (block, due_s) in self.state.due_s.iter_mut().enumerate() {
            if !standpoint.running.has(block) && !standpoint.on.has(block) {
                *due_s = f64::INFINITY;
            }
        }
    }

    /// An event that is never learned.
    #[cold]
    fn step_plainly(&mut self, program: &Program, at_s: f64, event: Event) -> Outputs {
        self.step_out(program);
        let before = program.blocks_of(&self.state);
        program.step(&mut self.state, at_s, event);
        program.outputs_of_change(&before, &self.state)
    }

    /// Makes a step, and keeps what it came to unless that hangs on a temperature or the time of day.
    #[cold]
    #[inline(never)]
    fn make(&mut self, program: &Program, from: usize, due: u64, changes: &[(usize, bool)]) -> Outputs {
        self.at = Some(from);
        self.step_out(program);
        let standpoint = self.learned.standpoints[from];
        let timers = standpoint.timers.of(&self.learned.timers);
        let mut todo = program.due(&self.state);
        for (input, _) in changes {
            // One that says what it said before has nothing new for its readers, which does no harm.
            if let Some(readers) = program.input_readers.get(*input)
                && *input != POWER
            {
                todo.add(readers);
            }
        }
        let before = program.blocks_of(&self.state);
        let is_learned = timers.len() <= MOST_TIMERS && !todo.meets(&program.by_value);
        if !is_learned {
            program.settle(&mut self.state, &todo, &mut Set::default());
            return program.outputs_of_change(&before, &self.state);
        }
        let mut begun = Set::default();
        program.settle(&mut self.state, &todo, &mut begun);
        let switched = program.outputs_of_change(&before, &self.state);
        let made = Made {
            from,
            inputs: &self.state.words[..program.places.input_words],
            due,
            begun,
        };
        self.learned.keep(program, &made, &self.state, switched);
        switched
    }
}

impl Program {
    /// The blocks that are on.
    fn blocks_of(&self, state: &State) -> Set {
        Set::of_words(&state.words[self.places.input_words..])
    }

    /// The outputs whose blocks are on, or off, in a state and weren't before.
    fn outputs_of_change(&self, before: &Set, state: &State) -> Outputs {
        let mut changed = self.blocks_of(state);
        for (word, before) in changed.0.iter_mut().zip(&before.0) {
            *word ^= before;
        }
        self.outputs_of(&changed)
    }

    /// The outputs that follow any of some blocks.
    pub(super) fn outputs_of(&self, blocks: &Set) -> Outputs {
        let follows = |(word, bit): &(usize, u64)| {
            let word = word.checked_sub(self.places.input_words);
            word.and_then(|word| blocks.0.get(word))
                .is_some_and(|word| word & bit != 0)
        };
        let places = self.output_places.iter().enumerate();
        places
            .filter(|(_, place)| follows(place))
            .fold(Outputs::default(), |outputs, (at, _)| outputs.with(at))
    }
}
