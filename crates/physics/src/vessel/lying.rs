//! The cylinder lying on its side, with flat ends.

use std::f64::consts::FRAC_PI_2;

use super::{check, error::VesselError};
use crate::numerics::bracketed_newton;

/// Returns the volume below a level in a lying cylinder with flat ends, in m³.
///
/// `V = L·r²·(θ − sin θ·cos θ)`, where `θ = 2·asin √(h/D)` is half the angle the surface spans at the axis.
/// The upper half is the full vessel less its empty part. Near the floor the bracket is summed as a series,
/// since its two terms agree to all digits there.
///
/// # Arguments
/// * `diameter_m`, `length_m`: inner, `0.001..=100` m.
/// * `level_m`: above the lowest line of the inner wall, `0..=diameter_m`.
///
/// # Errors
/// [`VesselError`] for a dimension or a level outside these, and for NaN.
///
/// # Source
/// Elementary geometry: the segment of a circle.
///
/// # Examples
/// ```
/// use physics::vessel::volume_horizontal_cylinder_m3;
///
/// let fifth = volume_horizontal_cylinder_m3(0.493, 0.851, 0.123_25)?;
/// assert!((fifth - 0.031_758_685).abs() < 1e-9);
/// # Ok::<(), physics::vessel::VesselError>(())
/// ```
pub fn volume_horizontal_cylinder_m3(
    diameter_m: f64,
    length_m: f64,
    level_m: f64,
) -> Result<f64, VesselError> {
    let diameter_m = check::dimension("diameter_m", diameter_m)?;
    let length_m = check::dimension("length_m", length_m)?;
    Ok(lying_volume(
        diameter_m,
        length_m,
        check::level(level_m, diameter_m)?,
    ))
}

/// Returns the level at which a volume stands in a lying cylinder with flat ends, in m.
///
/// The inverse of [`volume_horizontal_cylinder_m3`]: the angle is found between 0 and a right angle to within
/// 2·10⁻¹⁵, by Newton's method in about six evaluations.
///
/// # Arguments
/// As [`volume_horizontal_cylinder_m3`]; `volume_m3` lies between nothing and the full vessel.
///
/// # Errors
/// As [`volume_horizontal_cylinder_m3`].
///
/// # Source
/// Own derivation; the root by [`bracketed_newton`].
pub fn level_horizontal_cylinder_m(
    diameter_m: f64,
    length_m: f64,
    volume_m3: f64,
) -> Result<f64, VesselError> {
    let diameter_m = check::dimension("diameter_m", diameter_m)?;
    let length_m = check::dimension("length_m", length_m)?;
    let full = lying_volume(diameter_m, length_m, diameter_m);
    Ok(lying_level(diameter_m, length_m, check::volume(volume_m3, full)?))
}

pub(super) fn lying_volume(diameter_m: f64, length_m: f64, level_m: f64) -> f64 {
    let radius_m = diameter_m / 2.0;
    let per_unit_m3 = length_m * radius_m * radius_m;
    if level_m <= radius_m {
        per_unit_m3 * segment(half_angle(level_m / diameter_m))
    } else {
        per_unit_m3 * (2.0 * FRAC_PI_2 - segment(half_angle((diameter_m - level_m) / diameter_m)))
    }
}

pub(super) fn lying_level(diameter_m: f64, length_m: f64, volume_m3: f64) -> f64 {
    let radius_m = diameter_m / 2.0;
    let filled = volume_m3 / (length_m * radius_m * radius_m);
    if filled <= FRAC_PI_2 {
        diameter_m * height_fraction(filled)
    } else {
        // The last digit of a full vessel may leave less than nothing empty.
        diameter_m * (1.0 - height_fraction((2.0 * FRAC_PI_2 - filled).max(0.0)))
    }
}

/// Free surface, in m².
pub(super) fn lying_area(diameter_m: f64, length_m: f64, level_m: f64) -> f64 {
    2.0 * (level_m * (diameter_m - level_m)).sqrt() * length_m
}

fn half_angle(height_fraction: f64) -> f64 {
    2.0 * libm::asin(height_fraction.sqrt())
}

/// The height, in diameters, of a segment of the given area in units of r²; at most half a circle.
fn height_fraction(area: f64) -> f64 {
    // The first two terms of the inverse series: 6 % short of half a circle's angle, better below.
    let cube_root = libm::cbrt(1.5 * area);
    let guess = cube_root * (1.0 + cube_root * cube_root / 15.0);
    let balance = |angle: f64| {
        let sine = libm::sin(angle);
        (segment(angle) - area, 2.0 * sine * sine)
    };
    match bracketed_newton(balance, 0.0, FRAC_PI_2, guess, 2e-15) {
        Ok(root) => {
            let sine = libm::sin(root.x / 2.0);
            sine * sine
        }
        // Within the last digit of half a circle there may be no change of sign.
        Err(_) => 0.5,
    }
}

/// Area of a circle's segment of the given half angle in units of r², `θ − sin θ·cos θ`, up to half a circle.
fn segment(half_angle: f64) -> f64 {
    let angle = 2.0 * half_angle;
    if angle > 1.0 {
        return (angle - libm::sin(angle)) / 2.0;
    }
    let square = angle * angle;
    let mut sum = 1.0;
    for divisor in [272.0, 210.0, 156.0, 110.0, 72.0, 42.0, 20.0] {
        sum = 1.0 - square / divisor * sum;
    }
    angle * square / 12.0 * sum
}
