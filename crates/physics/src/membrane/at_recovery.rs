//! The working point at a given recovery, in closed form.

use super::{
    element::Element,
    error::MembraneError,
    limits::{RECOVERY_GIVEN, WALL_SOLIDS},
    operate::{Feed, Operating, permeate_at_wall},
    temperature::TemperatureResponse,
    wall::{osmotic_slope, wall_factor_and_slope},
};

/// Returns the working point when a valve keeps the recovery, without any resistance.
///
/// The pressure of the feed is that at the membrane, that of the permeate the whole back pressure. With the
/// recovery given the wall is known, and the product is the root of a quadratic.
///
/// # Arguments
/// * `element`: at 25 °C.
/// * `response`: of both conductances to temperature.
/// * `feed`: as in [`operate`](super::operate).
/// * `recovery`: `0.001..=0.9`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `LONSDALE-1965`, `ASTM-D4516`, `MEMBRANE-POLARISATION`.
pub fn at_recovery(
    element: &Element,
    response: &TemperatureResponse,
    feed: &Feed,
    recovery: f64,
) -> Result<Operating, MembraneError> {
    feed.check()?;
    RECOVERY_GIVEN.require(recovery)?;
    let warm = element.at(response, feed.temperature_c)?;
    let (water, salt) = (warm.water_conductance_m3_s_pa, warm.salt_conductance_m3_s);
    let slope = osmotic_slope(feed.temperature_c)?;
    let feed_solids = feed.dissolved_solids_kg_m3;
    let across_pa = feed.pressure_pa - feed.permeate_pressure_pa;
    // Where nothing is made nothing is rejected either: the wall is the feed's.
    let share = if across_pa > 0.0 { recovery } else { 0.0 };
    let wall = WALL_SOLIDS.require(feed_solids * wall_factor_and_slope(share).0)?;
    let permeate = if across_pa > 0.0 {
        permeate_at_wall(water, salt, 1.0, across_pa, slope * wall)
    } else {
        0.0
    };
    let permeate_solids = wall * (salt / (permeate + salt));
    Ok(Operating {
        permeate_m3_s: permeate,
        reject_m3_s: permeate * (1.0 - recovery) / recovery,
        recovery: share,
        membrane_pressure_pa: feed.pressure_pa,
        net_driving_pressure_pa: across_pa - slope * (wall - permeate_solids),
        wall_solids_kg_m3: wall,
        permeate_solids_kg_m3: permeate_solids,
        reject_solids_kg_m3: (feed_solids - share * permeate_solids) / (1.0 - share),
        evaluations: 0,
    })
}
