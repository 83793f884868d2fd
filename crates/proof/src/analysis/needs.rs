//! What the tanks need: top-off, changes, emergencies; and what holds their pollutants down.

use serde::Serialize;
use station::quantity::{Kind, Spread};
use station::sections::{TopOff, Water};
use station::{Edit, Station, Tank};

use super::batch::{Batch, SaltBatch};
use super::speak::{figure, say, set_volume, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// All tanks together.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Needs {
    /// Fresh water for top-off, m³/s.
    pub top_off_m3_per_s: f64,
    /// Salt water for regular changes, m³/s.
    pub salt_m3_per_s: f64,
    /// Fresh water in all, with what goes into salt water, m³/s.
    pub fresh_m3_per_s: f64,
    /// Largest single emergency change, m³.
    pub emergency_m3: f64,
    /// One entry for each tank.
    pub tanks: Vec<TankNeed>,
    #[serde(skip)]
    pub(crate) fresh: Option<NodeId>,
    #[serde(skip)]
    pub(crate) salt: Option<NodeId>,
}

/// One tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankNeed {
    /// The owner's name for it.
    pub name: String,
    /// Top-off, m³/s.
    pub top_off_m3_per_s: f64,
    /// Mean of its regular changes, m³/s.
    pub salt_m3_per_s: f64,
    /// One emergency change, m³.
    pub emergency_m3: f64,
    /// What its pollutant settles at before each change, kg/m³.
    pub pollutant_before_change_kg_m3: Option<f64>,
    /// Share of each change that holds it at its limit.
    pub fraction_to_hold: Option<f64>,
    /// Share of one change that brings it to its limit now.
    pub one_change_now: Option<f64>,
    /// Water passed through without a break that brings it to its limit now, m³.
    pub exchange_now_m3: Option<f64>,
}

