//! What people do in a year, as far as it decides how often something is forgotten.

use station::Station;
use station::plumbing::End;

use super::chance::Habits;
use crate::assess::Assessment;
use crate::plant::{DAY_S, Plant, YEAR_S};

/// Weeks of a year.
const WEEKS: f64 = 365.0 / 7.0;

/// From the station, its needs and its plant.
pub(super) fn habits(station: &Station, assessment: &Assessment, plant: &Plant) -> Habits {
    let visits = f64::from(
        plant
            .people
            .calendar
            .weekdays
            .iter()
            .fold(0_u32, |sum, comes| sum + u32::from(*comes)),
    );
    let here_s = visits * plant.people.calendar.stays_s;
    let tasks = (0..station.lineups.len())
        .map(|task| {
            (
                times(station, assessment, plant, task, visits * WEEKS),
                seconds(assessment, task),
            )
        })
        .collect();
    let made = assessment.supply.purifier.as_ref();
    let services = made.map_or(0.0, |made| {
        made.filters
            .iter()
            .map(|filter| YEAR_S / filter.lasts_s.value.max(DAY_S))
            .sum()
    });
    let flow = plant.purifier.as_ref().map_or(0.0, |purifier| {
        let months = &purifier.feeds[0].permeate_m3_s.0;
        months.iter().sum::<f64>() / months.len() as f64
    });
    Habits {
        tasks,
        services,
        unattended: (1.0 - here_s / (7.0 * DAY_S)).clamp(0.0, 1.0),
        running: if flow > 0.0 {
            (assessment.needs.fresh_m3_per_s / flow).clamp(0.0, 1.0)
        } else {
            0.0
        },
    }
}

/// How often a task is done in a year: a tank's change by its own rhythm, water for a batch and its mixing with each batch,
/// a bucket at each visit (house rule).
fn times(station: &Station, assessment: &Assessment, plant: &Plant, task: usize, visits: f64) -> f64 {
    let own = &station.plumbing.tasks[task];
    match own.to {
        End::Tank(tank) => plant.tanks[tank].change.map_or(0.0, |(_, days)| 365.0 / days),
        End::Vessel(vessel) => {
            let batch_m3 = plant.vessels[vessel].full_m3.max(1e-3);
            assessment.needs.salt_m3_per_s * YEAR_S / batch_m3
        }
        _ => visits,
    }
}

/// How long it takes, s; an hour where nothing tells (house rule).
fn seconds(assessment: &Assessment, task: usize) -> f64 {
    let lineups = assessment.lineups.as_ref();
    let own = lineups.and_then(|all| all.lineups.get(task));
    own.and_then(|own| own.moments.first())
        .and_then(|moment| moment.nominal.1)
        .unwrap_or(3600.0)
}
