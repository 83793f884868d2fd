//! The normal distribution.

#![expect(
    clippy::excessive_precision,
    reason = "coefficients stand as published, so that they can be compared"
)]

use std::f64::consts::SQRT_2;

use crate::{OutOfRange, Range};

const PROBABILITY: Range = Range {
    quantity: "probability",
    unit: "",
    min: f64::MIN_POSITIVE,
    max: 1.0 - f64::EPSILON / 2.0,
    source_key: "WICHURA-1988",
};

/// Returns the standard normal deviate below which a probability lies.
///
/// Three pairs of polynomials of degree 7: one near the middle, two for the tails in `√(−ln p)`.
///
/// # Arguments
/// * `probability`: strictly between 0 and 1. Close to 1 the deviate is only as sharp as `1 − p` is; use the
///   symmetry and a small `p` there.
///
/// # Errors
/// [`OutOfRange`] for 0, 1, what lies outside, and NaN.
///
/// # Source
/// `WICHURA-1988`, algorithm AS 241, function PPND16: about 1 part in 10¹⁶.
///
/// # Examples
/// ```
/// use physics::stats::normal_quantile;
///
/// assert!((normal_quantile(0.975)? - 1.959_963_984_540_054).abs() < 1e-14);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn normal_quantile(probability: f64) -> Result<f64, OutOfRange> {
    let p = PROBABILITY.require(probability)?;
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return Ok(q * polynomial(&A, r) / polynomial(&B, r));
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-libm::log(tail)).sqrt();
    let size = if r <= 5.0 {
        polynomial(&C, r - 1.6) / polynomial(&D, r - 1.6)
    } else {
        polynomial(&E, r - 5.0) / polynomial(&F, r - 5.0)
    };
    Ok(if q < 0.0 { -size } else { size })
}

/// Returns the probability that a standard normal variable lies below a deviate, `erfc(−z/√2)/2`.
///
/// # Errors
/// [`OutOfRange`] for an infinite deviate and NaN.
///
/// # Source
/// Definition.
pub fn normal_cumulative(deviate: f64) -> Result<f64, OutOfRange> {
    const DEVIATE: Range = Range {
        quantity: "deviate",
        unit: "",
        min: -f64::MAX,
        max: f64::MAX,
        source_key: "DEFINITION",
    };
    Ok(0.5 * libm::erfc(-DEVIATE.require(deviate)? / SQRT_2))
}

fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * x + coefficient)
}

const A: [f64; 8] = [
    3.387_132_872_796_366_608,
    133.141_667_891_784_377_45,
    1_971.590_950_306_551_442_7,
    13_731.693_765_509_461_125,
    45_921.953_931_549_871_457,
    67_265.770_927_008_700_853,
    33_430.575_583_588_128_105,
    2_509.080_928_730_122_672_7,
];
const B: [f64; 8] = [
    1.0,
    42.313_330_701_600_911_252,
    687.187_007_492_057_908_3,
    5_394.196_021_424_751_107_7,
    21_213.794_301_586_595_867,
    39_307.895_800_092_710_61,
    28_729.085_735_721_942_674,
    5_226.495_278_852_854_561,
];
const C: [f64; 8] = [
    1.423_437_110_749_683_577_34,
    4.630_337_846_156_545_295_9,
    5.769_497_221_460_691_405_5,
    3.647_848_324_763_204_605_04,
    1.270_458_252_452_368_382_58,
    0.241_780_725_177_450_611_77,
    0.022_723_844_989_269_184_583_3,
    7.745_450_142_783_414_076_4e-4,
];
const D: [f64; 8] = [
    1.0,
    2.053_191_626_637_758_821_87,
    1.676_384_830_183_803_849_4,
    0.689_767_334_985_100_004_55,
    0.148_103_976_427_480_074_59,
    0.015_198_666_563_616_457_196_6,
    5.475_938_084_995_344_946e-4,
    1.050_750_071_644_416_843_24e-9,
];
const E: [f64; 8] = [
    6.657_904_643_501_103_777_2,
    5.463_784_911_164_114_369_9,
    1.784_826_539_917_291_335_8,
    0.296_560_571_828_504_891_23,
    0.026_532_189_526_576_123_093,
    0.001_242_660_947_388_078_438_6,
    2.711_555_568_743_487_578_15e-5,
    2.010_334_399_292_288_132_65e-7,
];
const F: [f64; 8] = [
    1.0,
    0.599_832_206_555_887_937_69,
    0.136_929_880_922_735_805_31,
    0.014_875_361_290_850_614_852_5,
    7.868_691_311_456_132_591e-4,
    1.846_318_317_510_054_681_8e-5,
    1.421_511_758_316_445_888_7e-7,
    2.044_263_103_389_939_785_64e-15,
];
