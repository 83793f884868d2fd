//! Viscosity of sea water.

use super::absolute_salinity::salt_mass_fraction;
use super::density::{DENSITY_SALINITY, DENSITY_TEMPERATURE, density_kg_m3};
use crate::OutOfRange;

/// Dynamic viscosity, in Pa s.
///
/// Source: `SHARQAWY-2010` equations 22 and 23, stated good to 1.5 % for 0 to 180 °C and 0 to 150 g/kg.
/// Used here for practical salinity 0 to 42 and −2 to 40 °C (below 0 °C it extrapolates).
///
/// # Errors
/// [`OutOfRange`] outside the range, and for NaN.
///
/// ```
/// assert!((physics::seawater::viscosity_pa_s(0.0, 20.0)? - 1.002e-3).abs() < 2e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn viscosity_pa_s(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    DENSITY_SALINITY.require(practical_salinity)?;
    let t = DENSITY_TEMPERATURE.require(temperature_c)?;
    let s = salt_mass_fraction(practical_salinity);
    let pure = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993) * (t + 64.993) - 91.296);
    let a = 1.541 + t * (1.998e-2 - 9.52e-5 * t);
    let b = 7.974 + t * (-7.561e-2 + 4.724e-4 * t);
    Ok(pure * (1.0 + s * (a + b * s)))
}

/// Kinematic viscosity, in m²/s: dynamic viscosity over density.
///
/// # Errors
/// [`OutOfRange`] as for [`viscosity_pa_s`].
///
/// ```
/// assert!((physics::seawater::kinematic_viscosity_m2_s(35.0, 25.0)? - 0.937e-6).abs() < 0.002e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn kinematic_viscosity_m2_s(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(
        viscosity_pa_s(practical_salinity, temperature_c)?
            / density_kg_m3(practical_salinity, temperature_c)?,
    )
}
