//! What a person does next: decided from what stands in the station, what is due and how much time is left.
//!
//! In this order: whoever is in trouble, batches that wait for a reading, top-off, changes, the next batch, a run of an
//! attended purifier. House rules, close to how such a room is run; what takes long is left when time is up, an emergency
//! never.

use station::sections::Water;

use super::DAY_S;
use super::body::Plant;
use super::books::{Account, Outside};
use super::state::{Batch, State, kind};
use super::tally::{Reason, Work};
use super::ways::Way;

/// The person who comes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Person {
    pub(crate) here: bool,
    /// Only for top-off and emergencies.
    pub(crate) looks_in: bool,
    /// When what they do is over, or when they come next, s.
    pub(crate) next_s: f64,
    pub(crate) leaves_s: f64,
    pub(crate) doing: Doing,
    /// The next water to top off with, and the next tank to look at for its change, in this visit.
    pub(crate) looked: [usize; 2],
    /// Whether a batch was begun in this visit.
    pub(crate) began_batch: bool,
    pub(crate) asked_fill: bool,
    /// How long whoever comes next stays, and whether they only look in.
    pub(crate) expected: (f64, bool),
    /// The day after the last visit.
    pub(crate) day: i64,
}

/// What they have in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Doing {
    Nothing,
    Moving(Moving),
    Working { since_s: f64, then: Then },
}

/// Water on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Moving {
    pub(crate) from: usize,
    pub(crate) to: Account,
    /// Volume still to move, m³.
    pub(crate) left_m3: f64,
    pub(crate) volume_m3: f64,
    pub(crate) rate_m3_s: f64,
    pub(crate) lineup: Option<usize>,
    pub(crate) pump: Option<usize>,
    pub(crate) since_s: f64,
    /// Salinity that the water had when it began.
    pub(crate) salinity: f64,
    pub(crate) then: Then,
}

/// What something in hand is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Then {
    /// A round of top-off with one water.
    ToppedOff {
        water: Water,
    },
    /// The water of a change is in; its time around follows.
    ChangeMoved {
        tank: usize,
    },
    Changed,
    EmergencyMoved {
        tank: usize,
    },
    /// Fresh water for a batch is in.
    Filled {
        vessel: usize,
    },
    /// The salt of a batch is in.
    Salted {
        vessel: usize,
        emergency: bool,
    },
    Measured {
        vessel: usize,
    },
    /// They waited for a batch.
    Waited,
}

/// What to do next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Next {
    Move {
        from: usize,
        to: Account,
        volume_m3: f64,
        way: Way,
        then: Then,
    },
    Work {
        seconds: f64,
        then: Then,
    },
    /// Switches an attended purifier on.
    StartRun,
    Leave,
}

/// Less than that isn't worth a way, m³ (house rule).
const WORTH_M3: f64 = 2e-4;
/// Share of a vessel's full volume under which it counts as empty, and least share that a batch is made for (house rules).
const EMPTY: f64 = 0.05;
const BATCH_SHARE: f64 = 0.25;
/// How much weaker than its target a vessel that fills itself may be before salt is added (house rule).
const WEAKER: f64 = 1.0;
/// Room in the vessels, as a share of what they hold, at which an attended run is worth its start (house rule).
const ROOM_FOR_RUN: f64 = 0.2;

impl Person {
    pub(crate) fn away() -> Self {
        Self {
            here: false,
            looks_in: false,
            next_s: f64::INFINITY,
            leaves_s: f64::INFINITY,
            doing: Doing::Nothing,
            looked: [0; 2],
            began_batch: false,
            asked_fill: false,
            expected: (0.0, true),
            day: i64::MIN,
        }
    }

    /// Somebody comes in.
    pub(crate) fn arrive(&mut self, stays_s: f64, looks_in: bool, t_s: f64) {
        self.here = true;
        self.looks_in = looks_in;
        self.leaves_s = t_s + stays_s;
        self.doing = Doing::Nothing;
        self.looked = [0; 2];
        self.began_batch = false;
        self.asked_fill = false;
    }
}

