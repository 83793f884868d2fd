//! Density at the surface by TEOS-10, and back.

use super::absolute_salinity::absolute_salinity_g_kg;
use crate::{OutOfRange, Range, numerics::bracketed_newton};

/// Practical salinity for which density is given.
pub const DENSITY_SALINITY: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 42.0,
    source_key: "TEOS-10-2010",
};
/// Temperature for which density is given.
pub const DENSITY_TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 40.0,
    source_key: "TEOS-10-2010",
};

/// Practical salinity by which an inverted density may be off: what rounding of the density itself leaves.
const INVERSION_TOLERANCE: f64 = 1e-12;

/// 1/(40 × 35.16504/35): makes absolute salinity dimensionless (`TEOS-10-2010` appendix H).
const SALINITY_SCALE: f64 = 0.024_882_667_558_461_5;
/// 24 g/kg on that scale: the shift under the root in `ROQUET-2015`.
const SALINITY_SHIFT: f64 = 5.971_840_214_030_754e-1;
/// Heat capacity that defines conservative temperature, J/(kg K).
const CP0_J_KG_K: f64 = 3_991.867_957_119_63;

/// Density of sea water at its temperature and no sea pressure, in kg/m³.
///
/// Conservative temperature from `TEOS-10-2010` appendix A.11, then the 75-term polynomial of `ROQUET-2015`
/// (table C1) with its pressure terms left out, which are zero here.
///
/// Range: practical salinity 0 to 42, −2 to 40 °C (ITS-90).
///
/// # Errors
/// [`OutOfRange`] outside the range, and for NaN.
///
/// ```
/// let density = physics::seawater::density_kg_m3(35.0, 25.0)?;
/// assert!((density - 1023.343_6).abs() < 1e-3);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
#[inline]
pub fn density_kg_m3(practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    DENSITY_SALINITY.require(practical_salinity)?;
    DENSITY_TEMPERATURE.require(temperature_c)?;
    Ok(density_unchecked(practical_salinity, temperature_c))
}

/// Density of pure water, in kg/m³: [`density_kg_m3`] at salinity 0.
///
/// # Errors
/// [`OutOfRange`] outside −2 to 40 °C.
pub fn pure_water_density_kg_m3(temperature_c: f64) -> Result<f64, OutOfRange> {
    density_kg_m3(0.0, temperature_c)
}

/// Practical salinity of water of this density and temperature; the inverse of [`density_kg_m3`].
///
/// # Errors
/// [`OutOfRange`] where the density isn't that of water between salinity 0 and 42 at this temperature (its
/// [`Range`] then carries the limits there), outside −2 to 40 °C, and for NaN.
///
/// ```
/// use physics::seawater::{density_kg_m3, practical_salinity_from_density};
///
/// let salinity = practical_salinity_from_density(density_kg_m3(35.0, 25.0)?, 25.0)?;
/// assert!((salinity - 35.0).abs() < 1e-9);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity_from_density(density_kg_m3: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
    practical_salinity_from_share(
        "density at this temperature",
        "kg/m³",
        density_kg_m3,
        1.0,
        temperature_c,
    )
}

/// As [`practical_salinity_from_density`], for a density told in units of another one; a refusal is told in the
/// same units, so that rounding can't refuse what the forward direction gave.
pub(crate) fn practical_salinity_from_share(
    quantity: &'static str,
    unit: &'static str,
    share: f64,
    unit_kg_m3: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    DENSITY_TEMPERATURE.require(temperature_c)?;
    let at = |salinity| density_unchecked(salinity, temperature_c) / unit_kg_m3;
    let (fresh, saltiest) = (DENSITY_SALINITY.min, DENSITY_SALINITY.max);
    let range = Range {
        quantity,
        unit,
        min: at(fresh),
        max: at(saltiest),
        source_key: "TEOS-10-2010",
    };
    range.require(share)?;

    // Nearly a straight line, so the chord gives a fair guess and a slope that serves for every step.
    let slope = (range.max - range.min) / (saltiest - fresh);
    let misses = |salinity: f64| (at(salinity) - share, slope);
    let guess = (share - range.min) / slope;
    let root = bracketed_newton(misses, fresh, saltiest, guess, INVERSION_TOLERANCE);
    Ok(root
        .expect("density grows with salinity, and the range was required above")
        .x)
}

