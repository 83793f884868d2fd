//! What the workbench puts together anew with each change: the figures that lead, the findings, the marks that a hand can
//! move. Pieces of the page, not pages.
//!
//! A finding's remedy carries its place in the list, so that one press applies it; its place in the file leads to the
//! drawing.

use maud::{Markup, html};
use proof::{Finding, Proof, Severity};
use station::Station;
use station::quantity::{Kind, format_plain, format_tape};

use crate::page::figures_of;
use crate::told::{groups, headlines, leading, told};
use crate::words::glued;

/// A mark that a hand can move.
#[derive(Debug, Clone, PartialEq)]
pub struct Handle {
    /// Its value in the file: `vessels.fresh.stop_level`.
    pub path: String,
    /// What it is called: "stop level of fresh".
    pub label: String,
    /// Where it is, above its vessel's floor, m.
    pub level_m: f64,
    /// As a tape reads it.
    pub shown: String,
    /// What the vessel holds up to it.
    pub holds: String,
    /// How high it can go, m: the vessel's rim.
    pub most_m: f64,
}

/// The marks of all vessels that stand in the file.
pub fn handles(station: &Station, proof: &Proof) -> Vec<Handle> {
    let mut all = Vec::new();
    for own in &proof.levels.vessels {
        let Some(vessel) = station.vessels.iter().find(|vessel| vessel.name == own.name) else {
            continue;
        };
        for mark in &own.marks {
            let key = match mark.name {
                "start" | "stop" | "backup" | "outlet" => format!("{}_level", mark.name),
                "low cut-out" => "low_cutout_level".to_owned(),
                _ => continue,
            };
            let path = format!("vessels.{}.{key}", vessel.name);
            // A mark that the file doesn't name is a default: nobody has put it there.
            if station::edit::value(&station.text, &path).is_none() {
                continue;
            }
            all.push(Handle {
                path,
                label: format!("{} of {}", mark.name, vessel.name),
                level_m: mark.level_m,
                shown: format_tape(mark.level_m, station.units()),
                holds: format_plain(Kind::Volume, mark.volume_m3, station.units(), &station.currency()),
                most_m: vessel.height_m(),
            });
        }
    }
    all
}

/// The figures that lead, as a list.
pub fn leading_figures(station: &Station, proof: &Proof) -> String {
    html! {
        @for figure in leading(proof) {
            @let shown = told(station, figure);
            div {
                dt { (figure.title) }
                dd { span class="value" { (glued(&shown.value)) } " " span class="doubt" { (glued(&shown.doubt)) } }
            }
        }
    }
    .into_string()
}

/// All headline figures, each of which opens its why.
pub fn figures(station: &Station, proof: &Proof) -> String {
    figures_of(station, headlines(proof)).into_string()
}

/// The findings, worst first; each that has a remedy with a button, each that has a place with a way there. What is only
/// worth knowing is folded.
pub fn findings(proof: &Proof) -> String {
    html! {
        @for group in groups(proof) {
            @let listed = html! {
                @for finding in &group.findings { (one(proof, finding)) }
            };
            @if group.findings.iter().all(|own| own.severity == Severity::Note) {
                details class="notes" id="notes" {
                    summary { h2 { (group.heading) " (" (group.findings.len()) ")" } }
                    (listed)
                }
            } @else {
                section {
                    h2 class=(group.ink.word()) { (group.heading) }
                    (listed)
                }
            }
        }
    }
    .into_string()
}

fn one(proof: &Proof, finding: &Finding) -> Markup {
    let at = proof.findings.iter().position(|own| core::ptr::eq(own, finding));
    html! {
        div class="finding" data-path=(finding.place) {
            p {
                (glued(&finding.sentence)) " "
                @if let Some(line) = finding.line { span class="place" { "line " (line) } }
            }
            @if let Some(remedy) = &finding.remedy {
                p class="remedy" {
                    span { (glued(&format!("Cure, tried: {}.", remedy.sentence))) }
                    @if !remedy.edits.is_empty() {
                        button type="button" data-remedy=[at] { "Apply" }
                    }
                }
            }
        }
    }
}