/// What the person who is here does next.
pub(crate) fn next(plant: &Plant, state: &mut State) -> Next {
    if let Some(next) = emergency(plant, state) {
        return next;
    }
    let time_is_up = state.t_s >= state.person.leaves_s;
    if let Some(vessel) = mixed(state) {
        return Next::Work {
            seconds: plant.people.measuring_s,
            then: Then::Measured { vessel },
        };
    }
    // What was begun is finished, whatever the hour.
    if state.batch.contains(&Batch::Filling)
        && let Some(next) = batch(plant, state, false)
    {
        return next;
    }
    if let Some(next) = top_off(plant, state) {
        return next;
    }
    if state.person.looks_in {
        return Next::Leave;
    }
    if time_is_up {
        late(plant, state);
        return Next::Leave;
    }
    if let Some(next) = change(plant, state) {
        return next;
    }
    if let Some(next) = batch(plant, state, false) {
        return next;
    }
    if attended_run(plant, state) {
        state.person.asked_fill = true;
        return Next::StartRun;
    }
    Next::Leave
}

/// A batch whose time has come, to be read.
fn mixed(state: &State) -> Option<usize> {
    state
        .batch
        .iter()
        .position(|batch| matches!(batch, Batch::Mixing { until_s, .. } if *until_s <= state.t_s))
}

/// What is wanted of fresh or salt water, and the vessel that it comes from: one that holds it all, the one with least;
/// otherwise the one with most.
fn source(plant: &Plant, state: &State, water: Water, wanted_m3: f64) -> Option<(usize, f64)> {
    let mut enough: Option<(usize, f64)> = None;
    let mut most: Option<(usize, f64)> = None;
    for (at, vessel) in plant.vessels.iter().enumerate() {
        if vessel.holds != water || state.batch[at] != Batch::Ready {
            continue;
        }
        let there_m3 = state.drawable_m3(plant, at);
        if there_m3 >= wanted_m3 && enough.is_none_or(|(_, least)| there_m3 < least) {
            enough = Some((at, there_m3));
        }
        if most.is_none_or(|(_, most)| there_m3 > most) {
            most = Some((at, there_m3));
        }
    }
    enough.or(most).filter(|(_, there_m3)| *there_m3 > WORTH_M3)
}

/// Why salt water isn't there.
fn why_no_salt(plant: &Plant, state: &State) -> Reason {
    let mixing = plant
        .vessels
        .iter()
        .zip(&state.batch)
        .any(|(vessel, batch)| vessel.holds == Water::Salt && *batch != Batch::Ready);
    let fresh = source(plant, state, Water::Fresh, 0.0).is_some();
    match (mixing, fresh) {
        (true, _) => Reason::Mixing,
        (false, false) => Reason::NoFresh,
        (false, true) => Reason::NoSalt,
    }
}

