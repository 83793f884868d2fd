//! Correcting water whose salinity is off.

use super::{
    error::MixingError,
    strength::STRENGTH_RANGE,
    water::{VOLUME, Water},
};
use crate::seawater::{density_kg_m3, salt_mass_fraction};

/// What is drawn off and added, in this order. All nothing where no trim is needed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// Mass of the present water to draw off first.
    pub withdraw_mass_kg: f64,
    /// Its volume.
    pub withdraw_volume_m3: f64,
    /// Mass of water to add: fresh, or the replacing one.
    pub added_mass_kg: f64,
    /// Its volume.
    pub added_volume_m3: f64,
    /// Mass of dry mix to add.
    pub dry_mass_kg: f64,
    /// Mass of the finished water.
    pub finished_mass_kg: f64,
    /// Its volume.
    pub finished_volume_m3: f64,
}

/// Masses, densities and mass fractions of a trim, checked.
struct Balance {
    present_kg: f64,
    present_density: f64,
    target_density: f64,
    salt: f64,
    target_salt: f64,
}

/// Strengthens water with dry mix: `m = M₁·(s₂ − s₁)/(f − s₂)`.
///
/// # Arguments
/// * `water`: as measured.
/// * `target`: practical salinity wanted, `0..=42`, not below the measured one.
/// * `strength`: of the mix, kg of anhydrous sea salt per kg, `0.6..=1`.
///
/// # Errors
/// [`MixingError::WrongDirection`] for a target below the measured salinity; [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass and salt.
///
/// # Examples
/// ```
/// use physics::mixing::{Water, trim_by_salt};
///
/// let water = Water { volume_m3: 0.253, practical_salinity: 31.46, temperature_c: 25.2 };
/// let trim = trim_by_salt(&water, 34.5, 0.926)?;
/// assert!((trim.dry_mass_kg - 0.884_8).abs() < 1e-3);
/// assert!(trim.finished_volume_m3 > water.volume_m3);
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn trim_by_salt(water: &Water, target: f64, strength: f64) -> Result<Trim, MixingError> {
    let balance = Balance::of(water, target)?;
    let strength = STRENGTH_RANGE.require(strength)?;
    if target < water.practical_salinity {
        return Err(MixingError::WrongDirection {
            measured: water.practical_salinity,
            target,
        });
    }
    Ok(balance.trim(water, balance.present_kg, balance.by_salt(strength)))
}

/// Weakens water with fresh water: `m = M₁·(s₁/s₂ − 1)`.
///
/// # Arguments
/// * `water`: as measured.
/// * `target`: practical salinity wanted, above 0, not above the measured one.
///
/// # Errors
/// [`MixingError::WrongDirection`] for a target above the measured salinity, and for 0, which no amount of water
/// reaches; [`MixingError::OutOfRange`], also where the water would come to more than 10⁶ m³.
///
/// # Source
/// As [`trim_by_salt`].
pub fn trim_by_water(water: &Water, target: f64) -> Result<Trim, MixingError> {
    let balance = Balance::of(water, target)?;
    let trim = balance.trim(water, balance.present_kg, balance.by_water(water, target)?);
    VOLUME.require(trim.finished_volume_m3)?;
    Ok(trim)
}

/// Draws some of the water off and adds as much of another, so that the volume is the same before and after.
///
/// The drawn and the added volume differ slightly, since the mixture is a little denser than its parts' mean.
///
/// # Arguments
/// * `water`: as measured.
/// * `target`: practical salinity wanted; between that of the water and that of the replacement.
/// * `replacement`: practical salinity of the added water, `0..=42`; 0 for fresh water.
///
/// # Errors
/// [`MixingError::TargetBeyondReplacement`] for a target that isn't between; [`MixingError::OutOfRange`].
///
/// # Source
/// As [`trim_by_salt`].
pub fn trim_by_replacement(water: &Water, target: f64, replacement: f64) -> Result<Trim, MixingError> {
    let Balance {
        present_kg,
        present_density,
        target_density,
        salt,
        target_salt,
    } = Balance::of(water, target)?;
    let replacement_density = density_kg_m3(replacement, water.temperature_c)?;
    let measured = water.practical_salinity;
    if target == measured {
        return Ok(Trim::none(water, present_kg));
    }
    let between =
        (measured < target && target <= replacement) || (measured > target && target >= replacement);
    if !between {
        return Err(MixingError::TargetBeyondReplacement {
            measured,
            target,
            replacement,
        });
    }
    let finished_mass_kg = water.volume_m3 * target_density;
    let replacement_salt = salt_mass_fraction(replacement);
    // Salt: s₁(M₁ − x) + s₃·y = s₂M₂. Mass: M₁ − x + y = M₂.
    let withdraw_mass_kg = (target_salt * finished_mass_kg
        - salt * present_kg
        - replacement_salt * (finished_mass_kg - present_kg))
        / (replacement_salt - salt);
    let added_mass_kg = finished_mass_kg - present_kg + withdraw_mass_kg;
    Ok(Trim {
        withdraw_mass_kg,
        withdraw_volume_m3: withdraw_mass_kg / present_density,
        added_mass_kg,
        added_volume_m3: added_mass_kg / replacement_density,
        dry_mass_kg: 0.0,
        finished_mass_kg,
        finished_volume_m3: water.volume_m3,
    })
}

