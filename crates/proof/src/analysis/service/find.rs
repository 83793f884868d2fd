//! Findings on parts that can't be taken out as they should.

use station::plumbing::End;
use station::quantity::Kind;
use station::sections::Water;
use station::{Edit, Station};

use super::mesh::Mesh;
use super::part::Subject;
use crate::analysis::Needs;
use crate::analysis::speak::{list, say, shown};
use crate::finding::{Finding, Severity};

pub(super) fn find(
    station: &Station,
    mesh: &Mesh,
    pumps: &[Subject],
    needs: &Needs,
    findings: &mut Vec<Finding>,
) {
    for own in pumps {
        findings.extend(pump(station, mesh, own));
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
    let valves = lines.iter().map(|line| valve_in(station, line));
    let added: Vec<(String, Edit)> = valves.collect();
    let mut recipe: Vec<Edit> = added.iter().map(|(_, edit)| edit.clone()).collect();
    recipe.extend(opened_for_tasks(station, &lines, &added));
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
        .gap(held.len() as f64)
        .recipe(recipe),
    )
}

/// A new ball valve in a line, by the line's name where no valve has that yet.
fn valve_in(station: &Station, line: &str) -> (String, Edit) {
    let taken = |name: &String| station.valves.iter().any(|valve| valve.name == *name);
    let name = [line.to_owned(), format!("{line}-service")]
        .into_iter()
        .find(|name| !taken(name))
        .unwrap_or_else(|| format!("{line}-service-{}", station.valves.len()));
    let edit = Edit {
        path: format!("valves.{name}"),
        text: format!("{{ line = \"{line}\", kind = \"ball\" }}"),
    };
    (name, edit)
}

/// The owner's valve settings through these lines, with the new valves open.
fn opened_for_tasks(station: &Station, lines: &[&str], added: &[(String, Edit)]) -> Vec<Edit> {
    station
        .lineups
        .iter()
        .zip(&station.plumbing.tasks)
        .filter_map(|(lineup, task)| {
            let open = lineup.fields.open.as_ref()?;
            // A line out of its source or into its target is on its way.
            let on_way = |line: &str| {
                station
                    .lines
                    .iter()
                    .zip(&station.plumbing.lines)
                    .any(|(own, joined)| {
                        own.name == line && (joined.from == task.from || joined.to == task.to)
                    })
            };
            let mut valves: Vec<&str> = match open.value.trim() {
                "none" => Vec::new(),
                list => list.split(',').map(str::trim).collect(),
            };
            let before = valves.len();
            for (line, (valve, _)) in lines.iter().zip(added) {
                if on_way(line) {
                    valves.push(valve);
                }
            }
            (valves.len() > before).then(|| Edit::quoted(open.path.clone(), &valves.join(", ")))
        })
        .collect()
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
