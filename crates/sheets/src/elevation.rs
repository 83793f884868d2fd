//! The elevation of a station: floor, platforms and vessels to scale, water by its salinity, the marks with leaders,
//! dimension lines, the title block. Laid out for the width of paper that there is: vessels that don't fit beside
//! each other stand in rows, each with its own floor.

pub(crate) mod cell;
pub(crate) mod vessel;

use core::ops::Range;

use proof::Proof;
use station::Station;
use station::quantity::UnitSystem;

use crate::drawing::{Anchor, Drawing, Ink, Map, Stroke, TextStyle, at};
use crate::font::Face;
use cell::{Cell, cells};

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
pub(crate) const TITLE_MM: f64 = 13.0;
/// Below the floor: the hatching and the diameters.
pub(crate) const BELOW_MM: f64 = 11.0;

/// Height of the whole, as a share of the paper's width: a screen, or a sheet laid across (house rule).
const WHOLE: f64 = 0.70;
/// How much larger a drawing with short labels must be to be taken in place of one with full labels (house rule), and on a
/// phone, where little is large.
const LARGER: f64 = 1.6;
const LARGER_ON_A_PHONE: f64 = 1.3;
/// Tallest row, as a share of the paper's width; and the width below which that no longer shrinks (house rule).
const TALLEST: f64 = 0.9;
const LEAST_WIDTH_MM: f64 = 110.0;

/// Scales of drawings, the largest first (ISO 5455, with 1:25, 1:40 and 1:60 as this trade has them; from memory).
pub(crate) const SCALES: [f64; 13] = [
    5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0, 150.0, 200.0,
];

/// The elevation on paper of a width; nothing where the station has no vessel that can be drawn.
pub fn elevation(station: &Station, proof: &Proof, width_mm: f64) -> Option<Drawing> {
    elevations(station, proof, width_mm, [f64::INFINITY; 2])
        .into_iter()
        .next()
}

/// The same on as many sheets as it takes when the first may be no higher than so much, and the others than so much.
pub fn elevations(station: &Station, proof: &Proof, width_mm: f64, most_mm: [f64; 2]) -> Vec<Drawing> {
    let Some((scale, rows)) = laid_out(station, proof, width_mm) else {
        return Vec::new();
    };
    let mut sheets: Vec<Vec<Row>> = Vec::new();
    let mut used_mm = 0.0;
    for row in rows {
        let height_mm = row.height_mm() + GAP_MM;
        let most_mm = if sheets.len() > 1 { most_mm[1] } else { most_mm[0] };
        match sheets.last_mut() {
            Some(sheet) if used_mm + height_mm + FRAME_MM <= most_mm => sheet.push(row),
            _ => {
                sheets.push(vec![row]);
                used_mm = 0.0;
            }
        }
        used_mm += height_mm;
    }
    let count = sheets.len();
    sheets
        .iter()
        .enumerate()
        .map(|(at, rows)| {
            let part = (count > 1).then(|| format!(", sheet {} of {count}", at + 1));
            drawn(station, proof, rows, scale, width_mm, &part.unwrap_or_default())
        })
        .collect()
}

/// Around the rows: white above and below, the title block.
const FRAME_MM: f64 = 2.0 * MARGIN_MM + TITLE_MM;