/// Helps a tank in trouble with what there is, and mixes more where it isn't enough.
fn emergency(plant: &Plant, state: &mut State) -> Option<Next> {
    let tank = state.tanks.iter().position(|tank| {
        tank.emergency
            .is_some_and(|emergency| emergency.since_s <= state.t_s)
    })?;
    let emergency = state.tanks[tank].emergency.as_mut()?;
    let first_look = emergency.seen_s.is_none();
    emergency.seen_s.get_or_insert(state.t_s);
    let left_m3 = emergency.left_m3;
    let found = source(plant, state, Water::Salt, left_m3);
    if first_look
        && found.is_some_and(|(_, there_m3)| there_m3 >= left_m3 - WORTH_M3)
        && let Some(emergency) = state.tanks[tank].emergency.as_mut()
    {
        emergency.was_ready = true;
    }
    if let Some((from, there_m3)) = found {
        return Some(Next::Move {
            from,
            to: Account::Outside(Outside::Tanks),
            volume_m3: left_m3.min(there_m3),
            way: plant.ways.to_tank[from][tank],
            then: Then::EmergencyMoved { tank },
        });
    }
    if let Some(vessel) = mixed(state) {
        return Some(Next::Work {
            seconds: plant.people.measuring_s,
            then: Then::Measured { vessel },
        });
    }
    if let Some(next) = batch(plant, state, true) {
        return Some(next);
    }
    // One that is mixing already is read as soon as it can be used, and waited for.
    let mut soonest: Option<f64> = None;
    for batch in &mut state.batch {
        if let Batch::Mixing { until_s, usable_s } = batch {
            *until_s = until_s.min(usable_s.max(state.t_s));
            soonest = Some(soonest.map_or(*until_s, |soonest| soonest.min(*until_s)));
        }
    }
    let until_s = soonest?;
    Some(Next::Work {
        seconds: (until_s - state.t_s).max(1.0),
        then: Then::Waited,
    })
}

/// Tops off the tanks with what has evaporated, in one round for each water.
fn top_off(plant: &Plant, state: &mut State) -> Option<Next> {
    while state.person.looked[0] < 2 {
        let water = [Water::Fresh, Water::Salt][state.person.looked[0]];
        state.person.looked[0] += 1;
        let t_s = state.t_s;
        let mut wanted_m3 = 0.0;
        for (own, now) in plant.tanks.iter().zip(&mut state.tanks) {
            if own.top_off != water {
                continue;
            }
            // By the rate in the middle of the time that has passed.
            let gone_s = t_s - now.topped_s;
            now.owed_m3 += own.top_off_m3_s.at(t_s - 0.5 * gone_s) * gone_s;
            now.topped_s = t_s;
            wanted_m3 += now.owed_m3;
        }
        if wanted_m3 < WORTH_M3 {
            continue;
        }
        let found = source(plant, state, water, wanted_m3);
        let enough = found.is_some_and(|(_, there_m3)| there_m3 >= wanted_m3 - WORTH_M3);
        if !enough {
            let reason = match water {
                Water::Fresh => Reason::NoFresh,
                Water::Salt => why_no_salt(plant, state),
            };
            for tank in 0..plant.tanks.len() {
                if plant.tanks[tank].top_off == water && state.tanks[tank].owed_m3 > WORTH_M3 {
                    waits(state, tank, 0, reason);
                }
            }
        }
        let Some((from, there_m3)) = found else { continue };
        return Some(Next::Move {
            from,
            to: Account::Outside(Outside::Tanks),
            volume_m3: wanted_m3.min(there_m3),
            way: round(plant, state, from, water, wanted_m3.min(there_m3)),
            then: Then::ToppedOff { water },
        });
    }
    None
}

/// The way of a round with a volume: each tank by its own, one after the other, as long as there is water.
fn round(plant: &Plant, state: &mut State, from: usize, water: Water, volume_m3: f64) -> Way {
    let (mut left_m3, mut seconds) = (volume_m3, 0.0);
    for (at, (own, now)) in plant.tanks.iter().zip(&state.tanks).enumerate() {
        let share_m3 = now.owed_m3.min(left_m3);
        if own.top_off == water && share_m3 > 0.0 {
            let way = plant.ways.to_tank[from][at];
            left_m3 -= share_m3;
            seconds += share_m3 / way.rate_m3_s;
            if let Some(bucket_m3) = way.bucket_m3 {
                state.tally.carries += libm::ceil(share_m3 / bucket_m3 - 1e-9);
            }
        }
    }
    Way {
        rate_m3_s: volume_m3 / seconds,
        bucket_m3: None,
        lineup: None,
        pump: None,
    }
}

/// A tank waits for top-off (0) or its change (1).
fn waits(state: &mut State, tank: usize, what: usize, reason: Reason) {
    let since_s = state.t_s;
    state.tanks[tank].waits[what].get_or_insert((since_s, reason));
}

