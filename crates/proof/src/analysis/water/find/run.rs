//! Runs that are too short, a flush that pays, a saying that needs a figure.

use station::quantity::{Kind, Spread};
use station::sections::{Control, Water};
use station::{Edit, Station, Vessel, lowest_drawable_m};

use super::super::run::Shared;
use super::Seen;
use crate::analysis::speak::{figure, say, set_length, set_round};
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

/// Hold-ups that wash the creep out to below one percent: exp(-5).
const FLUSH_HOLD_UPS: f64 = 5.0;

pub(super) fn find(seen: &Seen<'_>, shared: &Shared<'_>, sheet: &mut Sheet, findings: &mut Vec<Finding>) {
    too_short(seen, findings);
    if !findings.iter().any(|finding| finding.id == "run-too-short") {
        saying(seen, findings);
    }
    flush(seen, shared, sheet, findings);
}

fn too_short(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let made = seen.made;
    let Some(row) = made.controls.iter().find(|row| row.owners) else {
        return;
    };
    let (Some(over), Some(run)) = (row.resin_over_best, made.run.volume_m3) else {
        return;
    };
    // Too little water is the worse trouble, and then it never stands.
    let short = seen
        .lean
        .margin_m3_per_s
        .as_ref()
        .is_some_and(|margin| margin.value < 0.0);
    if over < 1.1 || short {
        return;
    }
    let severity = if over >= 1.3 {
        Severity::Should
    } else {
        Severity::Note
    };
    let float = seen.purifier.fields.control.value == Control::Float;
    let stops = if float {
        ", and the float lets more through while it closes"
    } else {
        ""
    };
    let vessel = super::super::setting::filled_names(seen.station)
        .into_iter()
        .next();
    // Levels decide nothing where a clock does.
    let by_levels = matches!(
        seen.purifier.fields.control.value,
        Control::Levels | Control::Attended
    );
    let place = match (&vessel, by_levels) {
        (Some(name), true) => format!("vessels.{name}.start_level"),
        _ => "purifier.control".to_owned(),
    };
    let mut finding = Finding::new(
        "run-too-short",
        severity,
        place.clone(),
        format!(
            "Runs of {} spend {over:.1} times the resin of the best way here: while the purifier stands, salt creeps through the membrane, and each start puts {} of it on the resin{stops}.",
            say(seen.station, Kind::Volume, run),
            figure("run.start-salt"),
        ),
    )
    .figure("run.start-salt")
    .figure("run.resin-life")
    .gap(over);
    if !by_levels && let Some(edits) = to_level_switches(seen) {
        finding = finding.recipe(edits);
    }
    if by_levels && let Some(edits) = lower_starts(seen) {
        finding = finding.recipe(edits);
    }
    findings.push(finding);
}

/// Level switches and an electric valve in place of a float, where the vessel has a start and a stop level.
pub(super) fn to_level_switches(seen: &Seen<'_>) -> Option<Vec<Edit>> {
    let name = super::super::setting::filled_names(seen.station)
        .into_iter()
        .next()?;
    let vessel = seen.station.vessel(&name)?;
    let fields = &vessel.fields;
    (fields.start_level.is_some() && fields.stop_level.is_some()).then_some(())?;
    let mut edits = vec![Edit::quoted("purifier.control", Control::Levels.word())];
    if !seen.purifier.fields.feed_valve.value {
        edits.push(Edit {
            path: "purifier.feed_valve".to_owned(),
            text: "true".to_owned(),
        });
    }
    edits.extend(start_over_reserve(seen.station, vessel));
    Some(edits)
}

/// A start level that keeps the reserve, where the one in the file doesn't: a float kept the vessel full whatever that says.
fn start_over_reserve(station: &Station, vessel: &Vessel) -> Option<Edit> {
    let fields = &vessel.fields;
    let is_alone = station
        .vessels
        .iter()
        .filter(|own| own.fields.holds.value == Water::Fresh)
        .count()
        == 1;
    if !station.floats(vessel) || fields.holds.value != Water::Fresh || !is_alone {
        return None;
    }
    let reserve_m3 = station.reserve.fresh.as_ref()?.value.m3();
    let lowest_m3 = vessel.shape.volume_m3(lowest_drawable_m(vessel)).ok()?;
    let level_m = vessel.shape.level_m(lowest_m3 + reserve_m3).ok()?;
    let start = fields.start_level.as_ref()?;
    (start.value.m() < level_m).then(|| set_length(station, start.path.clone(), level_m, true))
}

/// The start levels at which one run is as large as the reserve allows, each vessel with its share of it.
fn lower_starts(seen: &Seen<'_>) -> Option<Vec<Edit>> {
    let station: &Station = seen.station;
    let best = seen.made.best_run_m3?;
    let vessels = super::super::setting::filled(station);
    let stops: Option<Vec<f64>> = vessels
        .iter()
        .map(|vessel| {
            let stop = vessel.fields.stop_level.as_ref()?;
            vessel.shape.volume_m3(stop.value.m()).ok()
        })
        .collect();
    let stops = stops?;
    let all: f64 = stops.iter().sum();
    vessels
        .iter()
        .zip(stops)
        .map(|(vessel, stop_m3)| {
            let left = (stop_m3 - best * stop_m3 / all).max(0.0);
            let level = vessel.shape.level_m(left).ok()?;
            Some(set_length(
                station,
                format!("vessels.{}.start_level", vessel.name),
                level,
                true,
            ))
        })
        .collect()
}

