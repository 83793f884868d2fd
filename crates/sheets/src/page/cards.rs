//! The schematic on the page, and a card for each valve setting.

use maud::{Markup, PreEscaped, html};
use proof::{Lineup, Proof};
use station::Station;

use super::{PHONE_MM, both};
use crate::schematic::{HEADS, Laid, Shows, Tags, card, laid};
use crate::svg::svg;
use crate::words::glued;

/// The schematic in both layouts, each found once.
pub struct Schematics {
    desk_mm: f64,
    desk: Option<Laid>,
    phone: Option<Laid>,
}

/// Finds the places of a station's schematic, on a desk on paper of a width, mm.
pub fn schematics(station: &Station, desk_mm: f64) -> Schematics {
    let of = |width_mm: f64| laid(station, Tags::Owner, width_mm, f64::INFINITY);
    Schematics {
        desk_mm,
        desk: of(desk_mm),
        phone: of(PHONE_MM),
    }
}

impl Schematics {
    fn of(&self, width_mm: f64) -> Option<&Laid> {
        if width_mm < self.desk_mm {
            self.phone.as_ref()
        } else {
            self.desk.as_ref()
        }
    }

    /// All of it under a heading, without a setting.
    pub(super) fn whole(&self, station: &Station, proof: &Proof) -> Markup {
        html! {
            @if self.desk.is_some() || self.phone.is_some() {
                section {
                    h2 { "Schematic" }
                    (self.picture(station, proof))
                }
            }
        }
    }

    /// All of it, without a setting; nothing where nothing is joined.
    pub fn picture(&self, station: &Station, proof: &Proof) -> Markup {
        both(
            |width| Some(self.of(width)?.drawn(station, Shows::whole(proof))),
            self.desk_mm,
        )
    }

    /// A card for each setting.
    pub(super) fn cards(&self, station: &Station, proof: &Proof) -> Markup {
        let lineups = proof.lineups.as_ref().map_or(&[][..], |all| &all.lineups);
        html! {
            @if !lineups.is_empty() {
                section class="cards" {
                    h2 { "Cards, one for each task" }
                    @for lineup in lineups { article { (self.card(station, proof, lineup)) } }
                }
            }
        }
    }

    /// One card: its title, its schematic, its words and times.
    pub fn card(&self, station: &Station, proof: &Proof, lineup: &Lineup) -> Markup {
        let card = card(station, proof, lineup);
        let drawn = |width_mm: f64| {
            self.of(width_mm)
                .map(|laid| svg(&laid.drawn(station, Shows::Task(lineup)), false))
        };
        html! {
            h3 { (card.title) }
            @if let (Some(desk), Some(phone)) = (drawn(self.desk_mm), drawn(PHONE_MM)) {
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
