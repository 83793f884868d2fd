//! Pieces that pages are made of: pictures and tables, each with the files that it can be had as.

use maud::{Markup, html};
use proof::Proof;
use sheets::fragment::{both, cells_with, kept};
use sheets::{Drawing, Table};
use station::Station;

use super::super::files::numbers_of;
use crate::task::paper;

/// A drawing in both layouts; nothing where there is none.
pub(super) fn picture(name: &str, draw: impl Fn(f64) -> Option<Drawing>, desk_mm: f64) -> Markup {
    drawn(name, &both(draw, desk_mm))
}

/// A drawing or chart of the proof by the name of its file: what is shown is what can be taken along.
pub(super) fn of_proof(station: &Station, proof: &Proof, name: &str, desk_mm: f64) -> Markup {
    picture(
        name,
        |width_mm| paper::drawing(station, proof, name, width_mm),
        desk_mm,
    )
}

/// The same of what was drawn already.
pub(super) fn drawn(name: &str, own: &Markup) -> Markup {
    html! {
        @if !own.0.is_empty() {
            div class="picture" {
                (own)
                @match numbers_of(name) {
                    Some(_) => (take(name, &["svg", "png", "csv"])),
                    None => (take(name, &["svg", "png"])),
                }
            }
        }
    }
}

/// A button for a row of a table.
pub(super) type Press<'p> = &'p dyn Fn(&Table, usize) -> Option<Markup>;

/// No row has one.
pub(super) const NONE: Press<'static> = &|_, _| None;

/// A table with what is said below it.
pub(super) fn table(table: &Table, below: &[String], press: Press<'_>) -> Markup {
    html! {
        section {
            h2 { (table.title) }
            (cells_with(table, |row| press(table, row)))
            @for sentence in below { p class="below" { (kept(sentence)) } }
            (take(table.name, &["csv"]))
        }
    }
}

/// Tables in their order: those that one looks something up in stand folded at the end.
pub(super) fn tables(all: &[Table], press: Press<'_>) -> Markup {
    html! {
        @for own in all.iter().filter(|own| !own.is_annex()) { (table(own, &[], press)) }
        @for own in all.iter().filter(|own| own.is_annex()) { (folded(own, press)) }
    }
}

/// A table that one opens to look something up.
pub(super) fn folded(table: &Table, press: Press<'_>) -> Markup {
    html! {
        details class="annex" {
            summary { h2 { (table.title) } }
            (cells_with(table, |row| press(table, row)))
            (take(table.name, &["csv"]))
        }
    }
}

/// The files of a name.
pub(in crate::web) fn take(name: &str, endings: &[&str]) -> Markup {
    html! {
        p class="take" {
            @for ending in endings {
                a href={ "/file/" (name) "." (ending) } download aria-label={ (name.replace('-', " ")) " as " (ending.to_uppercase()) } {
                    (ending.to_uppercase())
                }
            }
        }
    }
}

/// Of all tables those of some names, in the order of the names.
pub(super) fn named(mut all: Vec<Table>, names: &[&str]) -> Vec<Table> {
    let mut own = Vec::new();
    for name in names {
        if let Some(at) = all.iter().position(|table| table.name == *name) {
            own.push(all.swap_remove(at));
        }
    }
    own
}
