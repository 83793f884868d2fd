//! Water made: the feed, the purifier through the year, what a run costs, how long the stores last without it.
//!
//! `feed`, `train` and `beds` turn the file into nodes; `months` walks the year; `run` works one way of filling
//! out, `curve` many of them; `filters` and `endurance` are what they say; `find` what there is to say.

mod beds;
mod curve;
mod endurance;
mod feed;
mod filters;
mod find;
mod months;
mod run;
mod train;

use serde::Serialize;
use station::quantity::Kind;
use station::sections::{Control, Fill, ShutOff, Water};
use station::{Station, Vessel};

use super::batch::Batch;
use super::needs::Needs;
use crate::estimate::Estimate;
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};
use beds::Resin;
use curve::Float;
use feed::Feed;
use filters::Filters;
use months::Year;
use run::{Closing, Economics, Part, Shared};
use train::Train;

pub use curve::{ControlRow, CurvePoint};
pub use endurance::{Stores, TankStores};
pub use filters::FilterRow;
pub use months::MonthOfWater;

pub(crate) use endurance_of as endurance;

/// What the purifier makes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Made {
    /// Dissolved solids of the feed, kg/m³.
    pub feed_solids_kg_m3: Estimate,
    /// Carbon dioxide in the feed, kg/m³.
    pub carbon_dioxide_kg_m3: Estimate,
    /// Share of the resin that carbon dioxide takes, at the owner's run.
    pub gas_share: Option<Estimate>,
    /// Month by month.
    pub months: Vec<MonthOfWater>,
    /// The month with the least margin.
    pub leanest_month: &'static str,
    /// Saturation index of calcite at the membrane's wall, in the warmest month.
    pub calcite_index: Option<Estimate>,
    /// Pressure at the membrane, Pa gauge.
    pub membrane_pressure_pa: Estimate,
    /// Permeate with filters due for change, mean of the year, m³/s.
    pub filters_due_m3_per_s: Option<Estimate>,
    /// Pressure at the membrane then, Pa gauge.
    pub filters_due_pressure_pa: Option<Estimate>,
    /// Pressure in the permeate line at which the shut-off valve closes, Pa gauge; nothing where there is none.
    pub shut_off_closes_pa: Option<Estimate>,
    /// Pressure at which it opens again, Pa gauge.
    pub shut_off_opens_pa: Option<Estimate>,
    /// First permeate of a new membrane that is thrown away, m³.
    pub membrane_discard_m3: f64,
    /// Water that rinses new carbon, m³; nothing without carbon.
    pub carbon_rinse_m3: Option<f64>,
    /// Pressure that would just make the need of the leanest month, Pa gauge.
    pub least_pressure_pa: Option<Estimate>,
    /// The owner's way of filling.
    pub run: RunOfWater,
    /// The largest run that fits above the reserve, m³.
    pub best_run_m3: Option<f64>,
    /// The smallest run of the curve whose litre costs at most 5 % more than at the best, m³.
    pub long_enough_m3: Option<f64>,
    /// Resin, cost and reject against the run's volume.
    pub curve: Vec<CurvePoint>,
    /// Ways to control the fill.
    pub controls: Vec<ControlRow>,
    /// Filters before the membrane.
    pub filters: Vec<FilterRow>,
    /// A cubic metre of purified water, in money, part by part.
    pub cost_parts: Vec<CostPart>,
    /// Parts of the cost without a price in the file.
    pub unpriced: Vec<&'static str>,
    /// Where the doubt in the resin's life comes from, greatest first; of the cost where there is no resin.
    pub doubts: Vec<DoubtShare>,
    #[serde(skip)]
    pub(crate) litre: Option<NodeId>,
}

/// A field's share in the doubt of a figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoubtShare {
    /// Its path, or what it is.
    pub path: String,
    /// Its share of the variance.
    pub share: f64,
}

