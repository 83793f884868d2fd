//! Need, pressure, cold: what keeps the membrane from giving what it is sold for.

use station::quantity::Kind;
use station::{Edit, Purifier, Station};

use super::super::inlet::comes_pa;
use super::booster::more_pressure;
use super::{Seen, month_key, set_pressure};
use crate::analysis::speak::{figure, say, set_round};
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

/// Least and greatest pressure that small membranes are made for: 40 and 100 psi (common practice, no source).
const LEAST_PA: f64 = 40.0 * 6894.757;
const GREATEST_PA: f64 = 100.0 * 6894.757;

/// A purifier that gives no water at all.
pub(in super::super) fn gives_nothing(station: &Station, purifier: &Purifier, findings: &mut Vec<Finding>) {
    let pressure = station
        .feed
        .as_ref()
        .map_or(0.0, |feed| feed.pressure.value.pa_gauge());
    let mut finding = Finding::new(
        "gives-no-water",
        Severity::Must,
        "feed.pressure",
        format!(
            "At {} the purifier gives no water: osmosis, filters and the way up to the vessel take all of the pressure.",
            say(station, Kind::Pressure, pressure)
        ),
    );
    for way in more_pressure(station, purifier) {
        finding = finding.recipe(way);
    }
    findings.push(finding);
}

pub(super) fn find(seen: &Seen<'_>, sheet: &Sheet, findings: &mut Vec<Finding>) {
    need(seen, sheet, findings);
    pressure(seen, findings);
}

/// Made against needed in the leanest month.
fn need(seen: &Seen<'_>, sheet: &Sheet, findings: &mut Vec<Finding>) {
    let (station, lean) = (seen.station, seen.lean);
    let (Some(need), Some(margin)) = (&lean.need_m3_per_s, &lean.margin_m3_per_s) else {
        rated_is_not_made(seen, findings);
        return;
    };
    let (made_key, margin_key) = (
        month_key(made_word(sheet, lean.month), lean.month),
        month_key("margin", lean.month),
    );
    let short = margin.value < 0.0;
    if !short && margin.value >= 0.15 * need.value {
        rated_is_not_made(seen, findings);
        return;
    }
    let (id, severity) = if short {
        ("too-little-water", Severity::Must)
    } else {
        ("margin-thin", Severity::Should)
    };
    let end = if short {
        "less than is needed"
    } else {
        "hardly more than is needed"
    };
    let delivered = lean
        .delivered_m3_per_s
        .as_ref()
        .map_or_else(String::new, |delivered| {
            format!(
                ", and {} are delivered as a mean,",
                say(station, Kind::Flow, delivered.value)
            )
        });
    let mut finding = Finding::new(
        id,
        severity,
        "purifier",
        format!(
            "{} the purifier makes {}{delivered} for a need of {}, {end}: {}.",
            seen.at_first(lean.month),
            figure(&made_key),
            say(station, Kind::Flow, need.value),
            why(seen, need.value),
        ),
    )
    .figure(made_key)
    .figure(margin_key)
    .gap((0.15 * need.value - margin.value) / need.value);
    for edits in more_water(seen, need.value) {
        finding = finding.recipe(edits);
    }
    findings.push(finding);
}

/// What the purifier must make itself.
fn own_need(lean: &super::MonthOfWater, need_m3_s: f64) -> f64 {
    need_m3_s - lean.delivered_m3_per_s.as_ref().map_or(0.0, |comes| comes.value)
}

/// Why it makes so little: few hours, little pressure, cold, or a membrane too small even so. The first that alone
/// would have made the need is to blame.
fn why(seen: &Seen<'_>, need_m3_s: f64) -> String {
    let (station, lean) = (seen.station, seen.lean);
    let own = own_need(lean, need_m3_s);
    let hours = super::super::months::hours_a_day(seen.purifier);
    let enough_by_day = hours.is_some() && lean.permeate_m3_per_s.value >= own;
    if let Some(hours) = hours.filter(|_| enough_by_day) {
        return format!("it runs only {} a day", say(station, Kind::Time, hours.value.s()));
    }
    let rated_pa = seen
        .purifier
        .membranes
        .first()
        .map_or(0.0, |membrane| membrane.fields.rated_pressure.value.pa_gauge());
    let share = lean.made_m3_per_s.value / lean.permeate_m3_per_s.value.max(1e-15);
    // Permeate goes with the pressure, nearly.
    let at_rated = lean.made_m3_per_s.value * rated_pa / seen.made.membrane_pressure_pa.value.max(1.0);
    if at_rated >= own && at_rated > 1.1 * lean.made_m3_per_s.value {
        return format!(
            "only {} reach the membrane, which is rated at {}",
            figure("membrane-pressure"),
            say(station, Kind::Pressure, rated_pa)
        );
    }
    let warm = seen
        .made
        .months
        .iter()
        .map(|month| month.permeate_m3_per_s.value * share)
        .fold(0.0, f64::max);
    let rated = rated_flow(seen);
    let temperature = figure(&month_key("feed.temperature", lean.month));
    if warm >= own || rated * share >= own {
        return format!("its feed is at {temperature}");
    }
    let hours = hours.map_or_else(String::new, |hours| {
        format!(" in {} a day", say(station, Kind::Time, hours.value.s()))
    });
    format!(
        "even its rating, {}{hours}, would not be enough, and the feed is at {temperature}",
        say(station, Kind::Flow, rated * share)
    )
}

