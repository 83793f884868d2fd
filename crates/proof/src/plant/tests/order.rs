//! What people do first, and what they leave: rules of the house, each in a case that any other rule would end otherwise.

use super::super::body::Plant;
use super::super::calendar::Holiday;
use super::super::season::ByMonth;
use super::super::{Account, Chance, Coarse, DAY_S, Outside, Reason, State, drive, finish};
use super::emergencies::queue;

/// Somebody comes at eight; nothing is in trouble unless it is asked for, and no water is made.
fn dry() -> Plant {
    let mut plant = queue();
    let purifier = plant.purifier.as_mut().expect("a purifier");
    purifier.feeds[0].permeate_m3_s = ByMonth([0.0; 12]);
    purifier.feeds[0].reject_m3_s = ByMonth([0.0; 12]);
    plant.tanks[0].emergency = Some((0.4, 1e15));
    plant
}

/// With so much in the fresh and in the salt vessel.
fn with(plant: &Plant, left_m3: [f64; 2]) -> State {
    let mut state = State::begin(plant, 0.0, Chance::new(1, 0));
    for (vessel, left_m3) in left_m3.into_iter().enumerate() {
        let there_m3 = state.volume_m3(plant, vessel);
        let amount = state.books.vessel(vessel).times(1.0 - left_m3 / there_m3);
        state.book(
            plant,
            Account::vessel(vessel),
            Account::Outside(Outside::Drain),
            amount,
        );
    }
    state
}

fn follow(plant: &Plant, state: &mut State, days: f64) {
    drive(plant, state, &mut Coarse, days * DAY_S).expect("drives");
    finish(plant, state);
}

#[test]
fn half_of_what_an_emergency_takes_is_given_but_was_not_ready() {
    let plant = dry();
    let mut state = with(&plant, [0.0, 0.2]);
    state.tanks[0].next_emergency_s = 3600.0;
    follow(&plant, &mut state, 0.9);
    assert!(
        (state.tally.to_tanks_m3[1] - 0.2).abs() < 1e-9,
        "{:?}",
        state.tally.to_tanks_m3
    );
    assert_eq!((state.tally.met_at_once, state.tally.unmet), (0, 1));
    // With water for a batch it is met on the next day, and wasn't met at once all the same.
    let mut state = with(&plant, [0.7, 0.2]);
    state.tanks[0].next_emergency_s = 3600.0;
    follow(&plant, &mut state, 2.9);
    assert!(
        (state.tally.to_tanks_m3[1] - 0.4).abs() < 1e-6,
        "{:?}",
        state.tally.to_tanks_m3
    );
    assert_eq!((state.tally.met_at_once, state.tally.unmet), (0, 0));
    assert_eq!(state.tally.met_after_s.len(), 1);
}

#[test]
fn a_batch_leaves_the_reserve_and_an_emergency_takes_it() {
    let mut plant = dry();
    plant.reserve_m3 = [0.5, 0.0];
    let mut state = with(&plant, [0.78, 0.1]);
    follow(&plant, &mut state, 1.9);
    assert!(
        (state.volume_m3(&plant, 0) - 0.5).abs() < 1e-9,
        "{}",
        state.volume_m3(&plant, 0)
    );
    assert_eq!(state.tally.batches, 1);
    let mut state = with(&plant, [0.78, 0.1]);
    state.tanks[0].next_emergency_s = 3600.0;
    follow(&plant, &mut state, 0.5);
    assert!(
        state.volume_m3(&plant, 0) < 0.45,
        "{}",
        state.volume_m3(&plant, 0)
    );
}

#[test]
fn a_change_is_made_as_a_whole_or_not() {
    let mut plant = dry();
    plant.tanks[0].change = Some((0.3, 1.0));
    let mut state = with(&plant, [0.0, 0.2]);
    follow(&plant, &mut state, 5.0);
    assert!(state.tally.to_tanks_m3[1].abs() < 1e-12);
    // It waits from the first visit on which it is due: on the first or the second day at eight, to the end.
    let waited_s: f64 = state.tally.waited_s.iter().sum();
    let days = waited_s / DAY_S + 8.0 / 24.0;
    assert!((days - 5.0).abs() < 1e-3 || (days - 4.0).abs() < 1e-3, "{days}");
    assert!((state.tally.waited_s[Reason::NoFresh as usize] - waited_s).abs() < 1e-9);
}

/// Its maker asks for two days of mixing; two hours are enough for a tank in trouble.
#[test]
fn a_batch_that_still_mixes_is_good_enough_in_an_emergency() {
    let mut plant = dry();
    plant.mix.mixing_s = 2.0 * DAY_S;
    plant.mix.emergency_s = 2.0 * 3600.0;
    let mut state = with(&plant, [0.78, 0.0]);
    // Begun at eight; in trouble at night; seen at eight.
    state.tanks[0].next_emergency_s = 20.0 * 3600.0;
    follow(&plant, &mut state, 1.9);
    assert_eq!(state.tally.met_after_s.len(), 1);
    assert!(state.tally.met_after_s[0] < 10.0, "{:?}", state.tally.met_after_s);
    // Seen an hour and a half after it was begun, it is waited for.
    let mut state = with(&plant, [0.78, 0.1]);
    state.tanks[0].next_emergency_s = 3600.0;
    follow(&plant, &mut state, 1.9);
    assert!(
        (state.tally.met_after_s[0] - 2.0 * 3600.0).abs() < 60.0,
        "{:?}",
        state.tally.met_after_s
    );
}

/// What is older than its maker wants it, and a change that is late by a whole turn.
#[test]
fn stale_water_and_lost_turns_are_told() {
    let mut plant = dry();
    plant.mix.use_within_s = 3.0 * DAY_S;
    plant.tanks[0].change = Some((0.02, 1.0));
    // Comes on Mondays: seven changes were due, one is made.
    plant.people.calendar.weekdays = [true, false, false, false, false, false, false];
    let mut state = with(&plant, [0.0, 0.4]);
    follow(&plant, &mut state, 29.0);
    // Days 0, 7, 14, 21, 28; on day 0 only if it is due by its end, which the first turn always is.
    assert!(
        (state.tally.to_tanks_m3[1] - 5.0 * 0.02).abs() < 1e-9,
        "{:?}",
        state.tally.to_tanks_m3
    );
    assert!(
        (state.tally.stale_m3 - 4.0 * 0.02).abs() < 1e-9,
        "{}",
        state.tally.stale_m3
    );
    assert!((state.tally.oldest_s[1] - (28.0 * DAY_S + 8.0 * 3600.0)).abs() < 1e-3);
}

/// After a month away, a change each five days isn't made five days running: turns that passed are lost.
#[test]
fn turns_that_nobody_was_there_for_are_not_made_up() {
    let mut plant = dry();
    plant.tanks[0].change = Some((0.02, 5.0));
    plant.people.calendar.holidays = vec![Holiday {
        from: 3,
        to: 33,
        laid_up: false,
        looks_in_days: None,
    }];
    let mut state = with(&plant, [0.0, 0.4]);
    drive(&plant, &mut state, &mut Coarse, 32.0 * DAY_S).expect("drives");
    let before_m3 = state.tally.to_tanks_m3[1];
    follow(&plant, &mut state, 46.9);
    // On days 33, 38 and 43.
    let after_m3 = state.tally.to_tanks_m3[1] - before_m3;
    assert!((after_m3 - 3.0 * 0.02).abs() < 1e-9, "{after_m3}");
}
