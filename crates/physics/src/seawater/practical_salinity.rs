//! Practical salinity from conductivity, and the way back.

use super::{
    limits::{PRACTICAL_SALINITY, StatedRange},
    practical_scale::PracticalScale,
};
use crate::{OutOfRange, Range};

/// The range the practical salinity scale was stated for. Below salinity 2 the kernels use the extension of
/// `HILL-1986`; above 35 °C they extrapolate.
pub const PSS78_STATED: StatedRange = StatedRange {
    practical_salinity: Range {
        quantity: "practical salinity",
        unit: "",
        min: 2.0,
        max: 42.0,
        source_key: "UNESCO-44-1983",
    },
    temperature: Range {
        quantity: "temperature",
        unit: "°C",
        min: -2.0,
        max: 35.0,
        source_key: "UNESCO-44-1983",
    },
};

/// Temperature for which the scale answers. House rule: ten degrees above the stated range.
const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 45.0,
    source_key: "UNESCO-44-1983",
};

/// A conductivity and the effort it took.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductivityWithEffort {
    /// Conductivity at the temperature of the water.
    pub conductivity_s_m: f64,
    /// Newton steps.
    pub steps: u32,
}

/// Returns the practical salinity of water of this conductivity.
///
/// The practical salinity scale of 1978, with the extension of Hill, Dauphinee and Woods below salinity 2. The
/// scale is defined on IPTS-68; the conversion `t68 = 1.00024 t90` is made here.
///
/// The scale itself gives about 2 µS/cm (2·10⁻⁴ S/m) for salinity 0. Purer water lies below the scale, and is
/// refused.
///
/// # Arguments
/// * `conductivity_s_m`: of the water at its temperature, uncompensated (10 mS/cm is 1 S/m); between those of
///   salinity 0 and 42.
/// * `temperature_c`: `-2..=45`; stated by the source up to 35, see [`PSS78_STATED`].
///
/// # Errors
/// [`OutOfRange`] for a temperature outside the range, for a conductivity that no salinity of `0..=42` gives at
/// this temperature (its [`Range`] then carries the limits there), and for NaN.
///
/// # Source
/// `UNESCO-44-1983`, `HILL-1986`; joined at salinity 2 as in `TEOS-10-2010`.
///
/// # Examples
/// ```
/// use physics::seawater::practical_salinity;
///
/// // 53.07 mS/cm at 25 °C is standard sea water.
/// assert!((practical_salinity(5.307, 25.0)? - 35.0).abs() < 0.001);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn practical_salinity(conductivity_s_m: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    TEMPERATURE.require(temperature_c)?;
    let scale = PracticalScale::at(temperature_c);
    let root = (conductivity_s_m / scale.reference_conductivity_s_m).sqrt();
    let salinity = scale.salinity(root);
    if root > LEAST_ROOT && PRACTICAL_SALINITY.contains(salinity) {
        Ok(salinity)
    } else {
        at_the_ends(&scale, conductivity_s_m, salinity)
    }
}

/// Returns the conductivity of water of this practical salinity, in S/m; inverse of [`practical_salinity`].
///
/// # Arguments
/// * `practical_salinity`: `0..=42`; stated by the source from 2, see [`PSS78_STATED`].
/// * `temperature_c`: `-2..=45`; stated by the source up to 35.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN. Nothing is clamped.
///
/// # Source
/// `UNESCO-44-1983`, `HILL-1986`; turned round by Newton's method to rounding.
///
/// # Examples
/// ```
/// use physics::seawater::conductivity_s_m;
///
/// let conductivity = conductivity_s_m(35.0, 25.0)?;
/// assert!((conductivity - 5.3071).abs() < 1e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn conductivity_s_m(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(conductivity_with_effort(practical_salinity, temperature_c)?.conductivity_s_m)
}

/// As [`conductivity_s_m`], with the number of Newton steps: two in the range of the scale proper.
///
/// # Errors
/// As [`conductivity_s_m`].
///
/// # Examples
/// ```
/// use physics::seawater::conductivity_with_effort;
///
/// assert_eq!(conductivity_with_effort(35.0, 25.0)?.steps, 2);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn conductivity_with_effort(
    practical_salinity: f64,
    temperature_c: f64,
) -> Result<ConductivityWithEffort, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    TEMPERATURE.require(temperature_c)?;
    let scale = PracticalScale::at(temperature_c);
    let (root, steps) = scale.root(practical_salinity);
    Ok(ConductivityWithEffort {
        conductivity_s_m: scale.reference_conductivity_s_m * root * root,
        steps,
    })
}

/// The extension turns back up below a root of 0.003, so that purer water would seem saltier again.
const LEAST_ROOT: f64 = 0.003;

/// Refuses, unless the salinity left the scale by rounding alone.
#[cold]
fn at_the_ends(scale: &PracticalScale, conductivity_s_m: f64, salinity: f64) -> Result<f64, OutOfRange> {
    let conductivity_at = |end: f64| {
        let (root, _) = scale.root(end);
        scale.reference_conductivity_s_m * root * root
    };
    let (fresh, saltiest) = (PRACTICAL_SALINITY.min, PRACTICAL_SALINITY.max);
    let range = Range {
        quantity: "conductivity",
        unit: "S/m",
        min: conductivity_at(fresh),
        max: conductivity_at(saltiest),
        source_key: "UNESCO-44-1983",
    };
    range.require(conductivity_s_m)?;
    Ok(if salinity > saltiest { saltiest } else { fresh })
}
