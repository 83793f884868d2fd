//! The page: one file that opens anywhere, asks nothing of a network, and prints.
//!
//! Owns: the order of things on it and its style. Two layouts of each drawing are on it, one for a desk and one for a
//! phone; the width of the window chooses. No script.

mod away;
pub(crate) mod cards;
mod style;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use proof::{Absence, Figure, Input, Proof};
use station::quantity::format_plain;
use station::{Station, spoken};

use crate::chart::{cost_against_run, level_against_volume, same_for_any_run, supply_by_month};
use crate::drawing::Drawing;
use crate::elevation::elevation;
use crate::profile::profile;
use crate::svg::svg;
use crate::table::{Cell, Table, tables};
use crate::told::{
    ADVICE, CAUTION, below_wrong_moves, groups, headlines, in_words, leading, methods, sources, told,
};
use crate::words::glued;

/// Paper of the drawings on a desk, mm; on a phone it is narrower.
const DESK_MM: f64 = 190.0;
/// Of a chart on a desk, mm.
pub const DESK_CHART_MM: f64 = 130.0;
/// Paper of all drawings on a phone, mm.
const PHONE_MM: f64 = 88.0;

/// The style of every page: paper and ink, light, dark and print, the typeface with it.
pub fn style() -> String {
    style::sheet()
}

/// The page of a proof, and of an absence where the station has a plant; `file` names the station file.
pub fn page(station: &Station, proof: &Proof, absence: Option<&Absence>, file: &str) -> String {
    let schematics = cards::schematics(station, DESK_MM);
    let (mut annex, read): (Vec<Table>, Vec<Table>) =
        tables(station, proof).into_iter().partition(Table::is_annex);
    annex.extend(absence.map_or_else(Vec::new, |absence| away::annex(station, absence)));
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (proof.title) }
                style { (PreEscaped(style::sheet())) }
            }
            body {
                header { strong { (proof.title) } span { (file) } }
                main {
                    h1 { (glued(&proof.verdict)) }
                    @if let Some(state) = &proof.feed_state {
                        p { "Proved with the feed of " (spoken(state)) "." }
                    }
                    (leading_figures(station, proof))
                    (both(|width| elevation(station, proof, width), DESK_MM))
                    (findings(file, proof))
                    @if let Some(pipes) = profile(station, proof, DESK_MM) {
                        section class="desk" {
                            h2 { "Pipes by height" }
                            (on_a_desk(Some(&pipes)))
                        }
                    }
                    (schematics.whole(station, proof))
                    (figures(station, proof))
                    (charts(station, proof))
                    (schematics.cards(station, proof))
                    @if let Some(absence) = absence { (away::away(station, absence)) }
                    @for table in &read { (shown_table(table, &below(station, proof, table))) }
                    (behind(proof))
                    @for table in &annex { (looked_up(table)) }
                }
                footer {
                    p { (CAUTION) }
                    p { (ADVICE) }
                }
            }
        }
    }
    .into_string()
}

/// A drawing in both layouts; where one of them has no room for it, the other stands for both.
pub fn both(draw: impl Fn(f64) -> Option<Drawing>, desk_mm: f64) -> Markup {
    let (desk, phone) = (draw(desk_mm), draw(PHONE_MM));
    html! {
        @if let Some(described) = desk.as_ref().or(phone.as_ref()) {
            figure {
                @if let (Some(desk), Some(phone)) = (&desk, &phone) {
                    div class="desk" { (PreEscaped(svg(desk, false))) }
                    div class="phone" { (PreEscaped(svg(phone, false))) }
                } @else {
                    div { (PreEscaped(svg(described, false))) }
                }
                details { summary { "In words" } p { (glued(&described.description)) } }
            }
        }
    }
}

/// A drawing that only paper as wide as a desk's has room for: a phone shows nothing in its place.
pub fn on_a_desk(drawing: Option<&Drawing>) -> Markup {
    html! {
        @if let Some(own) = drawing {
            figure class="desk" {
                (PreEscaped(svg(own, false)))
                details { summary { "In words" } p { (glued(&own.description)) } }
            }
        }
    }
}

