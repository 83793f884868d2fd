//! How much water a bed of resin makes pure before it's exhausted.

use super::{
    error::ResinError,
    load::{LOAD, Load, enough},
    substance::CALCIUM_CARBONATE_KG_EQ,
};
use crate::{OutOfRange, Range};

/// Volume of a bed, moist and settled: from a thimble to a plant.
pub const BED_VOLUME: Range = Range {
    quantity: "volume of the resin bed",
    unit: "m³",
    min: 1e-6,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Capacity per volume of bed. A mixed bed has 400 to 700 mol/m³, strong cation resin alone 1800 to 2000, strong
/// anion resin alone 1000 to 1200; weak resins reach twice that of the strong.
pub const BED_CAPACITY: Range = Range {
    quantity: "capacity of the resin",
    unit: "mol/m³",
    min: 10.0,
    max: 5000.0,
    source_key: "HOUSE-RULE",
};

/// Share of the capacity that is used before the bed is changed.
pub const UTILISATION: Range = Range {
    quantity: "share of the resin that is used",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};

/// In grains of calcium carbonate per cubic foot of bed; as wide as [`BED_CAPACITY`].
const GRAINS: Range = Range {
    quantity: "capacity of the resin",
    unit: "grains/ft³",
    min: 220.0,
    max: 109_000.0,
    source_key: "HOUSE-RULE",
};

const KG_PER_GRAIN: f64 = 64.798_91e-6;
const M3_PER_CUBIC_FOOT: f64 = 0.3048 * 0.3048 * 0.3048;

/// A bed of resin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// Volume, moist and settled, `1e-6..=100`.
    pub volume_m3: f64,
    /// Moles of charge taken up per volume of bed, `10..=5000`; for a mixed bed what either side takes up, which
    /// in a balanced mixture is the same, and otherwise the smaller.
    pub capacity_mol_m3: f64,
    /// Share of the capacity that is used before the bed is changed, `0..=1`: 0.7 to 0.9 for a single small
    /// canister, 0.9 to 1 for the first of a pair (common practice, no source); see
    /// [`utilisation_from_zone`](super::utilisation_from_zone).
    pub utilisation: f64,
}

impl Bed {
    fn usable_mol(&self) -> Result<f64, OutOfRange> {
        let volume_m3 = BED_VOLUME.require(self.volume_m3)?;
        let capacity_mol_m3 = BED_CAPACITY.require(self.capacity_mol_m3)?;
        Ok(volume_m3 * capacity_mol_m3 * UTILISATION.require(self.utilisation)?)
    }
}

/// Which of two beds in a row is exhausted first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limiting {
    /// The cation bed: sodium leaks, the water turns alkaline.
    Cation,
    /// The anion bed: silica and carbon dioxide leak first, the water turns acid. Also when both end together.
    Anion,
}

/// A capacity in mol of charge per m³ of bed from grains of calcium carbonate per cubic foot: 1 mol/L is
/// 21 870 grains/ft³.
///
/// # Errors
/// [`OutOfRange`] outside `220..=109000`.
///
/// # Source
/// `DEFINITION`: the grain is 64.79891 mg and the foot 0.3048 m, both exact; equivalent mass of calcium carbonate
/// from `IUPAC-2021`.
pub fn capacity_mol_m3_from_grains_per_ft3(grains_per_ft3: f64) -> Result<f64, OutOfRange> {
    let kg_m3 = GRAINS.require(grains_per_ft3)? * KG_PER_GRAIN / M3_PER_CUBIC_FOOT;
    Ok(kg_m3 / CALCIUM_CARBONATE_KG_EQ)
}

/// The water that a bed makes pure until it's exhausted, in m³: `q·V·u/L`.
///
/// # Arguments
/// * `bed`: with capacity q, volume V and the share u that is used.
/// * `load_mol_m3`: what the water brings, L, `1e-6..=3000` mol of charge per m³.
///
/// # Errors
/// [`ResinError::NoLoad`] below 10⁻⁶; [`ResinError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`: conservation of charge.
///
/// # Examples
/// ```
/// use physics::resin::{Bed, volume_to_exhaustion_m3};
///
/// let bed = Bed { volume_m3: 0.55e-3, capacity_mol_m3: 457.0, utilisation: 0.85 };
/// let water_m3 = volume_to_exhaustion_m3(&bed, 0.227)?;
/// assert!((0.94..0.942).contains(&water_m3));
/// # Ok::<(), physics::resin::ResinError>(())
/// ```
pub fn volume_to_exhaustion_m3(bed: &Bed, load_mol_m3: f64) -> Result<f64, ResinError> {
    let usable_mol = bed.usable_mol()?;
    Ok(usable_mol / enough(LOAD_OF_A_SIDE.require(load_mol_m3)?)?)
}

