//! What starts and stops the purifier: shut-off and check valve, booster, hours, the order of the filters.

use station::quantity::{Kind, UnitSystem};
use station::sections::{Control, ShutOff};
use station::{Edit, Station};

use super::Seen;
use crate::analysis::speak::{figure, say, shown};
use crate::finding::{Finding, Severity};

pub(super) fn find(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    stops(seen, findings);
    booster(seen, findings);
    filter_order(seen, findings);
    hours(seen, findings);
}

/// What stops the reject when the vessel is full.
fn stops(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let fields = &seen.purifier.fields;
    let (control, sound) = (fields.control.value, fields.shut_off.value == ShutOff::Sound);
    let word = if fields.shut_off.value == ShutOff::Leaks {
        "the shut-off valve leaks"
    } else {
        "there is no sound shut-off valve"
    };
    let most = if fields.shut_off.value == ShutOff::Leaks {
        "at worst "
    } else {
        ""
    };
    if control == Control::Float && !sound {
        let mut finding = Finding::new(
                "reject-never-stops",
                Severity::Must,
                "purifier.shut_off",
                format!(
                    "A float closes the permeate, but {word}: reject runs day and night, {most}{} times what is used, and the throttled membrane lets salt through, so that the resin sees {}.",
                    figure("run.reject-ratio"),
                    figure("run.solids"),
                ),
            )
            .figure("run.reject-ratio")
            .figure("run.solids");
        // Switches where the vessel has their levels: a float alone stays the worst way to fill.
        if let Some(edits) = super::run::to_level_switches(seen) {
            finding = finding.recipe(edits);
        }
        findings.push(finding.recipe(vec![Edit::quoted("purifier.shut_off", "sound"), check_valve()]));
    } else if matches!(control, Control::Levels | Control::Timer) && !sound && !fields.feed_valve.value {
        findings.push(
            Finding::new(
                "reject-never-stops",
                Severity::Must,
                "purifier.shut_off",
                format!(
                    "Nothing stops the feed when a run ends: there is no electric valve at the feed, and {word}. Reject runs on between runs."
                ),
            )
            .recipe(vec![Edit {
                path: "purifier.feed_valve".to_owned(),
                text: "true".to_owned(),
            }])
            .recipe(vec![Edit::quoted("purifier.shut_off", "sound"), check_valve()]),
        );
    } else if sound && !fields.check_valve.value {
        findings.push(
            Finding::new(
                "no-check-valve",
                Severity::Note,
                "purifier.check_valve",
                "A shut-off valve holds only while the permeate line keeps its pressure: without a check valve there it opens and closes every few minutes. Listen at the drain an hour after a run.",
            )
            .recipe(vec![check_valve()]),
        );
    }
}

fn check_valve() -> Edit {
    Edit {
        path: "purifier.check_valve".to_owned(),
        text: "true".to_owned(),
    }
}

fn booster(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let fields = &seen.purifier.fields;
    if fields.booster_pressure.is_none() {
        return;
    }
    let tap = seen.feed.pressure.value.pa_gauge();
    match &fields.booster_cutout {
        None => findings.push(Finding::new(
            "booster-without-cutout",
            Severity::Should,
            "purifier.booster_pressure",
            "The booster has no switch that stops it when the tap runs dry: it would run hot, and may draw the street's pipe down. Fit one, and write its pressure as booster_cutout.",
        )),
        Some(cutout) if cutout.value.pa_gauge() >= tap => findings.push(
            Finding::new(
                "booster-never-starts",
                Severity::Must,
                cutout.path.clone(),
                format!(
                    "The booster stops below {}, and the tap gives {}: it never starts.",
                    say(seen.station, Kind::Pressure, cutout.value.pa_gauge()),
                    say(seen.station, Kind::Pressure, tap)
                ),
            )
            .gap(cutout.value.pa_gauge() - tap)
            .recipe(vec![set_round_pressure(seen.station, &cutout.path, 0.5 * tap)]),
        ),
        Some(_) => {}
    }
}

fn set_round_pressure(station: &Station, path: &str, pa: f64) -> Edit {
    match station.units() {
        UnitSystem::Si => Edit::quoted(path, &format!("{:.1} bar", pa / 1e5)),
        UnitSystem::Us => Edit::quoted(path, &format!("{:.0} psi", pa / 6894.757)),
    }
}

/// A filter behind a finer one catches nothing.
fn filter_order(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    for pair in seen.purifier.filters.windows(2) {
        let (Some(before), Some(behind)) = (&pair[0].fields.fineness, &pair[1].fields.fineness) else {
            continue;
        };
        if behind.value.m() > before.value.m() {
            findings.push(Finding::new(
                "filter-behind-a-finer-one",
                Severity::Note,
                format!("filters.{}", pair[1].name),
                format!(
                    "{} stands behind {}, which is finer and takes all the dirt: put the coarser one first.",
                    shown(&pair[1].name),
                    shown(&pair[0].name)
                ),
            ));
        }
    }
}

/// Somebody or a clock starts it, and nobody says for how long.
fn hours(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let control = seen.purifier.fields.control.value;
    if matches!(control, Control::Timer | Control::Attended) && seen.purifier.fields.hours_a_day.is_none() {
        findings.push(Finding::new(
            "hours-unknown",
            Severity::Note,
            "purifier.control",
            "What is made counts day and night, since hours_a_day isn't given: say how long it may run each day.",
        ));
    }
}
