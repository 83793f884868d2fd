//! Findings on the lines of a task: what runs too fast, what lies below the air's pressure, what must be flushed.

use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::suction::{
    Crest, CrestState, Place, VelocityFinding, crest_of, judge_velocity, standard_pressure_pa,
    water_vapour_pressure_pa,
};
use physics::seawater::density_kg_m3;
use station::plumbing::End;
use station::quantity::Kind;
use station::{Situation, Station};

use super::super::Lineups;
use super::super::build::Pipework;
use super::super::flows::flows_with;
use super::super::look::water;
use super::super::state::{Setting, State};
use super::{siphon, strength};
use crate::analysis::speak::{say, shown};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;

/// Velocity by the usual one of a discharge line that is worth a word (house rule).
const WORTH_A_WORD: f64 = 1.5;
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
    siphon::must_be_started(station, pipework, at, lineup, &way, findings);
    siphon::when_it_stops(station, state, at, lineup, setting, &way, findings);
    strength::bursts(station, at, lineup, &way, findings);
    at_full(station, state, at, setting, &way, findings);
    dead_leg(station, pipework, at, all, &way, findings);
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
        let judged = judge_velocity(Place::Discharge, link.velocity_m_per_s.abs());
        if let Ok(VelocityFinding::Fast { ratio }) = judged
            && ratio > WORTH_A_WORD
        {
            let blow = strength::slammed(station, state.pipework, way, *line, link.velocity_m_per_s);
            let sentence = format!(
                "{}: water runs through {} at {}; {}.",
                shown(&lineup.name),
                own.name,
                say(station, Kind::Speed, link.velocity_m_per_s.abs()),
                match blow {
                    Some(blow) => format!("a valve on it that is slammed adds {blow} (water hammer)"),
                    None => "closing a valve on it at once hammers".to_owned(),
                }
            );
            findings.push(Finding::new(
                "line-fast",
                Severity::Note,
                format!("lines.{}", own.name),
                sentence,
            ));
        }
    }
    strength::hammers(station, state.pipework, at, way, &flows, findings);
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
        let boils =
            state_at(station, at, pressure).is_ok_and(|state| matches!(state, CrestState::Breaks { .. }));
        let (id, severity, what) = if boils {
            (
                "column-breaks",
                Severity::Must,
                "the water would boil there, and its column breaks: lay the line lower, or make it wider before that place",
            )
        } else {
            (
                "crest-below-air",
                Severity::Note,
                "air comes out of the water there, and a leak draws more in",
            )
        };
        let sentence = format!(
            "{}: at {place} the pressure is {} below the air's: {what}.",
            shown(&lineup.name),
            say(station, Kind::Pressure, -pressure)
        );
        findings
            .push(Finding::new(id, severity, format!("lineups.{}", lineup.name), sentence).gap(-pressure));
    }
}

/// What a pressure means for the water of a task: the same as at rest, so far above a free surface.
fn state_at(station: &Station, at: usize, gauge_pa: f64) -> Result<CrestState, Refusal> {
    let task = &station.plumbing.tasks[at];
    let (salinity, temperature_c) = water(station, &Situation::full(station), task.from);
    let air_pa = standard_pressure_pa(station.room.altitude.value.m())?;
    let density = density_kg_m3(salinity, temperature_c)?;
    Ok(crest_of(&Crest {
        surface_absolute_pa: air_pa,
        air_absolute_pa: air_pa,
        vapour_pa: water_vapour_pressure_pa(temperature_c, salinity)?,
        density_kg_m3: density,
        rise_m: -gauge_pa / (density * GRAVITY_M_S2),
        velocity_m_s: 0.0,
        friction_head_m: 0.0,
    })?)
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
