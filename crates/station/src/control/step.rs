//! One step: from an event to the wires that it leaves.
//!
//! The meaning is that of a controller that scans all blocks in their order, again and again. A block whose reads and
//! memory didn't change can't change either, so a step evaluates only those that have something to do, in the same
//! order, pass by pass, until nothing changes. A test holds it to the plain scan.
//!
//! What has something to do is kept as bits. Most programs have no more blocks than one word has bits: the passes are
//! compiled for one word and for all.

use super::block::{Kind, daily};
use super::program::{POWER, Program};
use super::set::{Set, WORDS};
use super::signal::Event;
use super::state::State;

/// The most passes of a step. What the functions wire settles in four; a loop without rest would end here.
const MOST_PASSES: usize = 16;

/// What an event left to do.
enum Taken {
    /// Nothing; whether any output may have changed.
    Settled { switched: bool },
    /// These blocks have something to do, and those whose timers have run out.
    Todo(Set),
}

impl Program {
    /// Power on: the state after the first scans. `inputs_on` says which inputs are on, by index; what it leaves out
    /// is off. Without power everything stays off until [`Event::PowerBack`], or until the power's input goes on.
    pub fn start(&self, at_s: f64, inputs_on: &[bool]) -> State {
        let mut state = State {
            places: self.places,
            words: vec![0; self.places.words].into_boxed_slice(),
            memory: Set::default(),
            due_s: vec![f64::INFINITY; self.blocks.len()].into_boxed_slice(),
            running: Set::default(),
            next_due_s: f64::INFINITY,
            temperature_c: vec![f64::INFINITY; self.thermometers].into_boxed_slice(),
            at_s: if at_s.is_finite() { at_s } else { 0.0 },
            powered: false,
        };
        for (input, on) in inputs_on.iter().enumerate().take(self.inputs.len()) {
            state.put(input, *on);
        }
        if state.wire(POWER) {
            self.power_up(&mut state);
        }
        state
    }

    /// Takes in one event, and tells whether any output may have changed. Nothing is allocated.
    ///
    /// A time that isn't a number or lies before that of the last event counts as that of the last event. Timers run
    /// out only when a step comes: call it with [`Event::Due`] at [`Program::due_s`].
    pub fn step(&self, state: &mut State, at_s: f64, event: Event) -> bool {
        match self.take(state, at_s, event) {
            Taken::Settled { switched } => switched,
            Taken::Todo(todo) => self.settle_with_due(state, &todo),
        }
    }

    /// Takes in several inputs that change at one moment, as one scan would see them: valves turned by one hand, a pump
    /// asked for. As [`Program::step`] with [`Event::Changed`] otherwise; power isn't among them, and is ignored.
    pub fn step_together(&self, state: &mut State, at_s: f64, changes: &[(usize, bool)]) -> bool {
        let todo = self.take_together(state, at_s, changes);
        state.powered && self.settle_with_due(state, &todo)
    }

    /// Takes in an event without its consequences, unless it is one of power.
    fn take(&self, state: &mut State, at_s: f64, event: Event) -> Taken {
        if at_s > state.at_s && at_s.is_finite() {
            state.at_s = at_s;
        }
        let nothing = Taken::Settled { switched: false };
        let todo = match event {
            Event::Changed { input, on } => {
                if input >= self.inputs.len() {
                    return nothing;
                }
                let turned = state.put(input, on);
                if input == POWER {
                    match (state.powered, on) {
                        (true, false) => self.power_down(state),
                        (false, true) => self.power_up(state),
                        _ => return nothing,
                    }
                    return Taken::Settled { switched: true };
                }
                if turned {
                    self.input_readers[input]
                } else {
                    Set::default()
                }
            }
            Event::Reading {
                vessel,
                temperature_c,
            } => {
                let Some(held) = state.temperature_c.get_mut(vessel) else {
                    return nothing;
                };
                *held = if temperature_c.is_finite() {
                    temperature_c
                } else {
                    f64::INFINITY
                };
                self.thermostats
            }
            Event::Due => Set::default(),
            Event::PowerBack => {
                self.power_down(state);
                state.put(POWER, true);
                self.power_up(state);
                return Taken::Settled { switched: true };
            }
        };
        if state.powered { Taken::Todo(todo) } else { nothing }
    }

    fn take_together(&self, state: &mut State, at_s: f64, changes: &[(usize, bool)]) -> Set {
        if at_s > state.at_s && at_s.is_finite() {
            state.at_s = at_s;
        }
        let mut todo = Set::default();
        for (input, on) in changes {
            if *input < self.inputs.len() && *input != POWER && state.put(*input, *on) {
                todo.add(&self.input_readers[*input]);
            }
        }
        todo
    }

    /// The blocks whose timers have run out.
    #[inline]
    pub(super) fn due<const W: usize>(&self, state: &State) -> Set<W> {
        let mut due = Set::default();
        if state.next_due_s <= state.at_s {
            Set::<W>::first_of(&state.running).each(|block| {
                if state.due_s[block] <= state.at_s {
                    due.insert(block);
                }
            });
        }
        due
    }

    /// Settles what has something to do, and what a timer that ran out gives something to do.
    fn settle_with_due(&self, state: &mut State, todo: &Set) -> bool {
        let mut all = *todo;
        all.add(&self.due::<WORDS>(state));
        self.settle(state, &all, &mut Set::default())
    }

    /// Words that the blocks take.
    #[inline]
    fn block_words(&self) -> usize {
        self.places.words - self.places.input_words
    }

