//! The schematic of a station: its feed and purifier, vessels, pumps, valves and lines as symbols, laid out by the
//! program from left to right and folded to the paper's width; with arrows where water only ever flows one way, or with a valve setting its way in heavy
//! ink.
//!
//! Owns: places, ways and symbols, the card of a setting. Doesn't own: what flows (the proof's).

mod card;
mod draw;
mod flows;
mod frame;
mod graph;
pub(crate) mod grid;
mod lanes;
mod layout;
pub(crate) mod measure;
mod ports;
mod purifier;
mod rank;
mod route;
mod streams;
pub(crate) mod symbols;
mod tags;
mod trains;
mod tries;

pub(crate) use card::HEADS;
pub use card::{Card, card};
pub use tags::Tags;

use proof::{Lineup, Proof};
use station::Station;

use crate::drawing::Drawing;

/// What a schematic shows besides what is joined.
#[derive(Debug, Clone, Copy)]
pub enum Shows<'l> {
    /// An arrow on each line in which all these tasks let water flow the same way; none where they differ.
    Whole(&'l [Lineup]),
    /// The way of one task in heavy ink, its closed valves and running pumps filled.
    Task(&'l Lineup),
    /// The whole as it is pressed and watched: what the purifier's pieces lead is told apart by their paths
    /// (`purifier.feed`, `purifier.waste`, `purifier.product.VESSEL`).
    Live,
}

impl<'l> Shows<'l> {
    /// The whole, with the tasks of a proof.
    pub fn whole(proof: &'l Proof) -> Self {
        Self::Whole(proof.lineups.as_ref().map_or(&[], |all| &all.lineups))
    }
}

/// The schematic on paper of a width, mm. Nothing where nothing is joined.
pub fn schematic(station: &Station, shows: Shows<'_>, tags: Tags, width_mm: f64) -> Option<Drawing> {
    Some(laid(station, tags, width_mm, f64::INFINITY)?.drawn(station, shows))
}

/// A schematic whose places are found: it is drawn for many settings.
pub(crate) struct Laid {
    layout: layout::Layout,
}

/// Finds places on paper of a width, no higher than so much where that can be.
pub(crate) fn laid(station: &Station, tags: Tags, width_mm: f64, most_mm: f64) -> Option<Laid> {
    let graph = graph::graph(station, tags);
    if graph.edges.is_empty() {
        return None;
    }
    layout::layout(&graph, width_mm, most_mm).map(|layout| Laid { layout })
}

impl Laid {
    pub(crate) fn drawn(&self, station: &Station, shows: Shows<'_>) -> Drawing {
        draw::drawn(station, &self.layout, shows)
    }

    pub(crate) fn height_mm(&self) -> f64 {
        self.layout.height_mm
    }
}
