//! The beds of resin as nodes of the sheet, and what loads them whatever the run.

use station::quantity::{Kind, Spread};
use station::sections::{BedFields, BedKind, Order};
use station::{Named, Purifier};

use super::feed::Feed;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// A bed: capacity, volume, utilisation.
#[derive(Debug, Clone, Copy)]
struct Bed {
    capacity: NodeId,
    volume: NodeId,
    utilisation: NodeId,
    /// Whether another bed behind it lets it be run out.
    lead: bool,
}

/// The beds that are spent first.
#[derive(Debug, Clone, Copy)]
enum Spent {
    Mixed(Bed),
    /// Each is changed when it is spent itself.
    Separate {
        cation: Bed,
        anion: Bed,
        prices: Option<[NodeId; 2]>,
    },
}

/// The resin.
#[derive(Debug, Clone)]
pub(super) struct Resin {
    spent: Spent,
    /// Price of mixed resin that is changed at once.
    price: Option<NodeId>,
    /// Carbon dioxide that reaches it.
    pub(super) carbon_dioxide: NodeId,
    /// Share that a vented vessel before it lets go; nothing without one.
    degassing: Option<NodeId>,
    gas: NodeId,
    silica: NodeId,
    pub(super) equivalent: NodeId,
}

/// What a run puts on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Load {
    pub(super) all: NodeId,
    pub(super) gas: NodeId,
    pub(super) life: NodeId,
    pub(super) cost: Option<NodeId>,
}

impl Resin {
    /// The resin of a purifier; nothing where there is none.
    pub(super) fn new(purifier: &Purifier, feed: &Feed, sheet: &mut Sheet) -> Result<Option<Self>, Refusal> {
        let of = |kind: BedKind| -> Vec<&Named<BedFields>> {
            purifier
                .beds
                .iter()
                .filter(|bed| bed.fields.kind.value == kind)
                .collect()
        };
        let (mixed, cation, anion) = (of(BedKind::Mixed), of(BedKind::Cation), of(BedKind::Anion));
        let (spent, changed) =
            if let ([first_cation, ..], [first_anion, ..]) = (cation.as_slice(), anion.as_slice()) {
                let prices = first_cation
                    .fields
                    .price
                    .as_ref()
                    .zip(first_anion.fields.price.as_ref());
                let spent = Spent::Separate {
                    cation: bed(first_cation, false, sheet),
                    anion: bed(first_anion, false, sheet),
                    prices: prices.map(|(cation, anion)| [sheet.given(cation), sheet.given(anion)]),
                };
                (spent, Vec::new())
            } else {
                let series = purifier.fields.bed_order.value == Order::Series;
                match mixed.as_slice() {
                    [] => return Ok(None),
                    [one] => (Spent::Mixed(bed(one, false, sheet)), vec![*one]),
                    [lead, ..] if series => (Spent::Mixed(bed(lead, true, sheet)), vec![*lead]),
                    several => {
                        let first = bed(several[0], false, sheet);
                        let volumes: Vec<NodeId> = several
                            .iter()
                            .map(|bed| sheet.given(&bed.fields.volume))
                            .collect();
                        let volume = sheet.figure(
                            "resin.volume",
                            "resin in all beds side by side",
                            &m::SUM_OF_VOLUMES,
                            &volumes,
                        )?;
                        (Spent::Mixed(Bed { volume, ..first }), several.to_vec())
                    }
                }
            };
        let price = price_of(&changed, sheet)?;
        let degassing = purifier.fields.degassing.as_ref().map(|share| sheet.given(share));
        let (carbon_dioxide, gas) = gas_of(feed, degassing, sheet)?;
        let passage = sheet.assumed(
            "silica.passage",
            0.05,
            Kind::Fraction,
            Spread::normal(0.04),
            "house rule: membranes hold silica back less well than salt",
        );
        let silica = sheet.figure(
            "silica-load",
            "load of silica on the resin",
            &m::SILICA_LOAD,
            &[feed.silica, passage],
        )?;
        let equivalent = sheet.assumed(
            "permeate.equivalent-weight",
            58.44,
            Kind::Number,
            Spread::normal(10.0),
            "what passes is taken for sodium chloride, 58.44 g to a mole of charge; other salts differ",
        );
        Ok(Some(Self {
            spent,
            price,
            carbon_dioxide,
            degassing,
            gas,
            silica,
            equivalent,
        }))
    }

