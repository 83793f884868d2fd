//! Why an act can't be done, and the faults that can be put in.

use serde::Serialize;

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
    #[error("{name} works by itself: nobody opens or shuts it")]
    ByItself {
        /// Its name.
        name: String,
    },
    /// A switch that the station doesn't have.
    #[error("the station has no switch for that")]
    NoSwitch,
    /// A task whose valves nobody knows.
    #[error("no setting of the valves does {name}")]
    NoSetting {
        /// Its name.
        name: String,
    },
    /// A task to which no moves lead that do no harm.
    #[error("from how everything stands no order of single moves is known for {name} that does no harm")]
    NoOrder {
        /// Its name.
        name: String,
    },
    /// A task that would bring nothing.
    #[error("where {name} leads there is room for nothing more")]
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
    #[error("so much salt makes more than 42 in {vessel}: the laws of sea water end there")]
    TooSalty {
        /// Its name.
        vessel: String,
    },
    /// More water than a tank holds.
    #[error("{tank} doesn't hold so much")]
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
