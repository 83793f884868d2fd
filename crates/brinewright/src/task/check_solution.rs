//! Check solutions: table salt in purified water that one kind of instrument reads as sea water.

use physics::OutOfRange;
use physics::seawater::{
    CheckedBy, check_solution, pure_water_density_kg_m3, sodium_chloride_conductivity_s_m,
    sodium_chloride_density_kg_m3, sodium_chloride_refractive_index,
};

/// Room temperature, at which the purified water is measured, °C. House rule.
pub(crate) const WATER_C: f64 = 20.0;

/// What to weigh for one kind of instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Recipe {
    pub(crate) checked_by: CheckedBy,
    /// Grams of table salt to a kilogram of purified water, and its standard uncertainty.
    pub(crate) salt_g_per_kg_water: f64,
    pub(crate) uncertainty_g_per_kg_water: f64,
    /// Grams of table salt in a kilogram of the solution.
    pub(crate) salt_g_per_kg_solution: f64,
    /// Grams of table salt to a litre of purified water of [`WATER_C`].
    pub(crate) salt_g_per_l_water: f64,
    /// Masses for the volume wanted, g.
    pub(crate) salt_g: f64,
    pub(crate) water_g: f64,
    /// Standard uncertainty in practical salinity as the instrument shows it, weighing excepted.
    pub(crate) uncertainty_salinity: f64,
    /// Temperature at which the solution reads as sea water, °C.
    pub(crate) temperature_c: f64,
}

/// The recipes for a refractometer, a conductivity meter and a hydrometer, in this order.
///
/// # Arguments
/// * `practical_salinity`: to imitate, `20..=40`.
/// * `volume_m3`: of solution, at the temperature of each recipe.
///
/// # Errors
/// [`OutOfRange`] for a salinity outside its range.
pub(crate) fn recipes(practical_salinity: f64, volume_m3: f64) -> Result<[Recipe; 3], OutOfRange> {
    let of = |checked_by| recipe(checked_by, practical_salinity, volume_m3);
    Ok([
        of(CheckedBy::RefractiveIndex)?,
        of(CheckedBy::Conductivity)?,
        of(CheckedBy::Density)?,
    ])
}

fn recipe(checked_by: CheckedBy, practical_salinity: f64, volume_m3: f64) -> Result<Recipe, OutOfRange> {
    let solution = check_solution(checked_by, practical_salinity)?;
    let share = solution.sodium_chloride_g_kg * 1e-3;
    let water_share = 1.0 - share;
    let solution_kg =
        volume_m3 * sodium_chloride_density_kg_m3(solution.sodium_chloride_g_kg, solution.temperature_c)?;
    Ok(Recipe {
        checked_by,
        salt_g_per_kg_water: solution.sodium_chloride_g_per_kg_water,
        // The slope of w/(1 - w).
        uncertainty_g_per_kg_water: solution.standard_uncertainty_g_kg / (water_share * water_share),
        salt_g_per_kg_solution: solution.sodium_chloride_g_kg,
        salt_g_per_l_water: solution.sodium_chloride_g_per_kg_water
            * pure_water_density_kg_m3(WATER_C)?
            * 1e-3,
        salt_g: solution_kg * share * 1e3,
        water_g: solution_kg * water_share * 1e3,
        uncertainty_salinity: solution.standard_uncertainty_practical_salinity,
        temperature_c: solution.temperature_c,
    })
}

/// By how much an instrument of one kind misreads the solution made for another, in practical salinity: the
/// largest over all six ways to swap them.
///
/// # Errors
/// As [`recipes`].
pub(crate) fn worst_swap(practical_salinity: f64, recipes: &[Recipe; 3]) -> Result<f64, OutOfRange> {
    let mut worst: f64 = 0.0;
    for own in recipes {
        // Near enough: a straight line through the instrument's own recipe.
        let stronger = check_solution(own.checked_by, practical_salinity.min(STRONGEST - 1.0) + 1.0)?;
        let weaker = check_solution(own.checked_by, practical_salinity.min(STRONGEST - 1.0))?;
        let per_salinity = stronger.sodium_chloride_g_kg - weaker.sodium_chloride_g_kg;
        for other in recipes {
            let off = (other.salt_g_per_kg_solution - own.salt_g_per_kg_solution) / per_salinity;
            worst = worst.max(off.abs());
        }
    }
    Ok(worst)
}

/// Highest salinity that a check solution is made for.
const STRONGEST: f64 = 40.0;

/// What a meter should show in its recipe at the recipe's temperature: refractive index, mS/cm, or specific gravity
/// 25C/25C.
///
/// # Errors
/// As [`recipes`].
pub(crate) fn shows(recipe: &Recipe) -> Result<f64, OutOfRange> {
    let (grams, t) = (recipe.salt_g_per_kg_solution, recipe.temperature_c);
    match recipe.checked_by {
        CheckedBy::RefractiveIndex => sodium_chloride_refractive_index(grams, t),
        CheckedBy::Conductivity => sodium_chloride_conductivity_s_m(grams, t).map(|s_m| s_m * 10.0),
        CheckedBy::Density => Ok(sodium_chloride_density_kg_m3(grams, t)? / pure_water_density_kg_m3(25.0)?),
    }
}
