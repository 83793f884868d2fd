//! Service: for each part what to close to take it out, how much water comes out, what goes on without it.
//!
//! Owns: which valves keep water away from a part, what runs out by height, what replaces a task that is lost. Doesn't
//! own: what flows and how long it takes (`plumbing`), what the permeate holds (`water`).
//!
//! Vessels are taken as full and lines as filled: what comes out is the most that can.

mod drain;
mod find;
mod instead;
mod mesh;
mod part;
mod purifier;
mod reach;
mod tasks;
mod words;

use std::collections::BTreeSet;

use serde::Serialize;
use station::plumbing::End;
use station::{Situation, Station};

use super::plumbing::{Lineups, Pipework, State, Without, plain_network};
use super::{Needs, Supply};
use crate::finding::Finding;
use mesh::Mesh;
pub use part::PartKind;
use part::{Subject, pumps, subjects};
use reach::CUP_M3;
use tasks::{Out, Tasks};

/// Every part that is taken out once.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Service {
    /// The parts: pumps, vessels, valves, lines, heaters, the purifier's.
    pub parts: Vec<PartService>,
    /// What all of it rests on, a sentence each.
    pub remarks: Vec<String>,
}

/// One part, taken out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartService {
    /// The owner's name for it; several lines with commas between.
    pub part: String,
    /// What it is.
    pub kind: PartKind,
    /// What is done before any valve is touched.
    pub first: Vec<String>,
    /// What to close: valves by name, and `feed` for the tap before the purifier.
    pub close: Vec<String>,
    /// What must be drained first, or its line lifted out, as no valve holds it.
    pub drain: Vec<Drain>,
    /// Water that comes out in all, with what is drained, m³.
    pub spilled_m3: f64,
    /// That of it which stands in lines and housings, m³.
    pub lines_m3: f64,
    /// Tasks that go on.
    pub still: Vec<Still>,
    /// Tasks that go on once the open ends of the lines are capped.
    pub capped: Vec<String>,
    /// Tasks that are lost, and what does instead.
    pub lost: Vec<Lost>,
    /// What else holds without it, a sentence each: the water that can be made, how long stores last.
    pub without: Vec<String>,
    /// What can hurt or harm.
    pub cautions: Vec<String>,
}

/// A vessel or tank that no valve holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drain {
    /// The vessel or tank.
    pub from: String,
    /// Level above its floor that it is drained to; nothing for a tank.
    pub to_level_m: Option<f64>,
    /// The draw point at which gravity takes most of it; nothing where there is none.
    pub by: Option<String>,
    /// What stays below that draw point and the outlet, and is baled out.
    pub by_hand_m3: f64,
    /// What that takes out; all of a tank whose surface isn't known.
    pub volume_m3: f64,
    /// The same in buckets.
    pub buckets: u32,
    /// What a bucket holds.
    pub bucket_m3: f64,
    /// The line by which it would run out, where that hangs in over the rim: lifted out, nothing runs.
    pub lift_out: Option<String>,
}

/// A task that goes on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Still {
    /// The task.
    pub lineup: String,
    /// The valves to open, where they aren't the usual ones.
    pub by_other_valves: Option<Vec<String>>,
}

/// A task that is lost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lost {
    /// The task.
    pub lineup: String,
    /// The best that does in its place.
    pub instead: Option<Instead>,
    /// In words.
    pub sentence: String,
}

/// What does in place of a task.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Instead {
    /// How.
    pub how: How,
    /// Where the water is taken.
    pub from: String,
    /// Where lines bring it.
    pub to: String,
    /// The valves to open, where lines bring it.
    pub valves_open: Vec<String>,
    /// The pump that runs.
    pub pump: Option<String>,
    /// How long it takes in all.
    pub seconds: Option<f64>,
    /// What it moves.
    pub moved_m3: Option<f64>,
    /// Buckets that are carried.
    pub buckets: Option<u32>,
    /// What each of them holds.
    pub bucket_m3: Option<f64>,
}

