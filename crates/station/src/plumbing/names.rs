//! Finding names: the ends of lines, the lines of valves, what a task goes between.

use physics::hydraulics::parts::{TubeKind, find_tube, known_tubes};

use super::refuse::Refusals;
use super::{End, JoinedLine, Task};
use crate::fault::Fault;
use crate::file::{clipped, did_you_mean};
use crate::quantity::UnitSystem;
use crate::register::Field;
use crate::sections::{By, LineFields, LineupFields};
use crate::station::{Named, Station};

/// Everything that a line can end at, with its name.
fn all_ends(station: &Station) -> Vec<(End, &str)> {
    let mut ends = Vec::new();
    let mut add = |count: usize, end: fn(usize) -> End| {
        ends.extend((0..count).map(|at| (end(at), station.name_of(end(at)))));
    };
    add(station.vessels.len(), End::Vessel);
    add(station.tanks.len(), End::Tank);
    add(station.pumps.len(), End::Pump);
    add(station.tees.len(), End::Tee);
    add(station.draw_points.len(), End::Draw);
    ends
}

fn names<F>(sections: &[Named<F>]) -> Vec<&str> {
    sections.iter().map(|section| section.name.as_str()).collect()
}

/// The end of this name: `fresh`, or `vessel fresh` where a tank has that name too.
fn find_end(
    station: &Station,
    ends: &[(End, &str)],
    field: &Field<String>,
    refusals: &mut Refusals<'_>,
) -> Option<End> {
    let text = field.value.trim();
    let told = ends
        .iter()
        .map(|(end, _)| end.kind())
        .find_map(|kind| Some((kind, text.strip_prefix(kind)?.strip_prefix(' ')?.trim())));
    let name = told.map_or(text, |(_, name)| name);
    let found: Vec<End> = ends
        .iter()
        .filter(|(end, own)| *own == name && told.is_none_or(|(kind, _)| end.kind() == kind))
        .map(|(end, _)| *end)
        .collect();
    match found.as_slice() {
        [end] => Some(*end),
        [] => {
            nowhere(station, field, name, ends, refusals);
            None
        }
        several => {
            let named: Vec<String> = several
                .iter()
                .map(|end| format!("\"{} {name}\"", end.kind()))
                .collect();
            let kinds: Vec<String> = several.iter().map(|end| format!("a {}", end.kind())).collect();
            refusals.because(
                field,
                format!("`{name}` could be {}", kinds.join(" or ")),
                format!("{} can't tell which", refusals.whose()),
                format!("write {}", named.join(" or ")),
            );
            None
        }
    }
}

/// A name that no end has. It may be that of something that is no end.
fn nowhere(
    station: &Station,
    field: &Field<String>,
    name: &str,
    ends: &[(End, &str)],
    refusals: &mut Refusals<'_>,
) {
    let why = "lines and lineups join vessels, pumps, tees, draw points and tanks";
    let short = clipped(field.value.trim());
    if let Some((end, _)) = ends.iter().find(|(_, own)| *own == name) {
        refusals.because(
            field,
            format!("{} leads nowhere: nothing is named `{short}`", refusals.whose()),
            why,
            format!("`{name}` is a {}: write \"{name}\"", end.kind()),
        );
    } else if station.lines.iter().any(|line| line.name == name) {
        refusals.because(
            field,
            format!("`{short}` is a line, and lines meet in a tee"),
            why,
            "add a tee with its height, [tees.NAME], and let both lines end or begin at it",
        );
    } else if let Some(valve) = station.valves.iter().find(|valve| valve.name == name) {
        refusals.because(
            field,
            format!("`{short}` is a valve, and a valve sits in a line"),
            why,
            format!(
                "name what the line goes on to; the valve is in the line `{}`",
                clipped(valve.fields.line.value.trim())
            ),
        );
    } else {
        let mut known: Vec<&str> = ends.iter().map(|(_, name)| *name).collect();
        known.sort_unstable();
        known.dedup();
        let guess = did_you_mean(name, &known);
        // A name at which several lines end or begin is a joint that nobody wrote down.
        let is_joint = ends_named(station, name) > 1 && !guess.starts_with("did you mean");
        let mend = if is_joint {
            format!(
                "a joint of lines is a tee: add [tees] with {short} = {{ height = \"300 mm\" }}, its height above the room's floor"
            )
        } else {
            guess
        };
        refusals.because(
            field,
            format!("{} leads nowhere: nothing is named `{short}`", refusals.whose()),
            why,
            mend,
        );
    }
}

