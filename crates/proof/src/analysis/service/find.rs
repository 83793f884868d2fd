//! Findings on parts that can't be taken out as they should.

use station::Station;
use station::plumbing::End;
use station::quantity::Kind;
use station::sections::Water;

use super::mesh::Mesh;
use super::part::{PartKind, Subject};
use crate::analysis::Needs;
use crate::analysis::speak::{list, say, shown};
use crate::finding::{Finding, Severity};

pub(super) fn find(
    station: &Station,
    mesh: &Mesh,
    subjects: &[Subject],
    needs: &Needs,
    findings: &mut Vec<Finding>,
) {
    for subject in subjects {
        if subject.kind == PartKind::Pump {
            findings.extend(pump(station, mesh, subject));
        }
    }
    findings.extend(last_salt(station, needs));
}

/// A pump is what is taken out most often: no vessel should have to be drained for it.
fn pump(station: &Station, mesh: &Mesh, subject: &Subject) -> Option<Finding> {
    let held: Vec<(&str, &str)> = subject
        .kept
        .open_springs
        .iter()
        .map(|(at, _)| &mesh.springs[*at])
        .map(|spring| {
            (
                station.name_of(spring.end),
                station.lines[spring.line].name.as_str(),
            )
        })
        .collect();
    if held.is_empty() {
        return None;
    }
    let mut vessels: Vec<&str> = held.iter().map(|(vessel, _)| *vessel).collect();
    vessels.dedup();
    let lines: Vec<&str> = held.iter().map(|(_, line)| *line).collect();
    Some(
        Finding::new(
            "pump-needs-draining",
            Severity::Should,
            format!("pumps.{}", subject.name),
            format!(
                "{}: no valve holds the water of {} when it is taken out, so that has to be drained first. A valve in {} keeps it.",
                shown(&subject.name),
                list(&vessels),
                list(&lines)
            ),
        )
        .gap(held.len() as f64),
    )
}

/// With its only salt vessel out, a station has no water for an emergency.
fn last_salt(station: &Station, needs: &Needs) -> Option<Finding> {
    let salt: Vec<usize> = (0..station.vessels.len())
        .filter(|at| station.vessels[*at].fields.holds.value == Water::Salt)
        .collect();
    let [only] = salt.as_slice() else {
        return None;
    };
    let plumbed = station.plumbing.lines_at(End::Vessel(*only)).next().is_some();
    if needs.emergency_m3 <= 0.0 || !plumbed {
        return None;
    }
    let name = &station.vessels[*only].name;
    Some(Finding::new(
        "one-salt-vessel",
        Severity::Note,
        format!("vessels.{name}"),
        format!(
            "{}: while it is cleaned or mended there is no salt water for an emergency, which takes up to {}. Mix that in another clean container before.",
            shown(name),
            say(station, Kind::Volume, needs.emergency_m3)
        ),
    ))
}
