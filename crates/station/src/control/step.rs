//! One step: from an event to the wires that it leaves.
//!
//! The meaning is that of a controller that scans all blocks in their order, again and again. A block whose reads and
//! memory didn't change can't change either, so a step evaluates only those that have something to do, in the same
//! order, pass by pass, until nothing changes. A test holds it to the plain scan.

use super::block::{Kind, Read, daily};
use super::program::{POWER, Program};
use super::set::{Set, WORDS};
use super::signal::Event;
use super::state::State;

/// The most passes of a step. What the functions wire settles in four; a loop without rest would end here.
const MOST_PASSES: usize = 16;

impl Program {
    /// Power on: the state after the first scans. `inputs_on` says which inputs are on, by index; what it leaves out
    /// is off. Without power everything stays off until [`Event::PowerBack`], or until the power's input goes on.
    pub fn start(&self, at_s: f64, inputs_on: &[bool]) -> State {
        let blocks = self.blocks.len();
        let inputs = self.inputs.len();
        let mut wires = vec![false; inputs + blocks].into_boxed_slice();
        for (wire, on) in wires.iter_mut().take(inputs).zip(inputs_on) {
            *wire = *on;
        }
        let mut state = State {
            wires,
            memory: vec![false; blocks].into_boxed_slice(),
            due_s: vec![f64::INFINITY; blocks].into_boxed_slice(),
            running: Set::default(),
            next_due_s: f64::INFINITY,
            temperature_c: vec![f64::INFINITY; self.thermometers].into_boxed_slice(),
            at_s: if at_s.is_finite() { at_s } else { 0.0 },
            powered: false,
        };
        if state.wire(POWER) {
            self.power_up(&mut state);
        }
        state
    }

    /// Takes in one event. Nothing is allocated.
    ///
    /// A time that isn't a number or lies before that of the last event counts as that of the last event. Timers run
    /// out only when a step comes: call it with [`Event::Due`] at [`Program::due_s`].
    pub fn step(&self, state: &mut State, at_s: f64, event: Event) {
        if at_s > state.at_s && at_s.is_finite() {
            state.at_s = at_s;
        }
        let mut todo = Set::default();
        match event {
            Event::Changed { input, on } => {
                if input >= self.inputs.len() {
                    return;
                }
                let before = core::mem::replace(&mut state.wires[input], on);
                if input == POWER {
                    match (state.powered, on) {
                        (true, false) => self.power_down(state),
                        (false, true) => self.power_up(state),
                        _ => {}
                    }
                    return;
                }
                if before != on {
                    todo = self.input_readers[input];
                }
            }
            Event::Reading {
                vessel,
                temperature_c,
            } => {
                let Some(held) = state.temperature_c.get_mut(vessel) else {
                    return;
                };
                *held = if temperature_c.is_finite() {
                    temperature_c
                } else {
                    f64::INFINITY
                };
                todo = self.thermostats;
            }
            Event::Due => {}
            Event::PowerBack => {
                self.power_down(state);
                state.wires[POWER] = true;
                self.power_up(state);
                return;
            }
        }
        if !state.powered {
            return;
        }
        self.settle_with_due(state, todo);
    }

    /// Takes in several inputs that change at one moment, as one scan would see them: valves turned by one hand, a pump
    /// asked for. As [`Program::step`] with [`Event::Changed`] otherwise; power isn't among them, and is ignored.
    pub fn step_together(&self, state: &mut State, at_s: f64, changes: &[(usize, bool)]) {
        if at_s > state.at_s && at_s.is_finite() {
            state.at_s = at_s;
        }
        let mut todo = Set::default();
        for (input, on) in changes {
            if *input < self.inputs.len() && *input != POWER {
                let before = core::mem::replace(&mut state.wires[*input], *on);
                if before != *on {
                    todo.add(&self.input_readers[*input]);
                }
            }
        }
        if state.powered {
            self.settle_with_due(state, todo);
        }
    }

    /// Settles what has something to do, and what a timer that ran out gives something to do.
    fn settle_with_due(&self, state: &mut State, mut todo: Set) {
        if state.next_due_s <= state.at_s {
            state.running.each(|block| {
                if state.due_s[block] <= state.at_s {
                    todo.insert(block);
                }
            });
        }
        self.settle(state, todo);
    }

