//! Flow coefficients, loss coefficients and measured drops, each from the other.

use std::f64::consts::PI;

use super::limits::{BORE, LOSS, SOME_LOSS};
use crate::{OutOfRange, Range};

/// Kv of a valve with a Cv of one: `gal·60·√(bar/psi)`, in m³/h.
///
/// From a US gallon of 3.785411784 L and a pound-force per square inch of 6894.757293168 Pa, both exact by their
/// definitions. That Cv is stated with water of 60 °F, whose density is 0.1 % below 1000 kg/m³, isn't counted, as
/// in the standard.
///
/// Source: `DEFINITION`; the standard, `IEC-60534`, rounds it to 0.865.
pub const KV_PER_CV: f64 = 0.864_977_655_442_301_8;

/// Density of the water that defines Kv.
///
/// Source: `IEC-60534`, read in a public page of a handbook.
pub const KV_DENSITY_KG_M3: f64 = 1000.0;

const KV_DROP_PA: f64 = 1e5;
const SECONDS_PER_HOUR: f64 = 3600.0;

/// From a capillary to more than any pipe here passes.
const KV: Range = Range {
    quantity: "flow coefficient Kv",
    unit: "m³/h",
    min: 1e-6,
    max: 1e5,
    source_key: "HOUSE-RULE",
};
/// As for Kv.
const CV: Range = Range {
    quantity: "flow coefficient Cv",
    unit: "US gal/min",
    min: 1e-6,
    max: 1e5,
    source_key: "HOUSE-RULE",
};
/// Below a hundredth of a pascal nothing reads; above 100 bar nothing here stands.
const DROP: Range = Range {
    quantity: "pressure drop of the part",
    unit: "Pa",
    min: 1e-2,
    max: 1e7,
    source_key: "HOUSE-RULE",
};
const FLOW: Range = Range {
    quantity: "flow through the part",
    unit: "m³/s",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// From hot fresh water to brine.
const DENSITY: Range = Range {
    quantity: "density of the water",
    unit: "kg/m³",
    min: 900.0,
    max: 1300.0,
    source_key: "HOUSE-RULE",
};

/// Kv of a valve from its Cv: water in m³/h at 1 bar, from US gallons a minute at 1 psi.
///
/// # Errors
/// [`OutOfRange`] outside `1e-6..=1e5`, for either.
///
/// # Source
/// `DEFINITION`, by [`KV_PER_CV`].
pub fn kv_from_cv(cv_us_gal_min: f64) -> Result<f64, OutOfRange> {
    KV.require(CV.require(cv_us_gal_min)? * KV_PER_CV)
}

/// Cv of a valve from its Kv, the inverse of [`kv_from_cv`].
///
/// # Errors
/// [`OutOfRange`] outside `1e-6..=1e5`, for either.
///
/// # Source
/// `DEFINITION`, by [`KV_PER_CV`].
pub fn cv_from_kv(kv_m3_h: f64) -> Result<f64, OutOfRange> {
    CV.require(KV.require(kv_m3_h)? / KV_PER_CV)
}

/// Loss coefficient of a valve on a bore, K, from its Kv: `2·A²·Δp/(ρ·Q²)` at 1 bar and 1000 kg/m³.
///
/// # Arguments
/// * `kv_m3_h`: Kv, `1e-6..=1e5`.
/// * `bore_m`: inner diameter of the line on which K shall stand, `1e-3..=0.3`. It needn't be that of the valve.
///
/// # Errors
/// [`OutOfRange`], also for a K beyond `1e-6..=1e12`.
///
/// # Source
/// `DEFINITION` of both; `IEC-60534`, from memory.
///
/// # Examples
/// ```
/// use physics::hydraulics::parts::loss_from_kv;
///
/// let valve = loss_from_kv(10.0, 0.020)?;
/// assert!((valve - 2.558).abs() < 1e-3);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn loss_from_kv(kv_m3_h: f64, bore_m: f64) -> Result<f64, OutOfRange> {
    let velocity_m_s = KV.require(kv_m3_h)? / SECONDS_PER_HOUR / area_m2(bore_m)?;
    SOME_LOSS.require(KV_DROP_PA / dynamic_pressure_pa(KV_DENSITY_KG_M3, velocity_m_s))
}

