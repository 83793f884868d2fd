//! Evaporation from an open surface of water.

use super::{
    air::{saturation_pressure_pa, vapour_pressure_pa},
    salt::vapour_pressure_share,
};
use crate::{OutOfRange, Range};

/// Temperature of a water surface.
pub const WATER_TEMPERATURE: Range = Range {
    quantity: "water temperature",
    unit: "°C",
    min: 0.0,
    max: 40.0,
    source_key: "HOUSE-RULE",
};

/// Speed of the air over the surface. The data behind the correlation were taken indoors, at low speed.
pub const AIR_SPEED: Range = Range {
    quantity: "air speed",
    unit: "m/s",
    min: 0.0,
    max: 2.0,
    source_key: "HOUSE-RULE",
};

/// Factor for the unrest of the surface: 0.5 still, 1 as the correlation stands, 1.5 and more for waves and spray.
pub const ACTIVITY_FACTOR: Range = Range {
    quantity: "activity factor",
    unit: "",
    min: 0.0,
    max: 3.0,
    source_key: "HOUSE-RULE",
};

const ROOM_TEMPERATURE: Range = Range {
    quantity: "air temperature",
    unit: "°C",
    min: -20.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// A surface of water and the air above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceAir {
    /// Temperature of the water surface, `0..=40` °C.
    pub water_temperature_c: f64,
    /// Temperature of the air, `−20..=50` °C.
    pub air_temperature_c: f64,
    /// Relative humidity of the air, `0..=1`.
    pub relative_humidity: f64,
    /// Speed of the air over the surface, `0..=2` m/s.
    pub air_speed_m_s: f64,
    /// Practical salinity of the water, `0..=42`; 0 for fresh water.
    pub practical_salinity: f64,
}

/// Returns evaporation from each m² of surface, kg/s, by the form with air speed. Negative where vapour condenses on
/// the water.
///
/// `w = Δp·(0.089 + 0.0782·v)/r·F`, Δp the vapour pressure over the water less that of the air, r latent heat, F the
/// activity factor. Found in swimming halls of 24 to 30 °C; over a vessel of less than 1 m² good to ±40 % at best, so
/// that F should come from logged top-off.
///
/// # Arguments
/// * `surface`: the water and the air.
/// * `activity_factor`: `0..=3`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ASHRAE-APPLICATIONS`; vapour pressure over sea water by [`vapour_pressure_share`].
///
/// # Examples
/// ```
/// use physics::evaporation::{SurfaceAir, evaporation_kg_s_m2};
///
/// let drum = SurfaceAir {
///     water_temperature_c: 26.0,
///     air_temperature_c: 24.0,
///     relative_humidity: 0.5,
///     air_speed_m_s: 0.1,
///     practical_salinity: 0.0,
/// };
/// let kg_per_day = 0.26 * 86_400.0 * evaporation_kg_s_m2(&drum, 0.5)?;
/// assert!((kg_per_day - 0.83).abs() < 0.01);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn evaporation_kg_s_m2(surface: &SurfaceAir, activity_factor: f64) -> Result<f64, OutOfRange> {
    let factor = ACTIVITY_FACTOR.require(activity_factor)?;
    let speed = AIR_SPEED.require(surface.air_speed_m_s)?;
    let difference_pa = difference_pa(surface)?;
    Ok(difference_pa * (0.089 + 0.0782 * speed) / latent_heat_j_kg(surface.water_temperature_c)? * factor)
}

/// Returns evaporation from each m² of surface, kg/s, by the short form for air of 0.05 to 0.15 m/s:
/// `w = 4·10⁻⁸·Δp·F`. The speed in `surface` must be in range and isn't used.
///
/// # Arguments
/// As [`evaporation_kg_s_m2`].
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ASHRAE-APPLICATIONS`.
pub fn simple_evaporation_kg_s_m2(surface: &SurfaceAir, activity_factor: f64) -> Result<f64, OutOfRange> {
    let factor = ACTIVITY_FACTOR.require(activity_factor)?;
    AIR_SPEED.require(surface.air_speed_m_s)?;
    Ok(4e-8 * difference_pa(surface)? * factor)
}

/// Returns the latent heat of evaporation of water, J/kg: `2.501·10⁶ − 2381·t`.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 40 °C.
///
/// # Source
/// Common practice, no source: a straight line through the steam tables, which it keeps to within 0.05 % over the
/// range (from memory: 2500.9, 2441.7 and 2406.0 kJ/kg at 0, 25 and 40 °C).
pub fn latent_heat_j_kg(water_temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(2.501e6 - 2381.0 * WATER_TEMPERATURE.require(water_temperature_c)?)
}

/// Vapour pressure over the water less that of the air.
fn difference_pa(surface: &SurfaceAir) -> Result<f64, OutOfRange> {
    let water_c = WATER_TEMPERATURE.require(surface.water_temperature_c)?;
    let air_c = ROOM_TEMPERATURE.require(surface.air_temperature_c)?;
    let over_water = saturation_pressure_pa(water_c)? * vapour_pressure_share(surface.practical_salinity)?;
    Ok(over_water - vapour_pressure_pa(air_c, surface.relative_humidity)?)
}
