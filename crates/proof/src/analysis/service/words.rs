//! What service says: what comes first, what does in place of a task, cautions.

use station::Station;
use station::plumbing::End;
use station::quantity::{Kind, UnitSystem};
use station::sections::Water;

use super::mesh::is_trusted;
use super::part::{PartKind, Subject};
use super::{Drain, How, Instead, PartService, Still};
use crate::analysis::bucket::{buckets, dipped_m3};
use crate::analysis::plumbing::{Lineups, Pipework};
use crate::analysis::speak::{list, say};

/// Water on the floor that is worth a word, m³ (house rule).
const PUDDLE_M3: f64 = 5e-4;

/// What is drained, in buckets that somebody carries.
pub(super) fn drain(
    station: &Station,
    from: &str,
    to_level_m: Option<f64>,
    volume_m3: f64,
    lift_out: Option<String>,
) -> Drain {
    let bucket_m3 = dipped_m3(station);
    Drain {
        from: from.to_owned(),
        to_level_m,
        by: None,
        by_hand_m3: 0.0,
        volume_m3,
        buckets: buckets(volume_m3, bucket_m3),
        bucket_m3,
        lift_out,
    }
}

/// Whether the purifier fills a vessel by itself.
pub(super) fn is_fed(station: &Station, vessel: usize) -> bool {
    let Some(purifier) = &station.purifier else {
        return false;
    };
    let own = &station.vessels[vessel];
    let fresh = |vessel: &station::Vessel| vessel.fields.holds.value == Water::Fresh;
    match &purifier.fields.fills {
        Some(fills) => fills.value.trim() == own.name,
        None => fresh(own) || !station.vessels.iter().any(fresh),
    }
}

/// What is done before any valve is touched.
pub(super) fn first(station: &Station, subject: &Subject) -> Vec<String> {
    let mut out = Vec::new();
    let opened = |pump: usize| {
        subject.kept.opened.iter().any(|line| {
            let joined = station.plumbing.lines[*line];
            joined.from == End::Pump(pump) || joined.to == End::Pump(pump)
        }) || (subject.kind == PartKind::Pump && station.pumps[pump].name == subject.name)
    };
    let pumps: Vec<&str> = (0..station.pumps.len())
        .filter(|pump| opened(*pump))
        .map(|pump| station.pumps[pump].name.as_str())
        .collect();
    let mut plugs: Vec<String> = pumps.iter().map(|pump| (*pump).to_owned()).collect();
    if let Some(vessel) = subject.vessel {
        let own = &station.vessels[vessel];
        if own.fields.heater.is_some() {
            plugs.push(format!("the heater of {}", own.name));
        }
        if own.fields.chiller.is_some() {
            plugs.push(format!("the chiller of {}", own.name));
        }
    }
    if !plugs.is_empty() {
        let plugs: Vec<&str> = plugs.iter().map(String::as_str).collect();
        out.push(format!("Pull the plug of {}.", list(&plugs)));
    }
    for (line, end) in &subject.lifted {
        out.push(format!(
            "Lift the end of {} out of {}.",
            station.lines[*line].name,
            station.name_of(*end)
        ));
    }
    out
}

/// What can hurt or harm, each in one line.
pub(super) fn cautions(
    station: &Station,
    subject: &Subject,
    drain: &[Drain],
    lines_m3: f64,
    pipework: &Pipework,
) -> Vec<String> {
    let mut out = Vec::new();
    if matches!(subject.kind, PartKind::Pump | PartKind::Vessel) {
        out.push("No hand goes into water while anything in it is plugged in.".to_owned());
    }
    if lines_m3 >= PUDDLE_M3 {
        out.push("A tray and rags under the joint: a wet floor is slippery.".to_owned());
    }
    if drain.iter().any(|drain| drain.from == subject.name) && subject.kind == PartKind::Vessel {
        out.push(match station.units() {
            UnitSystem::Si => "Nobody moves a vessel with water in it: a litre weighs a kilogram.".to_owned(),
            UnitSystem::Us => "Nobody moves a vessel with water in it: a gallon weighs 8.3 lb.".to_owned(),
        });
    }
    let high = subject
        .kept
        .opened
        .iter()
        .filter_map(|line| pipework.lines.get(*line))
        .map(|line| {
            line.crest
                .map_or(line.from_height_m.max(line.to_height_m), |(_, crest_m)| crest_m)
        })
        .fold(0.0, f64::max);
    if subject.kind == PartKind::Lines && high > station.people.pouring_height.value.m() + HEAD_M {
        out.push("It runs above head height: a steady step, and nothing plugged in below it.".to_owned());
    }
    out
}

/// From the height of bent arms to that over the head, m (house rule).
const HEAD_M: f64 = 0.6;