/// The owner's way of filling.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunOfWater {
    /// Its volume, m³; nothing where it never stops, or the file gives no levels.
    pub volume_m3: Option<f64>,
    /// Time that the purifier stands before it, s.
    pub idle_s: Option<Estimate>,
    /// Salt that one start puts on the resin, kg.
    pub start_salt_kg: Option<Estimate>,
    /// Dissolved solids that the resin sees, kg/m³.
    pub solids_kg_m3: Estimate,
    /// Load on the resin, mol/m³ of charge.
    pub load_mol_m3: Option<Estimate>,
    /// Water that a bed purifies, m³.
    pub resin_life_m3: Option<Estimate>,
    /// Time that it lasts, s.
    pub resin_lasts_s: Option<Estimate>,
    /// Litres to the drain for each litre.
    pub reject_ratio: Estimate,
    /// A cubic metre of purified water, in money.
    pub cost_per_m3: Option<Estimate>,
    /// Resin that runs of 20 L spend over what runs of 130 L do.
    pub short_over_long: Option<Estimate>,
    /// Hold-up at which that would be twice, m³; nothing where no hold-up would do it.
    pub hold_up_for_twice_m3: Option<Estimate>,
}

/// A part of the cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CostPart {
    /// Water, resin, filters, membranes or power.
    pub part: &'static str,
    /// Its money in a cubic metre of purified water.
    pub per_m3: Estimate,
}

