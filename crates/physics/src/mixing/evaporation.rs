//! What evaporation does to salinity: water leaves, salt stays.

use super::{
    error::MixingError,
    water::{Water, solve_practical_salinity},
};
use crate::{
    Range,
    seawater::{DENSITY_SALINITY, density_kg_m3, practical_salinity_from_absolute, salt_mass_fraction},
};

const EVAPORATED: Range = Range {
    quantity: "evaporated volume",
    unit: "m³",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
const DAYS: Range = Range {
    quantity: "days",
    unit: "",
    min: 0.0,
    max: 1e5,
    source_key: "HOUSE-RULE",
};
const DAILY_SHARE: Range = Range {
    quantity: "share evaporated a day",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// Returns the water that is left when some has evaporated and nothing was topped off.
///
/// # Arguments
/// * `water`: before.
/// * `evaporated_volume_m3`: as liquid fresh water of the same temperature, `0..=10⁶`.
///
/// # Errors
/// [`MixingError::EvaporatesDry`] for more than there is; [`MixingError::TooSalty`] above practical salinity 42;
/// [`MixingError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of salt.
///
/// # Examples
/// ```
/// use physics::mixing::{Water, after_evaporation};
///
/// let water = Water { volume_m3: 0.2, practical_salinity: 35.0, temperature_c: 25.0 };
/// let left = after_evaporation(&water, 0.002)?;
/// assert!((35.34..35.35).contains(&left.practical_salinity));
/// # Ok::<(), physics::mixing::MixingError>(())
/// ```
pub fn after_evaporation(water: &Water, evaporated_volume_m3: f64) -> Result<Water, MixingError> {
    let (left_kg, salt_kg) = left_over(water, evaporated_volume_m3)?;
    let practical_salinity = if evaporated_volume_m3 > 0.0 {
        practical_salinity_from_absolute(1000.0 * salt_kg / left_kg)
    } else {
        water.practical_salinity
    };
    if practical_salinity > DENSITY_SALINITY.max {
        return Err(MixingError::TooSalty {
            most_practical_salinity: DENSITY_SALINITY.max,
        });
    }
    let volume_m3 = left_kg / density_kg_m3(practical_salinity, water.temperature_c)?;
    Ok(Water {
        volume_m3,
        practical_salinity,
        ..*water
    })
}

/// Returns the water after evaporation was topped off to the same volume with salt water, by mistake or for want
/// of fresh water.
///
/// # Arguments
/// * `water`, `evaporated_volume_m3`: as in [`after_evaporation`].
/// * `top_off_practical_salinity`: of the added water, `0..=42`; 0 gives the water back as it was.
///
/// # Errors
/// As [`after_evaporation`].
///
/// # Source
/// Own derivation: conservation of mass and salt at the same volume.
pub fn after_salt_top_off(
    water: &Water,
    evaporated_volume_m3: f64,
    top_off_practical_salinity: f64,
) -> Result<Water, MixingError> {
    let (left_kg, salt_kg) = left_over(water, evaporated_volume_m3)?;
    DENSITY_SALINITY.require(top_off_practical_salinity)?;
    let added_salt = salt_mass_fraction(top_off_practical_salinity);
    if added_salt <= 0.0 || evaporated_volume_m3 <= 0.0 {
        return Ok(*water);
    }
    let practical_salinity = solve_practical_salinity(water.practical_salinity, |practical_salinity| {
        let filled_kg = water.volume_m3 * density_kg_m3(practical_salinity, water.temperature_c)?;
        Ok(salt_mass_fraction(practical_salinity) * filled_kg - salt_kg - added_salt * (filled_kg - left_kg))
    })?;
    Ok(Water {
        practical_salinity,
        ..*water
    })
}

/// Returns by how much practical salinity rises when evaporation is topped off with salt water day after day:
/// `ΔS = S_t·e·days`, `e` being the share of the volume that evaporates a day.
///
/// By volume, so that it's a rule of thumb beside [`after_salt_top_off`]; the two agree to about 3 %.
///
/// # Errors
/// [`MixingError::OutOfRange`] for a salinity outside `0..=42`, a share outside `0..=1`, days outside `0..=10⁵`.
///
/// # Source
/// Own derivation: every litre topped off leaves its salt behind.
pub fn drift_by_salt_top_off(
    top_off_practical_salinity: f64,
    evaporated_share_per_day: f64,
    days: f64,
) -> Result<f64, MixingError> {
    let salinity = DENSITY_SALINITY.require(top_off_practical_salinity)?;
    Ok(salinity * DAILY_SHARE.require(evaporated_share_per_day)? * DAYS.require(days)?)
}

/// Mass of solution and of salt that evaporation leaves.
fn left_over(water: &Water, evaporated_volume_m3: f64) -> Result<(f64, f64), MixingError> {
    let (mass_kg, salt_kg) = (water.mass_kg()?, water.salt_kg()?);
    let fresh_density = density_kg_m3(0.0, water.temperature_c)?;
    let evaporated_kg = EVAPORATED.require(evaporated_volume_m3)? * fresh_density;
    if evaporated_kg >= mass_kg - salt_kg {
        let water_volume_m3 = (mass_kg - salt_kg) / fresh_density;
        return Err(MixingError::EvaporatesDry {
            evaporated_volume_m3,
            water_volume_m3,
        });
    }
    Ok((mass_kg - evaporated_kg, salt_kg))
}
