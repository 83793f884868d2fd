//! A station left alone, and a year of it.

use maud::html;
use proof::{Absence, Year};
use sheets::chart::{cost_by_item, reserve_by_week, run_volumes};
use sheets::fragment::{DESK_CHART_MM, WIDE_MM, found, kept, year_in_short};
use sheets::{CureOf, absence_tables, fault_tree, press, year_tables};
use station::Station;
use station::sections::Water;

use super::Sheet;
use super::piece::{NONE, folded, picture, tables};
use station::quantity::format_count;

/// Whether one can go away, why, and what to test.
pub(super) fn away(station: &Station, absence: Option<&Absence>) -> Sheet {
    let Some(absence) = absence else {
        return Sheet {
            heading: "Nothing can be said of a station left alone yet.".to_owned(),
            body: html! { p { "It has no purifier that fills a vessel by itself." } },
        };
    };
    let own = absence_tables(station, absence, false);
    Sheet {
        heading: absence.answer.clone(),
        body: html! {
            @for reason in &absence.reasons { p { (kept(reason)) } }
            (picture("fault-tree", |width| fault_tree(station, absence, width, f64::INFINITY), WIDE_MM))
            (tables(&own, &|table, row| {
                let guard = absence.remedies.get(row).filter(|_| table.name == "what-helps")?;
                (!guard.edits.is_empty()).then(|| press(CureOf::Away, row, &guard.sentence))
            }))
            @if !absence.findings.is_empty() {
                details class="annex" {
                    summary { h2 { "Each of them in a sentence" } }
                    (found(&absence.findings, None))
                }
            }
            p class="below" { (kept(absence.caution)) }
        },
    }
}

/// What a year costs and takes, and whether the reserve was there.
pub(super) fn year(station: &Station, year: Option<&Year>) -> Sheet {
    let Some(year) = year else {
        return Sheet {
            heading: "No year can be simulated of this station yet.".to_owned(),
            body: html! { p { "It needs a vessel, and vessels that the same water goes into joined into one." } },
        };
    };
    let own = year_tables(station, year);
    // What the charts show is looked up only for a figure of its own.
    let charted = |name: &str| name == "reserve-by-week" || name == "run-volumes";
    let (drawn, read): (Vec<_>, Vec<_>) = own.into_iter().partition(|table| charted(table.name));
    Sheet {
        heading: year_in_short(station, year),
        body: html! {
            div class="pair" {
                (picture("reserve-of-fresh-water", |width| reserve_by_week(station, year, Water::Fresh, width), DESK_CHART_MM))
                (picture("reserve-of-salt-water", |width| reserve_by_week(station, year, Water::Salt, width), DESK_CHART_MM))
                (picture("cost-by-item", |width| cost_by_item(station, year, width), DESK_CHART_MM))
                (picture("run-volumes", |width| run_volumes(station, year, width), DESK_CHART_MM))
            }
            (found(&year.findings, Some(CureOf::Year)))
            @if !read.is_empty() {
                p class="below" {
                    "The mean of very many years lies between its two ends with 95 % certainty; nine years in ten lie between theirs."
                }
            }
            (tables(&read, NONE))
            @for table in &drawn { (folded(table, NONE)) }
            @if !year.not_followed.is_empty() {
                section {
                    h2 { "Of this station not followed" }
                    @for told in &year.not_followed { p { (kept(told)) } }
                }
            }
            p class="below" {
                (kept(&format!("{} years were walked through, each of them an ordinary one of 365 days, with seed {}.", format_count(year.years), year.seed)))
            }
        },
    }
}
