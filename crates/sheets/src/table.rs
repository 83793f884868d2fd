//! Tables of the proof, as the page shows them and as comma-separated values.

mod absence;
mod changes;
mod comparison;
mod control;
mod lists;
mod mistakes;
mod mixing;
mod needs;
mod plumbing;
mod service;
mod water;
mod year;

use proof::{Estimate, Proof};
use station::Station;
use station::quantity::{Currency, Kind, UnitSystem, format_interval, format_tape, three_digits, unit_for};

pub use absence::absence_tables;
pub use changes::changes_table;
pub use comparison::comparison_table;
pub use control::control_table;
use lists::{figures, findings, marks, soundings};
use mistakes::{
    changes, least, least_in_full, looked_at, orders, orders_in_full, wrong_moves, wrong_moves_in_full,
};
pub(crate) use mistakes::{cure, priced};
use mixing::{mixing, mixing_in_full};
use needs::needs;
use plumbing::{pumps, settings, times, times_in_full};
use service::{parts, parts_in_full};
use water::{costs, filters, months, resins, runs, stores, ways};
pub use year::year_tables;

/// A table: a name for its file, a heading, the heads of its columns and its rows.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Name of its file, without an ending.
    pub name: &'static str,
    /// What it shows.
    pub title: &'static str,
    /// Heads of the columns, units and all.
    pub heads: Vec<String>,
    /// Rows of words and figures.
    pub rows: Vec<Vec<Cell>>,
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words.
    Words(String),
    /// A figure in the unit of its head, to be printed to a spread or to three digits.
    Figure {
        /// Its value.
        value: f64,
        /// Half of its interval.
        half_width: Option<f64>,
    },
    /// A figure that is printed otherwise than in the unit of its head: a length as a tape reads it, a time in a unit
    /// of its own.
    Tape {
        /// Its value.
        value: f64,
        /// As it is printed.
        shown: String,
    },
    /// Words in place of a figure that would say more than is known: they stand among figures, to the right.
    Untold(String),
    /// Nothing.
    Empty,
}

impl Cell {
    /// As it is printed: as everywhere, no more digits than its doubt supports.
    pub fn printed(&self) -> String {
        match self {
            Self::Words(words) | Self::Untold(words) => words.clone(),
            Self::Empty => String::new(),
            Self::Tape { shown, .. } => shown.clone(),
            Self::Figure { value, half_width } => {
                let currency = Currency::default();
                format_interval(Kind::Number, *value, *half_width, UnitSystem::Si, &currency).value
            }
        }
    }

    /// By how much something changes, with its sign.
    pub(crate) fn change(value: f64, half_width: Option<f64>) -> Self {
        let size = Self::Figure {
            value: value.abs(),
            half_width,
        };
        let sign = if value < 0.0 { "−" } else { "+" };
        Self::Tape {
            value,
            shown: format!("{sign}{}", size.printed()),
        }
    }

    /// Whether it holds words, which stand to the left.
    pub fn is_words(&self) -> bool {
        matches!(self, Self::Words(_))
    }
}

/// All tables of a proof.
pub fn tables(station: &Station, proof: &Proof) -> Vec<Table> {
    let mut tables = vec![marks(station, proof)];
    if let Some(all) = &proof.lineups {
        tables.push(settings(station, all));
        tables.push(times(station, all));
        tables.push(pumps(station, all));
        tables.push(mixing(station, all));
    }
    tables.push(orders(&proof.switching));
    if let Some(all) = &proof.mistakes {
        tables.push(wrong_moves(station, all));
        tables.push(changes(station, all));
        tables.push(least(station, all));
        tables.push(looked_at(all));
    }
    if let Some(all) = &proof.service {
        tables.push(parts(station, all));
    }
    if let Some(made) = &proof.supply.purifier {
        tables.push(months(station, made));
        tables.push(runs(station, made));
        tables.push(ways(station, made));
        tables.push(costs(station, made));
        tables.push(resins(station, made));
        tables.push(filters(station, made));
    }
    tables.push(stores(station, proof));
    tables.retain(|table| !table.rows.is_empty());
    for table in &mut tables {
        table.drop_empty_columns();
        table.put_in_words(station);
    }
    tables
}

/// All tables that stand beside the page as files: those on it, and what it shows as a list or a chart.
pub fn files(station: &Station, proof: &Proof) -> Vec<Table> {
    let mut tables = tables(station, proof);
    // A file has one unit to a column.
    if let Some(all) = &proof.lineups {
        for full in [times_in_full(station, all), mixing_in_full(station, all)] {
            if let Some(at) = tables.iter().position(|table| table.name == full.name) {
                tables[at] = full;
            }
        }
    }
    if let Some(at) = tables.iter().position(|table| table.name == "order-of-turning") {
        tables[at] = orders_in_full(&proof.switching);
    }
    if let Some(all) = &proof.mistakes {
        for full in [least_in_full(station, all), wrong_moves_in_full(station, all)] {
            if let Some(at) = tables.iter().position(|table| table.name == full.name) {
                tables[at] = full;
            }
        }
    }
    if let (Some(all), Some(at)) = (
        &proof.service,
        tables.iter().position(|table| table.name == "taking-parts-out"),
    ) {
        tables[at] = parts_in_full(station, all);
    }
    for table in &mut tables {
        table.put_in_words(station);
    }
    // Keys and paths among these stay what they are.
    tables.extend([
        needs(station, proof),
        figures(station, proof),
        findings(proof),
        soundings(station, proof),
    ]);
    tables.retain(|table| !table.rows.is_empty());
    tables
}

