//! The restrictor: too tight, too open, too much down the drain, lime at the wall.

use station::Edit;
use station::quantity::{Kind, UnitSystem};

use super::Seen;
use super::train::rated_flow;
use crate::analysis::speak::{figure, set_round};
use crate::finding::{Finding, Severity};

/// Ten times saturated at the wall. House rule: below it, lime that forms while it runs is washed off.
const MOST_INDEX: f64 = 1.0;
/// Litres to the drain for each litre of permeate, in the warmest and in the coldest month (house rule).
const TIGHT: f64 = 1.5;
const LOOSE: f64 = 9.0;

pub(super) fn find(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    // Too little pressure makes any restrictor look wrong.
    if !findings.iter().any(|finding| finding.id == "pressure-too-low") {
        restrictor(seen, findings);
    }
    drain(seen, findings);
    lime(seen, findings);
}

/// A bore that passes `factor` times as much: an orifice's flow goes with its area.
fn bore_for(seen: &Seen<'_>, path: &str, bore_m: f64, factor: f64) -> Edit {
    let wanted_m = bore_m * libm::sqrt(factor);
    match seen.station.units() {
        UnitSystem::Si => Edit::quoted(path, &format!("{:.2} mm", wanted_m * 1e3)),
        UnitSystem::Us => Edit::quoted(path, &format!("{:.3} in", wanted_m / 0.0254)),
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
                "The restrictor is too tight for this membrane: {} only {:.1} times as much goes to the drain as is made, and what stays behind scales and fouls it.",
                seen.when(tightest.month),
                ratio(tightest)
            ),
            TIGHT - ratio(tightest),
        )
    } else if ratio(loosest) > LOOSE {
        (
            format!(
                "The restrictor is too open for this membrane: {} {:.0} times as much goes to the drain as is made, since the reject hardly falls in the cold while the permeate does.",
                seen.when(loosest.month),
                ratio(loosest)
            ),
            ratio(loosest) - LOOSE,
        )
    } else {
        return;
    };
    let mut finding = Finding::new("restrictor-wrong", Severity::Should, path, sentence).gap(gap);
    let rated = rated_flow(seen);
    if fields.restrictor_flow.is_some() {
        finding = finding.recipe(vec![set_round(
            seen.station,
            "purifier.restrictor_flow",
            Kind::Flow,
            3.5 * rated,
        )]);
    } else if let Some(bore) = &fields.restrictor_bore {
        let middle = libm::sqrt(ratio(tightest) * ratio(loosest));
        finding = finding.recipe(vec![bore_for(seen, &bore.path, bore.value.m(), 3.5 / middle)]);
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
    let months = match seen.made.months_are_alike() {
        true => format!("{:.1} times as much is rejected as made", ratio(most)),
        false => format!(
            "In {} {:.1} times as much is rejected as made, in {} {:.1} times",
            most.month,
            ratio(most),
            least.month,
            ratio(least)
        ),
    };
    findings.push(
        Finding::new(
            "drain-costs-most",
            Severity::Note,
            "purifier",
            format!(
                "Most of what this water costs runs to the drain: of {} tap water takes {}. {months}: the restrictor lets the same through while cold takes the permeate. A tighter one saves water until lime or fouling sets the limit.",
                figure("run.litre"),
                figure("run.cost-water"),
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
    } else if let Some(bore) = &fields.restrictor_bore {
        finding = finding.recipe(vec![bore_for(seen, &bore.path, bore.value.m(), 1.6)]);
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
