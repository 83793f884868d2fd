//! Solutions of sodium chloride: density, refractive index, conductivity.
//!
//! Owns: the properties in which a solution of table salt can stand in for sea water. Which solution to make is
//! told in [`check_solution`](super::check_solution).

use super::{
    density::pure_water_density_kg_m3,
    practical_scale::horner,
    refractive_index::{SODIUM_D_NM, index_fresh, index_per_salinity},
};
use crate::{OutOfRange, Range};

/// Molar mass of sodium chloride, in g/mol.
pub const SODIUM_CHLORIDE_MOLAR_MASS_G_MOL: f64 = 58.443;

const MASS_FRACTION: Range = Range {
    quantity: "sodium chloride in the solution",
    unit: "g/kg",
    min: 0.0,
    max: 60.0,
    source_key: "CRC-SOLUTIONS",
};

const DENSITY_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 40.0,
    source_key: "ROGERS-PITZER-1982",
};

const INDEX_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 15.0,
    max: 30.0,
    source_key: "CRC-SOLUTIONS",
};

const CONDUCTIVITY_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 15.0,
    max: 30.0,
    source_key: "WADSWORTH-2012",
};

/// Temperature of the tables of refractive index, in °C.
const TABLE_TEMPERATURE_C: f64 = 20.0;

/// Returns the density of a solution of sodium chloride at one atmosphere, in kg/m³.
///
/// # Arguments
/// * `sodium_chloride_g_kg`: grams in a kilogram of solution, `0..=60`.
/// * `temperature_c`: `0..=40`.
///
/// # Errors
/// [`OutOfRange`] for an argument outside the ranges above, and for NaN.
///
/// # Source
/// Own fit of six coefficients, on top of pure water, to the specific volumes of `ROGERS-PITZER-1982` at 0, 10,
/// 20, 25, 30 and 40 °C and 0.1 to 1 mol/kg: within 0.05 kg/m³, and within 0.1 kg/m³ of `CRC-SOLUTIONS`.
///
/// # Examples
/// ```
/// use physics::seawater::sodium_chloride_density_kg_m3;
///
/// assert!((sodium_chloride_density_kg_m3(35.0, 20.0)? - 1023.2).abs() < 0.1);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn sodium_chloride_density_kg_m3(
    sodium_chloride_g_kg: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let w = MASS_FRACTION.require(sodium_chloride_g_kg)?;
    let t = DENSITY_TEMPERATURE.require(temperature_c)? - TABLE_TEMPERATURE_C;
    let first = horner(t, [0.7127, -1.887e-3, 2.968e-5, -2.321e-7]);
    let second = horner(t, [8.660e-5, 2.176e-6]);
    Ok(pure_water_density_kg_m3(temperature_c)? + w * (first + second * w))
}

/// Returns the refractive index of a solution of sodium chloride against air, at the sodium D line.
///
/// Standard uncertainty 3·10⁻⁵ at 20 °C: the table is printed to 10⁻⁴, and the fit smooths it. Away from 20 °C
/// the rise above pure water is taken to shrink as that of sea salt does, 0.2 % for each degree; that is a guess,
/// and no more than 5·10⁻⁵ hangs on it.
///
/// # Arguments
/// * `sodium_chloride_g_kg`: grams in a kilogram of solution, `0..=60`.
/// * `temperature_c`: `15..=30`.
///
/// # Errors
/// [`OutOfRange`] for an argument outside the ranges above, and for NaN.
///
/// # Source
/// Own fit of two coefficients to `CRC-SOLUTIONS` at 20 °C, on top of pure water by `QUAN-FRY-1995`.
///
/// # Examples
/// ```
/// use physics::seawater::sodium_chloride_refractive_index;
///
/// assert!((sodium_chloride_refractive_index(35.0, 20.0)? - 1.3391).abs() < 1e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn sodium_chloride_refractive_index(
    sodium_chloride_g_kg: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let w = MASS_FRACTION.require(sodium_chloride_g_kg)?;
    let t = INDEX_TEMPERATURE.require(temperature_c)?;
    let shrinks = index_per_salinity(SODIUM_D_NM, t) / index_per_salinity(SODIUM_D_NM, TABLE_TEMPERATURE_C);
    Ok(index_fresh(SODIUM_D_NM, t) + rise_at_20c(w) * shrinks)
}

/// Returns the conductivity of a solution of sodium chloride, in S/m.
///
/// Standard uncertainty 0.5 %: the published molar conductivities at 25 °C are met within 0.15 %, a table at
/// 20 °C within its rounding of 1 %.
///
/// # Arguments
/// * `sodium_chloride_g_kg`: grams in a kilogram of solution, `0..=60`.
/// * `temperature_c`: `15..=30`.
///
/// # Errors
/// [`OutOfRange`] for an argument outside the ranges above, and for NaN.
///
/// # Source
/// `WADSWORTH-2012`, coefficients from public code that transcribes it. There the three temperature terms of the
/// limiting slope have the opposite sign; with that sign every measured value is missed by tens of percent, with
/// this one they're met.
///
/// # Examples
/// ```
/// use physics::seawater::sodium_chloride_conductivity_s_m;
///
/// // As much as sea water of salinity 35.
/// assert!((sodium_chloride_conductivity_s_m(33.02, 25.0)? - 5.307).abs() < 0.002);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn sodium_chloride_conductivity_s_m(
    sodium_chloride_g_kg: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let w = MASS_FRACTION.require(sodium_chloride_g_kg)?;
    let t = CONDUCTIVITY_TEMPERATURE.require(temperature_c)?;
    let c = w / SODIUM_CHLORIDE_MOLAR_MASS_G_MOL * sodium_chloride_density_kg_m3(w, t)? * 1e-3;
    if c <= 0.0 {
        return Ok(0.0);
    }
    let root = c.sqrt();
    let limiting = horner(t, [66_591.0, 2_172.2, 9.1584]);
    let slope = horner(t, [37_515.0, 3_471.9, -69.11, 1.0777]);
    let logarithmic = -23.47 * t * t * libm::log(c);
    let series = [
        limiting,
        -slope,
        logarithmic + horner(t, [46_091.0, 8_760.0, -352.06, 3.8403]),
        horner(t, [-77_300.0, -10_646.0, 481.02, -4.9759]),
        horner(t, [98_097.0, 5_539.6, -242.12, 2.6452]),
        horner(t, [-68_419.0, -1_014.3, 43.97, -0.4871]),
        22_654.0,
        -2_799.6,
    ];
    Ok(c * horner(root, series) * 1e-4)
}

/// Rise of the index above pure water at 20 °C, unchecked.
pub(crate) fn rise_at_20c(sodium_chloride_g_kg: f64) -> f64 {
    let w = sodium_chloride_g_kg;
    w * (1.746_26e-4 + 1.245_5e-8 * w)
}

/// Grams of sodium chloride in a kilogram of a solution whose index rises so far above that of pure water at 20 °C,
/// unchecked; inverse of [`rise_at_20c`].
pub(crate) fn mass_fraction_from_rise_at_20c(rise: f64) -> f64 {
    let (a, b) = (1.746_26e-4, 1.245_5e-8);
    2.0 * rise / (a + (a * a + 4.0 * b * rise).sqrt())
}
