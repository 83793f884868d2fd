//! What happens at a moment: somebody comes or has finished, midnight, trouble, an odd day of the feed, a delivery, a line of
//! the script.

use super::DAY_S;
use super::at_once::end_at_once;
use super::body::{Plant, Stop};
use super::books::{Account, Outside};
use super::choose::go_on;
use super::control::Wiring;
use super::drive::{next_rare_s, settle, step};
use super::jobs::{end_work, press};
use super::person::Doing;
use super::purifier::{close, note_flows};
use super::state::{Emergency, State, kind};

/// Pieces of work that are done in one turn of the loop at most, so that it can count those who never rest (house rule).
const MOST_AT_ONCE: u32 = 32;

/// Whatever is due at this moment. At every other turn of the loop, and short: in it.
#[inline(always)]
pub(super) fn happen(plant: &Plant, state: &mut State) {
    let t_s = state.t_s;
    if state.control_due_s <= t_s {
        step(plant, state, &[]);
    }
    if state.midnight_s <= t_s {
        midnight(plant, state);
    }
    if state.usable_s <= t_s {
        state.usable_s = f64::INFINITY;
        state.stores.use_mixing(&plant.vessels, state.t_s);
        state.stale = true;
    }
    if state.rare_s <= t_s {
        happen_rarely(plant, state);
        state.rare_s = next_rare_s(plant, state);
    }
    if state.person.next_s <= t_s {
        person(plant, state);
    }
}

#[cold]
fn happen_rarely(plant: &Plant, state: &mut State) {
    let t_s = state.t_s;
    if state.feed_ends_s <= t_s {
        set_feed(plant, state, 0, f64::INFINITY);
    }
    for at in 0..state.feed_next.len() {
        if state.feed_next[at].0 <= t_s {
            odd_feed(plant, state, at);
        }
    }
    for tank in 0..state.tanks.len() {
        if state.tanks[tank].next_emergency_s <= t_s {
            trouble(plant, state, tank);
        }
    }
    for at in 0..state.delivery_s.len() {
        if state.delivery_s[at] <= t_s {
            delivered(plant, state, at);
        }
    }
    while let Some(asked) = plant.script.get(state.script_at)
        && asked.at_s <= t_s
    {
        state.script_at += 1;
        let volume_m3 = asked.volume_m3.min(state.drawable_m3(plant, asked.vessel));
        super::coarse::moved(
            plant,
            state,
            asked.vessel,
            Account::Outside(Outside::Tanks),
            volume_m3,
        );
        state.jump();
        state.tally.scripted_m3 += volume_m3;
        state.tally.script_short_m3 += asked.volume_m3 - volume_m3;
    }
}

/// Somebody comes, or has finished something. Apart from the other clocks, for they strike more often together.
#[inline(never)]
pub(super) fn person(plant: &Plant, state: &mut State) {
    if !state.person.here {
        arrive(plant, state);
    } else if let Doing::Working { since_s, then } = state.person.doing {
        end_work(plant, state, since_s, then);
    }
    for _ in 0..MOST_AT_ONCE {
        while state.person.here && matches!(state.person.doing, Doing::Nothing) {
            if !go_on(plant, state) {
                return;
            }
        }
        if !end_at_once(plant, state) {
            return;
        }
    }
}

#[inline(never)]
fn arrive(plant: &Plant, state: &mut State) {
    let (stays_s, looks_in) = state.person.expected;
    state.person.arrive(stays_s, looks_in, state.t_s);
    state.person.day = super::season::day_of(state.t_s) + 1;
    state.tally.visits += 1;
    press(plant, state, plant.wiring.here, true);
    // Whoever finds an alarm mends what it tells of, and resets it.
    let Wiring {
        program,
        alarms,
        alarm_outputs,
        ..
    } = &plant.wiring;
    let alarmed = state.control.may_be_on(*alarm_outputs)
        && alarms.iter().any(|alarm| state.control.is_on(program, *alarm));
    if alarmed {
        state.tally.alarms += 1;
        press(plant, state, plant.wiring.reset, true);
        press(plant, state, plant.wiring.reset, false);
    }
}