    /// Notes when the next timer runs out.
    #[inline]
    pub(super) fn note_next_due<const W: usize>(&self, state: &mut State) {
        let mut next_due_s = f64::INFINITY;
        Set::<W>::first_of(&state.running).each(|block| {
            let due_s = state.due_s[block];
            if due_s < next_due_s {
                next_due_s = due_s;
            }
        });
        state.next_due_s = next_due_s;
    }

    /// When the next timer runs out, s; `None` while none runs.
    #[inline]
    pub fn due_s(&self, state: &State) -> Option<f64> {
        state.next_due_s.is_finite().then_some(state.next_due_s)
    }

    /// Whether an output, by its index, is on.
    #[inline]
    pub fn is_on(&self, state: &State, output: usize) -> bool {
        self.output_places.get(output).is_some_and(|(word, bit)| {
            let word = state.words.get(*word);
            word.is_some_and(|word| word & bit != 0)
        })
    }

    /// Everything off; only retained latches keep what they hold.
    fn power_down(&self, state: &mut State) {
        state.powered = false;
        state.running = Set::default();
        state.next_due_s = f64::INFINITY;
        state.due_s.fill(f64::INFINITY);
        for (at, block) in self.blocks.iter().enumerate() {
            if !matches!(block.kind, Kind::Latch { retained: true }) {
                state.memory.remove(at);
            }
        }
        state.words[self.places.input_words..].fill(0);
    }

    fn power_up(&self, state: &mut State) {
        state.powered = true;
        let mut all = Set::<WORDS>::default();
        for block in 0..self.blocks.len() {
            all.insert(block);
        }
        self.settle(state, &all, &mut Set::default());
    }

    /// Evaluates what has something to do, pass by pass, until nothing has; whether any output may have changed. Timers that
    /// it begins are put among those that were begun.
    pub(super) fn settle(&self, state: &mut State, todo: &Set, begun: &mut Set) -> bool {
        if self.block_words() <= 1 {
            self.pass_by_pass::<1>(state, Set::first_of(todo), begun)
        } else {
            self.pass_by_pass::<WORDS>(state, *todo, begun)
        }
    }

    fn pass_by_pass<const W: usize>(&self, state: &mut State, mut todo: Set<W>, begun: &mut Set) -> bool {
        if todo.is_empty() {
            return false;
        }
        let first = self.places.input_words;
        let mut changed = Set::<W>::default();
        for _ in 0..MOST_PASSES {
            let mut again = Set::<W>::default();
            for at in 0..W {
                while todo.0[at] != 0 {
                    let bit = todo.0[at] & todo.0[at].wrapping_neg();
                    let block = at * 64 + todo.0[at].trailing_zeros() as usize;
                    todo.0[at] ^= bit;
                    let on = self.evaluate(state, block, begun);
                    if (state.words[first + at] & bit != 0) == on {
                        continue;
                    }
                    state.words[first + at] ^= bit;
                    changed.0[at] |= bit;
                    todo.add(&self.later_readers[block]);
                    again.add(&self.earlier_readers[block]);
                    // An edge is over at the next scan.
                    if on && matches!(self.blocks[block].kind, Kind::RisingEdge) {
                        again.0[at] |= bit;
                    }
                }
            }
            if again.is_empty() {
                break;
            }
            todo = again;
        }
        self.note_next_due::<W>(state);
        changed.meets(&self.switching)
    }

    #[inline]
    fn evaluate(&self, state: &mut State, at: usize, begun: &mut Set) -> bool {
        let terms = self.terms.of(at);
        let words = &*state.words;
        let on = |read: usize| terms.get(read).is_some_and(|term| term.any(words));
        match self.blocks[at].kind {
            Kind::All => terms.iter().all(|term| term.all(words)),
            Kind::Any => terms.iter().any(|term| term.any(words)),
            Kind::Latch { .. } => {
                let held = !on(1) && (on(0) || state.memory.has(at));
                state.memory.put(at, held);
                held
            }
            Kind::OnDelay { delay_s } => {
                if !on(0) {
                    state.due_s[at] = f64::INFINITY;
                    state.running.remove(at);
                    begun.remove(at);
                    return false;
                }
                // The timer of a delay that has run out stays at its moment, so that it is told from one that is off.
                if state.due_s[at] == f64::INFINITY {
                    state.due_s[at] = state.at_s + delay_s;
                    state.running.insert(at);
                    begun.insert(at);
                }
                let out = state.at_s >= state.due_s[at];
                if out {
                    state.running.remove(at);
                }
                out
            }
            Kind::RisingEdge => {
                let now = on(0);
                let before = state.memory.has(at);
                state.memory.put(at, now);
                now && !before
            }
            Kind::Colder {
                vessel,
                on_below_c,
                off_at_c,
            } => {
                let held_c = state.temperature_c.get(usize::from(vessel));
                let temperature_c = held_c.map_or(f64::INFINITY, |held_c| *held_c);
                let held = temperature_c.is_finite()
                    && (temperature_c < on_below_c || (temperature_c < off_at_c && state.memory.has(at)));
                state.memory.put(at, held);
                held
            }
            Kind::Daily { from_s, for_s } => self.daily(state, at, from_s, for_s),
        }
    }

    /// Apart, so that the divisions of the few clocks don't weigh on every other block.
    #[inline(never)]
    fn daily(&self, state: &mut State, at: usize, from_s: f64, for_s: f64) -> bool {
        let (now, next_s) = daily(state.at_s, from_s, for_s);
        state.due_s[at] = next_s;
        state.running.insert(at);
        now
    }
}
