//! Trying cures: each recipe is applied to a copy of the file and the copy is assessed again.

use station::{Edit, Station, edit};

use crate::analysis::speak::shown;
use crate::assess::assess;
use crate::finding::{Finding, Remedy, RemedyEdit, Severity};

/// The most recipes tried for one finding.
const MOST_RECIPES: usize = 4;

/// Gives each finding the first of its recipes that clears it and makes nothing as bad or worse.
pub(crate) fn try_recipes(station: &Station, findings: &mut [Finding]) {
    let before: Vec<(Severity, (&'static str, String))> = findings
        .iter()
        .map(|f| (f.severity, (f.id, f.place.clone())))
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

fn clears(
    station: &Station,
    finding: &Finding,
    edits: &[Edit],
    before: &[(Severity, (&'static str, String))],
) -> bool {
    let Ok(text) = edit::apply(&station.text, edits) else {
        return false;
    };
    let Ok(mended) = Station::read(&text) else {
        return false;
    };
    let after = assess(&mended).findings;
    let is_new = |other: &Finding| {
        !before
            .iter()
            .any(|(_, (id, place))| (*id, place.as_str()) == other.identity())
    };
    !after.iter().any(|other| other.identity() == finding.identity())
        && !after
            .iter()
            .any(|other| is_new(other) && other.severity >= finding.severity)
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
    match names.as_slice() {
        [] => format!("set {key} to {value}"),
        [section] => format!("set {key} in [{section}] to {value}"),
        [.., name] => format!("set the {key} of {} to {value}", shown(name)),
    }
}
