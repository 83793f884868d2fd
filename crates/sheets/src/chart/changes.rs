//! What a year costs more or less with each change that was tried.

use proof::{TriedChange, Year};
use station::Station;
use station::quantity::{Kind, format_interval};

use super::rows::{Rows, told};
use crate::drawing::{Drawing, Ink, Stroke, at};
use crate::told::{changes_by_worth, half_of_difference, not_sure};
use crate::words::capital;

/// A bar for each change from the line of the station as it is, in the order of the table; `None` where none was tried or none has a
/// price.
pub fn cost_of_changes(station: &Station, year: &Year, width_mm: f64) -> Option<Drawing> {
    let changes: Vec<&TriedChange> = changes_by_worth(year).into_iter().map(|(_, own)| own).collect();
    let most = changes.iter().map(|own| own.cost.mean.abs()).fold(0.0, f64::max);
    if most <= 0.0 {
        return None;
    }
    let least = changes.iter().map(|own| own.cost.mean).fold(0.0, f64::min);
    let greatest = changes.iter().map(|own| own.cost.mean).fold(0.0, f64::max);
    let share = |cost: f64| (cost - least) / (greatest - least);
    let title = "What a year costs with each change";
    let remark = "from the line: the station as it is; to the left a year costs less";
    let named: Vec<(String, String)> = changes
        .iter()
        .map(|change| (capital(&change.sentence), said(station, change)))
        .collect();
    let mut rows = Rows::new(title, remark, width_mm, &named, false);
    for (row, change) in changes.iter().enumerate() {
        rows.words(row, "");
        let mut ends = [share(0.0), share(change.cost.mean)];
        ends.sort_by(f64::total_cmp);
        rows.part(row, ends, Ink::Hair, "");
        let [above, below] = rows.bar(row);
        let x_mm = rows.along(share(0.0));
        let line = vec![at(x_mm, above - 0.8), at(x_mm, below + 0.8)];
        rows.drawing.line(line, Stroke::Heavy, Ink::Ink, "");
    }
    rows.drawing.description = told(&named);
    Some(rows.drawing)
}

/// `12 EUR less`, to the digits that its years leave; where chance alone may make it, that.
fn said(station: &Station, change: &TriedChange) -> String {
    if let Some(said) = not_sure(&change.cost) {
        return said.to_owned();
    }
    let half = half_of_difference(&change.cost);
    let shown = format_interval(
        Kind::Money,
        change.cost.mean.abs(),
        (half > 0.0).then_some(half),
        station.units(),
        &station.currency(),
    );
    let word = if change.cost.mean < 0.0 { "less" } else { "more" };
    format!("{} {word}", shown.value_with_unit())
}
