//! The pressure of a pump at no flow, against what a tube bears at its temperature.

use super::super::suction::{DENSITY, GRAVITY_M_S2};
use super::power::HEAD;
use crate::{OutOfRange, Range};

const RATING: Range = Range {
    quantity: "rated pressure of the tube",
    unit: "Pa",
    min: 1e3,
    max: 1e8,
    source_key: "HOUSE-RULE",
};
/// Gauge pressure; negative for a pump that lifts.
const INLET: Range = Range {
    quantity: "gauge pressure before the pump",
    unit: "Pa",
    min: -1.1e5,
    max: 1e7,
    source_key: "HOUSE-RULE",
};

/// Materials whose loss of strength with warmth is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TubeMaterial {
    /// PVC without plasticiser, rated at 25 °C or below.
    RigidPvc,
    /// Polyethylene, rated at 20 °C or below.
    Polyethylene,
}

/// What a closed valve asks of the tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShutOff {
    /// Gauge pressure behind the pump at no flow, Pa.
    pub pressure_gauge_pa: f64,
    /// Gauge pressure that the tube bears at its temperature, Pa.
    pub rating_gauge_pa: f64,
    /// The latter less the former, Pa; negative for a tube that is too weak.
    pub spare_pa: f64,
}

impl TubeMaterial {
    /// Temperature and share of the rating, between which the share goes in a straight line.
    fn shares(self) -> &'static [(f64, f64)] {
        match self {
            // `ISO-1452-2`, annex A, from memory.
            Self::RigidPvc => &[(25.0, 1.0), (30.0, 0.9), (35.0, 0.8), (40.0, 0.7), (45.0, 0.63)],
            // `ISO-4427-1-2007`, annex A, from memory. Other tables lose half of that.
            Self::Polyethylene => &[(20.0, 1.0), (30.0, 0.87), (40.0, 0.74)],
        }
    }

    fn temperatures(self) -> Range {
        let (max, source_key) = match self {
            Self::RigidPvc => (45.0, "ISO-1452-2"),
            Self::Polyethylene => (40.0, "ISO-4427-1-2007"),
        };
        Range {
            quantity: "temperature of the tube",
            unit: "°C",
            min: 0.0,
            max,
            source_key,
        }
    }
}

/// Returns the gauge pressure that a tube bears at its temperature, in Pa.
///
/// # Arguments
/// * `material`: of the tube. Fittings and push-fit joints may be weaker than it.
/// * `rated_gauge_pa`: as printed on it, `1e3..=1e8`.
/// * `temperature_c`: of its wall, from 0 to 45 for rigid PVC and to 40 for polyethylene.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ISO-1452-2` and `ISO-4427-1-2007`, from memory.
pub fn rating_at_pa(
    material: TubeMaterial,
    rated_gauge_pa: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let rated_pa = RATING.require(rated_gauge_pa)?;
    let temperature_c = material.temperatures().require(temperature_c)?;
    let shares = material.shares();
    let share = shares
        .windows(2)
        .find(|pair| temperature_c <= pair[1].0)
        .map_or(shares[0].1, |pair| {
            let ((from_c, from), (to_c, to)) = (pair[0], pair[1]);
            // Cooler than the first of the table the rating holds as printed.
            let way = ((temperature_c - from_c) / (to_c - from_c)).max(0.0);
            from + way * (to - from)
        });
    Ok(rated_pa * share)
}

/// Returns what a closed valve asks of the tube: `p + ρ·g·H₀` against its rating.
///
/// # Arguments
/// * `inlet_gauge_pa`: before the pump, p, `-1.1e5..=1e7`; the head of a full vessel.
/// * `density_kg_m3`: ρ, `900..=1300`.
/// * `shut_off_head_m`: head of the pump at no flow, H₀, `0..=1000`.
/// * `rating_gauge_pa`: by [`rating_at_pa`], `1e3..=1e8`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION of hydrostatic pressure. The blow of a valve that shuts comes on top.
///
/// # Examples
/// ```
/// use physics::hydraulics::pump_effects::{TubeMaterial, rating_at_pa, shut_off};
///
/// let rating_pa = rating_at_pa(TubeMaterial::RigidPvc, 1e6, 40.0)?;
/// let closed = shut_off(5e3, 1025.0, 4.0, rating_pa)?;
/// assert!(closed.spare_pa > 6.5e5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn shut_off(
    inlet_gauge_pa: f64,
    density_kg_m3: f64,
    shut_off_head_m: f64,
    rating_gauge_pa: f64,
) -> Result<ShutOff, OutOfRange> {
    let raised_pa = DENSITY.require(density_kg_m3)? * GRAVITY_M_S2 * HEAD.require(shut_off_head_m)?;
    let pressure_gauge_pa = INLET.require(inlet_gauge_pa)? + raised_pa;
    let rating_gauge_pa = RATING.require(rating_gauge_pa)?;
    Ok(ShutOff {
        pressure_gauge_pa,
        rating_gauge_pa,
        spare_pa: rating_gauge_pa - pressure_gauge_pa,
    })
}
