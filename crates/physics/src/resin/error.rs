//! Why a question about resin was refused.

use crate::OutOfRange;

/// Why a question about resin has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ResinError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// Nothing, or next to nothing, loads the resin: an endless life is not a number.
    #[error(
        "a load of {load_mol_m3} mol/m³ is below {least_mol_m3}, less than pure water's own ions: no bed runs out on it"
    )]
    NoLoad {
        /// Load given, in mol of charge per m³.
        load_mol_m3: f64,
        /// Least load reckoned with.
        least_mol_m3: f64,
    },
    /// The bed is shorter than the zone in which exchange happens, so that it leaks from the first drop.
    #[error(
        "a bed of {bed_height_m} m is shorter than its exchange zone of {zone_height_m} m and leaks from the start"
    )]
    ZoneLongerThanBed {
        /// Height of the bed.
        bed_height_m: f64,
        /// Height of the zone.
        zone_height_m: f64,
    },
    /// A bed that is said to be exhausted before, or when, it first leaks.
    #[error(
        "exhaustion after {exhaustion_m3} m³ is not later than the first leak after {breakthrough_m3} m³"
    )]
    ExhaustedBeforeBreakthrough {
        /// Water until the first leak.
        breakthrough_m3: f64,
        /// Water until nothing is taken up any more.
        exhaustion_m3: f64,
    },
    /// A bed of which no share is used, where one divides by that share.
    #[error("a bed of which nothing is used cannot be compared with another")]
    NothingUsed,
}

impl ResinError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NoLoad { .. } => {
                "give the salt, carbon dioxide and silica that reach the resin, or leave the resin out"
            }
            Self::ZoneLongerThanBed { .. } => "take a taller bed, less flow, or two beds in series",
            Self::ExhaustedBeforeBreakthrough { .. } => "check which of the two readings came first",
            Self::NothingUsed => "give the share of the bed that is used before it is changed, above 0",
        }
    }
}
