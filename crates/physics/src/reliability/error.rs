//! Why a question about faults was refused, with what would be possible.

use crate::{OutOfRange, stats::SampleError};

/// Why a question about faults has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReliabilityError {
    /// An argument outside the range in which it is reckoned with.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// An event that isn't among those there are.
    #[error("event {event} is not among the {events} there are, counted from 0")]
    NoSuchEvent {
        /// The event.
        event: usize,
        /// How many there are.
        events: usize,
    },
    /// More events than a set holds.
    #[error("{given} events, where {most} at the most are reckoned with")]
    TooManyEvents {
        /// Events given.
        given: usize,
        /// Most events.
        most: usize,
    },
    /// A top, or an input of a gate, that is no gate of the tree.
    #[error("gate {gate} is not among the {gates} there are, counted from 0")]
    NoSuchGate {
        /// The gate that was named.
        gate: usize,
        /// How many there are.
        gates: usize,
    },
    /// A gate without inputs, which would mean nothing.
    #[error("gate {gate} has no inputs")]
    EmptyGate {
        /// The gate.
        gate: usize,
    },
    /// A gate that has the same input twice: an at-least gate would count one fault as two.
    #[error("gate {gate} has its input {place} already")]
    RepeatedInput {
        /// The gate.
        gate: usize,
        /// The place of the second mention among its inputs, from 0.
        place: usize,
    },
    /// An at-least gate that wants none of its inputs, or more than it has.
    #[error("gate {gate} wants at least {wanted} of {inputs} inputs, where 1 to {inputs} make sense")]
    AtLeast {
        /// The gate.
        gate: usize,
        /// Inputs wanted.
        wanted: usize,
        /// Inputs there are.
        inputs: usize,
    },
    /// A gate that depends on itself.
    #[error("gate {gate} depends on itself")]
    Cycle {
        /// A gate of the circle.
        gate: usize,
    },
    /// More sets than are reckoned with.
    #[error("the tree comes to {given} sets at one gate, where {most} at the most are reckoned with")]
    TooManySets {
        /// Sets it comes to.
        given: usize,
        /// Most sets.
        most: usize,
    },
    /// A decision diagram that takes more steps to build than are allowed.
    #[error("the decision diagram takes more than {most} steps")]
    DiagramTooLarge {
        /// Most steps.
        most: usize,
    },
    /// A list that doesn't have one entry for each event or part.
    #[error("{given} entries given where {needed} are needed")]
    Unpaired {
        /// Entries given.
        given: usize,
        /// Entries needed.
        needed: usize,
    },
    /// An entry that is no probability.
    #[error("entry {index} is {value}, not a probability between 0 and 1")]
    NotAProbability {
        /// Which, from 0.
        index: usize,
        /// The value.
        value: f64,
    },
    /// The harm can't happen, so that there is nothing to have a share of.
    #[error("the harm has the probability 0, so that nothing can have a share of it")]
    NeverHappens,
    /// A range of a rate whose ends aren't in order.
    #[error("a range from {low} to {high} does not rise from one number above 0 to another")]
    NotARange {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// Parts tested together, none or more than are reckoned with.
    #[error("{given} parts together, where 1 to {most} are reckoned with")]
    PartCount {
        /// Parts given.
        given: usize,
        /// Most parts.
        most: usize,
    },
    /// A product that names an input that isn't there.
    #[error("product {product} names input {input}, where there are {inputs}, counted from 0")]
    NoSuchInput {
        /// Which product, from 0.
        product: usize,
        /// The input named.
        input: usize,
        /// Inputs there are.
        inputs: usize,
    },
    /// A sample without such a figure.
    #[error(transparent)]
    Sample(#[from] SampleError),
}

impl ReliabilityError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NoSuchEvent { .. } | Self::NoSuchInput { .. } => {
                "number them from 0 and say how many there are"
            }
            Self::TooManyEvents { .. } => "lump events that always matter together into one",
            Self::NoSuchGate { .. } => "number gates from 0, and name only those of the tree",
            Self::EmptyGate { .. } => "give it an input, or leave it out",
            Self::RepeatedInput { .. } => "name each input once",
            Self::AtLeast { .. } => "want at least one and at most all of the inputs",
            Self::Cycle { .. } => "cut the circle: a fault can't be its own cause",
            Self::TooManySets { .. } | Self::DiagramTooLarge { .. } => {
                "split the harm in several, or lump events that always matter together into one"
            }
            Self::Unpaired { .. } => "give one entry for each, in the same order",
            Self::NotAProbability { .. } => "give a probability from 0 to 1; a rate needs a time first",
            Self::NeverHappens => "ask for shares only where the harm can happen",
            Self::NotARange { .. } => "give the lower end first, and both above 0",
            Self::PartCount { .. } => "take fewer parts at once",
            Self::Sample(_) => "ask for more draws, and check that every draw gives a finite number",
        }
    }
}