/// What the purifier makes; nothing where the file describes none.
pub(crate) fn made(
    station: &Station,
    batch: &Batch,
    needs: &Needs,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Option<Made> {
    let purifier = station.purifier.as_ref()?;
    match work_out(station, batch, needs, sheet, findings) {
        Ok(made) => Some(made),
        Err(refusal) => {
            findings.push(Finding::new(
                "purifier-not-computed",
                Severity::Must,
                "purifier",
                format!(
                    "What the purifier gives can't be computed: {refusal}. {}",
                    match purifier.fields.control.value {
                        Control::Attended => "Check the membrane's rating and the feed.",
                        _ => "Check the membrane's rating, the feed's pressure and temperature.",
                    }
                ),
            ));
            None
        }
    }
}

/// How long the stores last when the feed stops.
pub(crate) fn endurance_of(station: &Station, needs: &Needs, sheet: &mut Sheet) -> Vec<Stores> {
    endurance::endurance(station, needs, sheet)
}

/// Names of the vessels that it fills.
fn filled_names(station: &Station) -> Vec<String> {
    filled(station).iter().map(|vessel| vessel.name.clone()).collect()
}

/// The vessels that it fills.
fn filled(station: &Station) -> Vec<&Vessel> {
    let fresh = |vessel: &&Vessel| vessel.fields.holds.value == Water::Fresh;
    let named = station
        .purifier
        .as_ref()
        .and_then(|purifier| purifier.fields.fills.as_ref())
        .and_then(|name| station.vessel(&name.value));
    if let Some(vessel) = named {
        return vec![vessel];
    }
    let automatic: Vec<&Vessel> = station
        .vessels
        .iter()
        .filter(fresh)
        .filter(|vessel| vessel.fields.fill.value == Fill::Automatic)
        .collect();
    let all: Vec<&Vessel> = station.vessels.iter().filter(fresh).collect();
    [automatic, all, station.vessels.iter().collect()]
        .into_iter()
        .find(|vessels| !vessels.is_empty())
        .unwrap_or_default()
}

fn work_out(
    station: &Station,
    batch: &Batch,
    needs: &Needs,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Result<Made, Refusal> {
    let missing = || Refusal::Inputs { given: 0 };
    let (Some(purifier), Some(fields)) = (&station.purifier, &station.feed) else {
        return Err(missing());
    };
    let vessels = filled(station);
    let vessel = *vessels.first().ok_or_else(missing)?;

    let feed = Feed::new(fields, sheet)?;
    let train = Train::new(station, purifier, vessel, sheet)?;
    let resin = Resin::new(purifier, &feed, sheet)?;
    let filters = Filters::new(purifier, fields, sheet)?;
    let mean = train.at(&feed, feed.mean_temperature, "", ", mean of the year", sheet)?;
    if sheet.value(mean.permeate) <= 0.0 {
        find::gives_nothing(station, purifier, findings);
        return Err(Refusal::NoFlow);
    }

    let run = together(sheet, &vessels, "run", "purifier.run", "water of one run")?;
    let drawable = together(
        sheet,
        &vessels,
        "drawable-full",
        "purifier.store",
        "fresh water to draw when full",
    )?;
    let delivered = delivered(station, Water::Fresh, sheet)?;
    let need = own_need(station, needs, delivered, run, sheet)?;
    let feed_side = sheet.figure(
        "run.feed-side",
        "dissolved solids on the feed side while it runs",
        &m::FEED_SIDE_SOLIDS,
        &[feed.solids, mean.permeate, mean.reject],
    )?;
    let membrane_life = membrane_life(purifier, need, sheet)?;
    let flush = sheet.given(&purifier.fields.flush);
    let shared = Shared {
        station,
        feed,
        train,
        resin,
        filters,
        mean,
        need,
        flush,
        feed_side,
        membrane_life,
    };

    let year = Year {
        station,
        purifier,
        feed: &shared.feed,
        train: &shared.train,
        needs,
        delivered,
        run,
    };
    let months = year.months(sheet)?;
    let lean = months::leanest(&months).ok_or_else(missing)?.clone();
    headline_month(&lean, sheet);

    let best_run = best_run(station, drawable, sheet)?;
    let float = Float::new(&shared, purifier, vessel, sheet)?;
    let (own_run, closing) = own_way(purifier, &float, run, best_run, need, sheet)?;
    let own = shared.economics(own_run, closing, "run", sheet)?;
    let lasts = own_headlines(&own, need, sheet);
    let gas_share = gas_share(&own, sheet);
    let (short_over_long, twice) = saying(&shared, &own, sheet);

    let best_m3 = best_run.map(|id| sheet.value(id));
    let most_m3 = best_m3.unwrap_or(1.0).max(sheet.value(own_run)).max(0.15) * 1.5;
    let curve = curve::curve(&shared, most_m3, sheet)?;
    let long_enough_m3 = long_enough(&shared, &curve, best_m3, sheet)?;
    let controls = curve::controls(&shared, purifier, &float, run, best_run, sheet)?;
    let warm = months
        .iter()
        .max_by(|a, b| a.feed_temperature_c.value.total_cmp(&b.feed_temperature_c.value))
        .ok_or_else(missing)?;
    let filter_rows = shared.filters.rows(&warm.point, own.reject_ratio, need, sheet)?;
    shared.filters.breakthrough(fields, sheet)?;
    let calcite_index = calcite_index(&shared, purifier, warm, sheet);
    let membrane_pressure = sheet.figure(
        "membrane-pressure",
        "pressure at the membrane while it runs, mean of the year",
        &m::PRESSURE_AT_MEMBRANE,
        &[
            shared.train.pressure,
            shared.train.filters,
            mean.permeate,
            mean.reject,
        ],
    )?;
    let due = shared
        .train
        .with_filters_due(purifier, &shared.feed, shared.feed.mean_temperature, sheet);
    let [closes, opens] = shut_off(&shared, purifier, sheet);
    let carbon = purifier
        .filters
        .iter()
        .any(|filter| filter.fields.kind.value.is_carbon());
    let wanted = lean.need_m3_per_s.as_ref().map(|need| need.node);
    let least_pressure = wanted.and_then(|wanted| {
        shared
            .train
            .least_pressure(&shared.feed, wanted, lean.point.temperature, sheet)
    });

    let made = Made {
        feed_solids_kg_m3: sheet.estimate(shared.feed.solids),
        carbon_dioxide_kg_m3: sheet.estimate(shared.feed.carbon_dioxide),
        gas_share: gas_share.map(|id| sheet.estimate(id)),
        leanest_month: lean.month,
        calcite_index: calcite_index.map(|id| sheet.estimate(id)),
        membrane_pressure_pa: sheet.estimate(membrane_pressure),
        least_pressure_pa: least_pressure.map(|id| sheet.estimate(id)),
        filters_due_m3_per_s: due.map(|(permeate, _)| sheet.estimate(permeate)),
        filters_due_pressure_pa: due.map(|(_, pressure)| sheet.estimate(pressure)),
        shut_off_closes_pa: closes.map(|id| sheet.estimate(id)),
        shut_off_opens_pa: opens.map(|id| sheet.estimate(id)),
        membrane_discard_m3: purifier.fields.new_membrane_discard.value.m3(),
        carbon_rinse_m3: carbon.then(|| purifier.fields.new_carbon_rinse.value.m3()),
        run: RunOfWater {
            volume_m3: (!matches!(closing, Closing::Never)).then(|| sheet.value(own_run)),
            idle_s: own.idle.map(|id| sheet.estimate(id)),
            start_salt_kg: own.start_salt.map(|id| sheet.estimate(id)),
            solids_kg_m3: sheet.estimate(own.solids),
            load_mol_m3: own.load.map(|load| sheet.estimate(load.all)),
            resin_life_m3: own.load.map(|load| sheet.estimate(load.life)),
            resin_lasts_s: lasts.map(|id| sheet.estimate(id)),
            reject_ratio: sheet.estimate(own.reject_ratio),
            cost_per_m3: own.cost.map(|id| sheet.estimate(id)),
            short_over_long: short_over_long.map(|id| sheet.estimate(id)),
            hold_up_for_twice_m3: twice.map(|id| sheet.estimate(id)),
        },
        best_run_m3: best_m3,
        long_enough_m3,
        curve,
        controls,
        filters: filter_rows,
        unpriced: unpriced(purifier, &own),
        cost_parts: own
            .parts
            .iter()
            .map(|(part, id)| CostPart {
                part: part.word(),
                per_m3: sheet.estimate(*id),
            })
            .collect(),
        doubts: Vec::new(),
        litre: own.cost,
        months,
    };
    find::find(
        &find::Seen {
            station,
            purifier,
            feed: fields,
            batch,
            made: &made,
            lean: &lean,
        },
        &shared,
        sheet,
        findings,
    );
    Ok(made)
}

/// One figure over all the vessels that it fills; nothing where one of them lacks it.
fn together(
    sheet: &mut Sheet,
    vessels: &[&Vessel],
    of: &str,
    key: &str,
    title: &str,
) -> Result<Option<NodeId>, Refusal> {
    let nodes: Option<Vec<NodeId>> = vessels
        .iter()
        .map(|vessel| sheet.find(&format!("{}.{of}", vessel.name)))
        .collect();
    match nodes.as_deref() {
        None | Some([]) => Ok(None),
        Some([one]) => Ok(Some(*one)),
        Some(nodes) => sheet.figure(key, title, &m::SUM_OF_VOLUMES, nodes).map(Some),
    }
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
        let inputs = [sheet.given(&delivery.fields.volume), sheet.given(every)];
        flows.push(sheet.figure(
            format!("delivered.{}.mean", delivery.name),
            format!("{}: delivered as a mean", delivery.name),
            &m::DELIVERED_RATE,
            &inputs,
        )?);
    }
    match flows.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(*one)),
        flows => sheet
            .figure(
                format!("delivered.{}", water.word()),
                format!("{} water delivered as a mean", water.word()),
                &m::DAILY_SUM,
                flows,
            )
            .map(Some),
    }
}

