//! A checked shape: level to volume, volume to level, and the room taken.

use super::{
    boxes::{Taper, box_level},
    check,
    cone_bottom::ConeBottom,
    dimensions::{Dimensions, TableRow},
    error::{LevelError, ShapeError},
    lying::{lying_area, lying_level, lying_volume},
    round::{disc_area, tapered_diameter, tapered_level, tapered_volume},
    table,
};

/// The inside of a vessel, valid by construction.
///
/// # Properties
/// Volume rises strictly with level, from 0 at the floor to [`full_volume_m3`](Self::full_volume_m3) at the rim;
/// [`level_m`](Self::level_m) and [`volume_m3`](Self::volume_m3) undo each other to about 10⁻¹² of the vessel.
///
/// # Examples
/// ```
/// use physics::vessel::{Dimensions, Shape};
///
/// let drum = Shape::new(Dimensions::Cylinder { diameter_m: 0.5, height_m: 0.8 }).expect("sound dimensions");
/// let half = drum.volume_m3(0.4)?;
/// assert!((half - drum.full_volume_m3() / 2.0).abs() < 1e-15);
/// assert!((drum.level_m(half)? - 0.4).abs() < 1e-15);
/// assert!(drum.volume_m3(0.9).is_err());
/// # Ok::<(), physics::vessel::LevelError>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    dimensions: Dimensions,
    kind: Kind,
    height_m: f64,
    full_volume_m3: f64,
}

/// What the formulas need, checked.
#[derive(Debug, Clone, PartialEq)]
enum Kind {
    Round { bottom_m: f64, top_m: f64 },
    Box { length_m: f64, width_m: f64 },
    TaperedBox(Taper),
    Lying { diameter_m: f64, length_m: f64 },
    ConeBottom(ConeBottom),
    Table(Vec<TableRow>),
}

impl Shape {
    /// Checks the dimensions and makes a shape of them.
    ///
    /// # Errors
    /// Every fault found, not only the first.
    pub fn new(dimensions: Dimensions) -> Result<Self, Vec<ShapeError>> {
        let faults = dimensions.faults();
        if !faults.is_empty() {
            return Err(faults);
        }
        let (kind, height_m) = kind_and_height(&dimensions);
        let full_volume_m3 = kind.volume_m3(height_m, height_m);
        Ok(Self {
            dimensions,
            kind,
            height_m,
            full_volume_m3,
        })
    }

    /// The dimensions it was made of.
    pub fn dimensions(&self) -> &Dimensions {
        &self.dimensions
    }

    /// Inner height from the lowest point of the floor to the rim.
    pub fn height_m(&self) -> f64 {
        self.height_m
    }

    /// Volume when brim-full.
    pub fn full_volume_m3(&self) -> f64 {
        self.full_volume_m3
    }

    /// Volume below a level, `0..=height_m`.
    ///
    /// # Errors
    /// [`LevelError`] for a level above the rim or below the floor, and for NaN.
    pub fn volume_m3(&self, level_m: f64) -> Result<f64, LevelError> {
        Ok(self
            .kind
            .volume_m3(self.height_m, check::level(level_m, self.height_m)?))
    }

    /// Level at which a volume stands, `0..=full_volume_m3`.
    ///
    /// Closed form, except for the tapered box and the lying cylinder, which take about six evaluations.
    ///
    /// # Errors
    /// [`LevelError`] for more than fits in, for less than nothing, and for NaN.
    pub fn level_m(&self, volume_m3: f64) -> Result<f64, LevelError> {
        let volume_m3 = check::volume(volume_m3, self.full_volume_m3)?;
        if volume_m3 >= self.full_volume_m3 {
            return Ok(self.height_m);
        }
        Ok(match &self.kind {
            Kind::Round { bottom_m, top_m } => tapered_level(*bottom_m, *top_m, self.height_m, volume_m3),
            Kind::Box { length_m, width_m } => box_level(length_m * width_m, self.height_m, volume_m3),
            Kind::TaperedBox(taper) => taper.level_m(volume_m3),
            Kind::Lying { diameter_m, length_m } => lying_level(*diameter_m, *length_m, volume_m3),
            Kind::ConeBottom(cone) => cone.level_m(volume_m3),
            Kind::Table(rows) => table::level_m(rows, volume_m3),
        })
    }

    /// Area of the water's surface at a level: what evaporates, and the volume per metre the level moves.
    ///
    /// For a measured table it's the mean over the stretch that begins at or below the level.
    ///
    /// # Errors
    /// As [`volume_m3`](Self::volume_m3).
    pub fn free_surface_m2(&self, level_m: f64) -> Result<f64, LevelError> {
        let level_m = check::level(level_m, self.height_m)?;
        Ok(match &self.kind {
            Kind::Round { bottom_m, top_m } => {
                disc_area(tapered_diameter(*bottom_m, *top_m, self.height_m, level_m))
            }
            Kind::Box { length_m, width_m } => length_m * width_m,
            Kind::TaperedBox(taper) => taper.area_m2(level_m),
            Kind::Lying { diameter_m, length_m } => lying_area(*diameter_m, *length_m, level_m),
            Kind::ConeBottom(cone) => disc_area(cone.diameter_at_m(level_m)),
            Kind::Table(rows) => table::area_m2(rows, level_m),
        })
    }

