//! The reference composition: what sea salt is made of.

use super::{absolute_salinity::absolute_salinity_g_kg, density::DENSITY_SALINITY};
use crate::OutOfRange;

/// A constituent of reference-composition sea salt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MajorIon {
    /// Its formula: `"SO4 2-"`.
    pub name: &'static str,
    /// kg of it per kg of anhydrous sea salt.
    pub mass_fraction: f64,
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// Charge in units of the elementary charge; 0 for the two that are no ions.
    pub charge: i8,
}

const fn ion(name: &'static str, mass_fraction: f64, g_per_mol: f64, charge: i8) -> MajorIon {
    MajorIon {
        name,
        mass_fraction,
        molar_mass_kg_mol: g_per_mol * 1e-3,
        charge,
    }
}

#[rustfmt::skip]
const REFERENCE_COMPOSITION: [MajorIon; 15] = [
    ion("Cl-", 0.550_339_6, 35.453, -1),
    ion("Na+", 0.306_595_8, 22.989_769_28, 1),
    ion("SO4 2-", 0.077_131_9, 96.0626, -2),
    ion("Mg2+", 0.036_505_5, 24.305, 2),
    ion("Ca2+", 0.011_718_6, 40.078, 2),
    ion("K+", 0.011_349_5, 39.0983, 1),
    ion("HCO3-", 0.002_980_5, 61.016_84, -1),
    ion("Br-", 0.001_913_4, 79.904, -1),
    ion("B(OH)3", 0.000_552_7, 61.833, 0),
    ion("CO3 2-", 0.000_407_8, 60.0089, -2),
    ion("Sr2+", 0.000_226_0, 87.62, 2),
    ion("B(OH)4-", 0.000_225_9, 78.8404, -1),
    ion("F-", 0.000_036_9, 18.998_403_2, -1),
    ion("CO2", 0.000_012_1, 44.0095, 0),
    ion("OH-", 0.000_003_8, 17.007_34, -1),
];

const MAGNESIUM: MajorIon = REFERENCE_COMPOSITION[3];
const CALCIUM: MajorIon = REFERENCE_COMPOSITION[4];
const POTASSIUM: MajorIon = REFERENCE_COMPOSITION[5];
const BICARBONATE: MajorIon = REFERENCE_COMPOSITION[6];
const CARBONATE: MajorIon = REFERENCE_COMPOSITION[9];
const BORATE: MajorIon = REFERENCE_COMPOSITION[11];
const HYDROXIDE: MajorIon = REFERENCE_COMPOSITION[14];

/// All constituents, the major ones first; the mass fractions add up to 1 and the charges to 0.
///
/// Carbonate, borate and their kin are those of the reference at 25 °C; they shift among each other with
/// temperature and acidity.
///
/// Source: `MILLERO-2008` table 4, from memory; held by both sums and by the mean molar mass and the mean squared
/// charge that `TEOS-10-2010` gives.
///
/// ```
/// let whole: f64 = physics::seawater::major_ions().iter().map(|ion| ion.mass_fraction).sum();
/// assert!((whole - 1.0).abs() < 1e-12);
/// ```
pub const fn major_ions() -> [MajorIon; 15] {
    REFERENCE_COMPOSITION
}

/// Total alkalinity of reference sea water of practical salinity 35, in mol/kg.
///
/// Source: `MILLERO-2008` table 4, as the sum in [`reference_contents`], to the digits given there.
pub const REFERENCE_ALKALINITY_MOL_KG: f64 = 0.0023;

impl MajorIon {
    /// Grams of this constituent in a kilogram of sea water of this practical salinity.
    ///
    /// # Errors
    /// [`OutOfRange`] outside practical salinity 0 to 42, and for NaN.
    pub fn content_g_kg(&self, practical_salinity: f64) -> Result<f64, OutOfRange> {
        DENSITY_SALINITY.require(practical_salinity)?;
        Ok(absolute_salinity_g_kg(practical_salinity) * self.mass_fraction)
    }

    /// Moles of this constituent in a kilogram of sea water of this practical salinity.
    ///
    /// # Errors
    /// [`OutOfRange`] outside practical salinity 0 to 42, and for NaN.
    pub fn content_mol_kg(&self, practical_salinity: f64) -> Result<f64, OutOfRange> {
        Ok(self.content_g_kg(practical_salinity)? * 1e-3 / self.molar_mass_kg_mol)
    }
}

/// What a keeper of sea water asks for, in water of the reference composition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceContents {
    /// Calcium, g per kg of sea water.
    pub calcium_g_kg: f64,
    /// Magnesium, g per kg of sea water.
    pub magnesium_g_kg: f64,
    /// Potassium, g per kg of sea water.
    pub potassium_g_kg: f64,
    /// Calcium, mol per kg of sea water.
    pub calcium_mol_kg: f64,
    /// Magnesium, mol per kg of sea water.
    pub magnesium_mol_kg: f64,
    /// Total alkalinity, mol of charge per kg of sea water: bicarbonate, twice carbonate, borate, hydroxide.
    pub alkalinity_mol_kg: f64,
}

/// Calcium, magnesium, potassium and alkalinity of sea water of the reference composition.
///
/// Artificial mixes aim at these but differ, in alkalinity and calcium by a fifth and more (common practice, no
/// source): a label or a test counts for more than this.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
///
/// # Errors
/// [`OutOfRange`] for a salinity outside the range, and for NaN.
///
/// # Source
/// `MILLERO-2008` table 4.
///
/// # Examples
/// ```
/// use physics::seawater::reference_contents;
///
/// let contents = reference_contents(35.0)?;
/// assert!((contents.calcium_g_kg - 0.4121).abs() < 1e-4);
/// assert!((contents.alkalinity_mol_kg - 2.30e-3).abs() < 1e-5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn reference_contents(practical_salinity: f64) -> Result<ReferenceContents, OutOfRange> {
    let s = practical_salinity;
    Ok(ReferenceContents {
        calcium_g_kg: CALCIUM.content_g_kg(s)?,
        magnesium_g_kg: MAGNESIUM.content_g_kg(s)?,
        potassium_g_kg: POTASSIUM.content_g_kg(s)?,
        calcium_mol_kg: CALCIUM.content_mol_kg(s)?,
        magnesium_mol_kg: MAGNESIUM.content_mol_kg(s)?,
        alkalinity_mol_kg: BICARBONATE.content_mol_kg(s)?
            + 2.0 * CARBONATE.content_mol_kg(s)?
            + BORATE.content_mol_kg(s)?
            + HYDROXIDE.content_mol_kg(s)?,
    })
}
