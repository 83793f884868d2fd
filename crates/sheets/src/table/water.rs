//! The water that is made: months, runs, ways to fill, what a litre costs, what wears out, how long the stores last.

use proof::{Estimate, Made, Proof};
use station::quantity::Kind;
use station::{Station, shown};

use super::{Cell, Column, Table};

pub(super) fn months(station: &Station, made: &Made) -> Table {
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

pub(super) fn runs(station: &Station, made: &Made) -> Table {
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
            let is = |run: Option<f64>| run.is_some_and(|run| (run / point.run_volume_m3 - 1.0).abs() < 1e-6);
            let words: Vec<&str> = [
                (made.long_enough_m3, "long enough"),
                (made.run.volume_m3.filter(|_| made.run.on_curve), "yours"),
                (made.best_run_m3, "largest that keeps the reserve"),
            ]
            .into_iter()
            .filter(|(run, _)| is(*run))
            .map(|(_, words)| words)
            .collect();
            vec![
                volume.exact(point.run_volume_m3),
                solids.cell(&point.solids_kg_m3),
                life.maybe(point.resin_life_m3.as_ref()),
                doubt(&life, point.resin_life_m3.as_ref()),
                cost.maybe(point.cost_per_m3.as_ref()),
                doubt(&cost, point.cost_per_m3.as_ref()),
                plain.cell(&point.reject_ratio),
                match words.is_empty() {
                    true => Cell::Empty,
                    false => Cell::Words(words.join(", ")),
                },
            ]
        })
        .collect();
    Table {
        name: "runs",
        title: match made.run.on_curve {
            true => "Against the volume of a run",
            false => "Against the volume of a run that begins and ends at once, which yours doesn't",
        },
        heads: vec![
            volume.head("run"),
            solids.head("solids"),
            life.head("a bed of resin purifies"),
            life.head("±"),
            cost.head("cost"),
            cost.head("±"),
            "to the drain for each of water".to_owned(),
            "which".to_owned(),
        ],
        rows,
    }
}

pub(super) fn ways(station: &Station, made: &Made) -> Table {
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
            "runs a week, at most".to_owned(),
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

/// The doubt of what may be missing.
fn doubt(column: &Column, estimate: Option<&Estimate>) -> Cell {
    estimate.map_or(Cell::Empty, |estimate| column.doubt(estimate))
}

/// A litre, part by part.
pub(super) fn costs(station: &Station, made: &Made) -> Table {
    let Some(total) = &made.run.cost_per_m3 else {
        return Table::empty("cost", "What purified water costs");
    };
    let column = Column::of(station, Kind::PricePerVolume, core::iter::once(total));
    let share = Column::sized(station, Kind::Fraction, 1.0);
    let mut rows: Vec<Vec<Cell>> = made
        .cost_parts
        .iter()
        .map(|part| {
            vec![
                Cell::Words(part.part.to_owned()),
                column.cell(&part.per_m3),
                column.doubt(&part.per_m3),
                // To whole percents: a half-width of one digit.
                Cell::Figure {
                    value: part.per_m3.value / total.value / share.factor,
                    half_width: Some(5.0),
                },
            ]
        })
        .collect();
    rows.push(vec![
        Cell::Words("together".to_owned()),
        column.cell(total),
        column.doubt(total),
        Cell::Empty,
    ]);
    Table {
        name: "cost",
        title: match made.run.least_of_float {
            true => "What purified water costs in the least runs that the float lets through",
            false => "What purified water costs",
        },
        heads: vec![
            "part".to_owned(),
            column.head("cost"),
            column.head("±"),
            share.head("share"),
        ],
        rows,
    }
}

/// What a second bed or a degassing step would change.
pub(super) fn resins(station: &Station, made: &Made) -> Table {
    let options = &made.resin_options;
    let life = Column::of(
        station,
        Kind::Volume,
        options.iter().map(|option| &option.resin_life_m3),
    );
    let cost = Column::of(
        station,
        Kind::PricePerVolume,
        options.iter().filter_map(|option| option.cost_per_m3.as_ref()),
    );
    // Without a price of resin all would cost the same.
    let priced = !made.unpriced.contains(&"resin");
    Table {
        name: "resin",
        title: "Other resin behind the same run",
        heads: vec![
            "resin".to_owned(),
            life.head("lasts"),
            life.head("±"),
            cost.head("water costs"),
        ],
        rows: options
            .iter()
            .map(|option| {
                let mine = if option.owners { " (yours)" } else { "" };
                vec![
                    Cell::Words(format!("{}{mine}", option.what)),
                    life.cell(&option.resin_life_m3),
                    life.doubt(&option.resin_life_m3),
                    cost.maybe(option.cost_per_m3.as_ref().filter(|_| priced)),
                ]
            })
            .collect(),
    }
}

/// Filters before the membrane.
pub(super) fn filters(station: &Station, made: &Made) -> Table {
    let rows = &made.filters;
    let contact = Column::sized(station, Kind::Time, 1.0);
    let serves = Column::of(station, Kind::Volume, rows.iter().map(|row| &row.life_m3));
    let lasts = Column::of(station, Kind::Time, rows.iter().map(|row| &row.lasts_s));
    Table {
        name: "filters",
        title: "Filters, in purified water",
        heads: vec![
            "filter".to_owned(),
            "kind".to_owned(),
            contact.head("contact"),
            serves.head("serves"),
            lasts.head("lasts"),
        ],
        rows: rows
            .iter()
            .map(|row| {
                vec![
                    Cell::Words(shown(&row.name)),
                    Cell::Words(row.kind.to_owned()),
                    contact.maybe(row.contact_s.as_ref()),
                    serves.cell(&row.life_m3),
                    lasts.cell(&row.lasts_s),
                ]
            })
            .collect(),
    }
}

/// How long the stores last when the feed stops, tank by tank.
pub(super) fn stores(station: &Station, proof: &Proof) -> Table {
    let moments = || {
        proof
            .supply
            .endurance
            .iter()
            .filter(|stores| stores.at != "start")
    };
    let days = Column::of(
        station,
        Kind::Time,
        moments().flat_map(|stores| {
            stores
                .tanks
                .iter()
                .filter_map(|tank| tank.top_off_alone_s.as_ref())
        }),
    );
    // Nobody counts hundredths of a change.
    let count = |changes: Option<&Estimate>| {
        changes.map_or(Cell::Empty, |changes| Cell::Figure {
            value: changes.value,
            half_width: Some(0.3),
        })
    };
    let rows = moments()
        .flat_map(|stores| {
            let when = match stores.at {
                "full" => "with full stores",
                _ => "at the leanest",
            };
            stores.tanks.iter().map(move |tank| (when, tank))
        })
        .map(|(when, tank)| {
            vec![
                Cell::Words(when.to_owned()),
                Cell::Words(shown(&tank.name)),
                days.maybe(tank.top_off_s.as_ref()),
                days.maybe(tank.top_off_alone_s.as_ref()),
                count(tank.changes.as_ref()),
                days.maybe(tank.changes_s.as_ref()),
                count(tank.changes_alone.as_ref()),
            ]
        })
        .collect();
    Table {
        name: "stores",
        title: "When the feed stops",
        heads: vec![
            "when".to_owned(),
            "tank".to_owned(),
            days.head("top-off, all served"),
            days.head("it alone"),
            "changes, all served".to_owned(),
            days.head("they last"),
            "changes, it alone".to_owned(),
        ],
        rows,
    }
}
