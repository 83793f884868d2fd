//! One run: from event to event, with nobody there, until somebody comes.

use station::control::Event;

use super::control::Hands;
use super::fault::{Fault, FeedFault};
use super::flow::Now;
use super::ground::Ground;
use super::lens::Lens;
use super::marks::Met;
use super::network::Lines;
use super::outcome::Outcome;
use super::start::Start;
use super::state::State;
use super::trace::Trace;
use crate::method::Refusal;
use crate::plant::DAY_S;

/// More events than that are no run but a chatter that never rests (house rule).
const MOST_EVENTS: u32 = 4_000;
/// Power that comes back does so after so long, s (house rule: an hour).
pub(crate) const OUTAGE_S: f64 = 3600.0;
/// A frozen feed thaws after so long, s (house rule: a day).
pub(crate) const THAWS_S: f64 = DAY_S;
/// Water on the floor that a detector finds, m³ (house rule: half a litre).
pub(super) const FOUND_M3: f64 = 5e-4;
/// Switches and pumps that turn each other on and off at one moment are looked at so often at most.
const MOST_ROUNDS: usize = 8;

/// Walks a station from its beginning for so long, s, with these faults. `planned_s` is the time that what is in hand
/// should take.
///
/// # Errors
/// [`Refusal`] where flows can't be computed.
pub(crate) fn run(
    ground: &Ground<'_>,
    lines: &mut Option<Lines<'_>>,
    start: &Start,
    planned_s: f64,
    faults: &[Fault],
    until_s: f64,
) -> Result<(Outcome, Trace), Refusal> {
    let lens = Lens::of(ground, faults);
    let hands = Hands {
        ground,
        lens: &lens,
        start,
        keeps_rounds: false,
    };
    let mut state = walk(&hands, lines, planned_s, until_s)?;
    hands.judge(&mut state, until_s);
    Ok((state.outcome, state.trace))
}

/// The walk itself: how it stands at the end.
pub(super) fn walk(
    hands: &Hands<'_, '_>,
    lines: &mut Option<Lines<'_>>,
    planned_s: f64,
    until_s: f64,
) -> Result<State, Refusal> {
    let (ground, lens, start) = (hands.ground, hands.lens, hands.start);
    if let Some(lines) = lines {
        lines.forget();
    }
    let mut state = State::begin(ground, start, lens, planned_s);
    hands.begin(&mut state);
    let mut now = Now::default();
    let mut changes = [
        (lens.power_out == Some(true)).then_some(OUTAGE_S),
        (lens.feed == Some(FeedFault::Frozen)).then_some(THAWS_S),
    ];
    while state.t_s < until_s {
        let thawed = changes[1].is_none();
        hands.find(&mut state, lines, thawed, &mut now)?;
        let mut due_s = until_s;
        if let Some(timer_s) = ground.program().due_s(&state.control)
            && state.powered
        {
            due_s = due_s.min(timer_s.max(state.t_s));
        }
        for at_s in changes.iter().flatten() {
            due_s = due_s.min(*at_s);
        }
        if let Some((_, patience_s)) = state.in_hand {
            due_s = due_s.min(patience_s.max(state.t_s));
        }
        let left_s = hands.until_harm_s(&state, &now, due_s - state.t_s);
        let (step_s, met) = hands.step(&mut state, lines, thawed, &mut now, left_s)?;
        hands.spend(&mut state, &now, step_s);
        match met {
            Some(met) => hands.meet(&mut state, met),
            None => hands.due(&mut state, &mut changes),
        }
        hands.detect(&mut state);
        state.outcome.events += 1;
        if state.outcome.events > MOST_EVENTS {
            state.outcome.restless = true;
            break;
        }
    }
    Ok(state)
}

impl Hands<'_, '_> {
    /// Actuators and flows that agree with each other: a pump's flow switch is seen by control, which may stop the pump.
    pub(crate) fn find(
        &self,
        state: &mut State,
        lines: &mut Option<Lines<'_>>,
        thawed: bool,
        now: &mut Now,
    ) -> Result<(), Refusal> {
        for _ in 0..MOST_ROUNDS {
            self.settle(state);
            self.look(state, lines.as_mut(), (thawed, false), now)?;
            let mut turned = false;
            for (pump, ends) in self.ground.plant.wiring.pumps.iter().enumerate() {
                let Some(flow) = ends.flow else { continue };
                let moves = now.lines.pumps.get(pump) == Some(&super::network::Fares::Moves);
                if state.truth[flow] != moves {
                    self.set(state, flow, moves);
                    turned = true;
                }
            }
            if !turned {
                break;
            }
        }
        Ok(())
    }

    pub(crate) fn meet(&self, state: &mut State, met: Met) {
        match met {
            Met::Switch { input, on } => self.set(state, input, on),
            Met::Float { vessel, at, open } => {
                let (bit, floats) = (1 << vessel, &mut state.floats[at as usize]);
                *floats = if open { *floats | bit } else { *floats & !bit };
            }
            Met::Level => self.look_at_the_floor(state),
            Met::Done => self.end(state),
        }
    }

    /// Switches that lie on their vessel's floor.
    fn look_at_the_floor(&self, state: &mut State) {
        for input in 0..state.truth.len() {
            let Some(vessel) = state.trace.vessel_of[input] else {
                continue;
            };
            if state.volume_m3(self.ground, vessel) <= self.ground.floor_m3[vessel] + super::marks::CLOSE_M3 {
                state.trace.empty[vessel] = true;
            }
            if self.lens.is_fallen(input) {
                let truth = state.truth[input];
                self.set(state, input, truth);
            }
        }
    }

    fn due(&self, state: &mut State, changes: &mut [Option<f64>; 2]) {
        let t_s = state.t_s;
        if changes[0].is_some_and(|at_s| at_s <= t_s) {
            changes[0] = None;
            self.power(state, true);
        }
        if changes[1].is_some_and(|at_s| at_s <= t_s) {
            changes[1] = None;
        }
        if state.in_hand.is_some_and(|(_, patience_s)| patience_s <= t_s) {
            self.end(state);
        }
        let program = self.ground.program();
        if state.powered && program.due_s(&state.control).is_some_and(|due_s| due_s <= t_s) {
            program.step(&mut state.control, t_s, Event::Due);
        }
    }

    /// Water on the floor reaches the detector.
    pub(crate) fn detect(&self, state: &mut State) {
        let Some(leak) = self.ground.leak else { return };
        if state.truth[leak] {
            return;
        }
        // It lies in the tray, where there is one.
        let floor_m3 = state.floor.iter().map(|(_, own)| own).sum::<f64>() + state.tray_m3;
        if floor_m3 > FOUND_M3 {
            self.set(state, leak, true);
        }
    }
}
