//! The pressure that a membrane has to overcome before any water passes.

use crate::{OutOfRange, Range};

/// Dissolved solids for which the engineering form is said to hold.
pub const DISSOLVED_SOLIDS: Range = Range {
    quantity: "dissolved solids",
    unit: "kg/m³",
    min: 0.0,
    max: 20.0,
    source_key: "OSMOTIC-FORM",
};

/// Dissolved particles that are reckoned with; an ideal law is a poor one long before.
pub const PARTICLES: Range = Range {
    quantity: "dissolved particles",
    unit: "mol/m³",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};

const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// Gas constant, J/(mol K); exact since 2019.
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Returns osmotic pressure by mass of dissolved solids, Pa: `c·(t + 320)/491 000` bar, c in mg/L.
///
/// It stands for a mixture of salts in which the ions are heavier than in sodium chloride: 17 % below the ideal law
/// for that salt at 250 mg/L.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 20 kg/m³ and 0 to 50 °C.
///
/// # Source
/// `OSMOTIC-FORM`: common practice of membrane engineering.
pub fn osmotic_pressure_pa(dissolved_solids_kg_m3: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    let solids = DISSOLVED_SOLIDS.require(dissolved_solids_kg_m3)?;
    Ok(solids * (TEMPERATURE.require(temperature_c)? + 320.0) * (1e8 / 491_000.0))
}

/// Returns osmotic pressure by number of particles, Pa: `R·T·n`, as if they were a gas.
///
/// # Arguments
/// * `particles_mol_m3`: ions and molecules that don't pass the membrane, each counted, `0..=1000`. Times an osmotic
///   coefficient where one is known (about 0.93 for sodium chloride at 100 mol/m³).
/// * `temperature_c`: `0..=50`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Van 't Hoff's law, from memory; gas constant by DEFINITION.
pub fn van_t_hoff_pressure_pa(particles_mol_m3: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    let particles = PARTICLES.require(particles_mol_m3)?;
    Ok(GAS_CONSTANT * (TEMPERATURE.require(temperature_c)? + 273.15) * particles)
}
