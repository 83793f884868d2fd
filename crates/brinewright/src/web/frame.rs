//! The frame of every page: the head with the names of all pages, the note of the demo, the foot.

use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

use station::edit::Written;

use super::bench::Bench;

/// A page of the workbench.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    Workbench,
    TryIt,
    Edit,
    Needs,
    Supply,
    Levels,
    Plumbing,
    Mistakes,
    Away,
    Year,
    Compare,
    /// A first station from a few questions; no analysis, and not among the names.
    Begin,
}

impl Place {
    /// In the order of their names at the head.
    pub(super) const ALL: [Self; 11] = [
        Self::Workbench,
        Self::TryIt,
        Self::Edit,
        Self::Needs,
        Self::Supply,
        Self::Levels,
        Self::Plumbing,
        Self::Mistakes,
        Self::Away,
        Self::Year,
        Self::Compare,
    ];

    /// What it is called.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Workbench => "Workbench",
            Self::TryIt => "Try it",
            Self::Edit => "Edit",
            Self::Needs => "Needs",
            Self::Supply => "Supply",
            Self::Levels => "Levels",
            Self::Plumbing => "Plumbing",
            Self::Mistakes => "Mistakes",
            Self::Away => "While away",
            Self::Year => "A year of it",
            Self::Compare => "Compare",
            Self::Begin => "Begin",
        }
    }

    /// Where it is.
    pub(super) const fn path(self) -> &'static str {
        match self {
            Self::Workbench => "/",
            Self::TryIt => "/try-it",
            Self::Edit => "/edit",
            Self::Needs => "/needs",
            Self::Supply => "/supply",
            Self::Levels => "/levels",
            Self::Plumbing => "/plumbing",
            Self::Mistakes => "/mistakes",
            Self::Away => "/away",
            Self::Year => "/year",
            Self::Compare => "/compare",
            Self::Begin => "/begin",
        }
    }
}

/// What a page brings along.
pub(super) struct Framed<'p> {
    pub(super) place: Place,
    /// Its script.
    pub(super) script: &'static str,
    /// Where one who doesn't want the names of all pages goes on, and what that is.
    pub(super) skip: [&'p str; 2],
    /// What stands at the right of the head.
    pub(super) tools: Markup,
    pub(super) main: Markup,
}

/// A whole page.
pub(super) fn framed(bench: &Bench, page: &Framed<'_>) -> Html<String> {
    let (name, kept, title) = {
        let desk = bench.desk();
        let title = Written::of(desk.text()).text("title").unwrap_or_default();
        (desk.file_name(), desk.is_kept(), title)
    };
    let [skip_to, skip] = page.skip;
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title {
                    @if page.place != Place::Workbench { (page.place.name()) ", " }
                    "Brinewright: " (name)
                }
                link rel="icon" type="image/svg+xml" href="/favicon.ico";
                link rel="stylesheet" href="/look/style.css";
                @if page.place == Place::TryIt { link rel="stylesheet" href="/look/try.css"; }
                script type="module" src=(page.script) {}
            }
            body {
                a class="skip" href=(skip_to) { (skip) }
                header {
                    strong id="title" { (if title.is_empty() { "Brinewright" } else { &title }) }
                    span id="file" { (name) }
                    span id="state" class="second" role="status" {}
                    (page.tools)
                    (names(page.place))
                }
                @if !kept {
                    p class="note" {
                        "Brinewright plans and checks the station that makes purified and salt water for your tanks. "
                        "This is its demo: it is invented, and nothing that you do here is kept. "
                        @if page.place != Place::Begin { a href=(Place::Begin.path()) { "Begin your own station" } }
                    }
                }
                @if kept { (gone(&name)) }
                (page.main)
                footer {
                    @if matches!(page.place, Place::Workbench | Place::TryIt | Place::Edit) {
                        div class="passed" {
                            (passed_on())
                            @if kept { a class="button" href=(Place::Begin.path()) { "Begin another station" } }
                        }
                    }
                    p { "Advice, not a permit: readings beat it, local codes and licensed trades govern." }
                }
            }
        }
    };
    Html(whole.into_string())
}

/// That the file is gone; a script shows it when it is.
fn gone(name: &str) -> Markup {
    html! {
        div id="gone" role="alert" hidden {
            p {
                strong { (name) " can't be read any more." }
                " It was taken away, renamed, or may not be read. What stands here is as it was last, and nothing can be saved until it is back."
            }
            button type="button" id="write-again" { "Write it again" }
            p class="must" id="gone-says" {}
        }
    }
}

/// All of it on paper, and as a page for somebody else.
pub(super) fn passed_on() -> Markup {
    html! {
        a class="button" href="/file/sheets.pdf" download { "Print sheets, PDF" }
        a class="button" href="/file/page.html" download { "Page to pass on" }
    }
}

/// One change back, one forth.
pub(super) fn steps(can_undo: bool, can_redo: bool) -> Markup {
    html! {
        div class="steps" {
            button type="button" id="undo" disabled[!can_undo] { "Take back" }
            button type="button" id="redo" disabled[!can_redo] { "Bring back" }
        }
    }
}

/// The names of all pages: in a row, or on a phone as a list that unfolds.
fn names(here: Place) -> Markup {
    let list = html! {
        ul {
            @for place in Place::ALL {
                li {
                    a href=(place.path()) aria-current=[(place == here).then_some("page")] { (place.name()) }
                }
            }
        }
    };
    html! {
        nav class="names" aria-label="Pages" {
            div class="row" { (list) }
            details class="fold" {
                summary { span { (here.name()) } span class="second" { "all pages" } }
                (list)
            }
        }
    }
}
