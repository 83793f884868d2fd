//! Use cases: what a command or a page asks for, answered in plain structs.
//!
//! Owns: which inputs a question takes, what the unsaid is taken for, the doubt of every answer. Must not know:
//! the command line, printing, JSON.

pub(crate) mod absence;
pub(crate) mod batch;
pub(crate) mod begin;
pub(crate) mod blend;
pub(crate) mod check_solution;
pub(crate) mod compare;
pub(crate) mod control;
pub(crate) mod desk;
pub(crate) mod doubt;
pub(crate) mod dry_mix;
pub(crate) mod first_litre;
pub(crate) mod new;
pub(crate) mod paper;
pub(crate) mod progress;
pub(crate) mod proved;
pub(crate) mod readings;
pub(crate) mod trim;
pub(crate) mod water;
pub(crate) mod year;

use physics::mixing::MixingError;

/// Why a question about mixing has no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Refused {
    /// Salt is needed, and nothing is known of the mix.
    NoMix,
    /// The mixture was refused.
    Mixing(MixingError),
    /// Most of what the doubt of the inputs allows can't be.
    TooDoubtful,
}

impl From<MixingError> for Refused {
    fn from(error: MixingError) -> Self {
        Self::Mixing(error)
    }
}
pub(crate) mod station;
