//! Emergencies as a queue: one tank, one salt vessel whose batch one of them takes, somebody who comes once a day.
//!
//! Emergencies are a Poisson process of rate λ; one that finds its tank in trouble already changes nothing. Whoever comes at
//! the same hour finds one with probability p = 1 − e^(−λT), T a day. They give the batch away and begin the next, which is
//! mixed before the next visit but not read. The next visit reads it, and is too late for an emergency of that day: its water
//! wasn't ready. So with R (a batch that was read) and U (one that wasn't) before a visit:
//! R → U with p, R → R with 1 − p, U → U with p, U → R with 1 − p; π(U) = p, π(R) = 1 − p, and the share of emergencies that
//! find their water ready is π(R)·p / p = 1 − p = e^(−λT): no emergency on the day before. (Erlang's loss formula for one
//! server, 1/(1 + λL), is the same with an exponential time of repair of mean L; here it is a day, by visits.)

use station::control::Mark;

use super::super::body::Plant;
use super::super::season::ByMonth;
use super::super::{Chance, Coarse, DAY_S, State, drive};
use super::{AT_ONCE, plant};

/// Emergencies each so many days; days that are followed.
const MEAN_DAYS: f64 = 2.5;
const DAYS: f64 = 20_000.0;

/// With an emergency that takes all of the salt water.
pub(super) fn queue() -> Plant {
    let mut plant = plant();
    let calendar = &mut plant.people.calendar;
    calendar.weekdays = [true; 7];
    calendar.arrives_s = 8.0 * 3600.0;
    calendar.stays_s = 3600.0;
    (plant.people.batch_s, plant.people.measuring_s) = (1.0, 1.0);
    plant.mix.mixing_s = 20.0 * 3600.0;
    plant.mix.emergency_s = 20.0 * 3600.0;
    // Enough fresh water for every batch, made within the hour.
    let purifier = plant.purifier.as_mut().expect("a purifier");
    purifier.flush_m3 = 0.0;
    purifier.feeds[0].permeate_m3_s = ByMonth([1e-3; 12]);
    plant.vessels[0].full_m3 = 0.78;
    plant.vessels[0].low_m3 = 0.0;
    for switch in &mut plant.wiring.switches[0] {
        if switch.mark == Mark::Start {
            (switch.wets_m3, switch.dries_m3) = (0.76, 0.75);
        }
    }
    plant.vessels[1].full_m3 = 0.4;
    plant.vessels[1].low_m3 = 0.0;
    plant.reserve_m3 = [0.0; 2];
    plant.mix.below_m3 = 0.39;
    plant.tanks[0].emergency = Some((0.4, MEAN_DAYS * DAY_S));
    plant.ways.to_tank = vec![vec![AT_ONCE]; 2];
    plant.ways.between = vec![vec![AT_ONCE; 2]; 2];
    plant
}

#[test]
fn the_share_that_finds_its_water_ready() {
    let plant = queue();
    let mut state = State::begin(&plant, 0.0, Chance::new(5, 0));
    drive(&plant, &mut state, &mut Coarse, DAYS * DAY_S).expect("drives");
    let ready = libm::exp(-1.0 / MEAN_DAYS);
    let met = state.tally.met_after_s.len() as f64;
    let share = f64::from(state.tally.met_at_once) / met;
    // Ready or not at one visit doesn't depend on the visits before the last; 4 standard errors of a share of independent
    // trials. What people need for their work (seconds) moves it by λ·seconds.
    let error = (ready * (1.0 - ready) / met).sqrt();
    assert!((share - ready).abs() < 4.0 * error, "{share} {ready} {error}");
    // Visits that find an emergency: p of them all.
    let p = 1.0 - ready;
    let error = (p * (1.0 - p) / DAYS).sqrt();
    assert!((met / DAYS - p).abs() < 4.0 * error, "{met}");
    // Nobody waits longer than a reading: the batch is mixed by then.
    assert!(state.tally.met_after_s.iter().all(|after_s| *after_s < 10.0));
    // Each took its whole batch.
    assert!((state.tally.to_tanks_m3[1] - 0.4 * met).abs() < 1e-9 * met);
}

#[test]
fn a_batch_that_is_waited_for_was_not_ready() {
    // Mixed for more than a day: an emergency on the day after another waits for hours, and then has it all in one go.
    let mut plant = queue();
    plant.people.calendar.stays_s = 14.0 * 3600.0;
    plant.mix.mixing_s = 30.0 * 3600.0;
    plant.mix.emergency_s = 30.0 * 3600.0;
    let mut state = State::begin(&plant, 0.0, Chance::new(5, 0));
    drive(&plant, &mut state, &mut Coarse, 2000.0 * DAY_S).expect("drives");
    let late = state
        .tally
        .met_after_s
        .iter()
        .filter(|after_s| **after_s > 0.1)
        .count();
    let met = state.tally.met_after_s.len();
    assert!(late > 100, "{late}");
    assert_eq!(state.tally.met_at_once as usize, met - late);
}

/// Half of the water in each of two vessels is as good as all of it in one.
#[test]
fn two_vessels_together_have_it_ready() {
    let mut plant = queue();
    plant.vessels[1].full_m3 = 0.2;
    plant.mix.below_m3 = 0.0;
    let twin = plant.vessels[1].clone();
    plant.vessels.push(twin);
    plant.wiring.switches.push(Vec::new());
    plant.ways.to_tank = vec![vec![AT_ONCE]; 3];
    plant.ways.between = vec![vec![AT_ONCE; 3]; 3];
    // Once in a hundred years: none finds what another has left.
    plant.tanks[0].emergency = Some((0.4, 36_500.0 * DAY_S));
    let (mut met, mut at_once) = (0, 0);
    for seed in 0..400 {
        let mut state = State::begin(&plant, 0.0, Chance::new(seed, 0));
        drive(&plant, &mut state, &mut Coarse, 365.0 * DAY_S).expect("drives");
        met += state.tally.met_after_s.len();
        at_once += state.tally.met_at_once as usize;
    }
    assert!(met >= 1, "{met}");
    assert_eq!(met, at_once);
}

#[test]
fn emergencies_are_a_poisson_count() {
    let mut plant = plant();
    let mean_days = 30.0;
    plant.tanks[0].emergency = Some((0.1, mean_days * DAY_S));
    let years = 2000;
    let counts: Vec<f64> = (0..years)
        .map(|year| {
            let mut state = State::begin(&plant, 0.0, Chance::new(3, year));
            drive(&plant, &mut state, &mut Coarse, 365.0 * DAY_S).expect("drives");
            state.tanks[0].emergencies as f64
        })
        .collect();
    let n = years as f64;
    let wanted = 365.0 / mean_days;
    let mean = counts.iter().sum::<f64>() / n;
    let variance = counts
        .iter()
        .map(|count| (count - mean) * (count - mean))
        .sum::<f64>()
        / (n - 1.0);
    // Mean and variance of a Poisson count are λ (any textbook); four standard errors: √(λ/n), and of the variance
    // λ·√((2 + 1/λ)/n) by its fourth moment λ + 3λ².
    assert!(
        (mean - wanted).abs() < 4.0 * (wanted / n).sqrt(),
        "{mean} {wanted}"
    );
    let error = wanted * ((2.0 + 1.0 / wanted) / n).sqrt();
    assert!((variance - wanted).abs() < 4.0 * error, "{variance} {wanted}");
}
