//! Findings on siphons: a line that must be started as one, an end that draws back, water that runs on, a hole that sits
//! where it breaks nothing.

use station::plumbing::{End, Task};
use station::quantity::Kind;
use station::{Situation, Station};

use super::super::Lineup;
use super::super::build::Pipework;
use super::super::delivery::{
    draws_back, hole_against_drawing_back, hole_against_running_on, runs_on_m3_s, water_m,
};
use super::super::look::highest_m;
use super::super::state::{Setting, State};
use crate::analysis::speak::{say, set_length, shown, tape};
use crate::finding::{Finding, Severity};

/// By gravity over a crest above the water: it runs once the line is full, and not before.
pub(super) fn must_be_started(
    station: &Station,
    pipework: &Pipework,
    at: usize,
    lineup: &Lineup,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    let (None, End::Vessel(vessel)) = (task.pump, task.from) else {
        return;
    };
    let own = &station.vessels[vessel];
    let lowest_m = lineup
        .moments
        .iter()
        .filter(|moment| moment.nominal.0.is_some())
        .filter_map(|moment| moment.source_level_m)
        .fold(f64::INFINITY, f64::min);
    let surface_m = own.fields.floor_height.value.m() + lowest_m;
    let highest = way
        .iter()
        .map(|line| (*line, highest_m(pipework, *line)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((line, top_m)) = highest else { return };
    if top_m <= surface_m || !surface_m.is_finite() {
        return;
    }
    let name = &station.lines[line].name;
    let hole = station.lines[line].fields.siphon_break.as_ref();
    let (severity, how) = match hole {
        Some(hole) if hole.value.m() > surface_m => (
            Severity::Must,
            "It has a hole that lets air in there, so nothing runs by gravity.",
        ),
        _ => (
            Severity::Should,
            "Water runs there only as a siphon, once the line has been filled, and stops when air gets in. Never start one by mouth.",
        ),
    };
    let sentence = format!(
        "{}: {name} rises {} above the water of {} at a level of {}. {how}",
        shown(&lineup.name),
        tape(station, top_m - surface_m),
        lineup.from,
        tape(station, lowest_m)
    );
    findings.push(
        Finding::new("siphon-to-start", severity, format!("lines.{name}"), sentence).gap(top_m - surface_m),
    );
}

/// What a task's line does when its pump stops, unless a check valve or a hole holds it.
pub(super) fn when_it_stops(
    station: &Station,
    state: &mut State<'_>,
    at: usize,
    lineup: &Lineup,
    setting: &Setting,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    let Some(last) = way.last().copied() else { return };
    let pipework = state.pipework;
    let end_m = pipework.lines[last].to_height_m;
    let top_m = highest_m(pipework, last);
    let back = draws_back(station, task, end_m);
    let on_m3_s = runs_on_m3_s(station, state, task, setting);
    let hole = way
        .iter()
        .find(|line| station.lines[**line].fields.siphon_break.is_some());
    if let Some(line) = hole {
        state.stop_holes(true);
        let without = runs_on_m3_s(station, state, task, setting);
        state.stop_holes(false);
        let wrong = without.is_some() && misplaced(station, task, lineup, *line, top_m, findings);
        // A hole on the way to another line isn't in the network; it breaks the siphon all the same.
        let solved = pipework.air_breaks.iter().any(|hole| hole.line == *line);
        if let (Some(flow_m3_s), true, false) = (on_m3_s, solved, wrong) {
            runs_on(station, task, lineup, last, (flow_m3_s, top_m), findings);
        }
        return;
    }
    let checked = way.iter().any(|line| {
        let mut valves = station.plumbing.valves_of(*line);
        valves.any(|valve| station.valves[valve].fields.kind.value.is_check())
    });
    if back && !checked {
        let hole = match (on_m3_s, water_of(station, task.to)) {
            // A hole that stops it running on stops it drawing back too; one just under the target's water doesn't.
            (Some(_), _) => hole_against_running_on(station, task, top_m),
            (None, Some(water_m)) if top_m > water_m => hole_against_drawing_back(water_m, end_m),
            _ => None,
        };
        siphons_back(station, task, lineup, last, (end_m, hole), findings);
    }
    if let Some(flow_m3_s) = on_m3_s {
        runs_on(station, task, lineup, last, (flow_m3_s, top_m), findings);
    }
}

/// An end under water draws it back when the pump stops.
fn siphons_back(
    station: &Station,
    task: &Task,
    lineup: &Lineup,
    last: usize,
    (end_m, hole): (f64, Option<(f64, f64)>),
    findings: &mut Vec<Finding>,
) {
    let Some(target_m) = water_of(station, task.to) else {
        return;
    };
    let name = &station.lines[last].name;
    let sentence = format!(
        "{}: the end of {name} lies {} under the water of {}. When the pump stops, that water siphons back into {} until air gets in or somebody closes a valve.{}",
        shown(&lineup.name),
        tape(station, target_m - end_m),
        lineup.to,
        lineup.from,
        hole_between(station, hole, "stops it")
    );
    // A tank that empties into the station is a flood, and a loss of animals.
    let severity = if matches!(task.to, End::Tank(_)) {
        Severity::Must
    } else {
        Severity::Should
    };
    let mut finding =
        Finding::new("siphons-back", severity, format!("lines.{name}"), sentence).gap(target_m - end_m);
    // A hole just under the water lets air in as soon as the level has sunk to it.
    if let Some((_, highest_m)) = hole {
        let path = format!("lines.{name}.siphon_break");
        finding = finding.recipe(vec![set_length(station, path, highest_m, false)]);
    }
    findings.push(finding);
}

/// What goes on flowing when the pump of a task is switched off and nobody turns a valve.
fn runs_on(
    station: &Station,
    task: &Task,
    lineup: &Lineup,
    last: usize,
    (flow_m3_s, top_m): (f64, f64),
    findings: &mut Vec<Finding>,
) {
    let hole = hole_against_running_on(station, task, top_m);
    let cure = match hole {
        Some(_) => "Close one first, or let air in at the top of the line.",
        None => "Close one first.",
    };
    let sentence = format!(
        "{}: when the pump is switched off, water runs on by itself at {}, until {} has sunk or somebody closes a valve. {cure}{}",
        shown(&lineup.name),
        say(station, Kind::Flow, flow_m3_s),
        lineup.from,
        hole_between(
            station,
            hole,
            "does that; it may spray while the pump runs, so let it point down"
        )
    );
    // Over a bucket somebody stands anyway, with a hand on the valve.
    let severity = if matches!(task.to, End::Draw(_)) {
        Severity::Note
    } else {
        Severity::Should
    };
    let mut finding = Finding::new("runs-on", severity, format!("lineups.{}", lineup.name), sentence);
    if let Some((_, highest_m)) = hole {
        let path = format!("lines.{}.siphon_break", station.lines[last].name);
        finding = finding.recipe(vec![set_length(station, path, highest_m, false)]);
    }
    findings.push(finding);
}

/// A hole that lies where it lets water out, and no air in; whether it does.
fn misplaced(
    station: &Station,
    task: &Task,
    lineup: &Lineup,
    line: usize,
    top_m: f64,
    findings: &mut Vec<Finding>,
) -> bool {
    let Some(hole) = &station.lines[line].fields.siphon_break else {
        return false;
    };
    let Some((lowest_m, highest_m)) = hole_against_running_on(station, task, top_m) else {
        return false;
    };
    let hole_m = hole.value.m();
    // A tape's millimetre either way.
    if hole_m >= lowest_m - 1e-3 {
        return false;
    }
    let name = &station.lines[line].name;
    let sentence = format!(
        "{}: the hole of {name} lies at {}, under what the water of {} reaches when that is full: water runs out of it, and no air gets in. It belongs between {} and {} above the room's floor.",
        shown(&lineup.name),
        tape(station, hole_m),
        lineup.from,
        tape(station, lowest_m),
        tape(station, highest_m)
    );
    let path = format!("lines.{name}.siphon_break");
    findings.push(
        Finding::new("siphon-break-misplaced", Severity::Must, path.clone(), sentence)
            .gap(lowest_m - hole_m)
            .recipe(vec![set_length(station, path, highest_m, false)]),
    );
    true
}

/// What lets enough air in to end a siphon, m across (common practice, no source).
const HOLE_M: f64 = 0.006;

/// Where the hole may be, as a sentence that follows another.
fn hole_between(station: &Station, hole: Option<(f64, f64)>, does: &str) -> String {
    hole.map_or_else(String::new, |(lowest_m, highest_m)| {
        format!(
            " A hole of {} between {} and {} above the room's floor {does}.",
            tape(station, HOLE_M),
            tape(station, lowest_m),
            tape(station, highest_m)
        )
    })
}

/// The surface at a target, full.
fn water_of(station: &Station, end: End) -> Option<f64> {
    match end {
        End::Vessel(vessel) => {
            let full = Situation::full(station);
            Some(station.vessels[vessel].fields.floor_height.value.m() + full.vessels[vessel].level_m)
        }
        End::Tank(tank) => water_m(station, tank),
        _ => None,
    }
}
