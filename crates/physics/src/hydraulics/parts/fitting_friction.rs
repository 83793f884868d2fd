//! The friction factor that scales the losses of fittings with their bore.

use super::limits::BORE;
use crate::OutOfRange;

/// Roughness of commercial steel, to which the tables of fittings refer.
///
/// Source: `NIKURADSE-1933` for the law, 0.046 mm for the steel from memory.
const STEEL_ROUGHNESS_M: f64 = 0.046e-3;

/// Bore of steel pipe of schedule 40 (1/2 to 4 in) and its factor, f_T.
///
/// Source: `TP-410`; read in a public page that prints its multiples. Later editions give up to 0.001 less.
const TABLE: [(f64, f64); 9] = [
    (0.015_798_8, 0.027),
    (0.020_929_6, 0.025),
    (0.026_644_6, 0.023),
    (0.035_052_0, 0.022),
    (0.040_894_0, 0.021),
    (0.052_501_8, 0.019),
    (0.062_712_6, 0.018),
    (0.077_927_2, 0.018),
    (0.102_260_4, 0.017),
];

/// Darcy friction factor of a fully rough pipe: `1/(2·lg(3.7·D/ε))²`.
///
/// # Arguments
/// * `bore_m`: D, `1e-3..=0.3`.
///
/// ε is that of commercial steel, 0.046 mm.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `NIKURADSE-1933`, from memory. Known to a roughness of a twentieth of the bore.
pub fn rough_pipe_friction(bore_m: f64) -> Result<f64, OutOfRange> {
    Ok(rough(BORE.require(bore_m)?))
}

/// The friction factor f_T by which `TP-410` scales the losses of fittings and valves.
///
/// It belongs to the fitting, not to the tube: it is that of a fully rough steel pipe, also for fittings of
/// plastics. Between two bores of the table it runs straight over the logarithm of the bore; outside, it follows
/// [`rough_pipe_friction`], moved to meet the nearest end of the table. Along the table that law lies from
/// 5 % below it to 1.3 % above.
///
/// # Arguments
/// * `bore_m`: true inner diameter, `1e-3..=0.3`, so that a metric tube works by its bore.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `TP-410` for half an inch to four; house rule outside.
///
/// # Examples
/// ```
/// use physics::hydraulics::parts::fitting_friction;
///
/// assert!((fitting_friction(0.0157988)? - 0.027).abs() < 1e-12);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn fitting_friction(bore_m: f64) -> Result<f64, OutOfRange> {
    let bore_m = BORE.require(bore_m)?;
    let [first, .., last] = TABLE;
    for (narrow, wide) in TABLE.iter().zip(&TABLE[1..]) {
        if (narrow.0..=wide.0).contains(&bore_m) {
            let along = libm::log(bore_m / narrow.0) / libm::log(wide.0 / narrow.0);
            return Ok(narrow.1 + (wide.1 - narrow.1) * along);
        }
    }
    let end = if bore_m < first.0 { first } else { last };
    Ok(rough(bore_m) * end.1 / rough(end.0))
}

fn rough(bore_m: f64) -> f64 {
    let root = 2.0 * libm::log10(3.7 * bore_m / STEEL_ROUGHNESS_M);
    1.0 / (root * root)
}