/// What it must make, mean of the year; with no tanks one run a day, so that costs have something to stand on.
fn own_need(
    station: &Station,
    needs: &Needs,
    delivered: Option<NodeId>,
    run: Option<NodeId>,
    sheet: &mut Sheet,
) -> Result<NodeId, Refusal> {
    match (needs.fresh.filter(|need| sheet.value(*need) > 0.0), delivered) {
        (Some(need), None) => Ok(need),
        (Some(need), Some(delivered)) => {
            let beyond = sheet.figure(
                "purifier.need",
                "fresh water that the purifier must make",
                &m::NEED_BEYOND,
                &[need, delivered],
            )?;
            Ok(if sheet.value(beyond) > 0.0 { beyond } else { need })
        }
        (None, _) => {
            let day = feed::constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day");
            let volume = match run {
                Some(run) => run,
                None => feed::constant(
                    sheet,
                    "a run",
                    station
                        .vessels
                        .first()
                        .map_or(0.1, |vessel| 0.5 * vessel.shape.full_volume_m3()),
                    Kind::Volume,
                    "no tanks and no levels in the file: half of the first vessel",
                ),
            };
            sheet.figure(
                "purifier.need",
                "one run a day, as the file has no tanks",
                &m::CHANGE_RATE,
                &[volume, day],
            )
        }
    }
}

