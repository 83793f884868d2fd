//! Levels and volumes of every vessel: what it holds, where its marks lie, what it weighs, where it fits.

use serde::Serialize;
use station::quantity::{Kind, Spread};
use station::register::Field;
use station::sections::{Fill, Light, ShapeWord, Wall, Water};
use station::{Edit, Situation, Station, Vessel};

use super::speak::{say, set_length, shown, tape};
use crate::finding::{Finding, Severity};
use crate::method::{Method, Refusal};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

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
}

/// One mark on the wall.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LevelMark {
    /// `start`, `stop`, `backup`, `low cut-out`, `outlet`, `rim`.
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

/// The method that gives volume from level, for a shape.
pub(crate) fn volume_method(shape: ShapeWord) -> &'static Method {
    match shape {
        ShapeWord::Cylinder => &m::VOLUME_CYLINDER,
        ShapeWord::TaperedRound => &m::VOLUME_TAPERED_ROUND,
        ShapeWord::Box => &m::VOLUME_BOX,
        ShapeWord::TaperedBox => &m::VOLUME_TAPERED_BOX,
        ShapeWord::HorizontalCylinder => &m::VOLUME_HORIZONTAL_CYLINDER,
        ShapeWord::ConeBottom => &m::VOLUME_CONE_BOTTOM,
        ShapeWord::Measured => &m::VOLUME_MEASURED,
    }
}

/// The method that gives level from volume, for a shape.
pub(crate) fn level_method(shape: ShapeWord) -> &'static Method {
    match shape {
        ShapeWord::Cylinder => &m::LEVEL_CYLINDER,
        ShapeWord::TaperedRound => &m::LEVEL_TAPERED_ROUND,
        ShapeWord::Box => &m::LEVEL_BOX,
        ShapeWord::TaperedBox => &m::LEVEL_TAPERED_BOX,
        ShapeWord::HorizontalCylinder => &m::LEVEL_HORIZONTAL_CYLINDER,
        ShapeWord::ConeBottom => &m::LEVEL_CONE_BOTTOM,
        ShapeWord::Measured => &m::LEVEL_MEASURED,
    }
}

/// The dimensions of a vessel as inputs, and `last` behind them.
pub(crate) fn shape_figure(
    sheet: &mut Sheet,
    vessel: &Vessel,
    method: &'static Method,
    last: NodeId,
    key: String,
    title: String,
) -> Result<NodeId, Refusal> {
    let measured = vessel.fields.shape.value == ShapeWord::Measured;
    let mut inputs = Vec::with_capacity(vessel.dimensions.len() + 1);
    let mut names = Vec::new();
    for dimension in &vessel.dimensions {
        // The rows of a measured table share a path; each is a leaf of its own.
        let mut field = dimension.field.clone();
        if measured {
            field.path = format!("{}.{}", field.path, dimension.key);
            names.push(dimension.key.clone());
        }
        inputs.push(sheet.field(&field, dimension.kind));
    }
    inputs.push(last);
    let id = sheet.figure(key, title, method, &inputs)?;
    if measured {
        names.push(method.inputs.last().copied().unwrap_or_default().to_owned());
        sheet.name_inputs(id, names);
    }
    Ok(id)
}

