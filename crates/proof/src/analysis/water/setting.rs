//! What the purifier stands in: the vessels that it fills, what it must make, the run that the owner chose.

use station::quantity::Kind;
use station::sections::{Control, ShutOff, Water};
use station::{Purifier, Station, Vessel};

use super::curve::Float;
use super::feed::constant;
use super::run::{Closing, Rhythm};
use crate::analysis::needs::Needs;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Names of the vessels that it fills.
pub(super) fn filled_names(station: &Station) -> Vec<String> {
    filled(station).iter().map(|vessel| vessel.name.clone()).collect()
}

/// The vessels that it fills.
pub(super) fn filled(station: &Station) -> Vec<&Vessel> {
    station
        .filled()
        .into_iter()
        .filter_map(|at| station.vessels.get(at))
        .collect()
}

/// One figure over all the vessels that it fills; nothing where one of them lacks it.
pub(super) fn together(
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

/// What it must make, mean of the year; with no tanks one run a week, so that costs have something to stand on.
pub(super) fn own_need(
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
            let week = constant(
                sheet,
                "a week",
                604_800.0,
                Kind::Time,
                "house rule: one run a week",
            );
            let volume = match run {
                Some(run) => run,
                None => constant(
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
                "one run a week, as the file gives no need",
                &m::CHANGE_RATE,
                &[volume, week],
            )
        }
    }
}

/// Permeate that makes what a month needs beyond deliveries, in the hours that it may run; nothing where
/// deliveries are enough.
pub(super) fn wanted_while_running(
    purifier: &Purifier,
    need: NodeId,
    delivered: Option<NodeId>,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let own = match delivered {
        None => need,
        Some(delivered) => sheet.figure(
            "need-of-leanest-month",
            "need of the leanest month beyond what is delivered",
            &m::NEED_BEYOND,
            &[need, delivered],
        )?,
    };
    let wanted = match super::months::hours_a_day(purifier) {
        None => own,
        Some(hours) => {
            let hours = sheet.given(hours);
            sheet.figure(
                "wanted-while-running",
                "permeate that makes the need of the leanest month in its hours",
                &m::WANTED_WHILE_RUNNING,
                &[own, hours],
            )?
        }
    };
    Ok((sheet.value(wanted) > 0.0).then_some(wanted))
}

/// Water that the membranes make in their life.
pub(super) fn membrane_life(
    purifier: &Purifier,
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
pub(super) fn best_run(
    station: &Station,
    drawable: Option<NodeId>,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let Some(drawable) = drawable else {
        return Ok(None);
    };
    // Of the water that stands there: a vessel of salt water may be filled by the purifier too.
    let salt = filled(station)
        .iter()
        .all(|vessel| vessel.fields.holds.value == Water::Salt);
    let reserve = match salt {
        true => &station.reserve.salt,
        false => &station.reserve.fresh,
    };
    let Some(reserve) = reserve else {
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
pub(super) fn own_way(
    purifier: &Purifier,
    float: &Float,
    run: Option<NodeId>,
    best_run: Option<NodeId>,
    permeate: NodeId,
    need: NodeId,
    sheet: &mut Sheet,
) -> Result<(NodeId, Rhythm), Refusal> {
    let sound = purifier.fields.shut_off.value == ShutOff::Sound;
    let daily = |sheet: &mut Sheet| {
        let day = constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day");
        sheet.figure("run.daily", "need of one day", &m::NEED_OF_TIME, &[need, day])
    };
    let sharp = match nothing_stops_the_feed(purifier) {
        true => Closing::RejectRunsOn,
        false => Closing::Sharp,
    };
    Ok(match purifier.fields.control.value {
        Control::Float if sound && float.share.is_some() => (float.reopens, float.closing().into()),
        Control::Float => (daily(sheet)?, Closing::Never.into()),
        Control::Timer => (timer_run(purifier, permeate, need, sheet)?, Rhythm::daily(sharp)),
        Control::Attended => {
            let wanted = match run.or(best_run) {
                Some(run) => run,
                None => daily(sheet)?,
            };
            (
                in_its_hours(purifier, wanted, permeate, sheet)?,
                Rhythm::daily(sharp),
            )
        }
        Control::Levels => match run.or(best_run) {
            Some(run) => (run, sharp.into()),
            None => (daily(sheet)?, sharp.into()),
        },
    })
}

/// Whether a run that switches or a clock end leaves the feed open.
pub(super) fn nothing_stops_the_feed(purifier: &Purifier) -> bool {
    let fields = &purifier.fields;
    matches!(fields.control.value, Control::Levels | Control::Timer)
        && fields.shut_off.value != ShutOff::Sound
        && !fields.feed_valve.value
}

/// One run a day by the clock: the day's need, or what its hours make where that is less.
pub(super) fn timer_run(
    purifier: &Purifier,
    permeate: NodeId,
    need: NodeId,
    sheet: &mut Sheet,
) -> Result<NodeId, Refusal> {
    let day = constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day");
    let daily = sheet.figure("run.daily", "need of one day", &m::NEED_OF_TIME, &[need, day])?;
    in_its_hours(purifier, daily, permeate, sheet)
}

/// A run, or what the hours of one day make where that is less.
pub(super) fn in_its_hours(
    purifier: &Purifier,
    wanted: NodeId,
    permeate: NodeId,
    sheet: &mut Sheet,
) -> Result<NodeId, Refusal> {
    match super::months::hours_a_day(purifier) {
        None => Ok(wanted),
        Some(hours) => {
            let hours = sheet.given(hours);
            sheet.figure(
                "run.by-the-clock",
                "water of one run in the hours of a day",
                &m::TIMER_RUN,
                &[wanted, permeate, hours],
            )
        }
    }
}
