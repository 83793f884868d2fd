//! Filters before the membrane: contact, life, cost.

use serde::Serialize;
use station::quantity::Kind;
use station::sections::FeedFields;
use station::sections::FilterFields;
use station::{Named, Purifier};

use super::feed::constant;
use super::train::Point;
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// The filters.
#[derive(Debug, Clone)]
pub(super) struct Filters {
    filters: Vec<Named<FilterFields>>,
    /// Chlorine in all, as chlorine.
    oxidant: Option<NodeId>,
    /// Whether chlorine in the feed is bound.
    bound: bool,
}

/// What they cost in a litre, and how long the carbon serves.
#[derive(Debug, Clone, Copy)]
pub(super) struct FilterCost {
    pub(super) cost: Option<NodeId>,
    pub(super) carbon_life: Option<NodeId>,
}

/// One filter in the proof.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FilterRow {
    /// The owner's name for it.
    pub name: String,
    /// What it holds back.
    pub kind: &'static str,
    /// Contact time at the feed's flow, s; nothing without a bed volume.
    pub contact_s: Option<Estimate>,
    /// Purified water that one serves, m³.
    pub life_m3: Estimate,
    /// Time that one serves, s.
    pub lasts_s: Estimate,
}

impl Filters {
    pub(super) fn new(purifier: &Purifier, feed: &FeedFields, sheet: &mut Sheet) -> Result<Self, Refusal> {
        let (free, bound) = (sheet.given(&feed.free_chlorine), sheet.given(&feed.chloramine));
        let oxidant = sheet.figure(
            "feed.chlorine",
            "chlorine in the feed, free and bound",
            &m::SUM_OF_CONCENTRATIONS,
            &[free, bound],
        )?;
        Ok(Self {
            filters: purifier.filters.clone(),
            oxidant: Some(oxidant),
            bound: feed.chloramine.value.kg_m3() > 0.0,
        })
    }

    /// Life of one filter at a reject ratio.
    fn life(
        &self,
        filter: &Named<FilterFields>,
        reject_ratio: NodeId,
        need: NodeId,
        prefix: &str,
        sheet: &mut Sheet,
    ) -> Result<NodeId, Refusal> {
        let (name, fields) = (&filter.name, &filter.fields);
        let time = sheet.given(&fields.change_every);
        let key = format!("{prefix}.life-{name}");
        let title = format!("purified water that one {name} serves");
        let (rated, method) = match &fields.rated_chloramine_volume {
            Some(rated) if self.bound => (Some(rated), &m::FILTER_LIFE_CHLORAMINE),
            _ => (fields.rated_volume.as_ref(), &m::FILTER_LIFE),
        };
        match (rated, self.oxidant) {
            (Some(rated), Some(oxidant)) if fields.kind.value.is_carbon() => {
                let rated = sheet.given(rated);
                sheet.figure(key, title, method, &[rated, oxidant, reject_ratio, time, need])
            }
            _ => sheet.figure(key, title, &m::FILTER_LIFE_BY_CALENDAR, &[time, need]),
        }
    }

    /// What they cost at a reject ratio, where each has a price.
    pub(super) fn cost(
        &self,
        reject_ratio: NodeId,
        need: NodeId,
        prefix: &str,
        sheet: &mut Sheet,
    ) -> Result<FilterCost, Refusal> {
        let mut out = FilterCost {
            cost: None,
            carbon_life: None,
        };
        let mut costs = Vec::new();
        for filter in &self.filters {
            let life = self.life(filter, reject_ratio, need, prefix, sheet)?;
            if filter.fields.kind.value.is_carbon() && out.carbon_life.is_none() {
                out.carbon_life = Some(life);
            }
            if let Some(price) = &filter.fields.price {
                let price = sheet.given(price);
                costs.push(sheet.figure(
                    format!("{prefix}.cost-{}", filter.name),
                    format!("cost of purified water: {}", filter.name),
                    &m::COST_OF_PART,
                    &[price, life],
                )?);
            }
        }
        if costs.len() == self.filters.len() && !costs.is_empty() {
            out.cost = Some(sheet.figure(
                format!("{prefix}.cost-filters"),
                "cost of purified water: filters",
                &m::COST_TOGETHER,
                &costs,
            )?);
        }
        Ok(out)
    }

    /// Contact and life of each, at the owner's way of filling.
    pub(super) fn rows(
        &self,
        point: &Point,
        reject_ratio: NodeId,
        need: NodeId,
        sheet: &mut Sheet,
    ) -> Result<Vec<FilterRow>, Refusal> {
        let mut rows = Vec::new();
        for filter in &self.filters {
            let (name, fields) = (&filter.name, &filter.fields);
            let contact = match &fields.bed_volume {
                None => None,
                Some(bed) => {
                    let bed = sheet.given(bed);
                    Some(sheet.figure(
                        format!("filters.{name}.contact"),
                        format!("{name}: contact time at the feed's flow in the warmest month"),
                        &m::CONTACT_TIME,
                        &[bed, point.permeate, point.reject],
                    )?)
                }
            };
            let life = match sheet.find(&format!("run.life-{name}")) {
                Some(life) => life,
                None => self.life(filter, reject_ratio, need, "run", sheet)?,
            };
            let lasts = sheet.figure(
                format!("filters.{name}.lasts"),
                format!("{name}: time that one serves"),
                &m::DAYS_HELD,
                &[life, need],
            )?;
            rows.push(FilterRow {
                name: name.clone(),
                kind: fields.kind.value.word(),
                contact_s: contact.map(|id| sheet.estimate(id)),
                life_m3: sheet.estimate(life),
                lasts_s: sheet.estimate(lasts),
            });
        }
        Ok(rows)
    }

    /// What bare chlorine would do to a membrane, and the ammonia that broken chloramine leaves.
    pub(super) fn breakthrough(
        &self,
        feed: &FeedFields,
        sheet: &mut Sheet,
    ) -> Result<[Option<NodeId>; 2], Refusal> {
        let damage = if feed.free_chlorine.value.kg_m3() > 0.0 {
            let exposure = constant(
                sheet,
                "membrane.exposure",
                200.0,
                Kind::Number,
                "makers' manuals: harm shows after 200 to 1 000 mg/L h",
            );
            let chlorine = sheet.given(&feed.free_chlorine);
            Some(sheet.figure(
                "time-to-damage",
                "running time after which bare chlorine may have harmed a membrane",
                &m::TIME_TO_DAMAGE,
                &[exposure, chlorine],
            )?)
        } else {
            None
        };
        let ammonia = if feed.chloramine.value.kg_m3() > 0.0 {
            let chloramine = sheet.given(&feed.chloramine);
            Some(sheet.figure(
                "ammonia-left",
                "ammonia nitrogen that carbon leaves of the chloramine",
                &m::AMMONIA_LEFT,
                &[chloramine],
            )?)
        } else {
            None
        };
        Ok([damage, ammonia])
    }
}
