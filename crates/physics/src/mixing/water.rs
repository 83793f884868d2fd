//! A body of salt water, its mass and its salt.

use super::error::MixingError;
use crate::{
    Range,
    numerics::{RootError, try_bracketed_root},
    seawater::{DENSITY_SALINITY, density_kg_m3, salt_mass_fraction},
};

/// Amounts that are taken for real. House rule: a cubic millimetre up to a cube of 100 m.
pub(super) const VOLUME: Range = Range {
    quantity: "volume",
    unit: "m³",
    min: 1e-9,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
/// As [`VOLUME`]: a milligram up to a million tonnes.
pub(super) const MASS: Range = Range {
    quantity: "mass",
    unit: "kg",
    min: 1e-6,
    max: 1e9,
    source_key: "HOUSE-RULE",
};
/// So much salt water, of one salinity and one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Volume at its own temperature.
    pub volume_m3: f64,
    /// Practical salinity, `0..=42`.
    pub practical_salinity: f64,
    /// Temperature.
    pub temperature_c: f64,
}

impl Water {
    /// Mass, in kg.
    ///
    /// # Errors
    /// [`MixingError::OutOfRange`] for a volume outside `10⁻⁹..=10⁶` m³, and where density isn't known.
    pub fn mass_kg(&self) -> Result<f64, MixingError> {
        Ok(VOLUME.require(self.volume_m3)? * density_kg_m3(self.practical_salinity, self.temperature_c)?)
    }

    /// Mass of anhydrous sea salt in it, in kg.
    ///
    /// # Errors
    /// As [`mass_kg`](Self::mass_kg).
    pub fn salt_kg(&self) -> Result<f64, MixingError> {
        Ok(self.mass_kg()? * salt_mass_fraction(self.practical_salinity))
    }
}

/// Returns the practical salinity at which a cubic metre holds a mass of salt: the root of `s(SP)·ρ(SP, t) = c`.
///
/// # Arguments
/// * `salt_kg_m3`: anhydrous sea salt per volume of solution, `0` to about 43.
/// * `temperature_c`: for which density is known.
///
/// # Errors
/// [`MixingError::OutOfRange`] for less than nothing, and for more than water of practical salinity 42 holds.
///
/// # Source
/// Definition of the mass fraction; density as in [`seawater`](crate::seawater).
pub fn practical_salinity_of_salt_per_volume(
    salt_kg_m3: f64,
    temperature_c: f64,
) -> Result<f64, MixingError> {
    let most_kg_m3 =
        salt_mass_fraction(DENSITY_SALINITY.max) * density_kg_m3(DENSITY_SALINITY.max, temperature_c)?;
    let range = Range {
        quantity: "salt",
        unit: "kg/m³",
        min: 0.0,
        max: most_kg_m3,
        source_key: "TEOS-10-2010",
    };
    range.require(salt_kg_m3)?;
    solve_practical_salinity(0.0, |practical_salinity| {
        let density = density_kg_m3(practical_salinity, temperature_c)?;
        Ok(salt_mass_fraction(practical_salinity) * density - salt_kg_m3)
    })
}

/// The practical salinity from `low` to 42 at which a balance is met; refused where it would lie beyond 42.
pub(super) fn solve_practical_salinity(
    low: f64,
    balance: impl FnMut(f64) -> Result<f64, MixingError>,
) -> Result<f64, MixingError> {
    // Far below any instrument, far above rounding.
    let root = try_bracketed_root(balance, low, DENSITY_SALINITY.max, 1e-12);
    match root {
        Ok(root) => Ok(root.x),
        Err(RootError::Function(error)) => Err(error),
        // All balances here rise with salinity from below nothing: no change of sign means beyond the range.
        Err(_) => Err(MixingError::TooSalty {
            most_practical_salinity: DENSITY_SALINITY.max,
        }),
    }
}
