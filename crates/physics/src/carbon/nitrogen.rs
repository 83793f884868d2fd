//! The nitrogen that chloramine leaves in the water when carbon breaks it.

use crate::{
    OutOfRange, Range,
    resin::atomic_weight::{CHLORINE_KG_MOL, NITROGEN_KG_MOL},
};

const CHLORAMINE: Range = Range {
    quantity: "chloramine as chlorine",
    unit: "kg/m³",
    min: 0.0,
    max: 0.1,
    source_key: "HOUSE-RULE",
};

/// Ammonium that's left, in mol/m³: one for each molecule of monochloramine.
///
/// Resin takes it up, and so does a membrane as far as it isn't ammonia gas.
///
/// # Arguments
/// * `chloramine_as_chlorine_kg_m3`: broken by the carbon, `0..=0.1`, as the mass of Cl₂ that oxidises as much;
///   that's how tests and suppliers state it.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `IUPAC-2021` and `MASS-BALANCE`: NH₂Cl takes up two electrons, as Cl₂ does, and holds one nitrogen.
pub fn ammonium_mol_m3(chloramine_as_chlorine_kg_m3: f64) -> Result<f64, OutOfRange> {
    Ok(CHLORAMINE.require(chloramine_as_chlorine_kg_m3)? / (2.0 * CHLORINE_KG_MOL))
}

/// The same as mass of nitrogen, in kg/m³: 0.1976 of the chloramine as chlorine.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`ammonium_mol_m3`].
pub fn nitrogen_left_kg_m3(chloramine_as_chlorine_kg_m3: f64) -> Result<f64, OutOfRange> {
    Ok(ammonium_mol_m3(chloramine_as_chlorine_kg_m3)? * NITROGEN_KG_MOL)
}