/// A tank has what it waited for.
pub(crate) fn served(state: &mut State, tank: usize, what: usize) {
    if let Some((since_s, reason)) = state.tanks[tank].waits[what].take() {
        state.tally.waited_s[reason as usize] += state.t_s - since_s.max(state.tally.from_s);
    }
}

/// The next change that is due today and that there is water for.
fn change(plant: &Plant, state: &mut State) -> Option<Next> {
    let tonight = libm::floor(state.t_s / DAY_S) + 1.0;
    while state.person.looked[1] < plant.tanks.len() {
        let tank = state.person.looked[1];
        state.person.looked[1] += 1;
        let own = &plant.tanks[tank];
        let Some((volume_m3, _)) = own.change else {
            continue;
        };
        if state.tanks[tank].change_day >= tonight || state.tanks[tank].emergency.is_some() {
            continue;
        }
        // All at once or not at all.
        match source(plant, state, Water::Salt, volume_m3) {
            Some((from, there_m3)) if there_m3 >= volume_m3 - WORTH_M3 => {
                return Some(Next::Move {
                    from,
                    to: Account::Outside(Outside::Tanks),
                    volume_m3: volume_m3.min(there_m3),
                    way: plant.ways.to_tank[from][tank],
                    then: Then::ChangeMoved { tank },
                });
            }
            _ => {
                let reason = why_no_salt(plant, state);
                waits(state, tank, 1, reason);
            }
        }
    }
    None
}

/// Changes that are due and for which no time was left.
fn late(plant: &Plant, state: &mut State) {
    let tonight = libm::floor(state.t_s / DAY_S) + 1.0;
    for tank in state.person.looked[1]..plant.tanks.len() {
        if plant.tanks[tank].change.is_some() && state.tanks[tank].change_day < tonight {
            waits(state, tank, 1, Reason::NoTime);
        }
    }
}

/// Water that brings a vessel to its full volume once its salt is in, m³.
pub(crate) fn water_for_batch_m3(plant: &Plant, state: &State, vessel: usize) -> f64 {
    let own = &plant.vessels[vessel];
    let there = state.books.vessel(vessel);
    // Volume is linear in water at one salinity: what there is, brought to the target, and the rest as target water.
    let brought = plant.brine.volume_m3(there)
        + plant.brine.volume_m3(super::Amount::salt(
            plant.brine.salt_wanting_kg(there, own.target).max(0.0),
        ));
    let rest_m3 = (own.full_m3 - brought).max(0.0);
    plant.brine.of_volume(rest_m3, own.target).water_m3
}

