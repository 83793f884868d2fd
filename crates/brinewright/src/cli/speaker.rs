//! Values in the owner's units: in a sentence, beside their doubt, in the column of a table.

use proof::Estimate;
use station::Station;
use station::quantity::{Kind, Shown, format_about, format_ends, format_interval, is_lopsided, unit_for};

use super::table::Column;

/// Prints values in the owner's units.
pub(crate) struct Speaker<'s> {
    pub(crate) station: &'s Station,
}

impl Speaker<'_> {
    pub(crate) fn shown(&self, estimate: &Estimate) -> Shown {
        self.interval(estimate.kind, estimate.value, estimate.half_width())
    }

    pub(crate) fn interval(&self, kind: Kind, si: f64, half_width: Option<f64>) -> Shown {
        format_interval(
            kind,
            si,
            half_width,
            self.station.units(),
            &self.station.currency(),
        )
    }

    /// `45 L`, to no more digits than its doubt supports.
    pub(crate) fn plain(&self, estimate: &Estimate) -> String {
        self.shown(estimate).value_with_unit()
    }

    /// `± 2 L`, or the two ends where the value doesn't sit between them, as the letter has it.
    pub(crate) fn doubt(&self, estimate: &Estimate) -> String {
        let shown = self.shown(estimate);
        match (estimate.half_width(), estimate.low, estimate.high) {
            (Some(half), Some(low), Some(high)) if is_lopsided(estimate.value, low, high) => format_ends(
                estimate.kind,
                (estimate.value, low, high),
                Some(half),
                self.station.units(),
                &self.station.currency(),
            ),
            (Some(_), _, _) => format!("± {}", shown.half_width_with_unit()),
            _ => String::new(),
        }
    }

    /// A value without doubt: `45 L`.
    pub(crate) fn exact(&self, kind: Kind, si: f64) -> String {
        self.interval(kind, si, None).value_with_unit()
    }

    /// A price that is told as "about".
    pub(crate) fn about(&self, price: f64) -> String {
        format_about(price, &self.station.currency())
    }

    /// One unit for a column of values, by its largest.
    pub(crate) fn column<'e>(&self, estimates: impl Iterator<Item = &'e Estimate>) -> Column {
        estimates
            .max_by(|a, b| a.value.abs().total_cmp(&b.value.abs()))
            .map_or_else(Column::empty, |largest| self.unit_of(largest.kind, largest.value))
    }

    /// The unit of a value.
    pub(crate) fn unit_of(&self, kind: Kind, si: f64) -> Column {
        Column(unit_for(kind, si, self.station.units(), &self.station.currency()))
    }
}
