//! The range of a correlation, and the refusal outside it.

/// The closed interval over which a source states that its correlation holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What is limited, in the field's words: `"practical salinity"`.
    pub quantity: &'static str,
    /// Unit of the limits; empty where the quantity has none.
    pub unit: &'static str,
    /// Lowest value.
    pub min: f64,
    /// Highest value.
    pub max: f64,
    /// Key of the source in `docs/sources.md`.
    pub source_key: &'static str,
}

/// A value that lies outside the range of a correlation, or isn't a number.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{} {}{} is outside {} to {}{}, the range of {}", .range.quantity, .value, unit_after(.range), .range.min, .range.max, unit_after(.range), .range.source_key)]
pub struct OutOfRange {
    /// The range that was left.
    pub range: Range,
    /// The value that left it.
    pub value: f64,
}

impl Range {
    /// Whether the value lies inside; never for NaN.
    pub fn contains(&self, value: f64) -> bool {
        (self.min..=self.max).contains(&value)
    }

    /// Gives the value back, or refuses it.
    ///
    /// # Errors
    /// [`OutOfRange`] for a value outside the range and for NaN. Nothing is clamped.
    pub fn require(&self, value: f64) -> Result<f64, OutOfRange> {
        if self.contains(value) {
            Ok(value)
        } else {
            Err(OutOfRange { range: *self, value })
        }
    }
}

fn unit_after(range: &Range) -> String {
    if range.unit.is_empty() {
        String::new()
    } else {
        format!(" {}", range.unit)
    }
}
