//! Reading, changing and proving the stations of these tests.

use proof::{Cause, Mistakes, MoveOfCause, RemedyEdit, prove};
use station::{Edit, Station, edit};

pub(crate) fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

pub(crate) fn edited(text: &str, edits: &[(&str, &str)]) -> Station {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    read(&edit::apply(text, &edits).unwrap_or_else(|error| panic!("{error}")))
}

pub(crate) fn mistakes_of(station: &Station) -> Mistakes {
    prove(station).mistakes.unwrap()
}

/// As it is written into the file: a table, a truth, or text in quotes.
fn as_written(edit: &RemedyEdit) -> (&str, String) {
    let bare = edit.text.starts_with('{') || edit.text == "true" || edit.text == "false";
    let text = if bare {
        edit.text.clone()
    } else {
        format!("\"{}\"", edit.text)
    };
    (&edit.path, text)
}

/// Makes each change that is proposed for a station, in a copy of its file, and proves that: the causes that name it are
/// gone, as many are cleared as it says (gone, and graver than every wrong move that has come), and no worse one has come. How
/// many changes there were.
pub(crate) fn remedied(text: &str) -> usize {
    let before = mistakes_of(&read(text));
    for (at, remedy) in before.remedies.iter().enumerate() {
        let edits: Vec<(&str, String)> = remedy.edits.iter().map(as_written).collect();
        let edits: Vec<(&str, &str)> = edits.iter().map(|(path, text)| (*path, text.as_str())).collect();
        let after = mistakes_of(&edited(text, &edits));
        // By other valves it is no cure.
        let is_left = |cause: &Cause| {
            after
                .causes
                .iter()
                .filter(|own| (own.kind, &own.victim) == (cause.kind, &cause.victim))
                .any(|own| own.moves.iter().any(|step| cause.moves.contains(step)))
        };
        let gone: Vec<&Cause> = before.causes.iter().filter(|cause| !is_left(cause)).collect();
        let was_there = |cause: &Cause, step: &MoveOfCause| {
            before
                .causes
                .iter()
                .filter(|own| (own.kind, &own.victim) == (cause.kind, &cause.victim))
                .any(|own| own.moves.contains(step))
        };
        let come = after
            .causes
            .iter()
            .filter(|cause| cause.moves.iter().any(|step| !was_there(cause, step)));
        let brings = come.map(|cause| cause.severity).max();
        let cleared: Vec<&&Cause> = gone
            .iter()
            .filter(|cause| Some(cause.severity) > brings)
            .collect();
        assert_eq!(cleared.len(), remedy.clears, "{}: {cleared:#?}", remedy.sentence);
        for cause in before.causes.iter().filter(|cause| cause.remedy == Some(at)) {
            assert!(!is_left(cause), "{} leaves: {}", remedy.sentence, cause.sentence);
        }
        let worst = gone.iter().map(|cause| cause.severity).max();
        let new = after.causes.iter().find(|cause| {
            Some(cause.severity) > worst && !before.causes.iter().any(|own| own.key == cause.key)
        });
        assert!(new.is_none(), "{} brings: {new:#?}", remedy.sentence);
    }
    before.remedies.len()
}
