//! What loads a resin, in moles of charge per volume of water.

use super::error::ResinError;
use crate::{OutOfRange, Range};

/// Each part of a load, in mol of charge per m³. Sea water holds about 600.
pub const LOAD: Range = Range {
    quantity: "load on the resin",
    unit: "mol/m³",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};

const SOLIDS: Range = Range {
    quantity: "dissolved solids",
    unit: "kg/m³",
    min: 0.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// From the ammonium ion, 0.018 kg per mole of charge, to well above any ion of natural waters.
const EQUIVALENT_WEIGHT: Range = Range {
    quantity: "equivalent weight",
    unit: "kg/mol",
    min: 0.01,
    max: 0.5,
    source_key: "HOUSE-RULE",
};

/// The least load that a life is reckoned from, in mol of charge per m³: a hundredth of pure water's own ions at
/// 25 °C (10⁻⁷ mol/L of each). Below it the answer would be endless in practice, so that it's refused.
///
/// Source: house rule.
pub const LEAST_LOAD_MOL_M3: f64 = 1e-6;

/// What a volume of water brings to the resin. All parts in mol of charge per m³, which is meq/L; each
/// `0..=1000`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Dissolved salts in equivalents, which load both sides; see [`salt_equivalents_mol_m3`].
    pub salt_mol_m3: f64,
    /// Carbon dioxide that isn't charged yet; taken up as bicarbonate by the anion side, one charge per molecule.
    pub carbon_dioxide_mol_m3: f64,
    /// Silica; taken up by the anion side, one charge per molecule.
    pub silica_mol_m3: f64,
    /// Ammonia beyond the salt, taken up as ammonium by the cation side. Ammonium that a reading of dissolved
    /// solids already holds belongs to the salt, with its anion; to give it twice errs on the safe side.
    pub ammonium_mol_m3: f64,
}

impl Load {
    /// What loads the anion side: salt, carbon dioxide and silica. In mol of charge per m³.
    ///
    /// # Errors
    /// [`OutOfRange`] for a part that's outside `0..=1000`, of whichever side.
    ///
    /// # Source
    /// `MASS-BALANCE`: conservation of charge. That carbon dioxide and silica count once each: common practice, no
    /// source.
    pub fn anion_mol_m3(&self) -> Result<f64, OutOfRange> {
        self.require()?;
        Ok(self.salt_mol_m3 + self.weak_mol_m3())
    }

    /// What loads the cation side: salt and ammonia. In mol of charge per m³.
    ///
    /// # Errors
    /// As [`Self::anion_mol_m3`].
    ///
    /// # Source
    /// `MASS-BALANCE`: conservation of charge.
    pub fn cation_mol_m3(&self) -> Result<f64, OutOfRange> {
        self.require()?;
        Ok(self.salt_mol_m3 + self.ammonium_mol_m3)
    }

    /// The share of the anion load that a conductivity meter hardly sees: carbon dioxide and silica, `0..=1`.
    ///
    /// # Errors
    /// [`ResinError::NoLoad`] when nothing loads the anion side; otherwise as [`Self::anion_mol_m3`].
    ///
    /// # Source
    /// `DEFINITION`.
    pub fn weak_share(&self) -> Result<f64, ResinError> {
        let anion_mol_m3 = enough(self.anion_mol_m3()?)?;
        Ok(self.weak_mol_m3() / anion_mol_m3)
    }

    fn weak_mol_m3(&self) -> f64 {
        self.carbon_dioxide_mol_m3 + self.silica_mol_m3
    }

    fn require(&self) -> Result<(), OutOfRange> {
        for part in [
            self.salt_mol_m3,
            self.carbon_dioxide_mol_m3,
            self.silica_mol_m3,
            self.ammonium_mol_m3,
        ] {
            LOAD.require(part)?;
        }
        Ok(())
    }
}

/// The charge of dissolved salts, in mol/m³, from their mass: `C/W`.
///
/// # Arguments
/// * `solids_kg_m3`: dissolved solids, `0..=50`, on the scale of the equivalent weight: a meter on the sodium
///   chloride scale goes with [`SODIUM_CHLORIDE_KG_EQ`](super::SODIUM_CHLORIDE_KG_EQ).
/// * `equivalent_weight_kg_mol`: mass of salt per mole of charge, `0.01..=0.5`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `DEFINITION`.
///
/// # Examples
/// ```
/// use physics::resin::{SODIUM_CHLORIDE_KG_EQ, salt_equivalents_mol_m3};
///
/// // 10 mg/L of sodium chloride.
/// let salt_mol_m3 = salt_equivalents_mol_m3(0.010, SODIUM_CHLORIDE_KG_EQ)?;
/// assert!((0.1711..0.1712).contains(&salt_mol_m3));
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn salt_equivalents_mol_m3(solids_kg_m3: f64, equivalent_weight_kg_mol: f64) -> Result<f64, OutOfRange> {
    Ok(SOLIDS.require(solids_kg_m3)? / EQUIVALENT_WEIGHT.require(equivalent_weight_kg_mol)?)
}

/// Gives a load back if a life can be reckoned from it.
pub(super) fn enough(load_mol_m3: f64) -> Result<f64, ResinError> {
    if load_mol_m3 < LEAST_LOAD_MOL_M3 {
        Err(ResinError::NoLoad {
            load_mol_m3,
            least_mol_m3: LEAST_LOAD_MOL_M3,
        })
    } else {
        Ok(load_mol_m3)
    }
}