/// How a lost task is replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// The same, out of or into another vessel that holds the same water.
    OtherVessel,
    /// By gravity.
    Gravity,
    /// By another pump.
    OtherPump,
    /// In buckets filled at a draw point.
    Bucket,
    /// In buckets dipped into the water.
    Dipping,
    /// Stirred by hand, or by a small pump hung into the vessel.
    Stirring,
}

/// What it rests on.
pub(crate) struct Facts<'a> {
    pub(crate) lineups: Option<&'a Lineups>,
    pub(crate) supply: &'a Supply,
}

/// Every part; nothing where nothing is plumbed and nothing purified.
pub(crate) fn service(station: &Station, facts: &Facts<'_>) -> Option<Service> {
    if !station.is_plumbed() && station.purifier.is_none() {
        return None;
    }
    let pipework = plain_network(station).ok()?;
    let full = Situation::full(station);
    let levels_m: Vec<f64> = full.vessels.iter().map(|vessel| vessel.level_m).collect();
    let mesh = Mesh::new(station, &pipework, &levels_m);
    let mut tasks = Tasks::new(station, State::new(station, &pipework), facts.lineups, &levels_m);
    let mut parts: Vec<PartService> = subjects(station, &mesh)
        .iter()
        .map(|subject| taken_out(station, &mesh, &pipework, &levels_m, subject, &mut tasks))
        .collect();
    parts.extend(words::warmers(station, facts.lineups));
    parts.extend(purifier::parts(station, facts.supply));
    Some(Service {
        parts,
        remarks: words::remarks(station),
    })
}

/// What there is to say, by the plumbing alone.
pub(crate) fn findings(station: &Station, needs: &Needs, findings: &mut Vec<Finding>) {
    let Ok(pipework) = plain_network(station) else {
        return;
    };
    let full = Situation::full(station);
    let levels_m: Vec<f64> = full.vessels.iter().map(|vessel| vessel.level_m).collect();
    let mesh = Mesh::new(station, &pipework, &levels_m);
    find::find(station, &mesh, &pumps(station, &mesh), needs, findings);
}

fn taken_out(
    station: &Station,
    mesh: &Mesh,
    pipework: &Pipework,
    levels_m: &[f64],
    subject: &Subject,
    tasks: &mut Tasks<'_>,
) -> PartService {
    let kept = &subject.kept;
    let mut drain: Vec<Drain> = own_water(station, subject, levels_m).into_iter().collect();
    drain.extend(drains(station, mesh, subject, levels_m));
    for own in &mut drain {
        let vessel = station.vessels.iter().position(|vessel| vessel.name == own.from);
        let emptied = vessel.and_then(|vessel| Some((vessel, tasks.emptied_at(vessel)?)));
        if let (Some((vessel, draw)), Some(level_m), None) = (emptied, own.to_level_m, &own.lift_out) {
            own.by = Some(station.draw_points[draw].name.clone());
            own.by_hand_m3 = below_m3(station, vessel, draw, level_m, levels_m[vessel]);
        }
    }
    let drained: f64 = drain.iter().map(|drain| drain.volume_m3).sum();
    // While it is out, the other valves round it stay closed too: what lies between is open to the air.
    let mut shut: BTreeSet<usize> = kept.cut_off.iter().copied().collect();
    shut.extend(
        kept.nearest
            .iter()
            .map(|valve| station.plumbing.line_of_valve[*valve]),
    );
    shut.extend(&subject.own_lines);
    let out = Out {
        shut: Without(shut),
        alone: Without(subject.own_lines.clone()),
        closed: &kept.nearest,
        vessel: subject.vessel,
        drained: kept
            .open_springs
            .iter()
            .filter(|(at, _)| !mesh.springs[*at].hangs)
            .map(|(at, _)| mesh.springs[*at].end)
            .collect(),
    };
    let gone = tasks.without(&out);
    let mut close: Vec<String> = kept
        .close
        .iter()
        .map(|valve| station.valves[*valve].name.clone())
        .collect();
    if subject
        .vessel
        .is_some_and(|vessel| words::is_fed(station, vessel))
    {
        close.push("feed".to_owned());
    }
    let lines_m3 = kept.standing_m3;
    PartService {
        part: subject.name.clone(),
        kind: subject.kind,
        first: words::first(station, subject),
        close,
        spilled_m3: lines_m3 + drained,
        lines_m3,
        still: gone.still,
        capped: gone.capped,
        lost: gone.lost,
        without: Vec::new(),
        cautions: words::cautions(station, subject, &drain, lines_m3, pipework),
        drain,
    }
}

