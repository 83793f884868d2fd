//! The station as it was opened beside what became of it, and the changes that were tried, all through the same years.

use maud::html;
use sheets::chart::cost_of_changes;
use sheets::fragment::{WIDE_MM, changes_in_short, comparison_in_short, kept};
use sheets::{CureOf, changes_by_worth, changes_table, comparison_table, press};
use station::Station;

use super::Sheet;
use super::piece::{NONE, picture, table};
use crate::web::frame::Place;
use crate::web::known::Years;

/// What was changed here, and what could be; as far as that was looked at before somebody stopped it.
pub(super) fn compare(station: &Station, years: Option<&Years>, stopped: bool) -> Sheet {
    let Some(Years { year, compared }) = years else {
        return Sheet {
            heading: "No year can be simulated of this station yet.".to_owned(),
            body: html! { p { "So there is nothing to compare." } },
        };
    };
    let tried = match stopped && year.changes.is_empty() {
        true => "It was stopped before a change was tried.".to_owned(),
        false => changes_in_short(year),
    };
    let sides = compared
        .as_ref()
        .and_then(|compared| comparison_table(station, compared));
    Sheet {
        heading: compared
            .as_ref()
            .map_or_else(|| tried.clone(), comparison_in_short),
        body: html! {
            @match &sides {
                Some(sides) => {
                    (table(sides, &[], NONE))
                    h2 { "What else could be changed" }
                    p { (kept(&tried)) }
                }
                None if stopped => {}
                None => p {
                    "Change something on the " a href=(Place::Workbench.path()) { "workbench" } " or in "
                    a href=(Place::Edit.path()) { "Edit" } ": it then stands here beside the station as it was opened."
                }
            }
            (picture("cost-of-changes", |width| cost_of_changes(station, year, width), WIDE_MM))
            @if let Some(own) = changes_table(station, year) {
                (table(&own, &[], &|_, row| {
                    let (place, change) = *changes_by_worth(year).get(row)?;
                    (!change.edits.is_empty()).then(|| press(CureOf::Changes, place, &change.sentence))
                }))
             }
        },
    }
}
