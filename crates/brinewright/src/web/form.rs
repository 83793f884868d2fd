//! Forms for everything in the station file, made from the register of its fields: nothing here knows a field by name.
//!
//! A value is shown as it stands in the file, units and doubt as they were typed; what is typed is checked by the reader of
//! the file, and told beside its field in the same words.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Html;
use maud::{Markup, html};
use station::edit::Written;
use station::register::{FieldSpec, Form, Need, SectionSpec};
use station::sections::REGISTER;
use station::shown;

use super::bench::Bench;
use super::fields::{capital, is_us, kind, plain, unit};
use super::frame::{Framed, Place, framed, steps};
use crate::failure::Fault;

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
            div id="broken" role="alert" data-readable=(readable) { (broken(&faults, readable)) }
            @if readable {
                @for section in REGISTER {
                    @for (name, path) in instances(section, &written) { (one(section, name.as_deref(), &path, &written)) }
                }
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
            tools: steps(can_undo, can_redo),
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
    match section.path.strip_suffix(".*") {
        None => vec![(None, section.path.to_owned())],
        Some(table) => written
            .keys(table)
            .into_iter()
            .map(|name| (Some(name.clone()), format!("{table}.{name}")))
            .collect(),
    }
}

fn one(section: &SectionSpec, name: Option<&str>, path: &str, written: &Written<'_>) -> Markup {
    let of = |field: &FieldSpec| match path {
        "" => field.key.to_owned(),
        path => format!("{path}.{}", field.key),
    };
    let mut fields: Vec<&FieldSpec> = section.fields.iter().collect();
    if let Some(variants) = section.variants {
        let chosen = written.value(&format!("{path}.{}", variants.key)).map(plain);
        let case = variants
            .cases
            .iter()
            .find(|(word, _)| chosen.as_deref() == Some(*word));
        fields.extend(case.map_or(&[][..], |(_, fields)| fields));
    }
    let (said, unsaid): (Vec<&FieldSpec>, Vec<&FieldSpec>) = fields
        .into_iter()
        .partition(|field| written.value(&of(field)).is_some() || field.need == Need::Required);
    let title = match (name, path) {
        (Some(name), _) => format!("{} {}", kind(section.path), shown(name)),
        (None, "") => "The station".to_owned(),
        (None, path) => capital(&path.replace(['.', '_'], " ")),
    };
    html! {
        details class="section" id={ "at-" (path) } {
            summary { h2 { (title) } span class="second" { (said.len()) " said" } }
            p class="second" { (section.help) "." }
            @for field in said { (row(field, &of(field), written)) }
            @if !unsaid.is_empty() {
                details class="more" {
                    summary { "What else can be said (" (unsaid.len()) ")" }
                    @for field in unsaid { (row(field, &of(field), written)) }
                }
            }
        }
    }
}

fn row(field: &FieldSpec, path: &str, written: &Written<'_>) -> Markup {
    let value = written.value(path).map(plain).unwrap_or_default();
    let (hint, without) = hints(field);
    let id = format!("field-{path}");
    html! {
        div class="field" {
            label for=(id) { (field.help) }
            (input(field, path, &id, &value, &hint, written))
            @if !without.is_empty() { p class="second" { (without) } }
            p class="must" id={ (id) "-fault" } role="alert" {}
            section class="conflict" id={ (id) "-conflict" } hidden {}
        }
    }
}

/// What stands there while nothing is said, and what holds without it.
fn hints(field: &FieldSpec) -> (String, String) {
    let example = plain(field.example);
    match field.need {
        Need::Default { text, origin } => (text.to_owned(), format!("Without it {text}: {origin}.")),
        Need::Required => (example, String::new()),
        Need::Optional => (format!("for instance {example}"), String::new()),
    }
}

fn input(field: &FieldSpec, path: &str, id: &str, value: &str, hint: &str, written: &Written<'_>) -> Markup {
    let fault = format!("{id}-fault");
    let unit = match field.form {
        Form::Quantity(kind) => unit(field, kind, written.value(path), is_us(written)),
        _ => None,
    };
    // Words and numbers without a unit stand bare in a file, tables as they are, all else in quotes.
    let bare = match field.form {
        Form::YesNo | Form::LevelTable | Form::PumpTable => "always",
        Form::Quantity(kind) if kind.is_unitless() => "numbers",
        _ => "never",
    };
    let choices: Vec<&str> = match field.form {
        Form::Choice(words) => words.iter().map(|own| own.word).collect(),
        Form::YesNo => vec!["true", "false"],
        _ => Vec::new(),
    };
    html! {
        @if choices.is_empty() {
            span class="typed" {
                input type="text" id=(id) data-path=(path) data-bare=(bare) value=(value) placeholder=(hint)
                    aria-describedby={ (id) "-unit " (fault) } autocomplete="off" spellcheck="false";
                span class="unit" id={ (id) "-unit" } data-unit { (unit.unwrap_or_default()) }
            }
        } @else {
            select id=(id) data-path=(path) data-bare=(bare) aria-describedby=(fault) {
                option value="" selected[value.is_empty()] { "not said" }
                @for word in choices { option value=(word) selected[word == value] { (yes_or_no(field, word)) } }
            }
        }
    }
}

fn yes_or_no<'w>(field: &FieldSpec, word: &'w str) -> &'w str {
    match (field.form, word) {
        (Form::YesNo, "true") => "yes",
        (Form::YesNo, _) => "no",
        _ => word,
    }
}
