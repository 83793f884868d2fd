//! The plumbing with its tasks, and what wrong valves do.

use maud::html;
use proof::Proof;
use sheets::fragment::{
    DESK_CHART_MM, WIDE_MM, below, leading_mistakes, mistakes_in_short, on_a_desk, plumbing_in_short,
    schematics,
};
use sheets::{CureOf, press, profile, tables as read_tables};
use station::Station;

use super::Sheet;
use super::piece::{NONE, drawn, named, of_proof, table, tables, take};

/// The pipes by height, the schematic, a card for each task, taking parts out.
pub(super) fn plumbing(station: &Station, proof: &Proof) -> Sheet {
    let laid = schematics(station, WIDE_MM);
    let small = schematics(station, DESK_CHART_MM);
    let lineups = proof.lineups.as_ref().map_or(&[][..], |all| &all.lineups);
    let own = named(
        read_tables(station, proof),
        &[
            "valve-settings",
            "flows-and-times",
            "pumps-at-work",
            "mixing",
            "taking-parts-out",
        ],
    );
    Sheet {
        heading: plumbing_in_short(proof),
        body: html! {
            @if let Some(pipes) = profile(station, proof, WIDE_MM) {
                div class="desk" { (drawn("profile", &on_a_desk(Some(&pipes)))) }
            }
            (drawn("schematic", &laid.picture(station, proof)))
            @if !lineups.is_empty() {
                section class="cards" {
                    h2 { "Cards, one for each task" }
                    @for (at, lineup) in lineups.iter().enumerate() {
                        article {
                            (small.card(station, proof, lineup))
                            (take(&format!("card-{}", at + 1), &["svg", "png"]))
                        }
                    }
                    // On a phone the style shows the first two alone until this is opened.
                    @if lineups.len() > 2 {
                        details class="rest" {
                            summary {
                                span class="shut" { "All " (lineups.len()) " cards" }
                                span class="open" { "The first two alone" }
                            }
                        }
                    }
                }
            }
            (tables(&own, NONE))
        },
    }
}

/// The wrong moves, the worst first, and how to turn.
pub(super) fn mistakes(station: &Station, proof: &Proof) -> Sheet {
    let Some(all) = &proof.mistakes else {
        let finding = proof
            .findings
            .iter()
            .find(|finding| finding.id == "mistakes-not-looked-at");
        return Sheet {
            heading: "No wrong valve was looked at.".to_owned(),
            body: html! {
                p { (finding.map_or("Nothing is plumbed in this station yet.", |own| own.sentence.as_str())) }
            },
        };
    };
    let read = || read_tables(station, proof);
    let wrong = named(read(), &["wrong-moves"]);
    let others = named(
        read(),
        &[
            "order-of-turning",
            "changes-tried",
            "least-that-harms",
            "states-looked-at",
        ],
    );
    Sheet {
        heading: mistakes_in_short(all),
        body: html! {
            div class="pair" {
                (leading_mistakes(station, all))
                (of_proof(station, proof, "wrong-moves", DESK_CHART_MM))
            }
            (drawn("schematic", &schematics(station, WIDE_MM).picture(station, proof)))
            @for own in &wrong { (table(own, &below(station, proof, own), NONE)) }
            (tables(&others, &|table, row| {
                let tried = all.remedies.get(row).filter(|_| table.name == "changes-tried")?;
                (!tried.edits.is_empty()).then(|| press(CureOf::Mistakes, row, &tried.sentence))
            }))
        },
    }
}
