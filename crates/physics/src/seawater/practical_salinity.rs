//! Practical salinity (PSS-78) and conductivity, both ways, with the extension below salinity 2.

use super::practical_scale::PracticalScale;
use crate::{OutOfRange, Range};

/// The range that PSS-78 itself states for salinity; below it the low-salinity extension holds.
pub const PSS78_STATED: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 2.0,
    max: 42.0,
    source_key: "UNESCO-44-1983",
};
/// The range that PSS-78 states for temperature. From 35 to 40 °C this room extrapolates.
pub const PSS78_STATED_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 35.0,
    source_key: "UNESCO-44-1983",
};

const USABLE_SALINITY: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 42.0,
    source_key: "UNESCO-44-1983",
};
const USABLE_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 40.0,
    source_key: "UNESCO-44-1983",
};

/// Practical salinity of water of this conductivity, at this temperature.
///
/// PSS-78 on its own temperature scale (IPTS-68, t68 = 1.00024 t90), and below salinity 2 the extension of
/// `HILL-1986`, scaled so that the two meet.
///
/// The extension reaches salinity 0 at about 2 µS/cm (2·10⁻⁴ S/m) and has no meaning below; purer water is
/// salinity 0, which is right within 0.001.
///
/// # Arguments
/// * `conductivity_s_m`: at the temperature of the water, uncompensated (10 mS/cm is 1 S/m); from 0 to that of
///   salinity 42.
/// * `temperature_c`: `-2..=40`; stated by the source up to 35, see [`PSS78_STATED_TEMPERATURE`].
///
/// # Errors
/// [`OutOfRange`] for a temperature outside the range, for a conductivity that no salinity of `0..=42` gives at
/// this temperature (its [`Range`] then carries the limits there), and for NaN.
///
/// ```
/// let salinity = physics::seawater::practical_salinity(5.307, 25.0)?;
/// assert!((salinity - 35.0).abs() < 1e-3);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn practical_salinity(conductivity_s_m: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    USABLE_TEMPERATURE.require(temperature_c)?;
    let scale = PracticalScale::at(temperature_c);
    let root = (conductivity_s_m / scale.reference_conductivity_s_m).sqrt();
    let salinity = scale.salinity(root);
    if root > LEAST_ROOT && USABLE_SALINITY.contains(salinity) {
        Ok(salinity)
    } else {
        at_the_ends(&scale, conductivity_s_m, salinity)
    }
}

/// Conductivity of water of this practical salinity, at this temperature, in S/m.
///
/// The inverse of [`practical_salinity`], by Newton's method to rounding. Salinity 0 gives 0; the least salinity
/// above it about 2·10⁻⁴ S/m.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`; stated by the source from 2, see [`PSS78_STATED`].
/// * `temperature_c`: `-2..=40`; stated up to 35.
///
/// # Errors
/// [`OutOfRange`] outside salinity 0 to 42 and −2 to 40 °C, and for NaN.
///
/// ```
/// let conductivity = physics::seawater::conductivity_s_m(35.0, 25.0)?;
/// assert!((conductivity - 5.3071).abs() < 1e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn conductivity_s_m(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(conductivity_with_effort(practical_salinity, temperature_c)?.0)
}

/// As [`conductivity_s_m`], with the number of Newton steps that it took: two from salinity 2 up.
///
/// # Errors
/// As [`conductivity_s_m`].
///
/// ```
/// let (_, steps) = physics::seawater::conductivity_with_effort(35.0, 25.0)?;
/// assert_eq!(steps, 2);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn conductivity_with_effort(
    practical_salinity: f64,
    temperature_c: f64,
) -> Result<(f64, u32), OutOfRange> {
    USABLE_SALINITY.require(practical_salinity)?;
    USABLE_TEMPERATURE.require(temperature_c)?;
    if practical_salinity <= 0.0 {
        return Ok((0.0, 0));
    }
    let scale = PracticalScale::at(temperature_c);
    let (root, steps) = scale.root(practical_salinity);
    Ok((scale.reference_conductivity_s_m * root * root, steps))
}

/// The extension turns back up below a root of 0.003, so that purer water would seem saltier again.
const LEAST_ROOT: f64 = 0.003;

/// Refuses, unless the salinity left the scale by rounding alone, or below salinity 0 where the extension ends.
#[cold]
fn at_the_ends(scale: &PracticalScale, conductivity_s_m: f64, salinity: f64) -> Result<f64, OutOfRange> {
    let (root, _) = scale.root(USABLE_SALINITY.max);
    let range = Range {
        quantity: "conductivity at this temperature",
        unit: "S/m",
        min: 0.0,
        max: scale.reference_conductivity_s_m * root * root,
        source_key: "UNESCO-44-1983",
    };
    range.require(conductivity_s_m)?;
    Ok(if salinity > USABLE_SALINITY.max {
        USABLE_SALINITY.max
    } else {
        USABLE_SALINITY.min
    })
}
