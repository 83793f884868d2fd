//! Findings on what the file gives, before any water flows: lines too short for their heights, volumes that no source
//! holds, valves whose loss is a guess.

use station::Station;
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::Valve;
use station::{Situation, lowest_drawable_m};

use super::super::Lineups;
use super::super::build::Pipework;
use crate::analysis::speak::{say, set_length, set_volume, shown, tape};
use crate::finding::{Finding, Severity};

/// A tape's doubt on a length and two heights, as a share (house rule).
const TAPE: f64 = 0.02;

pub(super) fn find(station: &Station, pipework: &Pipework, all: &Lineups, findings: &mut Vec<Finding>) {
    short_lines(station, pipework, findings);
    large_volumes(station, all, findings);
    guessed_valves(station, findings);
}

/// A line that is shorter than what its ends, and its crest, are apart in height.
fn short_lines(station: &Station, pipework: &Pipework, findings: &mut Vec<Finding>) {
    for (line, place) in station.lines.iter().zip(&pipework.lines) {
        let (from_m, to_m) = (place.from_height_m, place.to_height_m);
        let (needs_m, what) = match place.crest {
            Some((_, top_m)) => (
                (top_m - from_m).max(0.0) + (top_m - to_m).max(0.0),
                "up to its crest and down again",
            ),
            None => ((to_m - from_m).abs(), "from the height of one end to the other's"),
        };
        if place.length_m >= needs_m * (1.0 - TAPE) {
            continue;
        }
        let sentence = format!(
            "{} is {} long, and it takes {} {what}: check its length and the heights of its ends.",
            line.name,
            tape(station, place.length_m),
            tape(station, needs_m)
        );
        let path = format!("lines.{}.length", line.name);
        findings.push(
            Finding::new("line-too-short", Severity::Should, path.clone(), sentence)
                .gap(needs_m - place.length_m)
                .recipe(vec![set_length(station, path, needs_m, true)]),
        );
    }
}

/// A task that wants more than its source holds when it is full.
fn large_volumes(station: &Station, all: &Lineups, findings: &mut Vec<Finding>) {
    let full = Situation::full(station);
    for ((lineup, task), told) in station
        .lineups
        .iter()
        .zip(&station.plumbing.tasks)
        .zip(&all.lineups)
    {
        let (Some(wanted), End::Vessel(at)) = (&lineup.fields.volume, task.from) else {
            continue;
        };
        let vessel = &station.vessels[at];
        let low_m = match task.pump {
            Some(_) => lowest_drawable_m(vessel),
            None => vessel.fields.outlet_level.value.m(),
        };
        let (Ok(top_m3), Ok(low_m3)) = (
            vessel.shape.volume_m3(full.vessels[at].level_m),
            vessel.shape.volume_m3(low_m),
        ) else {
            continue;
        };
        let holds_m3 = (top_m3 - low_m3).max(0.0);
        // A hair more is a slip of rounding.
        if wanted.value.m3() <= holds_m3 * 1.001 {
            continue;
        }
        let sentence = format!(
            "{}: it is to move {}, and {} gives {} when it is full.",
            shown(&told.name),
            say(station, Kind::Volume, wanted.value.m3()),
            shown(&vessel.name).to_lowercase(),
            say(station, Kind::Volume, holds_m3)
        );
        let path = format!("lineups.{}.volume", lineup.name);
        findings.push(
            Finding::new("volume-too-large", Severity::Should, path.clone(), sentence)
                .gap(wanted.value.m3() - holds_m3)
                .recipe(vec![set_volume(station, path, holds_m3, false)]),
        );
    }
}

/// A solenoid or float valve of which nobody told what it passes.
fn guessed_valves(station: &Station, findings: &mut Vec<Finding>) {
    for valve in &station.valves {
        let fields = &valve.fields;
        let kind = fields.kind.value;
        if !matches!(kind, Valve::Solenoid | Valve::Float)
            || !kind.kind().needs_own_kv()
            || fields.kv.is_some()
            || fields.cv.is_some()
        {
            continue;
        }
        let sentence = format!(
            "{}: nobody told what this {} passes, and such valves differ tenfold: every flow through it is an order of magnitude only. Give its kv or cv, from its maker.",
            shown(&valve.name),
            kind.kind().name()
        );
        findings.push(Finding::new(
            "valve-kv-unknown",
            Severity::Note,
            format!("valves.{}", valve.name),
            sentence,
        ));
    }
}
