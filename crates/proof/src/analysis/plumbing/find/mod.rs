//! Findings on plumbing: tasks that can't be done, that take too long, that send water elsewhere.

mod line;
mod pump;

use station::Station;
use station::plumbing::End;
use station::quantity::Kind;

use super::look::PumpAtWork;
use super::setting::{Found, Trouble, stray_end};
use super::state::{Setting, State};
use super::{Lineup, Lineups};
use crate::analysis::speak::{figure, list, say, shown};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;

/// Longest that somebody stands over a bucket, s (house rule).
const PATIENCE_S: f64 = 120.0;

/// The network can't be computed at all.
pub(super) fn not_computed(station: &Station, refusal: &Refusal) -> Finding {
    let place = station
        .lines
        .first()
        .map_or_else(String::new, |line| format!("lines.{}", line.name));
    let sentence = format!("The plumbing can't be computed: {refusal}.");
    Finding::new("plumbing-not-computed", Severity::Must, place, sentence)
}

/// What a setting doesn't do, or does beside its task.
pub(super) fn setting(station: &Station, at: usize, found: &Found, findings: &mut Vec<Finding>) {
    let Some(trouble) = &found.trouble else { return };
    let lineup = &station.lineups[at];
    let task = &station.plumbing.tasks[at];
    let (from, to) = (station.name_of(task.from), station.name_of(task.to));
    let place = format!("lineups.{}", lineup.name);
    let by = match task.pump {
        Some(pump) => format!("through {}", shown(&station.pumps[pump].name).to_lowercase()),
        None => "by gravity".to_owned(),
    };
    let own = task.open.is_some();
    let sentence = match trouble {
        Trouble::NoWay if own => format!(
            "{}: with these valves open no line leads all the way from {from} to {to} {by}.",
            shown(&lineup.name)
        ),
        Trouble::NoWay => format!("{}: no lines lead from {from} to {to} {by}.", shown(&lineup.name)),
        Trouble::NoFlow => format!(
            "{}: nothing flows from {from} to {to} {by}, even with {from} full: the way goes higher than the water stands, or a check valve holds it.",
            shown(&lineup.name)
        ),
        Trouble::Strays => {
            let ends: Vec<String> = found
                .strays
                .iter()
                .filter_map(|stray| stray_end(station, stray))
                .map(|end| station.name_of(end).to_owned())
                .collect();
            let ends: Vec<&str> = ends.iter().map(String::as_str).collect();
            let lines: Vec<&str> = found.strays.iter().map(|stray| stray.line.as_str()).collect();
            let most = found
                .strays
                .iter()
                .map(|stray| stray.flow_m3_per_s.abs())
                .fold(0.0, f64::max);
            let where_to = if ends.is_empty() {
                String::new()
            } else {
                format!(" to or from {}", list(&ends))
            };
            let cure = if own {
                "close the valve there"
            } else {
                "a valve is missing there"
            };
            format!(
                "{}: water also flows in {}{where_to}, {}: {cure}.",
                shown(&lineup.name),
                list(&lines),
                say(station, Kind::Flow, most)
            )
        }
    };
    let id = match (trouble, own) {
        (Trouble::Strays, true) => "lineup-goes-elsewhere",
        (Trouble::Strays, false) => "lineup-not-alone",
        (_, true) => "lineup-does-nothing",
        (_, false) => "lineup-not-found",
    };
    findings.push(Finding::new(id, Severity::Must, place, sentence).gap(1.0));
}

/// Everything there is to say of tasks that work.
pub(super) fn find(
    station: &Station,
    state: &mut State<'_>,
    all: &Lineups,
    settings: &[Option<Setting>],
    findings: &mut Vec<Finding>,
) {
    for (at, lineup) in all.lineups.iter().enumerate() {
        slow(station, at, lineup, findings);
        if let Some(setting) = &settings[at] {
            line::find(station, state, at, all, setting, findings);
        }
    }
    // One word for each pump and trouble: of the task that shows it most.
    let mut worst: Vec<Finding> = Vec::new();
    for finding in all.pumps.iter().flat_map(|work| pump::find(station, work)) {
        match worst
            .iter_mut()
            .find(|other| other.identity() == finding.identity())
        {
            Some(other) if finding.gap > other.gap => *other = finding,
            Some(_) => {}
            None => worst.push(finding),
        }
    }
    findings.extend(worst);
}

fn slow(station: &Station, at: usize, lineup: &Lineup, findings: &mut Vec<Finding>) {
    let End::Draw(draw) = station.plumbing.tasks[at].to else {
        return;
    };
    let container = station.draw_points[draw].fields.container.value.m3();
    let Some(moment) = lineup.moments.first() else {
        return;
    };
    let Some(time_s) = moment.nominal.1 else { return };
    // A larger container may take longer in proportion.
    let patience_s = PATIENCE_S * (container / 0.02).max(1.0);
    if time_s > patience_s {
        let sentence = format!(
            "{} takes {} even with {} full: nobody waits so long, and what is left to run by itself runs over. A wider line or a lower spout makes it quicker.",
            shown(&lineup.name),
            figure(&format!("lineups.{}.time", lineup.name)),
            lineup.from
        );
        findings.push(
            Finding::new(
                "bucket-slow",
                Severity::Should,
                format!("lineups.{}", lineup.name),
                sentence,
            )
            .gap(time_s - patience_s)
            .figure(format!("lineups.{}.time", lineup.name))
            .figure(format!("lineups.{}.flow", lineup.name)),
        );
    }
}

/// A pump's findings name it and the task in which it shows.
fn of(work: &PumpAtWork) -> String {
    format!("{} in {}", shown(&work.pump), work.lineup)
}
