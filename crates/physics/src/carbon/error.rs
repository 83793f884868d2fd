//! Why a question about carbon was refused.

use crate::OutOfRange;

/// Why a question about carbon has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CarbonError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Nothing, or less than can be measured, uses the carbon up or harms the membrane.
    #[error(
        "{oxidant_kg_m3} kg/m³ is below {least_kg_m3} kg/m³, less than a test shows: an endless life is not a number"
    )]
    NothingToRemove {
        /// Oxidant given, as chlorine.
        oxidant_kg_m3: f64,
        /// Least that is reckoned with.
        least_kg_m3: f64,
    },
    /// A rating that was found with free chlorine, asked about chloramine.
    #[error("a rating against free chlorine says nothing about chloramine")]
    NotRatedForChloramine,
    /// More oxidant behind the carbon than before it, or as much.
    #[error("{after_kg_m3} kg/m³ behind the carbon is not less than {before_kg_m3} kg/m³ before it")]
    NothingRemoved {
        /// Oxidant before the carbon.
        before_kg_m3: f64,
        /// Oxidant behind it.
        after_kg_m3: f64,
    },
}

impl CarbonError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NothingToRemove { .. } => {
                "give what the supplier of the water states, or change by the calendar alone"
            }
            Self::NotRatedForChloramine => {
                "take a rating against chloramine, or say what share of its life against chlorine the carbon has"
            }
            Self::NothingRemoved { .. } => {
                "test total chlorine again on both sides, and change the carbon if it holds"
            }
        }
    }
}
