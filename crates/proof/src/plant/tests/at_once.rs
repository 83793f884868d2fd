//! What is over before anything else can happen comes to the same as what goes through the loop, in fewer turns of it.

use station::Station;

use super::super::season::ByMonth;
use super::super::{Chance, Coarse, DAY_S, State, Tally, drive, finish};
use super::plant;
use crate::analysis::prepare;

/// A litre evaporates in a day: no mark is met in five days, and the purifier has nothing to do.
fn turns(somebody_comes: bool) -> (u64, Tally) {
    let mut plant = plant();
    plant.tanks[0].top_off_m3_s = ByMonth([0.001 / DAY_S; 12]);
    let calendar = &mut plant.people.calendar;
    calendar.weekdays = [somebody_comes; 7];
    calendar.arrives_s = 9.0 * 3600.0;
    calendar.stays_s = 3600.0;
    let mut state = State::begin(&plant, 0.0, Chance::new(1, 0));
    let driven = drive(&plant, &mut state, &mut Coarse, 5.0 * DAY_S).expect("drives");
    (driven.events, state.tally)
}

#[test]
fn a_visit_that_only_tops_off_is_one_event() {
    let (alone, _) = turns(false);
    let (visited, tally) = turns(true);
    assert_eq!(tally.visits, 5);
    // Until nine on the fifth day: 4 d 9 h of it.
    let gone_m3 = 0.001 * (4.0 + 9.0 / 24.0);
    assert!((tally.to_tanks_m3[0] - gone_m3).abs() < 1e-12);
    assert_eq!(visited, alone + 5);
}

/// Eight weeks in one go, and minute by minute: nothing that takes longer than a minute is over at once then. Figures are
/// sums of the same terms, cut otherwise: rounding only.
#[test]
fn minute_by_minute_it_is_the_same() {
    let text = include_str!("../../../../../stations/larkhaven.toml");
    let station = Station::read(text).expect("an example of the project");
    let plant = prepare(&station, false).expect("it has vessels").nominal;
    let (from_s, days) = (7.0 * DAY_S, 56.0);
    let by = |step_s: f64| {
        let mut state = State::begin(&plant, from_s, Chance::new(1, 1));
        let steps = (days * DAY_S / step_s) as u32;
        for step in 1..=steps {
            let until_s = from_s + step_s * f64::from(step);
            drive(&plant, &mut state, &mut Coarse, until_s).expect("drives");
        }
        finish(&plant, &mut state);
        state.tally
    };
    let (whole, cut) = (by(days * DAY_S), by(60.0));
    let counts = |tally: &Tally| {
        let emergencies = (tally.emergencies, tally.met_at_once, tally.unmet);
        (tally.visits, tally.batches, tally.runs_m3.len(), emergencies)
    };
    assert_eq!(counts(&whole), counts(&cut));
    assert!(whole.batches > 5 && whole.runs_m3.len() > 3);
    let figures = |tally: &Tally| {
        let mut all = vec![tally.permeate_m3, tally.reject_m3, tally.mix_kg, tally.carries];
        all.extend(tally.to_tanks_m3);
        all.extend(tally.work_s);
        all.extend(tally.waited_s);
        all.extend(tally.under_reserve_s);
        all.extend(tally.lowest_m3);
        all
    };
    for (at, (whole, cut)) in figures(&whole).into_iter().zip(figures(&cut)).enumerate() {
        let apart = (whole - cut).abs() / whole.abs().max(1e-3);
        assert!(apart < 1e-9, "{at}: {whole} {cut}");
    }
}
