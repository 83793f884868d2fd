//! Whole sections: one more of a kind, another name for one, one that is taken out with what hangs on it.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::response::{Html, IntoResponse, Response};
use maud::{Markup, html};
use station::edit::{Written, hanging};
use station::register::{FieldSpec, Need, SectionSpec};
use station::sections::{ONE_OF, REGISTER, of_table};
use station::spoken;

use super::case_of;
use super::row::{Of, row};
use crate::web::answer;
use crate::web::bench::Bench;
use crate::web::fields::{a_kind, kind, place};

/// A line that unfolds into a form for one more section of a kind; nothing for a kind that there is one of, or whose names are
/// all taken.
pub(super) fn to_add(section: &SectionSpec, written: &Written<'_>) -> Markup {
    let table = section.table();
    let table = table.filter(|_| section.names.is_none() || !free_names(section, written).is_empty());
    html! {
        @if let Some(table) = table {
            details class="section add" id={ "add-" (table) } data-new=(table) {
                summary { "Add " (a_kind(section.path)) }
                div {}
            }
        }
    }
}

/// The names of a closed list that no section has yet.
fn free_names(section: &SectionSpec, written: &Written<'_>) -> Vec<(&'static str, &'static str)> {
    let taken = written.keys(section.path.trim_end_matches(".*"));
    let words = section.names.into_iter().flatten();
    words
        .filter(|own| !taken.iter().any(|name| name == own.word))
        .map(|own| (own.word, own.help))
        .collect()
}

/// The form for one more section of a table.
pub(in crate::web) async fn new_section(
    State(bench): State<Arc<Bench>>,
    Path(table): Path<String>,
) -> Response {
    let Some(section) = of_table(&table) else {
        return answer::not_there().await;
    };
    let text = bench.desk().text().clone();
    let written = Written::of(&text);
    let own = |field: &FieldSpec| row(section, field, &Of::New(&table), &written);
    let (needed, rest): (Vec<&FieldSpec>, Vec<&FieldSpec>) = section
        .fields
        .iter()
        .partition(|field| field.need == Need::Required);
    let wanted = ONE_OF.iter().find(|(path, _)| *path == section.path);
    let (one_of, more): (Vec<&FieldSpec>, Vec<&FieldSpec>) = rest
        .into_iter()
        .partition(|field| wanted.is_some_and(|(_, keys)| keys.contains(&field.key)));
    let id = format!("new-{table}");
    let names = free_names(section, &written);
    let form = html! {
        form data-add=(table) novalidate {
            p class="second" { (section.help) "." }
            div class="field" {
                label for=(id) { (if names.is_empty() { "What you call it: letters, digits and hyphens" } else { "Which" }) }
                @if names.is_empty() {
                    input type="text" id=(id) data-name data-needed aria-describedby={ (id) "-fault" } autocomplete="off"
                        spellcheck="false";
                } @else {
                    select id=(id) data-name data-needed aria-describedby={ (id) "-fault" } {
                        option value="" { "not said" }
                        @for (word, help) in names { option value=(word) { (word) ": " (help) } }
                    }
                }
                p class="must" id={ (id) "-fault" } role="alert" {}
            }
            @for field in needed {
                (own(field))
                @if section.variants.is_some_and(|variants| variants.key == field.key) { div class="case" {} }
            }
            @if !one_of.is_empty() {
                fieldset {
                    legend { "One of these is needed" }
                    @for field in one_of { (own(field)) }
                }
            }
            @if !more.is_empty() {
                details class="more" open[section.fields.iter().all(|field| field.need != Need::Required)] {
                    summary { "What else can be said (" (more.len()) ")" }
                    @for field in more { (own(field)) }
                }
            }
            p class="must" data-fault role="alert" {}
            button type="submit" { "Add " (a_kind(section.path)) }
        }
    };
    Html(form.into_string()).into_response()
}

