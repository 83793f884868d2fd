//! Power that a pump gives to the water, and takes from the wall.

use super::super::suction::{DENSITY, GRAVITY_M_S2};
use crate::{OutOfRange, Range};

const FLOW: Range = Range {
    quantity: "flow of the pump",
    unit: "m³/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
pub(super) const HEAD: Range = Range {
    quantity: "head of the pump",
    unit: "m",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// Small pumps have a fifth to a third, the best large ones nine tenths.
const EFFICIENCY: Range = Range {
    quantity: "efficiency of pump and motor",
    unit: "",
    min: 0.01,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
pub(super) const POWER: Range = Range {
    quantity: "power",
    unit: "W",
    min: 0.0,
    max: 1e7,
    source_key: "HOUSE-RULE",
};

/// Returns the power that the water gets, in W: `ρ·g·Q·H`.
///
/// # Arguments
/// * `density_kg_m3`: ρ, `900..=1300`.
/// * `flow_m3_s`: Q, `0..=1`.
/// * `head_m`: H, `0..=1000`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION.
///
/// # Examples
/// ```
/// let power_w = physics::hydraulics::pump_effects::hydraulic_power_w(1023.3, 1.0 / 3600.0, 2.0)?;
/// assert!((power_w - 5.6).abs() < 0.05);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn hydraulic_power_w(density_kg_m3: f64, flow_m3_s: f64, head_m: f64) -> Result<f64, OutOfRange> {
    let weight_n_m3 = DENSITY.require(density_kg_m3)? * GRAVITY_M_S2;
    Ok(weight_n_m3 * FLOW.require(flow_m3_s)? * HEAD.require(head_m)?)
}

/// Returns the power that the motor takes, in W: `P/η`.
///
/// # Arguments
/// * `hydraulic_w`: P, by [`hydraulic_power_w`], `0..=1e7`.
/// * `efficiency`: of pump and motor together, η, `0.01..=1`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION. A pump against a closed valve gives no power to the water and takes some all the same: there this says
/// nothing, take the maker's.
pub fn input_power_w(hydraulic_w: f64, efficiency: f64) -> Result<f64, OutOfRange> {
    Ok(POWER.require(hydraulic_w)? / EFFICIENCY.require(efficiency)?)
}
