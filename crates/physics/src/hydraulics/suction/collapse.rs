//! The pressure from outside that presses a soft tube flat.

use super::error::SuctionError;
use super::limits::{MODULUS, WALL};
use crate::Range;

const OUTER: Range = Range {
    quantity: "outer diameter",
    unit: "m",
    min: 1e-3,
    max: 0.6,
    source_key: "HOUSE-RULE",
};
const POISSON: Range = Range {
    quantity: "Poisson's ratio",
    unit: "",
    min: 0.0,
    max: 0.5,
    source_key: "DEFINITION",
};
/// Thin walls to 0.1; to 0.25 as an estimate that comes out too high.
const WALL_SHARE: Range = Range {
    quantity: "wall by mean diameter",
    unit: "",
    min: 1e-3,
    max: 0.25,
    source_key: "HOUSE-RULE",
};
const SUCTION: Range = Range {
    quantity: "suction in the tube",
    unit: "Pa",
    min: 0.0,
    max: 1.1e6,
    source_key: "HOUSE-RULE",
};

/// A long round tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Outer diameter, m, `1e-3..=0.6`.
    pub outer_m: f64,
    /// Wall thickness, t, m, `1e-4..=0.05`, and 0.001 to 0.25 of the mean diameter.
    pub wall_m: f64,
    /// Modulus of elasticity, E, Pa, `1e5..=3e11`; see [`SoftMaterial`].
    pub modulus_pa: f64,
    /// Poisson's ratio, ν, `0..=0.5`.
    pub poisson: f64,
}

/// Materials of soft tubes, for a first guess.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoftMaterial {
    /// Silicone rubber of medium hardness.
    Silicone,
    /// Vinyl with plasticiser.
    SoftVinyl,
    /// Polyethylene of low density, as in push-fit tube.
    Polyethylene,
}

/// What suction does to a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collapse {
    /// Suction at which a round tube collapses, Pa.
    pub collapse_pa: f64,
    /// That less the suction, Pa; negative for one that collapses.
    pub spare_pa: f64,
    /// Suction as a share of it. A third at most is common practice, no source: bends flatten a tube before suction does.
    pub share: f64,
}

impl SoftMaterial {
    /// Lowest and highest modulus of elasticity at 20 °C, Pa, small strains.
    ///
    /// # Source
    /// Assumption: common practice, no source. At 40 °C soft vinyl has about half of it left. Take the lowest.
    pub fn modulus_pa(self) -> (f64, f64) {
        match self {
            Self::Silicone => (2e6, 6e6),
            Self::SoftVinyl => (4e6, 20e6),
            Self::Polyethylene => (1e8, 3e8),
        }
    }

    /// Poisson's ratio.
    ///
    /// # Source
    /// Assumption: common practice, no source. Rubber hardly changes its volume; half would be none at all.
    pub fn poisson(self) -> f64 {
        match self {
            Self::Silicone | Self::SoftVinyl => 0.48,
            Self::Polyethylene => 0.45,
        }
    }
}

/// Returns the suction at which a long round tube collapses, in Pa: `2·E/(1 − ν²)·(t/D)³`, D the mean diameter.
///
/// An upper bound: tubes that are bent, flattened or warm collapse at less. Thick walls too: beyond a tenth of the
/// diameter they give in shear as well.
///
/// # Errors
/// [`SuctionError::NoBore`]; [`SuctionError::OutOfRange`].
///
/// # Source
/// `TIMOSHENKO-GERE-1961`, from memory: buckling of a long tube under pressure from outside.
///
/// # Examples
/// ```
/// use physics::hydraulics::suction::{SoftMaterial, Tube, collapse_pressure_pa};
///
/// let vinyl = SoftMaterial::SoftVinyl;
/// let tube = Tube { outer_m: 0.016, wall_m: 0.002, modulus_pa: vinyl.modulus_pa().0, poisson: vinyl.poisson() };
/// assert!((collapse_pressure_pa(&tube)? - 30e3).abs() < 1e3);
/// # Ok::<(), physics::hydraulics::suction::SuctionError>(())
/// ```
pub fn collapse_pressure_pa(tube: &Tube) -> Result<f64, SuctionError> {
    let outer_m = OUTER.require(tube.outer_m)?;
    let wall_m = WALL.require(tube.wall_m)?;
    if 2.0 * wall_m >= outer_m {
        return Err(SuctionError::NoBore { outer_m, wall_m });
    }
    let share = WALL_SHARE.require(wall_m / (outer_m - wall_m))?;
    let poisson = POISSON.require(tube.poisson)?;
    let modulus_pa = MODULUS.require(tube.modulus_pa)?;
    Ok(2.0 * modulus_pa / (1.0 - poisson * poisson) * share * share * share)
}

/// Returns how near suction comes to collapsing a tube.
///
/// # Arguments
/// * `tube`: as it is, at its temperature.
/// * `suction_pa`: pressure outside less that inside, `0..=1.1e6`.
///
/// # Errors
/// As [`collapse_pressure_pa`].
///
/// # Source
/// As [`collapse_pressure_pa`].
pub fn collapse_margin(tube: &Tube, suction_pa: f64) -> Result<Collapse, SuctionError> {
    let collapse_pa = collapse_pressure_pa(tube)?;
    let suction_pa = SUCTION.require(suction_pa)?;
    Ok(Collapse {
        collapse_pa,
        spare_pa: collapse_pa - suction_pa,
        share: suction_pa / collapse_pa,
    })
}
