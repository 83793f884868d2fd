//! One way of filling: what a run of some size, started and stopped in some way, costs the resin and the purse.

use station::Station;
use station::quantity::Kind;

use super::beds::{Load, Resin};
use super::feed::{Feed, constant};
use super::filters::Filters;
use super::train::{Point, Train};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// What all ways of filling share.
pub(super) struct Shared<'s> {
    pub(super) station: &'s Station,
    pub(super) feed: Feed,
    pub(super) train: Train,
    pub(super) resin: Option<Resin>,
    pub(super) filters: Filters,
    /// The purifier at the mean temperature of the feed.
    pub(super) mean: Point,
    /// Pressure before the booster while it runs, with clean filters and with such as are due.
    pub(super) suction: Option<(NodeId, NodeId)>,
    /// Purified water that it must make, mean of the year.
    pub(super) need: NodeId,
    pub(super) flush: NodeId,
    /// Feed side while it runs.
    pub(super) feed_side: NodeId,
    /// Water that the membranes make in their life.
    pub(super) membrane_life: Option<NodeId>,
}

/// How a run ends.
#[derive(Debug, Clone, Copy)]
pub(super) enum Closing {
    /// At once.
    Sharp,
    /// At once, but nothing stops the feed: the reject runs on between runs.
    RejectRunsOn,
    /// Along the travel of a float valve, until the shut-off valve closes.
    Slow { travel: NodeId, share: NodeId },
    /// Never: the float throttles and the reject runs on.
    Never,
}

/// How runs come and go.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rhythm {
    pub(super) closing: Closing,
    /// Whether a clock or a person starts it, at most once a day.
    pub(super) at_most_daily: bool,
}

impl From<Closing> for Rhythm {
    fn from(closing: Closing) -> Self {
        Self {
            closing,
            at_most_daily: false,
        }
    }
}

impl Rhythm {
    /// At most once a day.
    pub(super) fn daily(closing: Closing) -> Self {
        Self {
            closing,
            at_most_daily: true,
        }
    }

    /// Whether a run ends at once and its feed with it.
    pub(super) fn is_sharp(&self) -> bool {
        matches!(self.closing, Closing::Sharp)
    }

    /// Whether a float ends it, along its travel.
    pub(super) fn ends_slowly(&self) -> bool {
        matches!(self.closing, Closing::Slow { .. })
    }

    /// Whether there are no runs: water trickles day and night.
    pub(super) fn never_stops(&self) -> bool {
        matches!(self.closing, Closing::Never)
    }
}

/// What one way comes to.
#[derive(Debug, Clone)]
pub(super) struct Economics {
    pub(super) idle: Option<NodeId>,
    pub(super) start_solids: Option<NodeId>,
    pub(super) start_salt: Option<NodeId>,
    pub(super) solids: NodeId,
    pub(super) load: Option<Load>,
    pub(super) reject_ratio: NodeId,
    pub(super) parts: Vec<(Part, NodeId)>,
    pub(super) cost: Option<NodeId>,
}

/// A part of the cost of a litre.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Part {
    Water,
    Resin,
    Filters,
    Membranes,
    Power,
}

impl Part {
    pub(super) const ALL: [Self; 5] = [
        Self::Water,
        Self::Resin,
        Self::Filters,
        Self::Membranes,
        Self::Power,
    ];

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Water => "tap water",
            Self::Resin => "resin",
            Self::Filters => "filters",
            Self::Membranes => "membranes",
            Self::Power => "power",
        }
    }
}

