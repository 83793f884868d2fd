//! The schematic on the page, and a card for each valve setting.

use maud::{Markup, PreEscaped, html};
use proof::{Lineup, Proof};
use station::Station;

use super::{DESK_MM, PHONE_MM, both};
use crate::schematic::{HEADS, Laid, Shows, Tags, card, laid};
use crate::svg::svg;
use crate::words::glued;

/// The schematic in both layouts, each found once.
pub(super) struct Schematics {
    desk: Option<Laid>,
    phone: Option<Laid>,
}

pub(super) fn schematics(station: &Station) -> Schematics {
    let of = |width_mm: f64| laid(station, Tags::Owner, width_mm, f64::INFINITY);
    Schematics {
        desk: of(DESK_MM),
        phone: of(PHONE_MM),
    }
}

impl Schematics {
    fn of(&self, width_mm: f64) -> Option<&Laid> {
        if width_mm < DESK_MM {
            self.phone.as_ref()
        } else {
            self.desk.as_ref()
        }
    }

    /// All of it, without a setting.
    pub(super) fn whole(&self, station: &Station, proof: &Proof) -> Markup {
        html! {
            @if self.desk.is_some() || self.phone.is_some() {
                section {
                    h2 { "Schematic" }
                    (both(|width| Some(self.of(width)?.drawn(station, Shows::whole(proof))), DESK_MM))
                }
            }
        }
    }

    /// A card for each setting.
    pub(super) fn cards(&self, station: &Station, proof: &Proof) -> Markup {
        let lineups = proof.lineups.as_ref().map_or(&[][..], |all| &all.lineups);
        html! {
            @if !lineups.is_empty() {
                section class="cards" {
                    h2 { "Cards, one for each task" }
                    @for lineup in lineups { (self.card(station, proof, lineup)) }
                }
            }
        }
    }

    fn card(&self, station: &Station, proof: &Proof, lineup: &Lineup) -> Markup {
        let card = card(station, proof, lineup);
        let drawn = |width_mm: f64| {
            self.of(width_mm)
                .map(|laid| svg(&laid.drawn(station, Shows::Task(lineup)), false))
        };
        html! {
            article {
                h3 { (card.title) }
                @if let (Some(desk), Some(phone)) = (drawn(DESK_MM), drawn(PHONE_MM)) {
                    figure {
                        div class="desk" { (PreEscaped(desk)) }
                        div class="phone" { (PreEscaped(phone)) }
                    }
                }
                p { (glued(&card.way)) }
                p { strong { (card.open) } " " (card.run) }
                @for sentence in card.turning() { p { (glued(&sentence)) } }
                @if !card.moments.is_empty() {
                    div class="scroll" tabindex="0" role="region" aria-label=(card.title) {
                        // On a phone its rows stand as lists, as those of other wide tables do.
                        table class="wide" {
                            thead { tr { @for head in HEADS { th scope="col" class="words" { (head) } } } }
                            tbody {
                                @for moment in &card.moments {
                                    tr {
                                        @for (cell, head) in moment.iter().zip(HEADS) {
                                            td class="words" data-head=(head) { (glued(cell)) }
                                        }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
