//! Molar and equivalent masses of what loads a resin.

use super::atomic_weight::{
    CALCIUM_KG_MOL, CARBON_KG_MOL, CHLORINE_KG_MOL, HYDROGEN_KG_MOL, NITROGEN_KG_MOL, OXYGEN_KG_MOL,
    SILICON_KG_MOL, SODIUM_KG_MOL,
};

/// Molar mass of carbon dioxide, CO₂, in kg/mol. It loads an anion resin by one equivalent per mole, as
/// bicarbonate.
///
/// Source: `IUPAC-2021`.
pub const CARBON_DIOXIDE_KG_MOL: f64 = CARBON_KG_MOL + 2.0 * OXYGEN_KG_MOL;

/// Molar mass of silica, SiO₂, in kg/mol. It loads an anion resin by one equivalent per mole, as HSiO₃⁻.
///
/// Source: `IUPAC-2021`.
pub const SILICA_KG_MOL: f64 = SILICON_KG_MOL + 2.0 * OXYGEN_KG_MOL;

/// Molar mass of the ammonium ion, NH₄⁺, in kg/mol; the electron is left out of account.
///
/// Source: `IUPAC-2021`.
pub const AMMONIUM_KG_MOL: f64 = NITROGEN_KG_MOL + 4.0 * HYDROGEN_KG_MOL;

/// Equivalent mass of sodium chloride, NaCl, in kg per mole of charge.
///
/// Source: `IUPAC-2021`.
pub const SODIUM_CHLORIDE_KG_EQ: f64 = SODIUM_KG_MOL + CHLORINE_KG_MOL;

/// Equivalent mass of calcium carbonate, CaCO₃/2, in kg per mole of charge: the trade's measure of hardness,
/// alkalinity and capacity.
///
/// Source: `IUPAC-2021`.
pub const CALCIUM_CARBONATE_KG_EQ: f64 = (CALCIUM_KG_MOL + CARBON_KG_MOL + 3.0 * OXYGEN_KG_MOL) / 2.0;
