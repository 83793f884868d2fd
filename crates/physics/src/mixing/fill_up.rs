//! Filling up what is left of the last batch.

use super::{
    batch::Recipe,
    error::MixingError,
    water::{VOLUME, Water, practical_salinity_of_salt_per_volume},
};
use crate::seawater::{density_kg_m3, salt_mass_fraction};

/// Masses whose difference is smaller than this share of the batch are the same: the rounding of the balance.
const ROUNDING: f64 = 1e-12;

/// What a remainder takes to become a full batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillUp {
    /// Mass of fresh water to add.
    pub water_mass_kg: f64,
    /// Its volume.
    pub water_volume_m3: f64,
    /// Mass of dry mix to add.
    pub dry_mass_kg: f64,
    /// Mass of the finished batch.
    pub finished_mass_kg: f64,
    /// Its volume, as asked for.
    pub finished_volume_m3: f64,
}

/// Fills a remainder up with fresh water and dry mix to a finished volume of the wanted salinity.
///
/// Salt: `s₁M₁ + f·m = s₂M₂`. Mass: `M₁ + m_water + m = M₂`. The remainder may be of any salinity, fresh or too
/// strong, as long as both come out at or above nothing.
///
/// # Arguments
/// * `recipe`: of the finished batch; its temperature holds for the remainder too.
/// * `remainder_volume_m3`: `0..=10⁶`; 0 for an empty vessel.
/// * `remainder_practical_salinity`: `0..=42`.
/// * `finished_volume_m3`: `10⁻⁹..=10⁶`.
///
/// # Errors
/// [`MixingError::RemainderTooStrong`] where no salt is needed and even then the batch is too strong, with what
/// water alone gives and the volume that would do; [`MixingError::FinishedVolumeTooSmall`] where the salt alone
/// fills it further than asked; [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass and salt.
///
/// # Examples
/// ```
/// use physics::mixing::{Recipe, fill_up};
///
/// let recipe = Recipe { practical_salinity: 35.0, temperature_c: 25.0, strength: 0.9 };
/// let whole = fill_up(&recipe, 0.0, 0.0, 0.2)?;
/// let rest = fill_up(&recipe, 0.05, 35.0, 0.2)?;
/// assert!((rest.dry_mass_kg / whole.dry_mass_kg - 0.75).abs() < 1e-12);
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn fill_up(
    recipe: &Recipe,
    remainder_volume_m3: f64,
    remainder_practical_salinity: f64,
    finished_volume_m3: f64,
) -> Result<FillUp, MixingError> {
    let mix = recipe.checked()?;
    let remainder_density = density_kg_m3(remainder_practical_salinity, recipe.temperature_c)?;
    let remainder_kg = if remainder_volume_m3.abs() > 0.0 || remainder_volume_m3.is_nan() {
        VOLUME.require(remainder_volume_m3)? * remainder_density
    } else {
        0.0
    };
    let finished_mass_kg = VOLUME.require(finished_volume_m3)? * mix.finished_density_kg_m3;
    let remainder_salt = salt_mass_fraction(remainder_practical_salinity);

    let rounding_kg = ROUNDING * finished_mass_kg.max(remainder_kg);
    let salt_lacking_kg = mix.salt * finished_mass_kg - remainder_salt * remainder_kg;
    if salt_lacking_kg < -rounding_kg {
        return Err(too_strong(
            recipe,
            remainder_volume_m3,
            remainder_practical_salinity,
            finished_volume_m3,
        )?);
    }
    let dry_mass_kg = salt_lacking_kg.max(0.0) / mix.strength;
    let water_mass_kg = finished_mass_kg - remainder_kg - dry_mass_kg;
    if water_mass_kg < -rounding_kg {
        // Salt alone, no water: s₁M₁ + f·m = s₂(M₁ + m).
        let least_dry_kg = remainder_kg * (mix.salt - remainder_salt) / (mix.strength - mix.salt);
        let least_kg = remainder_kg + least_dry_kg.max(0.0);
        let least_finished_volume_m3 = least_kg / mix.finished_density_kg_m3;
        return Err(MixingError::FinishedVolumeTooSmall {
            least_finished_volume_m3,
        });
    }
    let water_mass_kg = water_mass_kg.max(0.0);
    Ok(FillUp {
        water_mass_kg,
        water_volume_m3: water_mass_kg / mix.fresh_density_kg_m3,
        dry_mass_kg,
        finished_mass_kg,
        finished_volume_m3,
    })
}

/// What can be had from a remainder that holds too much salt.
fn too_strong(
    recipe: &Recipe,
    volume_m3: f64,
    practical_salinity: f64,
    finished_volume_m3: f64,
) -> Result<MixingError, MixingError> {
    let remainder = Water {
        volume_m3,
        practical_salinity,
        temperature_c: recipe.temperature_c,
    };
    let salt_kg = remainder.salt_kg()?;
    let mix = recipe.checked()?;
    // A vessel that holds less than its remainder is filled by the remainder itself.
    let filled_m3 = finished_volume_m3.max(volume_m3);
    let water_only_practical_salinity =
        practical_salinity_of_salt_per_volume(salt_kg / filled_m3, recipe.temperature_c)?;
    let wanted_kg_m3 = mix.salt * mix.finished_density_kg_m3;
    if wanted_kg_m3 <= 0.0 {
        return Ok(MixingError::WrongDirection {
            measured: practical_salinity,
            target: recipe.practical_salinity,
        });
    }
    let least_finished_volume_m3 = salt_kg / wanted_kg_m3;
    Ok(MixingError::RemainderTooStrong {
        water_only_practical_salinity,
        least_finished_volume_m3,
    })
}
