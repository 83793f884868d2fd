//! Levels and volumes of every vessel: what it holds, where its marks lie, what it weighs, where it fits.
//!
//! `shape` turns levels into volumes and back, `place` says where marks belong, `weight` what stands on the
//! floor, `find` and `body` what there is to say.

mod body;
mod find;
mod floor;
mod pair;
mod place;
mod shape;
mod weight;

pub(crate) use weight::sides_pass;

use serde::Serialize;
use station::quantity::UnitSystem;
use station::register::Field;
use station::sections::Water;
use station::{Station, Vessel};

use crate::figure::Figure;
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

pub(crate) use shape::{level_method, rim, shape_figure, volume_method};

/// Every vessel.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Levels {
    /// One entry for each vessel.
    pub vessels: Vec<VesselLevels>,
    /// Fresh water that can always be drawn, m³.
    pub fresh_always_m3: f64,
    /// Salt water that can be drawn from a full station, m³.
    pub salt_full_m3: f64,
}

/// One vessel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VesselLevels {
    /// The owner's name for it.
    pub name: String,
    /// `fresh` or `salt`.
    pub holds: &'static str,
    /// Volume to the rim, m³.
    pub full_volume_m3: f64,
    /// Inner height, m.
    pub height_m: f64,
    /// Water under the outlet, m³.
    pub dead_volume_m3: f64,
    /// Water of one run, m³; `None` without start and stop.
    pub run_volume_m3: Option<f64>,
    /// Drawable at the start, full and worst moments, m³.
    pub drawable_m3: [f64; 3],
    /// Mass when full, kg.
    pub mass_full_kg: f64,
    /// Load on the floor under the footprint, kg/m²; `None` where the footprint isn't known.
    pub floor_load_kg_m2: Option<f64>,
    /// Height of the rim above the room's floor, m.
    pub rim_above_floor_m: f64,
    /// Whether it passes the door; `None` where the door isn't described.
    pub passes_door: Option<bool>,
    /// The marks, from the floor up.
    pub marks: Vec<LevelMark>,
    /// Where the marks belong for the run and the reserve that are wanted; empty where no run is.
    pub belong: Vec<LevelMark>,
    /// What it holds at even levels, from the floor up to the rim.
    pub soundings: Vec<Sounding>,
}

impl VesselLevels {
    /// Marks that belong elsewhere than where they are, or that are nowhere yet.
    pub fn to_move(&self) -> impl Iterator<Item = &LevelMark> {
        // Nobody sets a mark finer than a centimetre (house rule).
        const NEAR_M: f64 = 0.01;
        self.belong.iter().filter(|belongs| {
            let set = self.marks.iter().find(|mark| mark.name == belongs.name);
            set.is_none_or(|mark| (mark.level_m - belongs.level_m).abs() > NEAR_M)
        })
    }
}

/// What a vessel holds up to a level.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sounding {
    /// Above the vessel's floor, m.
    pub level_m: f64,
    /// Volume to it, m³.
    pub volume_m3: f64,
    /// Ends of its 95 % interval, m³: by the share that the full volume's own have, since what is doubtful is its width
    /// at every level; nothing where the file gives no doubt.
    pub ends_m3: Option<[f64; 2]>,
}

impl Levels {
    /// Tells what every vessel holds, level by level; apart, since nobody needs it to try a cure.
    pub(crate) fn sound(&mut self, station: &Station, figures: &[Figure]) {
        let step_m = match station.units() {
            UnitSystem::Si => 0.05,
            UnitSystem::Us => 2.0 * 0.0254,
        };
        for entry in &mut self.vessels {
            let Some(vessel) = station.vessel(&entry.name) else {
                continue;
            };
            let key = format!("{}.full", entry.name);
            let full = figures.iter().find(|figure| figure.key == key);
            let shares = full.and_then(|full| {
                full.half_width()?;
                Some([full.low? / full.value, full.high? / full.value])
            });
            let even = (0_u32..)
                .map(|at| f64::from(at) * step_m)
                // The rim follows; a step that all but meets it would stand there twice.
                .take_while(|level| *level < entry.height_m - 0.1 * step_m);
            entry.soundings = even
                .chain(core::iter::once(entry.height_m))
                .filter_map(|level_m| {
                    let volume_m3 = vessel.shape.volume_m3(level_m).ok()?;
                    Some(Sounding {
                        level_m,
                        volume_m3,
                        ends_m3: shares.map(|shares| shares.map(|share| volume_m3 * share)),
                    })
                })
                .collect();
        }
    }
}

/// One mark on the wall.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LevelMark {
    /// `start`, `stop`, `backup`, `low cut-out`, `outlet`, `rim`; for a batch `fresh`, `finished`, `one bag, fresh`,
    /// `one bag, finished`.
    pub name: &'static str,
    /// Above the vessel's floor, m.
    pub level_m: f64,
    /// Above the room's floor, m.
    pub above_room_floor_m: f64,
    /// Below the rim, m.
    pub from_rim_m: f64,
    /// Volume to it, m³.
    pub volume_m3: f64,
}

