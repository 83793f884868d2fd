//! Water that is delivered: what comes as a mean, what it costs, when it must be called.

mod find;

use serde::Serialize;
use station::Station;
use station::sections::Water;

use super::needs::Needs;
use super::water::Made;
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

pub(crate) use find::find;

/// One delivery.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Delivered {
    /// The owner's name for it.
    pub name: String,
    /// `fresh` or `salt`.
    pub holds: &'static str,
    /// `purified`, `mixed` or `natural`.
    pub kind: &'static str,
    /// Volume that comes at once, m³.
    pub volume_m3: f64,
    /// What comes as a mean, m³/s; nothing where it comes when called.
    pub mean_m3_per_s: Option<Estimate>,
    /// Time from the call to the water, s.
    pub notice_s: f64,
    /// Water that must be left in store when it is called, m³; nothing where it comes by itself.
    pub call_at_m3: Option<Estimate>,
    /// A cubic metre of it, in money.
    pub price_per_m3: Option<f64>,
}

/// All deliveries.
pub(crate) fn deliveries(station: &Station, needs: &Needs, sheet: &mut Sheet) -> Vec<Delivered> {
    station
        .delivered
        .iter()
        .map(|delivery| {
            let (name, fields) = (&delivery.name, &delivery.fields);
            let need = match fields.holds.value {
                // Without the purifier top-off comes first.
                Water::Fresh => needs.most_top_off(sheet),
                Water::Salt => needs.salt,
            };
            let called = need.filter(|_| fields.every.is_none());
            let call_at = called.and_then(|need| {
                let notice = sheet.given(&fields.notice);
                sheet
                    .figure(
                        format!("delivered.{name}.call-at"),
                        format!("{name}: water that must be left when it is called"),
                        &m::NEED_OF_TIME,
                        &[need, notice],
                    )
                    .ok()
            });
            let mean = sheet.find(&mean_key(name));
            Delivered {
                name: name.clone(),
                holds: fields.holds.value.word(),
                kind: fields.kind.value.word(),
                volume_m3: fields.volume.value.m3(),
                mean_m3_per_s: mean.map(|id| sheet.estimate(id)),
                notice_s: fields.notice.value.s(),
                call_at_m3: call_at.map(|id| sheet.estimate(id)),
                price_per_m3: fields.price.as_ref().map(|price| price.value.per_m3()),
            }
        })
        .collect()
}

fn mean_key(name: &str) -> String {
    format!("delivered.{name}.mean")
}

/// Water of one kind that is delivered regularly, as a mean.
pub(crate) fn delivered(
    station: &Station,
    water: Water,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let mut flows = Vec::new();
    for delivery in station.delivered.iter().filter(|d| d.fields.holds.value == water) {
        let Some(every) = &delivery.fields.every else {
            continue;
        };
        let key = mean_key(&delivery.name);
        if let Some(known) = sheet.find(&key) {
            flows.push(known);
            continue;
        }
        let inputs = [sheet.given(&delivery.fields.volume), sheet.given(every)];
        flows.push(sheet.figure(
            key,
            format!("{}: delivered as a mean", delivery.name),
            &m::DELIVERED_RATE,
            &inputs,
        )?);
    }
    let key = format!("delivered.{}", water.word());
    match (flows.as_slice(), sheet.find(&key)) {
        ([], _) => Ok(None),
        ([one], _) => Ok(Some(*one)),
        (_, Some(known)) => Ok(Some(known)),
        (flows, None) => sheet
            .figure(
                key,
                format!("{} water delivered as a mean", water.word()),
                &m::DAILY_SUM,
                flows,
            )
            .map(Some),
    }
}

/// A litre of fresh water as it comes, made and delivered, by their shares in the mean year; the purifier's own where
/// nothing is delivered regularly, nothing where a price is missing.
pub(crate) fn litre_as_it_comes(
    station: &Station,
    needs: &Needs,
    made: Option<&Made>,
    sheet: &mut Sheet,
) -> Option<NodeId> {
    let own = made.and_then(|made| made.litre);
    let regular: Vec<_> = station
        .delivered
        .iter()
        .filter(|delivery| delivery.fields.holds.value == Water::Fresh && delivery.fields.every.is_some())
        .collect();
    if regular.is_empty() {
        return own;
    }
    let need = needs.fresh.filter(|need| sheet.value(*need) > 0.0)?;
    let mut pairs = Vec::new();
    for delivery in &regular {
        pairs.push(sheet.find(&mean_key(&delivery.name))?);
        pairs.push(sheet.given(delivery.fields.price.as_ref()?));
    }
    let comes: f64 = pairs.iter().step_by(2).map(|id| sheet.value(*id)).sum();
    let own = match own {
        Some(own) => own,
        // Nothing is made, and nothing needs to be.
        None if comes >= sheet.value(need) => *pairs.get(1)?,
        None => return None,
    };
    let mut inputs = vec![need, own];
    inputs.extend(pairs);
    sheet
        .figure(
            "fresh.litre",
            "cost of fresh water as it comes, made and delivered",
            &m::COST_AS_IT_COMES,
            &inputs,
        )
        .ok()
}

impl Delivered {
    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        [self.mean_m3_per_s.as_mut(), self.call_at_m3.as_mut()]
            .into_iter()
            .flatten()
            .for_each(fill);
    }
}
