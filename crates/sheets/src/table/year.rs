//! Many years as tables: what the charts show, and what had to wait.

use proof::{Over, Year};
use station::Station;
use station::quantity::Kind;

use super::{Cell, Column, Table};
use crate::chart::{half_of_cost, item_in_words};

/// The tables of many years, those that have rows.
pub fn year_tables(station: &Station, year: &Year) -> Vec<Table> {
    let mut tables = vec![
        reserve(station, year),
        runs(station, year),
        cost(station, year),
        shortfalls(year),
        work(year),
    ];
    tables.retain(|table| !table.rows.is_empty());
    tables
}

fn words(text: &str) -> Cell {
    Cell::Words(text.to_owned())
}

/// Heads of an [`Over`] in a unit.
fn heads(first: &[&str], column: &Column) -> Vec<String> {
    let own = [
        "mean",
        "mean from (95 %)",
        "mean to (95 %)",
        "nine years in ten from",
        "nine years in ten to",
    ];
    first
        .iter()
        .map(|head| (*head).to_owned())
        .chain(own.iter().map(|head| column.head(head)))
        .collect()
}

/// To the digits of its mean, as everywhere.
fn cells(column: &Column, over: &Over, half: Option<f64>) -> [Cell; 5] {
    [over.mean, over.low, over.high, over.p05, over.p95].map(|value| Cell::Figure {
        value: (value - column.offset) / column.factor,
        half_width: half.map(|half| half / column.factor),
    })
}

fn reserve(station: &Station, year: &Year) -> Table {
    let volume = Column::sized(station, Kind::Volume, 1.0);
    let mut own = vec!["week".to_owned()];
    for water in ["fresh", "salt"] {
        own.extend(
            ["nine years in ten from", "median", "nine years in ten to"]
                .map(|head| volume.head(&format!("{water}, {head}"))),
        );
    }
    Table {
        name: "reserve-by-week",
        title: "At hand through the year, the least of each week",
        heads: own,
        rows: year
            .reserve
            .iter()
            .map(|week| {
                let band = |band: &proof::Band| [band.p05, band.median, band.p95];
                [words(&week.week.to_string())]
                    .into_iter()
                    .chain(
                        band(&week.fresh)
                            .into_iter()
                            .chain(band(&week.salt))
                            .map(|value| volume.exact(value)),
                    )
                    .collect()
            })
            .collect(),
    }
}

fn runs(station: &Station, year: &Year) -> Table {
    let largest = year.run_volumes.last().map_or(0.0, |bin| bin.to_m3);
    let volume = Column::sized(station, Kind::Volume, largest);
    Table {
        name: "run-volumes",
        title: "Runs of the purifier by the water that each makes",
        heads: vec![volume.head("from"), volume.head("to"), "runs a year".to_owned()],
        rows: year
            .run_volumes
            .iter()
            .map(|bin| {
                vec![
                    volume.exact(bin.from_m3),
                    volume.exact(bin.to_m3),
                    Cell::Figure {
                        value: bin.runs_a_year,
                        half_width: None,
                    },
                ]
            })
            .collect(),
    }
}

fn cost(station: &Station, year: &Year) -> Table {
    let money = Column::sized(station, Kind::Money, year.cost.total.mean);
    let total = [("in all", &year.cost.total)];
    let items = year.cost.items.iter().map(|item| (item.item, &item.cost));
    Table {
        name: "cost-by-item",
        title: "What a year costs",
        heads: heads(&["item"], &money),
        rows: items
            .chain(total)
            .filter(|_| !year.cost.items.is_empty())
            .map(|(item, over)| {
                [words(item_in_words(item))]
                    .into_iter()
                    .chain(cells(&money, over, Some(half_of_cost(over))))
                    .collect()
            })
            .collect(),
    }
}

fn shortfalls(year: &Year) -> Table {
    let hours = Column {
        unit: "h".to_owned(),
        factor: 1.0,
        offset: 0.0,
    };
    Table {
        name: "shortfalls",
        title: "What had to wait",
        heads: heads(&["because", "years in a hundred"], &hours),
        rows: year
            .shortfalls
            .iter()
            .map(|own| {
                let share = Cell::Figure {
                    value: 100.0 * own.share_of_years,
                    half_width: None,
                };
                [words(own.because), share]
                    .into_iter()
                    .chain(cells(&hours, &own.hours, own.hours.digits()))
                    .collect()
            })
            .collect(),
    }
}

fn work(year: &Year) -> Table {
    let hours = Column {
        unit: "h".to_owned(),
        factor: 3600.0,
        offset: 0.0,
    };
    let total = [("in all", &year.work_s)];
    Table {
        name: "peoples-time",
        title: "People's time",
        heads: heads(&["what"], &hours),
        rows: year
            .work
            .iter()
            .map(|work| (work.what, &work.time_s))
            .chain(total)
            .map(|(what, over)| {
                [words(what)]
                    .into_iter()
                    .chain(cells(&hours, over, over.digits()))
                    .collect()
            })
            .collect(),
    }
}
