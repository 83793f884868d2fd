//! How fast a grain sinks.

use super::error::JetError;
use super::limits::{DENSITY, GRAVITY_M_S2, KINEMATIC_VISCOSITY};
use crate::{OutOfRange, Range};

/// Dust up to a pebble.
const DIAMETER: Range = Range {
    quantity: "diameter of the grain",
    unit: "m",
    min: 1e-5,
    max: 0.02,
    source_key: "HOUSE-RULE",
};
/// A grain lighter than the water is refused by name; no salt of the trade is heavier than 4000 kg/m³.
const GRAIN_DENSITY: Range = Range {
    quantity: "density of the grain",
    unit: "kg/m³",
    min: 900.0,
    max: 4000.0,
    source_key: "HOUSE-RULE",
};
const VISCOSITY: Range = Range {
    quantity: "dynamic viscosity",
    unit: "Pa·s",
    min: 3e-4,
    max: 5e-3,
    source_key: "HOUSE-RULE",
};

/// The water around a grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Density, ρ, `950..=1250` kg/m³.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, `3e-4..=5e-3` Pa·s.
    pub viscosity_pa_s: f64,
}

impl Liquid {
    /// Density and kinematic viscosity, checked.
    pub(super) fn require(&self) -> Result<(f64, f64), OutOfRange> {
        let density = DENSITY.require(self.density_kg_m3)?;
        let kinematic = KINEMATIC_VISCOSITY.require(VISCOSITY.require(self.viscosity_pa_s)? / density)?;
        Ok((density, kinematic))
    }
}

/// What a grain looks like, for its drag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrainShape {
    /// A smooth sphere.
    Sphere,
    /// A natural grain, measured by sieve.
    Natural,
}

/// A grain of solid salt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Diameter, D, `1e-5..=0.02` m.
    pub diameter_m: f64,
    /// Density of the solid, `900..=4000` kg/m³; common salt 2165 (from memory).
    pub density_kg_m3: f64,
    /// Its shape.
    pub shape: GrainShape,
}

impl Grain {
    pub(super) fn require(&self) -> Result<(f64, f64), OutOfRange> {
        Ok((
            DIAMETER.require(self.diameter_m)?,
            GRAIN_DENSITY.require(self.density_kg_m3)?,
        ))
    }

    /// Weight under water by that of as much water, R: `(ρ_s − ρ)/ρ`.
    pub(super) fn submerged(&self, liquid: &Liquid) -> Result<f64, JetError> {
        let (_, grain_kg_m3) = self.require()?;
        let (liquid_kg_m3, _) = liquid.require()?;
        if grain_kg_m3 <= liquid_kg_m3 {
            return Err(JetError::GrainFloats {
                grain_kg_m3,
                liquid_kg_m3,
            });
        }
        Ok((grain_kg_m3 - liquid_kg_m3) / liquid_kg_m3)
    }
}

/// Returns the speed at which a grain sinks through still water, m/s: `R·g·D²/(18·ν + √(0.75·C₂·R·g·D³))`, C₂ = 0.4 for
/// smooth spheres and 1.0 for natural grains.
///
/// Doubt: 10 % for sand; flat crystals sink more slowly, and a cloud of grains sinks as a cloud.
///
/// # Errors
/// [`JetError::GrainFloats`], [`JetError::OutOfRange`].
///
/// # Source
/// `FERGUSON-CHURCH-2004`.
///
/// # Examples
/// ```
/// use physics::jet::{Grain, GrainShape, Liquid, settling_speed_m_s};
///
/// let water = Liquid { density_kg_m3: 1000.0, viscosity_pa_s: 1e-3 };
/// let salt = Grain { diameter_m: 1e-3, density_kg_m3: 2165.0, shape: GrainShape::Natural };
/// assert!((settling_speed_m_s(&salt, &water)? - 0.103).abs() < 0.001);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn settling_speed_m_s(grain: &Grain, liquid: &Liquid) -> Result<f64, JetError> {
    let (diameter_m, _) = grain.require()?;
    let (_, kinematic) = liquid.require()?;
    Ok(sinking(
        diameter_m,
        grain.submerged(liquid)?,
        kinematic,
        grain.shape,
    ))
}

/// The same without checks, for a grain that dwindles to nothing.
pub(super) fn sinking(diameter_m: f64, submerged: f64, kinematic: f64, shape: GrainShape) -> f64 {
    let drag = match shape {
        GrainShape::Sphere => 0.4,
        GrainShape::Natural => 1.0,
    };
    let pull = submerged * GRAVITY_M_S2 * diameter_m * diameter_m;
    pull / (18.0 * kinematic + (0.75 * drag * pull * diameter_m).sqrt())
}