/// Levels and volumes of every vessel.
pub(crate) fn levels(station: &Station, sheet: &mut Sheet, findings: &mut Vec<Finding>) -> Levels {
    let mut out = Levels::default();
    let (mut fresh, mut salt) = (Vec::new(), Vec::new());
    for vessel in &station.vessels {
        // A shape that was read as valid has a volume at every level inside it; should a method refuse all
        // the same, the vessel is left out of the sums and said to be so.
        match one_vessel(station, vessel, sheet, findings) {
            Ok((entry, drawable)) => {
                match vessel.fields.holds.value {
                    // Without a start level or a float nobody knows how low it gets.
                    Water::Fresh if station.starts_m(vessel).is_some() => fresh.push(drawable[2]),
                    Water::Fresh => {}
                    Water::Salt => salt.push(drawable[1]),
                }
                out.vessels.push(entry);
            }
            Err(refusal) => findings.push(Finding::new(
                "vessel-not-computed",
                Severity::Must,
                format!("vessels.{}", vessel.name),
                format!("The levels of {} can't be computed: {refusal}.", vessel.name),
            )),
        }
    }
    floor::find(station, findings);
    floor::tray(station, findings);
    for (key, title, nodes, total) in [
        (
            "fresh-always",
            "fresh to draw, just before a fill starts",
            fresh,
            &mut out.fresh_always_m3,
        ),
        (
            "salt-full",
            "salt water to draw when mixed and full",
            salt,
            &mut out.salt_full_m3,
        ),
    ] {
        if let Ok(id) = sheet.figure(key, title, &m::SUM_OF_VOLUMES, &nodes)
            && !nodes.is_empty()
        {
            sheet.headline(id);
            *total = sheet.value(id);
        }
    }
    find::reserve(station, &out, findings);
    out
}

fn one_vessel(
    station: &Station,
    vessel: &Vessel,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Result<(VesselLevels, [NodeId; 3]), Refusal> {
    let name = &vessel.name;
    let fields = &vessel.fields;
    let height = vessel.height_m();
    let to_volume = volume_method(fields.shape.value);
    let volume_at = |sheet: &mut Sheet, key: &str, title: String, level: NodeId| {
        shape_figure(sheet, vessel, to_volume, level, format!("{name}.{key}"), title)
    };

    // The rim is the height itself, so that its doubt counts once.
    let rim_node = rim(sheet, vessel);
    let full = volume_at(sheet, "full", format!("{name}: volume to the rim"), rim_node)?;
    let outlet = sheet.given(&fields.outlet_level);
    let dead = volume_at(sheet, "dead", format!("{name}: water under the outlet"), outlet)?;

    let mut marks = vec![mark(
        "outlet",
        fields.outlet_level.value.m(),
        sheet.value(dead),
        vessel,
    )];
    let mut node_of =
        |sheet: &mut Sheet, name_of: &'static str, field: &Option<Field<station::quantity::Length>>| {
            let Some(field) = field else {
                return Ok::<_, Refusal>(None);
            };
            let level = sheet.given(field);
            let id = volume_at(
                sheet,
                &name_of.replace(' ', "-"),
                format!("{name}: volume at the {name_of} level"),
                level,
            )?;
            marks.push(mark(name_of, field.value.m(), sheet.value(id), vessel));
            Ok(Some(id))
        };
    // A float knows no start level: what one run would be from it belongs to switches in its place.
    let floats = station.floats(vessel);
    let start = node_of(sheet, "start", &fields.start_level)?;
    let stop = node_of(sheet, "stop", &fields.stop_level)?;
    node_of(sheet, "backup", &fields.backup_level)?;
    let cutout = node_of(sheet, "low cut-out", &fields.low_cutout_level)?;
    marks.retain(|mark| !floats || mark.name != "start");
    marks.push(mark("rim", height, sheet.value(full), vessel));
    marks.sort_by(|a, b| a.level_m.total_cmp(&b.level_m));

    let run = match (start, stop) {
        (Some(start), Some(stop)) => {
            let id = sheet.figure(
                format!("{name}.run"),
                match floats {
                    true => format!("{name}: water between its start and stop level"),
                    false => format!("{name}: water of one run"),
                },
                &m::RUN_VOLUME,
                &[stop, start],
            )?;
            (!floats).then(|| sheet.headline(id))
        }
        _ => None,
    };

    // What can't be drawn: under the outlet, or under the pump's cut-out where that is higher.
    let lowest = match (&fields.low_cutout_level, cutout) {
        (Some(level), Some(id)) if level.value.m() > fields.outlet_level.value.m() => id,
        _ => dead,
    };
    let mut drawable = [dead; 3];
    for (moment, slot) in ["start", "full", "worst"].iter().zip(drawable.iter_mut()) {
        let level = level_node(station, sheet, vessel, moment)?;
        let at = volume_at(
            sheet,
            &format!("volume-{moment}"),
            format!("{name}: volume at the moment \"{moment}\""),
            level,
        )?;
        *slot = sheet.figure(
            format!("{name}.drawable-{moment}"),
            format!("{name}: to draw at the moment \"{moment}\""),
            &m::DRAWABLE_VOLUME,
            &[at, lowest],
        )?;
    }

    let belong = place::place(station, vessel, sheet, findings);
    let mass = weight::mass_when_full(station, vessel, sheet, full)?;
    let load = weight::floor_load(vessel, sheet, mass)?;
    let floor = sheet.given(&fields.floor_height);
    let pouring = sheet.figure(
        format!("{name}.rim-height"),
        format!("{name}: height of the rim above the room's floor"),
        &m::POURING_HEIGHT,
        &[floor, rim_node],
    )?;

    let entry = VesselLevels {
        name: name.clone(),
        holds: fields.holds.value.word(),
        full_volume_m3: sheet.value(full),
        height_m: height,
        dead_volume_m3: sheet.value(dead),
        run_volume_m3: run.map(|id| sheet.value(id)),
        drawable_m3: drawable.map(|id| sheet.value(id)),
        mass_full_kg: sheet.value(mass),
        floor_load_kg_m2: load.map(|id| sheet.value(id)),
        rim_above_floor_m: sheet.value(pouring),
        passes_door: weight::passes_door(station, vessel),
        marks,
        belong,
        soundings: Vec::new(),
    };
    find::find(station, vessel, &entry, findings);
    body::find(station, vessel, &entry, findings);
    Ok((entry, drawable))
}

