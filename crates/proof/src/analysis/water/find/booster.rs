//! A booster that starves, that has nothing to stop it, or that adds nothing.

use station::quantity::{Kind, UnitSystem};
use station::{Edit, Purifier, Station};

use super::super::inlet::{boosts, comes_pa};
use super::{Seen, set_pressure};
use crate::analysis::speak::{figure, say};
use crate::finding::{Finding, Severity};

/// Under this a switch can hardly tell a tap from none (house rule).
const LEAST_CUTOUT_PA: f64 = 0.1e5;

/// The pressure under which the booster stops; without a switch, where nothing comes any more.
fn stops_below_pa(purifier: &Purifier) -> f64 {
    purifier
        .fields
        .booster_cutout
        .as_ref()
        .map_or(0.0, |cutout| cutout.value.pa_gauge())
}

/// A booster that can't run: told in place of everything else, since nothing is made. `suction_pa` is what stands
/// before it while it runs, with clean filters.
pub(in super::super) fn starves(
    station: &Station,
    purifier: &Purifier,
    suction_pa: f64,
    findings: &mut Vec<Finding>,
) -> bool {
    let stops = stops_below_pa(purifier);
    if suction_pa > stops {
        return false;
    }
    let comes = comes_pa(station, purifier);
    let place = purifier
        .fields
        .booster_cutout
        .as_ref()
        .map_or("purifier.booster_pressure", |cutout| cutout.path.as_str());
    let say_pa = |pa: f64| say(station, Kind::Pressure, pa);
    let (id, sentence) = match (purifier.fields.booster_cutout.is_some(), comes <= stops) {
        (true, true) => (
            "booster-never-starts",
            format!(
                "The booster stops below {}, and {} come to it: it never starts.",
                say_pa(stops),
                say_pa(comes)
            ),
        ),
        (true, false) => (
            "booster-starves",
            format!(
                "The booster stops below {}, and while it runs the filters leave {} of the {} that come: it stops as soon as it starts.",
                say_pa(stops),
                say_pa(suction_pa),
                say_pa(comes)
            ),
        ),
        (false, _) => (
            "booster-starves",
            format!(
                "While the booster runs the filters take all of the {} that come: it would suck air, or draw the street's pipe down. Larger filters, or a wider line to them.",
                say_pa(comes)
            ),
        ),
    };
    let mut finding =
        Finding::new(id, Severity::Must, place, sentence).gap(stops - suction_pa + LEAST_CUTOUT_PA);
    if 0.5 * suction_pa >= LEAST_CUTOUT_PA && purifier.fields.booster_cutout.is_some() {
        finding = finding.recipe(vec![cutout_at(station, 0.5 * suction_pa)]);
    }
    findings.push(finding);
    true
}

/// Everything else about it.
pub(super) fn find(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let (station, purifier) = (seen.station, seen.purifier);
    let Some(booster) = &purifier.fields.booster_pressure else {
        return;
    };
    let say_pa = |pa: f64| say(station, Kind::Pressure, pa);
    let comes = comes_pa(station, purifier);
    if purifier.fields.booster_cutout.is_none() {
        findings.push(Finding::new(
            "booster-without-cutout",
            Severity::Should,
            "purifier.booster_pressure",
            "The booster has no switch that stops it when the tap runs dry: it would run hot, and may draw the street's pipe down. Fit one, and write its pressure as booster_cutout.",
        ));
    }
    if !boosts(station, purifier) {
        findings.push(
            Finding::new(
                "booster-adds-nothing",
                Severity::Should,
                booster.path.clone(),
                format!(
                    "The booster is set to {}, and {} come by themselves: the membrane is reckoned with what comes. Raise it, or leave it out.",
                    say_pa(booster.value.pa_gauge()),
                    say_pa(comes)
                ),
            )
            .gap(comes - booster.value.pa_gauge())
            .recipe(vec![set_pressure(station, "purifier.booster_pressure", 5.5, 80.0)]),
        );
        return;
    }
    let stops = stops_below_pa(purifier);
    if let Some(due) = &seen.made.booster_suction_due_pa
        && due.value <= stops
    {
        let key = "booster-suction.filters-due";
        let mut finding = Finding::new(
            "booster-starves-when-filters-are-due",
            Severity::Should,
            "purifier.booster_cutout",
            format!(
                "With filters due for change {} would be left before the booster, which stops below {}: change them before that, by the gauge.",
                figure(key),
                say_pa(stops)
            ),
        )
        .figure(key)
        .gap(stops - due.value + LEAST_CUTOUT_PA);
        if 0.5 * due.value >= LEAST_CUTOUT_PA && purifier.fields.booster_cutout.is_some() {
            finding = finding.recipe(vec![cutout_at(station, 0.5 * due.value)]);
        }
        findings.push(finding);
    }
}

/// The switch that stops the booster, at a pressure as one sets it.
fn cutout_at(station: &Station, pa: f64) -> Edit {
    let path = "purifier.booster_cutout";
    match station.units() {
        UnitSystem::Si => Edit::quoted(path, &format!("{:.1} bar", libm::floor(pa / 1e4) / 10.0)),
        UnitSystem::Us => Edit::quoted(path, &format!("{:.0} psi", libm::floor(pa / 6894.757))),
    }
}

/// A booster with the switch that stops it when the tap runs dry.
pub(super) fn add(station: &Station) -> Vec<Edit> {
    let tap = station
        .feed
        .as_ref()
        .map_or(0.0, |feed| feed.pressure.value.pa_gauge());
    // Half of what the tap gives, where that is little: a switch above the tap never lets it start, one at nothing
    // never stops it.
    let cutout = match (0.2e5..1.0e5).contains(&tap) {
        true => cutout_at(station, 0.5 * tap),
        false => set_pressure(station, "purifier.booster_cutout", 0.5, 7.0),
    };
    vec![raised(station), cutout]
}

/// A booster as they are set for small membranes.
pub(super) fn raised(station: &Station) -> Edit {
    set_pressure(station, "purifier.booster_pressure", 5.5, 80.0)
}

/// Ways to more pressure, the cheapest first: a reducer that throttles a good tap, a booster, a booster set higher.
pub(super) fn more_pressure(station: &Station, purifier: &Purifier) -> Vec<Vec<Edit>> {
    let mut ways = Vec::new();
    let fields = &purifier.fields;
    let tap = station
        .feed
        .as_ref()
        .map_or(0.0, |feed| feed.pressure.value.pa_gauge());
    let set = |path: &str| set_pressure(station, path, 4.5, 65.0);
    if let Some(reducer) = &fields.reducer
        && reducer.value.pa_gauge() < tap.min(4.4e5)
    {
        ways.push(vec![set(&reducer.path)]);
    }
    match &fields.booster_pressure {
        None => ways.push(add(station)),
        Some(booster) if booster.value.pa_gauge() < 5.4e5 => ways.push(vec![raised(station)]),
        Some(_) => {}
    }
    ways
}