/// Strengthens with dry mix or weakens with fresh water, whichever is needed, and never beyond the room there is:
/// where it would overflow, just as much is drawn off first that the finished water fills the room.
///
/// That is the smallest withdrawal. To end at the present volume instead, use [`trim_by_replacement`].
///
/// # Arguments
/// * `water`, `target`, `strength`: as in [`trim_by_salt`].
/// * `room_m3`: most the vessel may hold, not below the present volume.
///
/// # Errors
/// [`MixingError::NoRoom`] where the present water exceeds the room; as [`trim_by_salt`] and [`trim_by_water`].
///
/// # Source
/// As [`trim_by_salt`].
///
/// # Examples
/// ```
/// use physics::mixing::{Water, trim_within_room};
///
/// let water = Water { volume_m3: 0.19, practical_salinity: 37.0, temperature_c: 25.0 };
/// // Weakening to 33 would take 23 litres of water, and only 10 fit: some is drawn off first.
/// let trim = trim_within_room(&water, 33.0, 0.9, 0.2)?;
/// assert!((0.011..0.013).contains(&trim.withdraw_volume_m3));
/// assert!((trim.finished_volume_m3 - 0.2).abs() < 1e-15);
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn trim_within_room(
    water: &Water,
    target: f64,
    strength: f64,
    room_m3: f64,
) -> Result<Trim, MixingError> {
    let balance = Balance::of(water, target)?;
    let strength = STRENGTH_RANGE.require(strength)?;
    VOLUME.require(room_m3)?;
    if water.volume_m3 > room_m3 {
        return Err(MixingError::NoRoom {
            volume_m3: water.volume_m3,
            room_m3,
        });
    }
    let addition = if target < water.practical_salinity {
        balance.by_water(water, target)?
    } else {
        balance.by_salt(strength)
    };
    let room_kg = room_m3 * balance.target_density;
    let kept_kg = balance.present_kg.min(room_kg / (1.0 + addition.per_kg()));
    Ok(balance.trim(water, kept_kg, addition))
}

/// What is added to each kilogram that is kept.
#[derive(Debug, Clone, Copy)]
enum Addition {
    Salt { per_kg: f64 },
    FreshWater { per_kg: f64, density: f64 },
}

impl Addition {
    fn per_kg(&self) -> f64 {
        match self {
            Self::Salt { per_kg } | Self::FreshWater { per_kg, .. } => *per_kg,
        }
    }
}

impl Balance {
    fn of(water: &Water, target: f64) -> Result<Self, MixingError> {
        Ok(Self {
            present_kg: water.mass_kg()?,
            present_density: density_kg_m3(water.practical_salinity, water.temperature_c)?,
            target_density: density_kg_m3(target, water.temperature_c)?,
            salt: salt_mass_fraction(water.practical_salinity),
            target_salt: salt_mass_fraction(target),
        })
    }

    fn by_salt(&self, strength: f64) -> Addition {
        Addition::Salt {
            per_kg: (self.target_salt - self.salt) / (strength - self.target_salt),
        }
    }

    fn by_water(&self, water: &Water, target: f64) -> Result<Addition, MixingError> {
        let density = density_kg_m3(0.0, water.temperature_c)?;
        let measured = water.practical_salinity;
        if target == measured {
            return Ok(Addition::FreshWater { per_kg: 0.0, density });
        }
        // A target next to nothing would take a sea of water.
        let per_kg = self.salt / self.target_salt - 1.0;
        if target > measured || !per_kg.is_finite() {
            return Err(MixingError::WrongDirection { measured, target });
        }
        Ok(Addition::FreshWater { per_kg, density })
    }

    fn trim(&self, water: &Water, kept_kg: f64, addition: Addition) -> Trim {
        if self.salt == self.target_salt {
            return Trim::none(water, self.present_kg);
        }
        let added_kg = kept_kg * addition.per_kg();
        let (added_mass_kg, added_volume_m3, dry_mass_kg) = match addition {
            Addition::Salt { .. } => (0.0, 0.0, added_kg),
            Addition::FreshWater { density, .. } => (added_kg, added_kg / density, 0.0),
        };
        let withdraw_mass_kg = self.present_kg - kept_kg;
        let finished_mass_kg = kept_kg + added_kg;
        Trim {
            withdraw_mass_kg,
            withdraw_volume_m3: withdraw_mass_kg / self.present_density,
            added_mass_kg,
            added_volume_m3,
            dry_mass_kg,
            finished_mass_kg,
            finished_volume_m3: finished_mass_kg / self.target_density,
        }
    }
}

impl Trim {
    /// Nothing to do.
    fn none(water: &Water, present_kg: f64) -> Self {
        Self {
            withdraw_mass_kg: 0.0,
            withdraw_volume_m3: 0.0,
            added_mass_kg: 0.0,
            added_volume_m3: 0.0,
            dry_mass_kg: 0.0,
            finished_mass_kg: present_kg,
            finished_volume_m3: water.volume_m3,
        }
    }

    /// Whether nothing is to be done.
    pub fn is_nothing(&self) -> bool {
        [self.withdraw_mass_kg, self.added_mass_kg, self.dry_mass_kg]
            .iter()
            .all(|mass| mass.abs() <= 0.0)
    }
}
