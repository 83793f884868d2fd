//! What each tank takes, as a table.

use proof::Proof;
use station::quantity::Kind;
use station::{Station, shown};

use super::{Cell, Column, Table};

/// A row for each tank.
pub(super) fn needs(station: &Station, proof: &Proof) -> Table {
    let tanks = &proof.needs.tanks;
    let largest = |of: fn(&proof::TankNeed) -> f64| tanks.iter().map(of).fold(0.0, f64::max);
    let flow = Column::sized(
        station,
        Kind::Flow,
        largest(|tank| {
            tank.top_off_m3_per_s
                .max(tank.salt_top_off_m3_per_s)
                .max(tank.salt_m3_per_s)
        }),
    );
    let volume = Column::sized(station, Kind::Volume, largest(|tank| tank.emergency_m3));
    let share = Column::sized(station, Kind::Fraction, 1.0);
    let some = |column: &Column, si: f64| if si > 0.0 { column.exact(si) } else { Cell::Empty };
    let maybe = |column: &Column, si: Option<f64>| si.map_or(Cell::Empty, |si| column.exact(si));
    let rows = tanks
        .iter()
        .map(|tank| {
            vec![
                Cell::Words(shown(&tank.name)),
                some(&flow, tank.top_off_m3_per_s),
                some(&flow, tank.salt_top_off_m3_per_s),
                some(&flow, tank.salt_m3_per_s),
                some(&volume, tank.emergency_m3),
                maybe(&share, tank.fraction_to_hold),
                maybe(&share, tank.one_change_now),
            ]
        })
        .collect();
    let mut table = Table {
        name: "needs",
        title: "What each tank takes",
        heads: vec![
            "tank".to_owned(),
            flow.head("top-off"),
            flow.head("top-off with salt water"),
            flow.head("salt water for changes, as a mean"),
            volume.head("one emergency change"),
            share.head("share of each change that holds its limit"),
            share.head("share of one change that brings it to its limit now"),
        ],
        rows,
    };
    table.drop_empty_columns();
    table
}
