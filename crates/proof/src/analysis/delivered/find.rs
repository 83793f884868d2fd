//! What there is to say of water that comes ready-made or from the sea, beside what is made here or in its place.

use station::Station;
use station::quantity::Kind;
use station::sections::{DeliveredFields, DeliveredKind, Water};

use crate::analysis::batch::Batch;
use crate::analysis::needs::Needs;
use crate::analysis::speak::{figure, say, shown};
use crate::analysis::water::Made;
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

/// A salinity is met within half a unit (house rule).
const NEAR: f64 = 0.5;

/// All findings about deliveries; `made` is nothing where no purifier gives water.
pub(crate) fn find(
    station: &Station,
    batch: &Batch,
    made: Option<&Made>,
    sheet: &Sheet,
    findings: &mut Vec<Finding>,
) {
    for delivery in &station.delivered {
        let (name, fields) = (&delivery.name, &delivery.fields);
        let place = format!("delivered.{name}");
        if fields.holds.value == Water::Salt {
            let target = batch.vessels.first().map(|batch| batch.target_salinity);
            if let (Some(salinity), Some(target)) = (&fields.salinity, target) {
                let comes = salinity.value.practical();
                if (comes - target).abs() > NEAR {
                    let mend = if comes < target {
                        "trim it with dry mix before it is used"
                    } else {
                        "thin it with purified water before it is used"
                    };
                    findings.push(Finding::new(
                        "delivered-at-other-salinity",
                        Severity::Should,
                        salinity.path.clone(),
                        format!(
                            "{} comes at {comes}, your batches are at {target}: {mend}.",
                            shown(name)
                        ),
                    ));
                }
            }
        }
        too_late(station, name, fields, sheet, findings);
        if fields.kind.value == DeliveredKind::Natural {
            findings.push(Finding::new(
                "natural-water",
                Severity::Note,
                place.clone(),
                format!(
                    "{} is natural: it brings life with it. Filter it, let it stand dark and cold for some weeks or treat it, test ammonia and salinity, and never fetch it after rain or a bloom; where it may be taken is for local rules.",
                    shown(name)
                ),
            ));
        }
        if fields.kind.value == DeliveredKind::Purified
            && let (Some(price), Some(own)) =
                (&fields.price, made.and_then(|made| made.run.cost_per_m3.as_ref()))
            && price.value.per_m3() < own.value
        {
            findings.push(
                Finding::new(
                    "delivered-is-cheaper",
                    Severity::Note,
                    price.path.clone(),
                    format!(
                        "{} costs {}, less than your own at {}; without the work of carrying it, that is.",
                        shown(name),
                        say(station, Kind::PricePerVolume, price.value.per_m3()),
                        figure("run.litre")
                    ),
                )
                .figure("run.litre"),
            );
        }
        if let Some(conductivity) = &fields.conductivity
            && conductivity.value.s_m() > 20e-4
        {
            let resin = station
                .purifier
                .as_ref()
                .is_some_and(|purifier| !purifier.beds.is_empty());
            let mend = match resin {
                true => "pass it through your resin",
                false => "pass it through a bed of resin, or ask for purer water",
            };
            findings.push(Finding::new(
                "delivered-not-pure",
                Severity::Should,
                conductivity.path.clone(),
                format!(
                    "{} comes with {}, where water for tanks should have less than 20 µS/cm: {mend}.",
                    shown(name),
                    say(station, Kind::Conductivity, conductivity.value.s_m())
                ),
            ));
        }
    }
}

/// Nothing is made here, and less is delivered than is needed.
pub(crate) fn too_little(
    station: &Station,
    needs: &Needs,
    delivered_m3_per_s: f64,
    sheet: &Sheet,
    findings: &mut Vec<Finding>,
) {
    let fresh = |delivery: &&station::Named<DeliveredFields>| delivery.fields.holds.value == Water::Fresh;
    let (Some(need), Some(first)) = (
        needs.fresh.map(|id| sheet.value(id)),
        station.delivered.iter().find(fresh),
    ) else {
        return;
    };
    if delivered_m3_per_s >= need {
        return;
    }
    findings.push(
        Finding::new(
            "delivered-too-little",
            Severity::Must,
            format!("delivered.{}", first.name),
            format!(
                "{} of fresh water come as a mean, for a need of {}: order more, or describe the purifier that makes the rest.",
                say(station, Kind::Flow, delivered_m3_per_s),
                say(station, Kind::Flow, need)
            ),
        )
        .gap((need - delivered_m3_per_s) / need),
    );
}

/// Water that is called when the purifier fails, and comes after the stores are empty.
fn too_late(
    station: &Station,
    name: &str,
    fields: &DeliveredFields,
    sheet: &Sheet,
    findings: &mut Vec<Finding>,
) {
    if fields.holds.value != Water::Fresh || fields.every.is_some() {
        return;
    }
    let key = "stores.top-off-worst";
    let Some(left) = sheet.find(key).map(|id| sheet.value(id)) else {
        return;
    };
    if left >= fields.notice.value.s() {
        return;
    }
    findings.push(
        Finding::new(
            "delivery-too-late",
            Severity::Should,
            format!("delivered.{name}.notice"),
            format!(
                "{} comes {} after the call, but just before a fill top-off lasts {}: call it at the first sign, or keep more.",
                shown(name),
                say(station, Kind::Time, fields.notice.value.s()),
                figure(key)
            ),
        )
        .figure(key)
        .gap(fields.notice.value.s() - left),
    );
}