/// The largest scale at which every cell fits the width and the whole a screen or a sheet, with short labels where that
/// makes it clearly larger. Labels keep their height at every scale: where many vessels would have to shrink for a screen, they
/// may take a little more height than at the smallest scale.
fn laid_out(station: &Station, proof: &Proof, width_mm: f64) -> Option<(f64, Vec<Row>)> {
    let inner_mm = width_mm - 2.0 * MARGIN_MM;
    let height = |rows: &[f64]| rows.iter().map(|row_mm| row_mm + GAP_MM).sum::<f64>();
    let largest = |volumes: bool| {
        let mut cells = cells(station, proof, volumes, inner_mm);
        // Most of a cell hangs on no scale: each scale is tried on the same ones, by what rows of them come to.
        let all: Vec<(f64, Vec<Range<usize>>, Vec<f64>)> = SCALES
            .iter()
            .filter_map(|scale| {
                cells.iter_mut().for_each(|cell| cell.put_to(*scale));
                let rows = pack(&cells, inner_mm)?;
                let heights = rows.iter().map(|row| height_mm(&cells[row.clone()])).collect();
                Some((*scale, rows, heights))
            })
            .collect();
        let least = all.iter().map(|(.., heights)| height(heights));
        let most_mm = (WHOLE * width_mm).max(NEARLY * least.fold(f64::INFINITY, f64::min));
        // On a phone one scrolls: there no row is taller than wide, and the whole is as it comes.
        let fits = |heights: &[f64]| match width_mm >= LEAST_WIDTH_MM {
            true => height(heights) <= most_mm,
            false => heights.iter().all(|row_mm| *row_mm <= TALLEST * LEAST_WIDTH_MM),
        };
        let (scale, rows, _) = all.into_iter().find(|(.., heights)| fits(heights))?;
        cells.iter_mut().for_each(|cell| cell.put_to(scale));
        let mut cells = cells.into_iter();
        let row = |row: Range<usize>| Row {
            cells: cells.by_ref().take(row.len()).collect(),
        };
        Some((scale, rows.into_iter().map(row).collect::<Vec<_>>()))
    };
    let larger = match width_mm >= LEAST_WIDTH_MM {
        true => LARGER,
        false => LARGER_ON_A_PHONE,
    };
    let laid = match (largest(true), largest(false)) {
        (Some((full, _)), Some((short, rows))) if full >= larger * short => Some((short, rows)),
        (Some(full), _) => Some(full),
        (None, short) => short,
    };
    laid.filter(|(_, rows)| !rows.is_empty())
}

/// How much higher than at the smallest scale many vessels may stand (house rule).
const NEARLY: f64 = 1.25;