impl Shared<'_> {
    /// Works one way of filling out.
    pub(super) fn economics(
        &self,
        run: NodeId,
        rhythm: impl Into<Rhythm>,
        prefix: &str,
        sheet: &mut Sheet,
    ) -> Result<Economics, Refusal> {
        let (train, mean) = (&self.train, &self.mean);
        let Rhythm {
            closing,
            at_most_daily,
        } = rhythm.into();
        let none_kg = constant(
            sheet,
            "no salt",
            0.0,
            Kind::Mass,
            "nothing of it in this way of filling",
        );
        let none_s = constant(sheet, "no time", 0.0, Kind::Time, "it stops at once");
        let none_m3 = constant(sheet, "no travel", 0.0, Kind::Volume, "no float closes it");
        let whole = constant(sheet, "whole flow", 1.0, Kind::Fraction, "no float closes it");
        let (mut idle, mut start_solids, mut start_salt) = (None, None, None);
        let runs_on = matches!(closing, Closing::Never | Closing::RejectRunsOn);
        let drawn = match runs_on {
            true => sheet.figure(
                format!("{prefix}.drawn"),
                "water that leaves it as a mean: the need, or all that it makes",
                &m::DRAWN_DAY_AND_NIGHT,
                &[self.need, mean.permeate],
            )?,
            false => self.need,
        };
        let (solids, reject_ratio) = if let Closing::Never = closing {
            let solids = sheet.figure(
                format!("{prefix}.solids"),
                "dissolved solids that the resin sees, throttled day and night",
                &m::THROTTLED_SOLIDS,
                &[
                    train.salt,
                    mean.temperature,
                    train.cold,
                    self.feed.solids,
                    drawn,
                    mean.solids,
                ],
            )?;
            let ratio = sheet.figure(
                format!("{prefix}.reject-ratio"),
                "to the drain for each part of purified water",
                &m::REJECT_RATIO_ALWAYS,
                &[mean.reject, drawn],
            )?;
            (solids, ratio)
        } else {
            let apart = match at_most_daily {
                true => constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day"),
                false => constant(
                    sheet,
                    "no least time",
                    0.0,
                    Kind::Time,
                    "it starts whenever enough was drawn",
                ),
            };
            let stood = sheet.figure(
                format!("{prefix}.idle"),
                "time that the purifier stands before a run",
                &m::IDLE_TIME,
                &[run, self.need, mean.permeate, apart, self.flush],
            )?;
            let at_start = sheet.figure(
                format!("{prefix}.start-solids"),
                "dissolved solids behind the membrane when a run starts",
                &m::SOLIDS_AFTER_IDLE,
                &[
                    train.hold_up,
                    train.feed_side,
                    train.salt,
                    mean.temperature,
                    train.cold,
                    mean.solids,
                    self.feed_side,
                    stood,
                    run,
                    self.flush,
                ],
            )?;
            let started = sheet.figure(
                format!("{prefix}.start-salt"),
                "salt that one start puts on the resin beyond a long run's",
                &m::START_SALT,
                &[train.hold_up, at_start, mean.solids, run, self.flush],
            )?;
            let (stopped, [closing_time, travel, share]) = match closing {
                Closing::Slow { travel, share } => {
                    let time = sheet.figure(
                        format!("{prefix}.closing-time"),
                        "time that the float valve takes to close",
                        &m::THROTTLE_TIME,
                        &[travel, mean.permeate, share, run],
                    )?;
                    let salt = sheet.figure(
                        format!("{prefix}.stop-salt"),
                        "salt that passes while the float valve closes",
                        &m::STOP_SALT,
                        &[
                            train.salt,
                            mean.temperature,
                            train.cold,
                            self.feed_side,
                            time,
                            mean.solids,
                            travel,
                            share,
                            run,
                        ],
                    )?;
                    (salt, [time, travel, share])
                }
                Closing::Sharp | Closing::RejectRunsOn | Closing::Never => {
                    (none_kg, [none_s, none_m3, whole])
                }
            };
            let solids = sheet.figure(
                format!("{prefix}.solids"),
                "dissolved solids that the resin sees, mean of a run",
                &m::MEAN_SOLIDS,
                &[mean.solids, started, stopped, run],
            )?;
            let (method, inputs): (_, &[NodeId]) = match closing {
                Closing::RejectRunsOn => (&m::REJECT_RATIO_ALWAYS, &[mean.reject, drawn]),
                _ => (
                    &m::REJECT_RATIO,
                    &[
                        mean.reject,
                        mean.permeate,
                        run,
                        self.flush,
                        closing_time,
                        travel,
                        share,
                    ],
                ),
            };
            let ratio = sheet.figure(
                format!("{prefix}.reject-ratio"),
                "to the drain for each part of purified water",
                method,
                inputs,
            )?;
            (idle, start_solids, start_salt) = (Some(stood), Some(at_start), Some(started));
            (solids, ratio)
        };
        let load = match &self.resin {
            Some(resin) => Some(resin.loaded(solids, prefix, sheet)?),
            None => None,
        };
        let parts = self.parts(reject_ratio, load.as_ref(), prefix, sheet)?;
        let cost = match parts.as_slice() {
            [] => None,
            parts => {
                let nodes: Vec<NodeId> = parts.iter().map(|(_, node)| *node).collect();
                let id = sheet.figure(
                    format!("{prefix}.litre"),
                    match closing {
                        Closing::Slow { .. } => {
                            "cost of purified water in the least runs that the float lets through, as far as prices are given"
                        }
                        Closing::Sharp | Closing::RejectRunsOn | Closing::Never => {
                            "cost of purified water, as far as prices are given"
                        }
                    },
                    &m::COST_TOGETHER,
                    &nodes,
                )?;
                let names = parts.iter().map(|(part, _)| part.word().to_owned()).collect();
                sheet.name_inputs(id, names);
                Some(id)
            }
        };
        Ok(Economics {
            idle,
            start_solids,
            start_salt,
            solids,
            load,
            reject_ratio,
            parts,
            cost,
        })
    }

    /// The parts of a litre's cost whose prices are given.
    fn parts(
        &self,
        reject_ratio: NodeId,
        load: Option<&Load>,
        prefix: &str,
        sheet: &mut Sheet,
    ) -> Result<Vec<(Part, NodeId)>, Refusal> {
        let mut parts = Vec::new();
        let Some(purifier) = &self.station.purifier else {
            return Ok(parts);
        };
        let filters = self.filters.cost(reject_ratio, self.need, prefix, sheet)?;
        if let (Some(price), Some(membrane_life)) = (
            self.station.feed.as_ref().and_then(|feed| feed.price.as_ref()),
            self.membrane_life,
        ) {
            let price = sheet.given(price);
            let discard = sheet.given(&purifier.fields.new_membrane_discard);
            let (rinse, carbon_life) = match filters.carbon_life {
                Some(life) => (sheet.given(&purifier.fields.new_carbon_rinse), life),
                None => (
                    constant(sheet, "no rinse", 0.0, Kind::Volume, "no carbon to rinse"),
                    membrane_life,
                ),
            };
            let id = sheet.figure(
                format!("{prefix}.cost-water"),
                "cost of purified water: tap water",
                &m::COST_OF_WATER,
                &[price, reject_ratio, discard, membrane_life, rinse, carbon_life],
            )?;
            parts.push((Part::Water, id));
        }
        if let Some(cost) = load.and_then(|load| load.cost) {
            parts.push((Part::Resin, cost));
        }
        if let Some(cost) = filters.cost {
            parts.push((Part::Filters, cost));
        }
        if let Some(life) = self.membrane_life {
            let prices: Option<Vec<NodeId>> = purifier
                .membranes
                .iter()
                .map(|membrane| membrane.fields.price.as_ref().map(|price| sheet.given(price)))
                .collect();
            if let Some(prices) = prices {
                let all = sheet.figure(
                    format!("{prefix}.price-membranes"),
                    "price of the membranes",
                    &m::SUM_OF_PRICES,
                    &prices,
                )?;
                let id = sheet.figure(
                    format!("{prefix}.cost-membranes"),
                    "cost of purified water: membranes",
                    &m::COST_OF_PART,
                    &[all, life],
                )?;
                parts.push((Part::Membranes, id));
            }
        }
        if let (Some(power), Some(price)) = (&purifier.fields.booster_power, &self.station.prices.electricity)
        {
            let (power, price) = (sheet.given(power), sheet.given(price));
            let id = sheet.figure(
                format!("{prefix}.cost-power"),
                "cost of purified water: power",
                &m::COST_OF_POWER,
                &[price, power, self.mean.permeate],
            )?;
            parts.push((Part::Power, id));
        }
        Ok(parts)
    }
}
