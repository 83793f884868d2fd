//! Carrying out what a person decided: beginning and ending it, with its valves, pump and books.

use super::Amount;
use super::DAY_S;
use super::at_once::carry_at_once;
use super::body::Plant;
use super::books::{Account, Outside};
use super::choose::served;
use super::drive::{settle, step};
use super::person::{Doing, Load, Moving, Then, work_of};
use super::round::carries;
use super::state::{State, kind};
use super::stores::Batch;
use super::tally::Tally;
use super::ways::Way;

/// Begins a piece of work.
#[inline]
pub(super) fn begin_work(state: &mut State, seconds: f64, then: Then) {
    state.person.doing = Doing::Working {
        since_s: state.t_s,
        then,
    };
    state.person.next_s = state.t_s + seconds;
}

/// Switches an attended purifier on.
#[cold]
pub(super) fn start_run(plant: &Plant, state: &mut State) {
    press(plant, state, plant.wiring.ask_fill, false);
    press(plant, state, plant.wiring.ask_fill, true);
    // It takes a moment only; what comes next comes now.
    state.person.next_s = state.t_s;
    state.person.doing = Doing::Nothing;
}

/// The person leaves.
pub(super) fn leave(plant: &Plant, state: &mut State) {
    state.person.here = false;
    state.person.doing = Doing::Nothing;
    press(plant, state, plant.wiring.here, false);
    schedule_visit(plant, state);
}

/// When somebody comes next.
pub(crate) fn schedule_visit(plant: &Plant, state: &mut State) {
    let from_day = state.person.day.max(super::season::day_of(state.t_s));
    let visit = plant.people.calendar.next(from_day, &state.arrivals);
    state.person.next_s = visit.map_or(f64::INFINITY, |visit| visit.at_s.max(state.t_s));
    state.person.expected = visit.map_or((0.0, true), |visit| (visit.stays_s, visit.looks_in));
}

/// Puts an input on or off.
pub(crate) fn press(plant: &Plant, state: &mut State, input: Option<usize>, on: bool) {
    if let Some(input) = input
        && state.inputs[input] != on
    {
        state.inputs[input] = on;
        step(plant, state, &[(input, on)]);
    }
}

/// Begins to move a volume from a vessel on a way.
#[inline(never)]
pub(super) fn begin_moving(
    plant: &Plant,
    state: &mut State,
    (from, to): (usize, Account),
    volume_m3: f64,
    way: &Way,
    then: Then,
) {
    let mut way = way;
    if let Some(lineup) = way.lineup {
        set_lineup(plant, state, lineup, true);
        // A control that holds the pump off leaves buckets.
        let output = way.pump.and_then(|pump| plant.wiring.pumps[pump].output);
        if output.is_some_and(|output| !state.control.is_on(&plant.wiring.program, output)) {
            set_lineup(plant, state, lineup, false);
            way = &plant.ways.by_hand[from];
        }
    }
    let rate_m3_s = way
        .lineup
        .and_then(|lineup| plant.ways.times.get(lineup)?.as_ref())
        .and_then(|times| times.mean_m3_s(state.volume_m3(plant, from), volume_m3))
        .unwrap_or(way.rate_m3_s);
    if let Some(bucket_m3) = way.bucket_m3 {
        state.tally.carries += carries(volume_m3, bucket_m3);
    }
    if way.lineup.is_none() {
        begin_carrying(plant, state, (from, to), volume_m3, volume_m3 / rate_m3_s, then);
        return;
    }
    state.person.doing = Doing::Moving(Moving {
        load: load(plant, state, (from, to), volume_m3, then),
        left_m3: volume_m3,
        rate_m3_s,
        lineup: way.lineup,
        pump: way.pump,
    });
    state.person.next_s = f64::INFINITY;
}

/// Begins to carry a volume out of a vessel by hand, which takes so long.
#[inline]
pub(super) fn begin_carrying(
    plant: &Plant,
    state: &mut State,
    (from, to): (usize, Account),
    volume_m3: f64,
    seconds: f64,
    then: Then,
) {
    let at_once = load(plant, state, (from, to), volume_m3, then);
    if carry_at_once(plant, state, &at_once, seconds) {
        moved(plant, state, &at_once, volume_m3);
        return;
    }
    state.person.doing = Doing::Moving(Moving {
        // Not the same again: a load that was put together piece by piece is slowly read as a whole.
        load: load(plant, state, (from, to), volume_m3, then),
        left_m3: volume_m3,
        rate_m3_s: volume_m3 / seconds,
        lineup: None,
        pump: None,
    });
    state.person.next_s = f64::INFINITY;
}

