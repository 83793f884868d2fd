//! Heat capacity at one atmosphere.

use super::{
    absolute_salinity::ABSOLUTE_PER_PRACTICAL_G_KG,
    limits::{PRACTICAL_SALINITY, TEMPERATURE},
    thermal_equation::{SALINITY_SCALE_KG_G, horner},
};
use crate::OutOfRange;

/// Returns the isobaric heat capacity of sea water at one atmosphere, in J/(kg·K).
///
/// `c_p = -T · ∂²g/∂T²` of the Gibbs function `g`.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
/// * `temperature_c`: `-2..=40`.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
///
/// # Source
/// `TEOS-10-2010` equation 2.20.1 and the coefficients of its appendices G and H at sea pressure 0.
///
/// # Examples
/// ```
/// use physics::seawater::heat_capacity_j_kg_k;
///
/// let sea = heat_capacity_j_kg_k(35.0, 25.0)?;
/// assert!((3990.0..4010.0).contains(&sea));
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn heat_capacity_j_kg_k(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    PRACTICAL_SALINITY.require(practical_salinity)?;
    TEMPERATURE.require(temperature_c)?;

    let x2 = SALINITY_SCALE_KG_G * ABSOLUTE_PER_PRACTICAL_G_KG * practical_salinity;
    let x = x2.sqrt();
    let y = temperature_c * 0.025;

    let pure = horner(
        y,
        [
            -24_715.571_866_078,
            4_420.447_224_909_672_5,
            -1_778.231_237_203_896,
            1_160.518_251_685_141_9,
            -569.531_539_542_516,
            128.134_291_524_946_15,
        ],
    );
    let second = horner(
        y,
        [
            1_760.062_705_994_408,
            -1_351.605_895_580_406,
            1_097.112_537_301_510_9,
            -433.206_481_750_622_06,
            63.905_091_254_154_904,
        ],
    );
    let third = horner(y, [-86.132_935_195_608_4, -60.136_422_517_125, 10.507_207_941_707_34]);
    let fourth = horner(
        y,
        [
            -137.114_501_840_898_2,
            296.200_616_913_752_36,
            -205.677_092_903_745_63,
            49.939_401_913_901_6,
        ],
    );
    let curvature = (pure + x2 * horner(x, [second, third, fourth])) * 0.000_625;
    Ok(-(temperature_c + 273.15) * curvature)
}
