//! Practical salinity to grams of salt per kilogram, for the reference composition.

/// Grams per kilogram in one unit of practical salinity: 35.16504 / 35.
///
/// Source: `TEOS-10-2010` section 2.4 (Millero et al. 2008).
const G_PER_KG: f64 = 35.165_04 / 35.0;

/// Reference-composition absolute salinity S_R, in g of salt per kg of sea water.
///
/// Source: `TEOS-10-2010` section 2.4. Exact by definition, for any salinity.
///
/// ```
/// assert!((physics::seawater::absolute_salinity_g_kg(35.0) - 35.16504).abs() < 1e-12);
/// ```
pub fn absolute_salinity_g_kg(practical_salinity: f64) -> f64 {
    G_PER_KG * practical_salinity
}

/// The inverse of [`absolute_salinity_g_kg`].
pub fn practical_salinity_from_absolute(absolute_salinity_g_kg: f64) -> f64 {
    absolute_salinity_g_kg / G_PER_KG
}

/// The same as a mass fraction, kg of anhydrous salt per kg of sea water.
pub fn salt_mass_fraction(practical_salinity: f64) -> f64 {
    absolute_salinity_g_kg(practical_salinity) * 1e-3
}
