//! One field of a form: what it is, where one types, what holds without it.

use maud::{Markup, html};
use sheets::fragment::kept;
use station::edit::{Written, pairs_as_lines};
use station::quantity::Kind;
use station::register::{FieldSpec, Form, Need, SectionSpec, Word};
use station::sections::{NAMINGS, Naming};

use crate::web::fields::{Owner, plain, unit};

/// What a field is of.
pub(super) enum Of<'p> {
    /// A value of the file, by its path.
    File(&'p str),
    /// A section of a table that isn't in the file yet.
    New(&'p str),
}

/// A field with its label, its fault and what met it meanwhile.
pub(super) fn row(section: &SectionSpec, field: &FieldSpec, of: &Of<'_>, written: &Written<'_>) -> Markup {
    let (path, id) = match of {
        Of::File(path) => (Some((*path).to_owned()), format!("field-{path}")),
        Of::New(table) => (None, format!("new-{table}-{}", field.key)),
    };
    let (hint, without) = hints(field, &Owner::of(written));
    html! {
        div class="field" {
            label for=(id) { (field.help) }
            (input(section, field, path.as_deref(), &id, &hint, written))
            @if !without.is_empty() { p class="second" { (without) } }
            p class="must" id={ (id) "-fault" } role="alert" {}
            @if path.is_some() { section class="conflict" id={ (id) "-conflict" } hidden {} }
        }
    }
}

/// What stands there while nothing is said, and what holds without it.
fn hints(field: &FieldSpec, owner: &Owner) -> (String, String) {
    let says = |text: &str| match field.form {
        Form::LevelTable => in_pairs(text, [Kind::Length, Kind::Volume], owner),
        Form::PumpTable => in_pairs(text, [Kind::Flow, Kind::Length], owner),
        Form::Quantity(kind) => owner.says(&plain(text), kind),
        // As the choice beside it has it.
        Form::YesNo => yes_or_no(text).to_owned(),
        _ => plain(text),
    };
    let example = says(field.example);
    match field.need {
        Need::Default { text, origin } => {
            let text = says(text);
            let without = kept(&format!("Without it {text}: {origin}."));
            (text, without)
        }
        Need::Required => (example, String::new()),
        Need::Optional => (format!("for instance {example}"), String::new()),
    }
}

fn input(
    section: &SectionSpec,
    field: &FieldSpec,
    path: Option<&str>,
    id: &str,
    hint: &str,
    written: &Written<'_>,
) -> Markup {
    let fault = format!("{id}-fault");
    let stands = path.and_then(|path| written.value(path));
    let value = stands.map(plain).unwrap_or_default();
    let unit = match field.form {
        Form::Quantity(kind) => unit(field, kind, stands, &Owner::of(written)),
        _ => None,
    };
    // Words and numbers without a unit stand bare in a file, tables as they are, all else in quotes.
    let bare = match field.form {
        Form::YesNo | Form::LevelTable | Form::PumpTable => "always",
        Form::Quantity(kind) if kind.is_unitless() => "numbers",
        _ => "never",
    };
    // A value of the file is known by its path, one of a new section by its key.
    let key = path.is_none().then_some(field.key);
    let needed = (path.is_none() && field.need == Need::Required).then_some("");
    match field.form {
        Form::Choice(words) => select(words, &value, id, [path, key, needed], bare, section, field),
        Form::YesNo => {
            let words = [
                Word {
                    word: "true",
                    help: yes_or_no("true"),
                },
                Word {
                    word: "false",
                    help: yes_or_no("false"),
                },
            ];
            select(&words, &value, id, [path, key, needed], bare, section, field)
        }
        Form::LevelTable | Form::PumpTable => html! {
            textarea id=(id) data-path=[path] data-key=[key] data-needed=[needed] data-bare=(bare) rows=(rows(stands, field))
                placeholder=(hint) aria-describedby={ (id) "-how " (fault) } autocomplete="off" spellcheck="false" {
                (stands.map(lines).unwrap_or_default())
            }
            p class="second" id={ (id) "-how" } { "A line for each pair, with a comma between the two." }
        },
        _ => html! {
            span class="typed" {
                input type="text" id=(id) data-path=[path] data-key=[key] data-needed=[needed] data-bare=(bare) value=(value)
                    placeholder=(hint) list=[offered(section, field)] aria-describedby={ (id) "-unit " (fault) }
                    autocomplete="off" spellcheck="false";
                span class="unit" id={ (id) "-unit" } data-unit { (unit.unwrap_or_default()) }
            }
        },
    }
}

/// What stands in a file as one says it.
fn yes_or_no(text: &str) -> &str {
    match text {
        "true" => "yes",
        "false" => "no",
        other => other,
    }
}

/// A table of two columns as lines, each value as its owner would write it.
fn in_pairs(text: &str, kinds: [Kind; 2], owner: &Owner) -> String {
    let told = lines(text);
    let told: Vec<String> = told
        .lines()
        .map(|line| {
            let values = line.split(", ").zip(kinds);
            let values: Vec<String> = values.map(|(value, kind)| owner.says(value, kind)).collect();
            values.join(", ")
        })
        .collect();
    told.join("\n")
}

/// A table of two columns as lines; as it stands in the file where it is none.
fn lines(text: &str) -> String {
    pairs_as_lines(text).unwrap_or_else(|| text.to_owned())
}

/// As many lines as there are pairs, and one more.
fn rows(stands: Option<&str>, field: &FieldSpec) -> usize {
    lines(stands.unwrap_or(field.example)).lines().count() + 1
}

fn select(
    words: &[Word],
    value: &str,
    id: &str,
    [path, key, needed]: [Option<&str>; 3],
    bare: &str,
    section: &SectionSpec,
    field: &FieldSpec,
) -> Markup {
    let decides = section.variants.is_some_and(|variants| variants.key == field.key);
    html! {
        select id=(id) data-path=[path] data-key=[key] data-needed=[needed] data-bare=(bare)
            data-decides=[decides.then_some(section.path.trim_end_matches(".*"))] aria-describedby={ (id) "-fault" } {
            option value="" selected[value.is_empty()] { "not said" }
            @for own in words {
                option value=(own.word) selected[own.word == value] {
                    (if matches!(field.form, Form::YesNo) { own.help } else { own.word })
                }
            }
        }
    }
}

/// The list of names that a field takes one of.
fn offered(section: &SectionSpec, field: &FieldSpec) -> Option<String> {
    NAMINGS
        .iter()
        .find(|own| (own.section, own.key) == (section.path, field.key) && !own.several)
        .map(list_of)
}

fn list_of(naming: &Naming) -> String {
    format!("names-{}", naming.tables.join("-"))
}

/// Every such list, with the names that the file has.
pub(super) fn names(written: &Written<'_>) -> Markup {
    let mut lists: Vec<&Naming> = Vec::new();
    for naming in NAMINGS.iter().filter(|own| !own.several) {
        if !lists.iter().any(|own| own.tables == naming.tables) {
            lists.push(naming);
        }
    }
    html! {
        div id="names" {
            @for naming in lists {
                datalist id=(list_of(naming)) {
                    @for name in offers(naming, written) { option value=(name) {} }
                }
            }
        }
    }
}

/// Names as they are to be written: led by their kind where several have one.
fn offers(naming: &Naming, written: &Written<'_>) -> Vec<String> {
    let all: Vec<(&str, String)> = naming
        .tables
        .iter()
        .flat_map(|table| written.keys(table).into_iter().map(|name| (*table, name)))
        .collect();
    all.iter()
        .map(
            |(table, name)| match all.iter().filter(|(_, own)| own == name).count() {
                1 => name.clone(),
                _ => format!("{} {name}", Naming::kind_of(table)),
            },
        )
        .collect()
}