/// What the tanks need.
pub(crate) fn needs(
    station: &Station,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Needs {
    let mut out = Needs::default();
    let (mut fresh, mut salt) = (Vec::new(), Vec::new());
    for tank in &station.tanks {
        let need = one_tank(station, tank, batch, sheet, findings, &mut fresh, &mut salt);
        out.emergency_m3 = out.emergency_m3.max(need.emergency_m3);
        out.tanks.push(need);
    }
    if station.tanks.is_empty() {
        return out;
    }
    if let Ok(id) = sheet.figure("top-off", "fresh water for top-off", &m::DAILY_SUM, &fresh) {
        out.top_off_m3_per_s = sheet.value(id);
        out.fresh = Some(id);
    }
    if let Ok(id) = sheet.figure(
        "salt-need",
        "salt water that the tanks take",
        &m::DAILY_SUM,
        &salt,
    ) {
        sheet.headline(id);
        out.salt_m3_per_s = sheet.value(id);
        out.salt = Some(id);
    }
    out.fresh_m3_per_s = out.top_off_m3_per_s;
    // Salt water is mostly fresh water; the mix and the first salt vessel say how much.
    let vessel = station
        .vessels
        .iter()
        .find(|vessel| vessel.fields.holds.value == Water::Salt);
    if let (Some(strength), Some(vessel), Some(top_off), Some(salt)) =
        (batch.strength_node, vessel, out.fresh, out.salt)
    {
        let target = sheet.given(&vessel.fields.target_salinity);
        let temperature = sheet.given(&vessel.fields.mixing_temperature);
        if let Ok(in_salt) = sheet.figure(
            "fresh-for-salt",
            "fresh water that goes into salt water",
            &m::SALT_RATE_AS_FRESH,
            &[salt, target, temperature, strength],
        ) && let Ok(id) = sheet.figure(
            "fresh-need",
            "fresh water in all",
            &m::DAILY_SUM,
            &[top_off, in_salt],
        ) {
            sheet.headline(id);
            out.fresh_m3_per_s = sheet.value(id);
            out.fresh = Some(id);
        }
    } else if let Some(id) = out.fresh {
        sheet.headline(id);
    }
    emergency(station, batch, &out, findings);
    out
}

fn one_tank(
    station: &Station,
    tank: &Tank,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
    fresh: &mut Vec<NodeId>,
    salt: &mut Vec<NodeId>,
) -> TankNeed {
    let name = &tank.name;
    let fields = &tank.fields;
    let evaporation = sheet.given(&fields.evaporation);
    let volume = sheet.given(&fields.volume);
    match fields.top_off.value {
        TopOff::Fresh => fresh.push(evaporation),
        TopOff::Salt => {
            salt.push(evaporation);
            drift(station, tank, batch, evaporation, volume, sheet, findings);
        }
    }
    let mut need = TankNeed {
        name: name.clone(),
        top_off_m3_per_s: if fields.top_off.value == TopOff::Fresh {
            fields.evaporation.value.m3_s()
        } else {
            0.0
        },
        salt_m3_per_s: 0.0,
        emergency_m3: 0.0,
        pollutant_before_change_kg_m3: None,
        fraction_to_hold: None,
        one_change_now: None,
        exchange_now_m3: None,
    };
    let share = sheet.given(&fields.emergency_change);
    if let Ok(id) = sheet.figure(
        format!("{name}.emergency"),
        format!("{name}: salt water for one emergency change"),
        &m::EMERGENCY_VOLUME,
        &[share, volume],
    ) {
        need.emergency_m3 = sheet.value(id);
    }
    let every = sheet.given(&fields.change_every);
    let change = fields.change.as_ref().map(|change| sheet.given(change));
    if let Some(change) = change
        && let Ok(id) = sheet.figure(
            format!("{name}.salt-need"),
            format!("{name}: salt water for regular changes"),
            &m::CHANGE_RATE,
            &[change, every],
        )
    {
        need.salt_m3_per_s = sheet.value(id);
        salt.push(id);
    }
    pollutant(station, tank, change, every, volume, sheet, findings, &mut need);
    other_salinity(station, tank, batch, sheet, findings);
    need
}

/// The target salinity of the vessel that a batch is made in.
fn target_of(station: &Station, batch: Option<&SaltBatch>, sheet: &mut Sheet) -> Option<NodeId> {
    let vessel = station.vessel(&batch?.vessel)?;
    Some(sheet.given(&vessel.fields.target_salinity))
}

fn drift(
    station: &Station,
    tank: &Tank,
    batch: &Batch,
    evaporation: NodeId,
    volume: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let name = &tank.name;
    let salinity = match target_of(station, batch.vessels.first(), sheet) {
        Some(target) => target,
        None => sheet.given(&tank.fields.salinity),
    };
    let made = sheet.figure(
        format!("{name}.drift"),
        format!("{name}: rise of salinity in 30 days"),
        &m::TOP_OFF_DRIFT,
        &[salinity, evaporation, volume],
    );
    if made.is_err() {
        return;
    }
    let path = format!("tanks.{name}.top_off");
    findings.push(
        Finding::new(
            "salt-top-off",
            Severity::Must,
            path.clone(),
            format!(
                "Topping off {} with salt water raises its salinity by {} in 30 days without changes: only water evaporates, the salt stays.",
                shown(name),
                figure(&format!("{name}.drift"))
            ),
        )
        .figure(format!("{name}.drift"))
        .recipe(vec![Edit::quoted(path, "fresh")]),
    );
}

#[expect(
    clippy::too_many_arguments,
    reason = "one tank's nodes; a struct would be used once"
)]
fn pollutant(
    station: &Station,
    tank: &Tank,
    change: Option<NodeId>,
    every: NodeId,
    volume: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
    need: &mut TankNeed,
) {
    let name = &tank.name;
    let fields = &tank.fields;
    let what = &fields.pollutant.value;
    let limit = fields
        .pollutant_limit
        .as_ref()
        .map(|limit| (sheet.given(limit), limit.value.kg_m3()));
    if let (Some(now), Some((limit, limit_value))) = (&fields.pollutant_now, limit)
        && now.value.kg_m3() > limit_value
    {
        let node = sheet.given(now);
        if let Ok(id) = sheet.figure(
            format!("{name}.one-change-now"),
            format!("{name}: share of one change that brings {what} to its limit"),
            &m::ONE_CHANGE_NOW,
            &[node, limit],
        ) {
            need.one_change_now = Some(sheet.value(id));
            let exchange = sheet.figure(
                format!("{name}.exchange-now"),
                format!("{name}: water passed through slowly that brings {what} to its limit"),
                &m::EXCHANGE_NOW,
                &[node, limit, volume],
            );
            need.exchange_now_m3 = exchange.ok().map(|id| sheet.value(id));
            let passed = need.exchange_now_m3.map_or_else(String::new, |_| {
                format!(
                    ", or {} passed through slowly",
                    figure(&format!("{name}.exchange-now"))
                )
            });
            findings.push(
                Finding::new(
                    "pollutant-high-now",
                    Severity::Should,
                    now.path.clone(),
                    format!(
                        "{what} in {} is {} now, over its limit of {}: one change of {} brings it there{passed}; several smaller changes are kinder.",
                        shown(name),
                        say(station, Kind::Concentration, now.value.kg_m3()),
                        say(station, Kind::Concentration, limit_value),
                        figure(&format!("{name}.one-change-now")),
                    ),
                )
                .figure(format!("{name}.one-change-now")),
            );
        }
    }
    let (Some(rise), Some(change)) = (&fields.pollutant_rise, change) else {
        return;
    };
    let rise = sheet.given(rise);
    let Ok(fraction) = sheet.figure(
        format!("{name}.change-share"),
        format!("{name}: share replaced at each change"),
        &m::CHANGE_FRACTION,
        &[change, volume],
    ) else {
        return;
    };
    let Ok(before) = sheet.figure(
        format!("{name}.pollutant"),
        format!("{name}: {what} just before each change, in the long run"),
        &m::STEADY_BEFORE_CHANGE,
        &[rise, every, fraction],
    ) else {
        return;
    };
    need.pollutant_before_change_kg_m3 = Some(sheet.value(before));
    let Some((limit, limit_value)) = limit else { return };
    let Ok(hold) = sheet.figure(
        format!("{name}.share-to-hold"),
        format!("{name}: share of each change that holds {what} at its limit"),
        &m::FRACTION_TO_HOLD,
        &[rise, every, limit],
    ) else {
        return;
    };
    need.fraction_to_hold = Some(sheet.value(hold));
    if sheet.value(before) > limit_value * 1.0001 {
        let wanted = sheet.value(hold) * fields.volume.value.m3();
        findings.push(
            Finding::new(
                "changes-too-small",
                Severity::Should,
                format!("tanks.{name}.change"),
                format!(
                    "With the present changes {what} in {} climbs to {}, over its limit of {}.",
                    shown(name),
                    figure(&format!("{name}.pollutant")),
                    say(station, Kind::Concentration, limit_value)
                ),
            )
            .figure(format!("{name}.pollutant"))
            .recipe(vec![set_volume(
                station,
                format!("tanks.{name}.change"),
                wanted,
                true,
            )])
            .recipe(vec![Edit::quoted(
                format!("tanks.{name}.change_every"),
                &format!(
                    "{} days",
                    libm::floor(fields.change_every.value.s() / 86_400.0 * limit_value / sheet.value(before))
                        .max(1.0)
                ),
            )]),
        );
    }
}

/// A tank at another salinity than the batch: how to thin a bucket for it.
fn other_salinity(
    station: &Station,
    tank: &Tank,
    batch: &Batch,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let name = &tank.name;
    let wanted = tank.fields.salinity.value.practical();
    // The weakest batch that is still salty enough; where there is none, the saltiest.
    let saltier = |batch: &&SaltBatch| batch.target_salinity >= wanted;
    let by_salinity = |a: &&SaltBatch, b: &&SaltBatch| a.target_salinity.total_cmp(&b.target_salinity);
    let weakest = batch.vessels.iter().filter(saltier).min_by(by_salinity);
    let Some(first) = weakest.or_else(|| batch.vessels.iter().max_by(by_salinity)) else {
        return;
    };
    if tank.fields.change.is_none()
        || batch
            .vessels
            .iter()
            .any(|batch| (batch.target_salinity - wanted).abs() <= 0.5)
    {
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
fn emergency(station: &Station, batch: &Batch, needs: &Needs, findings: &mut Vec<Finding>) {
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
