//! The page's section on a station left alone: the answer, why, the fault tree, the tables.

use maud::{Markup, html};
use proof::Absence;
use station::Station;

use super::{DESK_MM, both, shown_table};
use crate::fault_tree::fault_tree;
use crate::table::{Table, absence_tables};
use crate::words::glued;

/// All of it but what one looks up.
pub(super) fn away(station: &Station, absence: &Absence) -> Markup {
    let tables = absence_tables(station, absence, false);
    html! {
        section {
            h2 { "While nobody is there" }
            p { strong { (glued(&absence.answer)) } }
            @for reason in &absence.reasons { p { (glued(reason)) } }
            (both(|width| fault_tree(station, absence, width, f64::INFINITY), DESK_MM))
        }
        @for table in tables.iter().filter(|table| !table.is_annex()) { (shown_table(table, &[])) }
        p class="below" { (glued(absence.caution)) }
    }
}

/// What one looks up.
pub(super) fn annex(station: &Station, absence: &Absence) -> Vec<Table> {
    let mut tables = absence_tables(station, absence, false);
    tables.retain(Table::is_annex);
    tables
}
