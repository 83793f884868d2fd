//! A line that goes over a crest: the pressure there, and the water that stays in it.

use super::limits::{
    BORE, DENSITY, GRAVITY_M_S2, HEIGHT, LENGTH, LOSS, SURFACE_PRESSURE, VAPOUR_PRESSURE, VELOCITY,
};
use crate::OutOfRange;
use std::f64::consts::PI;

/// Water at the highest point of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crest {
    /// Absolute pressure on the surface of the vessel that feeds the line, p, Pa, `1e4..=1.1e6`.
    pub surface_absolute_pa: f64,
    /// Absolute pressure of the air outside, Pa, `1e4..=1.1e6`.
    pub air_absolute_pa: f64,
    /// Vapour pressure of the water, Pa, `0..=1.014e5`.
    pub vapour_pa: f64,
    /// Density of the water, ρ, kg/m³, `900..=1300`.
    pub density_kg_m3: f64,
    /// Crest above the surface, z, m, `-100..=100`.
    pub rise_m: f64,
    /// Mean velocity at the crest, V, m/s, `0..=20`.
    pub velocity_m_s: f64,
    /// Head lost from the vessel to the crest, h, m, `0..=1000`.
    pub friction_head_m: f64,
}

/// What the pressure at a crest means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CrestState {
    /// At or above the pressure of the air: a leak drips.
    AboveAir {
        /// Absolute pressure there, Pa.
        absolute_pa: f64,
    },
    /// Below the pressure of the air: a leak draws air, and a soft tube is pressed together.
    BelowAir {
        /// Absolute pressure there, Pa.
        absolute_pa: f64,
        /// Pressure of the air less that, Pa.
        suction_pa: f64,
        /// Above the vapour pressure, Pa.
        above_vapour_pa: f64,
    },
    /// The water would boil there: the column breaks.
    Breaks {
        /// Pressure that is wanting above the vapour's, Pa.
        short_pa: f64,
    },
}

/// Returns the state of the water at the crest, by its pressure: `p − ρ·g·(z + V²/(2g) + h)`.
///
/// Dissolved air comes out well before the water boils; a crest far below the pressure of the air collects it.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Bernoulli's law with losses: DEFINITION of hydrostatic pressure, and energy.
///
/// # Examples
/// ```
/// use physics::hydraulics::suction::{Crest, CrestState, crest_of};
///
/// let crest = Crest {
///     surface_absolute_pa: 101_325.0,
///     air_absolute_pa: 101_325.0,
///     vapour_pa: 2339.0,
///     density_kg_m3: 998.0,
///     rise_m: 0.5,
///     velocity_m_s: 1.0,
///     friction_head_m: 0.1,
/// };
/// let CrestState::BelowAir { suction_pa, .. } = crest_of(&crest)? else { unreachable!() };
/// assert!((suction_pa - 6371.0).abs() < 1.0);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn crest_of(crest: &Crest) -> Result<CrestState, OutOfRange> {
    let surface_pa = SURFACE_PRESSURE.require(crest.surface_absolute_pa)?;
    let air_pa = SURFACE_PRESSURE.require(crest.air_absolute_pa)?;
    let vapour_pa = VAPOUR_PRESSURE.require(crest.vapour_pa)?;
    let density_kg_m3 = DENSITY.require(crest.density_kg_m3)?;
    let velocity_m_s = VELOCITY.require(crest.velocity_m_s)?;
    let hanging_m = HEIGHT.require(crest.rise_m)? + LOSS.require(crest.friction_head_m)?;
    let absolute_pa =
        surface_pa - density_kg_m3 * (GRAVITY_M_S2 * hanging_m + velocity_m_s * velocity_m_s / 2.0);
    Ok(if absolute_pa <= vapour_pa {
        CrestState::Breaks {
            short_pa: vapour_pa - absolute_pa,
        }
    } else if absolute_pa >= air_pa {
        CrestState::AboveAir { absolute_pa }
    } else {
        CrestState::BelowAir {
            absolute_pa,
            suction_pa: air_pa - absolute_pa,
            above_vapour_pa: absolute_pa - vapour_pa,
        }
    })
}

/// Returns the water that a length of hose holds, in m³: `π/4·D²·L`.
///
/// What stays in a hose afterwards is that of the length which lies lower than both its ends, and all of it where an end is
/// shut.
///
/// # Arguments
/// * `bore_m`: D, `1e-3..=0.5`.
/// * `length_m`: L, `0..=1000`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// GEOMETRY.
pub fn hose_volume_m3(bore_m: f64, length_m: f64) -> Result<f64, OutOfRange> {
    let bore_m = BORE.require(bore_m)?;
    Ok(PI / 4.0 * bore_m * bore_m * LENGTH.require(length_m)?)
}
