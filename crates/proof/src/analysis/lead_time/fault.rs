//! Why there is no lead time.

/// Why a volume can't be made ready.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LeadTimeFault {
    /// Nothing is wanted.
    #[error("the volume must be above 0")]
    NoVolume,
    /// No vessel mixes salt water.
    #[error("no vessel of this station holds salt water, so none can be mixed")]
    NoVessel,
    /// The strength of the salt isn't known.
    #[error("nobody told how strong the salt mix is, so its mass can't be computed")]
    NoSalt,
    /// Not enough fresh water, and nothing makes more.
    #[error("{short_m3} m³ of fresh water are wanting, and no purifier is described that makes them")]
    NoFresh {
        /// What is wanting.
        short_m3: f64,
    },
    /// More than so many batches.
    #[error(
        "that is more than {most_m3} m³, which the largest vessel makes in twenty batches of {capacity_m3} m³"
    )]
    TooMuch {
        /// One batch.
        capacity_m3: f64,
        /// The most.
        most_m3: f64,
    },
    /// The recipe can't be computed.
    #[error("the batch can't be computed at this salinity and temperature")]
    NoRecipe,
}

impl LeadTimeFault {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::NoVolume => "write it as --volume \"120 L\"",
            Self::NoVessel => "add a vessel with holds = \"salt\"",
            Self::NoSalt => "add [salt] with the label of the mix",
            Self::NoFresh { .. } => "describe the purifier, or keep more fresh water",
            Self::TooMuch { .. } => "ask for less, or take a larger vessel",
            Self::NoRecipe => "check target_salinity and mixing_temperature of the vessel",
        }
    }
}
