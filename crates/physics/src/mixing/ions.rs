//! Calcium, magnesium and alkalinity of mixed water, by proportion from an analysis.

use super::error::MixingError;
use crate::{
    Range,
    seawater::{density_kg_m3, salt_mass_fraction},
};

const ION: Range = Range {
    quantity: "concentration",
    unit: "",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// Calcium, magnesium and alkalinity of a water of known salinity, as a mix's analysis states them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IonAnalysis {
    /// Practical salinity of the water, above 0.
    pub practical_salinity: f64,
    /// Its temperature.
    pub temperature_c: f64,
    /// Calcium, mg per litre.
    pub calcium_mg_l: f64,
    /// Magnesium, mg per litre.
    pub magnesium_mg_l: f64,
    /// Total alkalinity, meq per litre.
    pub alkalinity_meq_l: f64,
}

/// Returns the analysis of the same mix made up to another salinity: all in proportion to salt per litre,
/// `s·ρ`, which grows a little faster than salinity since the water gets denser too.
///
/// Right for a mix dissolved in water without ions of its own. It says nothing of what precipitates.
///
/// # Arguments
/// * `analysis`: of the mix at its stated salinity, practical salinity above 0.
/// * `practical_salinity`, `temperature_c`: of the water asked for.
///
/// # Errors
/// [`MixingError::FreshTarget`] for an analysis at practical salinity 0; [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of each ion.
///
/// # Examples
/// ```
/// use physics::mixing::{IonAnalysis, ions_at};
///
/// let analysis = IonAnalysis {
///     practical_salinity: 35.0,
///     temperature_c: 25.0,
///     calcium_mg_l: 422.0,
///     magnesium_mg_l: 1314.0,
///     alkalinity_meq_l: 2.35,
/// };
/// let weaker = ions_at(&analysis, 33.0, 25.0)?;
/// assert!((397.0..398.0).contains(&weaker.calcium_mg_l));
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn ions_at(
    analysis: &IonAnalysis,
    practical_salinity: f64,
    temperature_c: f64,
) -> Result<IonAnalysis, MixingError> {
    let stated_density = density_kg_m3(analysis.practical_salinity, analysis.temperature_c)?;
    let density = density_kg_m3(practical_salinity, temperature_c)?;
    // Below this the quotient of two salinities has no meaning left.
    if analysis.practical_salinity < 1e-6 {
        return Err(MixingError::FreshTarget);
    }
    let ratio = salt_mass_fraction(practical_salinity) * density
        / (salt_mass_fraction(analysis.practical_salinity) * stated_density);
    Ok(IonAnalysis {
        practical_salinity,
        temperature_c,
        calcium_mg_l: ION.require(analysis.calcium_mg_l)? * ratio,
        magnesium_mg_l: ION.require(analysis.magnesium_mg_l)? * ratio,
        alkalinity_meq_l: ION.require(analysis.alkalinity_meq_l)? * ratio,
    })
}
