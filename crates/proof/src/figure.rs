//! A figure: a value that knows its method, its inputs and its doubt.

use serde::Serialize;
use station::quantity::is_lopsided;

/// One input of a figure, as it is shown and as it was used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Input {
    /// Its name in the formula.
    pub name: String,
    /// Its value, in the unit beside it.
    pub value: f64,
    /// Stored unit.
    pub unit: &'static str,
    /// Half-width of its spread; 0 without one.
    pub half_width: f64,
    /// A path of the file, a default with its reason, or the key of another figure.
    pub origin: String,
    /// What it measures.
    #[serde(skip)]
    pub kind: station::quantity::Kind,
}

/// A computed value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// Stable key: `fresh.run`.
    pub key: String,
    /// What it is, in words.
    pub title: String,
    /// Its value, in the unit beside it.
    pub value: f64,
    /// Stored unit.
    pub unit: &'static str,
    /// 2.5 % point under the spreads of its inputs; `None` where no input has a spread.
    pub low: Option<f64>,
    /// 97.5 % point.
    pub high: Option<f64>,
    /// Key of its method.
    pub method: &'static str,
    /// What went in, in the method's order.
    pub inputs: Vec<Input>,
    /// Said where the doubt itself is in doubt: refused draws, extrapolation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
    /// What it measures.
    #[serde(skip)]
    pub kind: station::quantity::Kind,
    /// Whether the letter shows it.
    #[serde(skip)]
    pub headline: bool,
}

impl Figure {
    /// Half of its interval; `None` also where the doubts of its inputs cancel to rounding.
    pub fn half_width(&self) -> Option<f64> {
        let half = (self.high? - self.low?) / 2.0;
        (half > 1e-9 * self.value.abs()).then_some(half)
    }

    /// Whether the value sits so far from the middle of its interval that a `±` would mislead.
    pub fn is_lopsided(&self) -> bool {
        match (self.low, self.high, self.half_width()) {
            (Some(low), Some(high), Some(_)) => is_lopsided(self.value, low, high),
            _ => false,
        }
    }
}
