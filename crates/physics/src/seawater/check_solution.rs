//! A check solution of table salt: how much to weigh so that an instrument reads it as sea water.
//!
//! Owns: the three matches (refractive index, conductivity, density), which ask for three different solutions,
//! and the doubt in each. A solution made for one kind of instrument misleads
//! another by up to 4.5 in salinity.

use super::{
    density::density_kg_m3,
    practical_salinity::conductivity_s_m,
    refractive_index::refractive_index,
    sodium_chloride::{
        sodium_chloride_conductivity_s_m, sodium_chloride_density_kg_m3, sodium_chloride_refractive_index,
    },
};
use crate::{OutOfRange, Range, numerics::bracketed_root};

/// Salinities for which a check solution is worth making, and for which the tables of sodium chloride reach.
const PRACTICAL_SALINITY: Range = Range {
    quantity: "practical salinity to imitate",
    unit: "",
    min: 20.0,
    max: 40.0,
    source_key: "HOUSE-RULE",
};

/// Grams of sodium chloride per kilogram between which the match lies for every salinity above.
const BRACKET_G_KG: (f64, f64) = (10.0, 60.0);
/// A microgram in a kilogram.
const TOLERANCE_G_KG: f64 = 1e-6;

/// Part of the salt that isn't sodium chloride but moisture or an additive, standard uncertainty: table salt of
/// 99 to 100 % would be 0.3 %, an opened packet takes up water. Common practice, no source.
const SALT_DOUBT: f64 = 0.005;

/// The property by which an instrument is deceived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckedBy {
    /// Refractive index at 20 °C: for a refractometer, with or without compensation.
    RefractiveIndex,
    /// Conductivity at 25 °C: for a conductivity meter. Sodium chloride and sea salt conduct alike with
    /// temperature within 0.2 % from 15 to 30 °C, so a compensating meter may be used there.
    Conductivity,
    /// Density at 25 °C: for a hydrometer or a density meter.
    Density,
}

/// A solution of sodium chloride that reads as sea water, and how far to trust it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckSolution {
    /// Grams of sodium chloride in a kilogram of solution.
    pub sodium_chloride_g_kg: f64,
    /// Grams of sodium chloride to put to a kilogram of purified water.
    pub sodium_chloride_g_per_kg_water: f64,
    /// Standard uncertainty in g per kg of solution: of the data and of the salt, weighing excepted.
    pub standard_uncertainty_g_kg: f64,
    /// The same as practical salinity shown by the instrument.
    pub standard_uncertainty_practical_salinity: f64,
    /// Temperature for which it was computed.
    pub temperature_c: f64,
}

/// Returns the solution of table salt in purified water that an instrument reads as sea water.
///
/// For salinity 35: 36.6 g/kg for a refractometer, 33.0 for a conductivity meter, 37.2 for a hydrometer.
///
/// # Arguments
/// * `checked_by`: what the instrument goes by.
/// * `practical_salinity`: to imitate, `20..=40`.
///
/// # Errors
/// [`OutOfRange`] for a salinity outside the range, and for NaN.
///
/// # Source
/// The kernels of sea water and of sodium chloride. The doubts, as standard uncertainties:
/// - refractive index 5·10⁻⁵: 3·10⁻⁵ of the table of `CRC-SOLUTIONS`, printed to 10⁻⁴, and 4·10⁻⁵ of
///   `QUAN-FRY-1995`, which misses `AUSTIN-HALIKAS-1976` by up to 6·10⁻⁵. Older tables differ more: trade recipes
///   say 36.5 g/kg;
/// - conductivity 0.5 % of `WADSWORTH-2012`;
/// - density 0.05 kg/m³ of `ROGERS-PITZER-1982` and `CRC-SOLUTIONS`;
/// - and for each 0.5 % of the mass, for salt that isn't pure or dry (common practice, no source).
///
/// # Examples
/// ```
/// use physics::seawater::{CheckedBy, check_solution};
///
/// let solution = check_solution(CheckedBy::RefractiveIndex, 35.0)?;
/// assert!((solution.sodium_chloride_g_kg - 36.6).abs() < 0.1);
/// assert!((0.2..0.6).contains(&solution.standard_uncertainty_practical_salinity));
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn check_solution(checked_by: CheckedBy, practical_salinity: f64) -> Result<CheckSolution, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    let s = practical_salinity;
    match checked_by {
        CheckedBy::RefractiveIndex => solve(
            s,
            20.0,
            |s| refractive_index(s, 20.0),
            |w| sodium_chloride_refractive_index(w, 20.0),
            |_| 5e-5,
        ),
        CheckedBy::Conductivity => solve(
            s,
            25.0,
            |s| conductivity_s_m(s, 25.0),
            |w| sodium_chloride_conductivity_s_m(w, 25.0),
            |conductivity| 0.005 * conductivity,
        ),
        CheckedBy::Density => solve(
            s,
            25.0,
            |s| density_kg_m3(s, 25.0),
            |w| sodium_chloride_density_kg_m3(w, 25.0),
            |_| 0.05,
        ),
    }
}

fn solve(
    practical_salinity: f64,
    temperature_c: f64,
    of_sea_water: impl Fn(f64) -> Result<f64, OutOfRange>,
    of_salt_water: impl Fn(f64) -> Result<f64, OutOfRange>,
    doubt_in: impl Fn(f64) -> f64,
) -> Result<CheckSolution, OutOfRange> {
    let wanted = of_sea_water(practical_salinity)?;
    let (low, high) = BRACKET_G_KG;
    let differs = |w: f64| of_salt_water(w).map_or(f64::NAN, |value| value - wanted);
    let grams = bracketed_root(differs, low, high, TOLERANCE_G_KG)
        .expect("each property grows with salt, and the bracket holds the match of every salinity allowed")
        .x;

    let slope_g_kg = of_salt_water(grams + 0.5)? - of_salt_water(grams - 0.5)?;
    let slope_salinity = of_sea_water(practical_salinity + 0.5)? - of_sea_water(practical_salinity - 0.5)?;
    let data_g_kg = doubt_in(wanted) / slope_g_kg;
    let salt_g_kg = SALT_DOUBT * grams;
    let doubt_g_kg = (data_g_kg * data_g_kg + salt_g_kg * salt_g_kg).sqrt();
    Ok(CheckSolution {
        sodium_chloride_g_kg: grams,
        sodium_chloride_g_per_kg_water: grams / (1.0 - grams * 1e-3),
        standard_uncertainty_g_kg: doubt_g_kg,
        standard_uncertainty_practical_salinity: doubt_g_kg * slope_g_kg / slope_salinity,
        temperature_c,
    })
}
