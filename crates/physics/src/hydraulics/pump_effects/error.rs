//! Why a question about a pump's effects was refused.

use crate::OutOfRange;

/// Why a question about what a pump does has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PumpEffectError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A limit that the water has passed before the pump starts.
    #[error("the limit of {limit_c} °C is not above the water's {water_c} °C")]
    LimitNotAbove {
        /// Limit.
        limit_c: f64,
        /// Water at the start.
        water_c: f64,
    },
}

impl PumpEffectError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::LimitNotAbove { .. } => "give a limit above the water's temperature",
        }
    }
}
