//! Why an integration was refused or given up.

use std::convert::Infallible;

/// Why no state could be given. The caller's state is that of the last step kept.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OdeError<E = Infallible> {
    /// The ends aren't two different finite numbers.
    #[error("{from} to {to} is not an interval")]
    NotAnInterval {
        /// Start.
        from: f64,
        /// End.
        to: f64,
    },
    /// A setting that is no number or outside what it may be.
    #[error("{setting} of {value} is not possible")]
    Setting {
        /// Which.
        setting: &'static str,
        /// What it was.
        value: f64,
    },
    /// A state, a tolerance or watches that don't go with the workspace; or a workspace without a state.
    #[error("{given} given for {what}, where the workspace has {expected}")]
    Length {
        /// What.
        what: &'static str,
        /// How many were given.
        given: usize,
        /// How many the workspace was made for.
        expected: usize,
    },
    /// The state at the start isn't finite, or a slope isn't and no shorter step avoids it.
    #[error("component {index} is {value} at {t}")]
    NotFinite {
        /// When.
        t: f64,
        /// Place in the state.
        index: usize,
        /// What was found.
        value: f64,
    },
    /// A watched function isn't finite.
    #[error("event {index} is {value} at {t}")]
    EventNotFinite {
        /// When.
        t: f64,
        /// Place among the watches.
        index: usize,
        /// What was found.
        value: f64,
    },
    /// No step that time can still tell is exact enough.
    #[error("no step is short enough at {t}")]
    StepTooShort {
        /// When.
        t: f64,
    },
    /// The steps allowed are used up.
    #[error("{most} steps reach only {t}")]
    TooManySteps {
        /// When.
        t: f64,
        /// How many were allowed.
        most: u32,
    },
    /// Watched functions that pass zero again and again in half a step.
    #[error("more than {most} events in half a step at {t}")]
    TooManyEvents {
        /// When.
        t: f64,
        /// How many are looked for.
        most: u32,
    },
    /// The system itself refused, and no shorter step avoids it.
    #[error("at {t}: {refusal}")]
    Refused {
        /// When.
        t: f64,
        /// What it said.
        refusal: E,
    },
}

impl<E> OdeError<E> {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::NotAnInterval { .. } => "give two different times",
            Self::Setting { .. } => "check the tolerances, the steps and their bounds",
            Self::Length { .. } => "make the workspace for this state and these events",
            Self::NotFinite { .. } => "check the start; the equation may run off to infinity",
            Self::EventNotFinite { .. } => "write every event, for every state that can be reached",
            Self::StepTooShort { .. } => {
                "the slopes may jump there: watch for it as an event that ends, and go on anew"
            }
            Self::TooManySteps { .. } => "allow more steps or a coarser tolerance; the equation may be stiff",
            Self::TooManyEvents { .. } => {
                "give switches a band between on and off, or take a shorter longest step"
            }
            Self::Refused { .. } => "watch for the limit as an event before the system refuses",
        }
    }
}
