//! The reference composition: what sea salt is made of.

/// A constituent of reference-composition sea salt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MajorIon {
    /// Its formula.
    pub name: &'static str,
    /// kg of it per kg of anhydrous sea salt.
    pub mass_fraction: f64,
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
}

/// Total alkalinity of reference sea water of practical salinity 35, in mol/kg.
///
/// Source: `MILLERO-2008` table 4 (0.0023 mol/kg).
pub const REFERENCE_ALKALINITY_MOL_KG: f64 = 0.0023;

const fn ion(name: &'static str, g_per_kg_at_35: f64, g_per_mol: f64) -> MajorIon {
    MajorIon {
        name,
        mass_fraction: g_per_kg_at_35 / 35.165_04,
        molar_mass_kg_mol: g_per_mol * 1e-3,
    }
}

/// The constituents, by mass at practical salinity 35.
///
/// Source: `TEOS-10-2010` table D.3 for the major ions; the minor ones from memory of `MILLERO-2008`
/// table 4. Masses are those of the solution at absolute salinity 35.16504 g/kg.
pub const fn major_ions() -> [MajorIon; 12] {
    [
        ion("Cl-", 19.352_71, 35.453),
        ion("Na+", 10.781_45, 22.989_769_28),
        ion("SO4 2-", 2.712_35, 96.062_6),
        ion("Mg2+", 1.283_72, 24.305),
        ion("Ca2+", 0.412_08, 40.078),
        ion("K+", 0.399_1, 39.098_3),
        ion("HCO3-", 0.104_81, 61.016_84),
        ion("Br-", 0.067_28, 79.904),
        ion("B(OH)3 and B(OH)4-", 0.027_3, 64.5),
        ion("CO3 2-", 0.014_34, 60.008_9),
        ion("Sr2+", 0.007_95, 87.62),
        ion("F-", 0.001_3, 18.998_403_2),
    ]
}