/// How many ends of lines bear a name.
fn ends_named(station: &Station, name: &str) -> usize {
    station
        .lines
        .iter()
        .flat_map(|line| [&line.fields.from, &line.fields.to])
        .filter(|field| field.value.trim() == name)
        .count()
}

pub(super) fn lines(station: &Station, faults: &mut Vec<Fault>) -> Vec<JoinedLine> {
    let ends = all_ends(station);
    station
        .lines
        .iter()
        .filter_map(|line| {
            let refusals = &mut Refusals::of("line", line, faults);
            let from = find_end(station, &ends, &line.fields.from, refusals);
            let to = find_end(station, &ends, &line.fields.to, refusals);
            let tube = match find_tube(line.fields.tube.value.kind(), line.fields.size.value.m()) {
                Ok(tube) => Some(tube),
                // A measured bore is enough.
                Err(_) if line.fields.bore.is_some() => None,
                Err(_) => {
                    unknown_size(station, &line.fields, refusals);
                    return None;
                }
            };
            Some(JoinedLine {
                from: from?,
                to: to?,
                tube,
            })
        })
        .collect()
}

/// A size that isn't sold: the sizes that are, in the manner in which this one was written where there are such.
fn unknown_size(station: &Station, fields: &LineFields, refusals: &mut Refusals<'_>) {
    let kind = fields.tube.value.kind();
    let size = &fields.size;
    let written = size.span().and_then(|span| station.text.get(span)).unwrap_or("");
    let written = clipped(written.trim_matches(['"', '\'']));
    let inches = written.contains("in") || written.ends_with(['″', '"']);
    let metric = written.contains("mm") || written.contains("cm");
    let wanted = match (inches, metric, station.units()) {
        (true, false, _) | (false, false, UnitSystem::Us) => "in",
        _ => "mm",
    };
    let sizes = |ending: &str| {
        known_tubes(kind)
            .map(|tube| tube.name)
            .filter(|name| name.ends_with(ending))
            .collect::<Vec<&str>>()
    };
    let mut listed = sizes(wanted);
    if listed.is_empty() {
        listed = sizes("");
    }
    refusals.because(
        size,
        format!("no {} is sold as {written}", kind.name()),
        named_by(kind),
        format!(
            "take one of {}; or add its bore as measured: bore = \"{written}\"",
            listed.join(", ")
        ),
    );
}

/// What the size of a kind names, which is where most take a wrong one.
fn named_by(kind: TubeKind) -> &'static str {
    match kind {
        TubeKind::VinylHose | TubeKind::CorrugatedHose => "a hose goes by its inner diameter",
        TubeKind::PushFit => "push-fit tube goes by its outer diameter",
        TubeKind::PvcSchedule40 | TubeKind::PvcSchedule80 => {
            "this pipe goes by a name in inches that is none of its diameters"
        }
        TubeKind::PvcMetric10Bar | TubeKind::PvcMetric16Bar => "metric pipe goes by its outer diameter",
    }
}

pub(super) fn valves(station: &Station, faults: &mut Vec<Fault>) -> Vec<usize> {
    let known = names(&station.lines);
    station
        .valves
        .iter()
        .filter_map(|valve| {
            let name = valve.fields.line.value.trim();
            let found = known.iter().position(|line| *line == name);
            if found.is_none() {
                Refusals::of("valve", valve, faults).because(
                    &valve.fields.line,
                    format!(
                        "the valve `{}` is in no line: none is named `{}`",
                        valve.name,
                        clipped(name)
                    ),
                    "a valve sits in a line",
                    if known.is_empty() {
                        "add the line first: [lines.NAME]".to_owned()
                    } else {
                        did_you_mean(name, &known)
                    },
                );
            }
            found
        })
        .collect()
}

