//! How fresh water gets into the mixing vessel, and salt water out of it: by a task of the station, or in buckets.

use station::plumbing::End;
use station::sections::Water;
use station::{Situation, Station};

use crate::analysis::Lineups;

/// One bucket by hand: fill, carry, lift, pour, s (house rule).
const BUCKET_S: f64 = 120.0;
/// What a bucket holds, m³; less where the owner lifts less.
const BUCKET_M3: f64 = 0.015;

/// A way to move water, and how fast.
pub(super) struct Transfer {
    /// `through fresh-to-salt`, `in buckets`.
    pub(super) how: String,
    pub(super) flow_m3_s: f64,
    pub(super) by_hand: bool,
}

/// The quickest task from any fresh vessel into this one; by its flow with the source at its start level, or half full,
/// since water that is made meanwhile comes low.
pub(super) fn into(
    station: &Station,
    lineups: Option<&Lineups>,
    vessel: usize,
    situation: &Situation,
) -> Transfer {
    let name = &station.vessels[vessel].name;
    let fresh = |from: &str| {
        station
            .vessels
            .iter()
            .zip(&situation.vessels)
            .any(|(own, moment)| {
                own.name == from && own.fields.holds.value == Water::Fresh && moment.level_m > 0.0
            })
    };
    let tasks = lineups.into_iter().flat_map(|all| &all.lineups);
    let best = tasks
        .filter(|lineup| lineup.to == *name && fresh(&lineup.from))
        .filter_map(|lineup| {
            let flow = lineup
                .moments
                .iter()
                .rev()
                .find_map(|moment| moment.flow.as_ref())?;
            Some((flow.value, lineup.name.clone()))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match best {
        Some((flow_m3_s, name)) => Transfer {
            how: format!("through {name}"),
            flow_m3_s,
            by_hand: false,
        },
        None => buckets(station),
    }
}

/// The quickest task out of this vessel to a tank, or else to a draw point.
pub(super) fn out_of(station: &Station, lineups: Option<&Lineups>, vessel: usize) -> Transfer {
    let tasks = lineups
        .into_iter()
        .flat_map(|all| all.lineups.iter().zip(&station.plumbing.tasks));
    let best = tasks
        .filter(|(_, task)| task.from == End::Vessel(vessel) && matches!(task.to, End::Tank(_)))
        .filter_map(|(lineup, _)| {
            let flow = lineup
                .moments
                .iter()
                .rev()
                .find_map(|moment| moment.flow.as_ref())?;
            Some((flow.value, lineup.name.clone()))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0));
    match best {
        Some((flow_m3_s, name)) => Transfer {
            how: format!("through {name}"),
            flow_m3_s,
            by_hand: false,
        },
        None => buckets(station),
    }
}

fn buckets(station: &Station) -> Transfer {
    // A bucket and its water, no heavier than what somebody lifts.
    let liftable_m3 = (station.people.lift.value.kg() - 1.0).max(1.0) / 1025.0;
    Transfer {
        how: "in buckets".to_owned(),
        flow_m3_s: BUCKET_M3.min(liftable_m3) / BUCKET_S,
        by_hand: true,
    }
}