/// What its makers rate all membranes at.
pub(super) fn rated_flow(seen: &Seen<'_>) -> f64 {
    seen.purifier
        .membranes
        .iter()
        .map(|membrane| membrane.fields.rated_flow.value.m3_s())
        .sum()
}

/// Under which key the month's water is found: `made` where hours limit it, `net` where runs are flushed.
fn made_word(sheet: &Sheet, month: &str) -> &'static str {
    ["net", "made"]
        .into_iter()
        .find(|word| sheet.find(&month_key(word, month)).is_some())
        .unwrap_or("permeate")
}

/// Ways to more water: more hours, a booster, a larger membrane with its restrictor.
fn more_water(seen: &Seen<'_>, need_m3_s: f64) -> Vec<Vec<Edit>> {
    let (station, purifier) = (seen.station, seen.purifier);
    let mut ways = Vec::new();
    let made = seen.lean.made_m3_per_s.value.max(1e-12);
    let factor = 1.2 * own_need(seen.lean, need_m3_s) / made;
    if let Some(hours) = super::super::months::hours_a_day(purifier) {
        let wanted = (hours.value.s() / 3600.0 * factor).ceil();
        if wanted <= 24.0 {
            ways.push(vec![Edit::quoted(hours.path.clone(), &format!("{wanted} h"))]);
        }
    }
    ways.extend(more_pressure(station, purifier));
    // Filters take more of a larger flow: where that is much, a size above is wanted.
    for factor in [factor, 1.6 * factor] {
        let Some(membrane) = purifier.membranes.first() else {
            break;
        };
        let count = purifier.membranes.len() as f64;
        let larger = membrane.fields.rated_flow.value.m3_s() * (1.0 + count * (factor - 1.0));
        // Membranes are sold in steps of 25 gal/day (common practice, no source).
        let step = 25.0 * 3.785_411_784e-3 / 86_400.0;
        let steps = libm::ceil(larger / step - 1e-6);
        let mut edits = vec![Edit::quoted(
            membrane.fields.rated_flow.path.clone(),
            &format!("{} gal/day", steps * 25.0),
        )];
        if let Some(flow) = &purifier.fields.restrictor_flow {
            let scaled = flow.value.m3_s() * steps * step / membrane.fields.rated_flow.value.m3_s();
            edits.push(set_round(station, &flow.path, Kind::Flow, scaled));
        }
        ways.push(edits);
    }
    ways
}

/// What the label says against what February gives.
fn rated_is_not_made(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let rated = rated_flow(seen);
    let cold = seen
        .made
        .months
        .iter()
        .min_by(|a, b| a.permeate_m3_per_s.value.total_cmp(&b.permeate_m3_per_s.value));
    // Of months alike the one that the rest is told by.
    let cold = cold.map(
        |cold| match cold.permeate_m3_per_s.value == seen.lean.permeate_m3_per_s.value {
            true => seen.lean,
            false => cold,
        },
    );
    let Some(cold) = cold.filter(|cold| cold.permeate_m3_per_s.value < 0.8 * rated) else {
        return;
    };
    // While it runs: what a clock takes is no fault of the membrane.
    let key = month_key("permeate", cold.month);
    let several = seen.purifier.membranes.len() > 1;
    findings.push(
        Finding::new(
            "rated-is-not-made",
            Severity::Note,
            format!("membranes.{}.rated_flow", seen.purifier.membranes[0].name),
            format!(
                "{} sold for {}. {} this feed, at {}, gets {} out of {}: plan with that.",
                if several {
                    "The membranes together are"
                } else {
                    "The membrane is"
                },
                say(seen.station, Kind::Flow, rated),
                seen.at_first(cold.month),
                figure(&month_key("feed.temperature", cold.month)),
                figure(&key),
                if several { "them" } else { "it" },
            ),
        )
        .figure(key),
    );
}

fn pressure(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let (station, fields) = (seen.station, &seen.purifier.fields);
    if seen.made.membrane_pressure_pa.value < LEAST_PA {
        let mut finding = Finding::new(
            "pressure-too-low",
            Severity::Should,
            "feed.pressure",
            format!(
                "Only {} reach the membrane. Below {} a small membrane gives little water, and that saltier: the salt passes all the same.",
                figure("membrane-pressure"),
                say(station, Kind::Pressure, LEAST_PA)
            ),
        )
        .figure("membrane-pressure")
        .gap(LEAST_PA - seen.made.membrane_pressure_pa.value);
        for way in more_pressure(station, seen.purifier) {
            finding = finding.recipe(way);
        }
        findings.push(finding);
    }
    let reaches = comes_pa(station, seen.purifier);
    let most = fields
        .booster_pressure
        .as_ref()
        .map_or(reaches, |booster| booster.value.pa_gauge().max(reaches));
    if most > GREATEST_PA {
        let mut finding = Finding::new(
            "pressure-too-high",
            Severity::Should,
            "feed.pressure",
            format!(
                "{} stand on the purifier, more than the {} that small housings and push-fit joints are made for; at night, with taps closed, it is more still.",
                say(station, Kind::Pressure, most),
                say(station, Kind::Pressure, GREATEST_PA)
            ),
        )
        .gap(most - GREATEST_PA);
        if fields.booster_pressure.is_none() {
            finding = finding.recipe(vec![set_pressure(station, "purifier.reducer", 4.5, 65.0)]);
        }
        findings.push(finding);
    }
}
