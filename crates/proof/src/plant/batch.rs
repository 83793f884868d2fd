//! When the next batch is mixed, what goes into it, and when an attended run is worth its start.

use station::sections::Water;

use super::body::Plant;
use super::books::Account;
use super::choose::WORTH_M3;
use super::jobs::{begin_moving, begin_work};
use super::person::Then;
use super::state::State;
use super::stores::Batch;

/// Share of a vessel's full volume under which it counts as empty, and least share that a batch is made for (house rules).
const EMPTY: f64 = 0.05;
const BATCH_SHARE: f64 = 0.25;
/// Of the most that fresh vessels can spare, the share that is as much a batch where they are small beside the salt vessel
/// (house rule): who waited for more would wait for ever.
const SPARE_SHARE: f64 = 0.5;
/// How much weaker than its target a vessel that fills itself may be before salt is added (house rule).
const WEAKER: f64 = 1.0;
/// Room in the vessels, as a share of what they hold, at which an attended run is worth its start (house rule).
const ROOM_FOR_RUN: f64 = 0.2;

/// Water that brings a vessel to its full volume once its salt is in, m³.
pub(crate) fn water_for_batch_m3(plant: &Plant, state: &State, vessel: usize) -> f64 {
    let own = &plant.vessels[vessel];
    let there = state.books.vessel(vessel);
    // Volume is linear in water at one salinity: what there is, brought to the target, and the rest as target water.
    let brought = plant.brine.volume_m3(there)
        + plant
            .brine
            .volume_m3(super::Amount::salt(own.mixed.salt_wanting_kg(there).max(0.0)));
    let rest_m3 = (own.full_m3 - brought).max(0.0);
    own.mixed.of_volume(rest_m3).water_m3
}

/// Begins, or goes on with, a batch.
pub(super) fn batch(plant: &Plant, state: &mut State, emergency: bool) -> bool {
    if plant.mix.strength.is_none() {
        return false;
    }
    // One at a time, and not twice in a visit.
    if let Some(vessel) = state.stores.filling {
        let wanted_m3 = water_for_batch_m3(plant, state, vessel);
        let spare_m3 = fresh_to_spare_m3(plant, state, emergency);
        match fresh_for(plant, state, vessel, wanted_m3.min(spare_m3)) {
            Some(fresh) => fill(plant, state, vessel, fresh),
            None => salt(plant, state, vessel, emergency),
        }
        return true;
    }
    let may_begin = state.stores.all_ready && (emergency || !state.person.began_batch);
    may_begin && begin_batch(plant, state, emergency)
}

/// Begins a batch in the vessel that has least, if it is time for one and there is water for it.
#[inline(never)]
fn begin_batch(plant: &Plant, state: &mut State, emergency: bool) -> bool {
    let mut stock_m3 = 0.0;
    let mut emptiest: Option<(usize, f64)> = None;
    for at in 0..state.stores.mixers.len() {
        let own = state.stores.mixers[at];
        if own.fills_itself {
            if salt_what_came(plant, state, own.vessel, emergency) {
                return true;
            }
            continue;
        }
        let above_m3 = state.volume_m3(plant, own.vessel) - own.low_m3;
        let there_m3 = if above_m3 > 0.0 { above_m3 } else { 0.0 };
        stock_m3 += there_m3;
        let share = there_m3 * own.share_per_m3;
        if emptiest.is_none_or(|(_, least)| share < least) {
            emptiest = Some((own.vessel, share));
        }
    }
    let Some((vessel, share)) = emptiest else {
        return false;
    };
    if !emergency && stock_m3 >= plant.mix.below_m3 && share > EMPTY {
        return false;
    }
    let wanted_m3 = water_for_batch_m3(plant, state, vessel);
    let own_m3 = plant.vessels[vessel].full_m3;
    let there_m3 = fresh_to_spare_m3(plant, state, emergency);
    let most_m3 = to_spare_m3(plant, plant.mix.fresh_m3, emergency);
    let least_m3 = (BATCH_SHARE * own_m3).min(SPARE_SHARE * most_m3);
    if wanted_m3 < WORTH_M3 || there_m3 < wanted_m3.min(least_m3.max(WORTH_M3)) {
        return false;
    }
    state.person.began_batch = true;
    let Some(fresh) = fresh_for(plant, state, vessel, wanted_m3.min(there_m3)) else {
        return false;
    };
    state.stores.put(plant, vessel, Batch::Filling);
    state.poured_m3 = 0.0;
    state.stood_m3 = state.volume_m3(plant, vessel);
    state.stale = true;
    fill(plant, state, vessel, fresh);
    true
}

