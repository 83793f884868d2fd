//! Water vapour in air: saturation, humidity ratio, dew point.

use crate::{OutOfRange, Range};
use libm::{exp, log};

/// Temperatures of air; `HYLAND-WEXLER-1983` goes from −100 to 200 °C.
pub const AIR_TEMPERATURE: Range = Range {
    quantity: "air temperature",
    unit: "°C",
    min: -100.0,
    max: 100.0,
    source_key: "HYLAND-WEXLER-1983",
};

/// Relative humidity, as a share.
pub const RELATIVE_HUMIDITY: Range = Range {
    quantity: "relative humidity",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};

/// Pressure of the air, from a high mountain to a deep mine.
pub const AIR_PRESSURE: Range = Range {
    quantity: "air pressure",
    unit: "Pa",
    min: 5e4,
    max: 1.2e5,
    source_key: "HOUSE-RULE",
};

/// Vapour pressures that have a dew point in the range of temperature.
const VAPOUR_PRESSURE: Range = Range {
    quantity: "vapour pressure",
    unit: "Pa",
    min: 1.41e-3,
    max: 1.014e5,
    source_key: "HYLAND-WEXLER-1983",
};

/// Where the two curves meet, water's triple point.
const TRIPLE_POINT_C: f64 = 0.01;
/// Ratio of the molar masses of water and dry air.
const MASS_RATIO: f64 = 0.621_945;

/// Returns the saturation pressure of water vapour, Pa: over water above 0.01 °C, over ice up to there.
///
/// # Errors
/// [`OutOfRange`] outside −100 to 100 °C.
///
/// # Source
/// `HYLAND-WEXLER-1983`, without the enhancement by air (0.4 % at sea level).
///
/// # Examples
/// ```
/// let pressure_pa = physics::evaporation::saturation_pressure_pa(25.0)?;
/// assert!((pressure_pa - 3169.0).abs() < 1.0);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn saturation_pressure_pa(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(exp(log_saturation(AIR_TEMPERATURE.require(temperature_c)?).0))
}

/// Returns the partial pressure of the vapour in air, Pa.
///
/// # Errors
/// [`OutOfRange`] outside −100 to 100 °C and a relative humidity of 0 to 1.
///
/// # Source
/// DEFINITION of relative humidity.
pub fn vapour_pressure_pa(temperature_c: f64, relative_humidity: f64) -> Result<f64, OutOfRange> {
    Ok(RELATIVE_HUMIDITY.require(relative_humidity)? * saturation_pressure_pa(temperature_c)?)
}

/// Returns the humidity ratio, kg of vapour to a kg of dry air: `0.621945·p_w/(p − p_w)`.
///
/// # Arguments
/// * `vapour_pressure_pa`: partial pressure of the vapour, from 0 to half the air pressure.
/// * `air_pressure_pa`: of the moist air, `5·10⁴..=1.2·10⁵`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Ideal gases: `ASHRAE-FUNDAMENTALS-2017`, chapter 1.
pub fn humidity_ratio(vapour_pressure_pa: f64, air_pressure_pa: f64) -> Result<f64, OutOfRange> {
    let air = AIR_PRESSURE.require(air_pressure_pa)?;
    // Above half, air is no longer what evaporation goes into.
    let vapour = Range {
        min: 0.0,
        max: air / 2.0,
        source_key: "HOUSE-RULE",
        ..VAPOUR_PRESSURE
    }
    .require(vapour_pressure_pa)?;
    Ok(MASS_RATIO * vapour / (air - vapour))
}

/// Returns the temperature at which that vapour pressure saturates, °C: dew point, below 0.01 °C frost point.
///
/// # Errors
/// [`OutOfRange`] for a vapour pressure outside 0.00141 to 101 400 Pa (dry air has no dew point).
///
/// # Source
/// Inverse of [`saturation_pressure_pa`], to rounding.
pub fn dew_point_c(vapour_pressure_pa: f64) -> Result<f64, OutOfRange> {
    let log_pressure = log(VAPOUR_PRESSURE.require(vapour_pressure_pa)?);
    // ln p is nearly straight in 1/T, so that three or four steps do from anywhere; where the curves meet they differ
    // by 10⁻⁶ and a step to and fro does no harm.
    let mut inverse_kelvin = 1.0 / 283.15;
    for _ in 0..12 {
        let kelvin = 1.0 / inverse_kelvin;
        let (log_saturation, slope_per_k) = log_saturation(kelvin - 273.15);
        let step = (log_saturation - log_pressure) / (slope_per_k * kelvin * kelvin);
        inverse_kelvin += step;
        if step.abs() < 1e-15 * inverse_kelvin {
            break;
        }
    }
    Ok(1.0 / inverse_kelvin - 273.15)
}

/// ln of the saturation pressure in Pa, and its slope per kelvin.
fn log_saturation(temperature_c: f64) -> (f64, f64) {
    let t = temperature_c + 273.15;
    if temperature_c > TRIPLE_POINT_C {
        let value = -5.800_220_6e3 / t
            + 1.391_499_3
            + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
            + 6.545_967_3 * log(t);
        let slope = 5.800_220_6e3 / (t * t) - 4.864_023_9e-2
            + t * (2.0 * 4.176_476_8e-5 - t * 3.0 * 1.445_209_3e-8)
            + 6.545_967_3 / t;
        (value, slope)
    } else {
        let value = -5.674_535_9e3 / t
            + 6.392_524_7
            + t * (-9.677_843e-3 + t * (6.221_570_1e-7 + t * (2.074_782_5e-9 - t * 9.484_024e-13)))
            + 4.163_501_9 * log(t);
        let slope = 5.674_535_9e3 / (t * t) - 9.677_843e-3
            + t * (2.0 * 6.221_570_1e-7 + t * (3.0 * 2.074_782_5e-9 - t * 4.0 * 9.484_024e-13))
            + 4.163_501_9 / t;
        (value, slope)
    }
}