/// Levels and volumes of every vessel.
pub(crate) fn levels(station: &Station, sheet: &mut Sheet, findings: &mut Vec<Finding>) -> Levels {
    let mut out = Levels::default();
    let (mut fresh, mut salt) = (Vec::new(), Vec::new());
    let moments = Situation::named(station);
    for (index, vessel) in station.vessels.iter().enumerate() {
        let levels_m = [0, 1, 2].map(|moment: usize| moments[moment].vessels[index].level_m);
        // A shape that was read as valid has a volume at every level inside it; should a method refuse all
        // the same, the vessel is left out of the sums and said to be so.
        match one_vessel(station, vessel, levels_m, sheet, findings) {
            Ok((entry, drawable)) => {
                match vessel.fields.holds.value {
                    Water::Fresh => fresh.push(drawable[2]),
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
    for (key, title, nodes, total) in [
        (
            "fresh-always",
            "fresh to draw, always at least",
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
    reserve(station, &out, findings);
    out
}

fn one_vessel(
    station: &Station,
    vessel: &Vessel,
    levels_m: [f64; 3],
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
    let start = node_of(sheet, "start", &fields.start_level)?;
    let stop = node_of(sheet, "stop", &fields.stop_level)?;
    node_of(sheet, "backup", &fields.backup_level)?;
    let cutout = node_of(sheet, "low cut-out", &fields.low_cutout_level)?;
    marks.push(mark("rim", height, sheet.value(full), vessel));
    marks.sort_by(|a, b| a.level_m.total_cmp(&b.level_m));

    let run = match (start, stop) {
        (Some(start), Some(stop)) => {
            let id = sheet.figure(
                format!("{name}.run"),
                format!("{name}: water of one run"),
                &m::RUN_VOLUME,
                &[stop, start],
            )?;
            Some(sheet.headline(id))
        }
        _ => None,
    };

    // What can't be drawn: under the outlet, or under the pump's cut-out where that is higher.
    let lowest = match (&fields.low_cutout_level, cutout) {
        (Some(level), Some(id)) if level.value.m() > fields.outlet_level.value.m() => id,
        _ => dead,
    };
    let mut drawable = [dead; 3];
    for (moment, (slot, level_m)) in ["start", "full", "worst"]
        .iter()
        .zip(drawable.iter_mut().zip(levels_m))
    {
        let level = level_node(sheet, vessel, moment, level_m);
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

    let mass = mass_when_full(station, vessel, sheet, full)?;
    let load = floor_load(vessel, sheet, mass)?;
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
        passes_door: passes_door(station, vessel),
        marks,
    };
    find(station, vessel, &entry, findings);
    Ok((entry, drawable))
}

/// The node of the inner height: a dimension, or the last level of a measured table.
pub(crate) fn rim(sheet: &mut Sheet, vessel: &Vessel) -> NodeId {
    let measured = vessel.fields.shape.value == ShapeWord::Measured;
    let lying = vessel.fields.shape.value == ShapeWord::HorizontalCylinder;
    let found = match (measured, lying) {
        (true, _) => vessel.dimensions.iter().rev().find(|d| d.kind == Kind::Length),
        (_, true) => vessel.dimensions.iter().find(|d| d.key == "diameter"),
        _ => vessel.dimensions.iter().find(|d| d.key == "height"),
    };
    match found {
        Some(dimension) => {
            let mut field = dimension.field.clone();
            if measured {
                field.path = format!("{}.{}", field.path, dimension.key);
            }
            sheet.field(&field, Kind::Length)
        }
        None => sheet.assumed(
            &format!("vessels.{}.rim", vessel.name),
            vessel.height_m(),
            Kind::Length,
            Spread::NONE,
            "inner height",
        ),
    }
}

/// The level of a moment: the field that it comes from where there is one.
fn level_node(sheet: &mut Sheet, vessel: &Vessel, moment: &str, level_m: f64) -> NodeId {
    let fields = &vessel.fields;
    let candidates = [&fields.start_level, &fields.stop_level, &fields.low_cutout_level];
    for field in candidates
        .into_iter()
        .flatten()
        .chain(core::iter::once(&fields.outlet_level))
    {
        if field.value.m() == level_m {
            return sheet.given(field);
        }
    }
    sheet.assumed(
        &format!("vessels.{}.level at {moment}", vessel.name),
        level_m,
        Kind::Length,
        Spread::NONE,
        "the rim less the freeboard",
    )
}

fn mark(name: &'static str, level_m: f64, volume_m3: f64, vessel: &Vessel) -> LevelMark {
    LevelMark {
        name,
        level_m,
        above_room_floor_m: vessel.fields.floor_height.value.m() + level_m,
        from_rim_m: vessel.height_m() - level_m,
        volume_m3,
    }
}

fn mass_when_full(
    station: &Station,
    vessel: &Vessel,
    sheet: &mut Sheet,
    full: NodeId,
) -> Result<NodeId, Refusal> {
    let name = &vessel.name;
    let salinity = match vessel.fields.holds.value {
        Water::Salt => sheet.given(&vessel.fields.target_salinity),
        Water::Fresh => sheet.assumed(
            &format!("{name}.no salt"),
            0.0,
            Kind::Salinity,
            Spread::NONE,
            "fresh water",
        ),
    };
    let coldest = station.room.lowest_winter_temperature.value.c().clamp(0.0, 35.0);
    let temperature = sheet.assumed(
        "coldest water",
        coldest,
        Kind::Temperature,
        Spread::NONE,
        "cold water is heaviest",
    );
    let empty = match &vessel.fields.empty_mass {
        Some(field) => sheet.given(field),
        None => {
            let guess = 0.04 * 1e3 * sheet.value(full);
            sheet.assumed(
                &format!("vessels.{name}.empty_mass"),
                guess,
                Kind::Mass,
                Spread::limits(guess / 2.0),
                "default: 4 % of the water's mass, common practice, no source",
            )
        }
    };
    sheet.figure(
        format!("{name}.mass-full"),
        format!("{name}: mass when full to the rim"),
        &m::MASS_WHEN_FULL,
        &[full, salinity, temperature, empty],
    )
}

fn floor_load(vessel: &Vessel, sheet: &mut Sheet, mass: NodeId) -> Result<Option<NodeId>, Refusal> {
    let (Some(area), Some((length, width))) = (
        vessel.shape.footprint_m2(),
        vessel.shape.plan_at_m(0.0).ok().flatten(),
    ) else {
        return Ok(None);
    };
    if area <= 0.0 || length * width <= 0.0 {
        return Ok(None);
    }
    let name = &vessel.name;
    let side = |sheet: &mut Sheet, what: &str, value: f64, kind| {
        sheet.assumed(
            &format!("{name}.{what}"),
            value,
            kind,
            Spread::NONE,
            "inner dimensions at the floor",
        )
    };
    let length = side(sheet, "footprint length", length, Kind::Length);
    let width_node = side(sheet, "footprint width", width, Kind::Length);
    let share = side(
        sheet,
        "share of the rectangle",
        area / (sheet.value(length) * width),
        Kind::Fraction,
    );
    let id = sheet.figure(
        format!("{name}.floor-load"),
        format!("{name}: load on the floor under it"),
        &m::FLOOR_LOAD,
        &[mass, length, width_node, share],
    )?;
    Ok(Some(id))
}

/// Upright or lying: its two smaller outer dimensions must pass the clear opening.
fn passes_door(station: &Station, vessel: &Vessel) -> Option<bool> {
    let door_width = station.room.door_width.as_ref()?.value.m();
    let door_height = station
        .room
        .door_height
        .as_ref()
        .map_or(2.0, |height| height.value.m());
    let (length, width) = vessel.shape.plan_m()?;
    let wall = 2.0 * vessel.fields.wall_thickness.value.m();
    let mut sides = [length + wall, width + wall, vessel.height_m() + wall];
    sides.sort_by(f64::total_cmp);
    Some(sides[0] <= door_width.min(door_height) && sides[1] <= door_width.max(door_height))
}

fn find(station: &Station, vessel: &Vessel, entry: &VesselLevels, findings: &mut Vec<Finding>) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let at = |key: &str| format!("vessels.{}.{key}", vessel.name);
    let key = |key: &str| format!("{}.{key}", vessel.name);
    let height = vessel.height_m();
    let highest = height - fields.freeboard.value.m();
    let salt = fields.holds.value == Water::Salt;
    let automatic = fields.fill.value == Fill::Automatic;

    if salt && automatic {
        let sentence = format!(
            "{name} holds salt water and fills itself: every litre drawn is replaced by fresh water, so the batch grows thinner as it is used, unseen."
        );
        findings.push(
            Finding::new("salt-fills-itself", Severity::Must, at("fill"), sentence)
                .figure(key("full"))
                .recipe(vec![Edit::quoted(at("fill"), "by hand")]),
        );
    }
    if let (Some(stop), Some(backup)) = (&fields.stop_level, &fields.backup_level) {
        let gap = backup.value.m() - stop.value.m();
        let doubt = libm::hypot(stop.spread.half_width, backup.spread.half_width);
        // House rule: a float needs 15 mm to close, and the marks are no better than their doubt.
        let wanted = 0.015 + doubt;
        if gap < wanted {
            let sentence = format!(
                "The backup of {name} begins to close at the stop level ({} apart), so every run ends throttled and salty, and the backup works daily instead of waiting.",
                tape(station, gap.max(0.0))
            );
            let raised = stop.value.m() + 0.03 + doubt;
            let mut finding = Finding::new("backup-too-near", Severity::Should, at("backup_level"), sentence)
                .figure(key("stop"))
                .figure(key("backup"));
            if raised <= highest {
                finding = finding.recipe(vec![set_length(station, at("backup_level"), raised, true)]);
            }
            finding = finding.recipe(vec![set_length(
                station,
                at("stop_level"),
                backup.value.m() - 0.03 - doubt,
                false,
            )]);
            findings.push(finding);
        }
    }
    if automatic && !salt && fields.backup_level.is_none() {
        let stop = fields
            .stop_level
            .as_ref()
            .map_or(highest - 0.05, |stop| stop.value.m());
        findings.push(
            Finding::new(
                "no-backup",
                Severity::Must,
                format!("vessels.{}", vessel.name),
                format!("{name} fills itself and nothing else holds when its stop fails: it runs over until somebody comes."),
            )
            .figure(key("full"))
            .recipe(vec![set_length(station, at("backup_level"), stop + 0.04, true)])
            .recipe(vec![Edit::quoted(at("fill"), "by hand")]),
        );
    }
    for (level, field) in [("stop", &fields.stop_level), ("backup", &fields.backup_level)] {
        if let Some(field) = field
            && field.value.m() > highest + 1e-9
        {
            let lower = if level == "stop" {
                highest
            } else {
                highest.max(0.0)
            };
            findings.push(
                Finding::new(
                    "little-freeboard",
                    Severity::Should,
                    field.path.clone(),
                    format!(
                        "The {level} level of {name} leaves {} under the rim, less than the {} asked for: a wave or a late switch spills.",
                        tape(station, height - field.value.m()),
                        tape(station, fields.freeboard.value.m())
                    ),
                )
                .figure(key(level))
                .recipe(vec![set_length(station, field.path.clone(), lower, false)]),
            );
        }
    }
    let outlet = fields.outlet_level.value.m();
    if let Some(cutout) = &fields.low_cutout_level
        && cutout.value.m() < outlet
    {
        findings.push(
            Finding::new(
                "cutout-under-outlet",
                Severity::Must,
                cutout.path.clone(),
                format!("The low cut-out of {name} lies under its outlet: the pump draws air before it is switched off."),
            )
            .figure(key("low-cut-out"))
            .figure(key("dead"))
            .recipe(vec![set_length(station, cutout.path.clone(), outlet + 0.03, true)]),
        );
    }
    if let (Some(start), Some(cutout)) = (&fields.start_level, &fields.low_cutout_level)
        && start.value.m() <= cutout.value.m()
    {
        findings.push(
            Finding::new(
                "start-under-cutout",
                Severity::Should,
                start.path.clone(),
                format!("The fill of {name} starts under the low cut-out: the pump is off before new water comes, and nothing can be drawn."),
            )
            .figure(key("start"))
            .recipe(vec![set_length(station, start.path.clone(), cutout.value.m() + 0.05, true)]),
        );
    }
    if let (Some(wanted), Some(run), Some(start), Some(stop)) = (
        &fields.run_volume,
        entry.run_volume_m3,
        &fields.start_level,
        &fields.stop_level,
    ) && run < wanted.value.m3() * 0.99
    {
        let mut finding = Finding::new(
            "run-too-small",
            Severity::Should,
            wanted.path.clone(),
            format!(
                "One run of {name} makes {}, less than the {} wanted.",
                say(station, Kind::Volume, run),
                say(station, Kind::Volume, wanted.value.m3())
            ),
        )
        .figure(key("run"));
        let volume_at = |level: f64| vessel.shape.volume_m3(level).unwrap_or(0.0);
        if let Ok(lower) = vessel
            .shape
            .level_m((volume_at(stop.value.m()) - wanted.value.m3()).max(0.0))
        {
            finding = finding.recipe(vec![set_length(station, start.path.clone(), lower, false)]);
        }
        if let Ok(higher) = vessel
            .shape
            .level_m(volume_at(start.value.m()) + wanted.value.m3())
        {
            finding = finding.recipe(vec![set_length(station, stop.path.clone(), higher, true)]);
        }
        findings.push(finding);
    }
    find_body(station, vessel, entry, findings);
}

/// Findings on the vessel itself: what it stands on, what it is made of, how it gets in.
fn find_body(station: &Station, vessel: &Vessel, entry: &VesselLevels, findings: &mut Vec<Finding>) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let at = |key: &str| format!("vessels.{}.{key}", vessel.name);
    let key = |key: &str| format!("{}.{key}", vessel.name);
    let salt = fields.holds.value == Water::Salt;

    if let Some(load) = entry.floor_load_kg_m2
        && load > station.room.floor_allowance.value.kg_m2()
    {
        let allowance = &station.room.floor_allowance;
        let (severity, know) = match allowance.is_given() {
            true => (Severity::Must, "more than the floor may carry"),
            false => (Severity::Note, "more than a dwelling's floor is made for"),
        };
        findings.push(
            Finding::new(
                "floor-load",
                severity,
                format!("vessels.{}", vessel.name),
                format!(
                    "{name} weighs {} when full and presses {} on the floor under it, {know} ({}). Solid ground carries it; ask a structural engineer about anything else.",
                    say(station, Kind::Mass, entry.mass_full_kg),
                    say(station, Kind::FloorLoad, load),
                    say(station, Kind::FloorLoad, allowance.value.kg_m2()),
                ),
            )
            .figure(key("floor-load"))
            .figure(key("mass-full")),
        );
    }
    if entry.passes_door == Some(false) {
        findings.push(Finding::new(
            "door-too-narrow",
            Severity::Must,
            format!("vessels.{}", vessel.name),
            format!("{name} doesn't pass the door, upright or lying. Take a narrower one, or measure another way in."),
        ));
    }
    if let Some(ceiling) = &station.room.ceiling
        && entry.rim_above_floor_m + 0.3 > ceiling.value.m()
    {
        findings.push(
            Finding::new(
                "ceiling-too-low",
                Severity::Should,
                at("floor_height"),
                format!("Over the rim of {name} there is less than 300 mm to the ceiling: no hand, bag or lid gets in."),
            )
            .figure(key("rim-height"))
            .recipe(vec![set_length(station, at("floor_height"), ceiling.value.m() - 0.3 - entry.height_m, false)]),
        );
    }
    let pouring = station.people.pouring_height.value.m();
    if salt && entry.rim_above_floor_m > pouring + 1e-9 {
        let mut finding = Finding::new(
            "poured-too-high",
            Severity::Should,
            at("floor_height"),
            format!(
                "The mix is poured into {name} over a rim {} above the floor, higher than the {} set for whoever does it: dust in eyes and lungs, and a bag at the shoulder.",
                tape(station, entry.rim_above_floor_m),
                tape(station, pouring)
            ),
        )
        .figure(key("rim-height"));
        if pouring > entry.height_m {
            finding = finding.recipe(vec![set_length(
                station,
                at("floor_height"),
                pouring - entry.height_m,
                false,
            )]);
        }
        findings.push(finding);
    }
    if let Some(nominal) = &fields.nominal_volume {
        let ratio = entry.full_volume_m3 / nominal.value.m3();
        if !(0.97..=1.03).contains(&ratio) {
            findings.push(
                Finding::new(
                    "nominal-size",
                    Severity::Note,
                    nominal.path.clone(),
                    format!(
                        "{name} is sold as {} and holds {} to the rim.",
                        say(station, Kind::Volume, nominal.value.m3()),
                        say(station, Kind::Volume, entry.full_volume_m3)
                    ),
                )
                .figure(key("full")),
            );
        }
    }
    let mut warn = |id, severity, path: &str, sentence: String| {
        findings.push(Finding::new(id, severity, at(path), sentence));
    };
    if fields.made_for_liquids.as_ref().is_some_and(|made| !made.value) {
        warn(
            "not-for-liquids",
            Severity::Should,
            "made_for_liquids",
            format!(
                "{name} wasn't made to hold liquids: its wall bulges and creeps under the load. Take one that is, or support it all round."
            ),
        );
    }
    if fields
        .drinking_water_rated
        .as_ref()
        .is_some_and(|rated| !rated.value)
    {
        warn(
            "plastic-not-rated",
            Severity::Should,
            "drinking_water_rated",
            format!(
                "The plastic of {name} isn't rated for drinking water: what leaches from it goes to the animals. Take one that is."
            ),
        );
    }
    if let Some(light) = &fields.light
        && light.value != Light::Opaque
    {
        warn(
            "lets-light-in",
            Severity::Note,
            "light",
            format!("{name} lets light in, so algae grow in it: cover it, or keep it in the dark."),
        );
    }
    if let Some(wall) = &fields.bulkhead_wall {
        let why = match wall.value {
            Wall::Thin => Some("the wall is thin and creeps under the nut"),
            Wall::Curved => Some("the wall is curved and a flat gasket bridges it"),
            Wall::FlatThick | Wall::Uncut => None,
        };
        if let Some(why) = why {
            warn(
                "bulkhead-may-leak",
                Severity::Should,
                "bulkhead_wall",
                format!(
                    "A bulkhead in {name} may leak: {why}. Use a fitting made for it, or draw over the rim."
                ),
            );
        }
    }
}

/// What must be ready against what always is.
fn reserve(station: &Station, levels: &Levels, findings: &mut Vec<Finding>) {
    if let Some(wanted) = &station.reserve.fresh
        && levels.fresh_always_m3 < wanted.value.m3()
    {
        let missing = wanted.value.m3() - levels.fresh_always_m3;
        let mut finding = Finding::new(
            "fresh-reserve",
            Severity::Must,
            wanted.path.clone(),
            format!(
                "Just before a fill starts only {} of fresh water can be drawn, {} less than the reserve of {}.",
                say(station, Kind::Volume, levels.fresh_always_m3),
                say(station, Kind::Volume, missing),
                say(station, Kind::Volume, wanted.value.m3())
            ),
        )
        .figure("fresh-always");
        for vessel in station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.holds.value == Water::Fresh)
        {
            let Some(start) = &vessel.fields.start_level else {
                continue;
            };
            let raised = vessel
                .shape
                .volume_m3(start.value.m())
                .map(|volume| volume + missing);
            if let Some(level) = raised.ok().and_then(|volume| vessel.shape.level_m(volume).ok()) {
                finding = finding.recipe(vec![set_length(station, start.path.clone(), level, true)]);
            }
        }
        findings.push(finding);
    }
    if let Some(wanted) = &station.reserve.salt
        && levels.salt_full_m3 < wanted.value.m3()
    {
        findings.push(
            Finding::new(
                "salt-reserve",
                Severity::Must,
                wanted.path.clone(),
                format!(
                    "Even when mixed and full, only {} of salt water can be drawn, less than the reserve of {}. It takes a larger or a second vessel.",
                    say(station, Kind::Volume, levels.salt_full_m3),
                    say(station, Kind::Volume, wanted.value.m3())
                ),
            )
            .figure("salt-full"),
        );
    }
}
