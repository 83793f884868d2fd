//! What there is to say of water that comes ready-made or from the sea, beside what is made here or in its place.

use station::quantity::Kind;
use station::sections::{DeliveredFields, DeliveredKind, Water};
use station::{Named, Station};

use super::Delivered;
use crate::analysis::batch::Batch;
use crate::analysis::needs::Needs;
use crate::analysis::speak::{figure, say, shown};
use crate::analysis::water::Made;
use crate::finding::{Finding, Severity};
use crate::sheet::{NodeId, Sheet};

/// A salinity is met within half a unit (house rule).
const NEAR: f64 = 0.5;

/// All findings about deliveries; `made` is nothing where no purifier gives water.
pub(crate) fn find(
    station: &Station,
    batch: &Batch,
    needs: &Needs,
    made: Option<&Made>,
    (deliveries, comes): (&[Delivered], Option<NodeId>),
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    if let Some(comes) = comes {
        enough(station, needs, made, comes, sheet, findings);
    }
    for (delivery, seen) in station.delivered.iter().zip(deliveries) {
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
        too_large(station, name, fields, findings);
        in_time(station, delivery, seen, sheet, findings);
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

/// What is delivered by itself against the need, in the season that takes most.
fn enough(
    station: &Station,
    needs: &Needs,
    made: Option<&Made>,
    comes: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let first = station
        .delivered
        .iter()
        .find(|delivery| delivery.fields.holds.value == Water::Fresh && delivery.fields.every.is_some());
    let (Some(first), Some(need)) = (first, needs.fresh_in_worst_season(sheet)) else {
        return;
    };
    let (comes, need) = (sheet.value(comes), sheet.value(need));
    let place = format!("delivered.{}", first.name);
    let (come, wanted) = (say(station, Kind::Flow, comes), say(station, Kind::Flow, need));
    let season = needs.season_of_most(sheet).replace(", ", " ");
    let finding = if comes >= need {
        let mend = match made {
            Some(_) => {
                "the purifier only stands by. Run it once a week all the same: a membrane that stands spoils"
            }
            None => "keep a store for the time that one delivery fails",
        };
        Finding::new(
            "delivered-is-enough",
            Severity::Note,
            place,
            format!("{come} of fresh water come as a mean, for a need of {wanted}{season}: {mend}."),
        )
    } else if station.purifier.is_none() {
        Finding::new(
            "delivered-too-little",
            Severity::Must,
            place,
            format!(
                "{come} of fresh water come as a mean, for a need of {wanted}{season}: order more, or describe the purifier that makes the rest."
            ),
        )
        .gap((need - comes) / need)
    } else {
        return;
    };
    findings.push(finding);
}

/// More at once than all vessels for it hold to their freeboard.
fn too_large(station: &Station, name: &str, fields: &DeliveredFields, findings: &mut Vec<Finding>) {
    let room: f64 = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == fields.holds.value)
        .filter_map(|vessel| {
            let highest = (vessel.height_m() - vessel.fields.freeboard.value.m()).max(0.0);
            vessel.shape.volume_m3(highest).ok()
        })
        .sum();
    let volume = fields.volume.value.m3();
    if volume <= room {
        return;
    }
    let sentence = match room > 0.0 {
        true => format!(
            "{} brings {} at once, and all vessels for {} water hold {} below their freeboard: order less, or have something to keep the rest in.",
            shown(name),
            say(station, Kind::Volume, volume),
            fields.holds.value.word(),
            say(station, Kind::Volume, room)
        ),
        false => format!(
            "{} brings {} at once, and no vessel here holds {} water: describe the one that it goes into.",
            shown(name),
            say(station, Kind::Volume, volume),
            fields.holds.value.word()
        ),
    };
    findings.push(
        Finding::new(
            "delivery-larger-than-stores",
            Severity::Should,
            fields.volume.path.clone(),
            sentence,
        )
        .gap((volume - room) / volume),
    );
}

/// Water that comes when it is called: how much must be left then, and whether the stores hold that much.
fn in_time(
    station: &Station,
    delivery: &Named<DeliveredFields>,
    seen: &Delivered,
    sheet: &Sheet,
    findings: &mut Vec<Finding>,
) {
    let Some(call_at) = &seen.call_at_m3 else {
        return;
    };
    let name = &delivery.name;
    let notice_s = delivery.fields.notice.value.s();
    let notice = say(station, Kind::Time, notice_s);
    let place = format!("delivered.{name}.notice");
    let key = format!("delivered.{name}.call-at");
    let stored = |at: &str| {
        sheet
            .find(&format!("stores.{}-{at}", seen.holds))
            .map(|id| sheet.value(id))
    };
    let Some(full) = stored("full") else { return };
    if call_at.value > full {
        findings.push(
            Finding::new(
                "delivery-too-late",
                Severity::Should,
                place,
                format!(
                    "{} comes {notice} after the call, and until then {} of {} water are used: more than full stores hold. Keep more, or find a quicker one.",
                    shown(name),
                    figure(&key),
                    seen.holds
                ),
            )
            .figure(key)
            .gap((call_at.value - full) / full.max(1e-6)),
        );
        return;
    }
    let lasts = "stores.top-off-worst";
    let worst = sheet.find(lasts).map(|id| sheet.value(id));
    if let Some(left) = worst.filter(|left| seen.holds == Water::Fresh.word() && *left < notice_s) {
        findings.push(
            Finding::new(
                "delivery-too-late",
                Severity::Should,
                place,
                format!(
                    "{} comes {notice} after the call, but just before a fill top-off lasts {}: call it at the first sign, or keep more.",
                    shown(name),
                    figure(lasts)
                ),
            )
            .figure(lasts)
            .gap(notice_s - left),
        );
        return;
    }
    findings.push(
        Finding::new(
            "call-in-time",
            Severity::Note,
            place,
            format!(
                "Call {} while {} of {} water are left: it comes {notice} after the call.",
                name,
                figure(&key),
                seen.holds
            ),
        )
        .figure(key),
    );
}
