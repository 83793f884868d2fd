//! Larkhaven with fields set, and one finding of it.

use proof::{Finding, Proof};
use station::{Edit, Station, edit};

pub(crate) const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

pub(crate) fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// Larkhaven with fields set, each to a quoted text unless it is a number or a word of the language.
pub(crate) fn with(edits: &[(&str, &str)]) -> Station {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    read(&edit::apply(LARKHAVEN, &edits).unwrap_or_else(|error| panic!("{error}")))
}

pub(crate) fn find<'p>(proof: &'p Proof, id: &str) -> Option<&'p Finding> {
    proof.findings.iter().find(|finding| finding.id == id)
}
