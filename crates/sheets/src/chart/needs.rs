//! What each tank takes in a day, as bars that carry their own figures.

use proof::{Proof, TankNeed};
use station::quantity::{Kind, format_plain, unit_for};
use station::{Station, shown};

use super::rows::{Rows, told};
use crate::drawing::{Drawing, Ink};

/// A bar for each tank, in the order of the file: top-off, then the mean of its regular changes, with salt water that tops it off; `None` where no tank takes
/// anything.
pub fn need_by_tank(station: &Station, proof: &Proof, width_mm: f64) -> Option<Drawing> {
    let tanks: Vec<&TankNeed> = proof.needs.tanks.iter().filter(|tank| both(tank) > 0.0).collect();
    let most = tanks.iter().map(|tank| both(tank)).fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let unit = unit_for(Kind::Flow, most, station.units(), &station.currency()).name;
    let title = format!("What each tank takes, {unit}");
    let salts = tanks.iter().any(|tank| tank.salt_top_off_m3_per_s > 0.0);
    let remark = match salts {
        true => "pale: fresh water for top-off; darker: salt water, changes as a mean",
        false => "pale: top-off; darker: changes, as a mean",
    };
    let named: Vec<(String, String)> = tanks
        .iter()
        .map(|tank| (shown(&tank.name), figures(station, tank)))
        .collect();
    let mut rows = Rows::new(&title, remark, width_mm, &named, false);
    for (row, tank) in tanks.iter().enumerate() {
        let path = format!("tanks.{}", tank.name);
        let (first, second) = (tank.top_off_m3_per_s / most, both(tank) / most);
        rows.words(row, &path);
        if first > 0.0 {
            rows.part(row, [0.0, first], Ink::Fresh, &path);
        }
        if second > first {
            rows.part(row, [first, second], Ink::Sea, &path);
        }
    }
    rows.drawing.description = told(&named);
    Some(rows.drawing)
}

fn both(tank: &TankNeed) -> f64 {
    tank.top_off_m3_per_s + tank.salt_top_off_m3_per_s + tank.salt_m3_per_s
}

/// What a bar's parts are, those that there are.
fn figures(station: &Station, tank: &TankNeed) -> String {
    let flow = |m3_per_s: f64| format_plain(Kind::Flow, m3_per_s, station.units(), &station.currency());
    [
        ("top-off", tank.top_off_m3_per_s),
        ("salt top-off", tank.salt_top_off_m3_per_s),
        ("changes", tank.salt_m3_per_s),
    ]
    .into_iter()
    .filter(|(_, m3_per_s)| *m3_per_s > 0.0)
    .map(|(word, m3_per_s)| format!("{word} {}", flow(m3_per_s)))
    .collect::<Vec<_>>()
    .join(", ")
}
