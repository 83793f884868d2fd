//! Tanks that are topped off with purified water, and nothing that it stands in: told, with a vessel that would do.

use station::catalogue::{CATALOGUE, CatalogueVessel};
use station::quantity::{Kind, format_plain, format_tape};
use station::sections::Water;
use station::{Edit, Station};

use crate::analysis::speak::{list, mark_step_m, shown};
use crate::finding::{Finding, Severity};

/// So long its water should last, s (common practice, no source: two to three weeks).
const LASTS_S: f64 = 21.0 * 86_400.0;
/// Its marks, as shares of its height, and how far the backup lies over the stop, m (house rules).
const START: f64 = 0.35;
const STOP: f64 = 0.85;
const BACKUP_M: f64 = 0.04;

/// Whether purified water stands anywhere, or comes ready-made.
fn has_fresh(station: &Station) -> bool {
    let stands = station
        .vessels
        .iter()
        .any(|own| own.fields.holds.value == Water::Fresh);
    stands
        || station
            .delivered
            .iter()
            .any(|own| own.fields.holds.value == Water::Fresh)
}

/// A vessel of purified water for a top-off, as an edit; nothing where one is there, where nothing makes that water, or where
/// none of the catalogue is large enough.
pub(super) fn added(station: &Station, top_off_m3_s: f64) -> Option<Edit> {
    if has_fresh(station) || station.purifier.is_none() || station.vessels.is_empty() {
        return None;
    }
    let wanted_m3 = LASTS_S * top_off_m3_s / (STOP - START);
    let enough = CATALOGUE.iter().filter(|own| own.nominal_m3 >= wanted_m3);
    let vessel = enough.min_by(|a, b| a.nominal_m3.total_cmp(&b.nominal_m3))?;
    let named = |name: &String| station.vessels.iter().any(|own| own.name == *name);
    let mut names = (1_u32..).map(|at| match at {
        1 => "fresh".to_owned(),
        at => format!("fresh-{at}"),
    });
    let name = names.find(|name| !named(name))?;
    Some(Edit {
        path: format!("vessels.{name}"),
        text: table(station, vessel),
    })
}

fn table(station: &Station, vessel: &CatalogueVessel) -> String {
    let units = station.units();
    let step_m = mark_step_m(station);
    let mark = |level_m: f64| format!("\"{}\"", format_tape((level_m / step_m).round() * step_m, units));
    let (height_m, stop_m) = (vessel.height_m(), STOP * vessel.height_m());
    let mut values = vec![("holds", "\"fresh\"".to_owned())];
    values.extend(vessel.values(units));
    values.extend([
        ("fill", "\"automatic\"".to_owned()),
        ("start_level", mark(START * height_m)),
        ("stop_level", mark(stop_m)),
        ("backup_level", mark(stop_m + BACKUP_M)),
    ]);
    let values: Vec<String> = values
        .iter()
        .map(|(key, value)| format!("{key} = {value}"))
        .collect();
    format!("{{ {} }}", values.join(", "))
}

/// Said where tanks are topped off with water that stands nowhere.
pub(super) fn find(station: &Station, topped_off: &[&str], top_off_m3_s: f64, findings: &mut Vec<Finding>) {
    let Some(first) = topped_off.first() else { return };
    if has_fresh(station) || station.vessels.is_empty() {
        return;
    }
    let names: Vec<String> = topped_off.iter().map(|name| shown(name)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let sentence = format!(
        "{} {} topped off with purified water, {} a day, and no vessel holds any.",
        list(&names),
        if names.len() == 1 { "is" } else { "are" },
        format_plain(
            Kind::Volume,
            86_400.0 * top_off_m3_s,
            station.units(),
            &station.currency()
        )
    );
    let mut finding = Finding::new(
        "no-vessel-for-top-off",
        Severity::Must,
        format!("tanks.{first}.top_off"),
        sentence,
    )
    .figure("top-off");
    if let Some(added) = added(station, top_off_m3_s) {
        finding = finding.recipe(vec![added]);
    }
    findings.push(finding);
}