/// A column of estimates in one unit.
struct Column {
    unit: String,
    factor: f64,
    offset: f64,
}

impl Column {
    fn of<'e>(station: &Station, kind: Kind, estimates: impl Iterator<Item = &'e Estimate>) -> Self {
        let largest = estimates.map(|estimate| estimate.value.abs()).fold(0.0, f64::max);
        Self::sized(station, kind, largest)
    }

    fn sized(station: &Station, kind: Kind, largest: f64) -> Self {
        let unit = unit_for(kind, largest, station.units(), &station.currency());
        Self {
            unit: unit.name,
            factor: unit.factor,
            offset: unit.offset,
        }
    }

    fn head(&self, name: &str) -> String {
        match self.unit.as_str() {
            "" => name.to_owned(),
            unit => format!("{name}, {unit}"),
        }
    }

    fn cell(&self, estimate: &Estimate) -> Cell {
        Cell::Figure {
            value: (estimate.value - self.offset) / self.factor,
            half_width: estimate.half_width().map(|half| half / self.factor),
        }
    }

    /// A length as one reads it from a tape.
    fn tape(&self, station: &Station, length_m: f64) -> Cell {
        let text = format_tape(length_m, station.units());
        Cell::Tape {
            value: (length_m - self.offset) / self.factor,
            shown: text.trim_end_matches(" mm").trim_end_matches(" in").to_owned(),
        }
    }

    fn maybe(&self, estimate: Option<&Estimate>) -> Cell {
        estimate.map_or(Cell::Empty, |estimate| self.cell(estimate))
    }

    fn exact(&self, si: f64) -> Cell {
        Cell::Figure {
            value: (si - self.offset) / self.factor,
            half_width: None,
        }
    }

    /// What is known roughly: three digits.
    fn rough(&self, si: f64) -> Cell {
        Cell::Figure {
            value: three_digits((si - self.offset) / self.factor),
            half_width: None,
        }
    }

    /// The doubt of an estimate as a figure of its own.
    fn doubt(&self, estimate: &Estimate) -> Cell {
        estimate.half_width().map_or(Cell::Empty, |half| Cell::Figure {
            value: half / self.factor,
            half_width: Some(half / self.factor),
        })
    }
}

/// Tables that one looks things up in: they stand at the end, behind all that is read.
const ANNEX: [&str; 5] = [
    "changes-tried",
    "least-that-harms",
    "states-looked-at",
    "faults-alone",
    "rates-assumed",
];

impl Table {
    /// Whether it stands in the annex.
    pub fn is_annex(&self) -> bool {
        ANNEX.contains(&self.name)
    }

    /// Whether one takes it along and works through it.
    pub(crate) fn is_filled_in(&self) -> bool {
        self.name == "test-sheet"
    }

    /// One without rows, which nobody shows.
    fn empty(name: &'static str, title: &'static str) -> Self {
        Self {
            name,
            title,
            heads: Vec::new(),
            rows: Vec::new(),
        }
    }

    /// Whether a column holds words, which stand to the left.
    pub fn is_words(&self, column: usize) -> bool {
        self.rows
            .iter()
            .any(|row| row.get(column).is_some_and(Cell::is_words))
    }

    /// Puts the owner's names into plain words.
    fn put_in_words(&mut self, station: &Station) {
        for head in &mut self.heads {
            *head = station.in_words(head);
        }
        for cell in self.rows.iter_mut().flatten() {
            if let Cell::Words(words) | Cell::Untold(words) = cell {
                *words = station.in_words(words);
            }
        }
    }

    /// Takes out the columns that say nothing in any row.
    fn drop_empty_columns(&mut self) {
        for column in (0..self.heads.len()).rev() {
            if self.rows.iter().all(|row| row.get(column) == Some(&Cell::Empty)) {
                self.heads.remove(column);
                for row in &mut self.rows {
                    row.remove(column);
                }
            }
        }
    }

    /// As comma-separated values (RFC 4180), with full figures.
    pub fn csv(&self) -> String {
        let mut out = String::new();
        let mut line = |cells: Vec<String>| {
            out.push_str(&cells.join(","));
            out.push_str("\r\n");
        };
        // Programs that guess the alphabet of a file guess wrong: heads are told in plain letters.
        let plain = |head: &String| quoted(&head.replace('±', "+/-").replace('°', "").replace('µ', "u"));
        line(self.heads.iter().map(plain).collect());
        for row in &self.rows {
            line(
                row.iter()
                    .map(|cell| match cell {
                        Cell::Words(words) | Cell::Untold(words) => quoted(words),
                        Cell::Figure { value, .. } | Cell::Tape { value, .. } => twelve_digits(*value),
                        Cell::Empty => String::new(),
                    })
                    .collect(),
            );
        }
        out
    }
}

/// A field in quotes where it must be; a text that a spreadsheet would take for a formula is made harmless.
fn quoted(text: &str) -> String {
    let text = match text.chars().next() {
        Some('=' | '+' | '-' | '@') => format!("'{text}"),
        _ => text.to_owned(),
    };
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// A value to twelve digits: what lies behind is the machine's rounding.
fn twelve_digits(value: f64) -> String {
    let short: f64 = format!("{value:.11e}").parse().unwrap_or(value);
    format!("{short}")
}
