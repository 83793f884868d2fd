//! The profile of a station: its pipes by height. Vessels, pumps, taps with what is filled below them, tees and the ends of
//! lines stand at their heights, to scale; across, everything stands where there is room, for no file says where on a wall
//! a pipe runs. What it shows is what falls, what is lifted, and over what.
//!
//! Owns: what of a station is shown (`make`, `parts`), what stands beside what (`order`), the pipes' ways (`grid`, `router`,
//! `ways`), places of valves (`seats`) and of names (`wanted`, `names`), the picture (`paint`).
//! Doesn't own: symbols (the schematic's), bodies with their water (the elevation's).

mod area;
mod grid;
mod make;
mod names;
mod order;
mod paint;
mod parts;
mod router;
mod seats;
mod wanted;
mod ways;

use proof::Proof;
use station::Station;

use crate::drawing::Drawing;
use crate::elevation::cell::{Cell, cells};
use crate::elevation::{MARGIN_MM, QUIET, SCALES};
use crate::words::lines;

/// At the left, for the scale of heights.
const AXIS_MM: f64 = 14.0;
/// Height of what is drawn, as a share of the paper's width (house rule).
const TALLEST: f64 = 0.62;
/// Above the highest thing: a line of names.
const HEAD_MM: f64 = 6.0;
/// So many scales are tried at the most, from the first that fits by its height; the first with a place for every name is
/// taken.
const TRIES: usize = 6;

/// Something laid out.
struct Laid {
    scale: f64,
    parts: parts::Parts,
    places: order::Places,
    ways: Vec<ways::Way>,
    seats: Vec<seats::Seat>,
    labels: wanted::Labels,
    top_mm: f64,
}

impl Laid {
    /// Why pipes are broken, and what the numbers stand for, in lines of a width.
    fn legend(&self, width_mm: f64) -> Vec<String> {
        let mut told = Vec::new();
        if self.ways.iter().any(|way| way.strays) {
            told.push("broken: a pipe that is led past something, not at its height".to_owned());
        }
        let numbers = (1..).zip(&self.labels.legend);
        told.extend(numbers.map(|(number, name)| format!("{number} {name}")));
        match told.is_empty() {
            true => Vec::new(),
            false => lines(&told.join("; "), width_mm, QUIET),
        }
    }
}

/// The profile on paper of a width; nothing where no line is there, or where they don't find their ways on it.
pub fn profile(station: &Station, proof: &Proof, width_mm: f64) -> Option<Drawing> {
    if station.lines.is_empty() {
        return None;
    }
    let room_mm = width_mm - 2.0 * MARGIN_MM - AXIS_MM;
    let cells = cells(station, proof, false, room_mm);
    let fit = SCALES
        .iter()
        .filter_map(|scale| Fit::of(station, &cells, *scale, width_mm));
    // The largest scale with a name or a number for everything, and with most pipes at their heights.
    let mut laid = fit.take(TRIES).filter_map(|fit| fit.laid(station, room_mm));
    let laid = laid.find(|own| {
        let strays = own.ways.iter().filter(|way| way.strays).count();
        own.labels.unnamed == 0 && STRAYS * strays <= own.ways.len()
    })?;
    Some(paint::painted(station, &proof.title, (&cells, &laid), width_mm))
}

/// A scale at which everything fits by its height.
struct Fit {
    scale: f64,
    parts: parts::Parts,
    top_mm: f64,
}

impl Fit {
    fn of(station: &Station, cells: &[Cell], scale: f64, width_mm: f64) -> Option<Self> {
        let parts = make::parts(station, cells, 1000.0 / scale)?;
        let joins = parts
            .pieces
            .iter()
            .flat_map(|own| own.ends.iter().map(|end| end.height_mm(&parts.stands)));
        let highest = parts
            .stands
            .iter()
            .map(|own| own.high_mm)
            .chain(joins)
            .fold(0.0, f64::max);
        let top_mm = highest + HEAD_MM;
        (top_mm <= TALLEST * width_mm).then_some(Self { scale, parts, top_mm })
    }

    /// The whole at this scale; nothing where it doesn't fit across, a pipe finds no way, or a valve no place.
    fn laid(self, station: &Station, room_mm: f64) -> Option<Laid> {
        let Self { scale, parts, top_mm } = self;
        let mut best: Option<(u64, Laid)> = None;
        let rows = order::orders(&parts);
        // Where there is no room but by leading pipes past things, they are led past them.
        let tried = OUTSIDE
            .iter()
            .flat_map(|outside| rows.iter().map(move |row| (*outside, row)));
        for (outside, row) in tried {
            if best.is_some() && outside == OUTSIDE[1] {
                break;
            }
            let Some(places) = order::spread(&parts, row, room_mm) else {
                continue;
            };
            let things = paint::things(&parts, &places);
            let seats = |ways: &[ways::Way]| seats::seats(station, &parts, ways, &things);
            let Some((cost, ways)) = ways::ways(&parts, &places, outside, |ways| seats(ways).1) else {
                continue;
            };
            let (seats, missing) = seats(&ways);
            if !missing.is_empty() {
                continue;
            }
            let paper = (places.width_mm, room_mm, top_mm);
            let labels = wanted::names(station, &parts, &places, (&ways, &seats), paper);
            let turned = order::turned(&parts.stands, row);
            let cost = cost
                + UNNAMED_COST * labels.unnamed as u64
                + FAR_COST * labels.far as u64
                + TURNED_COST * turned as u64;
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((
                    cost,
                    Laid {
                        scale,
                        parts: parts.clone(),
                        places,
                        ways,
                        seats,
                        labels,
                        top_mm,
                    },
                ));
            }
        }
        best.map(|(_, laid)| laid)
    }
}

/// One of so many pipes may be led past something at a height that isn't its own; with more there is no profile.
const STRAYS: usize = 3;
/// How dear it is to run where a pipe doesn't by its file: first as good as never, then little dearer than elsewhere.
const OUTSIDE: [u64; 2] = [8, 1];
/// What a name without a place costs, and one that stands further off, in hundredths of a millimetre of pipe (house rule).
const UNNAMED_COST: u64 = 6_000;
const FAR_COST: u64 = 1_200;
/// What two vessels in another order than the file's cost.
const TURNED_COST: u64 = 4_000;
