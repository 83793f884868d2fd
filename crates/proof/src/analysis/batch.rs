//! Batches: what to weigh, where the water stands before and after, how sure the salinity is.
//!
//! `strength` tells how strong the mix is, `find` what there is to say.

mod find;
mod strength;

use serde::Serialize;
use station::quantity::{Kind, Spread};
use station::sections::Water;
use station::{Station, Vessel};

use super::levels::{LevelMark, level_method, mark, rim, shape_figure, volume_method};
use super::speak::shown;
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

use find::find;
use strength::{instruments, strength};

/// All salt vessels.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Batch {
    /// kg of sea salt without water per kg of dry mix; `None` without a mix.
    pub strength: Option<f64>,
    /// One entry for each vessel in which salt water is mixed.
    pub vessels: Vec<SaltBatch>,
    /// The strength's node, for the analyses that follow.
    #[serde(skip)]
    pub(crate) strength_node: Option<NodeId>,
}

/// A batch in one vessel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SaltBatch {
    /// The vessel.
    pub vessel: String,
    /// Salinity aimed at.
    pub target_salinity: f64,
    /// Temperature of mixing, °C.
    pub temperature_c: f64,
    /// Dry mix to weigh, kg.
    pub dry_mass_kg: f64,
    /// Fresh water before the salt, m³.
    pub fresh_volume_m3: f64,
    /// Finished salt water, m³.
    pub finished_volume_m3: f64,
    /// Rise by the salt: finished over fresh, less one.
    pub rise_fraction: f64,
    /// Level of the fresh water before the salt, m above the vessel's floor; `None` where it passes the rim.
    pub fresh_level_m: Option<f64>,
    /// Level of the finished water, m.
    pub finished_level_m: Option<f64>,
    /// Finished volume that takes exactly one bag, m³, at the target salinity.
    pub one_bag_finished_m3: Option<f64>,
    /// Level of the fresh water before exactly one bag, m.
    pub one_bag_fresh_level_m: Option<f64>,
    /// Level of the finished water with exactly one bag, m.
    pub one_bag_finished_level_m: Option<f64>,
    /// Its lines as marks of the vessel, as far as they fit.
    pub marks: Vec<LevelMark>,
    /// Calcium of the finished water, kg/m³.
    pub calcium_kg_m3: Option<f64>,
    /// Magnesium of the finished water, kg/m³.
    pub magnesium_kg_m3: Option<f64>,
    /// Alkalinity of the finished water, mol/m³ (meq/L).
    pub alkalinity_mol_m3: Option<f64>,
    #[serde(skip)]
    pub(crate) dry: NodeId,
    #[serde(skip)]
    pub(crate) fresh: NodeId,
    #[serde(skip)]
    pub(crate) finished: NodeId,
}

/// Batches of every salt vessel.
pub(crate) fn batch(station: &Station, sheet: &mut Sheet, findings: &mut Vec<Finding>) -> Batch {
    let mut out = Batch::default();
    let Some(strength) = strength(station, sheet, findings) else {
        return out;
    };
    out.strength = Some(sheet.value(strength));
    out.strength_node = Some(strength);
    for vessel in station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Salt)
    {
        match one_batch(station, vessel, strength, sheet, findings) {
            Ok(batch) => out.vessels.push(batch),
            Err(refusal) => findings.push(Finding::new(
                "batch-impossible",
                Severity::Must,
                format!("vessels.{}", vessel.name),
                format!("The batch in {} can't be made: {refusal}.", shown(&vessel.name)),
            )),
        }
    }
    if !out.vessels.is_empty() && station.instruments.is_empty() {
        findings.push(Finding::new(
            "nothing-measures-salinity",
            Severity::Should,
            "instruments",
            "No instrument is listed that tells salinity. Weighing alone isn't a test: add one, and check it against a solution of known salinity.",
        ));
    }
    instruments(station, findings);
    out
}

