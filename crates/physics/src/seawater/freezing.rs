//! The freezing point at one atmosphere.

use super::{
    absolute_salinity::ABSOLUTE_PER_PRACTICAL_G_KG, limits::PRACTICAL_SALINITY, thermal_equation::horner,
};
use crate::OutOfRange;

/// Absolute salinity of the standard ocean, in g/kg.
const STANDARD_OCEAN_G_KG: f64 = 35.165_04;

/// Returns the freezing point of sea water free of dissolved air, in °C.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
///
/// # Errors
/// [`OutOfRange`] for a salinity outside the range, and for NaN.
///
/// # Source
/// `TEOS-10-2010`: the polynomial in absolute salinity from which the toolbox starts its exact search, at sea
/// pressure 0. It's within 0.002 °C of the exact value.
///
/// # Examples
/// ```
/// use physics::seawater::freezing_point_air_free_c;
///
/// assert!((freezing_point_air_free_c(35.0)? + 1.92).abs() < 0.005);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn freezing_point_air_free_c(practical_salinity: f64) -> Result<f64, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    let s = practical_salinity * ABSOLUTE_PER_PRACTICAL_G_KG * 1e-2;
    let x = s.sqrt();
    let saline = [
        -5.946_302_841_607_319,
        4.136_051_661_346_983,
        -11.151_505_234_038_47,
        14.768_787_461_845_48,
        -10.888_732_636_309_61,
        2.961_018_839_640_73,
    ];
    Ok(0.002_519 + s * horner(x, saline))
}

/// Returns the freezing point of sea water saturated with air, in °C: about 0.002 °C lower.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
///
/// # Errors
/// [`OutOfRange`] for a salinity outside the range, and for NaN.
///
/// # Source
/// `TEOS-10-2010`, as [`freezing_point_air_free_c`]; the effect of air is `0.0024 - 0.001 S_A/(2 · 35.16504)` °C.
///
/// # Examples
/// ```
/// use physics::seawater::freezing_point_air_saturated_c;
///
/// assert!((freezing_point_air_saturated_c(35.0)? + 1.92).abs() < 0.005);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn freezing_point_air_saturated_c(practical_salinity: f64) -> Result<f64, OutOfRange> {
    let air_free_c = freezing_point_air_free_c(practical_salinity)?;
    let salinity_g_kg = practical_salinity * ABSOLUTE_PER_PRACTICAL_G_KG;
    Ok(air_free_c - 1e-3 * (2.4 - salinity_g_kg / (2.0 * STANDARD_OCEAN_G_KG)))
}
