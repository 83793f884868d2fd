//! A pump that runs against a closed valve and heats the water inside it.

use super::error::PumpEffectError;
use super::heat::warming_c_s;
use super::power::POWER;
use crate::{OutOfRange, Range};

const LOSS: Range = Range {
    quantity: "heat lost to the room",
    unit: "W/K",
    min: 0.0,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// A pump with its outlet shut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosedPump {
    /// Heat into the water at no flow, P, W, `0..=1e7`.
    pub heat_w: f64,
    /// Water in the pump and what moves with it, m³, `1e-6..=1e4`. Casing and impeller aren't counted, so that it heats
    /// sooner here than it does.
    pub volume_m3: f64,
    /// Density, kg/m³, `900..=1300`.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg·K), `3000..=4300`.
    pub heat_capacity_j_kg_k: f64,
    /// Heat lost to the room for each degree above it, U, W/K, `0..=1e4`; 0 to be on the safe side.
    pub loss_w_k: f64,
    /// Temperature of the room, °C, `-2..=100`.
    pub room_c: f64,
}

/// When the water reaches a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatingTime {
    /// After so long, s.
    After(f64),
    /// Never: it settles first.
    Never {
        /// Where, °C.
        settles_c: f64,
    },
}

/// Returns how fast the water in the pump warms at a temperature, in °C/s: `(P − U·(t − t_room))/(ρ·V·c)`; negative where it
/// cools.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Balance of heat: DEFINITION of specific heat; one temperature throughout.
pub fn heating_rate_c_s(pump: &ClosedPump, water_c: f64) -> Result<f64, OutOfRange> {
    let above_c = TEMPERATURE.require(water_c)? - TEMPERATURE.require(pump.room_c)?;
    let net_w = POWER.require(pump.heat_w)? - LOSS.require(pump.loss_w_k)? * above_c;
    let per_watt = warming_c_s(1.0, pump.volume_m3, pump.density_kg_m3, pump.heat_capacity_j_kg_k)?;
    Ok(net_w * per_watt)
}

/// Returns when the water in the pump reaches a limit: `−(ρ·V·c/U)·ln(1 − U·Δt/P₀)`, `P₀` the net heat at the start and `Δt` the
/// rise to the limit; `ρ·V·c·Δt/P₀` without loss.
///
/// # Arguments
/// * `pump`: as it stands.
/// * `water_c`: at the start, `-2..=100`.
/// * `limit_c`: above that, `-2..=100`.
///
/// # Errors
/// [`PumpEffectError::LimitNotAbove`]; [`PumpEffectError::OutOfRange`].
///
/// # Source
/// Own derivation: [`heating_rate_c_s`] integrated.
///
/// # Examples
/// ```
/// use physics::hydraulics::pump_effects::{ClosedPump, HeatingTime, time_to_rise};
///
/// let pump = ClosedPump {
///     heat_w: 20.0,
///     volume_m3: 1e-4,
///     density_kg_m3: 1000.0,
///     heat_capacity_j_kg_k: 4180.0,
///     loss_w_k: 0.0,
///     room_c: 20.0,
/// };
/// let HeatingTime::After(time_s) = time_to_rise(&pump, 20.0, 60.0)? else { unreachable!() };
/// assert!((time_s - 836.0).abs() < 1e-6);
/// # Ok::<(), physics::hydraulics::pump_effects::PumpEffectError>(())
/// ```
pub fn time_to_rise(pump: &ClosedPump, water_c: f64, limit_c: f64) -> Result<HeatingTime, PumpEffectError> {
    let rate_c_s = heating_rate_c_s(pump, water_c)?;
    let rise_c = TEMPERATURE.require(limit_c)? - water_c;
    if rise_c <= 0.0 {
        return Err(PumpEffectError::LimitNotAbove { limit_c, water_c });
    }
    let per_watt = warming_c_s(1.0, pump.volume_m3, pump.density_kg_m3, pump.heat_capacity_j_kg_k)?;
    let loss_1_s = pump.loss_w_k * per_watt;
    let settles_c = if pump.loss_w_k > 0.0 {
        pump.room_c + pump.heat_w / pump.loss_w_k
    } else {
        water_c
    };
    if rate_c_s <= loss_1_s * rise_c {
        return Ok(HeatingTime::Never { settles_c });
    }
    let share = loss_1_s * rise_c / rate_c_s;
    // ln(1 − x)/x goes to −1 as the loss goes to nothing.
    let slower = if share > 0.0 {
        -libm::log1p(-share) / share
    } else {
        1.0
    };
    let time_s = rise_c / rate_c_s * slower;
    // Heat so little, or a limit so near to where it settles, that rounding can't tell when.
    Ok(if time_s.is_finite() {
        HeatingTime::After(time_s)
    } else {
        HeatingTime::Never { settles_c }
    })
}
