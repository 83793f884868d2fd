//! The elevation of a station: floor, platforms and vessels to scale, water by its salinity, the marks with leaders,
//! dimension lines, the title block. Laid out for the width of paper that there is: vessels that don't fit beside
//! each other stand in rows, each with its own floor.

mod cell;
mod vessel;

use proof::Proof;
use station::Station;
use station::quantity::UnitSystem;

use crate::drawing::{Anchor, Drawing, Ink, Map, Stroke, TextStyle, at};
use crate::font::Face;
use cell::{Cell, cells};

pub(crate) use cell::shown;

/// Size of labels, mm: 12 px on a screen at least.
pub(crate) const LABEL_MM: f64 = 3.2;
pub(crate) const LABEL: TextStyle = TextStyle::new(LABEL_MM, Face::Regular, Ink::Ink);
pub(crate) const QUIET: TextStyle = TextStyle::new(LABEL_MM, Face::Regular, Ink::Second);
pub(crate) const NAME: TextStyle = TextStyle::new(4.0, Face::Semibold, Ink::Ink);

/// White around all.
pub(crate) const MARGIN_MM: f64 = 4.0;
/// Between two cells, and between two rows.
const GAP_MM: f64 = 6.0;
/// Height of the title block.
const TITLE_MM: f64 = 13.0;
/// Below the floor: the hatching and the diameters.
pub(crate) const BELOW_MM: f64 = 11.0;

/// Height of the whole, as a share of the paper's width: a screen, or a sheet laid across (house rule).
const WHOLE: f64 = 0.70;
/// How much larger a drawing with short labels must be to be taken in place of one with full labels (house rule).
const LARGER: f64 = 1.3;
/// Tallest row, as a share of the paper's width; and the width below which that no longer shrinks (house rule).
const TALLEST: f64 = 0.9;
const LEAST_WIDTH_MM: f64 = 110.0;

/// Scales of drawings, the largest first (ISO 5455, with 1:25 and 1:40 as this trade has them; from memory).
const SCALES: [f64; 10] = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0];

/// The elevation on paper of a width; nothing where the station has no vessel that can be drawn.
pub fn elevation(station: &Station, proof: &Proof, width_mm: f64) -> Option<Drawing> {
    // The largest scale at which every cell fits the width and the whole a screen or a sheet; else no row is taller
    // than wide; with short labels where the full ones leave no room.
    let inner_mm = width_mm - 2.0 * MARGIN_MM;
    let fits = |volumes: bool, whole: bool| {
        SCALES.iter().find_map(|scale| {
            let rows = pack(cells(station, proof, *scale, volumes), inner_mm)?;
            let heights = rows.iter().map(Row::height_mm);
            let low = match whole {
                true => heights.sum::<f64>() <= WHOLE * width_mm,
                false => heights.fold(0.0, f64::max) <= TALLEST * width_mm.max(LEAST_WIDTH_MM),
            };
            low.then_some((*scale, rows))
        })
    };
    // On a phone one scrolls: there the scale counts more than the whole.
    let whole = width_mm >= LEAST_WIDTH_MM;
    let full = fits(true, whole);
    let short = fits(false, whole);
    // Volumes stand in the table of marks too: a drawing that is clearly larger is worth more than having them here.
    let (scale, rows) = match (full, short) {
        (Some((full, _)), Some((short, rows))) if full >= LARGER * short => (short, rows),
        (Some(full), _) => full,
        (None, Some(short)) => short,
        (None, None) => fits(true, false).or_else(|| fits(false, false))?,
    };
    if rows.is_empty() {
        return None;
    }
    let height_mm =
        MARGIN_MM + rows.iter().map(|row| row.height_mm() + GAP_MM).sum::<f64>() + TITLE_MM + MARGIN_MM;
    let mut drawing = Drawing::new(format!("Elevation of {}", proof.title), width_mm, height_mm);
    let mut top = MARGIN_MM;
    let mut told = Vec::new();
    for row in &rows {
        let floor = top + row.above_mm();
        draw_floor(&mut drawing, floor);
        // What is left of the width stands evenly between the cells.
        let slack = (width_mm - 2.0 * MARGIN_MM - row.width_mm()).max(0.0);
        let step = slack / (row.cells.len() as f64 + 1.0);
        let mut left = MARGIN_MM + step;
        for cell in &row.cells {
            let map = Map {
                origin: at(left + cell.dimension_mm, floor),
                mm_per_m: 1000.0 / scale,
            };
            vessel::draw(&mut drawing, station, cell, &map);
            drawing.maps.push(map);
            told.push(cell.description.clone());
            left += cell.width_mm() + GAP_MM + step;
        }
        top = floor + BELOW_MM + GAP_MM;
    }
    title_block(&mut drawing, station, proof, scale, height_mm);
    drawing.description = told.join(" ");
    Some(drawing)
}

