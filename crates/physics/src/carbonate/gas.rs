//! Carbon dioxide between water and air.

use super::{constants::Kelvin, speciation::MOL_M3};
use crate::{OutOfRange, Range};

/// Partial pressure of carbon dioxide at which Henry's law is used.
pub const PARTIAL_PRESSURE: Range = Range {
    quantity: "partial pressure of carbon dioxide",
    unit: "atm",
    min: 0.0,
    max: 1.0,
    source_key: "PLUMMER-BUSENBERG-1982",
};

/// Returns dissolved carbon dioxide in water at rest with air, mol/m³: where degassing in an open vessel ends.
///
/// Ordinary air has about 4.2·10⁻⁴ atm; a closed room with people in it two or three times that.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 50 °C and 0 to 1 atm.
///
/// # Source
/// Henry's law with the constant of `PLUMMER-BUSENBERG-1982`; fugacity taken for partial pressure, which is 0.5 %
/// too much at 1 atm and nothing in air (from memory).
///
/// # Examples
/// ```
/// let left = physics::carbonate::aerated_carbon_dioxide_mol_m3(25.0, 4.2e-4)?;
/// assert!((left * 44.01 - 0.63).abs() < 0.005); // mg/L
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn aerated_carbon_dioxide_mol_m3(
    temperature_c: f64,
    partial_pressure_atm: f64,
) -> Result<f64, OutOfRange> {
    let kh = Kelvin::new(temperature_c)?.kh();
    Ok(MOL_M3 * kh * PARTIAL_PRESSURE.require(partial_pressure_atm)?)
}
