//! A layer of brine that lies on the floor, and the water that streams over it.

use super::limits::{DENSITY, GRAVITY_M_S2};
use crate::{OutOfRange, Range};

const THICKNESS: Range = Range {
    quantity: "thickness of the layer",
    unit: "m",
    min: 1e-4,
    max: 5.0,
    source_key: "HOUSE-RULE",
};
const SPEED: Range = Range {
    quantity: "speed over the layer",
    unit: "m/s",
    min: 1e-4,
    max: 30.0,
    source_key: "HOUSE-RULE",
};
/// Denser than the water above it, or as dense.
const EXCESS: Range = Range {
    quantity: "excess of density of the layer",
    unit: "kg/m³",
    min: 0.0,
    max: 300.0,
    source_key: "HOUSE-RULE",
};

/// Below it a sheared layer can break into billows (`MILES-HOWARD-1961`).
const BILLOWS: f64 = 0.25;
/// Above it the stream hasn't the energy to lift the layer through its own thickness.
const ENERGY: f64 = 0.5;

/// What becomes of a dense layer under a stream.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayerFate {
    /// Shear breaks it up.
    BreaksUp,
    /// Between the two bounds.
    InDoubt,
    /// It stays, and is worn down slowly from above.
    LiesStill,
}

/// Returns the bulk Richardson number of a dense layer under a stream: `g·(Δρ/ρ)·h/u²`.
///
/// # Arguments
/// * `layer_kg_m3`: density of the layer, `950..=1250`, at least that of the water.
/// * `water_kg_m3`: density of the water over it, `950..=1250`.
/// * `thickness_m`: h, `1e-4..=5`.
/// * `speed_m_s`: u over the layer, `1e-4..=30`.
///
/// # Errors
/// [`OutOfRange`], also for a layer lighter than the water.
///
/// # Source
/// DEFINITION.
pub fn layer_richardson(
    layer_kg_m3: f64,
    water_kg_m3: f64,
    thickness_m: f64,
    speed_m_s: f64,
) -> Result<f64, OutOfRange> {
    let water = DENSITY.require(water_kg_m3)?;
    let excess = EXCESS.require(DENSITY.require(layer_kg_m3)? - water)?;
    let speed_m_s = SPEED.require(speed_m_s)?;
    Ok(GRAVITY_M_S2 * excess / water * THICKNESS.require(thickness_m)? / (speed_m_s * speed_m_s))
}

/// Returns whether a stream breaks up a dense layer on the floor, such as the brine under a heap of salt.
///
/// # Arguments
/// As [`layer_richardson`].
///
/// # Errors
/// As [`layer_richardson`].
///
/// # Source
/// `MILES-HOWARD-1961` below 1/4: a theorem on local shear, carried here to a layer as a whole, which is a house rule.
/// Above 1/2 own derivation: a kg of the layer takes g·Δρ/ρ·h to be lifted by h, and the stream has u²/2. Good to a
/// factor of 2 in thickness.
///
/// # Examples
/// ```
/// use physics::jet::{LayerFate, layer_fate};
///
/// // 2 cm of saturated brine under fresh water.
/// assert_eq!(layer_fate(1197.0, 998.0, 0.02, 0.5)?, LayerFate::BreaksUp);
/// assert_eq!(layer_fate(1197.0, 998.0, 0.02, 0.1)?, LayerFate::LiesStill);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn layer_fate(
    layer_kg_m3: f64,
    water_kg_m3: f64,
    thickness_m: f64,
    speed_m_s: f64,
) -> Result<LayerFate, OutOfRange> {
    let richardson = layer_richardson(layer_kg_m3, water_kg_m3, thickness_m, speed_m_s)?;
    Ok(if richardson < BILLOWS {
        LayerFate::BreaksUp
    } else if richardson <= ENERGY {
        LayerFate::InDoubt
    } else {
        LayerFate::LiesStill
    })
}
