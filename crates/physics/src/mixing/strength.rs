//! The strength of a dry mix: how much of it is salt, and how much water of crystallisation.

use super::{
    error::MixingError,
    water::{MASS, VOLUME},
};
use crate::{
    Range,
    seawater::{density_kg_m3, salt_mass_fraction},
};

/// Strengths that are believed. House rule: no known mix of sea salts holds more than two fifths of water of
/// crystallisation, and none holds less than nothing.
pub const STRENGTH_RANGE: Range = Range {
    quantity: "strength of the mix",
    unit: "",
    min: 0.6,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// Finished share of a label that doesn't say which volume it means: halfway. House rule.
pub const UNSAID_FINISHED_SHARE: f64 = 0.5;
/// How far the unsaid share may lie off, either way, all values being as likely. House rule.
pub const UNSAID_FINISHED_SHARE_HALF_WIDTH: f64 = 0.5;

const FINISHED_SHARE: Range = Range {
    quantity: "finished share",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// What is printed on a bag: this mass makes this volume, at this salinity and temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Label {
    /// Mass of dry mix.
    pub dry_mass_kg: f64,
    /// Volume it makes.
    pub volume_m3: f64,
    /// Practical salinity it gives, above 0.
    pub practical_salinity: f64,
    /// Temperature for which that is said.
    pub temperature_c: f64,
}

/// Returns the strength of a mix, kg of anhydrous sea salt per kg of dry mix, from its label.
///
/// The label's volume is taken as fresh water, as finished water, or as something between:
/// `M = (1 − q)·(V·ρ_fresh + m) + q·V·ρ_sea`, and the strength is `s·M/m` with `s` the mass fraction of salt in
/// the finished water. The choice moves the strength by one to two parts in a hundred.
///
/// # Arguments
/// * `label`: mass and volume above nothing, practical salinity above 0 and up to 42, a temperature for which
///   density is known.
/// * `finished_share`: `q`, 0 where the volume is fresh water before the salt, 1 where it is finished water.
///
/// # Errors
/// [`MixingError::LabelImpossible`] above a strength of 1, with the least mass that anhydrous salt would take;
/// [`MixingError::LabelTooWeak`] below 0.6; [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass and salt.
///
/// # Examples
/// ```
/// use physics::mixing::{Label, MixingError, strength_from_label};
///
/// let label = Label { dry_mass_kg: 20.0, volume_m3: 0.520, practical_salinity: 35.0, temperature_c: 25.0 };
/// assert!((0.93..0.94).contains(&strength_from_label(&label, 1.0)?));
///
/// // 34 grams a litre can't be 35.
/// let too_good = Label { dry_mass_kg: 17.0, volume_m3: 0.500, ..label };
/// assert!(matches!(strength_from_label(&too_good, 1.0), Err(MixingError::LabelImpossible { .. })));
/// # Ok::<(), MixingError>(())
/// ```
pub fn strength_from_label(label: &Label, finished_share: f64) -> Result<f64, MixingError> {
    let (salt, waters_kg) = checked(label, finished_share)?;
    let Label { dry_mass_kg, .. } = *label;
    let strength = salt * (waters_kg + (1.0 - finished_share) * dry_mass_kg) / dry_mass_kg;
    if strength > STRENGTH_RANGE.max {
        let least_dry_mass_kg = least_dry_mass_kg(label, finished_share)?;
        return Err(MixingError::LabelImpossible {
            strength,
            dry_mass_kg,
            least_dry_mass_kg,
        });
    }
    if strength < STRENGTH_RANGE.min {
        return Err(MixingError::LabelTooWeak {
            strength,
            dry_mass_kg,
            least_strength: STRENGTH_RANGE.min,
        });
    }
    Ok(strength)
}

/// Returns the least mass of dry mix that can keep a label's promise, in kg: that of salt without water in it.
///
/// For finished water it is `s·ρ·V`: 36.0 grams a litre at practical salinity 35 and 25 °C.
/// The label's own mass isn't looked at beyond being a mass.
///
/// # Errors
/// [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation, as [`strength_from_label`] at a strength of 1.
pub fn least_dry_mass_kg(label: &Label, finished_share: f64) -> Result<f64, MixingError> {
    let (salt, waters_kg) = checked(label, finished_share)?;
    Ok(salt * waters_kg / (1.0 - (1.0 - finished_share) * salt))
}

/// Mass fraction of salt wanted, and mass of the label's volume without the dry mix itself.
fn checked(label: &Label, finished_share: f64) -> Result<(f64, f64), MixingError> {
    MASS.require(label.dry_mass_kg)?;
    let volume_m3 = VOLUME.require(label.volume_m3)?;
    let share = FINISHED_SHARE.require(finished_share)?;
    let fresh_kg = volume_m3 * density_kg_m3(0.0, label.temperature_c)?;
    let finished_kg = volume_m3 * density_kg_m3(label.practical_salinity, label.temperature_c)?;
    if label.practical_salinity <= 0.0 {
        return Err(MixingError::FreshTarget);
    }
    Ok((
        salt_mass_fraction(label.practical_salinity),
        (1.0 - share) * fresh_kg + share * finished_kg,
    ))
}
