//! Finding a tube by its kind and its nominal size.

use super::{kind::TubeKind, size::Size};
use crate::hydraulics::parts::part_error::PartError;

/// How far a nominal size may be off, in m. House rule: what rounding to a tenth of a millimetre does.
const NOMINAL_TOLERANCE_M: f64 = 0.05e-3;

/// A tube that is sold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Its kind.
    pub kind: TubeKind,
    /// Its nominal size as it is written: `"1/2 in"`.
    pub name: &'static str,
    /// The same as a length, which need not be one of its diameters.
    pub nominal_m: f64,
    /// True inner diameter.
    pub inner_diameter_m: f64,
    /// Outer diameter, over ribs if it has any.
    pub outer_diameter_m: f64,
    /// Roughness of the bore.
    pub roughness_m: f64,
    /// Whether suction can make it collapse.
    pub is_soft: bool,
}

/// The tube of a kind and a nominal size.
///
/// # Arguments
/// * `kind`: which table.
/// * `nominal_m`: nominal size as a length, to 0.05 mm: 12.7 mm for `1/2 in`. Of two within that, the nearer.
///
/// # Errors
/// [`PartError::NoSuchTube`], which lists the sizes that there are; also for NaN.
///
/// # Source
/// `ASTM-D1785` and `ISO-1452-2` for pipe of PVC; common practice, no source, for hoses and push-fit tube.
///
/// # Examples
/// ```
/// use physics::hydraulics::parts::{TubeKind, find_tube};
///
/// let pipe = find_tube(TubeKind::PvcSchedule40, 0.0127)?;
/// assert!((pipe.inner_diameter_m - 0.0158).abs() < 1e-5);
/// assert!(find_tube(TubeKind::PushFit, 0.014).is_err());
/// # Ok::<(), physics::hydraulics::parts::PartError>(())
/// ```
pub fn find_tube(kind: TubeKind, nominal_m: f64) -> Result<Tube, PartError> {
    let off_m = |size: &Size| (size.nominal_m - nominal_m).abs();
    kind.sizes()
        .iter()
        .filter(|size| off_m(size) <= NOMINAL_TOLERANCE_M)
        .min_by(|a, b| off_m(a).total_cmp(&off_m(b)))
        .map(|size| tube(kind, size))
        .ok_or(PartError::NoSuchTube { kind, nominal_m })
}

/// All tubes of a kind that are known, the narrowest first.
pub fn known_tubes(kind: TubeKind) -> impl Iterator<Item = Tube> {
    kind.sizes().iter().map(move |size| tube(kind, size))
}

/// The nominal sizes of a kind, as they are written.
pub(in crate::hydraulics) fn names_of(kind: TubeKind) -> String {
    let names: Vec<&str> = kind.sizes().iter().map(|size| size.name).collect();
    names.join(", ")
}

fn tube(kind: TubeKind, size: &Size) -> Tube {
    Tube {
        kind,
        name: size.name,
        nominal_m: size.nominal_m,
        inner_diameter_m: size.inner_m,
        outer_diameter_m: size.outer_m,
        roughness_m: kind.roughness_m(size.inner_m),
        is_soft: kind.is_soft(),
    }
}
