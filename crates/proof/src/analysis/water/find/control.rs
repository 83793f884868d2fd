//! What starts and stops the purifier: shut-off and check valve, hours, the order of the filters.

use station::Edit;
use station::sections::{Control, ShutOff};

use super::Seen;
use crate::analysis::speak::{figure, shown};
use crate::finding::{Finding, Severity};

pub(super) fn find(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    stops(seen, findings);
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
            .recipe(vec![feed_valve()])
            .recipe(vec![Edit::quoted("purifier.shut_off", "sound"), check_valve()]),
        );
    } else if control == Control::Attended && !sound && !fields.feed_valve.value {
        findings.push(
            Finding::new(
                "nothing-ends-a-run",
                Severity::Must,
                "purifier.feed_valve",
                format!(
                    "A person starts each run, and nothing ends it: there is no electric valve at the feed, and {word}. The day that it is forgotten, the vessel runs over."
                ),
            )
            .recipe(vec![feed_valve()])
            .recipe(vec![Edit::quoted("purifier.shut_off", "sound"), check_valve()]),
        );
    } else if matches!(control, Control::Levels | Control::Timer)
        && !fields.feed_valve.value
        && fields.booster_pressure.is_none()
    {
        findings.push(
            Finding::new(
                "nothing-to-switch",
                Severity::Should,
                "purifier.feed_valve",
                "Switches or a clock need something to switch, and there is neither an electric valve at the feed nor a booster: a shut-off valve alone closes only when something closes the permeate. Fit the valve, closed without power.",
            )
            .recipe(vec![feed_valve()]),
        );
    }
    if sound && !fields.check_valve.value {
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

fn feed_valve() -> Edit {
    Edit {
        path: "purifier.feed_valve".to_owned(),
        text: "true".to_owned(),
    }
}

fn check_valve() -> Edit {
    Edit {
        path: "purifier.check_valve".to_owned(),
        text: "true".to_owned(),
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
    let given = seen.purifier.fields.hours_a_day.as_ref();
    if let Some(hours) = given.filter(|_| matches!(control, Control::Float | Control::Levels)) {
        findings.push(Finding::new(
            "hours-without-a-clock",
            Severity::Note,
            hours.path.clone(),
            "Nothing keeps these hours: a float or level switches start the purifier whenever water is drawn. What is made counts day and night.",
        ));
    }
    if matches!(control, Control::Timer | Control::Attended) && given.is_none() {
        findings.push(Finding::new(
            "hours-unknown",
            Severity::Note,
            "purifier.control",
            "What is made counts day and night, since hours_a_day isn't given: say how long it may run each day.",
        ));
    }
}
