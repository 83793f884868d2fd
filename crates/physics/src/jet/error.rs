//! Why a question about a jet, or about what it stirs, was refused.

use crate::OutOfRange;

/// Why a question about a jet has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum JetError {
    /// An argument, or a number made of them, outside the range in which the answer is believed.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A nozzle above the water.
    #[error("a nozzle {nozzle_height_m} m above the floor is above {depth_m} m of water")]
    NozzleDry {
        /// Height of the nozzle over the floor.
        nozzle_height_m: f64,
        /// Depth of the water.
        depth_m: f64,
    },
    /// A nozzle that points at the floor or surface it lies in.
    #[error(
        "a nozzle {nozzle_height_m} m above the floor, pointing {above_horizontal_deg}° above the horizontal, has no \
         water before it"
    )]
    NoPath {
        /// Height of the nozzle over the floor.
        nozzle_height_m: f64,
        /// Elevation of the jet.
        above_horizontal_deg: f64,
    },
    /// Jet and vessel are equally dense, so that density does nothing.
    #[error("jet and water both have {density_kg_m3} kg/m³: density neither bends nor stops the jet")]
    EqualDensities {
        /// Density of both.
        density_kg_m3: f64,
    },
    /// A jet so slow that it spreads along floor or surface like a spill.
    #[error("a densimetric Froude number of {froude} is below {least_froude}: this is a spill, not a jet")]
    SpillsBeforeItMixes {
        /// Densimetric Froude number of the jet.
        froude: f64,
        /// Least for which a reach is given.
        least_froude: f64,
    },
    /// A grain lighter than the liquid.
    #[error("a grain of {grain_kg_m3} kg/m³ doesn't sink in {liquid_kg_m3} kg/m³")]
    GrainFloats {
        /// Density of the grain.
        grain_kg_m3: f64,
        /// Density of the liquid.
        liquid_kg_m3: f64,
    },
    /// Water that takes no more salt.
    #[error("{bulk_kg_m3} kg/m³ of salt in the water is not below the saturation of {saturated_kg_m3} kg/m³")]
    Saturated {
        /// Salt in the water.
        bulk_kg_m3: f64,
        /// Salt at saturation.
        saturated_kg_m3: f64,
    },
}

impl JetError {
    /// What to do about it, in words.
    pub fn mend(&self) -> &'static str {
        match self {
            Self::OutOfRange(_) => "check the value and its unit",
            Self::NozzleDry { .. } => "fill further, or bring the nozzle under the water",
            Self::NoPath { .. } => "turn the nozzle into the water",
            Self::EqualDensities { .. } => "reckon the mixing time alone",
            Self::SpillsBeforeItMixes { .. } => {
                "take a smaller bore or more flow, or add the salt more slowly"
            }
            Self::GrainFloats { .. } => "check both densities; salt sinks",
            Self::Saturated { .. } => "add water, or check both concentrations",
        }
    }
}