/// The water that a mixed bed makes pure, in m³: by whichever of the anion and the cation load is greater.
///
/// # Errors
/// As [`volume_to_exhaustion_m3`]; [`ResinError::NoLoad`] only when neither side is loaded.
///
/// # Source
/// `MASS-BALANCE`: conservation of charge on each side.
pub fn mixed_bed_to_exhaustion_m3(bed: &Bed, load: &Load) -> Result<f64, ResinError> {
    volume_to_exhaustion_m3(bed, load.anion_mol_m3()?.max(load.cation_mol_m3()?))
}

/// The water that a cation bed and an anion bed behind it make pure until the first of them is exhausted, in m³,
/// and which one that is.
///
/// The alkalinity turns to carbon dioxide behind the cation bed, charge for charge, so that the anion load stays
/// what it was, unless a degasser stands between: take what it removes off the anion side.
///
/// # Errors
/// As [`mixed_bed_to_exhaustion_m3`].
///
/// # Source
/// `MASS-BALANCE`: conservation of charge on each side.
pub fn separate_beds_to_exhaustion_m3(
    cation: &Bed,
    anion: &Bed,
    load: &Load,
) -> Result<(f64, Limiting), ResinError> {
    let by_anion = volume_to_exhaustion_m3(anion, load.anion_mol_m3()?);
    let by_cation = volume_to_exhaustion_m3(cation, load.cation_mol_m3()?);
    // A side without load limits nothing; every other refusal stands.
    match (by_cation, by_anion) {
        (Ok(cation_m3), Ok(anion_m3)) if cation_m3 < anion_m3 => Ok((cation_m3, Limiting::Cation)),
        (Ok(_) | Err(ResinError::NoLoad { .. }), Ok(anion_m3)) => Ok((anion_m3, Limiting::Anion)),
        (Ok(cation_m3), Err(ResinError::NoLoad { .. })) => Ok((cation_m3, Limiting::Cation)),
        (Err(refusal), _) | (_, Err(refusal)) => Err(refusal),
    }
}

/// The water that a volume of bed makes pure, in m³ per m³ of bed: `q·u/L`.
///
/// # Errors
/// As [`volume_to_exhaustion_m3`].
///
/// # Source
/// `MASS-BALANCE`: conservation of charge.
pub fn water_per_resin(capacity_mol_m3: f64, utilisation: f64, load_mol_m3: f64) -> Result<f64, ResinError> {
    let usable_mol_m3 = BED_CAPACITY.require(capacity_mol_m3)? * UTILISATION.require(utilisation)?;
    Ok(usable_mol_m3 / enough(LOAD_OF_A_SIDE.require(load_mol_m3)?)?)
}

/// The bed that a volume of water uses up, in m³ per m³ of water: `L/(q·u)`. Nothing for no load.
///
/// # Errors
/// [`ResinError::NothingUsed`] for a utilisation of 0; [`ResinError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`: conservation of charge.
pub fn resin_per_water(capacity_mol_m3: f64, utilisation: f64, load_mol_m3: f64) -> Result<f64, ResinError> {
    let usable_mol_m3 = BED_CAPACITY.require(capacity_mol_m3)? * UTILISATION.require(utilisation)?;
    let load_mol_m3 = LOAD_OF_A_SIDE.require(load_mol_m3)?;
    if usable_mol_m3 < BED_CAPACITY.min * LEAST_USED {
        return Err(ResinError::NothingUsed);
    }
    Ok(load_mol_m3 / usable_mol_m3)
}

/// A side's load is the sum of up to three parts.
const LOAD_OF_A_SIDE: Range = Range {
    max: 3.0 * LOAD.max,
    ..LOAD
};

/// Shares below this count as nothing; it only keeps a division finite.
pub(super) const LEAST_USED: f64 = 1e-9;
