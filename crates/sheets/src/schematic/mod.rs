//! The schematic of a station: its feed and purifier, vessels, pumps, valves and lines as symbols, laid out by the
//! program from left to right and folded to the paper's width; with a valve setting its way in heavy ink.
//!
//! Owns: places, ways and symbols, the card of a setting. Doesn't own: what flows (the proof's).

mod card;
mod draw;
mod graph;
mod grid;
mod lanes;
mod layout;
mod measure;
mod purifier;
mod rank;
mod route;
mod symbols;
mod tags;

pub use tags::Tags;

use proof::Lineup;
use station::Station;

use crate::drawing::Drawing;

/// The schematic on paper of a width, mm; with a valve setting its way inked, its closed valves filled.
pub fn schematic(station: &Station, lineup: Option<&Lineup>, tags: Tags, width_mm: f64) -> Option<Drawing> {
    let layout = layout::layout(&graph::graph(station, tags), width_mm, f64::INFINITY)?;
    Some(draw::drawn(station, &layout, lineup))
}
