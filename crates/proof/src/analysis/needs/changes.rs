//! Changes that don't fit the batch: another salinity, more at once than there is.

use station::quantity::{Kind, Spread};
use station::{Station, Tank};

use super::{Needs, target_of};
use crate::analysis::batch::{Batch, SaltBatch};
use crate::analysis::speak::{figure, say, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Salt and fresh water in one change of a tank that is kept weaker than the batch, m³ each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Thinned {
    pub(crate) salt: NodeId,
    pub(crate) fresh: NodeId,
}

/// The batch that a tank's changes come from: the weakest that is still salty enough; where there is none, the saltiest.
fn batch_for(batch: &Batch, wanted: f64) -> Option<&SaltBatch> {
    let saltier = |batch: &&SaltBatch| batch.target_salinity >= wanted;
    let by_salinity = |a: &&SaltBatch, b: &&SaltBatch| a.target_salinity.total_cmp(&b.target_salinity);
    let weakest = batch.vessels.iter().filter(saltier).min_by(by_salinity);
    weakest.or_else(|| batch.vessels.iter().max_by(by_salinity))
}

/// Whether a batch suits a tank as it is.
fn suits(batch: &SaltBatch, wanted: f64) -> bool {
    (batch.target_salinity - wanted).abs() <= 0.5
}

/// What a change of a tank takes that is kept weaker than any batch made here; nothing where a batch suits it, or none is
/// salty enough.
pub(super) fn thinned(
    station: &Station,
    tank: &Tank,
    change: NodeId,
    batch: &Batch,
    sheet: &mut Sheet,
) -> Option<Thinned> {
    let name = &tank.name;
    let wanted = tank.fields.salinity.value.practical();
    let first = batch_for(batch, wanted)?;
    if batch.vessels.iter().any(|own| suits(own, wanted)) || wanted > first.target_salinity {
        return None;
    }
    let strong = target_of(station, Some(first), sheet)?;
    let inputs = [
        change,
        strong,
        sheet.given(&tank.fields.salinity),
        sheet.given(&tank.fields.temperature),
    ];
    let mut part = |key: &str, what: &str, method| {
        let title = format!("{name}: {what} in one of its changes");
        sheet.figure(format!("{name}.{key}"), title, method, &inputs).ok()
    };
    Some(Thinned {
        salt: part("salt-in-a-change", "salt water", &m::BATCH_IN_CHANGE)?,
        fresh: part("fresh-in-a-change", "fresh water", &m::FRESH_IN_BUCKET)?,
    })
}

/// A tank at another salinity than the batch: how to thin a bucket for it.
pub(super) fn other_salinity(
    station: &Station,
    tank: &Tank,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let name = &tank.name;
    let wanted = tank.fields.salinity.value.practical();
    let Some(first) = batch_for(batch, wanted) else {
        return;
    };
    if tank.fields.change.is_none() || batch.vessels.iter().any(|own| suits(own, wanted)) {
        return;
    }
    let place = format!("tanks.{name}.salinity");
    if wanted > first.target_salinity {
        findings.push(Finding::new(
            "tank-saltier-than-batch",
            Severity::Should,
            place,
            format!("{} is kept at {wanted}, saltier than any batch made here: its changes thin it. Mix a batch at its salinity.", shown(name)),
        ));
        return;
    }
    let bucket_m3 = match station.units() {
        station::quantity::UnitSystem::Si => 0.020,
        station::quantity::UnitSystem::Us => 5.0 * 3.785_411_784e-3,
    };
    let bucket = sheet.assumed(
        "bucket",
        bucket_m3,
        Kind::Volume,
        Spread::NONE,
        "a bucket of the usual size",
    );
    let Some(strong) = target_of(station, Some(first), sheet) else {
        return;
    };
    let node = sheet.given(&tank.fields.salinity);
    let temperature = sheet.given(&tank.fields.temperature);
    let key = format!("{name}.fresh-in-a-bucket");
    let made = sheet.figure(
        key.clone(),
        format!("{name}: fresh water in each bucket of its changes"),
        &m::FRESH_IN_BUCKET,
        &[bucket, strong, node, temperature],
    );
    if made.is_ok() {
        findings.push(
            Finding::new(
                "tank-at-other-salinity",
                Severity::Note,
                place,
                format!(
                    "{} is kept at {wanted}, the batch at {}. For its changes put {} of fresh water into each bucket of {}, and the rest from the batch.",
                    shown(name),
                    first.target_salinity,
                    figure(&key),
                    say(station, Kind::Volume, bucket_m3)
                ),
            )
            .figure(key),
        );
    }
}

/// The largest emergency change against one batch.
pub(super) fn emergency(station: &Station, batch: &Batch, needs: &Needs, findings: &mut Vec<Finding>) {
    let largest: f64 = batch.vessels.iter().map(|batch| batch.finished_volume_m3).sum();
    let Some(tank) = needs
        .tanks
        .iter()
        .max_by(|a, b| a.emergency_m3.total_cmp(&b.emergency_m3))
    else {
        return;
    };
    if !batch.vessels.is_empty() && tank.emergency_m3 > largest {
        findings.push(
            Finding::new(
                "emergency-in-parts",
                Severity::Note,
                format!("tanks.{}", tank.name),
                format!(
                    "One emergency change of {} takes {}, more than the {} that all batches hold: plan it in parts, or keep a larger batch.",
                    shown(&tank.name),
                    figure(&format!("{}.emergency", tank.name)),
                    say(station, Kind::Volume, largest)
                ),
            )
            .figure(format!("{}.emergency", tank.name)),
        );
    }
}
