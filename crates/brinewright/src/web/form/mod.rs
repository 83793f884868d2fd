//! Forms for everything in the station file, made from the register of its fields: nothing here knows a field by name.
//!
//! A value is shown as it stands in the file, units and doubt as they were typed; what is typed is checked by the reader of
//! the file, and told beside its field in the same words. Owns: the page and its sections (`row`: a field, `whole`: sections
//! that are added, renamed or taken out). Must not know: how a text is edited (`station::edit`).

mod row;
mod whole;

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::{Markup, html};
use station::edit::Written;
use station::register::{FieldSpec, Need, SectionSpec};
use station::sections::REGISTER;
use station::spoken;

use super::bench::Bench;
use super::fields::{capital, kind, plain};
use super::frame::{Framed, Place, framed, steps};
use crate::failure::Fault;
use row::{Of, row};
pub(super) use whole::{new_section, other_case, section_ends};

/// The page.
pub(super) async fn edit_page(State(bench): State<Arc<Bench>>) -> Html<String> {
    let (revision, text, read, [can_undo, can_redo]) = {
        let desk = bench.desk();
        (
            desk.revision(),
            desk.text().clone(),
            desk.station(),
            desk.undoable(),
        )
    };
    let written = Written::of(&text);
    let faults = read.err().unwrap_or_default();
    // Of a text that isn't even one of this notation, forms would show nothing where there is something.
    let readable = written.is_whole();
    let body = html! {
        main id="forms" data-revision=(revision) {
            h1 { "Everything in the file" }
            p class="second" {
                "Units as you like them: " span { "20 gal" } ", " span { "80 L ± 2 L" } ". A number alone is taken in the unit \
                 that its field shows. Each change is checked and saved when you leave its field; nothing else in the file \
                 moves."
            }
            div id="bar" {
                input type="search" id="find" aria-label="Find a value" placeholder="Find a value" autocomplete="off"
                    spellcheck="false" aria-describedby="found";
                (steps(can_undo, can_redo))
                p id="found" class="second" role="status" {}
                p id="unsaved" {}
                p id="remarked" class="second" role="status" {}
            }
            div id="broken" role="alert" data-readable=(readable) { (broken(&faults, readable)) }
            @if readable {
                @for section in REGISTER {
                    @for (name, path) in instances(section, &written) { (one(section, name.as_deref(), &path, &written)) }
                    (whole::to_add(section, &written))
                }
                (row::names(&written))
            }
            p class="visually-hidden" id="told" aria-live="polite" {}
        }
    };
    framed(
        &bench,
        &Framed {
            place: Place::Edit,
            script: "/look/form.js",
            skip: ["#forms", "To the forms"],
            // They stand beside what is typed, as far down as one goes.
            tools: html! {},
            main: body,
        },
    )
}

/// What the file can't be read for, as it is now.
fn broken(faults: &[Fault], readable: bool) -> Markup {
    html! {
        @for fault in faults {
            p class="must" { (fault.what) ": " (fault.mend) " (" (fault.place) ")" }
        }
        @if !readable {
            p { "Mend it where it was written. Until then nothing can be changed here." }
        }
    }
}

/// The sections of one kind that the file has, by the owner's names; one without a name is always offered.
fn instances(section: &SectionSpec, written: &Written<'_>) -> Vec<(Option<String>, String)> {
    match section.table() {
        None => vec![(None, section.path.to_owned())],
        Some(table) => written
            .keys(table)
            .into_iter()
            .map(|name| (Some(name.clone()), format!("{table}.{name}")))
            .collect(),
    }
}

fn one(section: &SectionSpec, name: Option<&str>, path: &str, written: &Written<'_>) -> Markup {
    let of_key = |key: &str| match path {
        "" => key.to_owned(),
        path => format!("{path}.{key}"),
    };
    let chosen = section
        .variants
        .and_then(|variants| written.value(&of_key(variants.key)))
        .map(plain);
    let case = case_of(section, chosen.as_deref());
    let is_said = |field: &FieldSpec| written.value(&of_key(field.key)).is_some();
    let (said, unsaid): (Vec<&FieldSpec>, Vec<&FieldSpec>) = section
        .fields
        .iter()
        .partition(|field| is_said(field) || field.need == Need::Required);
    let count = said.iter().chain(&case).filter(|field| is_said(field)).count();
    let own = |field: &FieldSpec| row(section, field, &Of::File(&of_key(field.key)), written);
    let title = match (name, path) {
        (Some(name), _) => format!("{} {}", kind(section.path), spoken(name)),
        (None, "") => "The station".to_owned(),
        (None, path) => capital(&path.replace(['.', '_'], " ")),
    };
    html! {
        details class="section" id={ "at-" (path) } {
            summary { h2 { (title) } span class="second" { (count) (if count == 1 { " value" } else { " values" }) } }
            p class="second" { (section.help) "." }
            @for field in said {
                (own(field))
                @if section.variants.is_some_and(|variants| variants.key == field.key) {
                    div class="case" { @for field in &case { (own(field)) } }
                }
            }
            @if !unsaid.is_empty() {
                details class="more" {
                    summary { "What else can be said (" (unsaid.len()) ")" }
                    @for field in unsaid { (own(field)) }
                }
            }
            (whole::ends(section, path, written))
        }
    }
}

/// The fields that a section has besides for the word behind its key of variants.
fn case_of(section: &SectionSpec, word: Option<&str>) -> Vec<&'static FieldSpec> {
    let cases = section.variants.iter().flat_map(|variants| variants.cases);
    cases
        .filter(|(own, _)| Some(*own) == word)
        .flat_map(|(_, fields)| fields.iter())
        .collect()
}