/// The fields that a section has for a word: of the file where it has a name, of a new one for the name `new`.
pub(in crate::web) async fn other_case(
    State(bench): State<Arc<Bench>>,
    Path((table, name, word)): Path<(String, String, String)>,
) -> Response {
    let Some(section) = of_table(&table).filter(|own| own.variants.is_some()) else {
        return answer::not_there().await;
    };
    let text = bench.desk().text().clone();
    let written = Written::of(&text);
    let rows = case_of(section, Some(&word)).into_iter().map(|field| {
        // A section of the file is called as it is there, and a new one isn't there yet.
        let path = format!("{table}.{name}.{}", field.key);
        match name.as_str() {
            "*" => row(section, field, &Of::New(&table), &written),
            _ => row(section, field, &Of::File(&path), &written),
        }
    });
    Html(html! { @for row in rows { (row) } }.into_string()).into_response()
}

/// What unfolds into another name for a section, and the end of it; nothing where it isn't in the file, and for what stands
/// before all sections.
pub(super) fn ends(section: &SectionSpec, path: &str, written: &Written<'_>) -> Markup {
    if path.is_empty() || written.keys(path).is_empty() {
        return html! {};
    }
    let is_renamed = section.path.ends_with(".*") && section.names.is_none();
    html! {
        details class="more ends" data-ends=(path) {
            summary { @if is_renamed { "Another name, or take it out" } @else { "Take it out" } }
            div {}
        }
    }
}

/// Another name for a section, what goes with it, and the button that takes all of it out.
pub(in crate::web) async fn section_ends(
    State(bench): State<Arc<Bench>>,
    Path(path): Path<String>,
) -> Response {
    let (table, name) = match path.split_once('.') {
        Some((table, name)) => (table, Some(name)),
        None => (path.as_str(), None),
    };
    let section = REGISTER.iter().find(|own| match name {
        Some(_) => own.table() == Some(table),
        None => own.path == table,
    });
    let text = bench.desk().text().clone();
    let Some(section) = section.filter(|_| !Written::of(&text).keys(&path).is_empty()) else {
        return answer::not_there().await;
    };
    let own = kind(section.path).to_lowercase();
    let renamed = name.filter(|_| section.names.is_none());
    let id = format!("name-{path}");
    // The whole station is read for it, some times.
    let looked = (text.clone(), path.clone());
    let others = tokio::task::spawn_blocking(move || hanging(&looked.0, &looked.1))
        .await
        .unwrap_or_default();
    let more = others.sections.len();
    let body = html! {
        @if let Some(name) = renamed {
            div class="field" {
                label for=(id) { "Its name; what leads to it follows" }
                input type="text" id=(id) data-rename=(path) value=(name) aria-describedby={ (id) "-fault" }
                    autocomplete="off" spellcheck="false";
                p class="must" id={ (id) "-fault" } role="alert" {}
            }
        }
        @if more > 0 {
            p { "What can't be without it goes with it: " (listing(others.sections.iter().map(|own| called(own)))) "." }
        }
        @if !others.values.is_empty() {
            p { "Left out, or without it in their list: " (listing(others.values.iter().map(|own| said_of(&own.path)))) "." }
        }
        p {
            button type="button" data-take-out=(path) {
                @match (name, more) {
                    (Some(name), 0) => { "Take out " (own) " " (spoken(name)) }
                    (Some(name), more) => { "Take out " (own) " " (spoken(name)) " and " (more) " more" }
                    (None, 0) => { "Take it out of the file" }
                    (None, more) => { "Take it out of the file, and " (more) " more" }
                }
            }
        }
        p class="must" data-fault role="alert" {}
    };
    Html(body.into_string()).into_response()
}

/// A section as one says it: `line fresh out`.
fn called(path: &str) -> String {
    match path.split_once('.') {
        Some((table, name)) => format!("{} {}", kind(table).to_lowercase(), spoken(name)),
        None => path.to_owned(),
    }
}

/// A value as one says it, in few words: `tee wall top: the line that leaves it at a right angle`.
fn said_of(path: &str) -> String {
    let said = place(path);
    let few = said.split(';').next().unwrap_or_default();
    match (path.rsplit_once('.'), few.split_once(": ")) {
        (Some((section, _)), Some((_, help))) => {
            format!("{}: {}", called(section), help.to_lowercase())
        }
        _ => few.to_owned(),
    }
}

fn listing(items: impl Iterator<Item = String>) -> String {
    items.collect::<Vec<_>>().join("; ")
}
