//! Water made: the feed, the purifier through the year, what a run costs, how long the stores last without it.
//!
//! `feed`, `train` and `beds` turn the file into nodes, `setting` says what the purifier stands in; `months` walks
//! the year; `run` works one way of filling out, `curve` many of them; `filters`, `detail` and `endurance` are what
//! they say; `made` is the data that comes out, `find` what there is to say.

mod beds;
mod curve;
mod detail;
mod endurance;
mod feed;
mod filters;
mod find;
mod inlet;
mod made;
mod months;
mod nodes;
mod options;
mod run;
mod setting;
mod train;

use station::sections::{Control, FeedFields, Water};
use station::{Purifier, Station, Vessel};

use super::delivered::delivered;
use super::needs::Needs;
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};
use beds::Resin;
use curve::Float;
use feed::Feed;
use filters::Filters;
use months::Year;
use run::Shared;
use train::Train;

pub use curve::{ControlRow, CurvePoint};
pub use endurance::{Stores, TankStores};
pub use filters::FilterRow;
pub use made::{CostPart, DoubtShare, Made, RunOfWater};
pub use months::MonthOfWater;
pub use options::ResinOption;

pub(crate) use endurance::stores_left;
pub(crate) use nodes::{Ends, PurifierNodes};

/// What the purifier makes; nothing where the file describes none.
pub(crate) fn made(
    station: &Station,
    needs: &Needs,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Option<Made> {
    let (purifier, fields) = (station.purifier.as_ref()?, station.feed.as_ref()?);
    match work_out(station, purifier, fields, needs, sheet, findings) {
        Ok(made) => Some(made),
        // No water: told already, with what to do.
        Err(Refusal::NoFlow) => None,
        Err(refusal) => {
            findings.push(Finding::new(
                "purifier-not-computed",
                Severity::Must,
                "purifier",
                format!(
                    "What the purifier gives can't be computed: {refusal}. Check the membrane's rating, the feed's pressure and its temperature."
                ),
            ));
            None
        }
    }
}

fn work_out(
    station: &Station,
    purifier: &Purifier,
    fields: &FeedFields,
    needs: &Needs,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Result<Made, Refusal> {
    let missing = || Refusal::Inputs { given: 0 };
    let vessels = setting::filled(station);
    let vessel = *vessels.first().ok_or_else(missing)?;
    let run = setting::together(sheet, &vessels, "run", "purifier.run", "water of one run")?;
    let drawable = setting::together(
        sheet,
        &vessels,
        "drawable-full",
        "purifier.store",
        "fresh water to draw when full",
    )?;
    let delivered = delivered(station, Water::Fresh, sheet)?;
    let need = setting::own_need(station, needs, delivered, run, sheet)?;
    // It presses against the highest of them.
    let rim_m = |vessel: &Vessel| vessel.fields.floor_height.value.m() + vessel.shape.height_m();
    let highest = vessels
        .iter()
        .copied()
        .max_by(|a, b| rim_m(a).total_cmp(&rim_m(b)))
        .ok_or_else(missing)?;
    let shared = shared(station, purifier, fields, highest, need, sheet, findings)?;
    let need = shared.need;

    let best_run = setting::best_run(station, drawable, sheet)?;
    let float = Float::new(&shared, purifier, vessel, sheet)?;
    let (own_run, rhythm) =
        setting::own_way(purifier, &float, run, best_run, shared.mean.permeate, need, sheet)?;
    let flushed =
        (sheet.value(shared.flush) > 0.0 && !rhythm.never_stops()).then_some((own_run, shared.flush));
    let year = Year {
        station,
        purifier,
        feed: &shared.feed,
        train: &shared.train,
        needs,
        delivered,
        // A float closes where it hangs, whatever the levels.
        run: run.filter(|_| purifier.fields.control.value != Control::Float),
        flushed,
    };
    let months = year.months(sheet)?;
    let lean = months::leanest(&months).ok_or_else(missing)?.clone();
    detail::headline_month(&lean, sheet);
    let warm = months
        .iter()
        .max_by(|a, b| a.feed_temperature_c.value.total_cmp(&b.feed_temperature_c.value))
        .ok_or_else(missing)?
        .clone();

    let own = shared.economics(own_run, rhythm, "run", sheet)?;
    let lasts = detail::own_headlines(&own, need, sheet);
    let gas_share = detail::gas_share(&own, sheet);
    let (short_over_long, twice) = detail::saying(&shared, &own, sheet);

    let best_m3 = best_run.map(|id| sheet.value(id));
    let most_m3 = best_m3.unwrap_or(1.0).max(sheet.value(own_run)).max(0.15) * 1.5;
    // A run that begins or ends slowly isn't one of the curve's.
    let own_m3 = rhythm.is_sharp().then(|| sheet.value(own_run));
    let marked: Vec<f64> = [own_m3, best_m3].into_iter().flatten().collect();
    let curve = curve::curve(&shared, most_m3, &marked, sheet)?;
    let long_enough_m3 = detail::long_enough(&shared, &curve, best_m3);
    let controls = curve::controls(&shared, purifier, &float, run, best_run, sheet)?;
    let resin_options = options::options(&shared, purifier, own_run, rhythm, sheet)?;
    let filters = shared.filters.rows(&warm.point, own.reject_ratio, need, sheet)?;
    let [damage, ammonia] = shared.filters.breakthrough(fields, sheet)?;
    let calcite_index = detail::calcite_index(&shared, purifier, &warm, sheet);
    let pressure = detail::membrane_pressure(&shared, sheet)?;
    let recovery = detail::recovery(&shared, sheet)?;
    let due = shared.train.with_filters_due(
        purifier,
        &shared.feed,
        &shared.mean,
        shared.feed.mean_temperature,
        sheet,
    );
    let due_a_day = match due {
        Some((permeate, _)) => {
            let made = months::over_the_day(
                purifier,
                permeate,
                "made.filters-due",
                "purified water made with filters due for change, mean over the day and the year",
                sheet,
            )?;
            Some(months::beyond_flush(
                made,
                flushed,
                "net.filters-due",
                "the same less what is flushed",
                sheet,
            )?)
        }
        None => None,
    };
    let [closes, opens] = detail::shut_off(&shared, purifier, sheet);
    let least_pressure = match &lean.need_m3_per_s {
        Some(need) => {
            setting::wanted_while_running(purifier, need.node, delivered, sheet)?.and_then(|wanted| {
                shared
                    .train
                    .least_pressure(&shared.feed, wanted, lean.point.temperature, sheet)
            })
        }
        None => None,
    };
    let carbon = purifier
        .filters
        .iter()
        .any(|filter| filter.fields.kind.value.is_carbon());

    let told = |sheet: &Sheet, id: Option<NodeId>| id.map(|id| sheet.estimate(id));
    let made = Made {
        feed_solids_kg_m3: sheet.estimate(shared.feed.solids),
        carbon_dioxide_kg_m3: sheet.estimate(shared.feed.carbon_dioxide),
        gas_share: told(sheet, gas_share),
        leanest_month: lean.month,
        calcite_index: told(sheet, calcite_index),
        recovery: sheet.estimate(recovery),
        membrane_pressure_pa: sheet.estimate(pressure),
        filters_due_m3_per_s: told(sheet, due_a_day),
        filters_due_pressure_pa: told(sheet, due.map(|(_, pressure)| pressure)),
        booster_suction_pa: told(sheet, shared.suction.map(|(clean, _)| clean)),
        booster_suction_due_pa: told(sheet, shared.suction.map(|(_, due)| due)),
        shut_off_closes_pa: told(sheet, closes),
        shut_off_opens_pa: told(sheet, opens),
        membrane_discard_m3: purifier.fields.new_membrane_discard.value.m3(),
        carbon_rinse_m3: carbon.then(|| purifier.fields.new_carbon_rinse.value.m3()),
        least_pressure_pa: told(sheet, least_pressure),
        run: RunOfWater {
            volume_m3: (!rhythm.never_stops()).then(|| sheet.value(own_run)),
            on_curve: rhythm.is_sharp()
                && (!rhythm.at_most_daily || sheet.value(own_run) >= 0.999 * sheet.value(need) * 86_400.0),
            least_of_float: rhythm.ends_slowly(),
            assumed: run.is_none()
                && matches!(purifier.fields.control.value, Control::Levels | Control::Attended),
            idle_s: told(sheet, own.idle),
            start_salt_kg: told(sheet, own.start_salt),
            solids_kg_m3: sheet.estimate(own.solids),
            load_mol_m3: told(sheet, own.load.map(|load| load.all)),
            resin_life_m3: told(sheet, own.load.map(|load| load.life)),
            resin_lasts_s: told(sheet, lasts),
            reject_ratio: sheet.estimate(own.reject_ratio),
            cost_per_m3: told(sheet, own.cost),
            short_over_long: told(sheet, short_over_long),
            hold_up_for_twice_m3: told(sheet, twice),
        },
        best_run_m3: best_m3,
        long_enough_m3,
        curve,
        controls,
        resin_options,
        filters,
        time_to_damage_s: told(sheet, damage),
        ammonia_left_kg_m3: told(sheet, ammonia),
        unpriced: detail::unpriced(purifier, &own),
        cost_parts: own
            .parts
            .iter()
            .map(|(part, id)| CostPart {
                part: part.word(),
                per_m3: sheet.estimate(*id),
            })
            .collect(),
        doubts: Vec::new(),
        nodes: PurifierNodes::of(&shared, &own, rhythm),
        litre: own.cost,
        months,
    };
    let seen = find::Seen {
        station,
        purifier,
        feed: fields,
        made: &made,
        lean: &lean,
        rhythm,
    };
    find::find(&seen, &shared, sheet, findings);
    Ok(made)
}

/// The file as nodes, and the purifier at the mean temperature of its feed.
fn shared<'s>(
    station: &'s Station,
    purifier: &Purifier,
    fields: &FeedFields,
    vessel: &Vessel,
    need: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Result<Shared<'s>, Refusal> {
    let feed = Feed::new(fields, station.usual_feed.as_ref(), sheet)?;
    let train = Train::new(station, purifier, vessel, sheet)?;
    let resin = Resin::new(purifier, &feed, sheet)?;
    let filters = Filters::new(purifier, fields, sheet)?;
    if sheet.value(train.inlet.pressure) <= 0.0 {
        find::gives_nothing(station, purifier, findings);
        return Err(Refusal::NoFlow);
    }
    let mean = train.at(&feed, feed.mean_temperature, "", ", mean of the year", sheet)?;
    // Below osmosis a seep is left, salt as the feed; it's no water (house rule: a fiftieth of the rating).
    if sheet.value(mean.permeate) < 0.02 * sheet.value(train.rated_flow) {
        find::gives_nothing(station, purifier, findings);
        return Err(Refusal::NoFlow);
    }
    let suction = train.inlet.suction(purifier, &mean, sheet);
    if let Some((clean, _)) = suction
        && find::starves(station, purifier, sheet.value(clean), findings)
    {
        return Err(Refusal::NoFlow);
    }
    let feed_side = sheet.figure(
        "run.feed-side",
        "dissolved solids on the feed side while it runs",
        &m::FEED_SIDE_SOLIDS,
        &[feed.solids, mean.permeate, mean.reject],
    )?;
    let need = serves(purifier, need, mean.permeate, sheet)?;
    Ok(Shared {
        station,
        membrane_life: setting::membrane_life(purifier, need, sheet)?,
        flush: sheet.given(&purifier.fields.flush),
        feed,
        train,
        resin,
        filters,
        mean,
        suction,
        need,
        feed_side,
    })
}

/// What is drawn of it: the need, or all that it makes where that is less; and so resin and filters last longer than
/// the need alone would have it.
fn serves(purifier: &Purifier, need: NodeId, permeate: NodeId, sheet: &mut Sheet) -> Result<NodeId, Refusal> {
    let made = months::over_the_day(
        purifier,
        permeate,
        "made",
        "purified water made, mean over the day and the year",
        sheet,
    )?;
    // Where there is plenty nobody needs to ask for the lesser (house rule).
    if sheet.value(need) < 0.8 * sheet.value(made) {
        return Ok(need);
    }
    sheet.figure(
        "purifier.serves",
        "purified water drawn as a mean: the need, or all that it makes",
        &m::DRAWN_DAY_AND_NIGHT,
        &[need, made],
    )
}
