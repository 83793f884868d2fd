//! The loop: from event to event, whatever the pace.
//!
//! An event is a mark crossed, a transfer done, a timer of the control, midnight, somebody's coming or the end of what
//! they do, a tank in trouble, an odd day of the feed, a delivery, a line of the script. The next one is found among a
//! dozen clocks; nothing is queued. What a person does while nothing else can come between is one event with that in which it
//! was begun ([`super::at_once`]).

use station::control::Outputs;

use super::DAY_S;
use super::body::Plant;
use super::control::Wiring;
use super::happen::{happen, person};
use super::jobs::{end_moving, press, schedule_visit};
use super::pace::{Crossing, Pace, note_quiet};
use super::person::Doing;
use super::purifier::{catch_up, close, count_taper, switch_off, switch_on};
use super::state::{State, sooner};
use crate::method::Refusal;

/// More events than that in a day are no plant but a chatter that never rests (house rule).
const MOST_EVENTS_A_DAY: u32 = 20_000;

/// What driving took.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Driven {
    /// Events that were walked through.
    pub(crate) events: u64,
}

/// Drives the plant on to a time.
///
/// # Errors
/// [`Refusal`] where flows can't be computed, or where events come without end.
pub(crate) fn drive<P: Pace>(
    plant: &Plant,
    state: &mut State,
    pace: &mut P,
    until_s: f64,
) -> Result<Driven, Refusal> {
    // Nothing was driven yet: the rare clocks haven't been looked at.
    if state.rare_s == f64::NEG_INFINITY {
        open(plant, state);
    }
    let most = (f64::from(MOST_EVENTS_A_DAY) * ((until_s - state.t_s) / DAY_S + 1.0)) as u64;
    let mut events = 0;
    state.until_s = until_s;
    while state.t_s < until_s {
        let others_s = state.others_s();
        let due_s = sooner(others_s, state.person.next_s);
        let before_s = state.t_s;
        let due_s = if due_s > before_s { due_s } else { before_s };
        let crossing = pace.advance(plant, state, due_s).map_err(P::Refusal::into)?;
        look(plant, state, before_s);
        match crossing {
            Some(crossing) => {
                cross(plant, state, crossing);
                // Whoever has moved all that was to be moved goes on at once: another event.
                if state.person.next_s <= state.t_s {
                    happen(plant, state);
                    events += 1;
                }
            }
            // No other clock has struck.
            None if state.t_s < others_s => person(plant, state),
            None => happen(plant, state),
        }
        refresh(plant, state);
        events += 1;
        if events > most {
            return Err(Refusal::Restless {
                most: MOST_EVENTS_A_DAY,
            });
        }
    }
    if let Some(purifier) = &plant.purifier {
        catch_up(state, purifier);
    }
    state.tally.events += events;
    Ok(Driven { events })
}

/// The first moment: floats and switches find their places, somebody is expected.
fn open(plant: &Plant, state: &mut State) {
    for vessel in 0..plant.vessels.len() {
        if let Some((closes_m3, _)) = plant.vessels[vessel].float_m3 {
            state.float_open[vessel] = state.volume_m3(plant, vessel) < closes_m3;
        }
        note_quiet(plant, state, vessel);
    }
    find_open(plant, state);
    state.control_due_s = state.control.due_s();
    state.ready_m3 = state.ready_m3(plant);
    state.rare_s = next_rare_s(plant, state);
    settle(plant, state);
    schedule_visit(plant, state);
}

/// Which vessels permeate can come into.
fn find_open(plant: &Plant, state: &mut State) {
    let fills = plant
        .purifier
        .as_ref()
        .map_or(&[][..], |purifier| &purifier.fills);
    state.open_fills = 0;
    for vessel in fills {
        if plant.vessels[*vessel].float_m3.is_none() || state.float_open[*vessel] {
            state.open_fills |= 1 << vessel;
        }
    }
    state.open_count = f64::from(state.open_fills.count_ones());
}

/// When the next of the rare clocks strikes, s.
pub(super) fn next_rare_s(plant: &Plant, state: &State) -> f64 {
    let mut next_s = state.feed_ends_s;
    for tank in &state.tanks {
        next_s = sooner(next_s, tank.next_emergency_s);
    }
    for (at_s, _) in &state.feed_next {
        next_s = sooner(next_s, *at_s);
    }
    for at_s in &state.delivery_s {
        next_s = sooner(next_s, *at_s);
    }
    if let Some(asked) = plant.script.get(state.script_at) {
        next_s = sooner(next_s, asked.at_s);
    }
    next_s
}

/// Reckons anew what is at hand, where something changed that at once.
#[inline]
pub(super) fn refresh(plant: &Plant, state: &mut State) {
    if state.stale {
        reckon_at_hand(plant, state);
    }
}

#[inline(never)]
fn reckon_at_hand(plant: &Plant, state: &mut State) {
    state.stale = false;
    state.ready_m3 = state.ready_m3(plant);
    state.tally.at_hand(state.ready_m3);
}

/// Notes what was ready over the time that has passed.
#[inline(always)]
fn look(plant: &Plant, state: &mut State, before_s: f64) {
    let passed_s = state.t_s - before_s;
    if passed_s <= 0.0 {
        return;
    }
    if state.running.on || state.moves() {
        look_at_flow(plant, state, passed_s);
    } else {
        look_at_rest(plant, state, passed_s);
    }
}

/// What stands is under its reserve for all of the time, or for none.
#[inline]
pub(super) fn look_at_rest(plant: &Plant, state: &mut State, passed_s: f64) {
    let stands = state.ready_m3.iter().zip(&plant.reserve_m3);
    for (under_s, (ready_m3, reserve_m3)) in state.tally.under_reserve_s.iter_mut().zip(stands) {
        if ready_m3 - reserve_m3 < -1e-9 {
            *under_s += passed_s;
        }
    }
}