/// Cells that stand beside each other.
struct Row {
    cells: Vec<Cell>,
}

impl Row {
    fn width_mm(&self) -> f64 {
        self.cells.iter().map(Cell::width_mm).sum::<f64>() + GAP_MM * (self.cells.len() as f64 - 1.0)
    }

    /// Above the floor.
    fn above_mm(&self) -> f64 {
        self.cells.iter().map(|cell| cell.above_mm).fold(0.0, f64::max)
    }

    fn height_mm(&self) -> f64 {
        self.above_mm() + BELOW_MM
    }
}

/// Fills rows from the left; nothing where one cell alone is too wide.
fn pack(cells: Vec<Cell>, width_mm: f64) -> Option<Vec<Row>> {
    let mut rows: Vec<Row> = Vec::new();
    for cell in cells {
        if cell.width_mm() > width_mm {
            return None;
        }
        match rows.last_mut() {
            Some(row) if row.width_mm() + GAP_MM + cell.width_mm() <= width_mm => row.cells.push(cell),
            _ => rows.push(Row { cells: vec![cell] }),
        }
    }
    Some(rows)
}

/// The floor, hatched below as on any section.
fn draw_floor(drawing: &mut Drawing, floor_mm: f64) {
    let (left, right) = (MARGIN_MM, drawing.width_mm - MARGIN_MM);
    let mut x = left + 2.0;
    while x <= right {
        let foot = (x - 2.0).max(left);
        drawing.line(
            vec![at(x, floor_mm), at(foot, floor_mm + 2.0)],
            Stroke::Hair,
            Ink::Second,
            "room",
        );
        x += 3.0;
    }
    drawing.line(
        vec![at(left, floor_mm), at(right, floor_mm)],
        Stroke::Heavy,
        Ink::Ink,
        "room",
    );
}

/// Title, scale and units in a ruled strip at the foot.
fn title_block(drawing: &mut Drawing, station: &Station, proof: &Proof, scale: f64, height_mm: f64) {
    let (left, right) = (MARGIN_MM, drawing.width_mm - MARGIN_MM);
    let top = height_mm - MARGIN_MM - TITLE_MM + 2.0;
    drawing.line(vec![at(left, top), at(right, top)], Stroke::Medium, Ink::Ink, "");
    let unit = match station.units() {
        UnitSystem::Si => "mm",
        UnitSystem::Us => "inches",
    };
    let facts = format!("1:{scale:.0}, inner dimensions in {unit}");
    drawing.text(
        at(left, top + 4.6),
        Anchor::Start,
        &fitted(&proof.title, right - left, NAME),
        NAME,
        "title",
    );
    drawing.text(
        at(left, top + 9.2),
        Anchor::Start,
        &fitted(&facts, right - left, QUIET),
        QUIET,
        "",
    );
}

/// A text cut to a width, with dots where it was cut.
pub(crate) fn fitted(text: &str, width_mm: f64, style: TextStyle) -> String {
    if style.width_mm(text) <= width_mm {
        return text.to_owned();
    }
    let mut cut = text.to_owned();
    while !cut.is_empty() && style.width_mm(&format!("{cut}...")) > width_mm {
        cut.pop();
    }
    format!("{}...", cut.trim_end())
}
