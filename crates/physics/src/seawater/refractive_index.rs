//! Refractive index against air, and salinity back from it.

use super::limits::{PRACTICAL_SALINITY, StatedRange};
use crate::{OutOfRange, Range};

/// Wavelength of the sodium D line, in nm: what refractometers are engraved for.
pub const SODIUM_D_NM: f64 = 589.3;

/// The range the formula of Quan and Fry was stated for. The kernels answer up to salinity 42 and 35 °C, which
/// is an extrapolation.
pub const QUAN_FRY_STATED: StatedRange = StatedRange {
    practical_salinity: Range {
        quantity: "practical salinity",
        unit: "",
        min: 0.0,
        max: 35.0,
        source_key: "QUAN-FRY-1995",
    },
    temperature: Range {
        quantity: "temperature",
        unit: "°C",
        min: 0.0,
        max: 30.0,
        source_key: "QUAN-FRY-1995",
    },
};

const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 35.0,
    source_key: "QUAN-FRY-1995",
};

const WAVELENGTH: Range = Range {
    quantity: "wavelength",
    unit: "nm",
    min: 400.0,
    max: 700.0,
    source_key: "QUAN-FRY-1995",
};

/// Returns the refractive index of sea water against air at one atmosphere.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`; stated by the source up to 35, see [`QUAN_FRY_STATED`].
/// * `temperature_c`: `0..=35`; stated up to 30.
/// * `wavelength_nm`: `400..=700`; [`SODIUM_D_NM`] for a refractometer.
///
/// # Errors
/// [`OutOfRange`] for an argument outside the ranges above, and for NaN.
///
/// # Source
/// `QUAN-FRY-1995` equation 3. The tables of `AUSTIN-HALIKAS-1976`, to which it was fitted, are met within 6·10⁻⁵.
///
/// # Examples
/// ```
/// use physics::seawater::{SODIUM_D_NM, refractive_index};
///
/// assert!((refractive_index(35.0, 20.0, SODIUM_D_NM)? - 1.33941).abs() < 1e-5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn refractive_index(
    practical_salinity: f64,
    temperature_c: f64,
    wavelength_nm: f64,
) -> Result<f64, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    TEMPERATURE.require(temperature_c)?;
    WAVELENGTH.require(wavelength_nm)?;
    Ok(index_fresh(temperature_c, wavelength_nm)
        + index_per_salinity(temperature_c, wavelength_nm) * practical_salinity)
}

/// Returns the practical salinity of sea water of this refractive index; inverse of [`refractive_index`].
///
/// # Arguments
/// * `refractive_index`: against air; between those of salinity 0 and 42.
/// * `temperature_c`: of the water, `0..=35`.
/// * `wavelength_nm`: `400..=700`.
///
/// # Errors
/// [`OutOfRange`] for a temperature or wavelength outside the ranges above, for an index that no salinity of
/// `0..=42` gives there (its [`Range`] then carries the limits), and for NaN.
///
/// # Source
/// As [`refractive_index`].
///
/// # Examples
/// ```
/// use physics::seawater::{SODIUM_D_NM, practical_salinity_from_refractive_index};
///
/// let salinity = practical_salinity_from_refractive_index(1.33941, 20.0, SODIUM_D_NM)?;
/// assert!((salinity - 35.0).abs() < 0.05);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity_from_refractive_index(
    refractive_index: f64,
    temperature_c: f64,
    wavelength_nm: f64,
) -> Result<f64, OutOfRange> {
    TEMPERATURE.require(temperature_c)?;
    WAVELENGTH.require(wavelength_nm)?;
    let fresh = index_fresh(temperature_c, wavelength_nm);
    let slope = index_per_salinity(temperature_c, wavelength_nm);
    let saltiest = PRACTICAL_SALINITY.max;
    let range = Range {
        quantity: "refractive index",
        unit: "",
        min: fresh,
        max: fresh + slope * saltiest,
        source_key: "QUAN-FRY-1995",
    };
    let salinity = (range.require(refractive_index)? - fresh) / slope;
    Ok(if salinity > saltiest { saltiest } else { salinity })
}

/// Index of fresh water, unchecked.
pub(super) fn index_fresh(temperature_c: f64, wavelength_nm: f64) -> f64 {
    let (t, l) = (temperature_c, wavelength_nm);
    1.31405 - 2.02e-6 * t * t + (15.868 - 0.00423 * t - (4382.0 - 1.1455e6 / l) / l) / l
}

/// Rise of the index for each unit of salinity, unchecked: the formula is linear in salinity.
pub(super) fn index_per_salinity(temperature_c: f64, wavelength_nm: f64) -> f64 {
    let t = temperature_c;
    1.779e-4 + t * (-1.05e-6 + 1.6e-8 * t) + 0.01155 / wavelength_nm
}
