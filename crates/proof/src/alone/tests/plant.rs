//! The station left alone beside the plant's own rooms, which go another way to the same: the loop of the year at both
//! paces, and the tables of times that the network made for it.

use std::collections::BTreeMap;

use station::Station;
use station::plumbing::End;

use super::super::start::starts_m3;
use super::super::{Fault, HarmKind, Phase, Spot, run};
use super::{EXAMPLES, WEEKEND_S, weekend, with_ground};
use crate::analysis::prepare;
use crate::plant::{
    Account, Chance, Coarse, Fine, Membranes, Outside, Pace, Plant, State, YEAR_S, drive, finish,
};

/// A plant with nobody and nothing odd, and its membranes by the usual feed.
fn quiet(text: &str) -> (Plant, Vec<Option<Membranes>>) {
    let station = Station::read(text).expect("an example");
    let mut prepared = prepare(&station, false).expect("a plant");
    let plant = &mut prepared.nominal;
    plant.people.calendar.weekdays = [false; 7];
    plant.people.calendar.holidays.clear();
    for tank in &mut plant.tanks {
        (tank.change, tank.emergency) = (None, None);
    }
    for vessel in &mut plant.vessels {
        vessel.evaporation_m3_s.0 = [0.0; 12];
    }
    let purifier = plant.purifier.as_mut().expect("a purifier");
    purifier.feeds.truncate(1);
    purifier.flush_m3 = 0.0;
    prepared.membranes.truncate(1);
    (prepared.nominal, prepared.membranes)
}

/// What one fill rejects, m³, by the loop of the year: from so much in each vessel, in the month in which most is made.
fn rejected_m3<P: Pace>(plant: &Plant, from_m3: &BTreeMap<usize, f64>, pace: &mut P) -> f64 {
    let months = &plant.purifier.as_ref().expect("a purifier").feeds[0]
        .permeate_m3_s
        .0;
    let most = (0..12)
        .max_by(|a, b| months[*a].total_cmp(&months[*b]))
        .expect("twelve");
    let at_s = (most as f64 + 0.5) * YEAR_S / 12.0;
    let mut state = State::begin(plant, at_s, Chance::new(1, 0));
    for (vessel, left_m3) in from_m3 {
        let there_m3 = state.volume_m3(plant, *vessel);
        let amount = state.books.vessel(*vessel).times(1.0 - left_m3 / there_m3);
        let drain = Account::Outside(Outside::Drain);
        state.book(plant, Account::vessel(*vessel), drain, amount);
    }
    drive(plant, &mut state, pace, at_s + WEEKEND_S).expect("drives");
    finish(plant, &mut state);
    state.tally.reject_m3
}

/// A whole fill: with the drain blocked all its reject lies on the floor, which is what the loop of the year counts at
/// either pace. Within 1 %: the design's tolerance between paces; here the feed's temperature stands still at the middle of
/// the month, there it moves with the days.
#[test]
fn a_fill_rejects_what_it_does_in_a_year() {
    for (name, text) in EXAMPLES.into_iter().filter(|(name, _)| *name != "Juniper") {
        let (plant, membranes) = quiet(text);
        with_ground(text, |ground, starts| {
            let filling = starts
                .iter()
                .find(|start| start.phase == Phase::Filling)
                .expect("fills");
            let (outcome, _) = weekend(ground, filling, &[Fault::DrainBlocked]);
            let floor = outcome
                .harm(|kind| kind == HarmKind::Floor(Spot::Drain))
                .expect("a flood");
            let fills = &plant.purifier.as_ref().expect("a purifier").fills;
            let from_m3 = fills
                .iter()
                .map(|vessel| (*vessel, starts_m3(ground, *vessel)))
                .collect();
            let coarse = rejected_m3(&plant, &from_m3, &mut Coarse);
            let fine = rejected_m3(&plant, &from_m3, &mut Fine::new(None, membranes.clone(), 1e-7));
            for (pace, reject_m3) in [("coarse", coarse), ("fine", fine)] {
                assert!(
                    (floor.amount / reject_m3 - 1.0).abs() < 0.01,
                    "{name}, {pace}: {} here, {reject_m3} there",
                    floor.amount
                );
            }
        });
    }
}

/// The second half of each task between vessels or to a tank takes as long as the network's own table of times says. Within
/// 3 %: that table is made with the waters' own densities, with its target half full, at nine levels.
#[test]
fn tasks_take_as_long_as_their_tables_say() {
    let mut compared = 0;
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            for start in starts {
                let Phase::Transfer(task) = start.phase else {
                    continue;
                };
                let own = &ground.station.plumbing.tasks[task];
                // Two vessels that find their balance by themselves have no volume to move.
                if own.pump.is_none() && matches!(own.to, End::Vessel(_)) {
                    continue;
                }
                let Some(Some(times)) = ground.plant.ways.times.get(task) else {
                    continue;
                };
                let End::Vessel(from) = own.from else { continue };
                let source_m3 = ground.plant.brine.volume_m3(start.contents[from]);
                let flow_m3_s = times.mean_m3_s(source_m3, start.left_m3).expect("a stretch");
                let by_table_s = start.left_m3 / flow_m3_s;
                let patient_s = 10.0 * by_table_s;
                let (outcome, _) =
                    run(ground, &mut ground.lines(), start, patient_s, &[], WEEKEND_S).expect("flows");
                let ended_s = outcome.ended_s.expect("an end");
                assert!(
                    (ended_s / by_table_s - 1.0).abs() < 0.03,
                    "{name}, task {task}: {ended_s} s here, {by_table_s} s by the table"
                );
                compared += 1;
            }
        });
    }
    assert!(compared >= 4, "{compared}");
}
