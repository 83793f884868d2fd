//! The small formulas of a membrane: concentration along it, at its wall, in its permeate and its reject.

use super::{
    error::MembraneError,
    limits::{FLOW, FLOW_GIVEN, PRESSURE, RECOVERY, SALT_CONDUCTANCE, SOLIDS, TEMPERATURE, WALL_SOLIDS},
    restrictor::Resistances,
};
use crate::freshwater::osmotic_pressure_pa;

/// Exponent of the concentration polarisation.
const POLARISATION: f64 = 0.7;
/// Below this recovery the series of the mean stands in for a difference of like numbers.
const SMALL: f64 = 1e-3;

/// Returns the mean concentration along the element over that of the feed, `ln(1/(1 − Y))/Y`, 1 at `Y = 0`.
///
/// # Arguments
/// * `recovery`: `Y`, product over feed, `0..=0.9`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `ASTM-D4516`.
pub fn concentration_factor(recovery: f64) -> Result<f64, MembraneError> {
    RECOVERY.require(recovery)?;
    Ok(mean_and_slope(recovery).0)
}

/// Returns the concentration at the wall over that in the channel, `exp(0.7·Y)`.
///
/// # Arguments
/// * `recovery`: `Y`, `0..=0.9`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MEMBRANE-POLARISATION`, made for elements about 1 m long.
pub fn polarisation(recovery: f64) -> Result<f64, MembraneError> {
    RECOVERY.require(recovery)?;
    Ok(libm::exp(POLARISATION * recovery))
}

/// Returns the concentration at the wall over that of the feed: [`concentration_factor`] times [`polarisation`].
///
/// # Arguments
/// * `recovery`: `Y`, `0..=0.9`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `ASTM-D4516` and `MEMBRANE-POLARISATION`.
pub fn wall_factor(recovery: f64) -> Result<f64, MembraneError> {
    RECOVERY.require(recovery)?;
    Ok(wall_factor_and_slope(recovery).0)
}

/// As [`wall_factor`], with its slope and without a check.
pub(super) fn wall_factor_and_slope(recovery: f64) -> (f64, f64) {
    let (mean, slope) = mean_and_slope(recovery);
    let polarisation = libm::exp(POLARISATION * recovery);
    (mean * polarisation, polarisation * (slope + POLARISATION * mean))
}

/// Mean along the element over the feed, and its slope.
fn mean_and_slope(recovery: f64) -> (f64, f64) {
    let y = recovery;
    if y < SMALL {
        // −ln(1 − y)/y as a series; the first term left out is y⁵/6, 2·10⁻¹⁶ at the most.
        let mean = 1.0 + y * (1.0 / 2.0 + y * (1.0 / 3.0 + y * (1.0 / 4.0 + y / 5.0)));
        (
            mean,
            1.0 / 2.0 + y * (2.0 / 3.0 + y * (3.0 / 4.0 + y * 4.0 / 5.0)),
        )
    } else {
        let mean = -libm::log1p(-y) / y;
        (mean, (1.0 / (1.0 - y) - mean) / y)
    }
}

/// Returns the dissolved solids of the permeate, `B·Cw/(Q + B)`; the wall's when nothing flows.
///
/// # Arguments
/// * `salt_conductance_m3_s`: `B`, at the temperature of the feed.
/// * `wall_kg_m3`: `Cw`, `0..=20`.
/// * `permeate_m3_s`: `Q`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `LONSDALE-1965`: salt flux `B·(Cw − Cp) = Q·Cp`, solved for `Cp`.
pub fn permeate_solids_kg_m3(
    salt_conductance_m3_s: f64,
    wall_kg_m3: f64,
    permeate_m3_s: f64,
) -> Result<f64, MembraneError> {
    let salt = SALT_CONDUCTANCE.require(salt_conductance_m3_s)?;
    // The quotient is exactly 1 where nothing flows.
    Ok(WALL_SOLIDS.require(wall_kg_m3)? * (salt / (FLOW.require(permeate_m3_s)? + salt)))
}

/// Returns the dissolved solids of the reject, from the balance of salt.
///
/// # Arguments
/// * `feed_kg_m3`: `0..=10`.
/// * `permeate_kg_m3`: no more than the wall's.
/// * `permeate_m3_s`, `reject_m3_s`: of the element; the reject flows.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`.
pub fn reject_solids_kg_m3(
    feed_kg_m3: f64,
    permeate_kg_m3: f64,
    permeate_m3_s: f64,
    reject_m3_s: f64,
) -> Result<f64, MembraneError> {
    let feed = SOLIDS.require(feed_kg_m3)?;
    let permeate = WALL_SOLIDS.require(permeate_kg_m3)?;
    let made = FLOW.require(permeate_m3_s)?;
    Ok(feed + (feed - permeate) * made / FLOW_GIVEN.require(reject_m3_s)?)
}

/// Returns the mean pressure along the feed side of the membrane.
///
/// # Arguments
/// * `feed_pressure_pa`: gauge, before the filters.
/// * `resistances`: of filters and channel.
/// * `permeate_m3_s`, `reject_m3_s`: of the element.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// Own derivation: linear resistances in series; half of the channel's drop counts.
pub fn membrane_pressure_pa(
    feed_pressure_pa: f64,
    resistances: &Resistances,
    permeate_m3_s: f64,
    reject_m3_s: f64,
) -> Result<f64, MembraneError> {
    PRESSURE.require(feed_pressure_pa)?;
    resistances.check()?;
    FLOW.require(permeate_m3_s)?;
    FLOW.require(reject_m3_s)?;
    Ok(feed_pressure_pa
        - resistances.feed_pa_s_m3 * (permeate_m3_s + reject_m3_s)
        - resistances.channel_pa_s_m3 * (permeate_m3_s / 4.0 + reject_m3_s / 2.0))
}

/// Returns the net driving pressure: that across the membrane less the difference of osmotic pressure.
///
/// # Arguments
/// * `membrane_pressure_pa`, `permeate_pressure_pa`: gauge, on either side.
/// * `wall_kg_m3`, `permeate_kg_m3`: `0..=20`.
/// * `temperature_c`: `0..=45`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `LONSDALE-1965`; [`osmotic_pressure_pa`].
pub fn net_driving_pressure_pa(
    membrane_pressure_pa: f64,
    permeate_pressure_pa: f64,
    wall_kg_m3: f64,
    permeate_kg_m3: f64,
    temperature_c: f64,
) -> Result<f64, MembraneError> {
    PRESSURE.require(membrane_pressure_pa)?;
    PRESSURE.require(permeate_pressure_pa)?;
    let difference = WALL_SOLIDS.require(wall_kg_m3)? - WALL_SOLIDS.require(permeate_kg_m3)?;
    Ok(membrane_pressure_pa - permeate_pressure_pa - osmotic_slope(temperature_c)? * difference)
}

/// Refuses a permeate saltier than its feed, but for rounding.
pub(super) fn check_permeate(permeate_kg_m3: f64, feed_kg_m3: f64) -> Result<(), MembraneError> {
    if permeate_kg_m3 > feed_kg_m3 * (1.0 + 1e-12) {
        return Err(MembraneError::TooLeaky {
            permeate_kg_m3,
            feed_kg_m3,
        });
    }
    Ok(())
}

/// Osmotic pressure of a dilute solution by its concentration, in Pa·m³/kg.
pub(super) fn osmotic_slope(temperature_c: f64) -> Result<f64, MembraneError> {
    // It's a straight line in the concentration, so that one point tells its slope.
    Ok(osmotic_pressure_pa(1.0, TEMPERATURE.require(temperature_c)?)?)
}
