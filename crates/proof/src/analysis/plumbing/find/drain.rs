//! A note on tasks that bring a tank more than it takes on top: water must go out of it first.

use station::Station;
use station::plumbing::End;
use station::quantity::Kind;

use super::super::Lineups;
use crate::analysis::speak::{say, shown};
use crate::finding::{Finding, Severity};

pub(super) fn find(station: &Station, all: &Lineups, findings: &mut Vec<Finding>) {
    for ((own, task), lineup) in station
        .lineups
        .iter()
        .zip(&station.plumbing.tasks)
        .zip(&all.lineups)
    {
        let End::Tank(at) = task.to else { continue };
        // The most is moved with the source full; round a tank nothing is added.
        let moved_m3 = lineup.moments.first().and_then(|moment| moment.moved_m3);
        let (Some(moved_m3), false) = (moved_m3, task.from == task.to) else {
            continue;
        };
        let tank = &station.tanks[at];
        let takes_m3 = tank.headroom_m3();
        // A hair more is a slip of rounding.
        if moved_m3 <= takes_m3 * 1.001 {
            continue;
        }
        let sentence = format!(
            "{} brings {}, and {} takes {} on top: drain as much from it first.",
            shown(&own.name),
            say(station, Kind::Volume, moved_m3),
            tank.name,
            say(station, Kind::Volume, takes_m3)
        );
        findings.push(
            Finding::new(
                "drain-first",
                Severity::Note,
                format!("lineups.{}", own.name),
                sentence,
            )
            .gap(moved_m3 - takes_m3),
        );
    }
}
