//! The fresh vessel as an inventory that is ordered up to S when it falls to s.
//!
//! Source: P. Zipkin, Foundations of Inventory Management (2000), from memory: reviewed at every demand and refilled without
//! lead time, the level that an (s, S) policy leaves is a renewal process. With unit demands it is even over s + 1 … S; with
//! exponential demands of mean m the quantity that is ordered is S − s and an exponential overshoot of mean m (the law has no
//! memory), and the level after a demand and its order is S with probability m / (m + S − s), otherwise even between s and S.

use physics::stats::Counter;
use station::control::Mark;

use super::super::body::{Asked, Plant};
use super::super::season::ByMonth;
use super::super::{Chance, Coarse, DAY_S, State, drive};
use super::plant;

/// Draws in a test.
const DRAWS: usize = 6000;
/// Order up to, and at, in units.
const UP_TO: f64 = 12.0;
const AT: f64 = 4.0;
/// A unit, m³.
const UNIT_M3: f64 = 0.05;
/// Mean time between two draws, s.
const MEAN_S: f64 = 3.0 * DAY_S;

/// The vessel between its two switches, with a purifier that takes a minute or two from one to the other.
fn vessel(at_m3: f64, up_to_m3: f64) -> Plant {
    let mut plant = plant();
    plant.vessels[0].low_m3 = 0.0;
    plant.vessels[0].full_m3 = up_to_m3;
    plant.vessels[0].float_m3 = None;
    plant.vessels[0].second_float_m3 = None;
    for switch in &mut plant.wiring.switches[0] {
        (switch.wets_m3, switch.dries_m3) = match switch.mark {
            Mark::Start => (at_m3 + 1e-6, at_m3),
            Mark::Stop => (up_to_m3, up_to_m3 - 1e-6),
            other => panic!("{other:?}"),
        };
    }
    let purifier = plant.purifier.as_mut().expect("a purifier");
    purifier.flush_m3 = 0.0;
    // 0.4 m³ in 400 s; the two seconds for which a switch must say the same give 2 L more, a twenty-fifth of a unit.
    purifier.feeds[0].permeate_m3_s = ByMonth([1e-3; 12]);
    plant
}

/// Draws at exponential gaps: what stood in the vessel before each, and the time since the one before.
fn drawn(plant: &mut Plant, of: impl Fn(&Counter, u64) -> f64) -> (Vec<(f64, f64)>, State) {
    let chance = Counter::new(20, 0);
    let mut at_s = 0.0;
    plant.script = (0..DRAWS as u64)
        .map(|draw| {
            // Ten minutes at least, so that the feed has rested and the vessel is full again: no lead time.
            at_s += 600.0 - MEAN_S * libm::log(chance.open_unit(2 * draw));
            Asked {
                at_s,
                vessel: 0,
                volume_m3: of(&chance, 2 * draw + 1),
            }
        })
        .collect();
    let mut state = State::begin(plant, 0.0, Chance::new(1, 0));
    let mut before = Vec::with_capacity(DRAWS);
    let mut last_s = 0.0;
    for asked in plant.script.clone() {
        drive(plant, &mut state, &mut Coarse, asked.at_s - 1.0).expect("drives");
        before.push((state.volume_m3(plant, 0), asked.at_s - last_s));
        last_s = asked.at_s;
    }
    drive(plant, &mut state, &mut Coarse, at_s + DAY_S).expect("drives");
    (before, state)
}