/// Water that the membranes make in their life.
fn membrane_life(
    purifier: &station::Purifier,
    need: NodeId,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let Some(first) = purifier.membranes.first() else {
        return Ok(None);
    };
    let lasts = sheet.given(&first.fields.lasts);
    sheet
        .figure(
            "membrane-life",
            "water that the membranes make in their life",
            &m::FILTER_LIFE_BY_CALENDAR,
            &[lasts, need],
        )
        .map(Some)
}

/// The largest run that leaves the reserve.
fn best_run(
    station: &Station,
    drawable: Option<NodeId>,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let Some(drawable) = drawable else {
        return Ok(None);
    };
    let Some(reserve) = &station.reserve.fresh else {
        return Ok(Some(drawable));
    };
    let reserve = sheet.given(reserve);
    let run = sheet.figure(
        "best-run",
        "largest run that leaves the reserve to draw",
        &m::RUN_VOLUME,
        &[drawable, reserve],
    )?;
    Ok((sheet.value(run) > 0.0).then_some(run))
}

/// The owner's run and how it ends.
fn own_way(
    purifier: &station::Purifier,
    float: &Float,
    run: Option<NodeId>,
    best_run: Option<NodeId>,
    need: NodeId,
    sheet: &mut Sheet,
) -> Result<(NodeId, Closing), Refusal> {
    let sound = purifier.fields.shut_off.value == ShutOff::Sound;
    let daily = |sheet: &mut Sheet| {
        let day = feed::constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day");
        sheet.figure("run.daily", "need of one day", &m::NEED_OF_TIME, &[need, day])
    };
    Ok(match purifier.fields.control.value {
        Control::Float if sound => (
            float.reopens,
            Closing::Slow {
                travel: float.travel,
                share: float.share,
            },
        ),
        Control::Float => (daily(sheet)?, Closing::Never),
        Control::Timer => (daily(sheet)?, Closing::Sharp),
        Control::Levels | Control::Attended => match run.or(best_run) {
            Some(run) => (run, Closing::Sharp),
            None => (daily(sheet)?, Closing::Sharp),
        },
    })
}

fn headline_month(lean: &MonthOfWater, sheet: &mut Sheet) {
    sheet.headline(lean.made_m3_per_s.node);
    for estimate in [&lean.margin_m3_per_s, &lean.fill_time_s].into_iter().flatten() {
        sheet.headline(estimate.node);
    }
}

/// Marks what the letter shows of the owner's way; how long the bed lasts.
fn own_headlines(own: &Economics, need: NodeId, sheet: &mut Sheet) -> Option<NodeId> {
    sheet.headline(own.reject_ratio);
    if let Some(cost) = own.cost {
        sheet.headline(cost);
    }
    let load = own.load?;
    sheet.headline(load.life);
    let lasts = sheet
        .figure(
            "run.resin-lasts",
            "time that a bed of resin lasts",
            &m::DAYS_HELD,
            &[load.life, need],
        )
        .ok()?;
    Some(lasts)
}

fn gas_share(own: &Economics, sheet: &mut Sheet) -> Option<NodeId> {
    let load = own.load?;
    sheet
        .figure(
            "run.gas-share",
            "share of the resin that carbon dioxide takes",
            &m::GAS_SHARE,
            &[load.gas, load.all],
        )
        .ok()
}

