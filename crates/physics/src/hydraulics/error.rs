//! Why a question about a network was refused.

use crate::OutOfRange;

/// Why a network can't be built or solved.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HydraulicsError {
    /// An argument outside the range in which it is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A link names a node that isn't in the network, or both its ends are one.
    #[error("link {link} doesn't join two nodes of the network")]
    Ends {
        /// Index of the link.
        link: usize,
    },
    /// A pump's table has too few points.
    #[error("a pump's curve needs {needed} points and has {given}")]
    TooFewPoints {
        /// Points that the form needs.
        needed: usize,
        /// Points given.
        given: usize,
    },
    /// A pump's table doesn't fall.
    #[error(
        "the pump's head goes from {earlier_m} m to {later_m} m as its flow goes from {earlier_m3_s} m³/s to {later_m3_s} m³/s"
    )]
    NotFalling {
        /// Head at the smaller flow.
        earlier_m: f64,
        /// Head at the larger flow.
        later_m: f64,
        /// Smaller flow.
        earlier_m3_s: f64,
        /// Larger flow.
        later_m3_s: f64,
    },
    /// Three points that no falling power law runs through.
    #[error(
        "no curve H = H₀ − a·Qⁿ with n of 1 or more runs through these three points: n would be {exponent}"
    )]
    NoPowerLaw {
        /// The exponent that it would take.
        exponent: f64,
    },
    /// The network has more than the solver was made for.
    #[error("a network of {given} nodes or links is larger than {most}")]
    TooLarge {
        /// Most of either.
        most: usize,
        /// Given.
        given: usize,
    },
    /// A node was asked for something that it isn't.
    #[error("node {node} is no {wanted}")]
    NotThat {
        /// Index of the node or link.
        node: usize,
        /// What was wanted of it.
        wanted: &'static str,
    },
    /// The solver stopped short. No known network does this; the test of a million random ones holds it.
    #[error("no balance within {iterations} iterations: {residual_m} m are left over")]
    NotConverged {
        /// Iterations made.
        iterations: u32,
        /// Largest head that is left over in a branch.
        residual_m: f64,
    },
}

impl HydraulicsError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::Ends { .. } => "join it to two different nodes",
            Self::TooFewPoints { .. } => {
                "add what the pump lifts with its outlet closed, and its flow at no lift"
            }
            Self::NotFalling { .. } => {
                "give the points by rising flow; a pump lifts less the more it moves, so measure again where it doesn't"
            }
            Self::NoPowerLaw { .. } => "give the points as a table instead",
            Self::TooLarge { .. } => "split the station in parts that share no water",
            Self::NotThat { .. } => "ask another node or link",
            Self::NotConverged { .. } => "report the station file: this is a fault of the program",
        }
    }
}
