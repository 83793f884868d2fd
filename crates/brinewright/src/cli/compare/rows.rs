//! The figures of all stations side by side, one unit to a row.

use proof::{ComparedFigure, Comparison, Difference};
use station::quantity::Kind;

use crate::cli::speaker::Speaker;
use crate::cli::table::{Column, First, columns};

/// Stations that stand beside each other; more of them go into a table of their own.
const MOST: usize = 4;

/// The unit of a row: hours for what people spend and wait, as days would be days of 24 hours; else by its size.
pub(super) fn unit(speaker: &Speaker<'_>, key: &str, kind: Kind, largest: f64) -> Column {
    match (kind, key) {
        (Kind::Time, "oldest-fresh") => speaker.unit_of(kind, largest),
        (Kind::Time, _) => Column::of("h", 3600.0),
        _ => speaker.unit_of(kind, largest),
    }
}

/// Means of a year; of two stations what the second has more than the first as well.
pub(super) fn table(speaker: &Speaker<'_>, comparison: &Comparison) -> String {
    let two = match comparison.differences.as_slice() {
        [only] => Some(only.as_slice()),
        _ => None,
    };
    let mut out = String::new();
    let count = comparison.designs.len();
    for from in (0..count).step_by(MOST) {
        let to = (from + MOST).min(count);
        let mut rows = vec![heads(from, to, two.is_some())];
        let titles = comparison
            .designs
            .first()
            .map_or(&[][..], |design| &design.figures);
        for (at, title) in titles.iter().enumerate() {
            let own = comparison.designs[from..to]
                .iter()
                .map(|design| design.figures.get(at))
                .collect::<Vec<_>>();
            rows.extend(row(speaker, title, &own, two));
        }
        out += &format!("\nA mean year\n{}", columns(First::Words, &rows));
    }
    out
}

fn heads(from: usize, to: usize, two: bool) -> Vec<String> {
    let mut heads = vec![String::new(), String::new()];
    heads.extend((from..to).map(|at| (at + 1).to_string()));
    if two {
        heads.extend(["difference", "±"].map(str::to_owned));
    }
    heads
}

/// One figure; nothing where no station has it.
fn row(
    speaker: &Speaker<'_>,
    title: &ComparedFigure,
    own: &[Option<&ComparedFigure>],
    two: Option<&[Difference]>,
) -> Option<Vec<String>> {
    let values: Vec<_> = own
        .iter()
        .map(|figure| figure.and_then(|figure| figure.value))
        .collect();
    let largest = values
        .iter()
        .flatten()
        .map(|value| value.mean)
        .fold(None, |largest: Option<f64>, mean| {
            Some(largest.map_or(mean, |largest| largest.max(mean)))
        })?;
    let column = unit(speaker, title.key, title.kind, largest);
    let number = |mean: f64, half: f64| column.number(mean, Some(half / column.0.factor));
    // The digits of a row are those of its least sure figure.
    let widest = values
        .iter()
        .flatten()
        .map(|value| (value.high - value.low) / 2.0)
        .fold(0.0, f64::max);
    let mut row = vec![title.title.to_owned(), column.unit()];
    row.extend(
        values
            .iter()
            .map(|value| value.map_or_else(String::new, |value| number(value.mean, widest).value)),
    );
    if let Some(differences) = two {
        let own = differences
            .iter()
            .find(|difference| difference.key == title.key)
            .filter(|difference| difference.sure);
        let [difference, doubt] = own.map_or_else(
            || [String::new(), String::new()],
            |own| {
                let shown = number(
                    own.difference.mean,
                    (own.difference.high - own.difference.low) / 2.0,
                );
                [shown.value, shown.half_width.unwrap_or_default()]
            },
        );
        row.extend([difference, doubt]);
    }
    Some(row)
}
