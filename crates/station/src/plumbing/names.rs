//! Finding names: the ends of lines, the lines of valves, what a task goes between.

use physics::hydraulics::parts::find_tube;

use super::{End, JoinedLine, Task, by_pump};
use crate::fault::Fault;
use crate::file::did_you_mean;
use crate::register::Field;
use crate::station::Station;

/// What an end may be, with the words that tell it apart.
const KINDS: [&str; 5] = ["vessel", "tank", "pump", "tee", "draw point"];

fn kind(end: End) -> &'static str {
    KINDS[match end {
        End::Vessel(_) => 0,
        End::Tank(_) => 1,
        End::Pump(_) => 2,
        End::Tee(_) => 3,
        End::Draw(_) => 4,
    }]
}

/// Everything that a line can end at.
fn all_ends(station: &Station) -> Vec<(End, &str)> {
    let mut ends = Vec::new();
    ends.extend(
        station
            .vessels
            .iter()
            .enumerate()
            .map(|(at, one)| (End::Vessel(at), one.name.as_str())),
    );
    ends.extend(
        station
            .tanks
            .iter()
            .enumerate()
            .map(|(at, one)| (End::Tank(at), one.name.as_str())),
    );
    ends.extend(
        station
            .pumps
            .iter()
            .enumerate()
            .map(|(at, one)| (End::Pump(at), one.name.as_str())),
    );
    ends.extend(
        station
            .tees
            .iter()
            .enumerate()
            .map(|(at, one)| (End::Tee(at), one.name.as_str())),
    );
    ends.extend(
        station
            .draw_points
            .iter()
            .enumerate()
            .map(|(at, one)| (End::Draw(at), one.name.as_str())),
    );
    ends
}

/// The end of this name: `fresh`, or `vessel fresh` where a tank has that name too.
fn find_end(station: &Station, field: &Field<String>, whose: &str, faults: &mut Vec<Fault>) -> Option<End> {
    let ends = all_ends(station);
    let text = field.value.trim();
    let (wanted_kind, name) = KINDS
        .iter()
        .find_map(|kind| {
            text.strip_prefix(kind)?
                .strip_prefix(' ')
                .map(|name| (Some(*kind), name.trim()))
        })
        .unwrap_or((None, text));
    let found: Vec<End> = ends
        .iter()
        .filter(|(end, own)| *own == name && wanted_kind.is_none_or(|wanted| kind(*end) == wanted))
        .map(|(end, _)| *end)
        .collect();
    let span = field.span().unwrap_or(0..0);
    match found.as_slice() {
        [end] => Some(*end),
        [] => {
            let known: Vec<&str> = ends.iter().map(|(_, name)| *name).collect();
            faults.push(Fault {
                span,
                what: format!("{whose} leads nowhere: nothing here is named `{}`", clipped(text)),
                why: "a line joins vessels, pumps, tees, draw points and tanks".into(),
                mend: did_you_mean(name, &known),
            });
            None
        }
        several => {
            let named: Vec<String> = several
                .iter()
                .map(|end| format!("\"{} {name}\"", kind(*end)))
                .collect();
            faults.push(Fault {
                span,
                what: format!("`{name}` is the name of {} things", several.len()),
                why: format!("{whose} can't tell which"),
                mend: format!("write {}", named.join(" or ")),
            });
            None
        }
    }
}

fn clipped(text: &str) -> String {
    text.chars().take(40).collect()
}

