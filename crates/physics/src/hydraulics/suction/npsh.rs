//! The head above vapour pressure that a pump is given: net positive suction head.

use super::limits::{DENSITY, GRAVITY_M_S2, HEIGHT, LOSS, SURFACE_PRESSURE, VAPOUR_PRESSURE};
use crate::evaporation::{saturation_pressure_pa, vapour_pressure_share};
use crate::{OutOfRange, Range};

/// Liquid water in a station; below freezing the vapour's pressure is given over ice.
const TEMPERATURE: Range = Range {
    quantity: "water temperature",
    unit: "°C",
    min: 0.01,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
const REQUIRED: Range = Range {
    quantity: "net positive suction head required",
    unit: "m",
    min: 0.01,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// Head that should be left above what the pump requires, in m; common practice, no source.
///
/// What a maker states is where the head of the pump has already fallen by 3 %.
pub const USUAL_NPSH_MARGIN_M: f64 = 0.5;

/// What stands before the inlet of a pump.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionHead {
    /// Absolute pressure on the surface of the water, p, Pa, `1e4..=1.1e6`; that of the air for a vented vessel.
    pub surface_absolute_pa: f64,
    /// Vapour pressure of the water, p_v, Pa, `0..=1.014e5`.
    pub vapour_pa: f64,
    /// Density of the water, ρ, kg/m³, `900..=1300`.
    pub density_kg_m3: f64,
    /// Surface above the pump's inlet, z, m, `-100..=100`; negative for a lift.
    pub static_head_m: f64,
    /// Head lost on the way to the pump, h, m, `0..=1000`.
    pub friction_head_m: f64,
}

/// What is left of the head that a pump is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NpshMargin {
    /// Available less required, m; negative where the pump cavitates.
    pub spare_m: f64,
    /// Available by required.
    pub ratio: f64,
}

/// Returns the net positive suction head available, in m: `(p − p_v)/(ρ·g) + z − h`.
///
/// At or below zero the water would boil before it reaches the pump.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION; the velocity head at the inlet is counted as available, as it is in what makers require.
///
/// # Examples
/// ```
/// use physics::hydraulics::suction::{SuctionHead, npsh_available_m};
///
/// let vented = SuctionHead {
///     surface_absolute_pa: 101_325.0,
///     vapour_pa: 3169.0,
///     density_kg_m3: 997.0,
///     static_head_m: 0.3,
///     friction_head_m: 0.2,
/// };
/// assert!((npsh_available_m(&vented)? - 10.14).abs() < 0.005);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn npsh_available_m(head: &SuctionHead) -> Result<f64, OutOfRange> {
    let surface_pa = SURFACE_PRESSURE.require(head.surface_absolute_pa)?;
    let above_vapour_pa = surface_pa - VAPOUR_PRESSURE.require(head.vapour_pa)?;
    let weight_n_m3 = DENSITY.require(head.density_kg_m3)? * GRAVITY_M_S2;
    let static_m = HEIGHT.require(head.static_head_m)?;
    Ok(above_vapour_pa / weight_n_m3 + static_m - LOSS.require(head.friction_head_m)?)
}

/// Returns what is left above the head that the pump requires; [`USUAL_NPSH_MARGIN_M`] says how much should be.
///
/// # Arguments
/// * `head`: what stands before the pump.
/// * `required_m`: by the pump's maker at this flow, `0.01..=50`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION.
pub fn npsh_margin(head: &SuctionHead, required_m: f64) -> Result<NpshMargin, OutOfRange> {
    let available_m = npsh_available_m(head)?;
    let required_m = REQUIRED.require(required_m)?;
    Ok(NpshMargin {
        spare_m: available_m - required_m,
        ratio: available_m / required_m,
    })
}

/// Returns the vapour pressure of fresh or sea water, in Pa: that over fresh water times the share that salt leaves.
///
/// # Arguments
/// * `temperature_c`: `0.01..=100`.
/// * `practical_salinity`: `0..=42`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`saturation_pressure_pa`] and [`vapour_pressure_share`].
pub fn water_vapour_pressure_pa(temperature_c: f64, practical_salinity: f64) -> Result<f64, OutOfRange> {
    let over_fresh_pa = saturation_pressure_pa(TEMPERATURE.require(temperature_c)?)?;
    Ok(over_fresh_pa * vapour_pressure_share(practical_salinity)?)
}
