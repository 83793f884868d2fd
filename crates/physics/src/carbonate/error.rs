//! Why a question about carbonate was refused.

use crate::OutOfRange;

/// Why a question about carbonate has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CarbonateError {
    /// An argument outside the range in which the answer is known.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Hydroxide alone makes the water more alkaline than it's said to be.
    #[error(
        "alkalinity {alkalinity_mol_m3:.2} mol/m³ and pH {ph} cannot go together: at that pH hydroxide alone makes \
         {least_alkalinity_mol_m3:.2e} mol/m³"
    )]
    CannotGoTogether {
        /// Alkalinity given.
        alkalinity_mol_m3: f64,
        /// pH given.
        ph: f64,
        /// Alkalinity of water of that pH without any carbonate.
        least_alkalinity_mol_m3: f64,
    },
    /// So acid for its alkalinity that the water would hold more carbon dioxide than water can.
    #[error(
        "alkalinity {alkalinity_mol_m3:.2} mol/m³ and pH {ph} cannot go together: the water would hold more than \
         {most_carbon_dioxide_mol_m3} mol/m³ of carbon dioxide"
    )]
    TooMuchGas {
        /// Alkalinity given.
        alkalinity_mol_m3: f64,
        /// pH given.
        ph: f64,
        /// Most that is reckoned with.
        most_carbon_dioxide_mol_m3: f64,
    },
    /// No carbonate, so that no product with calcium can be compared.
    #[error("water without carbonate has no saturation index")]
    NoCarbonate,
}

impl CarbonateError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::CannotGoTogether { .. } | Self::TooMuchGas { .. } => {
                "check both, and the unit of alkalinity: take them from the same sample of the same day"
            }
            Self::NoCarbonate => "give an alkalinity above that of hydroxide alone",
        }
    }
}