    /// When the next timer runs out, s; `None` while none runs.
    pub fn due_s(&self, state: &State) -> Option<f64> {
        state.next_due_s.is_finite().then_some(state.next_due_s)
    }

    /// Whether an output, by its index, is on.
    pub fn is_on(&self, state: &State, output: usize) -> bool {
        self.outputs
            .get(output)
            .is_some_and(|(_, wire)| state.wire(usize::from(*wire)))
    }

    /// Everything off; only retained latches keep what they hold.
    fn power_down(&self, state: &mut State) {
        state.powered = false;
        state.running = Set::default();
        state.next_due_s = f64::INFINITY;
        state.due_s.fill(f64::INFINITY);
        for (block, held) in self.blocks.iter().zip(&mut state.memory) {
            *held &= matches!(block.kind, Kind::Latch { retained: true });
        }
        for wire in state.wires.iter_mut().skip(self.inputs.len()) {
            *wire = false;
        }
    }

    fn power_up(&self, state: &mut State) {
        state.powered = true;
        let mut all = Set::default();
        for block in 0..self.blocks.len() {
            all.insert(block);
        }
        self.settle(state, all);
    }

    /// Evaluates what has something to do, pass by pass, until nothing has.
    fn settle(&self, state: &mut State, mut todo: Set) {
        if todo.is_empty() {
            return;
        }
        let inputs = self.inputs.len();
        let words = self.blocks.len().div_ceil(64).min(WORDS);
        for _ in 0..MOST_PASSES {
            let mut again = Set::default();
            for at in 0..words {
                while todo.0[at] != 0 {
                    let block = at * 64 + todo.0[at].trailing_zeros() as usize;
                    todo.0[at] &= todo.0[at] - 1;
                    let on = self.evaluate(state, block);
                    let changed = core::mem::replace(&mut state.wires[inputs + block], on) != on;
                    if changed {
                        todo.add(&self.later_readers[block]);
                        again.add(&self.earlier_readers[block]);
                    }
                    // An edge is over at the next scan.
                    if on && matches!(self.blocks[block].kind, Kind::RisingEdge) {
                        again.insert(block);
                    }
                }
            }
            if again.is_empty() {
                break;
            }
            todo = again;
        }
        let mut next_due_s = f64::INFINITY;
        state.running.each(|block| {
            let due_s = state.due_s[block];
            if due_s < next_due_s {
                next_due_s = due_s;
            }
        });
        state.next_due_s = next_due_s;
    }

    #[inline]
    fn evaluate(&self, state: &mut State, at: usize) -> bool {
        let block = &self.blocks[at];
        let first = usize::from(block.first);
        let reads = &self.reads[first..first + usize::from(block.count)];
        let wires = &state.wires;
        let on = |read: &Read| wires[usize::from(read.wire)] != read.negated;
        match block.kind {
            Kind::All => reads.iter().all(on),
            Kind::Any => reads.iter().any(on),
            Kind::Latch { .. } => {
                let [set, reset] = [reads.first().is_some_and(on), reads.get(1).is_some_and(on)];
                let held = !reset && (set || state.memory[at]);
                state.memory[at] = held;
                held
            }
            Kind::OnDelay { delay_s } => {
                if !reads.first().is_some_and(on) {
                    state.due_s[at] = f64::INFINITY;
                    state.running.remove(at);
                    return false;
                }
                // The timer of a delay that has run out stays at its moment, so that it is told from one that is off.
                if state.due_s[at] == f64::INFINITY {
                    state.due_s[at] = state.at_s + delay_s;
                    state.running.insert(at);
                }
                let out = state.at_s >= state.due_s[at];
                if out {
                    state.running.remove(at);
                }
                out
            }
            Kind::RisingEdge => {
                let now = reads.first().is_some_and(on);
                let before = core::mem::replace(&mut state.memory[at], now);
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
                    && (temperature_c < on_below_c || (temperature_c < off_at_c && state.memory[at]));
                state.memory[at] = held;
                held
            }
            Kind::Daily { from_s, for_s } => {
                let (now, next_s) = daily(state.at_s, from_s, for_s);
                state.due_s[at] = next_s;
                state.running.insert(at);
                now
            }
        }
    }
}