/// A load of a vessel's water as it is now.
#[inline(always)]
fn load(plant: &Plant, state: &State, (from, to): (usize, Account), volume_m3: f64, then: Then) -> Load {
    Load {
        from,
        to,
        volume_m3,
        since_s: state.t_s,
        salinity: plant.brine.practical_salinity(state.books.vessel(from)),
        then,
    }
}

/// Opens a task's valves and asks for its pump, or the other way round: one turn of the hand to the control.
fn set_lineup(plant: &Plant, state: &mut State, lineup: usize, on: bool) {
    let Some(hand) = plant.wiring.by_hand.get(lineup) else {
        return;
    };
    let changes = if on { &hand.for_task } else { &hand.behind_it };
    for (input, on) in changes {
        state.inputs[*input] = *on;
    }
    step(plant, state, changes);
}

/// Ends a transfer, done or broken off.
pub(crate) fn end_moving(plant: &Plant, state: &mut State) {
    let Doing::Moving(Moving {
        load,
        left_m3,
        lineup,
        ..
    }) = &state.person.doing
    else {
        return;
    };
    // What is left was written just now: read by itself, and nothing beside it.
    let (load, moved_m3, lineup) = (*load, load.volume_m3 - left_m3, *lineup);
    state.person.doing = Doing::Nothing;
    if let Some(lineup) = lineup {
        set_lineup(plant, state, lineup, false);
    }
    moved(plant, state, &load, moved_m3);
}

/// What of a load was moved is counted, and whoever it was for has it.
#[inline]
fn moved(plant: &Plant, state: &mut State, load: &Load, moved_m3: f64) {
    count(state, load.since_s, load.then);
    drawn(plant, state, load, moved_m3);
    match load.then {
        Then::ToppedOff { kind } => topped_off(state, kind as usize, moved_m3),
        Then::ChangeMoved { tank } => {
            let tank = tank as usize;
            changed(plant, state, tank);
            let own = &plant.tanks[tank];
            state.rounds[kind(own.top_off)].owe(tank, own.thin_m3);
        }
        Then::EmergencyMoved { tank } => helped(plant, state, tank as usize, moved_m3),
        Then::Filled { .. } => state.poured_m3 += moved_m3,
        Then::Changed
        | Then::Salted { .. }
        | Then::SaltedInNeed { .. }
        | Then::Measured { .. }
        | Then::Waited => {}
    }
    state.person.next_s = state.t_s;
    if let Then::ChangeMoved { .. } = load.then {
        // Siphoning out, wiping, putting away.
        state.person.doing = Doing::Working {
            since_s: state.t_s,
            then: Then::Changed,
        };
        state.person.next_s = state.t_s + plant.people.change_s;
    }
}

/// Ends a piece of work.
pub(crate) fn end_work(plant: &Plant, state: &mut State, since_s: f64, then: Then) {
    state.person.doing = Doing::Nothing;
    count(state, since_s, then);
    match then {
        Then::Salted { vessel } => salted(plant, state, vessel as usize, false),
        Then::SaltedInNeed { vessel } => salted(plant, state, vessel as usize, true),
        Then::Measured { vessel } => {
            let vessel = vessel as usize;
            state.stores.put(plant, vessel, Batch::Ready);
            state.born_s[vessel] = state.t_s;
            state.jump();
        }
        _ => {}
    }
}

fn count(state: &mut State, since_s: f64, then: Then) {
    state.tally.work_s[work_of(then) as usize] += state.t_s - since_s;
}

