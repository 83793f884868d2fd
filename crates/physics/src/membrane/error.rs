//! Why a question about the membrane was refused, with what would be possible.

use crate::{OutOfRange, numerics::RootError};

/// Why a question about the membrane has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MembraneError {
    /// An argument, or the answer, outside the range in which it is known.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A rating whose pressure doesn't exceed the osmosis of its own feed.
    #[error(
        "a rated pressure of {pressure_pa} Pa does not exceed the {osmotic_pa} Pa of osmosis at its own feed"
    )]
    RatingTooWeak {
        /// Rated pressure.
        pressure_pa: f64,
        /// Difference of osmotic pressure at the rating.
        osmotic_pa: f64,
    },
    /// The restrictor passes so little that nearly all feed becomes product.
    #[error("the restrictor is so tight that more than {most} of the feed would become product")]
    RecoveryBeyond {
        /// Highest recovery reckoned with.
        most: f64,
    },
    /// So much salt passes, beside so little feed, that the wall's concentration isn't known: it's reckoned as if
    /// nearly all salt were held back, and would make the permeate saltier than the feed.
    #[error(
        "the membrane is too leaky for so little feed: the permeate would come to {permeate_kg_m3} kg/m³ \
         from a feed of {feed_kg_m3} kg/m³"
    )]
    TooLeaky {
        /// Permeate that it would come to.
        permeate_kg_m3: f64,
        /// Feed.
        feed_kg_m3: f64,
    },
    /// No element, or more in a row than is reckoned with.
    #[error("{count} elements in a row, where 1 to {most} are reckoned with")]
    ElementCount {
        /// Elements given.
        count: usize,
        /// Most elements.
        most: usize,
    },
    /// A wanted product that takes more pressure than the range of the model.
    #[error("{permeate_m3_s} m³/s take {needed_pa} Pa, more than the {most_pa} Pa reckoned with")]
    PressureBeyond {
        /// Product wanted.
        permeate_m3_s: f64,
        /// Pressure it takes.
        needed_pa: f64,
        /// Highest pressure reckoned with.
        most_pa: f64,
    },
    /// The product stops before the shut-off valve closes, so that it never closes.
    #[error(
        "the product stops at {stops_at} of the feed pressure, before the shut-off valve closes at {closing_ratio}"
    )]
    NeverCloses {
        /// Permeate over feed pressure at which the valve closes.
        closing_ratio: f64,
        /// Permeate over feed pressure at which osmosis holds the product back.
        stops_at: f64,
    },
    /// A shut-off valve that would reopen at or above the pressure at which it closes.
    #[error("a valve that closes at {closing_ratio} cannot reopen at {reopening_ratio}")]
    NoHysteresis {
        /// Ratio at which it closes.
        closing_ratio: f64,
        /// Ratio at which it would reopen.
        reopening_ratio: f64,
    },
    /// A long run that isn't longer than the short one.
    #[error("a long run of {long_run_m3} m³ is not longer than a short run of {short_run_m3} m³")]
    RunsOutOfOrder {
        /// Short run.
        short_run_m3: f64,
        /// Long run.
        long_run_m3: f64,
    },
    /// A ratio of loads that no hold-up gives.
    #[error(
        "no hold-up makes short runs load the resin {ratio} times as much as long ones: {most} at the most"
    )]
    RatioBeyond {
        /// Ratio asked for.
        ratio: f64,
        /// Highest ratio that any hold-up gives.
        most: f64,
    },
    /// A feed side that isn't saltier than the permeate, so that nothing creeps.
    #[error(
        "a feed side of {feed_side_kg_m3} kg/m³ is not saltier than a permeate of {permeate_kg_m3} kg/m³"
    )]
    FeedSideTooWeak {
        /// Feed side.
        feed_side_kg_m3: f64,
        /// Permeate.
        permeate_kg_m3: f64,
    },
    /// Fewer readings than the fit needs.
    #[error("{given} readings where at least {needed} are needed")]
    TooFewReadings {
        /// Readings given.
        given: usize,
        /// Readings needed.
        needed: usize,
    },
    /// Readings whose volumes don't increase.
    #[error("reading {index} is not at a larger volume than the one before")]
    ReadingsOutOfOrder {
        /// Which, from 0.
        index: usize,
    },
    /// Readings that don't fall as a first litre does.
    #[error("the readings do not fall towards a steady value, so that no hold-up can be read from them")]
    NotFalling,
    /// Readings that fall, but fit a hold-up at the edge of what is searched no worse than any other.
    #[error("the readings do not tell the hold-up: {edge_m3} m³, the edge of what was searched, fits best")]
    HoldUpUndetermined {
        /// The edge.
        edge_m3: f64,
    },
    /// The equation of the membrane wasn't solved.
    #[error("the equation of the membrane was not solved: {0}")]
    Unsolved(#[from] RootError),
}

impl From<RootError<Self>> for MembraneError {
    /// Gives back what the function itself refused, else what the search did.
    fn from(error: RootError<Self>) -> Self {
        match error {
            RootError::Function(refusal) => refusal,
            RootError::NoSignChange {
                low,
                high,
                at_low,
                at_high,
            } => Self::Unsolved(RootError::NoSignChange {
                low,
                high,
                at_low,
                at_high,
            }),
            RootError::NotAnInterval { low, high } => Self::Unsolved(RootError::NotAnInterval { low, high }),
            RootError::ToleranceTooFine { tolerance, finest } => {
                Self::Unsolved(RootError::ToleranceTooFine { tolerance, finest })
            }
            RootError::NotFinite { x, value } => Self::Unsolved(RootError::NotFinite { x, value }),
        }
    }
}

impl MembraneError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::RatingTooWeak { .. } => "check pressure and dissolved solids of the rating and their units",
            Self::RecoveryBeyond { .. } => "take a wider restrictor, or a smaller element",
            Self::TooLeaky { .. } => "check salt conductance and restrictor and their units",
            Self::ElementCount { .. } => "give one element at least; lump equal ones in parallel into one",
            Self::PressureBeyond { .. } => "want less product, take more membrane, or warm the feed",
            Self::NeverCloses { .. } => {
                "take a valve that closes at a lower ratio, or raise the feed pressure"
            }
            Self::NoHysteresis { .. } => "give a reopening ratio below the closing ratio",
            Self::RunsOutOfOrder { .. } => "swap the two runs",
            Self::RatioBeyond { .. } => {
                "look elsewhere for the difference: a leaking shut-off valve, salty last litres, longer lines"
            }
            Self::FeedSideTooWeak { .. } => "check the two concentrations; the feed side is the saltier one",
            Self::TooFewReadings { .. } => "log more readings over the first litre",
            Self::ReadingsOutOfOrder { .. } => {
                "sort the readings by the volume made since the start, one each"
            }
            Self::NotFalling => "log from the very start of a run after a long idle time",
            Self::HoldUpUndetermined { .. } => {
                "log closer readings at the start, and go on until the reading is steady"
            }
            Self::Unsolved(_) => "check conductances, restrictor and resistances and their units",
        }
    }
}