/// The figures that one asks for first.
fn leading_figures(station: &Station, proof: &Proof) -> Markup {
    let figures = leading(proof);
    html! {
        @if !figures.is_empty() { div class="leading" { (leading_of(station, proof, &figures, Deeper::Named)) } }
    }
}

/// Figures that lead, each with its doubt; each opens its why.
pub(crate) fn leading_of(
    station: &Station,
    proof: &Proof,
    figures: &[(usize, &Figure)],
    deeper: Deeper,
) -> Markup {
    html! {
        // One at a time is open: its why takes the whole width, and no figure leaves its place for it.
        @for (place, figure) in figures {
            @let shown = told(station, figure);
            details name="leading" data-place=(place) {
                summary {
                    span class="name" { (figure.title) }
                    span class="amount" {
                        span class="value" { (glued(&shown.value)) } " " span class="doubt" { (glued(&shown.doubt)) }
                    }
                }
                (why(station, proof, figure, deeper))
            }
        }
    }
}

fn findings(file: &str, proof: &Proof) -> Markup {
    html! {
        @for group in groups(proof) {
            section {
                h2 class=(group.ink.word()) { (group.heading) }
                @for finding in group.findings {
                    div class="finding" {
                        p { (glued(&finding.sentence)) }
                        @if let Some(remedy) = &finding.remedy {
                            p class="remedy" { (glued(&format!("Cure, tried: {}.", remedy.sentence))) }
                        }
                        @if let Some(line) = finding.line {
                            p class="place" { (file) ":" (line) }
                        }
                    }
                }
            }
        }
    }
}

/// The headline figures, each of which opens its why.
fn figures(station: &Station, proof: &Proof) -> Markup {
    html! {
        section {
            h2 { "Figures" }
            (figures_of(station, proof, headlines(proof), Deeper::Named))
        }
    }
}

/// Some figures, each of which opens its why.
pub(crate) fn figures_of<'f>(
    station: &Station,
    proof: &Proof,
    figures: impl Iterator<Item = &'f Figure>,
    deeper: Deeper,
) -> Markup {
    html! {
            @for figure in figures {
                @let shown = told(station, figure);
                details class="figure" {
                    summary {
                        span class="name" { (figure.title) }
                        span class="value" { (glued(&shown.value)) }
                        span class="doubt" { (glued(&shown.doubt)) }
                    }
                    (why(station, proof, figure, deeper))
                }
            }
    }
}

/// What becomes of an input that is a figure itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Deeper {
    /// It is named, with the key that the command line is asked with.
    Named,
    /// It is a button that asks for its why.
    Asked,
}

/// How a figure comes about: its formula, its inputs with their origin, where that holds, by which sources.
pub(crate) fn why(station: &Station, proof: &Proof, figure: &Figure, deeper: Deeper) -> Markup {
    let (units, currency) = (station.units(), station.currency());
    html! {
        div class="why" {
            @if let Some(method) = proof::method(figure.method) {
                p { code { (method.formula) } }
            }
            table {
                tbody {
                    @for input in &figure.inputs {
                        tr {
                            th scope="row" { (input.name) }
                            td { (glued(&format_plain(input.kind, input.value, units, &currency))) }
                            td class="origin" { (origin(station, proof, input, deeper)) }
                        }
                    }
                }
            }
            @if let Some(method) = proof::method(figure.method) {
                p { "Holds: " (glued(method.range)) ". Sources: " (method.sources.join(", ")) "." }
            }
            @if let Some(remark) = &figure.remark { p { (glued(remark)) "." } }
        }
    }
}

fn origin(station: &Station, proof: &Proof, input: &Input, deeper: Deeper) -> Markup {
    let own = input
        .origin
        .strip_prefix("figure ")
        .and_then(|key| proof.figure(key));
    html! {
        @match (own, deeper) {
            (None, Deeper::Asked) if station.span_of(&input.origin).is_some() => {
                a href={ "/edit#field-" (input.origin) } { (input.origin) }
            }
            (None, _) => { (glued(&input.origin)) }
            (Some(own), Deeper::Named) => { (glued(&own.title)) " (" code { (own.key) } ")" }
            (Some(own), Deeper::Asked) => {
                button type="button" class="of-why" data-why=(own.key) aria-expanded="false" { (glued(&own.title)) }
            }
        }
    }
}

