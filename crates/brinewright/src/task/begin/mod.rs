//! A first station from what somebody typed: read answer by answer, planned by `proof::first`, written to a new file.
//!
//! Owns: which words an answer may have, which fault belongs to which field, which names a file may have. Must not know: what
//! is chosen from the answers.

mod answers;
mod field;
mod name;

use proof::first::{Answers, First, Question, first};

use super::year::{FEW, wanted};
use crate::failure::Fault;

pub(crate) use answers::{Asked, Units};
pub(crate) use field::Field;
pub(crate) use name::{free_name, named};

/// Plans a first station.
///
/// # Errors
/// Every fault of the answers, each with the field that it belongs to.
pub(crate) fn plan(asked: &Asked) -> Result<First, Vec<Fault>> {
    let answers = asked.read()?;
    first(&answers, Some(&wanted(FEW, 1))).map_err(|fault| {
        let place = field_of(fault.question(), &answers);
        vec![Fault::new(&place, fault.to_string(), fault.mend())]
    })
}

/// The field of the page that a question is answered in: of the tanks the largest, of the tap what was told of it first.
fn field_of(question: Question, answers: &Answers) -> String {
    let own = match question {
        Question::Tanks => {
            let volumes = answers.tanks.iter().map(|own| own.volume_m3).enumerate();
            let largest = volumes.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(0, |(at, _)| at);
            return format!("tanks.{largest}.volume");
        }
        Question::Tap => match &answers.tap {
            tap if tap.pressure_pa.is_some() => "pressure",
            tap if tap.coldest_c.is_some() => "coldest",
            tap if tap.warmest_c.is_some() => "warmest",
            tap if tap.minerals.is_some() => "minerals",
            _ => "pressure",
        },
        Question::Space => "width",
        Question::Door => "door",
        Question::Ceiling => "ceiling",
        Question::Money => "currency",
        Question::DaysAway => "days_away",
    };
    own.to_owned()
}

#[cfg(test)]
mod tests;
