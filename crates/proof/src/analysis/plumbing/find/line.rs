//! Findings on the lines of a task: what siphons back, what lies below the air's pressure, what the pump can burst, what
//! must be flushed.

use physics::hydraulics::suction::USUAL_DISCHARGE_M_S;
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::Tube;
use station::{Situation, Station};

use super::super::build::Pipework;
use super::super::flows::flows_with;
use super::super::look::highest_m;
use super::super::state::{Setting, State};
use super::super::{Lineup, Lineups};
use crate::analysis::speak::{say, set_length, shown, tape};
use crate::finding::{Finding, Severity};

/// What a soft hose bears that nobody rated, warm water included, Pa (common practice, no source: unreinforced vinyl
/// hoses are sold for 1.5 to 3 bar).
const SOFT_HOSE_PA: f64 = 1.5e5;
/// Pressure below the air's that is worth a word, Pa (house rule: 0.2 m of water).
const BELOW_AIR_PA: f64 = -2_000.0;
/// Water of the last task in the lines that is worth a word, m³ (house rule: a cup).
const WORTH_FLUSHING_M3: f64 = 0.2e-3;

pub(super) fn find(
    station: &Station,
    state: &mut State<'_>,
    at: usize,
    all: &Lineups,
    setting: &Setting,
    findings: &mut Vec<Finding>,
) {
    let pipework = state.pipework;
    let lineup = &all.lineups[at];
    let way: Vec<usize> = lineup
        .lines
        .iter()
        .filter_map(|name| station.lines.iter().position(|line| line.name == *name))
        .collect();
    if way.is_empty()
        || lineup
            .moments
            .first()
            .is_none_or(|moment| moment.nominal.0.is_none())
    {
        return;
    }
    must_be_started(station, pipework, at, lineup, &way, findings);
    siphons_back(station, pipework, at, lineup, &way, findings);
    runs_on(station, state, at, lineup, setting, &way, findings);
    bursts(station, at, lineup, &way, findings);
    at_full(station, state, at, setting, &way, findings);
    dead_leg(station, pipework, at, all, &way, findings);
}

