//! What salt water costs, as far as prices are given.

use serde::Serialize;
use station::Station;

use super::batch::Batch;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Costs in the station's currency.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Cost {
    /// Code of the currency.
    pub currency: String,
    /// Salt in one batch, for each salt vessel in turn.
    pub salt_per_batch: Vec<f64>,
    /// A cubic metre of finished salt water, for each salt vessel in turn.
    pub salt_water_per_m3: Vec<f64>,
}

/// What salt water costs.
pub(crate) fn cost(station: &Station, batch: &Batch, sheet: &mut Sheet) -> Cost {
    let mut out = Cost {
        currency: station.currency().code().to_owned(),
        ..Cost::default()
    };
    let (Some(salt), Some(price)) = (&station.salt, &station.prices.salt_bag) else {
        return out;
    };
    let Some(bag) = &salt.bag else { return out };
    let (bag, price) = (sheet.given(bag), sheet.given(price));
    for entry in &batch.vessels {
        let name = &entry.vessel;
        let of = |sheet: &mut Sheet, key: &str, title: &str, method, inputs: &[NodeId]| {
            sheet
                .figure(
                    format!("{name}.{key}"),
                    format!("{name}: {title}"),
                    method,
                    inputs,
                )
                .ok()
        };
        let Some(salt_cost) = of(
            sheet,
            "salt-cost",
            "salt in one batch",
            &m::COST_OF_SALT,
            &[entry.dry, price, bag],
        ) else {
            continue;
        };
        out.salt_per_batch.push(sheet.value(salt_cost));
        let total = match &station.prices.purified_water {
            Some(water) => {
                let water = sheet.given(water);
                of(
                    sheet,
                    "batch-cost",
                    "salt and purified water in one batch",
                    &m::COST_OF_BATCH,
                    &[salt_cost, entry.fresh, water],
                )
            }
            None => Some(salt_cost),
        };
        if let Some(total) = total
            && let Some(id) = of(
                sheet,
                "litre-cost",
                "a litre of salt water",
                &m::COST_PER_VOLUME,
                &[total, entry.finished],
            )
        {
            sheet.headline(id);
            out.salt_water_per_m3.push(sheet.value(id));
        }
    }
    out
}
