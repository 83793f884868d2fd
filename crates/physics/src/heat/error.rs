//! Why a question about heat was refused.

use crate::{OutOfRange, mixing::MixingError};

/// Why a question about heat has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HeatError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A body of water that isn't one.
    #[error(transparent)]
    Water(#[from] MixingError),
    /// Nothing is lost, so that the temperature never stands still.
    #[error("{power_w} W into a vessel that loses nothing: its temperature never stands still")]
    NeverSteady {
        /// Power into the water.
        power_w: f64,
    },
    /// No water to mix.
    #[error("no water was given to mix")]
    NothingToMix,
    /// A heater or chiller of no power.
    #[error("a thermostat that switches 0 W does nothing")]
    NothingSwitched,
}

impl HeatError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::Water(error) => error.mend(),
            Self::NeverSteady { .. } => "give the vessel a loss, or ask for the temperature after a time",
            Self::NothingToMix => "name the waters that are mixed",
            Self::NothingSwitched => "give the heater's power, or the chiller's as a negative one",
        }
    }
}