/// Where water flows, it is taken as straight between the two ends of the time.
#[inline(never)]
pub(super) fn look_at_flow(plant: &Plant, state: &mut State, passed_s: f64) {
    let was_m3 = state.ready_m3;
    state.ready_m3 = state.ready_m3(plant);
    state.tally.at_hand(state.ready_m3);
    for (at, under_s) in state.tally.under_reserve_s.iter_mut().enumerate() {
        let reserve_m3 = plant.reserve_m3[at];
        let (first, last) = (was_m3[at] - reserve_m3, state.ready_m3[at] - reserve_m3);
        if first < -1e-9 || last < -1e-9 {
            *under_s += share_under(first, last) * passed_s;
        }
    }
}

/// The share of a time in which something is under 0 by more than rounding, which goes straight from one value to another.
fn share_under(first: f64, last: f64) -> f64 {
    match (first < -1e-9, last < -1e-9) {
        (false, false) => 0.0,
        (true, true) => 1.0,
        (true, false) => first / (first - last),
        (false, true) => last / (last - first),
    }
}

/// A step of the control by inputs that change together, or by a timer where none does, and what it switches. Power isn't
/// among them: it never fails here.
pub(crate) fn step(plant: &Plant, state: &mut State, changes: &[(usize, bool)]) {
    let switched = (state.control).step_together(&plant.wiring.program, state.t_s, changes);
    state.control_due_s = state.control.due_s();
    if switched.meets(plant.wiring.feed_output) {
        settle_purifier(plant, state);
    }
    if switched.meets(plant.wiring.pump_outputs) {
        settle_pumps(plant, state, switched);
    }
}

/// Puts purifier and pumps where control and floats want them.
pub(crate) fn settle(plant: &Plant, state: &mut State) {
    settle_purifier(plant, state);
    settle_pumps(plant, state, Outputs::ALL);
}

fn settle_purifier(plant: &Plant, state: &mut State) {
    if let Some(purifier) = &plant.purifier {
        let wanted = match plant.wiring.feed {
            Some(feed) if purifier.electric => state.control.is_on(&plant.wiring.program, feed),
            _ => true,
        };
        let runs = wanted && !state.laid_up && state.open_fills != 0;
        match (state.running.on, runs) {
            (false, true) => switch_on(state, purifier),
            (true, false) => {
                if state.open_fills == 0 {
                    count_taper(state, purifier);
                }
                switch_off(state, purifier);
            }
            _ => {}
        }
    }
}

/// Puts the pumps among some outputs where control wants them.
fn settle_pumps(plant: &Plant, state: &mut State, switched: Outputs) {
    let Wiring { program, pumps, .. } = &plant.wiring;
    let mut told = core::mem::take(&mut state.told);
    for (pump, ends) in pumps.iter().enumerate() {
        if !switched.meets(ends.outputs) {
            continue;
        }
        let Some(output) = ends.output else { continue };
        let on = state.control.is_on(program, output);
        match (on, state.pump_since_s[pump]) {
            (true, None) => state.pump_since_s[pump] = Some(state.t_s),
            (false, Some(since_s)) => {
                state.pump_since_s[pump] = None;
                state.tally.energy_j[1] += plant.pumps_w[pump] * (state.t_s - since_s);
            }
            _ => continue,
        }
        if let Some(flow) = ends.flow
            && state.inputs[flow] != on
        {
            state.inputs[flow] = on;
            told.push((flow, on));
        }
    }
    // Water flows as soon as a pump runs, and no longer: in all that were switched together.
    if !told.is_empty() {
        step(plant, state, &told);
        told.clear();
    }
    state.told = told;
    if let Doing::Moving(moving) = &state.person.doing
        && let Some(pump) = moving.pump
        && switched.meets(pumps[pump].outputs)
        && let Some(output) = pumps[pump].output
        && !state.control.is_on(program, output)
    {
        end_moving(plant, state);
    }
}

/// A mark was crossed.
#[inline]
fn cross(plant: &Plant, state: &mut State, crossing: Crossing) {
    match crossing {
        Crossing::Switch(met) => {
            let input = plant.wiring.switches[met.vessel()][met.at()].input;
            press(plant, state, Some(input), met.on());
            note_quiet(plant, state, met.vessel());
        }
        Crossing::Float(met) => {
            state.float_open[met.vessel()] = met.on();
            note_quiet(plant, state, met.vessel());
            find_open(plant, state);
            settle(plant, state);
        }
        Crossing::Moved => {
            if let Doing::Moving(moving) = &mut state.person.doing {
                moving.left_m3 = moving.left_m3.max(0.0);
            }
            end_moving(plant, state);
        }
        Crossing::Flushed => state.running.flush_left_m3 = 0.0,
    }
}

/// Closes what is open at the end: a run's salt, what still waits.
pub(crate) fn finish(plant: &Plant, state: &mut State) {
    if let Some(purifier) = &plant.purifier {
        close(state, purifier);
    }
    let (t_s, from_s) = (state.t_s, state.tally.from_s);
    for tank in &mut state.tanks {
        if tank.emergency.is_some_and(|emergency| emergency.seen_s.is_some()) {
            state.tally.unmet += 1;
        }
        for waits in &mut tank.waits {
            if let Some((since_s, reason)) = waits.as_mut() {
                state.tally.waited_s[*reason as usize] += t_s - since_s.max(from_s);
                *since_s = t_s;
            }
        }
    }
}