/// What the trade says of long runs: how much the model gives, and the hold-up that would make it true.
fn saying(shared: &Shared<'_>, own: &Economics, sheet: &mut Sheet) -> (Option<NodeId>, Option<NodeId>) {
    let (Some(resin), Some(_)) = (&shared.resin, own.start_solids) else {
        return (None, None);
    };
    let mut inputs = vec![
        shared.train.feed_side,
        shared.feed_side,
        shared.mean.solids,
        resin.equivalent,
        resin.carbon_dioxide,
    ];
    let twice = sheet.figure(
        "hold-up-for-twice",
        "hold-up at which runs of 20 L would spend twice the resin of runs of 130 L",
        &m::HOLD_UP_FOR_TWICE,
        &inputs,
    );
    inputs.insert(0, shared.train.hold_up);
    let ratio = sheet.figure(
        "short-over-long",
        "resin that runs of 20 L spend over what runs of 130 L do",
        &m::SHORT_OVER_LONG,
        &inputs,
    );
    (ratio.ok(), twice.ok())
}

/// The smallest run whose litre costs at most 5 % more than at the largest; by resin where nothing has a price.
fn long_enough(
    shared: &Shared<'_>,
    curve: &[CurvePoint],
    best_m3: Option<f64>,
    sheet: &mut Sheet,
) -> Result<Option<f64>, Refusal> {
    let Some(best_m3) = best_m3 else {
        return Ok(None);
    };
    let best = curve::point(shared, best_m3, sheet)?;
    let spent = |point: &CurvePoint| match (&point.cost_per_m3, &point.resin_life_m3) {
        (Some(cost), _) => cost.value,
        (None, Some(life)) => 1.0 / life.value,
        (None, None) => point.reject_ratio.value,
    };
    let limit = 1.05 * spent(&best);
    Ok(curve
        .iter()
        .filter(|point| point.run_volume_m3 <= best_m3)
        .find(|point| spent(point) <= limit)
        .map(|point| point.run_volume_m3))
}

/// Saturation index at the wall; a softener leaves nothing to settle.
fn calcite_index(
    shared: &Shared<'_>,
    purifier: &station::Purifier,
    warm: &MonthOfWater,
    sheet: &mut Sheet,
) -> Option<NodeId> {
    if purifier.fields.softener.value {
        return None;
    }
    let share = sheet.assumed(
        "feed.calcium-share",
        0.75,
        Kind::Fraction,
        station::quantity::Spread::normal(0.15),
        "common practice, no source: two thirds to nine tenths of the hardness is calcium",
    );
    let inputs = [
        shared.feed.hardness,
        share,
        shared.feed.alkalinity,
        shared.feed.carbon_dioxide,
        warm.point.temperature,
        shared.feed.conductivity,
        warm.point.permeate,
        warm.point.reject,
    ];
    sheet
        .figure(
            "calcite-index",
            "saturation index of calcite at the membrane's wall in the warmest month",
            &m::CALCITE_INDEX,
            &inputs,
        )
        .ok()
}

/// Where the shut-off valve closes and opens, for whoever has a gauge there; nothing where there is no valve.
fn shut_off(shared: &Shared<'_>, purifier: &station::Purifier, sheet: &mut Sheet) -> [Option<NodeId>; 2] {
    let fields = &purifier.fields;
    if fields.shut_off.value == ShutOff::None {
        return [None, None];
    }
    [
        ("shut-off.closes", "closes", &fields.shut_off_closes),
        ("shut-off.opens", "opens again", &fields.shut_off_reopens),
    ]
    .map(|(key, does, share)| {
        let share = sheet.given(share);
        sheet
            .figure(
                key,
                format!("permeate pressure at which the shut-off valve {does}"),
                &m::SHUT_OFF_PRESSURE,
                &[share, shared.train.pressure],
            )
            .ok()
    })
}

