//! Tables: columns in one unit each, names to the left, figures to the right, within the page's width.

use proof::Estimate;
use station::quantity::{Currency, Kind, Shown, ShownUnit, UnitSystem, format_interval};

use super::page::WIDTH;

/// A column whose values all stand in the unit of its head.
pub(crate) struct Column(pub(crate) ShownUnit);

impl Column {
    pub(crate) fn empty() -> Self {
        Self(ShownUnit {
            name: String::new(),
            factor: 1.0,
            offset: 0.0,
        })
    }

    /// A unit that values of this kind aren't usually shown in.
    pub(crate) fn of(name: &str, factor: f64) -> Self {
        Self(ShownUnit {
            name: name.to_owned(),
            factor,
            offset: 0.0,
        })
    }

    pub(crate) fn unit(&self) -> String {
        self.0.name.clone()
    }

    /// `3 900` and its `500`, without the unit.
    pub(crate) fn cell(&self, estimate: &Estimate) -> [String; 2] {
        let shown = self.number(
            estimate.value,
            estimate.half_width().map(|half| half / self.0.factor),
        );
        [shown.value, shown.half_width.unwrap_or_default()]
    }

    /// `3 900`, or nothing.
    pub(crate) fn bare(&self, estimate: Option<&Estimate>) -> String {
        estimate.map_or_else(String::new, |estimate| self.cell(estimate)[0].clone())
    }

    /// A value without doubt.
    pub(crate) fn exact(&self, si: f64) -> String {
        self.number(si, None).value
    }

    /// A value whose doubt isn't known, to two digits (house rule).
    pub(crate) fn rough(&self, si: f64) -> String {
        let value = (si - self.0.offset) / self.0.factor;
        // A doubt of five in the second digit ends the figure there.
        let half_width = format!("{value:.1e}")
            .split_once('e')
            .and_then(|(_, exponent)| exponent.parse::<i32>().ok())
            .and_then(|exponent| format!("5e{}", exponent - 1).parse().ok());
        plain_number(value, half_width).value
    }

    /// A value without doubt, to so many places behind the point.
    pub(crate) fn fixed(&self, si: f64, places: i32) -> String {
        // A doubt of five in the last place ends the figure there.
        let half_width = format!("5e{}", -places).parse().ok();
        plain_number((si - self.0.offset) / self.0.factor, half_width).value
    }

    pub(crate) fn number(&self, si: f64, half_width: Option<f64>) -> Shown {
        plain_number((si - self.0.offset) / self.0.factor, half_width)
    }
}

/// Small heights, to whole millimetres or tenths of an inch.
pub(crate) struct Heights(pub(crate) Column, i32);

impl Heights {
    pub(crate) fn of(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Si => Self(Column::of("mm", 1e-3), 0),
            UnitSystem::Us => Self(Column::of("in", 0.0254), 1),
        }
    }

    pub(crate) fn fixed(&self, si: f64) -> String {
        self.0.fixed(si, self.1)
    }
}

/// Heads as pumps are told: metres or feet of water, to a tenth.
pub(crate) struct Heads(pub(crate) Column);

impl Heads {
    pub(crate) fn of(units: UnitSystem) -> Self {
        Self(match units {
            UnitSystem::Si => Column::of("m", 1.0),
            UnitSystem::Us => Column::of("ft", 0.3048),
        })
    }

    pub(crate) fn fixed(&self, si: f64) -> String {
        self.0.fixed(si, 1)
    }
}

/// Pressures of low water columns, to thousandths of a bar or hundredths of a psi.
pub(crate) struct Pressures(pub(crate) Column, i32);

impl Pressures {
    pub(crate) fn of(units: UnitSystem) -> Self {
        match units {
            UnitSystem::Si => Self(Column::of("bar", 1e5), 3),
            UnitSystem::Us => Self(Column::of("psi", 6_894.757_293_168), 2),
        }
    }

    pub(crate) fn fixed(&self, si: f64) -> String {
        self.0.fixed(si, self.1)
    }
}

fn plain_number(value: f64, half_width: Option<f64>) -> Shown {
    format_interval(
        Kind::Number,
        value,
        half_width,
        UnitSystem::Si,
        &Currency::default(),
    )
}

/// Where the first column of a table stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum First {
    /// Words, to the left.
    Words,
    /// Figures, to the right.
    Figures,
}

/// Columns of text: the first as said, the others to the right, two blanks between. A name that leaves no room for the
/// figures is broken.
pub(crate) fn columns(first: First, rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter()
            // A row of two cells is a remark between the lines.
            .filter(|row| column == 0 || row.len() > 2)
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
    };
    let mut widths: Vec<usize> = (0..count).map(width).collect();
    let others: usize = widths.iter().skip(1).map(|width| width + 2).sum();
    if let Some(names) = widths.first_mut() {
        *names = (*names).min(WIDTH.saturating_sub(others + 2).max(LEAST_NAME));
    }
    let mut out = String::new();
    for row in rows {
        let Some((name, cells)) = row.split_first() else {
            continue;
        };
        let names = widths[0];
        let mut broken = textwrap::wrap(name, names).into_iter();
        let begin = broken.next().unwrap_or_default();
        let mut line = match first {
            First::Words => format!("  {begin:<names$}"),
            First::Figures => format!("  {begin:>names$}"),
        };
        for (cell, width) in cells.iter().zip(widths.iter().skip(1)) {
            line += &format!("  {cell:>width$}");
        }
        out += line.trim_end();
        out += "\n";
        for more in broken {
            out += &format!("    {more}\n");
        }
    }
    out
}

/// Without the columns that say nothing in any row below the heads. Remarks of two cells stay as they are.
pub(crate) fn without_empty(heads: usize, rows: &[Vec<String>]) -> Vec<Vec<String>> {
    let says = |column: usize| {
        column == 0
            || rows
                .iter()
                .skip(heads)
                .filter(|row| row.len() > 2)
                .any(|row| row.get(column).is_some_and(|cell| !cell.is_empty()))
    };
    rows.iter()
        .map(|row| match row.len() {
            0..=2 => row.clone(),
            _ => row
                .iter()
                .enumerate()
                .filter(|(column, _)| says(*column))
                .map(|(_, cell)| cell.clone())
                .collect(),
        })
        .collect()
}

/// Columns that a name gets at the least.
const LEAST_NAME: usize = 12;