#[inline]
pub(super) fn density_unchecked(practical_salinity: f64, temperature_c: f64) -> f64 {
    let scaled = SALINITY_SCALE * absolute_salinity_g_kg(practical_salinity);
    let conservative_temperature_c = conservative_temperature_c(scaled, temperature_c);
    1.0 / specific_volume_m3_kg(scaled, conservative_temperature_c)
}

/// Conservative temperature of water at the surface; `x2` is the scaled salinity.
#[inline]
fn conservative_temperature_c(x2: f64, temperature_c: f64) -> f64 {
    let x = x2.sqrt();
    let y = temperature_c * 0.025;
    let pure = 61.013_624_206_810_71
        + y * (168_776.461_380_480_15
            + y * (-2_735.278_560_511_962_5
                + y * (2_574.216_445_382_143_3
                    + y * (-1_536.664_443_497_754_3
                        + y * (545.734_049_793_162_9
                            + (-50.910_917_284_743_31 - 18.304_898_789_278_02 * y) * y)))));
    let saline = 268.552_026_584_507_1
        + y * (-12_019.028_203_559_312
            + y * (3_734.858_026_725_145
                + y * (-2_046.767_114_505_761_8
                    + y * (465.286_556_238_262_34
                        + (-0.637_082_030_237_635_9 - 10.650_848_542_359_153 * y) * y))))
        + x * (937.209_911_062_070_7
            + y * (588.180_281_217_010_8
                + y * (248.394_765_229_712_85 + (-3.871_557_904_936_333 - 2.626_801_985_426_835_6 * y) * y))
            + x * (-1_687.914_374_187_449
                + x * (246.959_888_878_137_7 + x * (123.595_765_824_579_64 - 48.589_106_902_540_9 * x))
                + y * (936.320_654_446_033_6
                    + y * (-942.782_730_454_443_9
                        + y * (369.438_943_750_900_2
                            + (-33.836_649_478_952_48 - 9.987_880_382_780_322 * y) * y)))));
    (pure + x2 * saline) / CP0_J_KG_K
}

/// The 28 terms of `ROQUET-2015` without pressure.
#[inline]
fn specific_volume_m3_kg(scaled_salinity: f64, conservative_temperature_c: f64) -> f64 {
    let x = (scaled_salinity + SALINITY_SHIFT).sqrt();
    let y = conservative_temperature_c * 0.025;
    1.076_999_586_2e-3
        + x * (-3.103_898_197_6e-4
            + x * (6.692_806_703_8e-4
                + x * (-8.504_793_393_7e-4
                    + x * (5.808_606_994_3e-4 + x * (-2.109_237_050_7e-4 + 3.193_245_730_5e-5 * x)))))
        + y * (-1.564_973_467_5e-5
            + x * (3.500_959_976_4e-5
                + x * (-4.359_267_856_1e-5
                    + x * (3.453_246_182_8e-5 + x * (-1.195_940_978_8e-5 + 1.386_459_458_1e-6 * x))))
            + y * (2.776_210_648_4e-5
                + x * (-3.743_584_234_4e-5
                    + x * (3.590_782_276_0e-5 + x * (-1.869_858_418_7e-5 + 3.859_533_924_4e-6 * x)))
                + y * (-1.652_115_925_9e-5
                    + x * (2.414_147_948_3e-5 + x * (-1.435_363_304_8e-5 + 2.286_332_455_6e-6 * x))
                    + y * (6.911_132_270_2e-6
                        + x * (-8.759_587_315_4e-6 + 4.370_368_059_8e-6 * x)
                        + y * (-8.053_961_554_0e-7 - 3.305_275_890_0e-7 * x + 2.054_309_426_8e-7 * y)))))
}

/// Conservative temperature at the surface, for the freezing point.
pub(super) fn conservative_temperature(practical_salinity: f64, temperature_c: f64) -> f64 {
    conservative_temperature_c(
        SALINITY_SCALE * absolute_salinity_g_kg(practical_salinity),
        temperature_c,
    )
}
