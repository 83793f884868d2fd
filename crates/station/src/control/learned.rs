//! What steps came to that were made before, to be looked up instead of made again.
//!
//! What a step leaves hangs on nothing but its situation: where the control stood (which blocks are on, what latches hold,
//! which timers run), what the inputs say, and which timers have just run out. A station meets some dozens of situations in a
//! year, each many times over. So the first of its kind is stepped, block by block, and what it came to is kept as a turn
//! from one standpoint to another; whatever hangs on more than that, a temperature or the time of day, is stepped each time.
//! (A lazy automaton, as engines for regular expressions build it.)
//!
//! Owns: the standpoints and the turns between them. Doesn't own: who stands where (`practised`), what a step does (`step`).

use super::block::Kind;
use super::outputs::Outputs;
use super::program::Program;
use super::set::Set;
use super::state::State;

/// More turns or standpoints than that are forgotten together, and learned anew (house rule: some hundred kilobytes).
const MOST: usize = 2048;
/// Slots at the beginning; there are always at least twice as many as standpoints.
const FIRST_SLOTS: usize = 128;
/// No turn.
const NONE: u16 = u16::MAX;

/// Where the control stands between two steps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Standpoint {
    /// Blocks that are on, that remember, whose timers run.
    pub(super) on: Set,
    pub(super) memory: Set,
    pub(super) running: Set,
    /// Outputs whose blocks are on.
    pub(super) outputs: Outputs,
    /// The timers that run, one by one; and as bits by their order those whose blocks go by a temperature or the time of day.
    pub(super) timers: Stretch,
    pub(super) by_value: u64,
    /// The first turn that was learned here.
    first: u16,
}

/// What a step came to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    /// What the inputs said, in the first of their words.
    said: u64,
    /// Timers that had run out, as bits by their order at the standpoint.
    due: u64,
    /// Where it led.
    pub(super) to: u16,
    /// The next turn that was learned at the same standpoint.
    next: u16,
    /// Timers that run behind the step or that it began.
    pub(super) timers: Stretch,
    /// Outputs that it switched.
    pub(super) switched: Outputs,
}

/// A step as it was made.
pub(super) struct Made<'a> {
    /// Where it began.
    pub(super) from: usize,
    /// What the inputs said.
    pub(super) inputs: &'a [u64],
    /// Timers that had run out, as bits by their order at the standpoint.
    pub(super) due: u64,
    /// Timers that it began.
    pub(super) begun: Set,
}

/// A stretch of a list.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    from: u32,
    end: u32,
}

impl Stretch {
    #[inline]
    pub(super) fn of<T>(self, list: &[T]) -> &[T] {
        if self.from == self.end {
            return &[];
        }
        &list[self.from as usize..self.end as usize]
    }
}

/// The timer of a block.
#[derive(Debug, Clone, Copy)]
pub(super) struct Timer {
    pub(super) block: u16,
    /// Whether it runs; one that was begun may be over at once.
    pub(super) runs: bool,
    /// Whether it was begun, to run so long; otherwise it runs on.
    pub(super) is_begun: bool,
    pub(super) delay_s: f64,
}

/// What was learned of the steps of one program.
#[derive(Debug, Clone)]
pub struct Learned {
    pub(super) standpoints: Vec<Standpoint>,
    turns: Vec<Turn>,
    /// What the inputs said at each turn in the words behind the first, one turn behind the other.
    inputs: Vec<u64>,
    /// Timers of standpoints and turns.
    pub(super) timers: Vec<Timer>,
    /// By the hash of a standpoint, or behind that: its place in the list, from 1; 0 where there is none.
    slots: Vec<u16>,
}

impl Standpoint {
    /// That of a state.
    fn of(program: &Program, state: &State) -> Self {
        let on = Set::of_words(&state.words[program.places.input_words..]);
        Self {
            on,
            memory: state.memory,
            running: state.running,
            outputs: program.outputs_of(&on),
            timers: Stretch { from: 0, end: 0 },
            by_value: 0,
            first: NONE,
        }
    }

    /// A few multiplications; what collides is told apart by the words themselves.
    fn hash(&self) -> usize {
        const ODD: u64 = 0x9E37_79B9_7F4A_7C15;
        let words = self.on.0.iter().chain(&self.memory.0).chain(&self.running.0);
        let mixed = words.fold(0_u64, |mixed, word| {
            (mixed.rotate_left(5) ^ word).wrapping_mul(ODD)
        });
        (mixed >> 40) as usize
    }
}

