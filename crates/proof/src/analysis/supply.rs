//! What is made against what is needed, how long the stores last, how often they are filled.

use serde::Serialize;
use station::Station;
use station::quantity::Kind;
use station::sections::Water;

use super::batch::Batch;
use super::delivered::Delivered;
use super::levels::Levels;
use super::needs::Needs;
use super::speak::{figure, say, set_volume, shown};
use super::{Made, Stores};
use crate::estimate::Estimate;
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::Sheet;

/// The stores against the need.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Supply {
    /// What the purifier makes in the leanest month, mean over the day, m³/s; `None` where none is described.
    pub made_m3_per_s: Option<f64>,
    /// What is needed then, m³/s.
    pub need_m3_per_s: Option<f64>,
    /// The purifier; `None` where none is described.
    pub purifier: Option<Made>,
    /// Water that is delivered.
    pub delivered: Vec<Delivered>,
    /// A cubic metre of fresh water as it comes, made and delivered, in money.
    pub fresh_litre_per_m3: Option<Estimate>,
    /// How long the stores last when the feed stops, at their worst and when full.
    pub endurance: Vec<Stores>,
    /// One entry for each vessel.
    pub vessels: Vec<VesselSupply>,
}

/// One vessel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VesselSupply {
    /// The owner's name for it.
    pub name: String,
    /// Time that it lasts from its stop level when nothing is made, s.
    pub lasts_full_s: Option<f64>,
    /// Time from one run to the next, s.
    pub between_runs_s: Option<f64>,
}

/// How long the stores last.
pub(crate) fn supply(
    station: &Station,
    levels: &Levels,
    batch: &Batch,
    needs: &Needs,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Supply {
    let endurance = super::stores_left(station, needs, sheet);
    let made = super::made(station, needs, sheet, findings);
    let comes = super::delivered::delivered(station, Water::Fresh, sheet)
        .ok()
        .flatten();
    let deliveries = super::delivered::deliveries(station, needs, sheet);
    super::delivered::find(
        station,
        batch,
        needs,
        made.as_ref(),
        (&deliveries, comes),
        sheet,
        findings,
    );
    let litre = super::delivered::litre_as_it_comes(station, needs, made.as_ref(), sheet);
    let lean = made
        .as_ref()
        .and_then(|made| made.months.iter().find(|month| month.month == made.leanest_month));
    let mut out = Supply {
        made_m3_per_s: lean.map(|month| month.made_m3_per_s.value),
        need_m3_per_s: lean.and_then(|month| month.need_m3_per_s.as_ref().map(|need| need.value)),
        endurance,
        delivered: deliveries,
        fresh_litre_per_m3: litre.map(|id| sheet.estimate(id)),
        purifier: made,
        ..Supply::default()
    };
    let sole = |water| {
        station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.holds.value == water)
            .count()
            == 1
    };
    for entry in &levels.vessels {
        let Some(vessel) = station.vessel(&entry.name) else {
            continue;
        };
        let water = vessel.fields.holds.value;
        let need = match water {
            Water::Fresh => needs.fresh,
            Water::Salt => needs.salt,
        }
        .filter(|need| sheet.value(*need) > 0.0 && sole(water));
        let mut supply = VesselSupply {
            name: entry.name.clone(),
            lasts_full_s: None,
            between_runs_s: None,
        };
        if let Some(need) = need {
            let name = &entry.name;
            if let Some(full) = sheet.find(&format!("{name}.drawable-full"))
                && let Ok(id) = sheet.figure(
                    format!("{name}.lasts"),
                    format!("{name}: lasts, full, when nothing is made"),
                    &m::DAYS_HELD,
                    &[full, need],
                )
            {
                sheet.headline(id);
                supply.lasts_full_s = Some(sheet.value(id));
            }
            // A float has no runs of a size.
            if let Some(run) = sheet
                .find(&format!("{name}.run"))
                .filter(|_| entry.run_volume_m3.is_some())
                && let Ok(id) = sheet.figure(
                    format!("{name}.between-runs"),
                    format!("{name}: from one run to the next"),
                    &m::RUNS_A_WEEK,
                    &[run, need],
                )
            {
                supply.between_runs_s = Some(sheet.value(id));
            }
            if water == Water::Salt {
                too_old(station, &supply, needs, findings);
            }
        }
        out.vessels.push(supply);
    }
    batch_takes_the_reserve(station, batch, sheet, findings);
    out
}

/// A batch that leaves less fresh water than must be ready, even right after a run.
fn batch_takes_the_reserve(station: &Station, batch: &Batch, sheet: &Sheet, findings: &mut Vec<Finding>) {
    let fresh: Vec<&str> = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Fresh)
        .map(|vessel| vessel.name.as_str())
        .collect();
    let ([name], Some(reserve)) = (fresh.as_slice(), &station.reserve.fresh) else {
        return;
    };
    let Some(full) = sheet.find(&format!("{name}.drawable-full")) else {
        return;
    };
    for entry in &batch.vessels {
        let left = sheet.value(full) - sheet.value(entry.fresh);
        if left >= reserve.value.m3() {
            continue;
        }
        let fate = match left > 0.0 {
            true => format!(
                "which leaves {}, less than the reserve",
                say(station, Kind::Volume, left)
            ),
            false => "more than there is: fill in two goes".to_owned(),
        };
        findings.push(
            Finding::new(
                "batch-takes-the-reserve",
                Severity::Note,
                format!("vessels.{}", entry.vessel),
                format!(
                    "One batch in {} takes {} of the {} that {} gives when full, {fate}. Start it right after a run, and let the next run follow at once.",
                    shown(&entry.vessel),
                    figure(&format!("{}.fresh-fill", entry.vessel)),
                    figure(&format!("{name}.drawable-full")),
                    shown(name),
                ),
            )
            .figure(format!("{}.fresh-fill", entry.vessel))
            .figure(format!("{name}.drawable-full")),
        );
    }
}

/// A batch that outlives its maker's time.
fn too_old(station: &Station, supply: &VesselSupply, needs: &Needs, findings: &mut Vec<Finding>) {
    let (Some(salt), Some(lasts)) = (&station.salt, supply.lasts_full_s) else {
        return;
    };
    let limit = salt.use_within.value.s();
    if lasts <= limit * 1.05 {
        return;
    }
    let name = &supply.name;
    let path = format!("vessels.{name}.batch_volume");
    let severity = if salt.use_within.is_given() {
        Severity::Should
    } else {
        Severity::Note
    };
    let reserve = station
        .reserve
        .salt
        .as_ref()
        .map_or(0.0, |reserve| reserve.value.m3());
    let mut finding = Finding::new(
        "batch-grows-old",
        severity,
        path.clone(),
        format!(
            "The tanks take {} to use up {}, longer than the {} within which mixed water should be used.",
            figure(&format!("{name}.lasts")),
            shown(name),
            say(station, Kind::Time, limit)
        ),
    )
    .figure(format!("{name}.lasts"));
    let smaller = needs.salt_m3_per_s * limit;
    if smaller > reserve {
        finding = finding.recipe(vec![set_volume(station, path, smaller, false)]);
    }
    findings.push(finding);
}

impl Supply {
    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        if let Some(made) = &mut self.purifier {
            made.each(fill);
        }
        for delivery in &mut self.delivered {
            delivery.each(fill);
        }
        self.fresh_litre_per_m3.iter_mut().for_each(&mut *fill);
        for stores in &mut self.endurance {
            stores.each(fill);
        }
    }
}