#[test]
fn unit_demands_are_met_from_every_level_alike() {
    let mut plant = vessel((AT + 0.5) * UNIT_M3, UP_TO * UNIT_M3);
    let (before, state) = drawn(&mut plant, |_, _| UNIT_M3);
    // The first levels are below, since the vessel began without the two seconds' worth.
    let states = (UP_TO - AT) as usize;
    let mut times = vec![0.0; states];
    let mut visits = vec![0_u32; states];
    for (volume_m3, gap_s) in &before {
        let level = (volume_m3 / UNIT_M3).floor();
        let over = volume_m3 / UNIT_M3 - level;
        assert!(over < 0.06, "{volume_m3}");
        let place = level as usize - AT as usize - 1;
        visits[place] += 1;
        times[place] += gap_s;
    }
    // Each level is passed once a cycle: the same count for all, give or take the cycle that isn't done.
    for visit in &visits {
        assert!(visit.abs_diff((DRAWS / states) as u32) <= 1, "{visits:?}");
    }
    // The share of time in each of n states is 1/n. A state's time is the sum of N/n gaps, whose standard deviation is
    // that of one gap (MEAN_S) times √(N/n); the share's relative error is √(n/N) = 3.7 %. Five of them, for eight states.
    let all: f64 = times.iter().sum();
    for time in &times {
        let off = time / all * states as f64 - 1.0;
        assert!(off.abs() < 5.0 * (states as f64 / DRAWS as f64).sqrt(), "{off}");
    }
    // An order brings S − s units, and there are as many orders as cycles.
    assert_eq!(state.tally.runs_m3.len(), DRAWS / states);
    for run_m3 in &state.tally.runs_m3 {
        // Up to a microlitre at each switch; the two seconds' worth of one order isn't ordered again.
        let units = run_m3 / UNIT_M3;
        assert!((units - (UP_TO - AT)).abs() < 0.05, "{units}");
    }
    assert!(state.tally.script_short_m3 == 0.0);
    let drawn_m3 = DRAWS as f64 * UNIT_M3;
    // All that was drawn was made, but for what the vessel holds more or less at the end.
    let made_m3 = state.tally.permeate_m3;
    let held_m3 = state.volume_m3(&plant, 0) - UP_TO * UNIT_M3;
    assert!((made_m3 - drawn_m3 - held_m3).abs() < 1e-9 * made_m3);
}

#[test]
fn exponential_demands_overshoot_by_their_own_mean() {
    let mut plant = vessel(AT * UNIT_M3, UP_TO * UNIT_M3);
    plant.vessels[0].rim_m3 = 10.0;
    // No demand is more than there is: one of 4 units and more meets an empty vessel once in fifty.
    let mean_m3 = UNIT_M3 / 3.0;
    let (before, state) = drawn(&mut plant, |chance, at| {
        -mean_m3 * libm::log(chance.open_unit(at))
    });
    let between_m3 = (UP_TO - AT) * UNIT_M3;
    // Two seconds of permeate on top of each order.
    let late_m3 = 2e-3;
    let runs = &state.tally.runs_m3;
    let n = runs.len() as f64;
    let mean = runs.iter().sum::<f64>() / n;
    // The overshoot is exponential, its deviation is its mean; the draws that were cut short (e⁻¹² of them) don't count.
    // A cycle begins at S and the late permeate, so that the order is S − s, the overshoot, and what is late.
    let wanted = between_m3 + late_m3 + mean_m3;
    let error = mean_m3 / n.sqrt();
    assert!((mean - wanted).abs() < 4.0 * error, "{mean} {wanted} {error}");
    let variance = runs.iter().map(|run| (run - mean) * (run - mean)).sum::<f64>() / (n - 1.0);
    // Of an exponential law the variance's relative standard error is √(8/n).
    assert!(
        (variance / (mean_m3 * mean_m3) - 1.0).abs() < 4.0 * (8.0 / n).sqrt(),
        "{variance}"
    );
    // Demands come at random to the levels (the same law for each): full with m / (m + S − s), the rest even between.
    let (at_m3, up_to_m3) = (AT * UNIT_M3, UP_TO * UNIT_M3 + late_m3);
    let full = before
        .iter()
        .filter(|(there, _)| (there - up_to_m3).abs() < 1e-6)
        .count() as f64;
    let wanted = mean_m3 / (mean_m3 + up_to_m3 - at_m3);
    // Visits to "full" are renewals: their count's variance is N·σ²/μ³ with μ, σ² of the draws in a cycle, 1 + a Poisson
    // count of mean (S − s)/m.
    let in_cycle = 1.0 + (up_to_m3 - at_m3) / mean_m3;
    let error = ((in_cycle - 1.0) / (in_cycle * in_cycle * in_cycle) / DRAWS as f64).sqrt();
    let share = full / DRAWS as f64;
    assert!((share - wanted).abs() < 4.0 * error, "{share} {wanted} {error}");
    let mut bins = [0.0_f64; 8];
    for (there, _) in &before {
        if (there - up_to_m3).abs() >= 1e-6 {
            let bin = (there - at_m3) / (up_to_m3 - at_m3) * 8.0;
            bins[(bin as usize).min(7)] += 1.0;
        }
    }
    // A bin's count is a sum over cycles of Poisson counts: its variance is about its mean.
    let each = bins.iter().sum::<f64>() / 8.0;
    let square: f64 = bins.iter().map(|bin| (bin - each) * (bin - each) / each).sum();
    // Chi-square with 7 degrees of freedom: 26.0 at 0.05 % (any table).
    assert!(square < 26.0, "{square} {bins:?}");
}
