//! A first station from what somebody typed: read answer by answer, planned by `proof::first`, written to a new file.
//!
//! Owns: which words an answer may have, which fault belongs to which field, which names a file may have. Must not know: what
//! is chosen from the answers.

mod answers;
mod name;

use proof::first::{First, FirstFault, Question, first};

use crate::failure::Fault;

pub(crate) use answers::Asked;
pub(crate) use name::{free_name, named};

/// Plans a first station.
///
/// # Errors
/// Every fault of the answers, each with the field that it belongs to.
pub(crate) fn plan(asked: &Asked) -> Result<First, Vec<Fault>> {
    let answers = asked.read()?;
    first(&answers).map_err(|fault| vec![told(&fault)])
}

fn told(fault: &FirstFault) -> Fault {
    Fault::new(field_of(fault.question()), fault.to_string(), fault.mend())
}

/// The field of the page that a question is answered in.
const fn field_of(question: Question) -> &'static str {
    match question {
        Question::Tanks => "tanks",
        Question::Tap => "tap",
        Question::Space => "width",
        Question::Door => "door",
        Question::Ceiling => "ceiling",
        Question::Money => "currency",
        Question::DaysAway => "days_away",
    }
}

#[cfg(test)]
mod tests;
