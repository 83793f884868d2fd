//! What salt water costs, as far as prices are given.

use serde::Serialize;
use station::Station;

use super::batch::Batch;
use super::{CostPart, Supply};
use crate::estimate::Estimate;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Costs in the station's currency.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Cost {
    /// Code of the currency.
    pub currency: String,
    /// A cubic metre of purified water, as far as prices are given.
    pub purified_water_per_m3: Option<Estimate>,
    /// Its parts.
    pub parts: Vec<CostPart>,
    /// Parts without a price in the file.
    pub unpriced: Vec<&'static str>,
    /// Salt in one batch, for each salt vessel in turn.
    pub salt_per_batch: Vec<f64>,
    /// A cubic metre of finished salt water, for each salt vessel in turn.
    pub salt_water_per_m3: Vec<f64>,
}

/// What salt water costs.
pub(crate) fn cost(station: &Station, batch: &Batch, supply: &Supply, sheet: &mut Sheet) -> Cost {
    let mut out = Cost {
        currency: station.currency().code().to_owned(),
        purified_water_per_m3: supply
            .purifier
            .as_ref()
            .and_then(|made| made.run.cost_per_m3.clone()),
        parts: supply
            .purifier
            .as_ref()
            .map_or_else(Vec::new, |made| made.cost_parts.clone()),
        unpriced: supply
            .purifier
            .as_ref()
            .map_or_else(Vec::new, |made| made.unpriced.clone()),
        ..Cost::default()
    };
    // What a litre costs as it comes beats a price that somebody once wrote down.
    let own_litre = supply.fresh_litre_per_m3.as_ref().map(|litre| litre.node);
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
        let water = own_litre.or_else(|| {
            let price = station.prices.purified_water.as_ref();
            price.map(|price| sheet.given(price))
        });
        let total = match water {
            Some(water) => of(
                sheet,
                "batch-cost",
                "salt and purified water in one batch",
                &m::COST_OF_BATCH,
                &[salt_cost, entry.fresh, water],
            ),
            None => Some(salt_cost),
        };
        if let Some(total) = total
            && let Some(id) = of(
                sheet,
                "litre-cost",
                "cost of salt water",
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

impl Cost {
    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        self.purified_water_per_m3
            .iter_mut()
            .chain(self.parts.iter_mut().map(|part| &mut part.per_m3))
            .for_each(fill);
    }
}
