//! The upright cylinder on a cone, which drains to the last drop.

use super::{
    check,
    error::{ShapeError, VesselError},
    round::{tapered_level, tapered_volume},
};

/// Returns the volume below a level in a vessel with a cone at the bottom, in m³.
///
/// Up to `cone_height_m` it's a tapered round vessel from the outlet's width to the full one, above it a cylinder.
///
/// # Arguments
/// * `diameter_m`, `cone_height_m`, `height_m`: inner, `0.001..=100` m; the cone is part of the height.
/// * `cone_outlet_diameter_m`: where the cone ends at the bottom, `0..=diameter_m`; 0 for a point.
/// * `level_m`: above the lower end of the cone, `0..=height_m`.
///
/// # Errors
/// [`VesselError`] for a dimension or a level outside these, and for NaN.
///
/// # Source
/// Elementary geometry.
///
/// # Examples
/// ```
/// use physics::vessel::volume_cone_bottom_m3;
///
/// let cone = volume_cone_bottom_m3(0.6, 0.3, 0.0, 1.0, 0.3)?;
/// let cylinder_of_that_height = std::f64::consts::PI * 0.6 * 0.6 / 4.0 * 0.3;
/// assert!((cone - cylinder_of_that_height / 3.0).abs() < 1e-15);
/// # Ok::<(), physics::vessel::VesselError>(())
/// ```
pub fn volume_cone_bottom_m3(
    diameter_m: f64,
    cone_height_m: f64,
    cone_outlet_diameter_m: f64,
    height_m: f64,
    level_m: f64,
) -> Result<f64, VesselError> {
    let cone = ConeBottom {
        diameter_m,
        cone_height_m,
        cone_outlet_diameter_m,
        height_m,
    };
    if let Some(error) = cone.faults().next() {
        return Err(error.into());
    }
    Ok(cone.volume_m3(check::level(level_m, height_m)?))
}

/// Returns the level at which a volume stands in a vessel with a cone at the bottom, in m; closed form.
///
/// # Arguments
/// As [`volume_cone_bottom_m3`]; `volume_m3` lies between nothing and the full vessel.
///
/// # Errors
/// As [`volume_cone_bottom_m3`].
///
/// # Source
/// Own derivation from the volume.
pub fn level_cone_bottom_m(
    diameter_m: f64,
    cone_height_m: f64,
    cone_outlet_diameter_m: f64,
    height_m: f64,
    volume_m3: f64,
) -> Result<f64, VesselError> {
    let cone = ConeBottom {
        diameter_m,
        cone_height_m,
        cone_outlet_diameter_m,
        height_m,
    };
    if let Some(error) = cone.faults().next() {
        return Err(error.into());
    }
    Ok(cone.level_m(check::volume(volume_m3, cone.volume_m3(height_m))?))
}

/// The four lengths of a vessel with a cone at the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ConeBottom {
    pub(super) diameter_m: f64,
    pub(super) cone_height_m: f64,
    pub(super) cone_outlet_diameter_m: f64,
    pub(super) height_m: f64,
}

impl ConeBottom {
    pub(super) fn faults(&self) -> impl Iterator<Item = ShapeError> {
        let Self {
            diameter_m,
            cone_height_m,
            cone_outlet_diameter_m,
            height_m,
        } = *self;
        let lengths = [
            ("diameter_m", diameter_m),
            ("cone_height_m", cone_height_m),
            ("height_m", height_m),
        ];
        let above_rim = (cone_height_m > height_m).then_some(ShapeError::ConeAboveRim {
            cone_height_m,
            height_m,
        });
        let outlet =
            (!(0.0..=diameter_m).contains(&cone_outlet_diameter_m)).then_some(ShapeError::ConeOutlet {
                outlet_diameter_m: cone_outlet_diameter_m,
                diameter_m,
            });
        lengths
            .into_iter()
            .filter_map(|(place, value_m)| check::dimension(place, value_m).err())
            .chain(above_rim)
            .chain(outlet)
    }

    /// Width at a level.
    pub(super) fn diameter_at_m(&self, level_m: f64) -> f64 {
        if level_m >= self.cone_height_m {
            return self.diameter_m;
        }
        self.cone_outlet_diameter_m
            + (self.diameter_m - self.cone_outlet_diameter_m) * (level_m / self.cone_height_m)
    }

    pub(super) fn volume_m3(&self, level_m: f64) -> f64 {
        let in_cone_m = level_m.min(self.cone_height_m);
        self.cone_part_m3(in_cone_m)
            + tapered_volume(
                self.diameter_m,
                self.diameter_m,
                self.height_m,
                level_m - in_cone_m,
            )
    }

    pub(super) fn level_m(&self, volume_m3: f64) -> f64 {
        let cone_m3 = self.cone_part_m3(self.cone_height_m);
        if volume_m3 <= cone_m3 {
            return tapered_level(
                self.cone_outlet_diameter_m,
                self.diameter_m,
                self.cone_height_m,
                volume_m3,
            );
        }
        let above_m = tapered_level(
            self.diameter_m,
            self.diameter_m,
            self.height_m,
            volume_m3 - cone_m3,
        );
        (self.cone_height_m + above_m).min(self.height_m)
    }

    fn cone_part_m3(&self, level_m: f64) -> f64 {
        tapered_volume(
            self.cone_outlet_diameter_m,
            self.diameter_m,
            self.cone_height_m,
            level_m,
        )
    }
}
