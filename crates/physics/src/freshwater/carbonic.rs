//! Pure water that has taken up carbon dioxide and nothing else: permeate behind a resin, water in an open vessel.

use super::pure_water::{density_kg_m3, hydrogen_s_m2_mol, hydroxide_s_m2_mol};
use crate::{
    OutOfRange, Range,
    carbonate::{CARBON_DIOXIDE, aerated_carbon_dioxide_mol_m3, constants::Kelvin},
    seawater::viscosity_pa_s,
};
use libm::log10;

/// Temperatures at which water with carbon dioxide is reckoned: to where the viscosity of water is at hand.
pub const CARBONIC_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 40.0,
    source_key: "HOUSE-RULE",
};

/// Limiting molar conductivity of bicarbonate at 25 °C, S m²/mol; `CRC-IONS`.
const BICARBONATE_25: f64 = 44.5e-4;

/// Returns the conductivity of pure water that carbon dioxide was dissolved in, S/m, at the water's own temperature.
///
/// # Arguments
/// * `carbon_dioxide_mol_m3`: all that was dissolved, whether it has turned into bicarbonate or not, `0..=100`. For
///   water at rest with air, of which only the gas that is left as such is known, see
///   [`aerated_water_conductivity_s_m`].
/// * `temperature_c`: `0..=40`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// Balance of charge and of carbon: own derivation, with carbonate left out (below 0.1 % of bicarbonate here), activity
/// coefficients of 1 and limiting conductivities (both wrong by less than 0.5 % up to 10 mg/L, 2 % at the end of the
/// range). Constants of `PLUMMER-BUSENBERG-1982`; hydrogen and hydroxide as in
/// [`pure_water_conductivity_s_m`](super::pure_water_conductivity_s_m), to which it comes down without carbon dioxide;
/// bicarbonate after `CRC-IONS` at 25 °C, elsewhere by Walden's rule with the viscosity of water, a guess for a tenth
/// of the whole.
///
/// # Examples
/// ```
/// // 5 mg/L
/// let conductivity = physics::freshwater::carbonic_water_conductivity_s_m(5.0 / 44.01, 25.0)?;
/// assert!((conductivity * 1e4 - 2.72).abs() < 0.01); // µS/cm
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn carbonic_water_conductivity_s_m(
    carbon_dioxide_mol_m3: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let ions = Ions::with_all(carbon_dioxide_mol_m3, temperature_c)?;
    ions.conductivity_s_m(temperature_c)
}

/// Returns the pH of pure water that carbon dioxide was dissolved in.
///
/// # Arguments
/// As [`carbonic_water_conductivity_s_m`].
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`carbonic_water_conductivity_s_m`].
pub fn carbonic_water_ph(carbon_dioxide_mol_m3: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(-log10(
        Ions::with_all(carbon_dioxide_mol_m3, temperature_c)?.hydrogen,
    ))
}

/// Returns the conductivity of pure water at rest with air, S/m, at the water's own temperature: what water from a
/// resin comes to in an open vessel.
///
/// # Arguments
/// * `temperature_c`: `0..=40`.
/// * `partial_pressure_atm`: of carbon dioxide in the air, `0..=1`; about 4.2·10⁻⁴ out of doors.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`carbonic_water_conductivity_s_m`], with Henry's law for what is left as gas.
pub fn aerated_water_conductivity_s_m(
    temperature_c: f64,
    partial_pressure_atm: f64,
) -> Result<f64, OutOfRange> {
    Ions::with_air(temperature_c, partial_pressure_atm)?.conductivity_s_m(temperature_c)
}

/// Returns the pH of pure water at rest with air.
///
/// # Arguments
/// As [`aerated_water_conductivity_s_m`].
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`aerated_water_conductivity_s_m`].
pub fn aerated_water_ph(temperature_c: f64, partial_pressure_atm: f64) -> Result<f64, OutOfRange> {
    Ok(-log10(
        Ions::with_air(temperature_c, partial_pressure_atm)?.hydrogen,
    ))
}

/// The ions in such water, mol/kg.
struct Ions {
    hydrogen: f64,
    hydroxide: f64,
    bicarbonate: f64,
}

impl Ions {
    /// From all the carbon: `h³ + K1·h² − (Kw + K1·C)·h − K1·Kw = 0`.
    fn with_all(carbon_dioxide_mol_m3: f64, temperature_c: f64) -> Result<Self, OutOfRange> {
        let carbon = CARBON_DIOXIDE.require(carbon_dioxide_mol_m3)?;
        let kelvin = Kelvin::new(CARBONIC_TEMPERATURE.require(temperature_c)?)?;
        let carbon = carbon / density_kg_m3(temperature_c);
        let (k1, kw) = (kelvin.k1(), kelvin.kw());
        let first = kw + k1 * carbon;
        // With all the carbon still as gas there would be more ions, so that the start lies above the one positive
        // root, where the cubic is convex: Newton's method comes down to it, and rounding ends the descent.
        let mut h = first.sqrt();
        for _ in 0..100 {
            let value = ((h + k1) * h - first) * h - k1 * kw;
            let slope = (3.0 * h + 2.0 * k1) * h - first;
            let next = h - value / slope;
            if next.partial_cmp(&h) != Some(std::cmp::Ordering::Less) {
                break;
            }
            h = next;
        }
        Ok(Self::balanced(h, kw, k1 * carbon / (h + k1)))
    }

    /// From what is left as gas: `h² = Kw + K1·c`.
    fn with_air(temperature_c: f64, partial_pressure_atm: f64) -> Result<Self, OutOfRange> {
        let kelvin = Kelvin::new(CARBONIC_TEMPERATURE.require(temperature_c)?)?;
        let gas = aerated_carbon_dioxide_mol_m3(temperature_c, partial_pressure_atm)? / 1000.0;
        let (from_gas, kw) = (kelvin.k1() * gas, kelvin.kw());
        let h = (kw + from_gas).sqrt();
        Ok(Self::balanced(h, kw, from_gas / h))
    }

    fn balanced(hydrogen: f64, kw: f64, bicarbonate: f64) -> Self {
        Self {
            hydrogen,
            hydroxide: kw / hydrogen,
            bicarbonate,
        }
    }

    fn conductivity_s_m(&self, temperature_c: f64) -> Result<f64, OutOfRange> {
        let bicarbonate = BICARBONATE_25 * viscosity_pa_s(0.0, 25.0)? / viscosity_pa_s(0.0, temperature_c)?;
        let per_kg = self.hydrogen * hydrogen_s_m2_mol(temperature_c)
            + self.hydroxide * hydroxide_s_m2_mol(temperature_c)
            + self.bicarbonate * bicarbonate;
        Ok(density_kg_m3(temperature_c) * per_kg)
    }
}
