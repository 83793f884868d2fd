//! Heat that a pump leaves in the water.

use super::super::suction::DENSITY;
use super::power::POWER;
use crate::{OutOfRange, Range};

/// Share of its input that a pump with a wet rotor leaves in the water, lowest and highest; common practice, no source.
///
/// All of the hydraulic power ends as heat in what is circulated, and the motor is cooled by the same water.
pub const WET_ROTOR_HEAT_SHARE: (f64, f64) = (0.6, 1.0);

pub(super) const SHARE: Range = Range {
    quantity: "share of the power that reaches the water",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};
pub(super) const VOLUME: Range = Range {
    quantity: "volume of water",
    unit: "m³",
    min: 1e-6,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
/// Strong brine to fresh water.
pub(super) const HEAT_CAPACITY: Range = Range {
    quantity: "specific heat of the water",
    unit: "J/(kg·K)",
    min: 3000.0,
    max: 4300.0,
    source_key: "HOUSE-RULE",
};

/// Returns the heat that stays in the water, in W: `f·P`.
///
/// # Arguments
/// * `input_w`: what the motor takes, P, `0..=1e7`.
/// * `share`: f, `0..=1`; [`WET_ROTOR_HEAT_SHARE`] for small pumps.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION.
pub fn heat_into_water_w(input_w: f64, share: f64) -> Result<f64, OutOfRange> {
    Ok(POWER.require(input_w)? * SHARE.require(share)?)
}

/// Returns how fast water warms that loses nothing, in °C/s: `P/(ρ·V·c)`.
///
/// # Arguments
/// * `heat_w`: P, `0..=1e7`.
/// * `volume_m3`: V, `1e-6..=1e4`.
/// * `density_kg_m3`: ρ, `900..=1300`.
/// * `heat_capacity_j_kg_k`: c, `3000..=4300`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION of specific heat.
///
/// # Examples
/// ```
/// let warming_c_s = physics::hydraulics::pump_effects::warming_c_s(22.0, 0.2, 1023.3, 3993.0)?;
/// assert!((warming_c_s * 3600.0 - 0.097).abs() < 5e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn warming_c_s(
    heat_w: f64,
    volume_m3: f64,
    density_kg_m3: f64,
    heat_capacity_j_kg_k: f64,
) -> Result<f64, OutOfRange> {
    let mass_kg = VOLUME.require(volume_m3)? * DENSITY.require(density_kg_m3)?;
    Ok(POWER.require(heat_w)? / (mass_kg * HEAT_CAPACITY.require(heat_capacity_j_kg_k)?))
}
