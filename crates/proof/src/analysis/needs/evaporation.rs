//! What evaporates from a tank, in summer and in winter: measured, or computed from its surface.

use station::quantity::{Fraction, Temperature};
use station::quantity::{Kind, Spread};
use station::register::Field;
use station::{Edit, Station, Tank};

use super::fresh_vessel::added;
use super::target_of;
use crate::analysis::batch::Batch;
use crate::analysis::speak::{figure, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Evaporation of one tank.
#[derive(Debug, Clone, Copy)]
pub(super) struct Evaporation {
    pub(super) summer: NodeId,
    pub(super) winter: NodeId,
    /// Mean of the year.
    pub(super) mean: NodeId,
}

/// Measured where somebody did, else computed; `None` where the computation refuses.
pub(super) fn evaporation(station: &Station, tank: &Tank, sheet: &mut Sheet) -> Option<Evaporation> {
    let (name, fields) = (&tank.name, &tank.fields);
    let (summer, winter) = match (&fields.evaporation, &fields.surface) {
        (Some(measured), _) => {
            let summer = sheet.given(measured);
            let winter = fields
                .evaporation_in_winter
                .as_ref()
                .map_or(summer, |winter| sheet.given(winter));
            (summer, winter)
        }
        (None, Some(surface)) => {
            let room = &station.room;
            let surface = sheet.given(surface);
            let mut at = |season: &str, air: &Field<Temperature>, humidity: &Field<Fraction>| {
                let inputs = [
                    surface,
                    sheet.given(&fields.surface_activity),
                    sheet.given(&fields.temperature),
                    sheet.given(air),
                    sheet.given(humidity),
                    sheet.given(&room.air_speed),
                    sheet.given(&fields.salinity),
                    sheet.assumed(
                        "evaporation.true-share",
                        1.0,
                        Kind::Number,
                        Spread::normal(0.3),
                        "the formula itself is good to perhaps 30 %",
                    ),
                ];
                sheet
                    .figure(
                        format!("{name}.evaporation-{season}"),
                        format!("{name}: water that evaporates in {season}, computed"),
                        &m::EVAPORATION,
                        &inputs,
                    )
                    .ok()
            };
            (
                at("summer", &room.air_temperature, &room.humidity)?,
                at("winter", &room.winter_air_temperature, &room.winter_humidity)?,
            )
        }
        (None, None) => return None,
    };
    let mean = if summer == winter {
        summer
    } else {
        let quarter = months_after_coldest(sheet, 3);
        sheet
            .figure(
                format!("{name}.evaporation"),
                format!("{name}: water that evaporates, mean of the year"),
                &m::SEASON,
                &[summer, winter, quarter],
            )
            .ok()?
    };
    Some(Evaporation { summer, winter, mean })
}

/// So many months after the coldest, as an input of a figure.
///
/// A year is one even wave, so that eleven months after are the same as one.
pub(crate) fn months_after_coldest(sheet: &mut Sheet, months: usize) -> NodeId {
    let months = months.min(12_usize.saturating_sub(months));
    sheet.assumed(
        &format!("months from the coldest: {months}"),
        months as f64,
        Kind::Number,
        Spread::NONE,
        "counted from feed.coldest_month, whichever way is shorter",
    )
}

/// A tank whose evaporation nobody measured.
pub(super) fn computed(tank: &Tank, sheet: &Sheet, findings: &mut Vec<Finding>) {
    let name = &tank.name;
    let key = format!("{name}.evaporation-winter");
    if tank.fields.evaporation.is_some() || sheet.find(&key).is_none() {
        return;
    }
    findings.push(
        Finding::new(
            "evaporation-computed",
            Severity::Note,
            format!("tanks.{name}"),
            format!(
                "Nobody measured what evaporates from {}: computed from its surface it is {} in winter. A week of noted top-off beats that; write it as evaporation.",
                shown(name),
                figure(&key)
            ),
        )
        .figure(key),
    );
}

pub(super) fn drift(
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
    let fresh = Edit::quoted(path.clone(), "fresh");
    let with_vessel = added(station, sheet.value(evaporation)).map(|vessel| vec![fresh.clone(), vessel]);
    let mut finding = Finding::new(
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
        .recipe(vec![fresh]);
    if let Some(both) = with_vessel {
        finding = finding.recipe(both);
    }
    findings.push(finding);
}
