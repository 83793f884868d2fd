//! How fresh water gets into the mixing vessel, and salt water out of it: by a task of the station, or in buckets.

use station::Station;
use station::plumbing::End;

use crate::analysis::{Lineups, bucket_s, dipped_m3};

/// A way to move water, and how fast.
pub(super) struct Transfer {
    /// `through fresh-to-salt`, `in buckets`.
    pub(super) how: String,
    pub(super) flow_m3_s: f64,
    pub(super) by_hand: bool,
}

/// The quickest task from one vessel into another; without one, buckets.
pub(super) fn between(station: &Station, lineups: Option<&Lineups>, from: usize, to: usize) -> Transfer {
    best(station, lineups, |task_from, task_to| {
        task_from == End::Vessel(from) && task_to == End::Vessel(to)
    })
}

/// The quickest task out of a vessel to a tank; without one, buckets.
pub(super) fn out_of(station: &Station, lineups: Option<&Lineups>, vessel: usize) -> Transfer {
    best(station, lineups, |from, to| {
        from == End::Vessel(vessel) && matches!(to, End::Tank(_))
    })
}

/// By its flow with the source lowest, since water that is made meanwhile comes low.
fn best(station: &Station, lineups: Option<&Lineups>, wanted: impl Fn(End, End) -> bool) -> Transfer {
    lineups
        .into_iter()
        .flat_map(|all| all.lineups.iter().zip(&station.plumbing.tasks))
        .filter(|(_, task)| wanted(task.from, task.to))
        .filter_map(|(lineup, _)| {
            let flow = lineup
                .moments
                .iter()
                .rev()
                .find_map(|moment| moment.flow.as_ref())?;
            Some((flow.value, lineup.name.clone()))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(
            || buckets(station),
            |(flow_m3_s, name)| Transfer {
                how: format!("through {name}"),
                flow_m3_s,
                by_hand: false,
            },
        )
}

fn buckets(station: &Station) -> Transfer {
    Transfer {
        how: "in buckets".to_owned(),
        flow_m3_s: dipped_m3(station) / bucket_s(station),
        by_hand: true,
    }
}
