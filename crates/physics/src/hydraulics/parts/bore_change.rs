//! A step from one bore to another.

use super::{limits::BORE, part_error::PartError};

/// Loss of a sudden expansion, K on the narrow bore: `(1 − b²)²` with `b = d/D`.
///
/// # Arguments
/// * `narrow_m`: bore that the water leaves, d, `1e-3..=0.3`.
/// * `wide_m`: bore that it enters, D, `narrow_m..=0.3`.
///
/// # Errors
/// [`PartError::NotNarrower`]; [`PartError::OutOfRange`].
///
/// # Source
/// `BORDA-CARNOT`, from memory: the balance of momentum over the step, with an even profile in both bores.
///
/// # Examples
/// ```
/// use physics::hydraulics::parts::sudden_expansion;
///
/// // Into a vessel all of the velocity head is lost; by half as much again, a third.
/// assert!((sudden_expansion(0.010, 0.015)? - 25.0 / 81.0).abs() < 1e-12);
/// # Ok::<(), physics::hydraulics::parts::PartError>(())
/// ```
pub fn sudden_expansion(narrow_m: f64, wide_m: f64) -> Result<f64, PartError> {
    let lost_share = 1.0 - area_ratio(narrow_m, wide_m)?;
    Ok(lost_share * lost_share)
}

/// Loss of a sudden contraction, K on the narrow bore: `0.5·(1 − b²)` with `b = d/D`.
///
/// # Arguments
/// * `narrow_m`: bore that the water enters, d, `1e-3..=0.3`.
/// * `wide_m`: bore that it leaves, D, `narrow_m..=0.3`.
///
/// # Errors
/// As [`sudden_expansion`].
///
/// # Source
/// `TP-410`, from memory: the flush entrance is its limit for a wide bore without end.
pub fn sudden_contraction(narrow_m: f64, wide_m: f64) -> Result<f64, PartError> {
    Ok(0.5 * (1.0 - area_ratio(narrow_m, wide_m)?))
}

/// Narrow area by wide area, b².
fn area_ratio(narrow_m: f64, wide_m: f64) -> Result<f64, PartError> {
    let ratio = BORE.require(narrow_m)? / BORE.require(wide_m)?;
    if ratio > 1.0 {
        return Err(PartError::NotNarrower { narrow_m, wide_m });
    }
    Ok(ratio * ratio)
}
