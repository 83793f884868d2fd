//! Viscosity at one atmosphere.

use super::{
    absolute_salinity::ABSOLUTE_PER_PRACTICAL_G_KG, density::density_kg_m3, limits::PRACTICAL_SALINITY,
};
use crate::{OutOfRange, Range};

const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 180.0,
    source_key: "SHARQAWY-2010",
};

const ABSOLUTE_SALINITY: Range = Range {
    quantity: "absolute salinity",
    unit: "g/kg",
    min: 0.0,
    max: 150.0,
    source_key: "SHARQAWY-2010",
};

/// Returns the dynamic viscosity of sea water, in Pa·s, from practical salinity.
///
/// As [`dynamic_viscosity_sharqawy_pa_s`], with absolute salinity of the reference composition.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
/// * `temperature_c`: `0..=180`.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
///
/// # Source
/// `SHARQAWY-2010` equations 22 and 23.
///
/// # Examples
/// ```
/// use physics::seawater::dynamic_viscosity_pa_s;
///
/// assert!((dynamic_viscosity_pa_s(35.0, 25.0)? - 0.959e-3).abs() < 0.002e-3);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn dynamic_viscosity_pa_s(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    dynamic_viscosity_sharqawy_pa_s(practical_salinity * ABSOLUTE_PER_PRACTICAL_G_KG, temperature_c)
}

/// Returns the dynamic viscosity of sea water or brine, in Pa·s.
///
/// # Arguments
/// * `absolute_salinity_g_kg`: g of sea salt per kg of water, `0..=150`.
/// * `temperature_c`: `0..=180`; above 100 under the pressure that keeps it liquid.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
///
/// # Source
/// `SHARQAWY-2010` equations 22 and 23; stated accuracy 1.5 %. Its limit for pure water is within 0.1 % of
/// `IAPWS-R12-2008`.
///
/// # Examples
/// ```
/// use physics::seawater::dynamic_viscosity_sharqawy_pa_s;
///
/// assert!((dynamic_viscosity_sharqawy_pa_s(0.0, 20.0)? - 1.002e-3).abs() < 1e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn dynamic_viscosity_sharqawy_pa_s(
    absolute_salinity_g_kg: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let s = ABSOLUTE_SALINITY.require(absolute_salinity_g_kg)? / 1000.0;
    let t = TEMPERATURE.require(temperature_c)?;
    let from_pole = t + 64.993;
    let pure = 4.2844e-5 + 1.0 / (0.157 * from_pole * from_pole - 91.296);
    let a = 1.541 + 1.998e-2 * t - 9.52e-5 * t * t;
    let b = 7.974 - 7.561e-2 * t + 4.724e-4 * t * t;
    Ok(pure * (1.0 + a * s + b * s * s))
}

/// Returns the kinematic viscosity of sea water, in m²/s: dynamic viscosity over density.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
/// * `temperature_c`: `0..=40`.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
///
/// # Source
/// [`dynamic_viscosity_pa_s`] and [`density_kg_m3`].
///
/// # Examples
/// ```
/// use physics::seawater::kinematic_viscosity_m2_s;
///
/// assert!((kinematic_viscosity_m2_s(35.0, 25.0)? - 0.937e-6).abs() < 0.002e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn kinematic_viscosity_m2_s(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(dynamic_viscosity_pa_s(practical_salinity, temperature_c)?
        / density_kg_m3(practical_salinity, temperature_c)?)
}
