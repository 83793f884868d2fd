//! What warming takes, and what waters give when they are mixed.

use super::error::HeatError;
use crate::{mixing::Water, seawater::heat_capacity_j_kg_k};

/// Returns the heat capacity of a body of water, J/K: `m·c`.
///
/// # Errors
/// [`HeatError::Water`], [`HeatError::OutOfRange`] outside practical salinity 0 to 42 and −2 to 40 °C.
///
/// # Source
/// `TEOS-10-2010`, by [`heat_capacity_j_kg_k`].
pub fn heat_capacity_j_k(water: &Water) -> Result<f64, HeatError> {
    Ok(water.mass_kg()? * heat_capacity_j_kg_k(water.practical_salinity, water.temperature_c)?)
}

/// Returns the heat that takes a body of water to another temperature, J; negative for cooling: `m·∫c·dT`.
///
/// # Arguments
/// * `water`: volume at its own temperature.
/// * `to_c`: `−2..=40`.
///
/// # Errors
/// As [`heat_capacity_j_k`].
///
/// # Source
/// `TEOS-10-2010`; Simpson's rule over three heat capacities, which change by less than 1 % and nearly straight.
///
/// # Examples
/// ```
/// use physics::{heat::energy_to_warm_j, mixing::Water};
///
/// let reserve = Water { volume_m3: 0.2, practical_salinity: 35.0, temperature_c: 15.0 };
/// assert!((energy_to_warm_j(&reserve, 25.0)? / 8.19e6 - 1.0).abs() < 3e-3);
/// # Ok::<(), physics::heat::HeatError>(())
/// ```
pub fn energy_to_warm_j(water: &Water, to_c: f64) -> Result<f64, HeatError> {
    let c = |t| heat_capacity_j_kg_k(water.practical_salinity, t);
    let from_c = water.temperature_c;
    let mean = (c(from_c)? + 4.0 * c((from_c + to_c) / 2.0)? + c(to_c)?) / 6.0;
    Ok(water.mass_kg()? * mean * (to_c - from_c))
}

/// Returns the temperature of waters mixed, °C: `Σ m·c·T/Σ m·c`.
///
/// Each heat capacity is that of its own water, as it is before mixing. That, and the little heat that comes of mixing
/// salt water with fresh, is less than 0.1 °C (house rule); salt dissolved from dry mix isn't in it.
///
/// # Errors
/// [`HeatError::NothingToMix`] for no waters; as [`heat_capacity_j_k`].
///
/// # Source
/// `HEAT-BALANCE`: what one gives the other takes.
///
/// # Examples
/// ```
/// use physics::{heat::mixed_temperature_c, mixing::Water};
///
/// let warm = Water { volume_m3: 0.150, practical_salinity: 0.0, temperature_c: 24.0 };
/// let cold = Water { volume_m3: 0.050, practical_salinity: 0.0, temperature_c: 10.0 };
/// assert!((mixed_temperature_c(&[warm, cold])? - 20.5).abs() < 0.02);
/// # Ok::<(), physics::heat::HeatError>(())
/// ```
pub fn mixed_temperature_c(waters: &[Water]) -> Result<f64, HeatError> {
    let mut capacity_j_k = 0.0;
    let mut heat_j = 0.0;
    for water in waters {
        let its_j_k = heat_capacity_j_k(water)?;
        capacity_j_k += its_j_k;
        heat_j += its_j_k * water.temperature_c;
    }
    if waters.is_empty() {
        return Err(HeatError::NothingToMix);
    }
    Ok(heat_j / capacity_j_k)
}
