//! The air of high places.

use super::limits::GRAVITY_M_S2;
use crate::{OutOfRange, Range};

/// Altitudes of the lowest layer of the standard atmosphere, in which temperature falls evenly.
pub const ALTITUDE: Range = Range {
    quantity: "altitude",
    unit: "m",
    min: -2000.0,
    max: 11_000.0,
    source_key: "ISO-2533-1975",
};

const SEA_LEVEL_PA: f64 = 101_325.0;
const SEA_LEVEL_K: f64 = 288.15;
const LAPSE_K_M: f64 = 0.0065;
/// Gas constant of dry air, J/(kg·K).
const AIR_J_KG_K: f64 = 287.052_87;

/// Returns the pressure of the standard atmosphere at an altitude, in Pa, absolute:
/// `101 325·(1 − 0.0065·H/288.15)^(g/(287.053·0.0065))`.
///
/// Weather moves it by some 3 %, which is a third of a metre of suction.
///
/// # Arguments
/// * `altitude_m`: H, `-2000..=11_000`. Geopotential altitude; the height above the sea differs by less than 0.2 % of it.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ISO-2533-1975`, constants from memory.
///
/// # Examples
/// ```
/// let pressure_pa = physics::hydraulics::suction::standard_pressure_pa(2000.0)?;
/// assert!((pressure_pa - 79_495.0).abs() < 5.0);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn standard_pressure_pa(altitude_m: f64) -> Result<f64, OutOfRange> {
    let share = 1.0 - LAPSE_K_M * ALTITUDE.require(altitude_m)? / SEA_LEVEL_K;
    Ok(SEA_LEVEL_PA * libm::pow(share, GRAVITY_M_S2 / (AIR_J_KG_K * LAPSE_K_M)))
}
