//! Tables of the proof, as the page shows them and as comma-separated values.

use proof::{Estimate, Proof};
use station::Station;
use station::quantity::{Currency, Kind, UnitSystem, format_interval, unit_for};

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
    /// Nothing.
    Empty,
}

impl Cell {
    /// As it is printed: as everywhere, no more digits than its doubt supports.
    pub fn printed(&self) -> String {
        match self {
            Self::Words(words) => words.clone(),
            Self::Empty => String::new(),
            Self::Figure { value, half_width } => {
                let currency = Currency::default();
                format_interval(Kind::Number, *value, *half_width, UnitSystem::Si, &currency).value
            }
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
    if let Some(made) = &proof.supply.purifier {
        tables.push(months(station, made));
        tables.push(runs(station, made));
        tables.push(ways(station, made));
    }
    tables.retain(|table| !table.rows.is_empty());
    for table in &mut tables {
        table.drop_empty_columns();
    }
    tables
}

/// All tables that stand beside the page as files: those on it, and what it shows as a list or a chart.
pub fn files(station: &Station, proof: &Proof) -> Vec<Table> {
    let mut tables = tables(station, proof);
    tables.extend([
        figures(station, proof),
        findings(proof),
        soundings(station, proof),
    ]);
    tables.retain(|table| !table.rows.is_empty());
    tables
}

fn figures(station: &Station, proof: &Proof) -> Table {
    let words = |text: &str| Cell::Words(text.to_owned());
    let rows = crate::told::headlines(proof)
        .map(|figure| {
            let column = Column::sized(station, figure.kind, figure.value);
            let exact = |si: Option<f64>| si.map_or(Cell::Empty, |si| column.exact(si));
            vec![
                words(&figure.key),
                words(&figure.title),
                column.exact(figure.value),
                words(&column.unit),
                exact(figure.low),
                exact(figure.high),
                words(figure.method),
            ]
        })
        .collect();
    Table {
        name: "figures",
        title: "Figures",
        heads: [
            "key",
            "figure",
            "value",
            "unit",
            "low, 95 %",
            "high, 95 %",
            "method",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    }
}

fn findings(proof: &Proof) -> Table {
    let rows = crate::told::groups(proof)
        .into_iter()
        .flat_map(|group| {
            group.findings.into_iter().map(move |finding| {
                let line = finding
                    .line
                    .map_or(Cell::Empty, |line| Cell::Words(line.to_string()));
                let cure = finding
                    .remedy
                    .as_ref()
                    .map_or(Cell::Empty, |remedy| Cell::Words(remedy.sentence.clone()));
                vec![
                    Cell::Words(group.heading.to_lowercase()),
                    Cell::Words(finding.id.to_owned()),
                    Cell::Words(finding.place.clone()),
                    line,
                    Cell::Words(finding.sentence.clone()),
                    cure,
                ]
            })
        })
        .collect();
    Table {
        name: "findings",
        title: "Findings",
        heads: ["weight", "finding", "place", "line", "what", "cure, tried"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    }
}

fn soundings(station: &Station, proof: &Proof) -> Table {
    let length = Column::sized(station, Kind::Length, 1.0);
    let volume = Column::sized(station, Kind::Volume, 1.0);
    let rows = proof
        .levels
        .vessels
        .iter()
        .flat_map(|vessel| {
            vessel.soundings.iter().map(|sounding| {
                vec![
                    Cell::Words(vessel.name.clone()),
                    length.exact(sounding.level_m),
                    volume.exact(sounding.volume_m3),
                ]
            })
        })
        .collect();
    Table {
        name: "soundings",
        title: "What each vessel holds up to a level",
        heads: vec![
            "vessel".to_owned(),
            length.head("above its floor"),
            volume.head("holds"),
        ],
        rows,
    }
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

    fn maybe(&self, estimate: Option<&Estimate>) -> Cell {
        estimate.map_or(Cell::Empty, |estimate| self.cell(estimate))
    }

    fn exact(&self, si: f64) -> Cell {
        Cell::Figure {
            value: (si - self.offset) / self.factor,
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

fn marks(station: &Station, proof: &Proof) -> Table {
    let length = Column::sized(station, Kind::Length, 1.0);
    let volume = Column::sized(station, Kind::Volume, 1.0);
    let rows = proof
        .levels
        .vessels
        .iter()
        .flat_map(|vessel| {
            let batch = proof
                .batch
                .vessels
                .iter()
                .find(|batch| batch.vessel == vessel.name);
            let more = batch.map_or(&[][..], |batch| &batch.marks);
            let mut marks: Vec<_> = vessel.marks.iter().chain(more).collect();
            marks.sort_by(|a, b| b.level_m.total_cmp(&a.level_m));
            marks
                .into_iter()
                .map(|mark| {
                    vec![
                        Cell::Words(vessel.name.clone()),
                        Cell::Words(mark.name.to_owned()),
                        length.exact(mark.level_m),
                        length.exact(mark.above_room_floor_m),
                        length.exact(mark.from_rim_m),
                        volume.exact(mark.volume_m3),
                    ]
                })
                .collect::<Vec<_>>()
        })
        .collect();
    Table {
        name: "marks",
        title: "Marks of the vessels",
        heads: vec![
            "vessel".to_owned(),
            "mark".to_owned(),
            length.head("above its floor"),
            length.head("above the room's floor"),
            length.head("below its rim"),
            volume.head("holds"),
        ],
        rows,
    }
}

fn months(station: &Station, made: &proof::Made) -> Table {
    let months = &made.months;
    let temperature = Column::sized(station, Kind::Temperature, 1.0);
    let flows = months.iter().map(|month| &month.made_m3_per_s);
    let flow = Column::of(station, Kind::Flow, flows);
    let solids = Column::sized(station, Kind::Concentration, 1e-3);
    let hours = Column::sized(station, Kind::Time, 36_000.0);
    let rows = months
        .iter()
        .map(|month| {
            vec![
                Cell::Words(month.month.to_owned()),
                temperature.cell(&month.feed_temperature_c),
                flow.cell(&month.made_m3_per_s),
                flow.doubt(&month.made_m3_per_s),
                flow.cell(&month.reject_m3_per_s),
                solids.cell(&month.permeate_solids_kg_m3),
                flow.maybe(month.delivered_m3_per_s.as_ref()),
                flow.maybe(month.need_m3_per_s.as_ref()),
                flow.maybe(month.margin_m3_per_s.as_ref()),
                hours.maybe(month.fill_time_s.as_ref()),
            ]
        })
        .collect();
    Table {
        name: "months",
        title: "Purified water, month by month",
        heads: vec![
            "month".to_owned(),
            temperature.head("feed"),
            flow.head("made"),
            flow.head("±"),
            flow.head("reject"),
            solids.head("solids"),
            flow.head("delivered"),
            flow.head("need"),
            flow.head("margin"),
            hours.head("a fill"),
        ],
        rows,
    }
}

fn runs(station: &Station, made: &proof::Made) -> Table {
    let curve = &made.curve;
    let largest = curve.last().map_or(1.0, |point| point.run_volume_m3);
    let volume = Column::sized(station, Kind::Volume, largest);
    let life = Column::of(
        station,
        Kind::Volume,
        curve.iter().filter_map(|point| point.resin_life_m3.as_ref()),
    );
    let cost = Column::of(
        station,
        Kind::PricePerVolume,
        curve.iter().filter_map(|point| point.cost_per_m3.as_ref()),
    );
    let solids = Column::sized(station, Kind::Concentration, 1e-3);
    let plain = Column::sized(station, Kind::Number, 1.0);
    let rows = curve
        .iter()
        .map(|point| {
            vec![
                volume.exact(point.run_volume_m3),
                solids.cell(&point.solids_kg_m3),
                life.maybe(point.resin_life_m3.as_ref()),
                cost.maybe(point.cost_per_m3.as_ref()),
                plain.cell(&point.reject_ratio),
            ]
        })
        .collect();
    Table {
        name: "runs",
        title: "Against the volume of a run",
        heads: vec![
            volume.head("run"),
            solids.head("solids"),
            life.head("a bed of resin purifies"),
            cost.head("cost"),
            "to the drain for each of water".to_owned(),
        ],
        rows,
    }
}

fn ways(station: &Station, made: &proof::Made) -> Table {
    let rows = &made.controls;
    let largest = rows
        .iter()
        .filter_map(|row| row.run_volume_m3)
        .fold(0.0, f64::max);
    let volume = Column::sized(station, Kind::Volume, largest);
    let cost = Column::of(
        station,
        Kind::PricePerVolume,
        rows.iter().filter_map(|row| row.cost_per_m3.as_ref()),
    );
    let plain = Column::sized(station, Kind::Number, 1.0);
    let exact = |si: Option<f64>, column: &Column| si.map_or(Cell::Empty, |si| column.exact(si));
    Table {
        name: "ways-to-fill",
        title: "Ways to control the fill",
        heads: vec![
            "way".to_owned(),
            volume.head("one run"),
            "runs a week".to_owned(),
            "resin over the best".to_owned(),
            cost.head("cost"),
            "to the drain for each of water".to_owned(),
            "remark".to_owned(),
        ],
        rows: rows
            .iter()
            .map(|row| {
                let mine = if row.owners { " (yours)" } else { "" };
                vec![
                    Cell::Words(format!("{}{mine}", row.way)),
                    exact(row.run_volume_m3, &volume),
                    exact(row.runs_per_week, &plain),
                    exact(row.resin_over_best, &plain),
                    cost.maybe(row.cost_per_m3.as_ref()),
                    plain.cell(&row.reject_ratio),
                    Cell::Words(row.remark.to_owned()),
                ]
            })
            .collect(),
    }
}

impl Table {
    /// Whether a column holds words, which stand to the left.
    pub fn is_words(&self, column: usize) -> bool {
        self.rows
            .iter()
            .any(|row| row.get(column).is_some_and(Cell::is_words))
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
        line(self.heads.iter().map(|head| quoted(head)).collect());
        for row in &self.rows {
            line(
                row.iter()
                    .map(|cell| match cell {
                        Cell::Words(words) => quoted(words),
                        Cell::Figure { value, .. } => format!("{value}"),
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
