//! Steps that were made before, looked up instead of made again.
//!
//! What a step leaves hangs on nothing but its situation: all wires, what latches hold, which timers run and which of them
//! have just run out. A station meets some dozens of situations in a year, each many times over. So the first of its kind is
//! stepped, block by block, and what it came to is kept; whatever hangs on more than that, a temperature or the time of day,
//! is stepped each time. (A lazy automaton, as engines for regular expressions build it.)
//!
//! Owns: the situations and their outcomes. Doesn't own: what a step does (`step`).

use super::block::Kind;
use super::program::Program;
use super::set::{Set, WORDS};
use super::state::State;

/// More situations than that are forgotten together, and learned anew (house rule: some hundred kilobytes).
const MOST: usize = 2048;
/// Slots at the beginning; there are always at least twice as many as situations.
const FIRST_SLOTS: usize = 256;

/// What a step leaves.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    /// Blocks that are on, that remember, whose timers run.
    on: Set,
    memory: Set,
    running: Set,
    /// Timers that the step began, and those that it put off.
    begun: Set,
    ended: Set,
    /// Whether any output may have changed.
    switched: bool,
}

/// What was learned of the steps of one program.
#[derive(Debug, Clone)]
pub struct Learned {
    /// The situation that is looked up.
    key: Vec<u64>,
    /// Those that are known, one behind the other, and what each came to.
    situations: Vec<u64>,
    outcomes: Vec<Outcome>,
    /// By the hash of a situation, or behind that: its place in the list, from 1; 0 where there is none.
    slots: Vec<u16>,
}

impl Learned {
    /// Nothing yet.
    pub fn nothing(program: &Program) -> Self {
        let blocks = program.block_words();
        Self {
            key: vec![0; program.places.words + 3 * blocks],
            situations: Vec::new(),
            outcomes: Vec::new(),
            slots: vec![0; FIRST_SLOTS],
        }
    }

    /// The slot of the situation in hand, or the empty one that it belongs into.
    #[inline]
    fn slot(&self) -> usize {
        let last = self.slots.len() - 1;
        let mut slot = hash(&self.key) & last;
        while let Some(known) = usize::from(self.slots[slot]).checked_sub(1) {
            let words = self.key.len();
            let situation = &self.situations[known * words..][..words];
            if situation.iter().zip(&self.key).all(|(own, key)| own == key) {
                break;
            }
            slot = (slot + 1) & last;
        }
        slot
    }

    fn keep(&mut self, outcome: Outcome) {
        if self.outcomes.len() == MOST {
            self.situations.clear();
            self.outcomes.clear();
            self.slots.fill(0);
        }
        self.situations.extend_from_slice(&self.key);
        self.outcomes.push(outcome);
        if 2 * self.outcomes.len() > self.slots.len() {
            self.slots = vec![0; 2 * self.slots.len()];
            let words = self.key.len();
            for known in 0..self.outcomes.len() {
                self.key
                    .copy_from_slice(&self.situations[known * words..][..words]);
                let slot = self.slot();
                self.slots[slot] = known as u16 + 1;
            }
        } else {
            let slot = self.slot();
            self.slots[slot] = self.outcomes.len() as u16;
        }
    }
}

/// A few multiplications; what collides is told apart by the words themselves.
#[inline]
fn hash(words: &[u64]) -> usize {
    const ODD: u64 = 0x9E37_79B9_7F4A_7C15;
    let mixed = words.iter().fold(0_u64, |mixed, word| {
        (mixed.rotate_left(5) ^ word).wrapping_mul(ODD)
    });
    (mixed >> 40) as usize
}

impl Program {
    /// Settles what has something to do, by what was learned or else by stepping it; whether any output may have changed.
    pub(super) fn settle_as_learned(&self, learned: &mut Learned, state: &mut State, todo: &Set) -> bool {
        match self.block_words() {
            0 | 1 => self.settle_by_key::<1>(learned, state, todo),
            2 => self.settle_by_key::<2>(learned, state, todo),
            _ => self.settle_by_key::<WORDS>(learned, state, todo),
        }
    }

    fn settle_by_key<const W: usize>(&self, learned: &mut Learned, state: &mut State, todo: &Set) -> bool {
        let due = self.due::<W>(state);
        let mut all = due;
        all.add(todo);
        if all.is_empty() {
            return false;
        }
        if all.meets(&self.by_value) {
            return self.settle(state, &all);
        }
        let (wires, blocks) = learned.key.split_at_mut(self.places.words);
        for (own, word) in wires.iter_mut().zip(&state.words) {
            *own = *word;
        }
        for (at, of_word) in blocks.chunks_exact_mut(3).enumerate().take(W) {
            of_word[0] = state.memory.0[at];
            of_word[1] = state.running.0[at];
            of_word[2] = due.0[at];
        }
        let slot = learned.slot();
        match usize::from(learned.slots[slot]).checked_sub(1) {
            Some(known) => self.put::<W>(state, &learned.outcomes[known]),
            None => {
                let outcome = self.outcome(state, &all);
                learned.keep(outcome);
                outcome.switched
            }
        }
    }

    /// Steps, and tells what it came to.
    fn outcome<const W: usize>(&self, state: &mut State, todo: &Set<W>) -> Outcome {
        let before_s = state.due_s.clone();
        let switched = self.settle(state, todo);
        let (mut on, mut ended) = (Set::default(), Set::default());
        for (word, own) in on.0.iter_mut().zip(&state.words[self.places.input_words..]) {
            *word = *own;
        }
        for (at, (before_s, now_s)) in before_s.iter().zip(&state.due_s).enumerate() {
            if before_s.is_finite() && !now_s.is_finite() {
                ended.insert(at);
            }
        }
        Outcome {
            on,
            memory: state.memory,
            running: state.running,
            begun: state.begun,
            ended,
            switched,
        }
    }

    /// Puts a state where a step left it that was made in the same situation.
    #[inline]
    fn put<const W: usize>(&self, state: &mut State, outcome: &Outcome) -> bool {
        let words = &mut state.words[self.places.input_words..];
        for (word, on) in words.iter_mut().zip(&outcome.on.0) {
            *word = *on;
        }
        for at in 0..W {
            state.memory.0[at] = outcome.memory.0[at];
            state.running.0[at] = outcome.running.0[at];
            state.begun.0[at] = outcome.begun.0[at];
        }
        Set::<W>::first_of(&outcome.ended).each(|block| state.due_s[block] = f64::INFINITY);
        Set::<W>::first_of(&outcome.begun).each(|block| {
            if let Kind::OnDelay { delay_s } = self.blocks[block].kind {
                state.due_s[block] = state.at_s + delay_s;
            }
        });
        self.note_next_due::<W>(state);
        outcome.switched
    }
}
