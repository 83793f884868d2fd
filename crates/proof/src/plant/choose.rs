//! What a person does next: decided from what stands in the station, what is due and how much time is left.
//!
//! In this order: whoever is in trouble, batches that wait for a reading, top-off, changes, the next batch ([`super::batch`]),
//! a run of an attended purifier. House rules, close to how such a room is run; what takes long is left when time is up, an
//! emergency never.

use station::sections::Water;

use super::DAY_S;
use super::batch::{attended_run, batch};
use super::body::Plant;
use super::books::{Account, Outside};
use super::jobs::{begin_carrying, begin_moving, begin_work, leave, start_run};
use super::person::Then;
use super::season::{Season, day_of};
use super::state::{State, TankNow, kind, sooner};
use super::stores::Batch;
use super::tally::{Reason, Tally};

/// Less than that isn't worth a way, m³ (house rule).
pub(super) const WORTH_M3: f64 = 2e-4;

/// Begins what the person who is here does next; false when they have left.
#[inline(never)]
pub(crate) fn go_on(plant: &Plant, state: &mut State) -> bool {
    if state.in_trouble > 0 && emergency(plant, state) {
        return true;
    }
    let time_is_up = state.t_s >= state.person.leaves_s;
    if !state.stores.all_ready {
        if let Some(vessel) = state.stores.mixed(state.t_s) {
            measure(plant, state, vessel);
            return true;
        }
        // What was begun is finished, whatever the hour.
        if state.stores.filling.is_some() && batch(plant, state, false) {
            return true;
        }
    }
    if state.person.looked[0] < 2 && top_off(plant, state) {
        return true;
    }
    if state.person.looks_in {
        leave(plant, state);
        return false;
    }
    if time_is_up {
        late(plant, state);
        leave(plant, state);
        return false;
    }
    if change(plant, state) || batch(plant, state, false) {
        return true;
    }
    if attended_run(plant, state) {
        state.person.asked_fill = true;
        start_run(plant, state);
        return true;
    }
    leave(plant, state);
    false
}

/// Takes a reading of a batch.
fn measure(plant: &Plant, state: &mut State, vessel: usize) {
    let vessel = vessel as u32;
    begin_work(state, plant.people.measuring_s, Then::Measured { vessel });
}

/// Begins to bring a tank water from a vessel, of what is there.
fn bring(
    plant: &Plant,
    state: &mut State,
    (from, there_m3): (usize, f64),
    tank: usize,
    wanted_m3: f64,
    then: Then,
) {
    let way = &plant.ways.to_tank[from][tank];
    let to = Account::Outside(Outside::Tanks);
    begin_moving(plant, state, (from, to), wanted_m3.min(there_m3), way, then);
}

/// What is wanted of fresh or salt water, and the vessel that it comes from: one that holds it all, the one with least;
/// otherwise the one with most.
fn source(plant: &Plant, state: &State, water: Water, wanted_m3: f64) -> Option<(usize, f64)> {
    let (mut enough, mut least_m3) = (None, f64::INFINITY);
    let (mut most, mut most_m3) = (None, WORTH_M3);
    for (at, there_m3) in (state.stores).sources(&plant.brine, state.books.vessels(), water) {
        if there_m3 >= wanted_m3 && there_m3 < least_m3 {
            (enough, least_m3) = (Some(at), there_m3);
        }
        if there_m3 > most_m3 {
            (most, most_m3) = (Some(at), there_m3);
        }
    }
    match enough {
        Some(at) => (least_m3 > WORTH_M3).then_some((at, least_m3)),
        None => most.map(|at| (at, most_m3)),
    }
}

/// Salt water that can be drawn now, from all vessels together, m³.
fn ready_salt_m3(plant: &Plant, state: &State) -> f64 {
    (state.stores)
        .sources(&plant.brine, state.books.vessels(), Water::Salt)
        .map(|(_, there_m3)| there_m3)
        .sum()
}

/// Why salt water isn't there.
fn why_no_salt(plant: &Plant, state: &State) -> Reason {
    let mixing = plant
        .vessels
        .iter()
        .zip(state.stores.batches())
        .any(|(vessel, batch)| vessel.holds == Water::Salt && *batch != Batch::Ready);
    let fresh = source(plant, state, Water::Fresh, 0.0).is_some();
    match (mixing, fresh) {
        (true, _) => Reason::Mixing,
        (false, false) => Reason::NoFresh,
        (false, true) => Reason::NoSalt,
    }
}

