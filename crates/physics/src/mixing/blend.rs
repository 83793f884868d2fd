//! Two waters poured together.

use super::{
    error::MixingError,
    water::{VOLUME, Water},
};
use crate::{
    Range,
    seawater::{density_kg_m3, heat_capacity_j_kg_k, salt_mass_fraction},
};

/// Heat capacities of water, fresh to twice as salt as the sea.
const HEAT_CAPACITY: Range = Range {
    quantity: "heat capacity",
    unit: "J/(kg K)",
    min: 3500.0,
    max: 4500.0,
    source_key: "HOUSE-RULE",
};

/// A water to be poured, with the heat it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Portion {
    /// Volume, salinity, temperature.
    pub water: Water,
    /// Heat capacity, about 4180 J/(kg·K) for fresh water and 3990 for sea water.
    pub heat_capacity_j_kg_k: f64,
}

impl Portion {
    /// The water with its own heat capacity, by [`heat_capacity_j_kg_k`].
    ///
    /// # Errors
    /// [`MixingError::OutOfRange`] where its heat capacity isn't known.
    pub fn of(water: Water) -> Result<Self, MixingError> {
        let heat_capacity_j_kg_k = heat_capacity_j_kg_k(water.practical_salinity, water.temperature_c)?;
        Ok(Self {
            water,
            heat_capacity_j_kg_k,
        })
    }
}

/// How much of each water a blend takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlendParts {
    /// Volume of the stronger water.
    pub strong_volume_m3: f64,
    /// Its mass.
    pub strong_mass_kg: f64,
    /// Volume of the weaker water.
    pub weak_volume_m3: f64,
    /// Its mass.
    pub weak_mass_kg: f64,
}

/// Pours two waters together.
///
/// Salinity by mass of salt, temperature by heat content, volume by mass and the density of the blend. The heat
/// of mixing itself is left out, as is common practice, no source.
///
/// # Errors
/// [`MixingError::OutOfRange`] for a volume, salinity, temperature or heat capacity (3500 to 4500 J/(kg·K))
/// outside its range.
///
/// # Source
/// Own derivation: conservation of mass, salt and heat.
///
/// # Examples
/// ```
/// use physics::mixing::{Portion, Water, blend};
///
/// let sea = Water { volume_m3: 0.1, practical_salinity: 35.0, temperature_c: 25.0 };
/// let fresh = Water { volume_m3: 0.1, practical_salinity: 0.0, temperature_c: 15.0 };
/// let mixed = blend(&Portion::of(sea)?, &Portion::of(fresh)?)?;
/// // Sea water is denser, so half and half by volume is a little over half the salinity.
/// assert!((17.6..17.8).contains(&mixed.practical_salinity));
/// assert!((19.9..20.0).contains(&mixed.temperature_c));
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn blend(first: &Portion, second: &Portion) -> Result<Water, MixingError> {
    let (first_kg, second_kg) = (first.water.mass_kg()?, second.water.mass_kg()?);
    let first_heat = first_kg * HEAT_CAPACITY.require(first.heat_capacity_j_kg_k)?;
    let second_heat = second_kg * HEAT_CAPACITY.require(second.heat_capacity_j_kg_k)?;
    let share = first_kg / (first_kg + second_kg);
    let warm_share = first_heat / (first_heat + second_heat);
    let practical_salinity = between(
        second.water.practical_salinity,
        first.water.practical_salinity,
        share,
    );
    let temperature_c = between(second.water.temperature_c, first.water.temperature_c, warm_share);
    let volume_m3 = (first_kg + second_kg) / density_kg_m3(practical_salinity, temperature_c)?;
    Ok(Water {
        volume_m3,
        practical_salinity,
        temperature_c,
    })
}

/// Returns how much of a stronger and a weaker water fill a vessel at a wanted salinity, such as a bucket from
/// brine and fresh water.
///
/// # Arguments
/// * `blend`: the volume, salinity and temperature wanted; the parts have the same temperature.
/// * `strong`, `weak`: practical salinity of the two; the wanted one lies between. They must differ.
///
/// # Errors
/// [`MixingError::TargetBeyondReplacement`] for a wanted salinity that isn't between;
/// [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass and salt.
pub fn blend_parts(blend: &Water, strong: f64, weak: f64) -> Result<BlendParts, MixingError> {
    VOLUME.require(blend.volume_m3)?;
    let mass_kg = blend.mass_kg()?;
    let strong_density = density_kg_m3(strong, blend.temperature_c)?;
    let weak_density = density_kg_m3(weak, blend.temperature_c)?;
    let target = blend.practical_salinity;
    if !(weak < strong && (weak..=strong).contains(&target)) {
        return Err(MixingError::TargetBeyondReplacement {
            measured: weak,
            target,
            replacement: strong,
        });
    }
    let share = (salt_mass_fraction(target) - salt_mass_fraction(weak))
        / (salt_mass_fraction(strong) - salt_mass_fraction(weak));
    let strong_mass_kg = mass_kg * share;
    let weak_mass_kg = mass_kg - strong_mass_kg;
    Ok(BlendParts {
        strong_volume_m3: strong_mass_kg / strong_density,
        strong_mass_kg,
        weak_volume_m3: weak_mass_kg / weak_density,
        weak_mass_kg,
    })
}

/// Between two values, never past them, and exact where they are the same.
fn between(low: f64, high: f64, share: f64) -> f64 {
    if share < 0.5 {
        low + (high - low) * share
    } else {
        high - (high - low) * (1.0 - share)
    }
}