/// Begins, or goes on with, a batch.
fn batch(plant: &Plant, state: &mut State, emergency: bool) -> Option<Next> {
    plant.mix.strength?;
    // One at a time, and not twice in a visit.
    if let Some(vessel) = state.batch.iter().position(|batch| *batch == Batch::Filling) {
        return Some(fill(plant, state, vessel, emergency).unwrap_or(Next::Work {
            seconds: plant.people.batch_s,
            then: Then::Salted { vessel, emergency },
        }));
    }
    if !emergency && (state.person.began_batch || state.batch.iter().any(|batch| *batch != Batch::Ready)) {
        return None;
    }
    if emergency && state.batch.iter().any(|batch| *batch != Batch::Ready) {
        return None;
    }
    let fills_itself = |vessel: usize| {
        plant
            .purifier
            .as_ref()
            .is_some_and(|purifier| purifier.fills.contains(&vessel))
    };
    let mut stock_m3 = 0.0;
    let mut emptiest: Option<(usize, f64)> = None;
    for (at, vessel) in plant.vessels.iter().enumerate() {
        if vessel.holds != Water::Salt {
            continue;
        }
        if fills_itself(at) {
            let salinity = plant.brine.practical_salinity(state.books.vessel(at));
            if salinity < vessel.target - WEAKER {
                state.person.began_batch = true;
                (state.poured_m3, state.stood_m3) = (0.0, state.volume_m3(plant, at));
                return Some(Next::Work {
                    seconds: plant.people.batch_s,
                    then: Then::Salted {
                        vessel: at,
                        emergency,
                    },
                });
            }
            continue;
        }
        let there_m3 = state.drawable_m3(plant, at);
        stock_m3 += there_m3;
        let share = there_m3 / (vessel.full_m3 - vessel.low_m3).max(1e-9);
        if emptiest.is_none_or(|(_, least)| share < least) {
            emptiest = Some((at, share));
        }
    }
    let (vessel, share) = emptiest?;
    if !emergency && stock_m3 >= plant.mix.below_m3 && share > EMPTY {
        return None;
    }
    let wanted_m3 = water_for_batch_m3(plant, state, vessel);
    let own_m3 = plant.vessels[vessel].full_m3;
    let there_m3 = fresh_to_spare_m3(plant, state, emergency);
    if wanted_m3 < WORTH_M3 || there_m3 < wanted_m3.min(BATCH_SHARE * own_m3) {
        return None;
    }
    state.person.began_batch = true;
    let next = fill(plant, state, vessel, emergency)?;
    state.batch[vessel] = Batch::Filling;
    state.poured_m3 = 0.0;
    state.stood_m3 = state.volume_m3(plant, vessel);
    state.stale = true;
    Some(next)
}

/// Fresh water that a batch may take: beyond the reserve, except in an emergency.
fn fresh_to_spare_m3(plant: &Plant, state: &State, emergency: bool) -> f64 {
    let ready_m3 = state.ready_m3(plant)[kind(Water::Fresh)];
    if emergency {
        ready_m3
    } else {
        (ready_m3 - plant.reserve_m3[0]).max(0.0)
    }
}

/// Moves fresh water into a batch; nothing where it is full or no more can be had.
fn fill(plant: &Plant, state: &State, vessel: usize, emergency: bool) -> Option<Next> {
    let wanted_m3 = water_for_batch_m3(plant, state, vessel).min(fresh_to_spare_m3(plant, state, emergency));
    if wanted_m3 < WORTH_M3 {
        return None;
    }
    // The quickest way of those that hold enough; otherwise what holds most.
    let fresh = |at: &usize| plant.vessels[*at].holds == Water::Fresh;
    let there_m3 = |at: usize| state.drawable_m3(plant, at);
    let rate = |at: usize| plant.ways.between[at][vessel].rate_m3_s;
    let vessels = || (0..plant.vessels.len()).filter(fresh);
    let quick = vessels()
        .filter(|at| there_m3(*at) >= wanted_m3)
        .max_by(|a, b| rate(*a).total_cmp(&rate(*b)).then(b.cmp(a)));
    let most = || vessels().max_by(|a, b| there_m3(*a).total_cmp(&there_m3(*b)).then(b.cmp(a)));
    let from = quick.or_else(most)?;
    let volume_m3 = wanted_m3.min(there_m3(from));
    (volume_m3 >= WORTH_M3).then(|| Next::Move {
        from,
        to: Account::Vessel(vessel),
        volume_m3,
        way: plant.ways.between[from][vessel],
        then: Then::Filled { vessel },
    })
}

/// Whether a run of an attended purifier is worth its start.
fn attended_run(plant: &Plant, state: &State) -> bool {
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

/// What a piece of work is counted as.
pub(crate) fn work_of(then: Then) -> Work {
    match then {
        Then::ToppedOff { .. } => Work::TopOff,
        Then::ChangeMoved { .. } | Then::Changed => Work::Change,
        Then::EmergencyMoved { .. } | Then::Waited => Work::Emergency,
        Then::Filled { .. } | Then::Salted { .. } => Work::Batch,
        Then::Measured { .. } => Work::Measuring,
    }
}
