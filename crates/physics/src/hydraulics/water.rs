//! The water that stands or flows in a line, as far as hydraulics asks.

use super::error::HydraulicsError;
use crate::{Range, seawater};

/// From water near freezing to brine at the floor of a vessel.
pub(super) const DENSITY: Range = Range {
    quantity: "density of the water in a line",
    unit: "kg/m³",
    min: 900.0,
    max: 1300.0,
    source_key: "HOUSE-RULE",
};
/// Water at 90 °C to brine near freezing.
pub(super) const VISCOSITY: Range = Range {
    quantity: "kinematic viscosity of the water in a line",
    unit: "m²/s",
    min: 2e-7,
    max: 1e-5,
    source_key: "HOUSE-RULE",
};

/// Density and viscosity of the water in a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineWater {
    density_kg_m3: f64,
    kinematic_viscosity_m2_s: f64,
}

impl LineWater {
    /// Water of known density ρ, `900..=1300`, and kinematic viscosity ν, `2e-7..=1e-5`.
    ///
    /// # Errors
    /// [`HydraulicsError::OutOfRange`].
    pub fn new(density_kg_m3: f64, kinematic_viscosity_m2_s: f64) -> Result<Self, HydraulicsError> {
        Ok(Self {
            density_kg_m3: DENSITY.require(density_kg_m3)?,
            kinematic_viscosity_m2_s: VISCOSITY.require(kinematic_viscosity_m2_s)?,
        })
    }

    /// Water of a practical salinity, `0..=42`, at a temperature, `0..=40` °C.
    ///
    /// # Errors
    /// [`HydraulicsError::OutOfRange`].
    ///
    /// # Source
    /// `TEOS-10-2010`, `SHARQAWY-2010`, through [`seawater`].
    pub fn of_salinity(practical_salinity: f64, temperature_c: f64) -> Result<Self, HydraulicsError> {
        let density_kg_m3 = seawater::density_kg_m3(practical_salinity, temperature_c)?;
        Self::new(
            density_kg_m3,
            seawater::kinematic_viscosity_m2_s(practical_salinity, temperature_c)?,
        )
    }

    /// Water of 1000 kg/m³ and 10⁻⁶ m²/s: near enough to fresh water at 20 °C.
    pub fn nominal() -> Self {
        Self {
            density_kg_m3: 1000.0,
            kinematic_viscosity_m2_s: 1e-6,
        }
    }

    /// ρ, kg/m³.
    pub fn density_kg_m3(self) -> f64 {
        self.density_kg_m3
    }

    /// ν, m²/s.
    pub fn kinematic_viscosity_m2_s(self) -> f64 {
        self.kinematic_viscosity_m2_s
    }
}
