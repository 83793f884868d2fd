//! Steps that were made before, looked up instead of made again.
//!
//! What a step leaves hangs on nothing but its situation: where the control stood (which blocks are on, what latches hold,
//! which timers run), what the inputs say, and which timers have just run out. A station meets some dozens of situations in a
//! year, each many times over. So the first of its kind is stepped, block by block, and what it came to is kept as a turn
//! from one standpoint to another; whatever hangs on more than that, a temperature or the time of day, is stepped each time.
//! (A lazy automaton, as engines for regular expressions build it.)
//!
//! Owns: the standpoints and the turns between them. Doesn't own: what a step does (`step`).

use super::block::Kind;
use super::program::Program;
use super::set::{Set, WORDS};
use super::state::State;

/// More turns or standpoints than that are forgotten together, and learned anew (house rule: some hundred kilobytes).
const MOST: usize = 2048;
/// Slots at the beginning; there are always at least twice as many as standpoints.
const FIRST_SLOTS: usize = 128;
/// No turn.
const NONE: u16 = u16::MAX;

/// Where the control stands between two steps.
#[derive(Debug, Clone, Copy)]
struct Standpoint {
    /// Blocks that are on, that remember, whose timers run.
    on: Set,
    memory: Set,
    running: Set,
    /// The same timers, one by one.
    timers: Stretch,
    /// The first turn that was learned here.
    first: u16,
}

/// What a step came to.
#[derive(Debug, Clone, Copy)]
struct Turn {
    /// What the inputs said, in the first of their words.
    said: u64,
    /// Timers that had run out.
    due: Set,
    /// Where it led.
    to: u16,
    /// The next turn that was learned at the same standpoint.
    next: u16,
    /// Timers that the step began, as bits and one by one, and those that it put off.
    begun: Set,
    begins: Stretch,
    ends: Stretch,
    /// Whether any output may have changed.
    switched: bool,
}

/// A stretch of a list.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: u32,
    end: u32,
}

impl Stretch {
    #[inline]
    fn of<T>(self, list: &[T]) -> &[T] {
        if self.from == self.end {
            return &[];
        }
        &list[self.from as usize..self.end as usize]
    }
}

/// The timer of a block, and how long it runs.
#[derive(Debug, Clone, Copy)]
struct Timer {
    block: u16,
    delay_s: f64,
}

/// What was learned of the steps of one program.
#[derive(Debug, Clone)]
pub struct Learned {
    standpoints: Vec<Standpoint>,
    turns: Vec<Turn>,
    /// What the inputs said at each turn in the words behind the first, one turn behind the other.
    inputs: Vec<u64>,
    /// Timers of standpoints and turns.
    timers: Vec<Timer>,
    /// The standpoint that the last step led to: most likely that of the next.
    at: usize,
    /// By the hash of a standpoint, or behind that: its place in the list, from 1; 0 where there is none.
    slots: Vec<u16>,
}

impl Standpoint {
    /// That of a state.
    fn of(program: &Program, state: &State) -> Self {
        let mut on = Set::default();
        for (word, own) in on.0.iter_mut().zip(&state.words[program.places.input_words..]) {
            *word = *own;
        }
        Self {
            on,
            memory: state.memory,
            running: state.running,
            timers: Stretch { from: 0, end: 0 },
            first: NONE,
        }
    }

