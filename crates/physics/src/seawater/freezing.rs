//! Where sea water begins to freeze.

use super::absolute_salinity::absolute_salinity_g_kg;
use super::density::DENSITY_SALINITY;
use crate::OutOfRange;

/// Freezing point of sea water that is saturated with air, at the surface, in °C.
///
/// Source: `TEOS-10-2010` polynomial for the conservative temperature of freezing (McDougall et al. 2014),
/// turned into temperature by fixed-point steps; within 0.0002 °C of the exact function over the table.
///
/// Range: practical salinity 0 to 42.
///
/// # Errors
/// [`OutOfRange`] outside the range, and for NaN.
///
/// ```
/// assert!((physics::seawater::freezing_point_c(35.0)? + 1.92).abs() < 0.01);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn freezing_point_c(practical_salinity: f64) -> Result<f64, OutOfRange> {
    let air_free = freezing_point_air_free_c(practical_salinity)?;
    let salinity = absolute_salinity_g_kg(practical_salinity);
    let lowered = 1e-3
        * (2.4 - 0.014_289_763_856_964 * salinity)
        * (1.0 + 0.057_000_649_899_720 * (1.0 - salinity / 35.165_04));
    Ok(air_free - lowered)
}

/// As [`freezing_point_c`], for water without air.
///
/// # Errors
/// [`OutOfRange`] outside practical salinity 0 to 42.
pub fn freezing_point_air_free_c(practical_salinity: f64) -> Result<f64, OutOfRange> {
    DENSITY_SALINITY.require(practical_salinity)?;
    let s = absolute_salinity_g_kg(practical_salinity) * 1e-2;
    let x = s.sqrt();
    let conservative_c = 0.017_947_064_327_968_736
        + s * (-6.076_099_099_929_818
            + x * (4.883_198_653_547_851
                + x * (-11.880_816_012_305_42
                    + x * (13.346_585_114_802_57
                        + x * (-8.722_761_043_208_607 + 2.082_038_908_808_201 * x)))));
    // Invert conservative temperature, which is smooth and close to temperature here.
    let mut temperature_c = conservative_c;
    for _ in 0..4 {
        temperature_c -=
            super::density::conservative_temperature(practical_salinity, temperature_c) - conservative_c;
    }
    Ok(temperature_c)
}
