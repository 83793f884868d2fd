//! Trying cures: each recipe is applied to a copy of the file and the copy is assessed again.

use station::{Edit, Station, edit};

use crate::analysis::speak::shown;
use crate::assess::{Scope, assess};
use crate::finding::{Finding, Remedy, RemedyEdit, Severity};

/// The most recipes tried for one finding.
const MOST_RECIPES: usize = 4;

/// A gap that grows by less is the same gap: moving a vessel changes the purifier's back pressure by a hair, and so
/// every figure behind it (house rule).
const SAME: f64 = 0.02;

/// What a lesser finding may grow by where a graver one is cured: less water in the drum brings the margin down a little
/// (house rule).
const LESSER: f64 = 0.10;

/// A finding as it was before any cure: what it is, how much it matters, how far it is from being right.
struct Before {
    id: &'static str,
    place: String,
    severity: Severity,
    gap: f64,
}

/// Gives each finding the first of its recipes that clears it, makes nothing new as bad, and makes nothing old
/// worse.
pub(crate) fn try_recipes(station: &Station, findings: &mut [Finding]) {
    let before: Vec<Before> = findings
        .iter()
        .map(|f| Before {
            id: f.id,
            place: f.place.clone(),
            severity: f.severity,
            gap: f.gap,
        })
        .collect();
    for finding in findings.iter_mut() {
        finding.remedy = finding
            .recipes
            .iter()
            .take(MOST_RECIPES)
            .find(|edits| clears(station, finding, edits, &before))
            .map(|edits| remedy(edits));
    }
}

fn clears(station: &Station, finding: &Finding, edits: &[Edit], before: &[Before]) -> bool {
    let Ok(text) = edit::apply(&station.text, edits) else {
        return false;
    };
    let Ok(mut mended) = Station::read(&text) else {
        return false;
    };
    // A state of the feed that is being proved stays.
    if let Some(state) = &station.feed_state {
        match mended.in_feed_state(state) {
            Ok(then) => mended = then,
            Err(_) => return false,
        }
    }
    // A cure of the plumbing touches it; another that doesn't leaves its findings as they are.
    let touched = edits
        .iter()
        .map(|edit| Scope::of(&edit.path))
        .chain([Scope::of(&finding.place)]);
    let scope = touched
        .into_iter()
        .find(|scope| *scope == Scope::Findings)
        .unwrap_or(Scope::WithoutPlumbing);
    assess(&mended, scope).findings.iter().all(|after| {
        let known = before
            .iter()
            .find(|old| (old.id, old.place.as_str()) == after.identity());
        match known {
            _ if after.identity() == finding.identity() => false,
            // What is merely worth knowing may come up or grow: a larger share of the gas is less salt.
            _ if after.severity == Severity::Note => true,
            None => after.severity < finding.severity,
            Some(old) => {
                let grows = match after.severity < finding.severity {
                    true => LESSER,
                    false => SAME,
                };
                after.severity <= old.severity && after.gap <= old.gap * (1.0 + grows) + 1e-12
            }
        }
    })
}

fn remedy(edits: &[Edit]) -> Remedy {
    let sentence = edits.iter().map(sentence).collect::<Vec<_>>().join(", ");
    let edits = edits
        .iter()
        .map(|edit| RemedyEdit {
            path: edit.path.clone(),
            text: edit.text.trim_matches('"').to_owned(),
        })
        .collect();
    Remedy {
        sentence,
        edits,
        tried: true,
    }
}

/// "set the stop level of fresh to 810 mm".
fn sentence(edit: &Edit) -> String {
    let value = edit.text.trim_matches('"');
    let mut names: Vec<&str> = edit.path.split('.').collect();
    let key = names.pop().unwrap_or_default().replace('_', " ");
    // A switch is had or not; a part is changed every so often.
    match (names.as_slice(), value) {
        ([.., name], value) if key == "change every" => {
            return format!("change {} every {value}", shown(name));
        }
        ([_], "true") => return format!("have a {key}"),
        ([_], "false") => return format!("do without the {key}"),
        _ => {}
    }
    match names.as_slice() {
        [] => format!("set {key} to {value}"),
        [section] => format!("set {key} in [{section}] to {value}"),
        [.., name] => format!("set the {key} of {} to {value}", shown(name)),
    }
}