    /// Load of silica.
    pub(super) fn silica(&self) -> NodeId {
        self.silica
    }

    /// Capacity, volume and utilisation of the bed that decides: the mixed one; of separate ones the anions', which take
    /// gas and silica too.
    pub(super) fn spent_first(&self) -> [NodeId; 3] {
        let bed = match self.spent {
            Spent::Mixed(bed) => bed,
            Spent::Separate { anion, .. } => anion,
        };
        [bed.capacity, bed.volume, bed.utilisation]
    }

    /// Whether its first bed is run out before another.
    pub(super) fn has_lead(&self) -> bool {
        matches!(self.spent, Spent::Mixed(Bed { lead: true, .. }))
    }

    /// Whether a second bed behind it would make a lead of it.
    pub(super) fn may_have_lead(&self) -> bool {
        matches!(self.spent, Spent::Mixed(_))
    }

    /// The same resin with or without a bed behind it, and with or without a vented vessel before it.
    pub(super) fn with(
        &self,
        lead: bool,
        air: bool,
        feed: &Feed,
        sheet: &mut Sheet,
    ) -> Result<Self, Refusal> {
        let spent = match self.spent {
            Spent::Mixed(bed) if bed.lead != lead => Spent::Mixed(Bed {
                utilisation: usual_utilisation(lead, "option", sheet),
                lead,
                ..bed
            }),
            spent => spent,
        };
        let degassing = match (air, self.degassing) {
            (false, _) => None,
            (true, Some(share)) => Some(share),
            (true, None) => Some(sheet.assumed(
                "degassing.usual",
                0.7,
                Kind::Fraction,
                Spread::normal(0.15),
                "house rule: a vented vessel with an air stone lets most of it go; measure the pH behind it",
            )),
        };
        let (carbon_dioxide, gas) = gas_of(feed, degassing, sheet)?;
        Ok(Self {
            spent,
            carbon_dioxide,
            degassing,
            gas,
            ..self.clone()
        })
    }

    /// What a mean of dissolved solids does to it.
    pub(super) fn loaded(&self, solids: NodeId, prefix: &str, sheet: &mut Sheet) -> Result<Load, Refusal> {
        let salt = sheet.figure(
            format!("{prefix}.salt-load"),
            "load of salt on the resin",
            &m::SALT_LOAD,
            &[solids, self.equivalent],
        )?;
        let all = sheet.figure(
            format!("{prefix}.resin-load"),
            "load on the resin",
            &m::LOAD_TOGETHER,
            &[salt, self.gas, self.silica],
        )?;
        let life_of = |sheet: &mut Sheet, key: &str, bed: Bed, load: NodeId| {
            sheet.figure(
                format!("{prefix}.{key}"),
                "water that a bed of resin purifies",
                &m::RESIN_LIFE,
                &[bed.capacity, bed.volume, bed.utilisation, load],
            )
        };
        let (life, cost) = match self.spent {
            Spent::Mixed(bed) => {
                let life = life_of(sheet, "resin-life", bed, all)?;
                let cost = self
                    .price
                    .map(|price| (&m::COST_OF_RESIN, vec![price, bed.volume, life]));
                (life, cost)
            }
            Spent::Separate {
                cation,
                anion,
                prices,
            } => {
                let cation_life = life_of(sheet, "cation-life", cation, salt)?;
                let anion_life = life_of(sheet, "anion-life", anion, all)?;
                let life = sheet.figure(
                    format!("{prefix}.resin-life"),
                    "water that the separate beds purify until the first is spent",
                    &m::WORSE_OF_TWO_LIVES,
                    &[cation_life, anion_life],
                )?;
                let cost = prices.map(|[of_cation, of_anion]| {
                    let each = vec![
                        of_cation,
                        cation.volume,
                        cation_life,
                        of_anion,
                        anion.volume,
                        anion_life,
                    ];
                    (&m::COST_OF_SEPARATE_RESINS, each)
                });
                (life, cost)
            }
        };
        let cost = match cost {
            None => None,
            Some((method, inputs)) => Some(sheet.figure(
                format!("{prefix}.cost-resin"),
                "cost of purified water: resin",
                method,
                &inputs,
            )?),
        };
        Ok(Load {
            all,
            gas: self.gas,
            life,
            cost,
        })
    }
}