/// What the trade says of long runs, with the figure it would need.
fn saying(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let made = seen.made;
    let (Some(run), Some(enough)) = (made.run.volume_m3, made.long_enough_m3) else {
        return;
    };
    if seen.purifier.beds.is_empty() || run < enough {
        return;
    }
    let Some(_) = &made.run.short_over_long else {
        return;
    };
    let needed = match made.run.hold_up_for_twice_m3 {
        Some(_) => format!(
            "for twice as much it would take {} of held-up permeate",
            figure("hold-up-for-twice")
        ),
        None if seen.purifier.fields.flush.value.m3() > 0.0 => {
            "the flush of each start keeps it there".to_owned()
        }
        None => "no held-up permeate, however much, would make it twice".to_owned(),
    };
    findings.push(
        Finding::new(
            "longer-runs-save-little",
            Severity::Note,
            "purifier.hold_up",
            format!(
                "Runs are long enough: beyond about {} the water gets less than 5 % cheaper. The trade says that runs of {} make resin last far longer than runs of {}; for this water it is {} times, and {needed}. Your own first litre settles it: note its conductivity and ask brinewright first-litre.",
                say(seen.station, Kind::Volume, enough),
                say(seen.station, Kind::Volume, 130e-3),
                say(seen.station, Kind::Volume, 20e-3),
                figure("short-over-long"),
            ),
        )
        .figure("short-over-long")
        .figure("run.litre"),
    );
    if made.run.cost_per_m3.is_none()
        && let Some(last) = findings.last_mut()
    {
        last.figures = vec!["short-over-long".to_owned(), "run.resin-life".to_owned()];
    }
}

/// Whether sending the first water of each run to the drain saves more resin than it costs; where no prices are given,
/// whether it makes the resin last longer.
fn flush(seen: &Seen<'_>, shared: &Shared<'_>, sheet: &mut Sheet, findings: &mut Vec<Finding>) {
    let fields = &seen.purifier.fields;
    let (Some(run), Some(life)) = (seen.made.run.volume_m3, &seen.made.run.resin_life_m3) else {
        return;
    };
    if fields.flush.value.m3() > 0.0 || fields.control.value == Control::Float {
        return;
    }
    let wanted_m3 = FLUSH_HOLD_UPS * sheet.value(shared.train.hold_up);
    let flushed = sheet.quietly(|sheet| {
        let flush = sheet.assumed(
            "a flush",
            wanted_m3,
            Kind::Volume,
            Spread::NONE,
            "five times the hold-up washes the creep out",
        );
        let run = sheet.assumed(
            "the same run",
            run,
            Kind::Volume,
            Spread::NONE,
            "as the owner has it",
        );
        let with = Shared {
            flush,
            resin: shared.resin.clone(),
            train: shared.train.clone(),
            filters: shared.filters.clone(),
            ..*shared
        };
        let economics = with.economics(run, seen.rhythm, "flushed", sheet).ok()?;
        let cost = economics.cost.map(|cost| sheet.value(cost));
        Some((cost, sheet.value(economics.load?.life)))
    });
    let Some((flushed_cost, flushed_life)) = flushed else {
        return;
    };
    let priced = |part: &str| seen.made.cost_parts.iter().any(|cost| cost.part == part);
    let cost = seen
        .made
        .run
        .cost_per_m3
        .as_ref()
        .filter(|_| priced("resin") && priced("tap water"));
    let better = match (cost, flushed_cost) {
        // A saving under two percent isn't worth a valve (house rule).
        (Some(cost), Some(flushed)) if flushed < 0.98 * cost.value => format!(
            "would bring the price of the water from {} to {}",
            say(seen.station, Kind::PricePerVolume, cost.value),
            say(seen.station, Kind::PricePerVolume, flushed)
        ),
        (None, _) if flushed_life > 1.05 * life.value => format!(
            "would make a bed of resin last {}, not {}, for {} more to the drain each time",
            say(seen.station, Kind::Volume, flushed_life),
            figure("run.resin-life"),
            say(seen.station, Kind::Volume, wanted_m3)
        ),
        _ => return,
    };
    findings.push(
        Finding::new(
            "flush-pays",
            Severity::Note,
            "purifier.flush",
            format!(
                "Sending the first {} of each run to the drain, before the resin, {better}: it carries the salt that crept through while the purifier stood.",
                say(seen.station, Kind::Volume, wanted_m3),
            ),
        )
        .figure("run.start-salt")
        .recipe(vec![set_round(seen.station, "purifier.flush", Kind::Volume, wanted_m3)]),
    );
}
