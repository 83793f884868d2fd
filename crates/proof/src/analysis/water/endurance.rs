//! When the feed stops now: how long the stores last, tank by tank.

use serde::Serialize;
use station::Station;
use station::sections::Water;

use crate::analysis::needs::Needs;
use crate::estimate::Estimate;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// What the stores give at one moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stores {
    /// `worst`, `start` or `full`, as [`station::Situation`] names them.
    pub at: &'static str,
    /// Fresh water to draw, m³; nothing where none is kept.
    pub fresh_m3: Option<Estimate>,
    /// Salt water to draw, m³; nothing where none is kept.
    pub salt_m3: Option<Estimate>,
    /// Salt water that all the fresh water would make, m³; nothing where no mix is described.
    pub mixable_m3: Option<Estimate>,
    /// Tank by tank.
    pub tanks: Vec<TankStores>,
}

/// One tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TankStores {
    /// The owner's name for it.
    pub name: String,
    /// Time of top-off left when all tanks are served, s.
    pub top_off_s: Option<Estimate>,
    /// Time of top-off left when it alone is, s.
    pub top_off_alone_s: Option<Estimate>,
    /// Planned changes left when all tanks are served.
    pub changes: Option<Estimate>,
    /// Time that those cover, s.
    pub changes_s: Option<Estimate>,
    /// Planned changes left when it alone is served.
    pub changes_alone: Option<Estimate>,
}

/// The stores at their worst and when full.
pub(crate) fn stores_left(station: &Station, needs: &Needs, sheet: &mut Sheet) -> Vec<Stores> {
    ["worst", "start", "full"]
        .into_iter()
        .filter_map(|at| stores(station, needs, at, sheet))
        .collect()
}

/// A moment in a title.
fn words_of(at: &str) -> &'static str {
    match at {
        "full" => "with full stores",
        "start" => "where fills start",
        _ => "at the leanest",
    }
}

fn stores(station: &Station, needs: &Needs, at: &'static str, sheet: &mut Sheet) -> Option<Stores> {
    let drawable = |sheet: &mut Sheet, water: Water, key: &str, title: &str| {
        let nodes: Vec<NodeId> = station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.holds.value == water)
            .filter_map(|vessel| sheet.find(&format!("{}.drawable-{at}", vessel.name)))
            .collect();
        match nodes.is_empty() {
            true => None,
            false => sheet
                .figure(
                    format!("stores.{key}-{at}"),
                    format!("{title}, {at}"),
                    &m::SUM_OF_VOLUMES,
                    &nodes,
                )
                .ok(),
        }
    };
    let fresh = drawable(sheet, Water::Fresh, "fresh", "fresh water in store");
    let salt = drawable(sheet, Water::Salt, "salt", "salt water in store");
    fresh.or(salt)?;
    let all_top_off = needs.most_top_off(sheet);
    let season = needs.season_of_most(sheet);
    if let (Some(all), Some(fresh)) = (all_top_off, fresh)
        && sheet.value(all) > 0.0
        && let Ok(id) = sheet.figure(
            format!("stores.top-off-{at}"),
            format!(
                "top-off left for all tanks when the feed stops {}{season}",
                words_of(at)
            ),
            &m::DAYS_LEFT,
            &[fresh, all],
        )
        && at == "worst"
    {
        sheet.headline(id);
    }
    let mixable = fresh
        .zip(needs.salt_to_mix.zip(needs.fresh_in_batches))
        .filter(|(_, (_, in_salt))| sheet.value(*in_salt) > 0.0)
        .and_then(|(fresh, (salt, in_salt))| {
            sheet
                .figure(
                    format!("stores.mixable-{at}"),
                    format!("salt water that all fresh water would make {}", words_of(at)),
                    &m::MIXABLE,
                    &[fresh, salt, in_salt],
                )
                .ok()
        });
    let tanks = sheet.quietly(|sheet| {
        station
            .tanks
            .iter()
            .zip(&needs.tanks)
            .map(|(tank, need)| {
                let left = |sheet: &mut Sheet, store: Option<NodeId>, flow: Option<NodeId>| {
                    let (store, flow) = store.zip(flow)?;
                    (sheet.value(flow) > 0.0).then_some(())?;
                    let id = sheet
                        .figure("stores.left", "time left", &m::DAYS_LEFT, &[store, flow])
                        .ok()?;
                    Some(sheet.estimate(id))
                };
                // Top-off with salt water draws on the salt water.
                let (store, all, own) = match need.salt_top_off {
                    Some(own) => (salt, needs.salt, Some(own)),
                    None => (fresh, all_top_off, need.top_off),
                };
                let change = tank.fields.change.as_ref().map(|change| sheet.given(change));
                let every = sheet.given(&tank.fields.change_every);
                let changes = salt
                    .zip(change)
                    .zip(needs.salt)
                    .and_then(|((salt, change), all)| {
                        sheet
                            .figure(
                                "stores.changes",
                                "changes left",
                                &m::CHANGES_LEFT,
                                &[salt, change, every, all],
                            )
                            .ok()
                            .map(|id| sheet.estimate(id))
                    });
                let alone = salt.zip(change).and_then(|(salt, change)| {
                    sheet
                        .figure("stores.changes-alone", "changes left", &m::RATIO, &[salt, change])
                        .ok()
                        .map(|id| sheet.estimate(id))
                });
                TankStores {
                    name: tank.name.clone(),
                    top_off_s: own.and_then(|_| left(sheet, store, all)),
                    top_off_alone_s: left(sheet, store, own),
                    changes_s: change.and_then(|_| left(sheet, salt, needs.salt)),
                    changes,
                    changes_alone: alone,
                }
            })
            .collect()
    });
    Some(Stores {
        at,
        fresh_m3: fresh.map(|id| sheet.estimate(id)),
        salt_m3: salt.map(|id| sheet.estimate(id)),
        mixable_m3: mixable.map(|id| sheet.estimate(id)),
        tanks,
    })
}

impl Stores {
    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        let tanks = self.tanks.iter_mut().flat_map(|tank| {
            [
                tank.top_off_s.as_mut(),
                tank.top_off_alone_s.as_mut(),
                tank.changes.as_mut(),
                tank.changes_s.as_mut(),
                tank.changes_alone.as_mut(),
            ]
        });
        [
            self.fresh_m3.as_mut(),
            self.salt_m3.as_mut(),
            self.mixable_m3.as_mut(),
        ]
        .into_iter()
        .chain(tanks)
        .flatten()
        .for_each(fill);
    }
}
