//! Where the marks belong for the run and the reserve that are wanted.

use station::quantity::{Kind, Spread};
use station::sections::{Fill, Water};
use station::{Station, Vessel};

use super::shape::{level_method, shape_figure, volume_method};
use super::{LevelMark, mark};
use crate::analysis::speak::{set_length, set_volume, shown};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// A pump's cut-out stands so far above the outlet, and a backup so far above the stop. House rule: a wave and
/// a float's travel.
const CLEAR_M: f64 = 0.030;

/// The four marks of a fresh vessel whose run is stated; nothing where it isn't, or where they don't fit.
pub(super) fn place(
    station: &Station,
    vessel: &Vessel,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Vec<LevelMark> {
    let fields = &vessel.fields;
    let (Some(run), Water::Fresh) = (&fields.run_volume, fields.holds.value) else {
        return Vec::new();
    };
    let highest = vessel.height_m() - fields.freeboard.value.m();
    let placed = levels(station, vessel, sheet);
    match placed {
        Ok(marks) if marks[3].level_m <= highest + 1e-9 => {
            if fields.start_level.is_none() || fields.stop_level.is_none() {
                say_where(station, vessel, &marks, findings);
            }
            marks
        }
        _ => {
            let path = run.path.clone();
            let mut finding = Finding::new(
                "run-does-not-fit",
                Severity::Should,
                path.clone(),
                format!(
                    "The run wanted, above the reserve and below the backup and the freeboard, doesn't fit into {}: make the run smaller, or take a larger vessel.",
                    shown(&vessel.name)
                ),
            );
            if let Some(most) = most_run(station, vessel, highest) {
                finding = finding.recipe(vec![set_volume(station, path, most, false)]);
            }
            findings.push(finding);
            Vec::new()
        }
    }
}

/// The reserve that this vessel must keep below its start level: all of it where it is the only one.
fn reserve_m3(station: &Station) -> f64 {
    let count = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Fresh)
        .count()
        .max(1);
    station
        .reserve
        .fresh
        .as_ref()
        .map_or(0.0, |reserve| reserve.value.m3())
        / count as f64
}

fn most_run(station: &Station, vessel: &Vessel, highest: f64) -> Option<f64> {
    let volume = |level: f64| vessel.shape.volume_m3(level).ok();
    let low = volume(vessel.fields.outlet_level.value.m() + CLEAR_M)? + reserve_m3(station);
    let most = volume(highest - CLEAR_M - 0.005)? - low;
    (most > 0.0).then_some(most)
}

fn levels(station: &Station, vessel: &Vessel, sheet: &mut Sheet) -> Result<Vec<LevelMark>, Refusal> {
    let name = &vessel.name;
    let fields = &vessel.fields;
    let shape = fields.shape.value;
    let clear = sheet.assumed(
        "clear distance",
        CLEAR_M,
        Kind::Length,
        Spread::NONE,
        "house rule: a wave and the travel of a float",
    );
    let above = |sheet: &mut Sheet, key: &str, what: &str, level: NodeId| {
        sheet.figure(
            format!("{name}.place-{key}"),
            format!("{name}: where the {what} belongs"),
            &m::LEVEL_ABOVE,
            &[level, clear],
        )
    };
    let volume_at = |sheet: &mut Sheet, key: &str, what: &str, level: NodeId| {
        shape_figure(
            sheet,
            vessel,
            volume_method(shape),
            level,
            format!("{name}.place-{key}-volume"),
            format!("{name}: volume at that {what}"),
        )
    };
    let level_of = |sheet: &mut Sheet, key: &str, what: &str, volume: NodeId| {
        shape_figure(
            sheet,
            vessel,
            level_method(shape),
            volume,
            format!("{name}.place-{key}"),
            format!("{name}: where the {what} belongs"),
        )
    };

    let outlet = sheet.given(&fields.outlet_level);
    let cutout = above(sheet, "low-cutout", "low cut-out", outlet)?;
    let cutout_volume = volume_at(sheet, "low-cutout", "low cut-out", cutout)?;
    let reserve = sheet.assumed(
        &format!("{name}.reserve"),
        reserve_m3(station),
        Kind::Volume,
        Spread::NONE,
        "reserve.fresh, shared among the fresh vessels",
    );
    let start_volume = sheet.figure(
        format!("{name}.place-start-volume"),
        format!("{name}: volume at that start level"),
        &m::SUM_OF_VOLUMES,
        &[cutout_volume, reserve],
    )?;
    let start = level_of(sheet, "start", "start level", start_volume)?;
    let run = match &fields.run_volume {
        Some(run) => sheet.given(run),
        None => return Ok(Vec::new()),
    };
    let stop_volume = sheet.figure(
        format!("{name}.place-stop-volume"),
        format!("{name}: volume at that stop level"),
        &m::SUM_OF_VOLUMES,
        &[start_volume, run],
    )?;
    let stop = level_of(sheet, "stop", "stop level", stop_volume)?;
    let backup = above(sheet, "backup", "backup", stop)?;
    let backup_volume = volume_at(sheet, "backup", "backup", backup)?;
    Ok([
        ("low cut-out", cutout, cutout_volume),
        ("start", start, start_volume),
        ("stop", stop, stop_volume),
        ("backup", backup, backup_volume),
    ]
    .map(|(mark_name, level, volume)| mark(mark_name, sheet.value(level), sheet.value(volume), vessel))
    .to_vec())
}

fn say_where(station: &Station, vessel: &Vessel, marks: &[LevelMark], findings: &mut Vec<Finding>) {
    let name = &vessel.name;
    let severity = if vessel.fields.fill.value == Fill::Automatic {
        Severity::Should
    } else {
        Severity::Note
    };
    let keys = ["low_cutout_level", "start_level", "stop_level", "backup_level"];
    let edits = keys
        .iter()
        .zip(marks)
        .map(|(key, mark)| set_length(station, format!("vessels.{name}.{key}"), mark.level_m, true))
        .collect();
    findings.push(
        Finding::new(
            "levels-not-set",
            severity,
            format!("vessels.{name}"),
            format!(
                "{} has a run wanted, but no start and stop level: they follow from the run and the reserve.",
                shown(name)
            ),
        )
        .figure(format!("{name}.place-start"))
        .figure(format!("{name}.place-stop"))
        .recipe(edits),
    );
}