/// Parts of the cost without a price.
fn unpriced(purifier: &station::Purifier, own: &Economics) -> Vec<&'static str> {
    Part::ALL
        .into_iter()
        .filter(|part| !own.parts.iter().any(|(priced, _)| priced == part))
        .filter(|part| match part {
            Part::Resin => !purifier.beds.is_empty(),
            Part::Filters => !purifier.filters.is_empty(),
            Part::Power => purifier.fields.booster_pressure.is_some(),
            Part::Water | Part::Membranes => true,
        })
        .map(Part::word)
        .collect()
}

impl Made {
    /// Tells where the doubt comes from; apart, since nobody needs it to try a cure.
    pub(crate) fn tell_doubts(&mut self, sheet: &Sheet) {
        let life = self.run.resin_life_m3.as_ref().map(|life| life.node);
        let Some(figure) = life.or(self.litre) else {
            return;
        };
        // Under two percent nobody would go and measure (house rule).
        self.doubts = sheet
            .shares_of_doubt(figure)
            .into_iter()
            .filter(|(_, share)| *share >= 0.02)
            .map(|(path, share)| DoubtShare { path, share })
            .collect();
    }

    /// Every value with an interval.
    pub(crate) fn each(&mut self, fill: &mut dyn FnMut(&mut Estimate)) {
        let run = &mut self.run;
        let own = [
            Some(&mut self.feed_solids_kg_m3),
            Some(&mut self.carbon_dioxide_kg_m3),
            self.gas_share.as_mut(),
            self.calcite_index.as_mut(),
            Some(&mut self.membrane_pressure_pa),
            self.least_pressure_pa.as_mut(),
            self.filters_due_m3_per_s.as_mut(),
            self.filters_due_pressure_pa.as_mut(),
            self.shut_off_closes_pa.as_mut(),
            self.shut_off_opens_pa.as_mut(),
            run.idle_s.as_mut(),
            run.start_salt_kg.as_mut(),
            Some(&mut run.solids_kg_m3),
            run.load_mol_m3.as_mut(),
            run.resin_life_m3.as_mut(),
            run.resin_lasts_s.as_mut(),
            Some(&mut run.reject_ratio),
            run.cost_per_m3.as_mut(),
            run.short_over_long.as_mut(),
            run.hold_up_for_twice_m3.as_mut(),
        ];
        let months = self.months.iter_mut().flat_map(|month| {
            [
                Some(&mut month.feed_temperature_c),
                Some(&mut month.permeate_m3_per_s),
                Some(&mut month.reject_m3_per_s),
                Some(&mut month.permeate_solids_kg_m3),
                Some(&mut month.made_m3_per_s),
                month.need_m3_per_s.as_mut(),
                month.margin_m3_per_s.as_mut(),
                month.fill_time_s.as_mut(),
            ]
        });
        let curve = self.curve.iter_mut().flat_map(|point| {
            [
                Some(&mut point.solids_kg_m3),
                point.resin_life_m3.as_mut(),
                point.cost_per_m3.as_mut(),
                Some(&mut point.reject_ratio),
            ]
        });
        let controls = self.controls.iter_mut().flat_map(|row| {
            [
                Some(&mut row.solids_kg_m3),
                row.resin_life_m3.as_mut(),
                row.cost_per_m3.as_mut(),
                Some(&mut row.reject_ratio),
            ]
        });
        let filters = self.filters.iter_mut().flat_map(|row| {
            [
                row.contact_s.as_mut(),
                Some(&mut row.life_m3),
                Some(&mut row.lasts_s),
            ]
        });
        let parts = self.cost_parts.iter_mut().map(|part| Some(&mut part.per_m3));
        own.into_iter()
            .chain(months)
            .chain(curve)
            .chain(controls)
            .chain(filters)
            .chain(parts)
            .flatten()
            .for_each(fill);
    }
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
        [Some(&mut self.fresh_m3), self.salt_m3.as_mut()]
            .into_iter()
            .chain(tanks)
            .flatten()
            .for_each(fill);
    }
}
