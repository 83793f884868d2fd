//! Pressure, cold, the restrictor, lime: what keeps the membrane from giving what it is sold for.

use station::quantity::Kind;
use station::{Edit, Purifier, Station};

use super::{Seen, add_booster, month_key, set_pressure, set_round};
use crate::analysis::speak::{figure, say};
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

/// Least and greatest pressure that small membranes are made for: 40 and 100 psi (common practice, no source).
const LEAST_PA: f64 = 40.0 * 6894.757;
const GREATEST_PA: f64 = 100.0 * 6894.757;
/// Ten times saturated at the wall. House rule: below it, lime that forms while it runs is washed off.
const MOST_INDEX: f64 = 1.0;
/// Litres to the drain for each litre of permeate, in the warmest and in the coldest month (house rule).
const TIGHT: f64 = 1.5;
const LOOSE: f64 = 9.0;

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
    if purifier.fields.booster_pressure.is_none() {
        finding = finding.recipe(add_booster(station));
    }
    findings.push(finding);
}

pub(super) fn find(seen: &Seen<'_>, sheet: &Sheet, findings: &mut Vec<Finding>) {
    need(seen, sheet, findings);
    pressure(seen, findings);
    // Too little pressure makes any restrictor look wrong.
    if !findings.iter().any(|finding| finding.id == "pressure-too-low") {
        restrictor(seen, findings);
    }
    drain(seen, findings);
    lime(seen, findings);
}