pub(super) fn tasks(station: &Station, faults: &mut Vec<Fault>) -> Vec<Task> {
    let ends = all_ends(station);
    station
        .lineups
        .iter()
        .filter_map(|lineup| {
            let before = faults.len();
            let refusals = &mut Refusals::of("lineup", lineup, faults);
            let from = find_end(station, &ends, &lineup.fields.from, refusals);
            let to = find_end(station, &ends, &lineup.fields.to, refusals);
            let pump = find_pump(station, &lineup.fields, refusals);
            let open = lineup
                .fields
                .open
                .as_ref()
                .map(|open| find_open(station, open, refusals));
            (faults.len() == before).then_some(())?;
            Some(Task {
                from: from?,
                to: to?,
                pump,
                open,
            })
        })
        .collect()
}

/// The pump of a task; none where gravity moves its water, or where there is a fault.
fn find_pump(station: &Station, fields: &LineupFields, refusals: &mut Refusals<'_>) -> Option<usize> {
    let known = names(&station.pumps);
    match (&fields.pump, fields.by.value, known.as_slice()) {
        (None, By::Gravity, _) => {}
        (Some(pump), By::Gravity, _) => {
            refusals.value(
                pump,
                "a pump is named for a task that gravity does",
                "add by = \"pump\", or leave the pump out",
            );
        }
        (_, By::Pump, []) => refusals.value(
            &fields.by,
            "there is no pump in this station",
            "add [pumps.NAME] with its curve and height, or write by = \"gravity\"",
        ),
        (None, By::Pump, [_]) => return Some(0),
        (None, By::Pump, several) => {
            refusals.value(
                &fields.by,
                "which of the pumps moves it?",
                format!("add pump = \"{}\"", several.join("\" or pump = \"")),
            );
        }
        (Some(named), By::Pump, known) => {
            let name = named.value.trim();
            let found = known.iter().position(|pump| *pump == name);
            if found.is_none() {
                refusals.value(
                    named,
                    format!("no pump is named `{}`", clipped(name)),
                    did_you_mean(name, known),
                );
            }
            return found;
        }
    }
    None
}

/// The valves that the owner opens.
fn find_open(station: &Station, open: &Field<String>, refusals: &mut Refusals<'_>) -> Vec<usize> {
    let known = names(&station.valves);
    let mut found = Vec::new();
    if open.value.trim() == "none" {
        return found;
    }
    for name in open
        .value
        .split(',')
        .map(str::trim)
        .filter(|name| !name.is_empty())
    {
        match known.iter().position(|valve| *valve == name) {
            None => unknown_valve(station, open, name, &known, refusals),
            Some(at) if found.contains(&at) => {
                refusals.value(
                    open,
                    format!("`{name}` stands in this list twice"),
                    "name it once; all that isn't named is closed",
                );
            }
            Some(at) => {
                let kind = station.valves[at].fields.kind.value;
                if kind.is_check() {
                    refusals.value(
                        open,
                        format!("`{name}` is a check valve, which nobody opens"),
                        "leave it out of the list: the flow opens it",
                    );
                } else if !kind.is_set() {
                    refusals.value(
                        open,
                        format!("`{name}` is a valve on a float, which nobody opens"),
                        "leave it out of the list: the level opens it",
                    );
                }
                found.push(at);
            }
        }
    }
    found
}

fn unknown_valve(
    station: &Station,
    open: &Field<String>,
    name: &str,
    known: &[&str],
    refusals: &mut Refusals<'_>,
) {
    let in_line = station
        .valves
        .iter()
        .find(|valve| valve.fields.line.value.trim() == name);
    let (what, mend) = match (name, known, in_line) {
        ("none", ..) => (
            "`none` stands in this list beside valves".to_owned(),
            "write open = \"none\" where none is open, or name the valves alone".to_owned(),
        ),
        (_, [], _) => (
            format!("no valve is named `{}`", clipped(name)),
            "there is no valve yet: add [valves.NAME] with its line and kind".to_owned(),
        ),
        (_, _, Some(valve)) => (
            format!("`{}` is a line, not a valve", clipped(name)),
            format!("the valve in it is `{}`", valve.name),
        ),
        _ => (
            format!("no valve is named `{}`", clipped(name)),
            did_you_mean(name, known),
        ),
    };
    refusals.value(open, what, mend);
}
