//! Why an act can't be done, and the faults that can be put in.

use serde::Serialize;
use station::{shown, spoken};

use crate::analysis::YearFault;
use crate::method::Refusal;

/// Why the live station can't do what was asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LiveFault {
    /// The station has no plant.
    #[error(transparent)]
    Plant(#[from] YearFault),
    /// Its flows can't be computed.
    #[error("what flows can't be computed: {0}")]
    Refused(#[from] Refusal),
    /// No part is called so.
    #[error("the station has no {what} called {name}")]
    NoSuch {
        /// What was sought.
        what: &'static str,
        /// What it was called.
        name: String,
    },
    /// A valve that works by itself.
    #[error("{} works by itself: nobody opens or shuts it", shown(.name))]
    ByItself {
        /// Its name.
        name: String,
    },
    /// A switch that the station doesn't have.
    #[error("the station has no switch for that")]
    NoSwitch,
    /// A task whose valves nobody knows.
    #[error("no setting of the valves does {}", spoken(.name))]
    NoSetting {
        /// Its name.
        name: String,
    },
    /// A task to which no moves lead that do no harm.
    #[error(
        "from how everything stands no order of single moves is known for {} that does no harm",
        spoken(.name)
    )]
    NoOrder {
        /// Its name.
        name: String,
    },
    /// A task that would bring nothing.
    #[error("where {} leads there is room for nothing more", spoken(.name))]
    NothingToCome {
        /// Its name.
        name: String,
    },
    /// A number that can't be.
    #[error("{what} can't be {given}")]
    Number {
        /// What it is.
        what: &'static str,
        /// What was given.
        given: f64,
    },
    /// Salt into too little water.
    #[error(
        "so much salt makes more than 42 in {}: the laws of sea water end there",
        spoken(.vessel)
    )]
    TooSalty {
        /// Its name.
        vessel: String,
    },
    /// More water than a tank holds.
    #[error("{} doesn't hold so much", shown(.tank))]
    TooMuch {
        /// Its name.
        tank: String,
    },
    /// Two faults of one part.
    #[error("one part can't be so and so at once: first mend \"{other}\"")]
    Excluded {
        /// The fault that is in.
        other: String,
    },
}

/// A fault that a part of the station can have.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PossibleFault {
    /// What is wrong, in words; acts call it so.
    pub fault: String,
    /// Its part: "the stop switch of fresh".
    pub part: String,
    /// How that is wrong: "stuck dry".
    pub how: &'static str,
    /// Where its part stands in the station file; empty where it is no part.
    pub place: String,
    /// Whether it is in now.
    pub is_in: bool,
}
