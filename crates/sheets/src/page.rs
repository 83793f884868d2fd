//! The page: one file that opens anywhere, asks nothing of a network, and prints.
//!
//! Owns: the order of things on it and its style. Two layouts of each drawing are on it, one for a desk and one for a
//! phone; the width of the window chooses. No script.

mod style;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use proof::{Figure, Finding, Proof, Severity};
use station::Station;
use station::quantity::{format_interval, format_plain};

use crate::chart::{cost_against_run, supply_by_month};
use crate::drawing::Drawing;
use crate::elevation::elevation;
use crate::svg::svg;
use crate::table::{Cell, Table, tables};

/// Paper of the drawings on a desk and on a phone, mm; a chart on a desk has half of the first.
const DESK_MM: f64 = 200.0;
const DESK_CHART_MM: f64 = 130.0;
const PHONE_MM: f64 = 88.0;

/// The page of a proof; `file` names the station file.
pub fn page(station: &Station, proof: &Proof, file: &str) -> String {
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
                    h1 { (proof.verdict) }
                    @if let Some(state) = &proof.feed_state {
                        p { "Proved with the feed of " (state) "." }
                    }
                    (both(|width| elevation(station, proof, width), DESK_MM))
                    (findings(file, proof))
                    (figures(station, proof))
                    (charts(station, proof))
                    @for table in tables(station, proof) { (shown_table(&table)) }
                    (methods(proof))
                }
                footer {
                    p { (CAUTION) }
                    p { "Advice, not a permit: readings beat it, local codes and licensed trades govern." }
                }
            }
        }
    }
    .into_string()
}

const CAUTION: &str = "Relieve the pressure before a housing is opened. Mains near water only behind a residual-current \
device, with a drip loop. Never leave the feed on to a station that has not passed its tests; air gaps at tap and \
drain. Full vessels weigh hundreds of kilograms. Not drinking water.";

/// A drawing in both layouts.
fn both(draw: impl Fn(f64) -> Option<Drawing>, desk_mm: f64) -> Markup {
    html! {
        @if let (Some(desk), Some(phone)) = (draw(desk_mm), draw(PHONE_MM)) {
            figure {
                div class="desk" { (PreEscaped(svg(&desk, false))) }
                div class="phone" { (PreEscaped(svg(&phone, false))) }
                details { summary { "In words" } p { (desk.description) } }
            }
        }
    }
}

fn findings(file: &str, proof: &Proof) -> Markup {
    let groups = [
        (Severity::Must, "Must fix", "must"),
        (Severity::Should, "Worth fixing", "should"),
        (Severity::Note, "Worth knowing", "second"),
    ];
    html! {
        @for (severity, heading, class) in groups {
            @let found: Vec<&Finding> = proof.of_severity(severity).collect();
            @if !found.is_empty() {
                section {
                    h2 class=(class) { (heading) }
                    @for finding in found {
                        div class="finding" {
                            p { (finding.sentence) }
                            @if let Some(remedy) = &finding.remedy {
                                p class="remedy" { "Cure, tried: " (remedy.sentence) "." }
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
}

/// The headline figures, each of which opens its why.
fn figures(station: &Station, proof: &Proof) -> Markup {
    let (units, currency) = (station.units(), station.currency());
    let shown =
        |figure: &Figure| format_interval(figure.kind, figure.value, figure.half_width(), units, &currency);
    html! {
        section {
            h2 { "Figures" }
            @for figure in proof.figures.iter().filter(|figure| figure.headline) {
                @let value = shown(figure);
                details class="figure" {
                    summary {
                        span class="name" { (figure.title) }
                        span class="value" { (value.value_with_unit()) }
                        span class="doubt" {
                            @if let Some(half) = &value.half_width { "± " (half) }
                        }
                    }
                    (why(station, figure))
                }
            }
        }
    }
}

fn why(station: &Station, figure: &Figure) -> Markup {
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
                            td { (format_plain(input.kind, input.value, units, &currency)) }
                            td class="origin" { (input.origin) }
                        }
                    }
                }
            }
            @if let Some(method) = proof::method(figure.method) {
                p { "Holds: " (method.range) ". Sources: " (method.sources.join(", ")) "." }
            }
            @if let Some(remark) = &figure.remark { p { (remark) "." } }
        }
    }
}

fn charts(station: &Station, proof: &Proof) -> Markup {
    html! {
        @if let Some(made) = &proof.supply.purifier {
            section class="charts" {
                h2 { "Charts" }
                div class="pair" {
                    (both(|width| supply_by_month(station, made, width), DESK_CHART_MM))
                    (both(|width| cost_against_run(station, made, width), DESK_CHART_MM))
                }
            }
        }
    }
}

fn shown_table(table: &Table) -> Markup {
    html! {
        section {
            h2 { (table.title) }
            div class="scroll" tabindex="0" role="region" aria-label=(table.title) {
                table {
                    thead {
                        tr {
                            @for (at, head) in table.heads.iter().enumerate() {
                                @let words = table.rows.iter().any(|row| row.get(at).is_some_and(Cell::is_words));
                                th scope="col" class=[words.then_some("words")] { (head) }
                            }
                        }
                    }
                    tbody {
                        @for row in &table.rows {
                            tr {
                                @for cell in row {
                                    td class=[cell.is_words().then_some("words")] { (cell.printed()) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The methods behind the headline figures, each once.
fn methods(proof: &Proof) -> Markup {
    let mut keys: Vec<&str> = proof
        .figures
        .iter()
        .filter(|figure| figure.headline)
        .map(|figure| figure.method)
        .collect();
    keys.sort_unstable();
    keys.dedup();
    html! {
        section class="methods" {
            h2 { "Methods" }
            dl {
                @for method in keys.into_iter().filter_map(proof::method) {
                    dt { (method.title) }
                    dd {
                        code { (method.formula) } " "
                        "Holds: " (method.range) ". " (method.sources.join(", ")) "."
                    }
                }
            }
        }
    }
}
