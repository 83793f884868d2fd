//! Carbon dioxide, bicarbonate and carbonate from alkalinity and pH, and pH from carbon dioxide.

use super::{
    constants::{Equilibrium, Kelvin, ten_to},
    error::CarbonateError,
};
use crate::Range;
use libm::{cbrt, log10};

/// Alkalinity of fresh water. Ten times hard tap water, so that the concentrate of a membrane fits in.
pub const ALKALINITY: Range = Range {
    quantity: "alkalinity",
    unit: "mol/m³",
    min: 0.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// pH: all that water of those alkalinities can have with carbon dioxide alone.
pub const PH: Range = Range {
    quantity: "pH",
    unit: "",
    min: 3.0,
    max: 14.0,
    source_key: "HOUSE-RULE",
};

/// Dissolved carbon dioxide: more than water holds under 1 atm of it at 0 °C.
pub const CARBON_DIOXIDE: Range = Range {
    quantity: "carbon dioxide",
    unit: "mol/m³",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// mol/m³ in a mol/kg, a litre taken for a kilogram.
pub(super) const MOL_M3: f64 = 1000.0;

/// What is known of a fresh water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreshWater {
    /// Alkalinity, moles of charge per m³: `[HCO₃⁻] + 2·[CO₃²⁻] + [OH⁻] − [H⁺]`, `0..=50`.
    pub alkalinity_mol_m3: f64,
    /// −log₁₀ of the activity of the hydrogen ion, `3..=14`.
    pub ph: f64,
    /// Temperature at which the pH holds, `0..=50` °C.
    pub temperature_c: f64,
    /// Ionic strength, `0..=0.5` mol/kg; see
    /// [`ionic_strength_from_conductivity_mol_kg`](crate::freshwater::ionic_strength_from_conductivity_mol_kg).
    pub ionic_strength_mol_kg: f64,
}

/// Inorganic carbon by species, with what goes along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speciation {
    /// Dissolved carbon dioxide with carbonic acid.
    pub carbon_dioxide_mol_m3: f64,
    /// HCO₃⁻.
    pub bicarbonate_mol_m3: f64,
    /// CO₃²⁻.
    pub carbonate_mol_m3: f64,
    /// OH⁻.
    pub hydroxide_mol_m3: f64,
    /// H⁺, as a concentration.
    pub hydrogen_mol_m3: f64,
    /// The sum of the three with carbon.
    pub inorganic_carbon_mol_m3: f64,
    /// Fugacity of carbon dioxide with which the water would be at rest; above 1 it bubbles at sea level.
    pub carbon_dioxide_fugacity_atm: f64,
}

/// Molalities on the way to either answer.
struct Molality {
    carbon_dioxide: f64,
    bicarbonate: f64,
    carbonate: f64,
    hydroxide: f64,
    hydrogen: f64,
}

/// Returns all species of the inorganic carbon.
///
/// # Errors
/// [`CarbonateError::CannotGoTogether`] when hydroxide alone exceeds the alkalinity;
/// [`CarbonateError::TooMuchGas`] above 100 mol/m³ of carbon dioxide; [`CarbonateError::OutOfRange`].
///
/// # Source
/// DEFINITION of alkalinity and of the constants, which are those of [`constants`](super::constants); the activity
/// coefficient of carbon dioxide is taken for 1 (at ionic strength 0.1 it would be 1.02, from memory).
///
/// # Examples
/// ```
/// use physics::carbonate::{FreshWater, speciate};
///
/// // Hard tap water: 100 mg/L as calcium carbonate, pH 7.5, 20 °C.
/// let water = FreshWater {
///     alkalinity_mol_m3: 2.0,
///     ph: 7.5,
///     temperature_c: 20.0,
///     ionic_strength_mol_kg: 0.005,
/// };
/// let species = speciate(&water)?;
/// assert!((species.carbon_dioxide_mol_m3 * 44.01 - 6.2).abs() < 0.05);
/// # Ok::<(), physics::carbonate::CarbonateError>(())
/// ```
pub fn speciate(water: &FreshWater) -> Result<Speciation, CarbonateError> {
    let molality = molality(water)?;
    let carbon = molality.carbon_dioxide + molality.bicarbonate + molality.carbonate;
    Ok(Speciation {
        carbon_dioxide_mol_m3: MOL_M3 * molality.carbon_dioxide,
        bicarbonate_mol_m3: MOL_M3 * molality.bicarbonate,
        carbonate_mol_m3: MOL_M3 * molality.carbonate,
        hydroxide_mol_m3: MOL_M3 * molality.hydroxide,
        hydrogen_mol_m3: MOL_M3 * molality.hydrogen,
        inorganic_carbon_mol_m3: MOL_M3 * carbon,
        carbon_dioxide_fugacity_atm: molality.carbon_dioxide / Kelvin::new(water.temperature_c)?.kh(),
    })
}

/// Returns dissolved carbon dioxide with carbonic acid, mol/m³: as [`speciate`], and no more than that takes.
///
/// # Errors
/// As [`speciate`].
///
/// # Source
/// As [`speciate`].
pub fn carbon_dioxide_mol_m3(water: &FreshWater) -> Result<f64, CarbonateError> {
    Ok(MOL_M3 * molality(water)?.carbon_dioxide)
}

