//! Why a question about a part was refused.

use super::{
    tube::{TubeKind, names_of},
    valve::ValveKind,
};
use crate::OutOfRange;

/// Why a question about a tube, a fitting or a valve has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PartError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A narrow bore that is the wider one.
    #[error("a narrow bore of {narrow_m} m is wider than the {wide_m} m beside it")]
    NotNarrower {
        /// Bore that should be the narrow one.
        narrow_m: f64,
        /// Bore that should be the wide one.
        wide_m: f64,
    },
    /// A valve that is either open or closed, asked about something between.
    #[error("a {} is open or closed, never at {opening}", .valve.name())]
    NotThrottled {
        /// The valve.
        valve: ValveKind,
        /// The opening asked about.
        opening: f64,
    },
    /// A nominal size in which this tube isn't known.
    #[error("no {} of nominal size {nominal_m} m is known; there are {}", .kind.name(), names_of(*.kind))]
    NoSuchTube {
        /// Kind of tube.
        kind: TubeKind,
        /// Nominal size asked for.
        nominal_m: f64,
    },
}

impl PartError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NotNarrower { .. } => "measure both bores again, and check which is which",
            Self::NotThrottled { .. } => "say 0 for closed or 1 for open, or take a valve that throttles",
            Self::NoSuchTube { .. } => "take one of the sizes listed, or give the measured inner diameter",
        }
    }
}