    /// Area of the inner base that rests on the floor, and so spreads the load.
    ///
    /// `None` for a lying cylinder, a cone and a measured table: they stand on a cradle, on legs, on what is not
    /// known here.
    pub fn footprint_m2(&self) -> Option<f64> {
        match &self.kind {
            Kind::Round { bottom_m, .. } => Some(disc_area(*bottom_m)),
            Kind::Box { length_m, width_m } => Some(length_m * width_m),
            Kind::TaperedBox(taper) => Some(taper.area_m2(0.0)),
            Kind::Lying { .. } | Kind::ConeBottom(_) | Kind::Table(_) => None,
        }
    }

    /// Largest inner length and width in plan, over all levels; a diameter counts as both.
    ///
    /// `None` for a measured table. Walls and rims come on top.
    pub fn plan_m(&self) -> Option<(f64, f64)> {
        match &self.kind {
            Kind::Round { bottom_m, top_m } => Some((bottom_m.max(*top_m), bottom_m.max(*top_m))),
            Kind::Box { length_m, width_m } => Some((*length_m, *width_m)),
            Kind::TaperedBox(taper) => Some((
                taper.length_bottom_m.max(taper.length_top_m),
                taper.width_bottom_m.max(taper.width_top_m),
            )),
            Kind::Lying { diameter_m, length_m } => Some((*length_m, *diameter_m)),
            Kind::ConeBottom(cone) => Some((cone.diameter_m, cone.diameter_m)),
            Kind::Table(_) => None,
        }
    }

    /// Inner length and width of the water's surface at a level, for a drawing; a diameter counts as both.
    ///
    /// `Ok(None)` for a measured table.
    ///
    /// # Errors
    /// As [`volume_m3`](Self::volume_m3).
    pub fn plan_at_m(&self, level_m: f64) -> Result<Option<(f64, f64)>, LevelError> {
        let level_m = check::level(level_m, self.height_m)?;
        let between = |bottom_m, top_m| tapered_diameter(bottom_m, top_m, self.height_m, level_m);
        Ok(match &self.kind {
            Kind::Round { bottom_m, top_m } => Some((between(*bottom_m, *top_m), between(*bottom_m, *top_m))),
            Kind::Box { length_m, width_m } => Some((*length_m, *width_m)),
            Kind::TaperedBox(taper) => Some((
                between(taper.length_bottom_m, taper.length_top_m),
                between(taper.width_bottom_m, taper.width_top_m),
            )),
            Kind::Lying { diameter_m, length_m } => Some((*length_m, lying_area(*diameter_m, 1.0, level_m))),
            Kind::ConeBottom(cone) => Some((cone.diameter_at_m(level_m), cone.diameter_at_m(level_m))),
            Kind::Table(_) => None,
        })
    }
}

impl Kind {
    fn volume_m3(&self, height_m: f64, level_m: f64) -> f64 {
        match self {
            Self::Round { bottom_m, top_m } => tapered_volume(*bottom_m, *top_m, height_m, level_m),
            Self::Box { length_m, width_m } => length_m * width_m * level_m,
            Self::TaperedBox(taper) => taper.volume_m3(level_m),
            Self::Lying { diameter_m, length_m } => lying_volume(*diameter_m, *length_m, level_m),
            Self::ConeBottom(cone) => cone.volume_m3(level_m),
            Self::Table(rows) => table::volume_m3(rows, level_m),
        }
    }
}

fn kind_and_height(dimensions: &Dimensions) -> (Kind, f64) {
    match *dimensions {
        Dimensions::Cylinder { diameter_m, height_m } => (
            Kind::Round {
                bottom_m: diameter_m,
                top_m: diameter_m,
            },
            height_m,
        ),
        Dimensions::TaperedRound {
            diameter_bottom_m,
            diameter_top_m,
            height_m,
        } => (
            Kind::Round {
                bottom_m: diameter_bottom_m,
                top_m: diameter_top_m,
            },
            height_m,
        ),
        Dimensions::Box {
            length_m,
            width_m,
            height_m,
        } => (Kind::Box { length_m, width_m }, height_m),
        Dimensions::TaperedBox {
            length_bottom_m,
            width_bottom_m,
            length_top_m,
            width_top_m,
            height_m,
        } => {
            let taper = Taper {
                length_bottom_m,
                width_bottom_m,
                length_top_m,
                width_top_m,
                height_m,
            };
            (Kind::TaperedBox(taper), height_m)
        }
        Dimensions::HorizontalCylinder { diameter_m, length_m } => {
            (Kind::Lying { diameter_m, length_m }, diameter_m)
        }
        Dimensions::ConeBottom {
            diameter_m,
            cone_height_m,
            cone_outlet_diameter_m,
            height_m,
        } => {
            let cone = ConeBottom {
                diameter_m,
                cone_height_m,
                cone_outlet_diameter_m,
                height_m,
            };
            (Kind::ConeBottom(cone), height_m)
        }
        Dimensions::Table { ref rows } => {
            let rows = table::with_floor(rows);
            let height_m = rows.last().map_or(0.0, |row| row.level_m);
            (Kind::Table(rows), height_m)
        }
    }
}
