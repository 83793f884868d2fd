//! Two stations through the same years, figure by figure.

use proof::{Comparison, Over};
use station::Station;
use station::quantity::Kind;

use super::{Cell, Column, Table};
use crate::told::half_of_difference;

/// In hours, where days would be taken for days of 24 hours of work or of waiting.
const HOURS_S: f64 = 36_000.0;

/// A row for each figure that one of the two has: its unit, the first, the second, what the second has more where that is
/// sure.
pub fn comparison_table(station: &Station, comparison: &Comparison) -> Option<Table> {
    let [first, second] = comparison.designs.as_slice() else {
        return None;
    };
    let differences = comparison.differences.first()?;
    let mut rows = Vec::new();
    for (before, now) in first.figures.iter().zip(&second.figures) {
        let values = [before.value, now.value];
        let all = || values.iter().flatten();
        if all().next().is_none() {
            continue;
        }
        let largest = all().map(|over| over.mean).fold(0.0, f64::max);
        let column = match (before.kind, before.key) {
            (Kind::Time, key) if key != "oldest-fresh" => Column::sized(station, Kind::Time, HOURS_S),
            (kind, _) => Column::sized(station, kind, largest),
        };
        // The digits of a row are those of its least sure figure.
        let widest = all().map(half).fold(0.0, f64::max);
        let cell = |mean: f64, half: f64| Cell::Figure {
            value: mean / column.factor,
            half_width: (half > 0.0).then_some(half / column.factor),
        };
        let value = |over: Option<Over>| over.map_or(Cell::Empty, |over| cell(over.mean, widest));
        let own = differences.iter().find(|own| own.key == before.key && own.sure);
        rows.push(vec![
            Cell::Words(before.title.to_owned()),
            Cell::Words(column.unit.clone()),
            value(values[0]),
            value(values[1]),
            own.map_or(Cell::Empty, |own| {
                let half = half_of_difference(&own.difference) / column.factor;
                Cell::change(own.difference.mean / column.factor, (half > 0.0).then_some(half))
            }),
        ]);
    }
    (!rows.is_empty()).then(|| Table {
        name: "as-opened-and-now",
        title: "A mean year as it was opened, and now",
        heads: ["what", "unit", "as opened", "now", "change, where that is sure"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    })
}

fn half(over: &Over) -> f64 {
    (over.high - over.low) / 2.0
}
