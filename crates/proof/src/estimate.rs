//! A value of a table or a curve, with its interval.

use serde::Serialize;
use station::quantity::Kind;

use crate::sheet::NodeId;

/// A value in its stored unit, and how sure it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// 2.5 % point under the spreads of its inputs; `None` where no input has a spread.
    pub low: Option<f64>,
    /// 97.5 % point.
    pub high: Option<f64>,
    /// Said where it rests on a range that was left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remark: Option<String>,
    /// What it measures.
    #[serde(skip)]
    pub kind: Kind,
    #[serde(skip)]
    pub(crate) node: NodeId,
}

impl Estimate {
    /// Its interval follows when the sheet is drawn.
    pub(crate) fn new(value: f64, kind: Kind, node: NodeId) -> Self {
        Self {
            value,
            low: None,
            high: None,
            remark: None,
            kind,
            node,
        }
    }

    /// Half of its interval; `None` also where the doubts of its inputs cancel to rounding.
    pub fn half_width(&self) -> Option<f64> {
        let half = (self.high? - self.low?) / 2.0;
        (half > 1e-9 * self.value.abs()).then_some(half)
    }
}