/// What does in place of a task, in words that follow its name.
pub(super) fn lost(station: &Station, at: usize, instead: Option<&Instead>, out: Option<usize>) -> String {
    let task = &station.plumbing.tasks[at];
    let Some(instead) = instead else {
        let out = out.map(|vessel| station.vessels[vessel].name.as_str());
        return match [task.from, task.to]
            .into_iter()
            .map(|end| station.name_of(end))
            .find(|name| out == Some(name))
        {
            Some(name) => format!("not at all while {name} is out"),
            None => "not until what was drained is full again".to_owned(),
        };
    };
    let open = match instead.valves_open.as_slice() {
        [] => String::new(),
        valves => {
            let valves: Vec<&str> = valves.iter().map(String::as_str).collect();
            format!(", {} open", list(&valves))
        }
    };
    let wanted = station.lineups[at].fields.volume.as_ref();
    let by_then = match (instead.moved_m3, instead.seconds) {
        (Some(moved), Some(seconds)) if task.from != task.to => {
            let told = format!(
                ": {} in {}",
                say(station, Kind::Volume, moved),
                say(station, Kind::Time, round_s(seconds))
            );
            match wanted {
                Some(wanted) if moved < 0.99 * wanted.value.m3() => format!(
                    "{told}, the rest in {}",
                    buckets_of(
                        station,
                        buckets(wanted.value.m3() - moved, dipped_m3(station)),
                        dipped_m3(station)
                    )
                ),
                _ => told,
            }
        }
        _ => String::new(),
    };
    match instead.how {
        How::OtherVessel => {
            let way = match instead.from == instead.to {
                true => format!("round {}", instead.from),
                false => format!("{} to {}", instead.from, instead.to),
            };
            format!("{way} in its place{open}{by_then}")
        }
        How::Gravity => format!("by gravity{open}{by_then}"),
        How::OtherPump => format!(
            "by {}{open}{by_then}",
            instead.pump.as_deref().unwrap_or("another pump")
        ),
        How::Bucket => format!(
            "{} at {}{}{open}, about {}",
            counted(station, instead),
            instead.to,
            match &instead.pump {
                Some(pump) => format!(" by {pump}"),
                None => String::new(),
            },
            say(station, Kind::Time, round_s(instead.seconds.unwrap_or(0.0)))
        ),
        How::Dipping => format!(
            "{} dipped out of {}, about {}",
            counted(station, instead),
            instead.from,
            say(station, Kind::Time, round_s(instead.seconds.unwrap_or(0.0)))
        ),
        How::Stirring => "stirred by hand or by a small pump hung in; longer, and measured twice".to_owned(),
    }
}

fn counted(station: &Station, instead: &Instead) -> String {
    buckets_of(
        station,
        instead.buckets.unwrap_or(0),
        instead.bucket_m3.unwrap_or(0.0),
    )
}

/// `14 buckets of 12 L`.
pub(super) fn buckets_of(station: &Station, count: u32, each_m3: f64) -> String {
    let each = say(station, Kind::Volume, each_m3);
    match count {
        1 => format!("a bucket of {each}"),
        count => format!("{count} buckets of {each}"),
    }
}

/// A stopgap's time to two digits: nobody carries more exactly.
fn round_s(seconds: f64) -> f64 {
    if !(seconds > 0.0 && seconds.is_finite()) {
        return 0.0;
    }
    let minutes = seconds / 60.0;
    let step = match minutes {
        minutes if minutes < 1.0 => return libm::ceil(seconds),
        minutes if minutes < 100.0 => 1.0,
        _ => 10.0,
    };
    60.0 * step * libm::round(minutes / step)
}

/// Heaters and chillers, which hang in their vessel: nothing runs out, but something stays cold.
pub(super) fn warmers(station: &Station, lineups: Option<&Lineups>) -> Vec<PartService> {
    let mut out = Vec::new();
    for vessel in &station.vessels {
        let own = [
            (PartKind::Heater, vessel.fields.heater.is_some()),
            (PartKind::Chiller, vessel.fields.chiller.is_some()),
        ];
        for (kind, there) in own {
            if !there {
                continue;
            }
            let (word, does) = match kind {
                PartKind::Chiller => ("chiller", "cools"),
                _ => ("heater", "warms"),
            };
            out.push(PartService {
                part: format!("{word} of {}", vessel.name),
                kind,
                first: match kind {
                    PartKind::Heater => vec![
                        "Pull its plug, and let it cool in the water for a quarter of an hour.".to_owned(),
                    ],
                    _ => vec!["Pull its plug.".to_owned()],
                },
                close: Vec::new(),
                drain: Vec::new(),
                spilled_m3: 0.0,
                lines_m3: 0.0,
                still: lineups
                    .into_iter()
                    .flat_map(|all| &all.lineups)
                    .filter(|lineup| {
                        let full = lineup.moments.first();
                        lineup.valves_open.is_some() && full.is_some_and(|full| full.nominal.0.is_some())
                    })
                    .map(|lineup| Still {
                        lineup: lineup.name.clone(),
                        by_other_valves: None,
                    })
                    .collect(),
                capped: Vec::new(),
                lost: Vec::new(),
                without: vec![format!(
                    "Nothing {does} {}: a batch comes to the room's temperature, and is matched to the tank before it goes in.",
                    vessel.name
                )],
                cautions: vec![
                    "No hand goes into water while anything in it is plugged in.".to_owned(),
                ],
            });
        }
    }
    out
}

/// What all of it rests on.
pub(super) fn remarks(station: &Station) -> Vec<String> {
    let mut out = Vec::new();
    if station.is_plumbed() {
        out.push(
            "Vessels are taken as full and lines as filled; what stands in the housing of a pump is not counted."
                .to_owned(),
        );
        out.push(
            "A valve is taken to stand at the vessel or tank that its line begins at, before the line where that ends in one, otherwise where the line ends."
                .to_owned(),
        );
    }
    let others: Vec<&str> = station
        .valves
        .iter()
        .filter(|valve| !is_trusted(valve.fields.kind.value))
        .map(|valve| valve.name.as_str())
        .collect();
    if !others.is_empty() {
        out.push(format!(
            "Not relied upon while somebody works on a line: {}. A check valve leaks with a grain in it, a float opens as the level falls, a solenoid holds one way.",
            list(&others)
        ));
    }
    out
}