/// Price of the resins that are changed together, by volume; nothing where one has no price.
fn price_of(changed: &[&Named<BedFields>], sheet: &mut Sheet) -> Result<Option<NodeId>, Refusal> {
    if changed.is_empty() {
        return Ok(None);
    }
    let mut inputs = Vec::new();
    for bed in changed {
        let Some(price) = &bed.fields.price else {
            return Ok(None);
        };
        inputs.extend([sheet.given(price), sheet.given(&bed.fields.volume)]);
    }
    match inputs.as_slice() {
        [price, _] => Ok(Some(*price)),
        inputs => sheet
            .figure(
                "resin.price",
                "price of the resins that are changed together",
                &m::PRICE_OF_RESINS,
                inputs,
            )
            .map(Some),
    }
}

fn bed(bed: &Named<BedFields>, lead: bool, sheet: &mut Sheet) -> Bed {
    let (name, fields) = (&bed.name, &bed.fields);
    let assumed = |sheet: &mut Sheet, key: &str, value: f64, spread: f64, kind: Kind, why: &str| {
        sheet.assumed(
            &format!("resin_beds.{name}.{key}"),
            value,
            kind,
            Spread::normal(spread),
            &format!("default of resin_beds.{name}.{key}: {why}"),
        )
    };
    let capacity = match (&fields.capacity, fields.kind.value) {
        (Some(capacity), _) => sheet.given(capacity),
        (None, kind) => {
            // Per litre of bed, eq/L as mol/m³.
            let (value, spread, why) = match kind {
                BedKind::Mixed => (
                    457.0,
                    60.0,
                    "10 000 gr/ft3, the service rating of new mixed resin",
                ),
                BedKind::Cation => (1900.0, 100.0, "strong-acid resin, 1.8 to 2.0 eq/L"),
                BedKind::Anion => (1100.0, 100.0, "strong-base resin, 1.0 to 1.2 eq/L"),
            };
            assumed(sheet, "capacity", value, spread, Kind::ExchangeCapacity, why)
        }
    };
    let utilisation = match &fields.utilisation {
        Some(utilisation) => sheet.given(utilisation),
        None => usual_utilisation(lead, &format!("resin_beds.{name}"), sheet),
    };
    Bed {
        capacity,
        volume: sheet.given(&fields.volume),
        utilisation,
        lead,
    }
}

/// Share of its capacity that a bed gives, where nobody measured it.
fn usual_utilisation(lead: bool, path: &str, sheet: &mut Sheet) -> NodeId {
    let (value, spread, why) = match lead {
        true => (0.95, 0.05, "the lead of two is run out"),
        false => (0.80, 0.10, "a small bed alone is changed at the first rise"),
    };
    let role = if lead { "lead" } else { "alone" };
    sheet.assumed(
        &format!("{path}.utilisation ({role})"),
        value,
        Kind::Fraction,
        Spread::normal(spread),
        &format!("default of utilisation: common practice, no source: {why}"),
    )
}

/// Carbon dioxide that reaches the resin, and its load.
fn gas_of(feed: &Feed, degassing: Option<NodeId>, sheet: &mut Sheet) -> Result<(NodeId, NodeId), Refusal> {
    let carbon_dioxide = match degassing {
        None => feed.carbon_dioxide,
        Some(share) => sheet.figure(
            "degassed",
            "carbon dioxide left behind the vented vessel",
            &m::CARBON_DIOXIDE_LEFT,
            &[feed.carbon_dioxide, share, feed.mean_temperature],
        )?,
    };
    let gas = sheet.figure(
        "gas-load",
        "load of carbon dioxide on the resin",
        &m::GAS_LOAD,
        &[carbon_dioxide],
    )?;
    Ok((carbon_dioxide, gas))
}
