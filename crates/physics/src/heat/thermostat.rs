//! How long a thermostat keeps its heater, or its chiller, switched on.

use super::balance::HeatBalance;
use super::error::HeatError;
use super::limits::{POWER, WATER};

/// What a thermostat does once the vessel is at its set point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Duty {
    /// Nothing: the rest of the balance keeps the water beyond the set point, above it for a heater and below it for a
    /// chiller.
    Idle {
        /// Where the water rests without it; `None` where nothing is lost and it goes on and on.
        steady_c: Option<f64>,
    },
    /// It is on for this share of the time.
    Share {
        /// Share of the time, 0 to 1.
        of_time: f64,
        /// Mean power, W; negative for a chiller.
        mean_power_w: f64,
    },
    /// It is always on, and the set point isn't held.
    TooWeak {
        /// Where the water rests; `None` where nothing is lost.
        steady_c: Option<f64>,
    },
}

/// Returns the duty of a thermostat in the steady state: `(UA·(T − Tₐ) − P)/P_s`.
///
/// # Arguments
/// * `balance`: the vessel without what is switched; its power is the pump's, and whatever else is always on.
/// * `set_c`: T, `−2..=60`.
/// * `switched_w`: P_s, `−1e7..=1e7` but 0; negative for a chiller.
///
/// # Errors
/// [`HeatError::NothingSwitched`], [`HeatError::OutOfRange`].
///
/// # Source
/// `HEAT-BALANCE` at rest. The swing between on and off isn't in it.
///
/// # Examples
/// ```
/// use physics::heat::{Duty, HeatBalance, thermostat_duty};
///
/// let vessel = HeatBalance {
///     heat_capacity_j_k: 817e3,
///     loss_w_k: 12.0,
///     air_temperature_c: 18.0,
///     power_w: 24.0,
/// };
/// let Duty::Share { of_time, .. } = thermostat_duty(&vessel, 25.0, 300.0)? else { panic!() };
/// assert!((of_time - 0.2).abs() < 1e-12);
/// # Ok::<(), physics::heat::HeatError>(())
/// ```
pub fn thermostat_duty(balance: &HeatBalance, set_c: f64, switched_w: f64) -> Result<Duty, HeatError> {
    balance.require()?;
    let set_c = WATER.require(set_c)?;
    let switched_w = POWER.require(switched_w)?;
    if switched_w == 0.0 {
        return Err(HeatError::NothingSwitched);
    }
    let mean_power_w = balance.loss_w_k * (set_c - balance.air_temperature_c) - balance.power_w;
    let of_time = mean_power_w / switched_w;
    let rest_c = |power_w: f64| {
        let air_c = balance.air_temperature_c;
        (balance.loss_w_k > 0.0).then(|| air_c + power_w / balance.loss_w_k)
    };
    Ok(if of_time < 0.0 {
        Duty::Idle {
            steady_c: rest_c(balance.power_w),
        }
    } else if of_time > 1.0 {
        Duty::TooWeak {
            steady_c: rest_c(balance.power_w + switched_w),
        }
    } else {
        Duty::Share {
            of_time,
            mean_power_w,
        }
    })
}