/// Salts a vessel that fills itself, if it has become too fresh: what came by itself since it was last salted is what is mixed.
fn salt_what_came(plant: &Plant, state: &mut State, vessel: usize, emergency: bool) -> bool {
    let target = plant.vessels[vessel].target;
    let salinity = plant.brine.practical_salinity(state.books.vessel(vessel));
    let is_weak = salinity < target - WEAKER;
    if is_weak {
        state.person.began_batch = true;
        let still_salt = (salinity / target).clamp(0.0, 1.0);
        (state.poured_m3, state.stood_m3) = (0.0, still_salt * state.volume_m3(plant, vessel));
        salt(plant, state, vessel, emergency);
    }
    is_weak
}

/// Puts the salt of a batch in.
fn salt(plant: &Plant, state: &mut State, vessel: usize, emergency: bool) {
    let vessel = vessel as u32;
    let then = if emergency {
        Then::SaltedInNeed { vessel }
    } else {
        Then::Salted { vessel }
    };
    begin_work(state, plant.people.batch_s, then);
}

/// Moves fresh water into a batch: so much from one vessel.
fn fill(plant: &Plant, state: &mut State, vessel: usize, (from, volume_m3): (usize, f64)) {
    let way = &plant.ways.between[from][vessel];
    let then = Then::Filled {
        vessel: vessel as u32,
    };
    begin_moving(
        plant,
        state,
        (from, Account::vessel(vessel)),
        volume_m3,
        way,
        then,
    );
}

/// Fresh water that a batch may take: beyond the reserve, except in an emergency.
fn fresh_to_spare_m3(plant: &Plant, state: &State, emergency: bool) -> f64 {
    let [ready_m3, _] = state.ready_m3(plant);
    to_spare_m3(plant, ready_m3, emergency)
}

fn to_spare_m3(plant: &Plant, ready_m3: f64, emergency: bool) -> f64 {
    if emergency {
        ready_m3
    } else {
        (ready_m3 - plant.reserve_m3[0]).max(0.0)
    }
}

/// The vessel that the fresh water for a batch comes from next, and how much; nothing where it is full or no more can be had.
/// The quickest way of those that hold enough; otherwise what holds most.
fn fresh_for(plant: &Plant, state: &State, vessel: usize, wanted_m3: f64) -> Option<(usize, f64)> {
    if wanted_m3 < WORTH_M3 {
        return None;
    }
    let mut quick: Option<(usize, f64)> = None;
    let mut most: Option<(usize, f64)> = None;
    for (at, own) in plant.vessels.iter().enumerate() {
        if own.holds != Water::Fresh {
            continue;
        }
        let there_m3 = state.drawable_m3(plant, at);
        if most.is_none_or(|(_, most_m3)| there_m3 > most_m3) {
            most = Some((at, there_m3));
        }
        let rate_m3_s = plant.ways.between[at][vessel].rate_m3_s;
        if there_m3 >= wanted_m3 && quick.is_none_or(|(_, rate)| rate_m3_s > rate) {
            quick = Some((at, rate_m3_s));
        }
    }
    let (from, volume_m3) = match (quick, most) {
        (Some((from, _)), _) => (from, wanted_m3),
        (None, most) => most?,
    };
    (volume_m3 >= WORTH_M3).then_some((from, volume_m3))
}

/// Whether a run of an attended purifier is worth its start.
pub(super) fn attended_run(plant: &Plant, state: &State) -> bool {
    let Some(purifier) = &plant.purifier else {
        return false;
    };
    if !purifier.attended || state.running.on || state.laid_up || state.person.asked_fill {
        return false;
    }
    let (mut room_m3, mut holds_m3) = (0.0, 0.0);
    for vessel in &purifier.fills {
        let own = &plant.vessels[*vessel];
        room_m3 += (own.full_m3 - state.volume_m3(plant, *vessel)).max(0.0);
        holds_m3 += own.full_m3 - own.low_m3;
    }
    room_m3 > ROOM_FOR_RUN * holds_m3
}
