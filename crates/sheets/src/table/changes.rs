//! Changes that were tried in the same years, side by side.

use proof::{Difference, TriedChange, Year};
use station::Station;
use station::quantity::{Kind, format_interval};

use super::{Cell, Column, Table};
use crate::told::{changes_by_worth, half_of_difference, not_sure};
use crate::words::capital;

/// Differences that a row tells (house rule: more aren't read).
const MOST: usize = 3;

/// A row for each change, in the order of [`changes_by_worth`]; nothing where none was tried.
pub fn changes_table(station: &Station, year: &Year) -> Option<Table> {
    let largest = year
        .changes
        .iter()
        .map(|change| change.cost.mean.abs())
        .fold(0.0, f64::max);
    let money = Column::sized(station, Kind::Money, largest);
    let rows = changes_by_worth(year)
        .into_iter()
        .map(|(_, change)| {
            let half = half_of_difference(&change.cost) / money.factor;
            let costs = match not_sure(&change.cost) {
                Some(said) => Cell::Untold(said.to_owned()),
                None => Cell::change(change.cost.mean / money.factor, (half > 0.0).then_some(half)),
            };
            vec![
                Cell::Words(capital(&change.sentence)),
                costs,
                Cell::Words(brings(station, change)),
            ]
        })
        .collect::<Vec<_>>();
    (!rows.is_empty()).then(|| Table {
        name: "changes-by-year",
        title: match year.best_change {
            Some(_) => "Changes that were tried in the same years, what is most worth making first, then what saves most",
            None => "Changes that were tried in the same years, what saves most first",
        },
        heads: vec![
            "change".to_owned(),
            money.head("a year's cost changes by"),
            "what else differs, what changes most first".to_owned(),
        ],
        rows,
    })
}

/// What else differs and matters, in words.
fn brings(station: &Station, change: &TriedChange) -> String {
    let told: Vec<String> = change
        .differences
        .iter()
        .filter(|own| own.matters)
        .take(MOST)
        .map(|own| more_or_less(station, own))
        .chain(change.brings_told.iter().map(|own| format!("brings: {own}")))
        .collect();
    match told.is_empty() {
        true => "nothing that matters".to_owned(),
        false => told.join("; "),
    }
}

fn more_or_less(station: &Station, own: &Difference) -> String {
    let half = half_of_difference(&own.difference);
    let shown = format_interval(
        own.kind,
        own.difference.mean.abs(),
        (half > 0.0).then_some(half),
        station.units(),
        &station.currency(),
    );
    let word = if own.difference.mean < 0.0 { "less" } else { "more" };
    format!("{}: {} {word}", own.title, shown.value_with_unit())
}
