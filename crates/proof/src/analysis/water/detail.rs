//! What is said beside the months and the run: lime, gas, the trade's saying, the shut-off valve, what has no price.

use station::Purifier;
use station::quantity::{Kind, Spread};
use station::sections::{BedKind, ShutOff};

use super::curve::CurvePoint;
use super::months::MonthOfWater;
use super::run::{Economics, Part, Shared};
use crate::analysis::speak::say;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

pub(super) fn headline_month(lean: &MonthOfWater, sheet: &mut Sheet) {
    sheet.headline(lean.made_m3_per_s.node);
    for estimate in [&lean.margin_m3_per_s, &lean.fill_time_s].into_iter().flatten() {
        sheet.headline(estimate.node);
    }
}

/// Marks what the letter shows of the owner's way; how long the bed lasts.
pub(super) fn own_headlines(own: &Economics, need: NodeId, sheet: &mut Sheet) -> Option<NodeId> {
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

pub(super) fn gas_share(own: &Economics, sheet: &mut Sheet) -> Option<NodeId> {
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
pub(super) fn saying(
    shared: &Shared<'_>,
    own: &Economics,
    sheet: &mut Sheet,
) -> (Option<NodeId>, Option<NodeId>) {
    let (Some(resin), Some(_)) = (&shared.resin, own.start_solids) else {
        return (None, None);
    };
    // The two runs that the trade compares.
    let [short, long] = [20e-3, 130e-3].map(|run_m3| say(shared.station, Kind::Volume, run_m3));
    let mut inputs = vec![
        shared.train.feed_side,
        shared.feed_side,
        shared.mean.solids,
        resin.equivalent,
        resin.carbon_dioxide,
    ];
    // With a flush the first water never reaches the resin, and the question has no meaning.
    let twice = (sheet.value(shared.flush) == 0.0)
        .then(|| {
            sheet.figure(
                "hold-up-for-twice",
                format!("hold-up at which runs of {short} would spend twice the resin of runs of {long}"),
                &m::HOLD_UP_FOR_TWICE,
                &inputs,
            )
        })
        .and_then(Result::ok);
    inputs.insert(0, shared.train.hold_up);
    inputs.push(shared.flush);
    let ratio = sheet.figure(
        "short-over-long",
        format!("resin that runs of {short} spend over what runs of {long} do"),
        &m::SHORT_OVER_LONG,
        &inputs,
    );
    (ratio.ok(), twice)
}

/// The smallest run whose litre costs at most 5 % more than at the largest; by resin where nothing has a price, by
/// what is dissolved in it where no resin stands behind the membrane.
pub(super) fn long_enough(shared: &Shared<'_>, curve: &[CurvePoint], best_m3: Option<f64>) -> Option<f64> {
    let best_m3 = best_m3?;
    // A marked run is one of the curve's points, within rounding.
    let within = best_m3 * (1.0 + 1e-6);
    let best = curve.iter().rfind(|point| point.run_volume_m3 <= within)?;
    let spent = |point: &CurvePoint| match (&point.cost_per_m3, &point.resin_life_m3) {
        // Without resin its price hardly moves, while the first water of each run reaches the tanks.
        _ if shared.resin.is_none() => point.solids_kg_m3.value,
        (Some(cost), _) => cost.value,
        (None, Some(life)) => 1.0 / life.value,
        (None, None) => point.reject_ratio.value,
    };
    let limit = 1.05 * spent(best);
    curve
        .iter()
        .filter(|point| point.run_volume_m3 <= within)
        .find(|point| spent(point) <= limit)
        .map(|point| point.run_volume_m3)
}

/// What is left of the feed's pressure at the membrane.
pub(super) fn membrane_pressure(shared: &Shared<'_>, sheet: &mut Sheet) -> Result<NodeId, Refusal> {
    let (train, mean) = (&shared.train, &shared.mean);
    sheet.figure(
        "membrane-pressure",
        "pressure at the membrane while it runs, mean of the year",
        &m::PRESSURE_AT_MEMBRANE,
        &[
            train.inlet.pressure,
            train.inlet.filters,
            mean.permeate,
            mean.reject,
        ],
    )
}

/// Share of the feed that becomes permeate.
pub(super) fn recovery(shared: &Shared<'_>, sheet: &mut Sheet) -> Result<NodeId, Refusal> {
    sheet.figure(
        "recovery",
        "share of the feed that becomes permeate while it runs, mean of the year",
        &m::RECOVERY,
        &[shared.mean.permeate, shared.mean.reject],
    )
}

/// Saturation index at the wall; a softener leaves nothing to settle.
pub(super) fn calcite_index(
    shared: &Shared<'_>,
    purifier: &Purifier,
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
        Spread::normal(0.15),
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
pub(super) fn shut_off(shared: &Shared<'_>, purifier: &Purifier, sheet: &mut Sheet) -> [Option<NodeId>; 2] {
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
                &[share, shared.train.inlet.pressure],
            )
            .ok()
    })
}

/// Parts of the cost without a price.
pub(super) fn unpriced(purifier: &Purifier, own: &Economics) -> Vec<&'static str> {
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
        // What leaks past separate beds is so little that nobody can tell how long the bed behind them lasts.
        .chain(polishes(purifier).then_some("the mixed bed that polishes"))
        .collect()
}

/// Whether a mixed bed stands behind separate ones.
fn polishes(purifier: &Purifier) -> bool {
    let has = |kind| purifier.beds.iter().any(|bed| bed.fields.kind.value == kind);
    has(BedKind::Mixed) && has(BedKind::Cation)
}