pub(super) fn lines(station: &Station, faults: &mut Vec<Fault>) -> Vec<JoinedLine> {
    station
        .lines
        .iter()
        .filter_map(|line| {
            let whose = format!("the line `{}`", line.name);
            let from = find_end(station, &line.fields.from, &whose, faults);
            let to = find_end(station, &line.fields.to, &whose, faults);
            let tube = match find_tube(line.fields.tube.value.kind(), line.fields.size.value.m()) {
                Ok(tube) => Some(tube),
                // A measured bore is enough.
                Err(_) if line.fields.bore.is_some() => None,
                Err(error) => {
                    faults.push(Fault {
                        span: line.fields.size.span().unwrap_or(line.span.clone()),
                        what: error.to_string(),
                        why: whose,
                        mend: format!("{}; or give its bore as measured", error.mend()),
                    });
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

pub(super) fn valves(station: &Station, faults: &mut Vec<Fault>) -> Vec<usize> {
    station
        .valves
        .iter()
        .filter_map(|valve| {
            let name = valve.fields.line.value.trim();
            let found = station.lines.iter().position(|line| line.name == name);
            if found.is_none() {
                let known: Vec<&str> = station.lines.iter().map(|line| line.name.as_str()).collect();
                faults.push(Fault {
                    span: valve.fields.line.span().unwrap_or(valve.span.clone()),
                    what: format!(
                        "the valve `{}` is in no line: none is named `{}`",
                        valve.name,
                        clipped(name)
                    ),
                    why: "a valve sits in a line".into(),
                    mend: if known.is_empty() {
                        "add the line first: [lines.NAME]".into()
                    } else {
                        did_you_mean(name, &known)
                    },
                });
            }
            found
        })
        .collect()
}

pub(super) fn tasks(station: &Station, faults: &mut Vec<Fault>) -> Vec<Task> {
    station
        .lineups
        .iter()
        .filter_map(|lineup| {
            let fields = &lineup.fields;
            let whose = format!("the lineup `{}`", lineup.name);
            let from = find_end(station, &fields.from, &whose, faults);
            let to = find_end(station, &fields.to, &whose, faults);
            let mut sound = true;
            let mut refuse = |span, what: String, why: String, mend: String| {
                faults.push(Fault {
                    span,
                    what,
                    why,
                    mend,
                });
                sound = false;
            };
            let pump = match (&fields.pump, by_pump(fields.by.value)) {
                (Some(pump), false) => {
                    refuse(
                        pump.span().unwrap_or(lineup.span.clone()),
                        "a pump is named for a task that gravity does".into(),
                        whose.clone(),
                        "write by = \"pump\", or leave the pump out".into(),
                    );
                    None
                }
                (None, false) => None,
                (named, true) => {
                    let known: Vec<&str> = station.pumps.iter().map(|pump| pump.name.as_str()).collect();
                    let span = named
                        .as_ref()
                        .and_then(Field::span)
                        .or_else(|| fields.by.span())
                        .unwrap_or(lineup.span.clone());
                    match (named, known.as_slice()) {
                        (_, []) => {
                            refuse(
                                span,
                                "there is no pump in this station".into(),
                                whose.clone(),
                                "add [pumps.NAME], or write by = \"gravity\"".into(),
                            );
                            None
                        }
                        (None, [_]) => Some(0),
                        (None, several) => {
                            refuse(
                                span,
                                "which of the pumps moves it?".into(),
                                whose.clone(),
                                format!("add pump = \"{}\"", several.join("\" or \"")),
                            );
                            None
                        }
                        (Some(named), known) => {
                            let found = known.iter().position(|name| *name == named.value.trim());
                            if found.is_none() {
                                refuse(
                                    span,
                                    format!("no pump is named `{}`", clipped(&named.value)),
                                    whose.clone(),
                                    did_you_mean(named.value.trim(), known),
                                );
                            }
                            found
                        }
                    }
                }
            };
            let known: Vec<&str> = station.valves.iter().map(|valve| valve.name.as_str()).collect();
            let open = fields.open.as_ref().map(|open| {
                let names = open
                    .value
                    .split(',')
                    .map(str::trim)
                    .filter(|name| !name.is_empty() && *name != "none");
                names
                    .filter_map(|name| {
                        let found = known.iter().position(|known| *known == name);
                        let span = open.span().unwrap_or(lineup.span.clone());
                        match found {
                            None => refuse(
                                span,
                                format!("no valve is named `{}`", clipped(name)),
                                whose.clone(),
                                did_you_mean(name, &known),
                            ),
                            Some(at) if station.valves[at].fields.kind.value.is_check() => refuse(
                                span,
                                format!("`{name}` is a check valve, which nobody opens"),
                                whose.clone(),
                                "leave it out of the list".into(),
                            ),
                            Some(_) => {}
                        }
                        found
                    })
                    .collect::<Vec<usize>>()
            });
            (sound && from.is_some() && to.is_some()).then_some(())?;
            Some(Task {
                from: from?,
                to: to?,
                pump,
                open,
            })
        })
        .collect()
}
