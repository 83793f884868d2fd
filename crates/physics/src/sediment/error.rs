//! Why a question about a filter was refused.

use crate::OutOfRange;

/// Why a question about a filter has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SedimentError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Two readings between which no water passed.
    #[error("both readings are after {volume_m3} m³: no growth can be read from them")]
    SameVolume {
        /// Water through the filter at both.
        volume_m3: f64,
    },
    /// The pressure drop doesn't grow, so that no limit is ever reached.
    #[error("the drop goes from {earlier_pa} Pa to {later_pa} Pa and doesn't grow")]
    NotGrowing {
        /// Drop at the earlier reading.
        earlier_pa: f64,
        /// Drop at the later.
        later_pa: f64,
    },
    /// The limit is at, or below, what the clean filter costs.
    #[error("a limit of {limit_pa} Pa is not above the clean filter's {clean_pa} Pa")]
    LimitBelowClean {
        /// Limit asked for.
        limit_pa: f64,
        /// Drop of the clean filter.
        clean_pa: f64,
    },
    /// An answer too large to mean anything.
    #[error("the filter would be loaded beyond all measure after {volume_m3} m³")]
    BeyondMeasure {
        /// Water asked for.
        volume_m3: f64,
    },
    /// The pressure before the membrane is above that before the filters.
    #[error("{after_pa} Pa behind the filters is more than {before_pa} Pa before them")]
    GaugesSwapped {
        /// Pressure before the filters.
        before_pa: f64,
        /// Pressure behind them.
        after_pa: f64,
    },
}

impl SedimentError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::SameVolume { .. } => "read again after more water",
            Self::NotGrowing { .. } => {
                "compare readings of the same flow and temperature, or change the filter by the calendar"
            }
            Self::LimitBelowClean { .. } => "take a larger filter or a higher limit",
            Self::BeyondMeasure { .. } => "change the filter before that, and fit again to later readings",
            Self::GaugesSwapped { .. } => "check which gauge is which, and both of them at rest",
        }
    }
}
