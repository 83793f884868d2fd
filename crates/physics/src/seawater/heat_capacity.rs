//! Heat capacity by the Gibbs function of TEOS-10.

use super::absolute_salinity::absolute_salinity_g_kg;
use super::density::{DENSITY_SALINITY, DENSITY_TEMPERATURE};
use crate::OutOfRange;

/// Isobaric heat capacity of sea water at the surface, in J/(kg K): c_p = −T g_TT.
///
/// Source: `TEOS-10-2010` equation 2.20.1; coefficients of Feistel (2003) and Feistel (2008) in its
/// appendices G and H, at no sea pressure.
///
/// Range: practical salinity 0 to 42, −2 to 40 °C.
///
/// # Errors
/// [`OutOfRange`] outside the range, and for NaN.
///
/// ```
/// let heat_capacity = physics::seawater::heat_capacity_j_kg_k(35.0, 25.0)?;
/// assert!((heat_capacity - 3996.0).abs() < 10.0);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn heat_capacity_j_kg_k(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    DENSITY_SALINITY.require(practical_salinity)?;
    DENSITY_TEMPERATURE.require(temperature_c)?;
    let x2 = 0.024_882_667_558_461_5 * absolute_salinity_g_kg(practical_salinity);
    let x = x2.sqrt();
    let y = temperature_c * 0.025;
    let pure = -24_715.571_866_078
        + y * (4_420.447_224_909_672_5
            + y * (-1_778.231_237_203_896
                + y * (1_160.518_251_685_141_9 + y * (-569.531_539_542_516 + y * 128.134_291_524_946_15))));
    let saline = 1_760.062_705_994_408
        + x * (-86.132_935_195_608_4
            + x * (-137.114_501_840_898_2
                + y * (296.200_616_913_752_36 + y * (-205.677_092_903_745_63 + 49.939_401_913_901_6 * y)))
            + y * (-60.136_422_517_125 + y * 10.507_207_941_707_34))
        + y * (-1_351.605_895_580_406
            + y * (1_097.112_537_301_510_9 + y * (-433.206_481_750_622_06 + 63.905_091_254_154_904 * y)));
    Ok(-(temperature_c + 273.15) * (pure + x2 * saline) * 0.000_625)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seawater::density::conservative_temperature;

    /// At the surface conservative temperature is enthalpy in units of a fixed heat capacity, so that its slope
    /// in temperature is the heat capacity. Two sets of coefficients, from two tables.
    #[test]
    fn the_slope_of_enthalpy_is_the_heat_capacity() {
        const UNIT_J_KG_K: f64 = 3_991.867_957_119_63;
        const STEP_C: f64 = 1e-3;
        let mut worst = (0.0, 0.0, 0.0);
        for s in 0..=42 {
            for t in -1..40 {
                let (s, t) = (f64::from(s), f64::from(t));
                let rise = conservative_temperature(s, t + STEP_C) - conservative_temperature(s, t - STEP_C);
                let slope = UNIT_J_KG_K * rise / (2.0 * STEP_C);
                let error = (slope / heat_capacity_j_kg_k(s, t).unwrap() - 1.0).abs();
                if error > worst.0 {
                    worst = (error, s, t);
                }
            }
        }
        // Rounding of 30 °C over the step leaves 4e-12; the curvature of the curve 1e-11.
        assert!(worst.0 < 1e-10, "{worst:?}");
    }
}