/// By gravity over a crest above the water: it runs once the line is full, and not before.
fn must_be_started(
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

/// An end under water draws it back when the pump stops, unless a check valve or a hole holds it.
fn siphons_back(
    station: &Station,
    pipework: &Pipework,
    at: usize,
    lineup: &Lineup,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    let Some(last) = way.last().copied() else { return };
    if task.from == task.to {
        return;
    }
    let full = Situation::full(station);
    let surface_m = |end: End| match end {
        End::Vessel(vessel) => {
            Some(station.vessels[vessel].fields.floor_height.value.m() + full.vessels[vessel].level_m)
        }
        End::Tank(tank) => station.tanks[tank]
            .fields
            .water_height
            .as_ref()
            .map(|height| height.value.m()),
        _ => None,
    };
    let source_low_m = match task.from {
        End::Vessel(vessel) => {
            let vessel = &station.vessels[vessel];
            vessel.fields.floor_height.value.m() + vessel.fields.outlet_level.value.m()
        }
        End::Tank(tank) => station.tanks[tank]
            .fields
            .water_height
            .as_ref()
            .map_or(f64::INFINITY, |h| h.value.m()),
        _ => return,
    };
    let Some(target_m) = surface_m(task.to) else {
        return;
    };
    let line = &pipework.lines[last];
    let drowned = line.to_height_m < target_m;
    let held = way.iter().any(|line| {
        station.lines[*line].fields.siphon_break.is_some()
            || station
                .plumbing
                .valves_of(*line)
                .any(|valve| station.valves[valve].fields.kind.value.is_check())
    });
    if !drowned || held || target_m <= source_low_m || task.pump.is_none() {
        return;
    }
    let name = &station.lines[last].name;
    let sentence = format!(
        "{}: the end of {name} lies {} under the water of {}. When the pump stops, that water siphons back into {} until air gets in or somebody closes a valve.",
        shown(&lineup.name),
        tape(station, target_m - line.to_height_m),
        lineup.to,
        lineup.from
    );
    // A tank that empties into the station is a flood, and a loss of animals.
    let severity = if matches!(task.to, End::Tank(_)) {
        Severity::Must
    } else {
        Severity::Should
    };
    let mut finding = Finding::new("siphons-back", severity, format!("lines.{name}"), sentence)
        .gap(target_m - line.to_height_m);
    // A hole just under the water lets air in as soon as the level has sunk to it.
    if highest_m(pipework, last) > target_m {
        finding = finding.recipe(vec![set_length(
            station,
            format!("lines.{name}.siphon_break"),
            target_m - 0.01,
            false,
        )]);
    }
    findings.push(finding);
}

/// What goes on flowing when the pump of a task is switched off and nobody turns a valve.
fn runs_on(
    station: &Station,
    state: &mut State<'_>,
    at: usize,
    lineup: &Lineup,
    setting: &Setting,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    // A hole on the way to another line isn't in the network; it breaks the siphon all the same.
    let broken = way.iter().any(|line| {
        let solved = state.pipework.air_breaks.iter().any(|hole| hole.line == *line);
        station.lines[*line].fields.siphon_break.is_some() && !solved
    });
    if task.pump.is_none() || task.from == task.to || broken {
        return;
    }
    let standing = Setting {
        pump: None,
        ..setting.clone()
    };
    let full = super::super::situation(station, task, "full");
    let flow = state
        .begin(&full, &standing)
        .and_then(|()| state.solve(task.from))
        .map(|_| state.gained_m3_s(task.to));
    let Ok(flow) = flow else { return };
    // What one wouldn't notice in an hour isn't worth a word (house rule: a litre).
    if flow < 1e-3 / 3600.0 {
        return;
    }
    let sentence = format!(
        "{}: when the pump is switched off, water runs on by itself at {}, until {} has sunk or somebody closes a valve. Close one first, or let air in at the top of the line.",
        shown(&lineup.name),
        say(station, Kind::Flow, flow),
        lineup.from
    );
    // Over a bucket somebody stands anyway, with a hand on the valve.
    let severity = if matches!(task.to, End::Draw(_)) {
        Severity::Note
    } else {
        Severity::Should
    };
    let mut finding = Finding::new("runs-on", severity, format!("lineups.{}", lineup.name), sentence);
    // A hole at the top of the last line, above what the vessel's own water reaches.
    if let (Some(last), End::Vessel(vessel)) = (way.last(), task.from) {
        let surface_m = station.vessels[vessel].fields.floor_height.value.m() + full.vessels[vessel].level_m;
        let top_m = highest_m(state.pipework, *last);
        if top_m > surface_m + 0.05 {
            let path = format!("lines.{}.siphon_break", station.lines[*last].name);
            finding = finding.recipe(vec![set_length(station, path, top_m - 0.02, false)]);
        }
    }
    findings.push(finding);
}

/// What a pump can make with its outlet closed, against what a line is rated for.
fn bursts(station: &Station, at: usize, lineup: &Lineup, way: &[usize], findings: &mut Vec<Finding>) {
    let Some(pump) = station.plumbing.tasks[at].pump else {
        return;
    };
    let fields = &station.pumps[pump].fields;
    let speed = fields.speed.value.of_one();
    let head_m = speed * speed * fields.curve.value.curve.shut_off_head_m();
    let behind = way
        .iter()
        .skip_while(|line| station.plumbing.lines[**line].from != End::Pump(pump));
    // Two metres of water before the pump, as a vessel on a stand gives (house rule).
    let most_pa = (head_m + 2.0) * 1025.0 * physics::hydraulics::GRAVITY_M_S2;
    for line in behind {
        let own = &station.lines[*line];
        let soft = matches!(own.fields.tube.value, Tube::VinylHose | Tube::CorrugatedHose);
        let (rated_pa, severity, whose) = match &own.fields.rated_pressure {
            Some(rated) => (rated.value.pa_gauge(), Severity::Must, "which is rated for"),
            None if soft => (
                SOFT_HOSE_PA,
                Severity::Should,
                "a soft hose without a rating in the file, for which this is assumed:",
            ),
            None => continue,
        };
        if most_pa > rated_pa {
            let sentence = format!(
                "{}: with its end closed {} presses up to {} on {}, {whose} {}.",
                shown(&lineup.name),
                shown(&station.pumps[pump].name).to_lowercase(),
                say(station, Kind::Pressure, most_pa),
                own.name,
                say(station, Kind::Pressure, rated_pa)
            );
            findings.push(
                Finding::new(
                    "line-underrated",
                    severity,
                    format!("lines.{}", own.name),
                    sentence,
                )
                .gap(most_pa - rated_pa),
            );
        }
    }
}

/// Velocities and pressures with the source full.
fn at_full(
    station: &Station,
    state: &mut State<'_>,
    at: usize,
    setting: &Setting,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let lineup = &station.lineups[at];
    let Ok(flows) = flows_with(station, state, at, setting, &Situation::full(station)) else {
        return;
    };
    for line in way {
        let own = &station.lines[*line];
        let Some(link) = flows.links.iter().find(|link| link.name == own.name) else {
            continue;
        };
        if link.velocity_m_per_s.abs() > 1.5 * USUAL_DISCHARGE_M_S {
            let sentence = format!(
                "{}: water runs through {} at {}; closing a valve on it at once hammers.",
                shown(&lineup.name),
                own.name,
                say(station, Kind::Speed, link.velocity_m_per_s.abs())
            );
            findings.push(Finding::new(
                "line-fast",
                Severity::Note,
                format!("lines.{}", own.name),
                sentence,
            ));
        }
    }
    // The place with the least pressure; what a pump draws with is looked at with the pump.
    let lowest = flows
        .nodes
        .iter()
        .filter(|node| node.in_flow && !node.name.ends_with(" inlet"))
        .filter_map(|node| Some((node.gauge_pressure_pa?, &node.name)))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((pressure, place)) = lowest
        && pressure < BELOW_AIR_PA
    {
        let sentence = format!(
            "{}: at {place} the pressure is {} below the air's. Air comes out of the water there, and a leak draws more in.",
            shown(&lineup.name),
            say(station, Kind::Pressure, -pressure)
        );
        findings.push(
            Finding::new(
                "crest-below-air",
                Severity::Note,
                format!("lineups.{}", lineup.name),
                sentence,
            )
            .gap(-pressure),
        );
    }
}

/// Lines that this task shares with one that moves other water.
fn dead_leg(
    station: &Station,
    pipework: &Pipework,
    at: usize,
    all: &Lineups,
    way: &[usize],
    findings: &mut Vec<Finding>,
) {
    let task = &station.plumbing.tasks[at];
    // A litre of the other water in a vessel is no matter; in a bucket or a tank it is.
    if matches!(task.to, End::Vessel(_)) {
        return;
    }
    let salinity = |end: End| match end {
        End::Vessel(vessel) => match station.vessels[vessel].fields.holds.value {
            station::sections::Water::Fresh => Some(0.0),
            station::sections::Water::Salt => {
                Some(station.vessels[vessel].fields.target_salinity.value.practical())
            }
        },
        End::Tank(tank) => Some(station.tanks[tank].fields.salinity.value.practical()),
        _ => None,
    };
    let Some(own) = salinity(task.from) else { return };
    let volume =
        |lines: &[usize]| -> f64 { lines.iter().map(|line| pipework.lines[*line].volume_m3()).sum() };
    // Of the tasks that move other water, the one that leaves most of it in the way of this.
    let most = station
        .plumbing
        .tasks
        .iter()
        .enumerate()
        .filter(|(_, other)| salinity(other.from).is_some_and(|salinity| (salinity - own).abs() > 1.0))
        .map(|(other, _)| {
            let others = &all.lineups[other].lines;
            let shared: Vec<usize> = way
                .iter()
                .copied()
                .filter(|line| others.contains(&station.lines[*line].name))
                .collect();
            (other, shared)
        })
        .max_by(|a, b| volume(&a.1).total_cmp(&volume(&b.1)).then(b.0.cmp(&a.0)));
    let Some((other, shared)) = most else { return };
    let held = volume(&shared);
    if held < WORTH_FLUSHING_M3 {
        return;
    }
    let names: Vec<&str> = shared
        .iter()
        .map(|line| station.lines[*line].name.as_str())
        .collect();
    let sentence = format!(
        "{}: it shares {} with {}, whose water stands there: {}. Let {} run into a bucket first, before you sample or count on the salinity.",
        shown(&all.lineups[at].name),
        crate::analysis::speak::list(&names),
        station.lineups[other].name,
        say(station, Kind::Volume, held),
        say(station, Kind::Volume, 2.0 * held)
    );
    findings.push(Finding::new(
        "flush-first",
        Severity::Note,
        format!("lineups.{}", all.lineups[at].name),
        sentence,
    ));
}
