//! Refractive index against air.

use super::density::DENSITY_SALINITY;
use crate::{OutOfRange, Range};

/// Wavelength of the sodium D line, at which hand refractometers are scaled, nm.
pub const SODIUM_D_NM: f64 = 589.3;

/// Salinity over which the formula was fitted; above it this room extrapolates.
pub const REFRACTION_STATED: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 35.0,
    source_key: "QUAN-FRY-1995",
};
/// Temperature over which the formula was fitted.
pub const REFRACTION_STATED_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 30.0,
    source_key: "QUAN-FRY-1995",
};

const USABLE_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 35.0,
    source_key: "QUAN-FRY-1995",
};
const USABLE_WAVELENGTH: Range = Range {
    quantity: "wavelength",
    unit: "nm",
    min: 400.0,
    max: 700.0,
    source_key: "QUAN-FRY-1995",
};

/// Refractive index of sea water against air at the sodium D line.
///
/// # Errors
/// As [`refractive_index_at`].
///
/// ```
/// assert!((physics::seawater::refractive_index(35.0, 20.0)? - 1.33941).abs() < 1e-5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn refractive_index(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    refractive_index_at(SODIUM_D_NM, practical_salinity, temperature_c)
}

/// Refractive index of sea water against air at a wavelength in nm.
///
/// Source: `QUAN-FRY-1995` equation 3, fitted to 0 to 30 °C, salinity 0 to 35, 400 to 700 nm. Used to
/// salinity 42 and −2 to 35 °C; beyond the fit it extrapolates ([`REFRACTION_STATED`]).
///
/// # Errors
/// [`OutOfRange`] outside the usable range, and for NaN.
pub fn refractive_index_at(
    wavelength_nm: f64,
    practical_salinity: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let w = USABLE_WAVELENGTH.require(wavelength_nm)?;
    let s = DENSITY_SALINITY.require(practical_salinity)?;
    let t = USABLE_TEMPERATURE.require(temperature_c)?;
    Ok(index_fresh(w, t) + index_per_salinity(w, t) * s)
}

/// Practical salinity of water of this refractive index at the sodium D line; the inverse of [`refractive_index`].
///
/// # Errors
/// [`OutOfRange`] where the index isn't that of water between salinity 0 and 42 at this temperature (its
/// [`Range`] then carries the limits there), outside −2 to 35 °C, and for NaN.
///
/// ```
/// let salinity = physics::seawater::practical_salinity_from_refractive_index(1.33941, 20.0)?;
/// assert!((salinity - 35.0).abs() < 0.05);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity_from_refractive_index(
    refractive_index: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    // Linear in salinity, so two points tell all.
    let low = self::refractive_index(0.0, temperature_c)?;
    let high = self::refractive_index(DENSITY_SALINITY.max, temperature_c)?;
    Range {
        quantity: "refractive index at this temperature",
        unit: "",
        min: low,
        max: high,
        source_key: "QUAN-FRY-1995",
    }
    .require(refractive_index)?;
    Ok(DENSITY_SALINITY.max * (refractive_index - low) / (high - low))
}

/// Index of fresh water, unchecked.
pub(crate) fn index_fresh(wavelength_nm: f64, temperature_c: f64) -> f64 {
    let (w, t) = (wavelength_nm, temperature_c);
    1.31405 - 2.02e-6 * t * t + (15.868 - 0.00423 * t) / w - 4382.0 / (w * w) + 1.1455e6 / (w * w * w)
}

/// Rise of the index for each unit of salinity, unchecked: the formula is linear in salinity.
pub(crate) fn index_per_salinity(wavelength_nm: f64, temperature_c: f64) -> f64 {
    let t = temperature_c;
    1.779e-4 + t * (-1.05e-6 + 1.6e-8 * t) + 0.01155 / wavelength_nm
}