/// A vessel's own water, when it is the part.
fn own_water(station: &Station, subject: &Subject, levels_m: &[f64]) -> Option<Drain> {
    let vessel = subject.vessel?;
    let volume_m3 = station.vessels[vessel].shape.volume_m3(levels_m[vessel]).ok()?;
    Some(words::drain(
        station,
        &station.vessels[vessel].name,
        Some(0.0),
        volume_m3,
        None,
    ))
}

/// What stays in a vessel below its outlet and below a draw point, above a level.
fn below_m3(station: &Station, vessel: usize, draw: usize, to_m: f64, full_m: f64) -> f64 {
    let own = &station.vessels[vessel];
    let mouth_m = station.draw_points[draw].fields.height.value.m() - own.fields.floor_height.value.m();
    let left_m = own
        .fields
        .outlet_level
        .value
        .m()
        .max(mouth_m)
        .clamp(to_m, full_m.max(to_m));
    let volume = |level_m: f64| own.shape.volume_m3(level_m).unwrap_or(0.0);
    match volume(left_m) - volume(to_m) {
        left_m3 if left_m3 > CUP_M3 => left_m3,
        _ => 0.0,
    }
}

/// What no valve holds: each vessel and tank once, down to the lowest that any of its lines lets out.
fn drains(station: &Station, mesh: &Mesh, subject: &Subject, levels_m: &[f64]) -> Vec<Drain> {
    let mut lowest: Vec<(End, usize, f64)> = Vec::new();
    for (at, out_m) in &subject.kept.open_springs {
        let spring = &mesh.springs[*at];
        let down_m = spring.down_to_m.max(*out_m);
        match lowest.iter_mut().find(|(end, ..)| *end == spring.end) {
            Some(known) if down_m < known.2 => *known = (spring.end, *at, down_m),
            Some(_) => {}
            None => lowest.push((spring.end, *at, down_m)),
        }
    }
    lowest
        .into_iter()
        .filter_map(|(end, at, down_m)| {
            let spring = &mesh.springs[at];
            let lift = spring.hangs.then(|| station.lines[spring.line].name.clone());
            match end {
                End::Vessel(vessel) => {
                    let own = &station.vessels[vessel];
                    let level_m = (down_m - own.fields.floor_height.value.m()).max(0.0);
                    let volume_m3 = own.shape.volume_m3(levels_m[vessel]).ok()?
                        - own.shape.volume_m3(level_m.min(levels_m[vessel])).ok()?;
                    Some(words::drain(station, &own.name, Some(level_m), volume_m3, lift))
                }
                End::Tank(tank) => {
                    let own = &station.tanks[tank];
                    let volume_m3 = match (&own.fields.surface, spring.surface_m) {
                        (Some(area), Some(surface_m)) => {
                            (area.value.m2() * (surface_m - down_m)).min(own.fields.volume.value.m3())
                        }
                        _ => own.fields.volume.value.m3(),
                    };
                    Some(words::drain(station, &own.name, None, volume_m3, lift))
                }
                End::Pump(_) | End::Tee(_) | End::Draw(_) => None,
            }
        })
        .collect()
}
