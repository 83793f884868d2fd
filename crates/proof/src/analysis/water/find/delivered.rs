//! Water that comes ready-made or from the sea, beside what is made here.

use station::quantity::Kind;
use station::sections::{DeliveredFields, DeliveredKind, Water};

use super::Seen;
use crate::analysis::speak::{figure, say, shown};
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

/// A salinity is met within half a unit (house rule).
const NEAR: f64 = 0.5;

pub(super) fn find(seen: &Seen<'_>, sheet: &Sheet, findings: &mut Vec<Finding>) {
    for delivery in &seen.station.delivered {
        let (name, fields) = (&delivery.name, &delivery.fields);
        let place = format!("delivered.{name}");
        if fields.holds.value == Water::Salt {
            let target = seen.batch.vessels.first().map(|batch| batch.target_salinity);
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
        too_late(seen, name, fields, sheet, findings);
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
            && let (Some(price), Some(own)) = (&fields.price, &seen.made.run.cost_per_m3)
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
                        say(seen.station, Kind::PricePerVolume, price.value.per_m3()),
                        figure("run.litre")
                    ),
                )
                .figure("run.litre"),
            );
        }
        if let Some(conductivity) = &fields.conductivity
            && conductivity.value.s_m() > 20e-4
        {
            findings.push(Finding::new(
                "delivered-not-pure",
                Severity::Should,
                conductivity.path.clone(),
                format!(
                    "{} comes with {}, where water for tanks should have less than 20 µS/cm: pass it through your resin.",
                    shown(name),
                    say(seen.station, Kind::Conductivity, conductivity.value.s_m())
                ),
            ));
        }
    }
}

/// Water that is called when the purifier fails, and comes after the stores are empty.
fn too_late(
    seen: &Seen<'_>,
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
                say(seen.station, Kind::Time, fields.notice.value.s()),
                figure(key)
            ),
        )
        .figure(key)
        .gap(fields.notice.value.s() - left),
    );
}
