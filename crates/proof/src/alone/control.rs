//! What control hears and does, and what its relays, valves, floats and pumps do of it.

use station::control::{Event, Input};

use super::ground::Ground;
use super::lens::Lens;
use super::start::{Phase, Start};
use super::state::State;

/// Every part that a run moves, by its faults.
pub(crate) struct Hands<'r, 'a> {
    pub(crate) ground: &'r Ground<'a>,
    pub(crate) lens: &'r Lens,
    pub(crate) start: &'r Start,
    /// Whether water that comes back as it went is followed too: a run alone leaves it out, since it moves nothing.
    pub(crate) keeps_rounds: bool,
}

impl Hands<'_, '_> {
    /// The first moment: faults begin.
    pub(crate) fn begin(&self, state: &mut State) {
        let program = self.ground.program();
        if self.lens.hung {
            let outputs = program.outputs().len();
            state.held = Some((0..outputs).map(|at| program.is_on(&state.control, at)).collect());
        }
        if self.lens.power_out.is_some() {
            self.power(state, false);
        }
        if self.lens.left_on != 0 && !matches!(self.start.phase, Phase::Transfer(_)) {
            for pump in 0..self.ground.station.pumps.len() {
                if self.lens.left_on >> pump & 1 == 1
                    && let Some(ask) = self.ground.plant.wiring.pumps[pump].ask
                {
                    self.set(state, ask, true);
                }
            }
        }
        self.valves(state);
        let changes: Vec<(usize, bool)> = (0..program.inputs().len())
            .map(|input| (input, self.heard(state, input)))
            .collect();
        if state.powered {
            program.step_together(&mut state.control, 0.0, &changes);
        }
        for (input, on) in changes {
            state.trace.heard[input].note(on);
        }
    }

    /// What control hears of an input now.
    pub(crate) fn heard(&self, state: &State, input: usize) -> bool {
        let truth = match self.lens.is_fallen(input) {
            false => state.truth[input],
            true => state.trace.vessel_of[input]
                .is_some_and(|vessel| state.volume_m3(self.ground, vessel) > self.ground.floor_m3[vessel]),
        };
        self.lens.hears(input, truth)
    }

    /// An input is so from now on.
    pub(crate) fn set(&self, state: &mut State, input: usize, on: bool) {
        state.truth[input] = on;
        let heard = self.heard(state, input);
        state.trace.heard[input].note(heard);
        let event = Event::Changed { input, on: heard };
        if state.powered {
            self.ground.program().step(&mut state.control, state.t_s, event);
        }
    }

    /// Power goes or comes back.
    pub(crate) fn power(&self, state: &mut State, on: bool) {
        state.powered = on;
        let Some(power) = self.ground.plant.wiring.power else {
            return;
        };
        state.truth[power] = on;
        let event = Event::Changed { input: power, on };
        self.ground.program().step(&mut state.control, state.t_s, event);
        if on {
            // What changed meanwhile is heard now.
            let changes: Vec<(usize, bool)> = (0..state.truth.len())
                .filter(|input| *input != power)
                .map(|input| (input, self.heard(state, input)))
                .collect();
            self.ground
                .program()
                .step_together(&mut state.control, state.t_s, &changes);
        }
    }

    /// Which hand valves stand open.
    pub(crate) fn valves(&self, state: &mut State) {
        let lens = self.lens;
        let held_by_hand = state.in_hand.is_some();
        let mut open = match self.start.phase {
            Phase::Transfer(_) if held_by_hand || lens.nobody_ends_it => self.start.open,
            _ => self.ground.rest_open,
        };
        if !held_by_hand {
            open &= !self.ground.held;
        }
        open = (open | lens.left_open) & !lens.left_shut;
        if open == state.valves && state.t_s > 0.0 {
            return;
        }
        state.valves = open;
        let program = self.ground.program();
        let changes: Vec<(usize, bool)> = program
            .inputs()
            .iter()
            .enumerate()
            .filter_map(|(at, input)| match input {
                Input::ValveOpen { valve } => Some((at, open >> valve & 1 == 1)),
                _ => None,
            })
            .collect();
        for (input, on) in &changes {
            state.truth[*input] = *on;
            state.trace.heard[*input].note(*on);
        }
        if state.powered && !changes.is_empty() {
            program.step_together(&mut state.control, state.t_s, &changes);
        }
    }

    /// Whether an output's relay is closed.
    pub(crate) fn closed(&self, state: &mut State, output: usize) -> bool {
        let program = self.ground.program();
        let told = match (&state.held, self.lens.dead || !state.powered) {
            (_, true) => false,
            (Some(held), false) => held[output],
            (None, false) => program.is_on(&state.control, output),
        };
        state.trace.told[output].note(told);
        // A welded relay still needs power behind it.
        self.lens.relay(output, told) && state.powered
    }

    /// Puts feed valve and pumps where control and their faults want them.
    pub(crate) fn settle(&self, state: &mut State) {
        let wiring = &self.ground.plant.wiring;
        let electric = self
            .ground
            .plant
            .purifier
            .as_ref()
            .is_some_and(|own| own.electric);
        let wanted = match wiring.feed {
            Some(feed) if electric => self.closed(state, feed),
            _ => true,
        };
        state.trace.feed_valve.note(wanted);
        state.open = self.lens.feed_valve.unwrap_or(wanted);
        state.trace.open |= state.open;
        let mut runs = 0;
        for (pump, ends) in wiring.pumps.iter().enumerate() {
            let Some(output) = ends.output else { continue };
            let on = self.closed(state, output);
            if on {
                state.trace.ran |= 1 << pump;
            }
            runs |= u64::from(on) << pump;
        }
        state.runs = runs & !self.lens.stands;
    }

    /// The person has done what they had in hand: pump off, valves shut, out of the door.
    pub(crate) fn end(&self, state: &mut State) {
        state.in_hand = None;
        state.outcome.ended_s = Some(state.t_s);
        let wiring = &self.ground.plant.wiring;
        let mut off: Vec<usize> = Vec::new();
        if let Some(pump) = self.start.pump
            && self.lens.left_on >> pump & 1 == 0
        {
            off.extend(wiring.pumps[pump].ask);
        }
        off.extend(wiring.ask_fill.filter(|_| self.start.attended));
        off.extend(wiring.here);
        for input in off {
            self.set(state, input, false);
        }
        self.valves(state);
    }
}
