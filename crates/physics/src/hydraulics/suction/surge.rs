//! The blow of a valve that shuts.

use super::limits::{BORE, DENSITY, LENGTH, MODULUS, VELOCITY, WALL};
use crate::{OutOfRange, Range};

/// Bulk modulus of water at 20 °C, Pa; from memory. Sea water has 7 % more, which hardly matters in plastics.
///
/// A little free air, or a soft tube anywhere in the line, makes the blow softer.
pub const WATER_BULK_MODULUS_PA: f64 = 2.18e9;

const CLOSING: Range = Range {
    quantity: "time that the valve takes to shut",
    unit: "s",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// From a limp tube to a rigid one.
const WAVE_SPEED: Range = Range {
    quantity: "speed of the wave",
    unit: "m/s",
    min: 1.0,
    max: 1600.0,
    source_key: "HOUSE-RULE",
};

/// The wall of a tube that is filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallStiffness {
    /// Bore, D, m, `1e-3..=0.5`.
    pub bore_m: f64,
    /// Wall thickness, t, m, `1e-4..=0.05`.
    pub wall_m: f64,
    /// Modulus of elasticity for quick loads, E, Pa, `1e5..=3e11`. Rigid PVC has 3·10⁹ (from memory), soft materials
    /// somewhat more than [`SoftMaterial`](super::SoftMaterial) says.
    pub modulus_pa: f64,
}

/// What shutting a valve does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surge {
    /// Rise of pressure, Pa.
    pub rise_pa: f64,
    /// Time in which the wave goes through the line and back, s; shutting faster than that makes the blow no harder.
    pub return_s: f64,
    /// Whether the valve shuts within it.
    pub sudden: bool,
}

/// Returns the speed of a pressure wave in a filled tube, in m/s: `√(K/ρ)/√(1 + K·D/(E·t))`.
///
/// # Arguments
/// * `wall`: the tube. A thin wall that is free to lengthen; held at its ends a tube is up to 10 % quicker.
/// * `density_kg_m3`: ρ, `900..=1300`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `KORTEWEG-1878`, from memory; K is [`WATER_BULK_MODULUS_PA`].
pub fn wave_speed_m_s(wall: &WallStiffness, density_kg_m3: f64) -> Result<f64, OutOfRange> {
    let slimness = BORE.require(wall.bore_m)? / WALL.require(wall.wall_m)?;
    let give = WATER_BULK_MODULUS_PA / MODULUS.require(wall.modulus_pa)? * slimness;
    let free_m_s2 = WATER_BULK_MODULUS_PA / DENSITY.require(density_kg_m3)?;
    WAVE_SPEED.require((free_m_s2 / (1.0 + give)).sqrt())
}

/// Returns the rise of pressure before a valve that shuts: `ρ·a·V` when sudden, `2·ρ·L·V/T` when it takes longer than `2L/a`.
///
/// # Arguments
/// * `density_kg_m3`: ρ, `900..=1300`.
/// * `wave_speed_m_s`: a, by [`wave_speed_m_s`], `1..=1600`.
/// * `velocity_m_s`: of the water that is stopped, V, `0..=20`.
/// * `length_m`: from the vessel to the valve, L, `0..=1000`.
/// * `closing_s`: T, `0..=1000`. A ball valve does most of its stopping in the last fifth of its way, a solenoid in
///   some hundredths of a second (common practice, no source).
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `JOUKOWSKY-1900` for the sudden, `MICHAUD-1878` for the slow; from memory. The latter takes the velocity to fall evenly.
///
/// # Examples
/// ```
/// use physics::hydraulics::suction::surge;
///
/// let slammed = surge(1000.0, 400.0, 1.0, 2.0, 0.005)?;
/// assert!(slammed.sudden && (slammed.rise_pa - 4e5).abs() < 1e-6);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn surge(
    density_kg_m3: f64,
    wave_speed_m_s: f64,
    velocity_m_s: f64,
    length_m: f64,
    closing_s: f64,
) -> Result<Surge, OutOfRange> {
    let wave_m_s = WAVE_SPEED.require(wave_speed_m_s)?;
    let momentum = DENSITY.require(density_kg_m3)? * VELOCITY.require(velocity_m_s)?;
    let return_s = 2.0 * LENGTH.require(length_m)? / wave_m_s;
    let closing_s = CLOSING.require(closing_s)?;
    let sudden = closing_s <= return_s;
    let share = if sudden { 1.0 } else { return_s / closing_s };
    Ok(Surge {
        rise_pa: momentum * wave_m_s * share,
        return_s,
        sudden,
    })
}