/// Kv of a part from its loss coefficient on a bore, in m³/h, the inverse of [`loss_from_kv`].
///
/// # Errors
/// [`OutOfRange`] for K outside `1e-6..=1e12`, a bore outside `1e-3..=0.3`, a Kv outside `1e-6..=1e5`.
///
/// # Source
/// As [`loss_from_kv`].
pub fn kv_from_loss(loss: f64, bore_m: f64) -> Result<f64, OutOfRange> {
    let velocity_m_s =
        (KV_DROP_PA / dynamic_pressure_pa(KV_DENSITY_KG_M3, 1.0) / SOME_LOSS.require(loss)?).sqrt();
    KV.require(velocity_m_s * area_m2(bore_m)? * SECONDS_PER_HOUR)
}

/// The same loss coefficient, stated on another bore: `K·(D/d)⁴` from d to D.
///
/// # Arguments
/// * `loss`: K on d, `0..=1e12`.
/// * `from_bore_m`, `to_bore_m`: d and D, `1e-3..=0.3`.
///
/// # Errors
/// [`OutOfRange`], also for a result beyond 10¹².
///
/// # Source
/// Own derivation: the same pressure drop at the same flow.
pub fn loss_at_other_bore(loss: f64, from_bore_m: f64, to_bore_m: f64) -> Result<f64, OutOfRange> {
    let ratio = BORE.require(to_bore_m)? / BORE.require(from_bore_m)?;
    let square = ratio * ratio;
    LOSS.require(LOSS.require(loss)? * square * square)
}

/// Loss coefficient of a part by one's own gauges: `2·A²·Δp/(ρ·Q²)`.
///
/// It is the loss at that flow, whatever the Reynolds number: measure near the flow that matters.
///
/// # Arguments
/// * `drop_pa`: Δp, `1e-2..=1e7`, less what the tube between the gauges costs.
/// * `flow_m3_s`: Q, `1e-9..=1`.
/// * `density_kg_m3`: ρ of the water measured with, `900..=1300`.
/// * `bore_m`: inner diameter on which K shall stand, `1e-3..=0.3`.
///
/// # Errors
/// [`OutOfRange`], also for a K beyond `1e-6..=1e12`.
///
/// # Source
/// `DEFINITION`.
pub fn loss_from_drop(
    drop_pa: f64,
    flow_m3_s: f64,
    density_kg_m3: f64,
    bore_m: f64,
) -> Result<f64, OutOfRange> {
    let velocity_m_s = FLOW.require(flow_m3_s)? / area_m2(bore_m)?;
    SOME_LOSS
        .require(DROP.require(drop_pa)? / dynamic_pressure_pa(DENSITY.require(density_kg_m3)?, velocity_m_s))
}

/// Pressure drop of a part at a flow, in Pa, the inverse of [`loss_from_drop`].
///
/// # Errors
/// [`OutOfRange`] for K outside `0..=1e12` and for the others as in [`loss_from_drop`], the drop excepted: any
/// that follows is given.
///
/// # Source
/// `DEFINITION`.
pub fn drop_from_loss_pa(
    loss: f64,
    flow_m3_s: f64,
    density_kg_m3: f64,
    bore_m: f64,
) -> Result<f64, OutOfRange> {
    let velocity_m_s = FLOW.require(flow_m3_s)? / area_m2(bore_m)?;
    Ok(LOSS.require(loss)? * dynamic_pressure_pa(DENSITY.require(density_kg_m3)?, velocity_m_s))
}

fn area_m2(bore_m: f64) -> Result<f64, OutOfRange> {
    let bore_m = BORE.require(bore_m)?;
    Ok(PI / 4.0 * bore_m * bore_m)
}

fn dynamic_pressure_pa(density_kg_m3: f64, velocity_m_s: f64) -> f64 {
    0.5 * density_kg_m3 * velocity_m_s * velocity_m_s
}
