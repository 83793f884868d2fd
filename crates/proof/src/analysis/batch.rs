//! Batches: what to weigh, where the water stands before and after, how sure the salinity is.

use serde::Serialize;
use station::label::{LabelVolume, read_label};
use station::quantity::{Kind, Spread};
use station::sections::Water;
use station::{Station, Vessel};

use super::levels::{LevelMark, level_method, mark, rim, shape_figure, volume_method};
use super::speak::{list, say, set_volume, shown, tape};
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

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

/// Instruments that can't settle what they are asked.
fn instruments(station: &Station, findings: &mut Vec<Finding>) {
    use station::sections::InstrumentKind;
    for (name, fields) in &station.instruments {
        if fields.kind.value == InstrumentKind::Hydrometer && fields.reference.is_none() {
            findings.push(Finding::new(
                "hydrometer-without-scale",
                Severity::Should,
                format!("instruments.{name}.kind"),
                format!(
                    "The scale of {} isn't given: the same reading on 60F/60F and on 25C/25C is more than two units of salinity apart. Find the temperature pair on its paper scale.",
                    shown(name)
                ),
            ));
        }
    }
    let best = station
        .instruments
        .iter()
        .map(|(_, fields)| fields.accuracy.value.practical())
        .min_by(f64::total_cmp);
    if best.is_some_and(|best| best > 1.0) {
        findings.push(Finding::new(
            "instruments-too-coarse",
            Severity::Should,
            "instruments",
            "No instrument here tells salinity to better than one unit, so a batch can't be shown to be at its target. Add one that does, or check one against a solution of known salinity.",
        ));
    }
}

/// Strength of the mix, from the label or as given.
fn strength(station: &Station, sheet: &mut Sheet, findings: &mut Vec<Finding>) -> Option<NodeId> {
    let salt = station.salt.as_ref()?;
    if let Some(given) = &salt.anhydrous_fraction {
        return Some(sheet.given(given));
    }
    let field = salt.label.as_ref()?;
    let label = read_label(&field.value).ok()?;
    let mut unsaid = Vec::new();
    let amount = |sheet: &mut Sheet, what: &str, amount: station::quantity::Amount, kind| {
        sheet.assumed(
            &format!("salt.label.{what}"),
            amount.si,
            kind,
            amount.spread,
            "salt.label",
        )
    };
    let mass = amount(sheet, "mass", label.mass, Kind::Mass);
    let volume = amount(sheet, "volume", label.volume, Kind::Volume);
    let salinity = match label.salinity {
        Some(said) => amount(sheet, "salinity", said, Kind::Salinity),
        None => {
            unsaid.push("the salinity");
            sheet.assumed(
                "salt.label.salinity",
                35.0,
                Kind::Salinity,
                Spread::limits(1.5),
                "unsaid: 33.5 to 36.5, common practice, no source",
            )
        }
    };
    let temperature = match label.temperature {
        Some(said) => amount(sheet, "temperature", said, Kind::Temperature),
        None => {
            unsaid.push("the temperature");
            sheet.assumed(
                "salt.label.temperature",
                25.0,
                Kind::Temperature,
                Spread::limits(5.0),
                "unsaid: 20 to 30 C, common practice, no source",
            )
        }
    };
    let shares: &[(f64, f64, &str)] = match label.counts {
        Some(LabelVolume::Fresh) => &[(0.0, 0.0, "salt.label: fresh water before the salt")],
        Some(LabelVolume::Finished) => &[(1.0, 0.0, "salt.label: finished water")],
        None => {
            unsaid.push("whether the volume is fresh or finished water");
            &[
                (0.5, 0.5, "unsaid: fresh or finished"),
                (1.0, 0.0, "unsaid, but as fresh water it would be impossible"),
            ]
        }
    };
    let mut refusal = None;
    for (at, (share, half_width, origin)) in shares.iter().enumerate() {
        let node = sheet.assumed(
            &format!("salt.label.share counted as finished {at}"),
            *share,
            Kind::Fraction,
            Spread::limits(*half_width),
            origin,
        );
        match sheet.figure(
            "mix-strength",
            "strength of the mix: sea salt in a kilogram of it",
            &m::STRENGTH_FROM_LABEL,
            &[mass, volume, salinity, temperature, node],
        ) {
            Ok(id) => {
                if !unsaid.is_empty() {
                    findings.push(
                        Finding::new(
                            "label-unclear",
                            Severity::Note,
                            field.path.clone(),
                            format!(
                                "The label doesn't say {}, so the first batch may miss its target: weigh a little less, measure, then trim.",
                                list(&unsaid)
                            ),
                        )
                        .figure("mix-strength"),
                    );
                }
                return Some(id);
            }
            Err(error) => refusal = Some(error),
        }
    }
    if let Some(refusal) = refusal {
        findings.push(Finding::new(
            "label-impossible",
            Severity::Must,
            field.path.clone(),
            format!("The label can't be right: {refusal}. Check mass, volume and salinity against the bag."),
        ));
    }
    None
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

fn find(station: &Station, vessel: &Vessel, batch: &SaltBatch, highest: f64, findings: &mut Vec<Finding>) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let key = |key: &str| format!("{}.{key}", vessel.name);
    if batch.finished_level_m.is_none_or(|level| level > highest + 1e-6)
        && let Some(volume) = &fields.batch_volume
    {
        let most = vessel.shape.volume_m3(highest).unwrap_or(0.0);
        findings.push(
            Finding::new(
                "batch-too-large",
                Severity::Must,
                volume.path.clone(),
                format!(
                    "A batch of {} stands higher in {name} than the freeboard of {} allows.",
                    say(station, Kind::Volume, batch.finished_volume_m3),
                    tape(station, fields.freeboard.value.m())
                ),
            )
            .figure(key("finished-line"))
            .recipe(vec![set_volume(station, volume.path.clone(), most, false)]),
        );
    }
    let Some(salt) = &station.salt else { return };
    if let Some(warmest) = &salt.warmest_mixing
        && fields.mixing_temperature.value.c() > warmest.value.c()
    {
        let text = say(station, Kind::Temperature, warmest.value.c()).replace('°', "");
        findings.push(
            Finding::new(
                "mixed-too-warm",
                Severity::Should,
                format!("vessels.{}.mixing_temperature", vessel.name),
                format!(
                    "{name} is mixed at {}, warmer than the {} that the mix's maker allows: alkalinity and calcium settle out as white dust and stay lost.",
                    say(station, Kind::Temperature, fields.mixing_temperature.value.c()),
                    say(station, Kind::Temperature, warmest.value.c())
                ),
            )
            .recipe(vec![station::Edit::quoted(format!("vessels.{}.mixing_temperature", vessel.name), &text)]),
        );
    }
    if batch.one_bag_finished_m3.is_some()
        && batch.one_bag_finished_level_m.is_none_or(|level| level > highest)
    {
        findings.push(
            Finding::new(
                "bag-too-large",
                Severity::Note,
                "salt.bag",
                format!("A whole bag makes more than {name} holds below its freeboard: weigh a part of it, and close the rest against damp."),
            )
            .figure(key("one-bag-finished")),
        );
    }
    let lift = station.people.lift.value.kg();
    if let Some(bag) = &salt.bag
        && bag.value.kg() > lift * 1.001
    {
        findings.push(Finding::new(
            "bag-too-heavy",
            Severity::Note,
            bag.path.clone(),
            format!(
                "A bag of {} is more than the {} that one person lifts here: scoop it, or lift it by two.",
                say(station, Kind::Mass, bag.value.kg()),
                say(station, Kind::Mass, lift)
            ),
        ));
    }
}
