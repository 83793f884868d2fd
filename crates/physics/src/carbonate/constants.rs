//! Equilibrium constants and activity coefficients of the carbonate system in fresh water.

use crate::{OutOfRange, Range};
use libm::{exp, log10};
use std::f64::consts::LN_10;

/// Temperatures at which all the constants are known.
///
/// `PLUMMER-BUSENBERG-1982` goes from 0 to 90 °C; the ion product of water and the Debye-Hückel slope are only
/// trusted to 50 °C.
pub const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 50.0,
    source_key: "HOUSE-RULE",
};

/// Ionic strengths for which the Davies equation is said to hold.
pub const IONIC_STRENGTH: Range = Range {
    quantity: "ionic strength",
    unit: "mol/kg",
    min: 0.0,
    max: 0.5,
    source_key: "DAVIES-1962",
};

const CHARGE: Range = Range {
    quantity: "charge number",
    unit: "",
    min: -4.0,
    max: 4.0,
    source_key: "HOUSE-RULE",
};

/// log₁₀ of K1 = a(H⁺)·a(HCO₃⁻)/a(CO₂), mol/kg; CO₂ counts carbonic acid in.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `PLUMMER-BUSENBERG-1982`, stated for 0 to 90 °C.
pub fn log_k1(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(Kelvin::new(temperature_c)?.log_k1())
}

/// log₁₀ of K2 = a(H⁺)·a(CO₃²⁻)/a(HCO₃⁻), mol/kg.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `PLUMMER-BUSENBERG-1982`, stated for 0 to 90 °C.
pub fn log_k2(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(Kelvin::new(temperature_c)?.log_k2())
}

/// log₁₀ of KH = a(CO₂)/fugacity of CO₂, mol/(kg atm).
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `PLUMMER-BUSENBERG-1982`, stated for 0 to 90 °C and 1 atm.
pub fn log_kh(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(Kelvin::new(temperature_c)?.log_kh())
}

/// log₁₀ of Kw = a(H⁺)·a(OH⁻), mol²/kg².
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `STUMM-MORGAN-1981`, page 127.
pub fn log_kw(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(Kelvin::new(temperature_c)?.log_kw())
}

/// log₁₀ of the solubility product of calcite, a(Ca²⁺)·a(CO₃²⁻), mol²/kg².
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C.
///
/// # Source
/// `PLUMMER-BUSENBERG-1982`, stated for 0 to 90 °C.
pub fn log_k_calcite(temperature_c: f64) -> Result<f64, OutOfRange> {
    Ok(Kelvin::new(temperature_c)?.log_k_calcite())
}

/// log₁₀ of the activity coefficient of an ion: `−A·z²·(√I/(1 + √I) − 0.3·I)`.
///
/// # Arguments
/// * `charge`: charge number, `−4..=4`; 0 gives 0.
/// * `ionic_strength_mol_kg`: `0..=0.5`.
/// * `temperature_c`: `0..=50`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `DAVIES-1962`. The slope A = 0.4918 + 6.614·10⁻⁴·t + 4.975·10⁻⁶·t² is a fit used by public code, no source
/// known; it keeps to the slope reckoned from density and permittivity of water within 0.7 % over the range (a test
/// does that sum).
pub fn davies_log_gamma(
    charge: f64,
    ionic_strength_mol_kg: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    let charge = CHARGE.require(charge)?;
    let ionic_strength = IONIC_STRENGTH.require(ionic_strength_mol_kg)?;
    let temperature_c = TEMPERATURE.require(temperature_c)?;
    Ok(charge * charge * log_gamma_1(ionic_strength, temperature_c))
}

fn log_gamma_1(ionic_strength: f64, temperature_c: f64) -> f64 {
    let slope = 0.4918 + temperature_c * (6.614e-4 + 4.975e-6 * temperature_c);
    let root = ionic_strength.sqrt();
    // Minus a difference that is +0 in pure water, so that the answer there is 0 and not −0.
    slope * (0.3 * ionic_strength - root / (1.0 + root))
}

pub(super) fn ten_to(exponent: f64) -> f64 {
    exp(LN_10 * exponent)
}

/// A temperature in range, with what the constants share.
pub(crate) struct Kelvin {
    kelvin: f64,
    log_kelvin: f64,
}

impl Kelvin {
    pub(crate) fn new(temperature_c: f64) -> Result<Self, OutOfRange> {
        let kelvin = TEMPERATURE.require(temperature_c)? + 273.15;
        Ok(Self {
            kelvin,
            log_kelvin: log10(kelvin),
        })
    }

    fn log_k1(&self) -> f64 {
        let t = self.kelvin;
        -356.3094 - 0.060_919_64 * t + 21_834.37 / t + 126.8339 * self.log_kelvin - 1_684_915.0 / (t * t)
    }

    fn log_k2(&self) -> f64 {
        let t = self.kelvin;
        -107.8871 - 0.032_528_49 * t + 5_151.79 / t + 38.925_61 * self.log_kelvin - 563_713.9 / (t * t)
    }

    fn log_kh(&self) -> f64 {
        let t = self.kelvin;
        108.3865 + 0.019_850_76 * t - 6_919.53 / t - 40.451_54 * self.log_kelvin + 669_365.0 / (t * t)
    }

    fn log_kw(&self) -> f64 {
        let t = self.kelvin;
        6.0875 - 0.017_06 * t - 4_470.99 / t
    }

    fn log_k_calcite(&self) -> f64 {
        let t = self.kelvin;
        -171.9065 - 0.077_993 * t + 2_839.319 / t + 71.595 * self.log_kelvin
    }

    pub(crate) fn k1(&self) -> f64 {
        ten_to(self.log_k1())
    }

    pub(crate) fn kh(&self) -> f64 {
        ten_to(self.log_kh())
    }

    pub(crate) fn kw(&self) -> f64 {
        ten_to(self.log_kw())
    }
}

/// Constants and activity coefficients at one temperature and ionic strength, on the scale of molality.
pub(super) struct Equilibrium {
    pub(super) k1: f64,
    pub(super) k2: f64,
    pub(super) kw: f64,
    pub(super) gamma_1: f64,
    pub(super) gamma_2: f64,
}

impl Equilibrium {
    pub(super) fn new(temperature_c: f64, ionic_strength_mol_kg: f64) -> Result<Self, OutOfRange> {
        let kelvin = Kelvin::new(temperature_c)?;
        let ionic_strength = IONIC_STRENGTH.require(ionic_strength_mol_kg)?;
        let gamma_1 = ten_to(log_gamma_1(ionic_strength, temperature_c));
        let squared = gamma_1 * gamma_1;
        Ok(Self {
            k1: kelvin.k1(),
            k2: ten_to(kelvin.log_k2()),
            kw: kelvin.kw(),
            gamma_1,
            gamma_2: squared * squared,
        })
    }
}
