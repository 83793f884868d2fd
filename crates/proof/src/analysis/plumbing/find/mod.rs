//! Findings on plumbing: tasks that can't be done, that take too long, that send water elsewhere.

mod drain;
mod given;
mod layers;
mod line;
mod pump;
mod siphon;
mod strength;

use station::plumbing::End;
use station::quantity::Kind;
use station::{Edit, Station};

use super::look::PumpAtWork;
use super::setting::{Found, Trouble};
use super::state::{Setting, State};
use super::{Ending, Lineup, Lineups};
use crate::analysis::speak::{figure, list, say, shown, tape};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;

/// A bucket that is full sooner can't be held, s (house rule).
const QUICK_S: f64 = 10.0;
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
    let name = shown(&lineup.name);
    let sentence = match trouble {
        Trouble::Closed(valves) => {
            let valves: Vec<&str> = valves.iter().map(String::as_str).collect();
            format!(
                "{name}: the way from {from} to {to} {by} is closed at {}.",
                list(&valves)
            )
        }
        Trouble::NoWay => format!(
            "{name}: no lines lead all the way from {from} to {to} {by}; a check valve that stands the wrong way ends a way too."
        ),
        Trouble::Held => format!(
            "{name}: every way from {from} to {to} {by} needs both ways of a three-way valve open, or a pump that its interlock (runs_only_with) stops."
        ),
        Trouble::NoFlow if matches!(task.from, End::Tank(_)) => format!(
            "{name}: nothing flows out of {from}. The line must begin under its water: give tanks.{from}.water_height, and the line's tank_height below it."
        ),
        Trouble::NoFlow => format!(
            "{name}: nothing flows from {from} to {to} {by}, even with {from} full: the way rises higher than what drives the water, or takes more than it has."
        ),
        Trouble::Strays => format!("{name}: {}.", strays(station, found)),
    };
    let id = match (trouble, own) {
        (Trouble::Strays, true) => "lineup-goes-elsewhere",
        (Trouble::Strays, false) => "lineup-not-alone",
        (_, true) => "lineup-does-nothing",
        (_, false) => "lineup-not-found",
    };
    let mut finding = Finding::new(id, Severity::Must, place.clone(), sentence).gap(1.0);
    if let (Trouble::Closed(valves), Some(open)) = (trouble, &task.open) {
        let own = open.iter().map(|at| station.valves[*at].name.as_str());
        let all: Vec<&str> = own.chain(valves.iter().map(String::as_str)).collect();
        finding = finding.recipe(vec![Edit::quoted(format!("{place}.open"), &all.join(", "))]);
    }
    findings.push(finding);
}