fn drawn(station: &Station, proof: &Proof, rows: &[Row], scale: f64, width_mm: f64, part: &str) -> Drawing {
    let height_mm =
        MARGIN_MM + rows.iter().map(|row| row.height_mm() + GAP_MM).sum::<f64>() + TITLE_MM + MARGIN_MM;
    let mut drawing = Drawing::new(format!("Elevation of {}{part}", proof.title), width_mm, height_mm);
    let mut top = MARGIN_MM;
    let mut told = Vec::new();
    for row in rows {
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
    title_block(&mut drawing, station, proof, scale, part);
    drawing.description = told.join(" ");
    drawing
}

/// Cells that stand beside each other.
struct Row {
    cells: Vec<Cell>,
}

impl Row {
    fn width_mm(&self) -> f64 {
        beside_mm(&self.cells)
    }

    fn above_mm(&self) -> f64 {
        above_mm(&self.cells)
    }

    fn height_mm(&self) -> f64 {
        height_mm(&self.cells)
    }
}

/// What cells take that stand beside each other.
fn beside_mm(cells: &[Cell]) -> f64 {
    cells.iter().map(Cell::width_mm).sum::<f64>() + GAP_MM * (cells.len() as f64 - 1.0)
}

/// Above the floor.
fn above_mm(cells: &[Cell]) -> f64 {
    cells.iter().map(|cell| cell.above_mm).fold(0.0, f64::max)
}

fn height_mm(cells: &[Cell]) -> f64 {
    above_mm(cells) + BELOW_MM
}

/// Fills rows from the left; nothing where one cell alone is too wide.
fn pack(cells: &[Cell], width_mm: f64) -> Option<Vec<Range<usize>>> {
    let mut rows: Vec<Range<usize>> = Vec::new();
    for (at, cell) in cells.iter().enumerate() {
        if cell.width_mm() > width_mm {
            return None;
        }
        match rows.last_mut() {
            Some(row) if beside_mm(&cells[row.clone()]) + GAP_MM + cell.width_mm() <= width_mm => {
                row.end += 1;
            }
            _ => rows.push(at..at + 1),
        }
    }
    Some(rows)
}

/// The floor, hatched below as on any section.
pub(crate) fn draw_floor(drawing: &mut Drawing, floor_mm: f64) {
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

/// Title, scale and units in a ruled strip at the foot, with a bar that tells the scale however the picture is stretched.
fn title_block(drawing: &mut Drawing, station: &Station, proof: &Proof, scale: f64, part: &str) {
    let (left, right) = (MARGIN_MM, drawing.width_mm - MARGIN_MM);
    let top = drawing.height_mm - MARGIN_MM - TITLE_MM + 2.0;
    drawing.line(vec![at(left, top), at(right, top)], Stroke::Medium, Ink::Ink, "");
    let (unit, bars): (_, &[(f64, &str)]) = match station.units() {
        UnitSystem::Si => (
            "mm",
            &[
                (0.1, "100 mm"),
                (0.2, "200 mm"),
                (0.5, "500 mm"),
                (1.0, "1 m"),
                (2.0, "2 m"),
            ],
        ),
        UnitSystem::Us => (
            "inches",
            &[
                (0.1524, "6 in"),
                (0.3048, "1 ft"),
                (0.6096, "2 ft"),
                (1.524, "5 ft"),
            ],
        ),
    };
    let long_mm = |length_m: f64| length_m * 1000.0 / scale;
    let bar = bars
        .iter()
        .find(|(length_m, _)| long_mm(*length_m) >= LEAST_BAR_MM);
    let (bar_mm, words) = bar.map_or((0.0, ""), |(length_m, words)| (long_mm(*length_m), *words));
    let room = right - left - bar_mm - QUIET.width_mm(words) - 4.0;
    drawing.text(
        at(left, top + 4.6),
        Anchor::Start,
        &fitted(&proof.title, right - left, NAME),
        NAME,
        "title",
    );
    // The unit is what labels leave to this line.
    let facts =
        ["inner lengths in ", "inner, in ", "in "].map(|what| format!("1:{scale:.0}, {what}{unit}{part}"));
    let fits = |facts: &&String| QUIET.width_mm(facts) <= room;
    let facts = facts.iter().find(fits).unwrap_or(&facts[0]);
    drawing.text(
        at(left, top + 9.2),
        Anchor::Start,
        &fitted(facts, room, QUIET),
        QUIET,
        "",
    );
    if bar.is_some() {
        let (from, y) = (right - bar_mm, top + 9.2);
        drawing.text(at(from - 1.5, y), Anchor::End, words, QUIET, "");
        drawing.line(
            vec![at(from, y - 1.6), at(from, y), at(right, y), at(right, y - 1.6)],
            Stroke::Medium,
            Ink::Ink,
            "",
        );
    }
}

/// The shortest bar that one can lay a ruler to.
const LEAST_BAR_MM: f64 = 12.0;

/// A text cut to a width, between words where it has some, with dots where it was cut.
pub(crate) fn fitted(text: &str, width_mm: f64, style: TextStyle) -> String {
    if style.width_mm(text) <= width_mm {
        return text.to_owned();
    }
    let mut cut = text.to_owned();
    while !cut.is_empty() && style.width_mm(&format!("{cut}...")) > width_mm {
        cut.pop();
    }
    // A cut word says nothing; a name of one word still begins as it does.
    let whole = match text[cut.len()..].starts_with(' ') {
        true => cut.as_str(),
        false => cut.rfind(' ').map_or(cut.as_str(), |at| &cut[..at]),
    };
    format!("{}...", whole.trim_end())
}

/// A name cut to a width in its middle: names that differ at their ends stay apart.
pub(crate) fn fitted_between(text: &str, width_mm: f64, style: TextStyle) -> String {
    if style.width_mm(text) <= width_mm {
        return text.to_owned();
    }
    // Between words, as long as a few of them stay.
    let words: Vec<&str> = text.split(' ').collect();
    let by_words = (3..words.len()).rev().map(|kept| {
        let tail = kept / 2;
        let (head, tail) = (&words[..kept - tail], &words[words.len() - tail..]);
        format!("{} ... {}", head.join(" "), tail.join(" "))
    });
    if let Some(cut) = by_words.into_iter().find(|cut| style.width_mm(cut) <= width_mm) {
        return cut;
    }
    let letters: Vec<char> = text.chars().collect();
    (1..letters.len())
        .rev()
        .map(|kept| {
            let tail = kept / 2;
            let head: String = letters[..kept - tail].iter().collect();
            let tail: String = letters[letters.len() - tail..].iter().collect();
            format!("{}...{}", head.trim_end(), tail.trim_start())
        })
        .find(|cut| style.width_mm(cut) <= width_mm)
        .unwrap_or_default()
}
