//! A batch from fresh water and dry mix.

use super::{
    error::MixingError,
    strength::STRENGTH_RANGE,
    water::{MASS, VOLUME},
};
use crate::seawater::{density_kg_m3, salt_mass_fraction};

/// What a batch shall become, and of which mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recipe {
    /// Practical salinity wanted, `0..=42`.
    pub practical_salinity: f64,
    /// Temperature at which volumes are read and salinity holds.
    pub temperature_c: f64,
    /// Strength of the mix, kg of anhydrous sea salt per kg of dry mix, `0.6..=1`.
    pub strength: f64,
}

/// What goes into a batch and what comes out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Batch {
    /// Volume of fresh water before the salt.
    pub fresh_volume_m3: f64,
    /// Its mass.
    pub fresh_mass_kg: f64,
    /// Mass of dry mix.
    pub dry_mass_kg: f64,
    /// Mass of the finished water.
    pub finished_mass_kg: f64,
    /// Its volume.
    pub finished_volume_m3: f64,
    /// By how much the salt raises the volume: finished over fresh, less 1. In a vessel with upright walls the
    /// level rises by the same share.
    pub rise_fraction: f64,
    /// Dry mix per finished volume, kg/m³ or grams a litre.
    pub dry_mass_per_finished_volume_kg_m3: f64,
    /// Density of the fresh water.
    pub fresh_density_kg_m3: f64,
    /// Density of the finished water.
    pub finished_density_kg_m3: f64,
}

/// Checked numbers of a recipe.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mix {
    /// Mass fraction of salt wanted.
    pub(super) salt: f64,
    pub(super) strength: f64,
    pub(super) fresh_density_kg_m3: f64,
    pub(super) finished_density_kg_m3: f64,
}

/// Salts a measured volume of fresh water.
///
/// `m_dry = m_water·s/(f − s)`, with `s` the mass fraction of salt wanted and `f` the strength of the mix.
///
/// # Arguments
/// * `recipe`: see [`Recipe`].
/// * `fresh_volume_m3`: before the salt, `10⁻⁹..=10⁶`.
///
/// # Errors
/// [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass and salt.
///
/// # Examples
/// ```
/// use physics::mixing::{Recipe, batch_from_fresh_volume};
///
/// let recipe = Recipe { practical_salinity: 35.0, temperature_c: 25.0, strength: 0.9 };
/// let batch = batch_from_fresh_volume(&recipe, 0.2)?;
/// assert!((8.0..8.2).contains(&batch.dry_mass_kg));
/// // 200 litres of water become almost 203 litres of salt water.
/// assert!((0.202..0.203).contains(&batch.finished_volume_m3));
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn batch_from_fresh_volume(recipe: &Recipe, fresh_volume_m3: f64) -> Result<Batch, MixingError> {
    let mix = recipe.checked()?;
    let fresh_mass_kg = VOLUME.require(fresh_volume_m3)? * mix.fresh_density_kg_m3;
    Ok(mix.batch(
        fresh_mass_kg,
        fresh_mass_kg * mix.salt / (mix.strength - mix.salt),
    ))
}

/// Plans a batch that comes to a given finished volume.
///
/// # Arguments
/// * `recipe`: see [`Recipe`].
/// * `finished_volume_m3`: after the salt, `10⁻⁹..=10⁶`.
///
/// # Errors
/// [`MixingError::OutOfRange`].
///
/// # Source
/// As [`batch_from_fresh_volume`].
pub fn batch_from_finished_volume(recipe: &Recipe, finished_volume_m3: f64) -> Result<Batch, MixingError> {
    let mix = recipe.checked()?;
    let finished_mass_kg = VOLUME.require(finished_volume_m3)? * mix.finished_density_kg_m3;
    let dry_mass_kg = finished_mass_kg * mix.salt / mix.strength;
    Ok(mix.batch(finished_mass_kg - dry_mass_kg, dry_mass_kg))
}

/// Plans the batch that takes exactly a given mass of dry mix, such as one bag.
///
/// # Arguments
/// * `recipe`: see [`Recipe`]; practical salinity above 0.
/// * `dry_mass_kg`: `10⁻⁶..=10⁹`.
///
/// # Errors
/// [`MixingError::FreshTarget`] for a practical salinity of 0; [`MixingError::OutOfRange`], also where the batch
/// would come to more than 10⁶ m³.
///
/// # Source
/// As [`batch_from_fresh_volume`].
pub fn batch_from_dry_mass(recipe: &Recipe, dry_mass_kg: f64) -> Result<Batch, MixingError> {
    let mix = recipe.checked()?;
    if mix.salt <= 0.0 {
        return Err(MixingError::FreshTarget);
    }
    let dry_mass_kg = MASS.require(dry_mass_kg)?;
    let batch = mix.batch(dry_mass_kg * (mix.strength - mix.salt) / mix.salt, dry_mass_kg);
    VOLUME.require(batch.finished_volume_m3)?;
    Ok(batch)
}

impl Recipe {
    pub(super) fn checked(&self) -> Result<Mix, MixingError> {
        Ok(Mix {
            fresh_density_kg_m3: density_kg_m3(0.0, self.temperature_c)?,
            finished_density_kg_m3: density_kg_m3(self.practical_salinity, self.temperature_c)?,
            salt: salt_mass_fraction(self.practical_salinity),
            strength: STRENGTH_RANGE.require(self.strength)?,
        })
    }
}

impl Mix {
    fn batch(&self, fresh_mass_kg: f64, dry_mass_kg: f64) -> Batch {
        let Self {
            fresh_density_kg_m3,
            finished_density_kg_m3,
            ..
        } = *self;
        let finished_mass_kg = fresh_mass_kg + dry_mass_kg;
        let fresh_volume_m3 = fresh_mass_kg / fresh_density_kg_m3;
        let finished_volume_m3 = finished_mass_kg / finished_density_kg_m3;
        Batch {
            fresh_volume_m3,
            fresh_mass_kg,
            dry_mass_kg,
            finished_mass_kg,
            finished_volume_m3,
            rise_fraction: finished_volume_m3 / fresh_volume_m3 - 1.0,
            dry_mass_per_finished_volume_kg_m3: dry_mass_kg / finished_volume_m3,
            fresh_density_kg_m3,
            finished_density_kg_m3,
        }
    }
}