fn one_batch(
    station: &Station,
    vessel: &Vessel,
    strength: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Result<SaltBatch, Refusal> {
    let name = &vessel.name;
    let fields = &vessel.fields;
    let key = |key: &str| format!("{name}.{key}");
    let target = sheet.given(&fields.target_salinity);
    let temperature = sheet.given(&fields.mixing_temperature);
    let highest = (vessel.height_m() - fields.freeboard.value.m()).max(0.0);
    let finished = match &fields.batch_volume {
        Some(volume) => sheet.given(volume),
        None => {
            let height = rim(sheet, vessel);
            let free = sheet.given(&fields.freeboard);
            let level = sheet.figure(
                key("highest-line"),
                format!("{name}: highest line, below the freeboard"),
                &m::LEVEL_BELOW,
                &[height, free],
            )?;
            shape_figure(
                sheet,
                vessel,
                volume_method(fields.shape.value),
                level,
                key("most"),
                format!("{name}: volume below the freeboard"),
            )?
        }
    };
    let recipe = [finished, target, temperature, strength];
    let dry = sheet.figure(
        key("dry-mass"),
        format!("{name}: dry mix for one batch"),
        &m::DRY_MASS_FOR_FINISHED,
        &recipe,
    )?;
    sheet.headline(dry);
    let fresh = sheet.figure(
        key("fresh-fill"),
        format!("{name}: fresh water before the salt"),
        &m::FRESH_FOR_FINISHED,
        &recipe,
    )?;
    let level_of = |sheet: &mut Sheet, volume: NodeId, what: &str, title: &str| {
        shape_figure(
            sheet,
            vessel,
            level_method(fields.shape.value),
            volume,
            key(what),
            format!("{name}: {title}"),
        )
        .ok()
    };
    let fresh_level = level_of(sheet, fresh, "fresh-line", "fill line before the salt");
    let finished_level = level_of(sheet, finished, "finished-line", "line of the finished water");

    let bag = station
        .salt
        .as_ref()
        .and_then(|salt| salt.bag.as_ref())
        .map(|bag| sheet.given(bag));
    let one_bag = match bag {
        Some(bag) => {
            let inputs = [bag, target, temperature, strength];
            let words = format!("salinity {}", fields.target_salinity.value.practical());
            let finished = sheet.figure(
                key("one-bag-finished"),
                format!("{name}: finished water of exactly one bag, at {words}"),
                &m::FINISHED_FROM_BAG,
                &inputs,
            )?;
            let fresh = sheet.figure(
                key("one-bag-fresh"),
                format!("{name}: fresh water for exactly one bag, at {words}"),
                &m::FRESH_FROM_BAG,
                &inputs,
            )?;
            Some((
                finished,
                fresh,
                level_of(
                    sheet,
                    fresh,
                    "one-bag-fresh-line",
                    &format!("fill line before exactly one bag, at {words}"),
                ),
                level_of(
                    sheet,
                    finished,
                    "one-bag-finished-line",
                    &format!("line of the finished water of exactly one bag, at {words}"),
                ),
            ))
        }
        None => None,
    };
    // Where the fresh water alone passes the rim there is no mark, and a finding says so.
    let _ = salinity_doubt(station, vessel, strength, dry, fresh, temperature, sheet);
    let ions = ions(station, vessel, target, temperature, sheet);

    let value = |sheet: &Sheet, id: Option<NodeId>| id.map(|id| sheet.value(id));
    let mut lines = vec![
        ("fresh", fresh_level, fresh),
        ("finished", finished_level, finished),
    ];
    if let Some((finished, fresh, fresh_level, finished_level)) = one_bag {
        lines.push(("one bag, fresh", fresh_level, fresh));
        lines.push(("one bag, finished", finished_level, finished));
    }
    let marks = lines
        .into_iter()
        .filter_map(|(name, level, volume)| {
            level.map(|level| mark(name, sheet.value(level), sheet.value(volume), vessel))
        })
        .collect();
    let batch = SaltBatch {
        vessel: name.clone(),
        target_salinity: fields.target_salinity.value.practical(),
        temperature_c: fields.mixing_temperature.value.c(),
        dry_mass_kg: sheet.value(dry),
        fresh_volume_m3: sheet.value(fresh),
        finished_volume_m3: sheet.value(finished),
        rise_fraction: sheet.value(finished) / sheet.value(fresh) - 1.0,
        fresh_level_m: value(sheet, fresh_level),
        finished_level_m: value(sheet, finished_level),
        one_bag_finished_m3: one_bag.map(|(finished, ..)| sheet.value(finished)),
        one_bag_fresh_level_m: one_bag.and_then(|(_, _, fresh, _)| value(sheet, fresh)),
        one_bag_finished_level_m: one_bag.and_then(|(_, _, _, finished)| value(sheet, finished)),
        marks,
        calcium_kg_m3: ions[0],
        magnesium_kg_m3: ions[1],
        alkalinity_mol_m3: ions[2],
        dry,
        fresh,
        finished,
    };
    find(station, vessel, &batch, highest, findings);
    Ok(batch)
}

/// The salinity that comes out, with the doubt of scale, mark and mix.
fn salinity_doubt(
    station: &Station,
    vessel: &Vessel,
    strength: NodeId,
    dry: NodeId,
    fresh: NodeId,
    temperature: NodeId,
    sheet: &mut Sheet,
) -> Result<(), Refusal> {
    let name = &vessel.name;
    let scale = station
        .salt
        .as_ref()
        .map_or(0.0, |salt| salt.scale_accuracy.value.kg());
    let weighed = sheet.assumed(
        &format!("{name}.weighed"),
        sheet.value(dry),
        Kind::Mass,
        Spread::normal(scale),
        "the dose, with salt.scale_accuracy",
    );
    // The fill is what the vessel holds below a mark on its wall: the doubt of the mark and of the vessel both
    // count. A vessel too small for the batch has its own finding.
    let level_m = vessel
        .shape
        .level_m(sheet.value(fresh))
        .map_err(|error| Refusal::Vessel(error.into()))?;
    let line = sheet.assumed(
        &format!("{name}.fresh line as marked"),
        level_m,
        Kind::Length,
        Spread::normal(0.004),
        "the fresh line, marked and read to 4 mm: common practice, no source",
    );
    let marked = shape_figure(
        sheet,
        vessel,
        volume_method(vessel.fields.shape.value),
        line,
        format!("{name}.fresh-by-mark"),
        format!("{name}: fresh water below its mark"),
    )?;
    let id = sheet.figure(
        format!("{name}.salinity"),
        format!("{name}: salinity that comes out"),
        &m::SALINITY_REACHED,
        &[weighed, marked, temperature, strength],
    )?;
    sheet.headline(id);
    Ok(())
}

fn ions(
    station: &Station,
    vessel: &Vessel,
    target: NodeId,
    temperature: NodeId,
    sheet: &mut Sheet,
) -> [Option<f64>; 3] {
    let Some(salt) = &station.salt else {
        return [None; 3];
    };
    let name = &vessel.name;
    let analysed = sheet.given(&salt.analysis_salinity);
    let values = [
        salt.calcium
            .as_ref()
            .map(|field| (sheet.given(field), "calcium", Kind::Concentration)),
        salt.magnesium
            .as_ref()
            .map(|field| (sheet.given(field), "magnesium", Kind::Concentration)),
        salt.alkalinity
            .as_ref()
            .map(|field| (sheet.given(field), "alkalinity", Kind::Alkalinity)),
    ];
    values.map(|value| {
        let (node, what, kind) = value?;
        let id = sheet
            .figure(
                format!("{name}.{what}"),
                format!("{name}: {what} of the finished water"),
                &m::ION_AT_SALINITY,
                &[node, analysed, target, temperature],
            )
            .ok()?;
        sheet.measures(id, kind);
        Some(sheet.value(id))
    })
}