fn molality(water: &FreshWater) -> Result<Molality, CarbonateError> {
    let alkalinity = ALKALINITY.require(water.alkalinity_mol_m3)? / MOL_M3;
    let hydrogen_activity = ten_to(-PH.require(water.ph)?);
    let equilibrium = Equilibrium::new(water.temperature_c, water.ionic_strength_mol_kg)?;
    let gamma_1 = equilibrium.gamma_1;
    let hydroxide = equilibrium.kw / (hydrogen_activity * gamma_1);
    let hydrogen = hydrogen_activity / gamma_1;
    let from_carbon = alkalinity - hydroxide + hydrogen;
    if from_carbon < 0.0 {
        return Err(CarbonateError::CannotGoTogether {
            alkalinity_mol_m3: water.alkalinity_mol_m3,
            ph: water.ph,
            least_alkalinity_mol_m3: MOL_M3 * (hydroxide - hydrogen),
        });
    }
    let carbonate_per_bicarbonate = equilibrium.k2 * gamma_1 / (hydrogen_activity * equilibrium.gamma_2);
    let bicarbonate = from_carbon / (1.0 + 2.0 * carbonate_per_bicarbonate);
    let carbon_dioxide = hydrogen_activity * gamma_1 * bicarbonate / equilibrium.k1;
    if MOL_M3 * carbon_dioxide > CARBON_DIOXIDE.max {
        return Err(CarbonateError::TooMuchGas {
            alkalinity_mol_m3: water.alkalinity_mol_m3,
            ph: water.ph,
            most_carbon_dioxide_mol_m3: CARBON_DIOXIDE.max,
        });
    }
    Ok(Molality {
        carbon_dioxide,
        bicarbonate,
        carbonate: carbonate_per_bicarbonate * bicarbonate,
        hydroxide,
        hydrogen,
    })
}

/// Returns the pH of water that holds so much carbon dioxide: after it left for the air, or passed a membrane that
/// keeps bicarbonate back.
///
/// # Arguments
/// * `alkalinity_mol_m3`: `0..=50`.
/// * `carbon_dioxide_mol_m3`: dissolved carbon dioxide that is left (not all inorganic carbon), `0..=100`.
/// * `temperature_c`: `0..=50`.
/// * `ionic_strength_mol_kg`: `0..=0.5`.
///
/// # Errors
/// [`CarbonateError::OutOfRange`].
///
/// # Source
/// DEFINITION, as [`speciate`], whose inverse it is. The balance of alkalinity times the square of the activity of
/// hydrogen is a cubic with one positive root (one change of sign) and convex there, so that Newton's method comes
/// down to it from above without fail: own derivation.
pub fn ph_from_carbon_dioxide(
    alkalinity_mol_m3: f64,
    carbon_dioxide_mol_m3: f64,
    temperature_c: f64,
    ionic_strength_mol_kg: f64,
) -> Result<f64, CarbonateError> {
    let alkalinity = ALKALINITY.require(alkalinity_mol_m3)? / MOL_M3;
    let carbon_dioxide = CARBON_DIOXIDE.require(carbon_dioxide_mol_m3)? / MOL_M3;
    let Equilibrium {
        k1,
        k2,
        kw,
        gamma_1,
        gamma_2,
    } = Equilibrium::new(temperature_c, ionic_strength_mol_kg)?;
    let cubic = Cubic {
        third: 1.0 / gamma_1,
        second: alkalinity,
        first: (kw + k1 * carbon_dioxide) / gamma_1,
        constant: 2.0 * k1 * k2 * carbon_dioxide / gamma_2,
    };
    Ok(-log10(cubic.positive_root()))
}

/// `third·h³ + second·h² − first·h − constant`, all four at least 0, `third` and `first` above.
struct Cubic {
    third: f64,
    second: f64,
    first: f64,
    constant: f64,
}

impl Cubic {
    /// The one positive root, to rounding.
    fn positive_root(&self) -> f64 {
        let mut h = self.above_root();
        // Far above the root a step at least halves h, near it the digits double; the bound is never met.
        for _ in 0..100 {
            let value = ((self.third * h + self.second) * h - self.first) * h - self.constant;
            let slope = (3.0 * self.third * h + 2.0 * self.second) * h - self.first;
            let next = h - value / slope;
            // Rounding ends the descent.
            if next.partial_cmp(&h) != Some(std::cmp::Ordering::Less) {
                break;
            }
            h = next;
        }
        h
    }

    /// A point that isn't below the root.
    fn above_root(&self) -> f64 {
        // Half of the third power outweighs each of the two negative terms.
        let by_third = (2.0 * self.first / self.third)
            .sqrt()
            .max(cbrt(2.0 * self.constant / self.third));
        if self.second <= 0.0 {
            return by_third;
        }
        // Without the third power the root lies higher.
        let root = (self.first * self.first + 4.0 * self.second * self.constant).sqrt();
        by_third.min((self.first + root) / (2.0 * self.second))
    }
}