/// The end of a day.
#[inline(never)]
fn midnight(plant: &Plant, state: &mut State) {
    if state.t_s > state.tally.from_s {
        super::heat::day(plant, state);
        state.ready_m3 = state.ready_m3(plant);
        state.tally.at_hand(state.ready_m3);
        state.tally.midnight(state.t_s, state.ready_m3);
    }
    state.midnight_s += DAY_S;
    let laid_up = plant.people.calendar.laid_up(state.t_s + 1.0);
    let turned = laid_up != state.laid_up;
    if turned {
        state.laid_up = laid_up;
        if !laid_up && let Some(purifier) = &plant.purifier {
            state.running.flush_left_m3 += purifier.restart_m3;
        }
        settle(plant, state);
    }
    if let Some(purifier) = &plant.purifier
        && (turned || state.running.on || purifier.stop == Stop::RejectRunsOn)
    {
        // Flows go by the season; where nothing flows, that changes nothing.
        note_flows(state, purifier);
    }
}

/// Another state of the feed begins: what was made before it is booked as it was made.
fn set_feed(plant: &Plant, state: &mut State, feed: usize, ends_s: f64) {
    if let Some(purifier) = &plant.purifier {
        close(state, purifier);
    }
    state.feed = feed;
    state.feed_ends_s = ends_s;
    if let Some(purifier) = &plant.purifier {
        note_flows(state, purifier);
    }
}

fn odd_feed(plant: &Plant, state: &mut State, at: usize) {
    let (_, count) = state.feed_next[at];
    let comes = plant
        .purifier
        .as_ref()
        .and_then(|purifier| purifier.feeds.get(at))
        .and_then(|feed| feed.comes);
    let Some(comes) = comes else {
        state.feed_next[at].0 = f64::INFINITY;
        return;
    };
    set_feed(plant, state, at, state.t_s + comes.lasts_s);
    let from_s = comes.earliest_again_s(state.t_s);
    state.feed_next[at] = (comes.next_s(from_s, state.chance, count), count + 1);
}

/// A tank gets into trouble; one that is in it already stays in it.
fn trouble(plant: &Plant, state: &mut State, tank: usize) {
    let own = &plant.tanks[tank];
    let t_s = state.t_s;
    let now = &mut state.tanks[tank];
    now.emergencies += 1;
    if now.emergency.is_none()
        && let Some((volume_m3, _)) = own.emergency
    {
        now.emergency = Some(Emergency {
            since_s: t_s,
            seen_s: None,
            left_m3: volume_m3,
            was_ready: false,
        });
        state.in_trouble += 1;
        state.tally.emergencies += 1;
    }
    let chance = state.chance;
    state.tanks[tank].draw_emergency(own, chance);
}

/// Water is delivered, as much as there is room for.
fn delivered(plant: &Plant, state: &mut State, at: usize) {
    let delivery = plant.deliveries[at];
    state.delivery_s[at] = delivery
        .every_s
        .map_or(f64::INFINITY, |every_s| state.t_s + every_s);
    let mut left_m3 = delivery.volume_m3;
    for vessel in 0..plant.vessels.len() {
        let own = &plant.vessels[vessel];
        if own.holds != delivery.holds || left_m3 <= 0.0 {
            continue;
        }
        let room_m3 = (own.full_m3 - state.volume_m3(plant, vessel)).max(0.0);
        let volume_m3 = left_m3.min(room_m3);
        let amount = plant.brine.of_volume(volume_m3, delivery.salinity);
        state.book(
            plant,
            Account::Outside(Outside::Delivered),
            Account::vessel(vessel),
            amount,
        );
        state.jump();
        left_m3 -= volume_m3;
        state.tally.delivered_m3[kind(own.holds)] += volume_m3;
    }
}
