//! Why a question about a part was refused.

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
}

impl PartError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NotNarrower { .. } => "measure both bores again, and check which is which",
        }
    }
}