impl Learned {
    /// Nothing yet.
    pub fn nothing() -> Self {
        Self {
            standpoints: Vec::new(),
            turns: Vec::new(),
            inputs: Vec::new(),
            timers: Vec::new(),
            slots: Vec::new(),
        }
    }

    /// The slot of a standpoint, or the empty one that it belongs into.
    fn slot(&self, standpoint: &Standpoint) -> usize {
        let last = self.slots.len() - 1;
        let mut slot = standpoint.hash() & last;
        while let Some(known) = usize::from(self.slots[slot]).checked_sub(1) {
            let own = &self.standpoints[known];
            if own.on == standpoint.on && own.memory == standpoint.memory && own.running == standpoint.running
            {
                break;
            }
            slot = (slot + 1) & last;
        }
        slot
    }

    /// The place of a state's standpoint in the list; a new one is added. Before there are too many standpoints or turns, all
    /// are forgotten: who stands at one must look for their place again.
    pub(super) fn place(&mut self, program: &Program, state: &State) -> usize {
        if self.standpoints.len() >= MOST || self.turns.len() >= MOST {
            *self = Self::nothing();
        }
        self.place_of(program, Standpoint::of(program, state))
    }

    fn place_of(&mut self, program: &Program, mut standpoint: Standpoint) -> usize {
        if 2 * (self.standpoints.len() + 1) > self.slots.len() {
            self.slots = vec![0; FIRST_SLOTS.max(2 * self.slots.len())];
            for known in 0..self.standpoints.len() {
                let slot = self.slot(&self.standpoints[known]);
                self.slots[slot] = known as u16 + 1;
            }
        }
        let slot = self.slot(&standpoint);
        if let Some(known) = usize::from(self.slots[slot]).checked_sub(1) {
            return known;
        }
        standpoint.timers = self.note_timers(program, &standpoint.running, &Set::default());
        for (at, timer) in standpoint.timers.of(&self.timers).iter().enumerate() {
            if program.by_value.has(usize::from(timer.block)) {
                standpoint.by_value |= 1_u64.checked_shl(at as u32).unwrap_or(0);
            }
        }
        self.standpoints.push(standpoint);
        self.slots[slot] = self.standpoints.len() as u16;
        self.standpoints.len() - 1
    }

    /// The turn at a standpoint by what the inputs say and which timers have run out.
    #[inline]
    pub(super) fn turn(&self, from: &Standpoint, inputs: &[u64], due: u64) -> Option<&Turn> {
        let (first, others) = inputs.split_first()?;
        let mut next = from.first;
        while let Some(turn) = self.turns.get(usize::from(next)) {
            let said = || &self.inputs[usize::from(next) * others.len()..][..others.len()];
            if turn.said == *first && turn.due == due && (others.is_empty() || others == said()) {
                return Some(turn);
            }
            next = turn.next;
        }
        None
    }

    /// Keeps what a step came to: the state that it left, and the outputs that it switched.
    pub(super) fn keep(&mut self, program: &Program, made: &Made<'_>, state: &State, switched: Outputs) {
        let Some((said, others)) = made.inputs.split_first() else {
            return;
        };
        let to = self.place_of(program, Standpoint::of(program, state));
        let turn = Turn {
            said: *said,
            due: made.due,
            to: to as u16,
            next: NONE,
            timers: self.note_timers(program, &state.running, &made.begun),
            switched,
        };
        // Behind those that are known: what is met often is met early.
        let new = self.turns.len() as u16;
        let mut last = NONE;
        let mut next = self.standpoints[made.from].first;
        while let Some(known) = self.turns.get(usize::from(next)) {
            (last, next) = (next, known.next);
        }
        match self.turns.get_mut(usize::from(last)) {
            Some(last) => last.next = new,
            None => self.standpoints[made.from].first = new,
        }
        self.inputs.extend(others);
        self.turns.push(turn);
    }

    /// Adds timers that run, or were begun, to the list.
    fn note_timers(&mut self, program: &Program, running: &Set, begun: &Set) -> Stretch {
        let from = self.timers.len() as u32;
        let mut all = *running;
        all.add(begun);
        all.each(|block| {
            let delay_s = match program.blocks[block].kind {
                Kind::OnDelay { delay_s } => delay_s,
                // Its moment hangs on the time of day, and is never learned.
                _ => f64::NAN,
            };
            self.timers.push(Timer {
                block: block as u16,
                runs: running.has(block),
                is_begun: begun.has(block),
                delay_s,
            });
        });
        let end = self.timers.len() as u32;
        Stretch { from, end }
    }
}