/// Helps a tank in trouble with what there is, and mixes more where it isn't enough.
#[cold]
fn emergency(plant: &Plant, state: &mut State) -> bool {
    let is_in_trouble = |tank: &TankNow| {
        tank.emergency
            .is_some_and(|emergency| emergency.since_s <= state.t_s)
    };
    let Some(tank) = state.tanks.iter().position(is_in_trouble) else {
        return false;
    };
    let Some(emergency) = &mut state.tanks[tank].emergency else {
        return false;
    };
    let first_look = emergency.seen_s.is_none();
    emergency.seen_s.get_or_insert(state.t_s);
    let left_m3 = emergency.left_m3;
    let found = source(plant, state, Water::Salt, left_m3);
    // One vessel after the other, where none alone has all of it.
    if first_look
        && found.is_some()
        && ready_salt_m3(plant, state) >= left_m3 - WORTH_M3
        && let Some(emergency) = state.tanks[tank].emergency.as_mut()
    {
        emergency.was_ready = true;
    }
    if let Some(found) = found {
        let then = Then::EmergencyMoved { tank: tank as u32 };
        bring(plant, state, found, tank, left_m3, then);
        return true;
    }
    if let Some(vessel) = state.stores.mixed(state.t_s) {
        measure(plant, state, vessel);
        return true;
    }
    if batch(plant, state, true) {
        return true;
    }
    // One that is mixing already is read as soon as it can be used, and waited for.
    let Some(until_s) = state.stores.hurry(state.t_s) else {
        return false;
    };
    begin_work(state, (until_s - state.t_s).max(1.0), Then::Waited);
    true
}

/// Tops off the tanks with what has evaporated, in one round for each water.
#[inline(never)]
fn top_off(plant: &Plant, state: &mut State) -> bool {
    while state.person.looked[0] < 2 {
        let water = [Water::Fresh, Water::Salt][state.person.looked[0]];
        state.person.looked[0] += 1;
        // By the rates in the middle of the time that has passed.
        let gone_s = state.t_s - state.topped_s[kind(water)];
        state.topped_s[kind(water)] = state.t_s;
        let round = &mut state.rounds[kind(water)];
        if round.is_empty() {
            continue;
        }
        let middle = Season::at(state.t_s - 0.5 * gone_s);
        let wanted_m3 = round.evaporate(middle, gone_s);
        if wanted_m3 < WORTH_M3 {
            continue;
        }
        let found = source(plant, state, water, wanted_m3);
        let enough = found.is_some_and(|(_, there_m3)| there_m3 >= wanted_m3 - WORTH_M3);
        if !enough {
            wait_for_top_off(plant, state, water);
        }
        let Some((from, there_m3)) = found else { continue };
        if state.rounds[1].is_empty() {
            state.person.looked[0] = 2;
        }
        let volume_m3 = sooner(wanted_m3, there_m3);
        let effort = state.rounds[kind(water)].effort(from, volume_m3, state.tally.carries);
        state.tally.carries = effort.carried;
        let to = Account::Outside(Outside::Tanks);
        let then = Then::ToppedOff {
            kind: kind(water) as u32,
        };
        begin_carrying(plant, state, (from, to), volume_m3, effort.seconds, then);
        return true;
    }
    false
}

/// Those of a round whose water isn't there wait for it.
#[cold]
#[inline(never)]
fn wait_for_top_off(plant: &Plant, state: &mut State, water: Water) {
    let reason = match water {
        Water::Fresh => Reason::NoFresh,
        Water::Salt => why_no_salt(plant, state),
    };
    let State {
        rounds, tanks, t_s, ..
    } = state;
    for (tank, owed_m3) in rounds[kind(water)].owed() {
        let waits = &mut tanks[tank].waits[0];
        if owed_m3 > WORTH_M3 && waits.is_none() {
            *waits = Some((*t_s, reason));
            state.wait_for_top_off += 1;
        }
    }
}

/// A tank waits for its change.
fn wait_for_change(state: &mut State, tank: usize, reason: Reason) {
    state.tanks[tank].waits[1].get_or_insert((state.t_s, reason));
}

/// A tank has what it waited for.
pub(crate) fn served(tally: &mut Tally, tank: &mut TankNow, t_s: f64, what: usize) {
    if let Some((since_s, reason)) = tank.waits[what].take() {
        tally.waited_s[reason as usize] += t_s - since_s.max(tally.from_s);
    }
}

/// The next change that is due today and that there is water for.
fn change(plant: &Plant, state: &mut State) -> bool {
    let tonight = state.midnight_s / DAY_S;
    loop {
        let looked = state.person.looked[1];
        let Some(due) = (state.change_day[looked..].iter()).position(|day| *day < tonight) else {
            state.person.looked[1] = state.change_day.len();
            return false;
        };
        let tank = looked + due;
        state.person.looked[1] = tank + 1;
        if state.tanks[tank].emergency.is_none() && change_water(plant, state, tank) {
            return true;
        }
    }
}

/// Begins the change of a tank, if there is water for all of it.
#[inline(never)]
fn change_water(plant: &Plant, state: &mut State, tank: usize) -> bool {
    let Some((volume_m3, _)) = plant.tanks[tank].change else {
        return false;
    };
    match source(plant, state, Water::Salt, volume_m3) {
        Some(found) if found.1 >= volume_m3 - WORTH_M3 => {
            let then = Then::ChangeMoved { tank: tank as u32 };
            bring(plant, state, found, tank, volume_m3, then);
            true
        }
        _ => {
            let reason = why_no_salt(plant, state);
            wait_for_change(state, tank, reason);
            false
        }
    }
}

/// Changes that are due and for which no time was left.
#[cold]
fn late(plant: &Plant, state: &mut State) {
    let tonight = (day_of(state.t_s) + 1) as f64;
    for tank in state.person.looked[1]..plant.tanks.len() {
        if plant.tanks[tank].change.is_some() && state.change_day[tank] < tonight {
            wait_for_change(state, tank, Reason::NoTime);
        }
    }
}
