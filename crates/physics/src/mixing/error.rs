//! Why a mixture was refused, with what would be possible.

use crate::OutOfRange;

/// Why a question about mixing has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MixingError {
    /// An argument, or the answer, outside the range in which it is known.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// An answer saltier than the water whose density is known.
    #[error(
        "the water would be saltier than practical salinity {most_practical_salinity}, beyond which \
         its density is not known"
    )]
    TooSalty {
        /// Highest practical salinity reckoned with.
        most_practical_salinity: f64,
    },
    /// A label that promises more salt than the mass holds.
    #[error(
        "{dry_mass_kg} kg cannot give that salinity: salt without any water in it takes {least_dry_mass_kg} kg"
    )]
    LabelImpossible {
        /// Anhydrous fraction the label amounts to, above 1.
        strength: f64,
        /// Mass on the label.
        dry_mass_kg: f64,
        /// Mass that an anhydrous salt would take.
        least_dry_mass_kg: f64,
    },
    /// A label by which most of the mix would be water.
    #[error("{dry_mass_kg} kg for that salinity make the mix only {strength} salt, below {least_strength}")]
    LabelTooWeak {
        /// Anhydrous fraction the label amounts to.
        strength: f64,
        /// Mass on the label.
        dry_mass_kg: f64,
        /// Weakest mix believed.
        least_strength: f64,
    },
    /// The remainder holds more salt than the finished batch may.
    #[error(
        "the remainder is too strong: water alone gives practical salinity {water_only_practical_salinity}, \
         or the wanted one in at least {least_finished_volume_m3} m³"
    )]
    RemainderTooStrong {
        /// What filling up with fresh water alone gives.
        water_only_practical_salinity: f64,
        /// Smallest finished volume in which the target is met.
        least_finished_volume_m3: f64,
    },
    /// The finished batch has no room for the salt the remainder needs.
    #[error("with the remainder and its salt the batch comes to at least {least_finished_volume_m3} m³")]
    FinishedVolumeTooSmall {
        /// Smallest finished volume in which the target is met.
        least_finished_volume_m3: f64,
    },
    /// A target that lies on the other side of what this trim can do.
    #[error("from practical salinity {measured} this trim cannot reach {target}")]
    WrongDirection {
        /// Practical salinity now.
        measured: f64,
        /// Practical salinity wanted.
        target: f64,
    },
    /// A target that the replacing water doesn't reach.
    #[error("replacing {measured} by {replacement} cannot reach practical salinity {target}")]
    TargetBeyondReplacement {
        /// Practical salinity now.
        measured: f64,
        /// Practical salinity wanted.
        target: f64,
        /// Practical salinity of the replacing water.
        replacement: f64,
    },
    /// More water than there is room for.
    #[error("{volume_m3} m³ do not fit into {room_m3} m³")]
    NoRoom {
        /// Water there is.
        volume_m3: f64,
        /// Room there is.
        room_m3: f64,
    },
    /// More evaporates than there is water.
    #[error("{evaporated_volume_m3} m³ cannot evaporate: only {water_volume_m3} m³ of water are there")]
    EvaporatesDry {
        /// Water said to evaporate.
        evaporated_volume_m3: f64,
        /// Pure water there is.
        water_volume_m3: f64,
    },
    /// A target of fresh water where salt is weighed out.
    #[error("fresh water takes no salt, so that no mass of salt fixes its volume")]
    FreshTarget,
}

impl MixingError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::TooSalty { .. } => "check the volumes, and top off with fresh water",
            Self::LabelImpossible { .. } => {
                "check mass, volume and salinity of the label, and whether its volume is of water before the salt"
            }
            Self::LabelTooWeak { .. } => {
                "check mass and volume of the label; no sea-salt mix is known that holds so much water"
            }
            Self::RemainderTooStrong { .. } => {
                "fill up further, draw off some of the remainder first, or accept the higher salinity"
            }
            Self::FinishedVolumeTooSmall { .. } => "fill up further, or draw off some of the remainder first",
            Self::WrongDirection { .. } => "add water to weaken, salt to strengthen",
            Self::TargetBeyondReplacement { .. } => "replace by weaker water, by stronger water, or add salt",
            Self::NoRoom { .. } => "draw some off first",
            Self::EvaporatesDry { .. } => "check the evaporated volume and its unit",
            Self::FreshTarget => "give a target above 0",
        }
    }
}
