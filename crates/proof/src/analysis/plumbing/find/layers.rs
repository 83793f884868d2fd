//! Findings on layers: fresh water that runs into salt water and lies down on it.

use physics::jet::{AgainstDensity, JetError, Nozzle, opposed_jet};
use physics::seawater::density_kg_m3;
use station::plumbing::End;
use station::sections::Water;
use station::{Situation, Station};

use super::super::Lineups;
use super::super::build::Pipework;
use crate::analysis::speak::{shown, tape};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;

pub(super) fn find(station: &Station, pipework: &Pipework, all: &Lineups, findings: &mut Vec<Finding>) {
    for at in 0..station.lineups.len() {
        findings.extend(lies_on_salt(station, pipework, all, at).ok().flatten());
    }
}

/// A task that brings fresh water into a salt vessel whose jet doesn't get down to the floor.
fn lies_on_salt(
    station: &Station,
    pipework: &Pipework,
    all: &Lineups,
    at: usize,
) -> Result<Option<Finding>, Refusal> {
    let (task, lineup) = (&station.plumbing.tasks[at], &all.lineups[at]);
    let (End::Vessel(from), End::Vessel(to)) = (task.from, task.to) else {
        return Ok(None);
    };
    let holds = |vessel: usize| station.vessels[vessel].fields.holds.value;
    if holds(from) != Water::Fresh || holds(to) != Water::Salt {
        return Ok(None);
    }
    let flow = lineup.moments.first().and_then(|moment| moment.nominal.0);
    let last = lineup
        .lines
        .last()
        .and_then(|name| station.lines.iter().position(|line| line.name == *name));
    let (Some(flow_m3_s), Some(last)) = (flow, last) else {
        return Ok(None);
    };
    let full = Situation::full(station);
    let (target, moment) = (&station.vessels[to], full.vessels[to]);
    let line = &pipework.lines[last];
    let own = &station.lines[last].fields;
    let mouth = Nozzle {
        flow_m3_s,
        bore_m: own.nozzle.as_ref().map_or(line.bore_m, |nozzle| nozzle.value.m()),
    };
    // What falls to the water is faster there, and as much narrower.
    let mouth_level_m = line.to_height_m - target.fields.floor_height.value.m();
    let fall_m = (mouth_level_m - moment.level_m).max(0.0);
    let mouth_m_s = mouth.speed_m_s()?;
    let jet_m_s = libm::sqrt(mouth_m_s * mouth_m_s + 2.0 * physics::hydraulics::GRAVITY_M_S2 * fall_m);
    let jet = Nozzle {
        bore_m: mouth.bore_m * libm::sqrt(mouth_m_s / jet_m_s),
        ..mouth
    };
    let depth_m = mouth_level_m.min(moment.level_m);
    if depth_m <= 0.0 {
        return Ok(None);
    }
    let fresh = density_kg_m3(0.0, full.vessels[from].temperature_c)?;
    let salt = density_kg_m3(moment.practical_salinity, moment.temperature_c)?;
    let how_far = match opposed_jet(&jet, fresh, salt, depth_m) {
        Ok(jet) if jet.outcome == AgainstDensity::TurnsBack => {
            format!(
                "gets {} down into salt water of {}",
                tape(station, jet.reach_m),
                tape(station, depth_m)
            )
        }
        Ok(_) => return Ok(None),
        Err(JetError::SpillsBeforeItMixes { .. }) => {
            "is too slow to get down into salt water at all".to_owned()
        }
        Err(other) => return Err(other.into()),
    };
    let name = shown(&target.name).to_lowercase();
    let stirs = station
        .plumbing
        .tasks
        .iter()
        .position(|task| task.from == End::Vessel(to) && task.to == End::Vessel(to));
    let (severity, cure) = match stirs {
        Some(round) => (
            Severity::Note,
            format!("start {} before", station.lineups[round].name),
        ),
        None => (
            Severity::Should,
            "stir it from top to bottom, since no task goes round it,".to_owned(),
        ),
    };
    let sentence = format!(
        "{}: what it brings {how_far}, and then lies on top as a layer. Where salt water stands in {name} already, {cure} and before you measure: the top reads too low, the bottom too high.",
        shown(&lineup.name)
    );
    Ok(Some(Finding::new(
        "fresh-lies-on-salt",
        severity,
        format!("lineups.{}", lineup.name),
        sentence,
    )))
}
