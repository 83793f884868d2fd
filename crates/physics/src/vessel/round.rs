//! Upright round vessels: the cylinder, and the one that widens or narrows steadily upwards.

use std::f64::consts::PI;

use super::{check, error::VesselError};

/// Returns the volume below a level in an upright cylinder, in m³: `V = π·D²·h/4`.
///
/// # Arguments
/// * `diameter_m`, `height_m`: inner, `0.001..=100` m.
/// * `level_m`: `0..=height_m`.
///
/// # Errors
/// [`VesselError`] for a dimension or a level outside these, and for NaN.
///
/// # Source
/// Elementary geometry.
pub fn volume_cylinder_m3(diameter_m: f64, height_m: f64, level_m: f64) -> Result<f64, VesselError> {
    volume_tapered_round_m3(diameter_m, diameter_m, height_m, level_m)
}

/// Returns the level of a volume in an upright cylinder, in m: `h = 4·V/(π·D²)`.
///
/// Arguments, errors and source as [`volume_cylinder_m3`]; `volume_m3` lies between nothing and the full vessel.
///
/// # Errors
/// As [`volume_cylinder_m3`].
pub fn level_cylinder_m(diameter_m: f64, height_m: f64, volume_m3: f64) -> Result<f64, VesselError> {
    level_tapered_round_m(diameter_m, diameter_m, height_m, volume_m3)
}

/// Returns the volume below a level in a tapered round vessel, in m³.
///
/// `V = π·h/12·(d₀² + d₀·d + d²)`, where `d₀` is the bottom diameter and `d` the diameter at the level `h`,
/// which goes evenly from bottom to top. No difference of like numbers occurs, so that a taper of nothing, or
/// next to nothing, is as exact as any other.
///
/// # Arguments
/// * `diameter_bottom_m`, `diameter_top_m`, `height_m`: inner, `0.001..=100` m. Either diameter may be larger.
/// * `level_m`: above the inner floor, `0..=height_m`.
///
/// # Errors
/// [`VesselError`] for a dimension or a level outside these, and for NaN.
///
/// # Source
/// Elementary geometry: the frustum of a cone.
///
/// # Examples
/// ```
/// use physics::vessel::volume_tapered_round_m3;
///
/// let half_full = volume_tapered_round_m3(0.722, 0.756_656, 0.642, 0.321)?;
/// assert!((half_full - 0.134_601_744).abs() < 1e-9);
/// # Ok::<(), physics::vessel::VesselError>(())
/// ```
pub fn volume_tapered_round_m3(
    diameter_bottom_m: f64,
    diameter_top_m: f64,
    height_m: f64,
    level_m: f64,
) -> Result<f64, VesselError> {
    let (bottom, top, height) = checked(diameter_bottom_m, diameter_top_m, height_m)?;
    Ok(tapered_volume(
        bottom,
        top,
        height,
        check::level(level_m, height)?,
    ))
}

/// Returns the level at which a volume stands in a tapered round vessel, in m.
///
/// The inverse of [`volume_tapered_round_m3`] in closed form: with `k` the widening per metre,
/// `d = ∛(d₀³ + 12·V·k/π)` and `h = 12·V/(π·(d² + d·d₀ + d₀²))`, which stays exact as `k` goes to nothing.
///
/// # Arguments
/// As [`volume_tapered_round_m3`]; `volume_m3` lies between nothing and the full vessel.
///
/// # Errors
/// As [`volume_tapered_round_m3`].
///
/// # Source
/// Own derivation from the volume.
pub fn level_tapered_round_m(
    diameter_bottom_m: f64,
    diameter_top_m: f64,
    height_m: f64,
    volume_m3: f64,
) -> Result<f64, VesselError> {
    let (bottom, top, height) = checked(diameter_bottom_m, diameter_top_m, height_m)?;
    let full = tapered_volume(bottom, top, height, height);
    Ok(tapered_level(
        bottom,
        top,
        height,
        check::volume(volume_m3, full)?,
    ))
}

fn checked(bottom_m: f64, top_m: f64, height_m: f64) -> Result<(f64, f64, f64), VesselError> {
    Ok((
        check::dimension("diameter_bottom_m", bottom_m)?,
        check::dimension("diameter_top_m", top_m)?,
        check::dimension("height_m", height_m)?,
    ))
}

pub(super) fn tapered_diameter(bottom_m: f64, top_m: f64, height_m: f64, level_m: f64) -> f64 {
    bottom_m + (top_m - bottom_m) * (level_m / height_m)
}

pub(super) fn tapered_volume(bottom_m: f64, top_m: f64, height_m: f64, level_m: f64) -> f64 {
    let diameter_m = tapered_diameter(bottom_m, top_m, height_m, level_m);
    PI * level_m / 12.0 * (bottom_m * bottom_m + bottom_m * diameter_m + diameter_m * diameter_m)
}

/// The bottom may also be a point, as in a cone.
pub(super) fn tapered_level(bottom_m: f64, top_m: f64, height_m: f64, volume_m3: f64) -> f64 {
    if volume_m3 <= 0.0 {
        return 0.0;
    }
    let widening = (top_m - bottom_m) / height_m;
    let diameter_m = libm::cbrt(bottom_m * bottom_m * bottom_m + 12.0 * volume_m3 * widening / PI);
    let level_m =
        12.0 * volume_m3 / (PI * (diameter_m * diameter_m + diameter_m * bottom_m + bottom_m * bottom_m));
    // The last digit of a full vessel may round above its rim.
    level_m.min(height_m)
}

pub(super) fn disc_area(diameter_m: f64) -> f64 {
    PI * diameter_m * diameter_m / 4.0
}