/// A round of top-off is over: what was brought is shared, and whoever is owed nothing more waits no longer.
fn topped_off(state: &mut State, water: usize, moved_m3: f64) {
    state.rounds[water].supply(moved_m3);
    if state.wait_for_top_off > 0 {
        let State {
            rounds,
            tanks,
            tally,
            t_s,
            ..
        } = state;
        for (tank, owed_m3) in rounds[water].owed() {
            let now = &mut tanks[tank];
            if owed_m3 <= 0.0 && now.waits[0].is_some() {
                served(tally, now, *t_s, 0);
                state.wait_for_top_off -= 1;
            }
        }
    }
}

/// Counts what was drawn for the tanks: how much, how old, how far from its target.
#[inline]
fn drawn(plant: &Plant, state: &mut State, load: &Load, volume_m3: f64) {
    let from = load.from;
    if load.to != Account::Outside(Outside::Tanks) || volume_m3 <= 0.0 {
        return;
    }
    let vessel = &plant.vessels[from];
    let at = kind(vessel.holds);
    let age_s = state.t_s - state.born_s[from];
    let salinity = load.salinity;
    let tally: &mut Tally = &mut state.tally;
    tally.to_tanks_m3[at] += volume_m3;
    tally.drawn_m3[at] += volume_m3;
    tally.age_m3_s[at] += volume_m3 * age_s;
    if age_s > tally.oldest_s[at] {
        tally.oldest_s[at] = age_s;
    }
    if at == 1 {
        if age_s > plant.mix.use_within_s {
            tally.stale_m3 += volume_m3;
        }
        tally.too_salty = tally.too_salty.max(salinity - vessel.target);
        tally.too_fresh = tally.too_fresh.max(vessel.target - salinity);
    }
}

/// A tank has had its change; the next is due so many days after the day that this one was due, or after today where
/// that has passed.
fn changed(plant: &Plant, state: &mut State, tank: usize) {
    served(&mut state.tally, &mut state.tanks[tank], state.t_s, 1);
    let Some((_, every)) = plant.tanks[tank].change else {
        return;
    };
    let today = state.t_s / DAY_S;
    let change_day = &mut state.change_day[tank];
    *change_day += every;
    // Late by a whole turn: the turn is lost, as in life.
    if *change_day < today {
        *change_day = today + every;
    }
}

/// A tank in trouble has had some water.
fn helped(plant: &Plant, state: &mut State, tank: usize, moved_m3: f64) {
    let t_s = state.t_s;
    let now = &mut state.tanks[tank];
    let Some(emergency) = &mut now.emergency else {
        return;
    };
    emergency.left_m3 -= moved_m3;
    if emergency.left_m3 > 1e-4 {
        return;
    }
    let seen_s = emergency.seen_s.unwrap_or(t_s);
    let was_ready = emergency.was_ready;
    now.emergency = None;
    state.in_trouble -= 1;
    state.tally.met_after_s.push(t_s - seen_s);
    // What the transfer itself takes isn't waiting.
    state.tally.met_at_once += u32::from(was_ready);
    // An emergency change is a change, too.
    if plant.tanks[tank].change.is_some() {
        changed(plant, state, tank);
    }
}

/// The salt of a batch goes in.
fn salted(plant: &Plant, state: &mut State, vessel: usize, emergency: bool) {
    let Some(strength) = plant.mix.strength else {
        return;
    };
    let own = &plant.vessels[vessel];
    let salt_kg = own.mixed.salt_wanting_kg(state.books.vessel(vessel)).max(0.0);
    state.book(
        plant,
        Account::Outside(Outside::Salt),
        Account::vessel(vessel),
        Amount::salt(salt_kg),
    );
    state.tally.batches += 1;
    state.tally.batch_m3 += (state.volume_m3(plant, vessel) - state.stood_m3).max(0.0);
    state.tally.mix_kg += salt_kg / strength;
    let mixing_s = if emergency {
        plant.mix.emergency_s
    } else {
        plant.mix.mixing_s
    };
    let warming_s = super::heat::warm_batch(plant, state, vessel);
    state.tally.energy_j[1] += own.mixing_w * mixing_s;
    let usable_s = state.t_s + plant.mix.emergency_s.max(warming_s);
    let mixing = Batch::Mixing {
        until_s: state.t_s + mixing_s.max(warming_s),
        usable_s,
    };
    state.stores.put(plant, vessel, mixing);
    state.usable_s = usable_s;
    state.jump();
    settle(plant, state);
}
