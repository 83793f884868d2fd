//! What a pump does to the batch that it goes round: turnover, times to mix, salt on the floor, when to measure.

use proof::{Estimate, Lineups, Mixing};
use station::quantity::{Kind, format_interval, format_plain};
use station::{Station, shown};

use super::{Cell, Column, Table};

const NAME: &str = "mixing";
const TITLE: &str = "Mixing";

/// What there is to know of each vessel that its pump goes round, a row for each thing: a value, its doubt, a remark.
pub(super) fn mixing(station: &Station, all: &Lineups) -> Table {
    let mut rows = Vec::new();
    for own in &all.mixing {
        let words = |text: &str| Cell::Words(text.to_owned());
        let plain = |what: &str, value: Cell, remark: Cell| vec![words(what), value, Cell::Empty, remark];
        let estimate = |what: &str, own: &Estimate, remark: Cell| {
            let [value, doubt] = time(station, own);
            vec![words(what), value, doubt, remark]
        };
        let volume = |m3: f64| Cell::Tape {
            value: m3,
            shown: format_plain(Kind::Volume, m3, station.units(), &station.currency()),
        };
        let mut things = vec![
            plain("water in the vessel", volume(own.volume_m3), Cell::Empty),
            estimate("moved once in", &own.turnover, Cell::Empty),
            estimate("mixed to 95 % in", &own.to_95, words(by(own))),
            estimate("mixed to 99 % in", &own.to_99, Cell::Empty),
            estimate("a drifting grain dissolves in", &own.grain_dissolves, Cell::Empty),
            plain(
                "salt that sank to the floor",
                Cell::Empty,
                words(own.salt_on_floor),
            ),
            estimate("measure after the last salt", &own.first_measurement, Cell::Empty),
        ];
        if let Some(flush_m3) = own.flush_m3 {
            things.push(plain(
                "flush from the lines before a sample",
                volume(flush_m3),
                Cell::Empty,
            ));
        }
        for thing in things {
            let mut row = vec![words(&format!("{}, {}", shown(&own.lineup), own.vessel))];
            row.extend(thing);
            rows.push(row);
        }
    }
    Table {
        name: NAME,
        title: TITLE,
        heads: ["task and vessel", "what", "value", "±", "remark"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    }
}

/// The same as a file: one unit to a column, both ends of the intervals of what is waited for.
pub(super) fn mixing_in_full(station: &Station, all: &Lineups) -> Table {
    let (volume, flush) = volumes(station, all);
    let seconds = Column::sized(station, Kind::Time, 1.0);
    let exact = |own: Option<f64>| own.map_or(Cell::Empty, |own| seconds.exact(own));
    let rows = all
        .mixing
        .iter()
        .map(|own| {
            let mut row = vec![
                Cell::Words(own.lineup.clone()),
                Cell::Words(own.vessel.clone()),
                volume.exact(own.volume_m3),
            ];
            for estimate in [&own.turnover, &own.to_95, &own.to_99, &own.first_measurement] {
                row.extend([
                    exact(Some(estimate.value)),
                    exact(estimate.low),
                    exact(estimate.high),
                ]);
            }
            row.push(exact(Some(own.grain_dissolves.value)));
            row.push(Cell::Words(by(own).to_owned()));
            row.push(Cell::Words(own.salt_on_floor.to_owned()));
            row.push(own.flush_m3.map_or(Cell::Empty, |own| flush.exact(own)));
            row
        })
        .collect();
    let mut heads = vec!["task".to_owned(), "vessel".to_owned(), volume.head("holds")];
    for name in [
        "moved once in",
        "mixed to 95 % in",
        "mixed to 99 % in",
        "measure after the last salt",
    ] {
        heads.extend([name, "low, 95 %", "high, 95 %"].map(|head| seconds.head(head)));
    }
    heads.push(seconds.head("a drifting grain dissolves in"));
    heads.push("by".to_owned());
    heads.push("salt on the floor".to_owned());
    heads.push(flush.head("flush before a sample"));
    Table {
        name: NAME,
        title: TITLE,
        heads,
        rows,
    }
}

/// Columns of what a vessel holds, and of what is flushed.
fn volumes(station: &Station, all: &Lineups) -> (Column, Column) {
    let most = |value: fn(&Mixing) -> f64| all.mixing.iter().map(value).fold(0.0, f64::max);
    (
        Column::sized(station, Kind::Volume, most(|own| own.volume_m3)),
        Column::sized(station, Kind::Volume, most(|own| own.flush_m3.unwrap_or(0.0))),
    )
}

fn by(own: &Mixing) -> &'static str {
    match own.by_jet {
        true => "by its jet",
        false => "by turnovers, its jet being too weak or above the water",
    }
}

/// A time and its doubt, each with its unit: a grain takes seconds and a turnover minutes or hours.
fn time(station: &Station, own: &Estimate) -> [Cell; 2] {
    let shown = format_interval(
        own.kind,
        own.value,
        own.half_width(),
        station.units(),
        &station.currency(),
    );
    let value = Cell::Tape {
        value: own.value,
        shown: shown.value_with_unit(),
    };
    let doubt = match (&shown.half_width, own.half_width()) {
        (Some(half), Some(half_width)) => Cell::Tape {
            value: half_width,
            shown: half.clone(),
        },
        _ => Cell::Empty,
    };
    [value, doubt]
}
