//! Why a question about the suction side was refused.

use crate::OutOfRange;

/// Why a question about the suction side has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SuctionError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// An outlet so shallow that it draws air however little flows.
    #[error("{submergence_m} m of water over an outlet of {bore_m} m bore let air in at any flow")]
    TooShallow {
        /// Water above its centre.
        submergence_m: f64,
        /// Its bore.
        bore_m: f64,
    },
    /// A hole that can't both stay under water and let air in early enough.
    #[error(
        "a hole of {hole_m} m does not fit between the lowest level of {lowest_m} m and the usual one of {usual_m} m"
    )]
    NoRoomForHole {
        /// Diameter of the hole.
        hole_m: f64,
        /// Level below which the vessel mustn't be drawn.
        lowest_m: f64,
        /// Level when the pump runs.
        usual_m: f64,
    },
    /// A tube whose walls leave no bore.
    #[error("walls of {wall_m} m leave no bore in a tube of {outer_m} m")]
    NoBore {
        /// Outer diameter.
        outer_m: f64,
        /// Wall thickness.
        wall_m: f64,
    },
}

impl SuctionError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::TooShallow { .. } => "keep more water in the vessel, or lower the outlet",
            Self::NoRoomForHole { .. } => "drill a smaller hole, or let the vessel sink lower",
            Self::NoBore { .. } => "check the outer diameter and the wall",
        }
    }
}