/// The level of a moment ([`station::Situation`]), by the field that sets it; by a figure where it follows from others.
fn level_node(
    station: &Station,
    sheet: &mut Sheet,
    vessel: &Vessel,
    moment: &str,
) -> Result<NodeId, Refusal> {
    let name = &vessel.name;
    let fields = &vessel.fields;
    let outlet = &fields.outlet_level;
    let lowest = match &fields.low_cutout_level {
        Some(cutout) if cutout.value.m() > outlet.value.m() => cutout,
        _ => outlet,
    };
    let salt = fields.holds.value == Water::Salt;
    match (moment, salt, &fields.batch_volume) {
        ("full", true, Some(batch)) => {
            let volume = sheet.given(batch);
            let method = level_method(fields.shape.value);
            shape_figure(
                sheet,
                vessel,
                method,
                volume,
                format!("{name}.level-full"),
                format!("{name}: level of a full batch"),
            )
        }
        ("full", _, _) => closes(sheet, vessel),
        ("worst", true, _) => Ok(sheet.given(lowest)),
        _ if station.floats(vessel) => opens(station, sheet, vessel),
        _ => Ok(sheet.given(fields.start_level.as_ref().unwrap_or(lowest))),
    }
}

/// Where a fill ends: at the stop level, or below the freeboard.
fn closes(sheet: &mut Sheet, vessel: &Vessel) -> Result<NodeId, Refusal> {
    let (name, fields) = (&vessel.name, &vessel.fields);
    if let Some(stop) = &fields.stop_level {
        return Ok(sheet.given(stop));
    }
    let height = rim(sheet, vessel);
    let free = sheet.given(&fields.freeboard);
    sheet.figure(
        format!("{name}.level-full"),
        format!("{name}: highest level, below the freeboard"),
        &m::LEVEL_BELOW,
        &[height, free],
    )
}

/// Where the float that alone fills a vessel opens again: so far below the level at which it closes.
fn opens(station: &Station, sheet: &mut Sheet, vessel: &Vessel) -> Result<NodeId, Refusal> {
    let key = format!("{}.opens", vessel.name);
    if let Some(known) = sheet.find(&key) {
        return Ok(known);
    }
    let closes = closes(sheet, vessel)?;
    let Some(purifier) = &station.purifier else {
        return Ok(closes);
    };
    let sinks = sheet.given(&purifier.fields.float_reopens);
    let title = format!("{}: level at which its float opens", vessel.name);
    sheet.figure(key, title, &m::LEVEL_BELOW, &[closes, sinks])
}

/// A mark of a vessel, with its distances.
pub(crate) fn mark(name: &'static str, level_m: f64, volume_m3: f64, vessel: &Vessel) -> LevelMark {
    LevelMark {
        name,
        level_m,
        above_room_floor_m: vessel.fields.floor_height.value.m() + level_m,
        from_rim_m: vessel.height_m() - level_m,
        volume_m3,
    }
}
