//! The feed pressure that a wanted product takes.

use super::{
    element::Element,
    error::MembraneError,
    limits::{FLOW_GIVEN, PRESSURE, RECOVERY},
    operate::Feed,
    restrictor::{Resistances, Restrictor},
    temperature::TemperatureResponse,
    wall::{osmotic_slope, wall_factor_and_slope},
};
use crate::numerics::bracketed_root;

/// Tolerance of the reject as a share of the largest it could be.
const TOLERANCE: f64 = 1e-14;

/// Returns the least feed pressure that makes a product: the inverse of [`operate`](super::operate).
///
/// # Arguments
/// * `element`, `restrictor`, `resistances`, `response`: as in [`operate`](super::operate).
/// * `feed`: its pressure is ignored.
/// * `wanted_permeate_m3_s`: product.
///
/// # Errors
/// [`MembraneError::RecoveryBeyond`] when the restrictor would pass less than a ninth of the product;
/// [`MembraneError::PressureBeyond`] above 20 bar; [`MembraneError::OutOfRange`].
///
/// # Source
/// Own derivation: for a given product the net driving pressure rises strictly with the reject, and the reject
/// gives the pressure of the feed.
pub fn least_pressure_pa(
    element: &Element,
    restrictor: &Restrictor,
    resistances: &Resistances,
    response: &TemperatureResponse,
    feed: &Feed,
    wanted_permeate_m3_s: f64,
) -> Result<f64, MembraneError> {
    Feed {
        pressure_pa: 0.0,
        ..*feed
    }
    .check()?;
    restrictor.check()?;
    resistances.check()?;
    let permeate = FLOW_GIVEN.require(wanted_permeate_m3_s)?;
    let warm = element.at(response, feed.temperature_c)?;
    let k = restrictor.conductance_m3_s_sqrt_pa;
    let channel = resistances.channel_pa_s_m3;
    let salt = warm.salt_conductance_m3_s;
    let osmotic_pa =
        osmotic_slope(feed.temperature_c)? * feed.dissolved_solids_kg_m3 * permeate / (permeate + salt);
    let needed_pa = permeate / warm.water_conductance_m3_s_pa
        + feed.permeate_pressure_pa
        + resistances.permeate_pa_s_m3 * permeate;

    let surplus_pa = |reject: f64| {
        let at_membrane_pa = (reject / k) * (reject / k) + channel / 2.0 * (reject + permeate / 2.0);
        let recovery = permeate / (permeate + reject);
        at_membrane_pa - needed_pa - osmotic_pa * wall_factor_and_slope(recovery).0
    };
    let least = permeate * (1.0 - RECOVERY.max) / RECOVERY.max;
    if surplus_pa(least) > 0.0 {
        return Err(MembraneError::RecoveryBeyond { most: RECOVERY.max });
    }
    // There the restrictor alone would keep up the pressure, with the saltiest wall.
    let saltiest = wall_factor_and_slope(RECOVERY.max).0;
    let most = (1.0 + 1e-9) * k * (needed_pa + osmotic_pa * saltiest).sqrt();
    let reject = bracketed_root(
        surplus_pa,
        least,
        most.max(2.0 * least),
        TOLERANCE * most.max(2.0 * least),
    )?
    .x;
    let pressure_pa = (reject / k) * (reject / k)
        + channel * (reject + permeate / 2.0)
        + resistances.feed_pa_s_m3 * (reject + permeate);
    if pressure_pa > PRESSURE.max {
        return Err(MembraneError::PressureBeyond {
            permeate_m3_s: permeate,
            needed_pa: pressure_pa,
            most_pa: PRESSURE.max,
        });
    }
    Ok(pressure_pa)
}