/// Made against needed in the leanest month.
fn need(seen: &Seen<'_>, sheet: &Sheet, findings: &mut Vec<Finding>) {
    let (station, lean) = (seen.station, seen.lean);
    let (Some(need), Some(margin)) = (&lean.need_m3_per_s, &lean.margin_m3_per_s) else {
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
    let mut finding = Finding::new(
        id,
        severity,
        "purifier",
        format!(
            "In {} the purifier makes {} for a need of {}, {end}: its feed is at {}.",
            lean.month,
            figure(&made_key),
            say(station, Kind::Flow, need.value),
            figure(&month_key("feed.temperature", lean.month)),
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

/// Under which key the month's water is found: `made` where hours limit it.
fn made_word(sheet: &Sheet, month: &str) -> &'static str {
    match sheet.find(&month_key("made", month)) {
        Some(_) => "made",
        None => "permeate",
    }
}

/// Ways to more water: more hours, a booster, a larger membrane with its restrictor.
fn more_water(seen: &Seen<'_>, need_m3_s: f64) -> Vec<Vec<Edit>> {
    let (station, purifier) = (seen.station, seen.purifier);
    let mut ways = Vec::new();
    let made = seen.lean.made_m3_per_s.value.max(1e-12);
    let factor = 1.2 * need_m3_s / made;
    if let Some(hours) = super::super::months::hours_a_day(purifier) {
        let wanted = (hours.value.s() / 3600.0 * factor).ceil();
        if wanted <= 24.0 {
            ways.push(vec![Edit::quoted(hours.path.clone(), &format!("{wanted} h"))]);
        }
    }
    if purifier.fields.booster_pressure.is_none() {
        ways.push(add_booster(station));
    }
    if let Some(membrane) = purifier.membranes.first() {
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
    let rated: f64 = seen
        .purifier
        .membranes
        .iter()
        .map(|membrane| membrane.fields.rated_flow.value.m3_s())
        .sum();
    let cold = seen
        .made
        .months
        .iter()
        .min_by(|a, b| a.permeate_m3_per_s.value.total_cmp(&b.permeate_m3_per_s.value));
    let Some(cold) = cold.filter(|cold| cold.permeate_m3_per_s.value < 0.8 * rated) else {
        return;
    };
    // While it runs: what a clock takes is no fault of the membrane.
    let key = month_key("permeate", cold.month);
    findings.push(
        Finding::new(
            "rated-is-not-made",
            Severity::Note,
            format!("membranes.{}.rated_flow", seen.purifier.membranes[0].name),
            format!(
                "The membrane is sold for {}. In {} this feed, at {}, gets {} out of it: plan with that.",
                say(seen.station, Kind::Flow, rated),
                cold.month,
                figure(&month_key("feed.temperature", cold.month)),
                figure(&key),
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
        if fields.booster_pressure.is_none() {
            finding = finding.recipe(add_booster(station));
        }
        findings.push(finding);
    }
    let tap = seen.feed.pressure.value.pa_gauge();
    let reaches = fields
        .reducer
        .as_ref()
        .map_or(tap, |reducer| tap.min(reducer.value.pa_gauge()));
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

/// A restrictor that doesn't fit the membranes.
fn restrictor(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let ratio = |month: &super::MonthOfWater| month.reject_m3_per_s.value / month.permeate_m3_per_s.value;
    let by = |a: &&super::MonthOfWater, b: &&super::MonthOfWater| ratio(a).total_cmp(&ratio(b));
    let (Some(tightest), Some(loosest)) = (
        seen.made.months.iter().min_by(by),
        seen.made.months.iter().max_by(by),
    ) else {
        return;
    };
    let fields = &seen.purifier.fields;
    let path = [
        fields.restrictor_flow.as_ref().map(|f| f.path.clone()),
        fields.restrictor_bore.as_ref().map(|f| f.path.clone()),
        fields.waste_ratio.as_ref().map(|f| f.path.clone()),
    ]
    .into_iter()
    .flatten()
    .next()
    .unwrap_or_else(|| "purifier".to_owned());
    let softened = fields.softener.value;
    let (sentence, gap) = if ratio(tightest) < TIGHT && !softened {
        (
            format!(
                "The restrictor is too tight for this membrane: in {} only {:.1} times as much goes to the drain as is made, and what stays behind scales and fouls it.",
                tightest.month,
                ratio(tightest)
            ),
            TIGHT - ratio(tightest),
        )
    } else if ratio(loosest) > LOOSE {
        (
            format!(
                "The restrictor is too open for this membrane: in {} {:.0} times as much goes to the drain as is made, since the reject hardly falls in the cold while the permeate does.",
                loosest.month,
                ratio(loosest)
            ),
            ratio(loosest) - LOOSE,
        )
    } else {
        return;
    };
    let mut finding = Finding::new("restrictor-wrong", Severity::Should, path, sentence).gap(gap);
    let rated: f64 = seen
        .purifier
        .membranes
        .iter()
        .map(|membrane| membrane.fields.rated_flow.value.m3_s())
        .sum();
    if fields.restrictor_flow.is_some() {
        finding = finding.recipe(vec![set_round(
            seen.station,
            "purifier.restrictor_flow",
            Kind::Flow,
            3.5 * rated,
        )]);
    } else if fields.waste_ratio.is_some() {
        finding = finding.recipe(vec![Edit {
            path: "purifier.waste_ratio".to_owned(),
            text: "3.5".to_owned(),
        }]);
    }
    findings.push(finding);
}

/// Tap water that costs more than all the rest of a litre.
fn drain(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let made = seen.made;
    let water = made.cost_parts.iter().find(|part| part.part == "tap water");
    let (Some(water), Some(litre)) = (water, &made.run.cost_per_m3) else {
        return;
    };
    // House rule: most of it; and only where the reject, not the price of the tap, makes it so.
    let never = made.run.volume_m3.is_none();
    if water.per_m3.value < 0.5 * litre.value || never || made.run.reject_ratio.value < 3.0 {
        return;
    }
    let ratio = |month: &super::MonthOfWater| month.reject_m3_per_s.value / month.permeate_m3_per_s.value;
    let by = |a: &&super::MonthOfWater, b: &&super::MonthOfWater| ratio(a).total_cmp(&ratio(b));
    let (Some(least), Some(most)) = (made.months.iter().min_by(by), made.months.iter().max_by(by)) else {
        return;
    };
    findings.push(
        Finding::new(
            "drain-costs-most",
            Severity::Note,
            "purifier",
            format!(
                "Most of what this water costs runs to the drain: of {} tap water takes {}. In {} {:.1} times as much is rejected as made, in {} {:.1} times: the restrictor lets the same through while cold takes the permeate. A tighter one saves water until lime or fouling sets the limit.",
                figure("run.litre"),
                figure("run.cost-water"),
                most.month,
                ratio(most),
                least.month,
                ratio(least),
            ),
        )
        .figure("run.cost-water")
        .figure("run.reject-ratio"),
    );
}

fn lime(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let Some(index) = seen
        .made
        .calcite_index
        .as_ref()
        .filter(|index| index.value > MOST_INDEX)
    else {
        return;
    };
    let fields = &seen.purifier.fields;
    let mut finding = Finding::new(
        "recovery-too-high",
        Severity::Should,
        "feed.hardness",
        format!(
            "For water as hard as this the recovery is too high: at the membrane's wall lime is oversaturated by an index of {}, over {MOST_INDEX:.0}. More reject, or a softener before it, keeps the membrane clean.",
            figure("calcite-index")
        ),
    )
    .figure("calcite-index")
    .gap(index.value - MOST_INDEX);
    if let Some(flow) = &fields.restrictor_flow {
        finding = finding.recipe(vec![set_round(
            seen.station,
            &flow.path,
            Kind::Flow,
            1.6 * flow.value.m3_s(),
        )]);
    } else if let Some(ratio) = &fields.waste_ratio {
        finding = finding.recipe(vec![Edit {
            path: ratio.path.clone(),
            text: format!("{:.1}", 1.6 * ratio.value.plain()),
        }]);
    }
    if !fields.softener.value {
        finding = finding.recipe(vec![Edit {
            path: "purifier.softener".to_owned(),
            text: "true".to_owned(),
        }]);
    }
    findings.push(finding);
}
