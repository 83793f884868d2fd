//! What a pump does to the batch that it goes round: turnover, times to mix, salt on the floor, when to measure.

use proof::{Estimate, Lineups, Mixing};
use station::quantity::{Kind, format_interval, format_plain};
use station::{Station, shown};

use super::{Cell, Column, Table};

const NAME: &str = "mixing";
const TITLE: &str = "Mixing";

/// What there is to know of a batch, a row for each thing and a column for each vessel that its pump goes round.
pub(super) fn mixing(station: &Station, all: &Lineups) -> Table {
    let volume = |m3: f64| {
        Cell::Words(format_plain(
            Kind::Volume,
            m3,
            station.units(),
            &station.currency(),
        ))
    };
    let words = |text: &str| Cell::Words(text.to_owned());
    let row = |what: &str, cell: &dyn Fn(&Mixing) -> Cell| -> Vec<Cell> {
        let cells = all.mixing.iter().map(cell);
        [words(what)].into_iter().chain(cells).collect()
    };
    let mut rows = vec![
        row("water in the vessel", &|own| volume(own.volume_m3)),
        row("moved once in", &|own| time(station, &own.turnover)),
        row("mixed to 95 % in", &|own| time(station, &own.to_95)),
        row("mixed to 99 % in", &|own| time(station, &own.to_99)),
        row("reckoned by", &|own| words(by(own))),
        row("a drifting grain of salt dissolves in", &|own| {
            time(station, &own.grain_dissolves)
        }),
        row("salt that sank to the floor", &|own| words(own.salt_on_floor)),
        row("brine under it, 20 mm", &|own| {
            own.brine_on_floor.map_or(Cell::Empty, words)
        }),
        row("measure after the last salt", &|own| {
            time(station, &own.first_measurement)
        }),
        row("flush from the lines before a sample", &|own| {
            own.flush_m3.map_or(Cell::Empty, volume)
        }),
    ];
    rows.retain(|row| row.iter().skip(1).any(|cell| *cell != Cell::Empty));
    let heads = all
        .mixing
        .iter()
        .map(|own| format!("{}, {}", shown(&own.lineup), own.vessel));
    Table {
        name: NAME,
        title: TITLE,
        heads: ["what".to_owned()].into_iter().chain(heads).collect(),
        // Nothing goes round: nothing to show.
        rows: if all.mixing.is_empty() { Vec::new() } else { rows },
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
        true => "its jet",
        false => "turnovers, its jet being too weak or above the water",
    }
}

/// `15 min ± 5 min`: a grain takes seconds and a turnover minutes or hours.
fn time(station: &Station, own: &Estimate) -> Cell {
    let shown = format_interval(
        own.kind,
        own.value,
        own.half_width(),
        station.units(),
        &station.currency(),
    );
    Cell::Words(shown.to_string())
}
