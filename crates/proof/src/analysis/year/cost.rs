//! What a year cost, item by item, by the prices of the file.

use station::Station;
use station::sections::{BedKind, Order};

use super::run::OneYear;
use super::types::{CostItem, Over, YearCost};
use crate::plant::YEAR_S;

/// What a year is paid for.
const ITEMS: [&str; 8] = [
    "tap water",
    "resin",
    "filters",
    "membranes",
    "salt",
    "electricity",
    "work",
    "deliveries",
];

/// The costs of all years.
pub(crate) fn cost(station: &Station, years: &[OneYear]) -> YearCost {
    let prices = Prices::of(station);
    let rows: Vec<[Option<f64>; 8]> = years.iter().map(|year| prices.of_year(station, year)).collect();
    let (mut items, mut unpriced) = (Vec::new(), Vec::new());
    let mut totals = vec![0.0; years.len()];
    for (at, item) in ITEMS.iter().enumerate() {
        let values: Option<Vec<f64>> = rows.iter().map(|row| row[at]).collect();
        match values {
            // What nobody uses costs nothing and isn't told.
            Some(values) if values.iter().all(|value| *value == 0.0) => {}
            Some(values) => {
                for (total, value) in totals.iter_mut().zip(&values) {
                    *total += value;
                }
                items.push(CostItem {
                    item,
                    cost: Over::of(&values),
                    share: 0.0,
                });
            }
            None => unpriced.push(*item),
        }
    }
    items.sort_by(|a, b| b.cost.mean.total_cmp(&a.cost.mean));
    let total = Over::of(&totals);
    for item in &mut items {
        item.share = if total.mean > 0.0 {
            item.cost.mean / total.mean
        } else {
            0.0
        };
    }
    YearCost {
        total,
        items,
        unpriced,
        currency: station.display.currency.value.to_string(),
    }
}

/// What one year cost, as far as prices are given.
pub(crate) fn cost_of(station: &Station, year: &OneYear) -> f64 {
    Prices::of(station)
        .of_year(station, year)
        .into_iter()
        .flatten()
        .sum()
}

/// Prices of what is used up, nothing where the file has none.
struct Prices {
    water_m3: Option<f64>,
    /// A change of the beds that are changed together, and whether there is resin.
    beds: Option<f64>,
    has_beds: bool,
    membranes_year: Option<f64>,
    salt_kg: Option<f64>,
    energy_j: Option<f64>,
    work_s: Option<f64>,
    /// Of each delivery, fresh and salt, by the cubic metre; the dearest of several.
    delivered_m3: [Option<f64>; 2],
}

impl Prices {
    fn of(station: &Station) -> Self {
        let prices = &station.prices;
        let purifier = station.purifier.as_ref();
        let beds = purifier.map_or(&[][..], |purifier| &purifier.beds);
        let membranes = purifier.map_or(&[][..], |purifier| &purifier.membranes);
        let series = purifier.is_some_and(|purifier| purifier.fields.bed_order.value == Order::Series);
        // Of mixed beds in series the lead alone is changed; all others are changed together.
        let mixed = beds.iter().all(|bed| bed.fields.kind.value == BedKind::Mixed);
        let changed = if mixed && series && beds.len() > 1 {
            &beds[..1]
        } else {
            beds
        };
        let change: Option<f64> = changed
            .iter()
            .map(|bed| {
                let price = bed.fields.price.as_ref()?;
                Some(price.value.per_m3() * bed.fields.volume.value.m3())
            })
            .sum();
        let salt = station.salt.as_ref().and_then(|salt| salt.bag.as_ref());
        let delivered = |holds| {
            station
                .delivered
                .iter()
                .filter(|delivery| delivery.fields.holds.value == holds)
                .map(|delivery| delivery.fields.price.as_ref().map(|price| price.value.per_m3()))
                .reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b)))
                .flatten()
        };
        Self {
            water_m3: station
                .feed
                .as_ref()
                .and_then(|feed| feed.price.as_ref())
                .map(|price| price.value.per_m3()),
            has_beds: !beds.is_empty(),
            beds: change,
            membranes_year: membranes
                .iter()
                .map(|membrane| {
                    let price = membrane.fields.price.as_ref()?;
                    Some(price.value.amount() * YEAR_S / membrane.fields.lasts.value.s())
                })
                .sum(),
            salt_kg: salt
                .zip(prices.salt_bag.as_ref())
                .map(|(bag, price)| price.value.amount() / bag.value.kg()),
            energy_j: prices.electricity.as_ref().map(|price| price.value.per_j()),
            work_s: prices.labour.as_ref().map(|price| price.value.per_s()),
            delivered_m3: [station::sections::Water::Fresh, station::sections::Water::Salt].map(delivered),
        }
    }

    /// One year's items, in the order of [`ITEMS`].
    fn of_year(&self, station: &Station, year: &OneYear) -> [Option<f64>; 8] {
        let tally = &year.tally;
        let times = |amount: f64, price: Option<f64>| {
            if amount == 0.0 {
                Some(0.0)
            } else {
                price.map(|price| amount * price)
            }
        };
        let beds = year.beds().unwrap_or(0.0);
        let delivered = times(tally.delivered_m3[0], self.delivered_m3[0])
            .zip(times(tally.delivered_m3[1], self.delivered_m3[1]))
            .map(|(fresh, salt)| fresh + salt);
        [
            times(year.feed_m3(), self.water_m3),
            if self.has_beds {
                times(beds, self.beds)
            } else {
                Some(0.0)
            },
            filters(station, year),
            if station.purifier.is_some() {
                self.membranes_year
            } else {
                Some(0.0)
            },
            times(tally.mix_kg, self.salt_kg),
            times(tally.energy_j.iter().sum(), self.energy_j),
            times(tally.work_s.iter().sum(), self.work_s),
            delivered,
        ]
    }
}

/// What the filters of a year cost; nothing where one has no price.
fn filters(station: &Station, year: &OneYear) -> Option<f64> {
    let Some(purifier) = &station.purifier else {
        return Some(0.0);
    };
    let mut sum = 0.0;
    for filter in &purifier.filters {
        let price = filter.fields.price.as_ref()?;
        sum += price.value.amount() * year.filter_wear(&filter.fields);
    }
    Some(sum)
}