fn charts(station: &Station, proof: &Proof) -> Markup {
    let made = proof.supply.purifier.as_ref();
    let vessels = level_against_volume(station, proof, DESK_CHART_MM).len();
    html! {
        @if made.is_some() || vessels > 0 {
            section class="charts" {
                h2 { "Charts" }
                div class="pair" {
                    @if let Some(made) = made {
                        (both(|width| supply_by_month(station, made, width), DESK_CHART_MM))
                        (both(|width| cost_against_run(station, made, width), DESK_CHART_MM))
                        @if let Some(same) = same_for_any_run(station, made) { p { (glued(&same)) } }
                    }
                    @for at in 0..vessels {
                        (both(|width| level_against_volume(station, proof, width).into_iter().nth(at), DESK_CHART_MM))
                    }
                }
            }
        }
    }
}

/// What is said below a table.
pub fn below(station: &Station, proof: &Proof, table: &Table) -> Vec<String> {
    match table.name {
        "wrong-moves" => below_wrong_moves(station, proof),
        _ => Vec::new(),
    }
}

fn shown_table(table: &Table, below: &[String]) -> Markup {
    html! {
        section {
            h2 { (table.title) }
            (cells(table))
            @for sentence in below { p class="below" { (glued(sentence)) } }
        }
    }
}

/// A table that one opens to look something up.
fn looked_up(table: &Table) -> Markup {
    html! {
        details class="annex" {
            summary { h2 { (table.title) } }
            (cells(table))
        }
    }
}

/// Words that a phone has no room for beside their head.
const LONG: usize = 40;

/// A phone shows the first five rows of a table with more than this until the rest is asked for (house rule: to hide one or
/// two saves no room).
const MANY_ROWS: usize = 7;

fn class_of(cell: &Cell) -> Option<&'static str> {
    match cell {
        Cell::Words(words) if words.chars().count() > LONG => Some("words long"),
        Cell::Words(_) => Some("words"),
        Cell::Untold(_) => Some("untold"),
        _ => None,
    }
}

/// The rows of a table below its heads.
pub fn cells(table: &Table) -> Markup {
    cells_with(table, |_| None)
}

/// The same with a column of buttons at the end of the rows, where any has one.
pub fn cells_with(table: &Table, own: impl Fn(usize) -> Option<Markup>) -> Markup {
    let rows = table.rows.len();
    let buttons: Vec<Option<Markup>> = (0..rows).map(own).collect();
    let any = buttons.iter().any(Option::is_some);
    html! {
        div class="scroll" tabindex="0" role="region" aria-label=(table.title) {
            table class=[(table.heads.len() > 2).then_some("wide")] {
                thead {
                    tr {
                        @for (at, head) in table.heads.iter().enumerate() {
                            th scope="col" class=[table.is_words(at).then_some("words")] { (glued(head)) }
                        }
                        @if any { th scope="col" class="own" { span class="visually-hidden" { "to apply" } } }
                    }
                }
                tbody {
                    @for (row, button) in table.rows.iter().zip(&buttons) {
                        tr {
                            @for (cell, head) in row.iter().zip(&table.heads) {
                                // On a phone the rows stand as lists, and each cell tells its head.
                                td class=[class_of(cell)] data-head=(head) { (glued(&cell.printed())) }
                            }
                            @if any { td class="own" { @if let Some(button) = button { (button) } } }
                        }
                    }
                }
            }
        }
        // On a phone the style shows the first five rows alone until this is opened.
        @if rows > MANY_ROWS {
            details class="rest" {
                summary { span class="shut" { "All " (rows) " rows" } span class="open" { "The first five rows alone" } }
            }
        }
    }
}

/// The methods behind the headline figures, and the works behind those, each once.
fn behind(proof: &Proof) -> Markup {
    let methods = methods(proof);
    html! {
        section class="methods" {
            h2 { "Methods" }
            dl {
                @for method in &methods {
                    dt { (method.title) }
                    dd {
                        code { (method.formula) }
                        "Holds: " (glued(method.range)) ". " (method.sources.join(", ")) "."
                    }
                }
            }
            h2 { "Sources" }
            dl {
                @for source in sources(&methods) {
                    dt { (source.key) }
                    dd { (glued(&in_words(&source))) }
                }
            }
        }
    }
}