    /// Whether a state stands there.
    #[inline]
    fn is_of<const W: usize>(&self, on: &[u64], state: &State) -> bool {
        on.iter().enumerate().take(W).all(|(at, on)| {
            self.on.0[at] == *on
                && self.memory.0[at] == state.memory.0[at]
                && self.running.0[at] == state.running.0[at]
        })
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
            at: 0,
            slots: vec![0; FIRST_SLOTS],
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

    /// The place of a state's standpoint in the list; before there are too many, all are forgotten.
    fn stand(&mut self, program: &Program, state: &State) -> usize {
        if self.standpoints.len() >= MOST {
            self.forget();
        }
        self.place(program, Standpoint::of(program, state))
    }

    /// The place of a standpoint in the list; a new one is added.
    fn place(&mut self, program: &Program, mut standpoint: Standpoint) -> usize {
        let mut slot = self.slot(&standpoint);
        if let Some(known) = usize::from(self.slots[slot]).checked_sub(1) {
            return known;
        }
        standpoint.timers = self.note_timers(program, &standpoint.running);
        self.standpoints.push(standpoint);
        if 2 * self.standpoints.len() > self.slots.len() {
            self.slots = vec![0; 2 * self.slots.len()];
            for known in 0..self.standpoints.len() - 1 {
                let slot = self.slot(&self.standpoints[known]);
                self.slots[slot] = known as u16 + 1;
            }
            slot = self.slot(&standpoint);
        }
        self.slots[slot] = self.standpoints.len() as u16;
        self.standpoints.len() - 1
    }

    /// The turn at a standpoint by what the inputs say and which timers have run out.
    #[inline]
    fn turn<const W: usize>(&self, from: usize, inputs: &[u64], due: &Set<W>) -> Option<&Turn> {
        let (first, others) = inputs.split_first()?;
        let mut next = self.standpoints[from].first;
        while let Some(turn) = self.turns.get(usize::from(next)) {
            let said = || &self.inputs[usize::from(next) * others.len()..][..others.len()];
            if turn.said == *first
                && (0..W).all(|at| due.0[at] == turn.due.0[at])
                && (others.is_empty() || others == said())
            {
                return Some(turn);
            }
            next = turn.next;
        }
        None
    }

    /// Puts a state where a turn leads.
    #[inline]
    fn put<const W: usize>(&self, state: &mut State, input_words: usize, turn: &Turn) {
        let to = &self.standpoints[usize::from(turn.to)];
        for (word, on) in state.words[input_words..].iter_mut().zip(&to.on.0).take(W) {
            *word = *on;
        }
        for at in 0..W {
            state.memory.0[at] = to.memory.0[at];
            state.running.0[at] = to.running.0[at];
            state.begun.0[at] = turn.begun.0[at];
        }
        for timer in turn.ends.of(&self.timers) {
            state.due_s[usize::from(timer.block)] = f64::INFINITY;
        }
        for timer in turn.begins.of(&self.timers) {
            state.due_s[usize::from(timer.block)] = state.at_s + timer.delay_s;
        }
        let mut next_due_s = f64::INFINITY;
        for timer in to.timers.of(&self.timers) {
            let due_s = state.due_s[usize::from(timer.block)];
            if due_s < next_due_s {
                next_due_s = due_s;
            }
        }
        state.next_due_s = next_due_s;
    }

    /// Adds timers to the list.
    fn note_timers(&mut self, program: &Program, of: &Set) -> Stretch {
        let from = self.timers.len() as u32;
        of.each(|block| {
            let delay_s = match program.blocks[block].kind {
                Kind::OnDelay { delay_s } => delay_s,
                // Its moment hangs on the time of day, and is never learned.
                _ => f64::NAN,
            };
            self.timers.push(Timer {
                block: block as u16,
                delay_s,
            });
        });
        let end = self.timers.len() as u32;
        Stretch { from, end }
    }

    fn forget(&mut self) {
        self.timers.clear();
        self.standpoints.clear();
        self.turns.clear();
        self.inputs.clear();
        self.slots.fill(0);
    }
}

impl Program {
    /// Settles what has something to do, by what was learned or else by stepping it; whether any output may have changed.
    pub(super) fn settle_as_learned(&self, learned: &mut Learned, state: &mut State, todo: &Set) -> bool {
        match self.block_words() {
            0 | 1 => self.settle_by_turn::<1>(learned, state, todo),
            2 => self.settle_by_turn::<2>(learned, state, todo),
            3 => self.settle_by_turn::<3>(learned, state, todo),
            _ => self.settle_by_turn::<WORDS>(learned, state, todo),
        }
    }

    fn settle_by_turn<const W: usize>(&self, learned: &mut Learned, state: &mut State, todo: &Set) -> bool {
        let mut all = Set::<W>::first_of(todo);
        let struck = state.next_due_s <= state.at_s;
        if !struck && all.is_empty() {
            return false;
        }
        let (inputs, on) = state.words.split_at(self.places.input_words);
        let from = match learned.standpoints.get(learned.at) {
            Some(last) if last.is_of::<W>(on, state) => learned.at,
            _ => learned.stand(self, state),
        };
        let mut due = Set::<W>::default();
        if struck {
            for timer in learned.standpoints[from].timers.of(&learned.timers) {
                let block = usize::from(timer.block);
                if state.due_s[block] <= state.at_s {
                    due.insert(block);
                }
            }
        }
        all.add(&due);
        if all.is_empty() {
            return false;
        }
        if all.meets(&self.by_value) {
            return self.settle(state, &all);
        }
        if let Some(turn) = learned.turn(from, inputs, &due) {
            let (to, switched) = (usize::from(turn.to), turn.switched);
            learned.put::<W>(state, self.places.input_words, turn);
            learned.at = to;
            return switched;
        }
        self.learn(learned, state, from, &due, &all)
    }

    /// Steps, and keeps what it came to.
    #[cold]
    fn learn<const W: usize>(
        &self,
        learned: &mut Learned,
        state: &mut State,
        mut from: usize,
        due: &Set<W>,
        todo: &Set<W>,
    ) -> bool {
        if learned.turns.len() == MOST {
            learned.forget();
            from = learned.stand(self, state);
        }
        let inputs = &state.words[..self.places.input_words];
        let said = inputs.first().copied().unwrap_or_default();
        learned.inputs.extend(inputs.iter().skip(1));
        let before_s = state.due_s.clone();
        let switched = self.settle(state, todo);
        let mut ended = Set::default();
        for (at, (before_s, now_s)) in before_s.iter().zip(&state.due_s).enumerate() {
            if before_s.is_finite() && !now_s.is_finite() {
                ended.insert(at);
            }
        }
        learned.at = learned.place(self, Standpoint::of(self, state));
        let turn = Turn {
            said,
            due: Set::first_of(due),
            to: learned.at as u16,
            next: learned.standpoints[from].first,
            begun: state.begun,
            begins: learned.note_timers(self, &state.begun),
            ends: learned.note_timers(self, &ended),
            switched,
        };
        learned.standpoints[from].first = learned.turns.len() as u16;
        learned.turns.push(turn);
        switched
    }
}
