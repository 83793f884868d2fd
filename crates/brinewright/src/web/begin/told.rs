//! The plan as the page shows it: the drawing, the verdict, the figures that matter, each choice with its reason.

use maud::{Markup, PreEscaped, html};
use proof::first::First;
use proof::{Finding, Severity, verdict_of};
use sheets::fragment::{found, kept, leading_figures, year_in_short};

/// Paper of the drawing, mm: what a phone shows and what a wide screen does.
const WIDTHS_MM: (f64, f64) = (80.0, 320.0);

/// As on the workbench, pipes have so much smaller letters than vessels: 12 px still.
const SMALLER: f64 = 1.2;

/// The plan in three parts.
pub(super) struct Told {
    /// How sound it is, by its years as well.
    pub(super) verdict: String,
    /// The drawings and the figures that lead.
    pub(super) pictured: Markup,
    /// Each choice with its reason.
    pub(super) chosen: Markup,
    /// What is left to fix, and what was assumed.
    pub(super) left: Markup,
}

pub(super) fn plan(first: &First, width_mm: f64) -> Told {
    let width_mm = if width_mm.is_finite() {
        width_mm.clamp(WIDTHS_MM.0, WIDTHS_MM.1)
    } else {
        WIDTHS_MM.0
    };
    let drawing = sheets::elevation(&first.station, &first.proof, width_mm);
    let pipes = sheets::profile(&first.station, &first.proof, SMALLER * width_mm);
    let of_years = first.year.as_ref().map_or(&[][..], |year| &year.findings);
    let all = first.proof.findings.iter().chain(of_years);
    let worth_fixing: Vec<Finding> = all
        .filter(|own| own.severity == Severity::Should)
        .cloned()
        .collect();
    Told {
        verdict: kept(&verdict_of(first.proof.findings.iter().chain(of_years), None)),
        pictured: html! {
            @for own in [drawing, pipes].into_iter().flatten() { div class="drawing" { (PreEscaped(sheets::svg(&own, false))) } }
            div class="leading" { (leading_figures(&first.station, &first.proof)) }
        },
        chosen: html! {
            h2 { "What was chosen, and why" }
            dl class="choices" {
                @for choice in &first.choices {
                    div {
                        dt { (choice.topic) }
                        dd { strong { (kept(&choice.chosen)) } p { (kept(&choice.reason)) } }
                    }
                }
            }
        },
        left: html! {
            (found(&worth_fixing, None))
            h2 { "What was assumed" }
            ul class="assumed" { @for own in &first.assumed { li { (kept(own)) } } }
            @if let Some(year) = &first.year {
                h2 { "Its years" }
                p { (kept(&year_in_short(&first.station, year))) }
            }
            h2 { "What isn't told here" }
            p { "What it costs to buy: prices of parts are known once the file gives them." }
            @if first.station.feed.as_ref().is_none_or(|own| own.price.is_none()) || first.station.prices.electricity.is_none() {
                p { "What a year costs in full: a price that was left open counts nothing." }
            }
        },
    }
}