/// "14 L/min also runs into salt through fill, which has no valve: add one there".
fn strays(station: &Station, found: &Found) -> String {
    let mut told = Vec::new();
    for stray in &found.strays {
        let Some(line) = station.lines.iter().position(|line| line.name == stray.line) else {
            continue;
        };
        let joined = &station.plumbing.lines[line];
        let open = |end: End| matches!(end, End::Vessel(_) | End::Tank(_) | End::Draw(_));
        // Flow counts from the line's beginning to its end.
        let (enters, leaves) = if stray.flow_m3_per_s > 0.0 {
            (joined.from, joined.to)
        } else {
            (joined.to, joined.from)
        };
        let way = if open(leaves) {
            format!("into {}", station.name_of(leaves))
        } else if open(enters) {
            format!("out of {}", station.name_of(enters))
        } else {
            continue;
        };
        let valves: Vec<&str> = station
            .plumbing
            .valves_of(line)
            .filter(|valve| station.valves[*valve].fields.kind.value.is_set())
            .map(|valve| station.valves[valve].name.as_str())
            .collect();
        let cure = match valves.as_slice() {
            [] => "which has no valve: add one there".to_owned(),
            valves => format!("close {}", list(valves)),
        };
        let flow = say(station, Kind::Flow, stray.flow_m3_per_s.abs());
        told.push(format!("{flow} also runs {way} through {}, {cure}", stray.line));
    }
    if told.is_empty() {
        let lines: Vec<&str> = found.strays.iter().map(|stray| stray.line.as_str()).collect();
        return format!("water also goes round in {}", list(&lines));
    }
    told.join("; ")
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
        bucket(station, at, lineup, findings);
        stops(station, at, lineup, findings);
        if let Some(setting) = &settings[at] {
            line::find(station, state, at, all, setting, findings);
        }
    }
    levels_told(station, findings);
    given::find(station, state.pipework, all, findings);
    layers::find(station, state.pipework, all, findings);
    drain::find(station, all, findings);
    // One word for each pump and trouble: of the task that shows it most.
    let mut worst: Vec<Finding> = Vec::new();
    for finding in all.pumps.iter().flat_map(|work| pump::find(station, all, work)) {
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

/// Heights that somebody forgot, and a pump that is switched off before its vessel is filled again.
fn levels_told(station: &Station, findings: &mut Vec<Finding>) {
    for (at, tank) in station.tanks.iter().enumerate() {
        let lines = station.plumbing.lines_at(End::Tank(at));
        let untold = lines
            .into_iter()
            .find(|line| station.lines[*line].fields.tank_height.is_none());
        if let (Some(line), None) = (untold, &tank.fields.water_height) {
            let sentence = format!(
                "Nobody told how high the water of {} stands, nor where {} ends: a metre over the floor is assumed, and every flow there is a guess. Give water_height of the tank, and tank_height of the line.",
                tank.name, station.lines[line].name
            );
            findings.push(Finding::new(
                "tank-height-unknown",
                Severity::Should,
                format!("tanks.{}", tank.name),
                sentence,
            ));
        }
    }
    for vessel in &station.vessels {
        if let (Some(cutout), Some(start)) = (&vessel.fields.low_cutout_level, &vessel.fields.start_level)
            && !station.floats(vessel)
            && cutout.value.m() > start.value.m()
        {
            let sentence = format!(
                "{}: its pump is switched off at {}, above the start level of {}: the water between them is never made use of before the fill begins.",
                shown(&vessel.name),
                tape(station, cutout.value.m()),
                tape(station, start.value.m())
            );
            findings.push(
                Finding::new(
                    "cutout-above-start",
                    Severity::Should,
                    format!("vessels.{}.low_cutout_level", vessel.name),
                    sentence,
                )
                .gap(cutout.value.m() - start.value.m()),
            );
        }
    }
}

/// A task that works with its source full, and no longer when it has sunk.
fn stops(station: &Station, at: usize, lineup: &Lineup, findings: &mut Vec<Finding>) {
    let task = &station.plumbing.tasks[at];
    let Some(full) = lineup.moments.first() else {
        return;
    };
    if full.nominal.0.is_none() {
        return;
    }
    let place = format!("lineups.{}", lineup.name);
    if let (Some(pump), Some(Ending::Fades), Some(moved)) = (task.pump, full.ending, full.moved_m3) {
        let sentence = format!(
            "{}: {} only just lifts to {}. It begins with {} full, and after {} hardly anything moves.",
            shown(&lineup.name),
            shown(&station.pumps[pump].name).to_lowercase(),
            lineup.to,
            lineup.from,
            say(station, Kind::Volume, moved)
        );
        findings.push(Finding::new("pump-stalls", Severity::Must, place, sentence));
        return;
    }
    // Two vessels that level out stand still by their nature.
    let levels_out = matches!((task.from, task.to), (End::Vessel(_), End::Vessel(_))) && task.pump.is_none();
    let still = lineup.moments.iter().find(|moment| moment.nominal.0.is_none());
    if let (Some(still), false) = (still, levels_out) {
        let sentence = format!(
            "{}: it works with {} full, and nothing flows any more at a level of {}.",
            shown(&lineup.name),
            lineup.from,
            tape(station, still.source_level_m.unwrap_or(0.0))
        );
        findings.push(Finding::new("lineup-stops", Severity::Should, place, sentence));
    }
}

fn bucket(station: &Station, at: usize, lineup: &Lineup, findings: &mut Vec<Finding>) {
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
    if time_s < QUICK_S {
        let sentence = format!(
            "{}: {} is full after {}, before a hand is back at the valve. Open it by a part, or take a narrower line.",
            shown(&lineup.name),
            say(station, Kind::Volume, container),
            figure(&format!("lineups.{}.time", lineup.name)),
        );
        findings.push(
            Finding::new(
                "bucket-quick",
                Severity::Note,
                format!("lineups.{}", lineup.name),
                sentence,
            )
            .figure(format!("lineups.{}.time", lineup.name)),
        );
    }
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
