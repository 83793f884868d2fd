//! Flow, salt passage and pressure drop of a membrane brought to the conditions of a reference, so that ageing shows
//! and weather doesn't.

use super::{
    error::MembraneError,
    limits::{FLOW_GIVEN, PRESSURE, PRESSURE_GIVEN, SOLIDS, WALL_SOLIDS},
};
use crate::Range;

const FACTOR: Range = Range {
    quantity: "temperature factor",
    unit: "",
    min: 0.01,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
const PASSAGE: Range = Range {
    quantity: "salt passage",
    unit: "",
    min: 0.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// A set of conditions: those of a reading, or those of the reference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Product.
    pub permeate_m3_s: f64,
    /// Pressure that drives it.
    pub net_driving_pressure_pa: f64,
    /// Factor of temperature, [`TemperatureResponse::factor`](super::TemperatureResponse::factor), for water and
    /// for salt.
    pub temperature_factor: f64,
    /// Dissolved solids of the feed.
    pub feed_solids_kg_m3: f64,
    /// Mean dissolved solids on the feed side; with those of the permeate taken off the result is exact for the
    /// model, without it's good to the share of salt that passes.
    pub feed_side_solids_kg_m3: f64,
}

impl Conditions {
    fn check(&self) -> Result<(), MembraneError> {
        FLOW_GIVEN.require(self.permeate_m3_s)?;
        PRESSURE_GIVEN.require(self.net_driving_pressure_pa)?;
        FACTOR.require(self.temperature_factor)?;
        Ok(())
    }

    fn check_solids(&self) -> Result<(), MembraneError> {
        let least = Range { min: 1e-6, ..SOLIDS };
        least.require(self.feed_solids_kg_m3)?;
        Range {
            min: 1e-6,
            ..WALL_SOLIDS
        }
        .require(self.feed_side_solids_kg_m3)?;
        Ok(())
    }
}

/// Returns the product that a reading amounts to under the conditions of the reference.
///
/// # Arguments
/// * `now`: of the reading; its solids aren't used.
/// * `reference`: to be brought to; its product and solids aren't used.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `ASTM-D4516`: `Q·(p_ref/p)·(f_ref/f)`.
pub fn normalised_flow_m3_s(now: &Conditions, reference: &Conditions) -> Result<f64, MembraneError> {
    now.check()?;
    PRESSURE_GIVEN.require(reference.net_driving_pressure_pa)?;
    FACTOR.require(reference.temperature_factor)?;
    Ok(now.permeate_m3_s
        * (reference.net_driving_pressure_pa / now.net_driving_pressure_pa)
        * (reference.temperature_factor / now.temperature_factor))
}

/// Returns the salt passage that a reading amounts to under the conditions of the reference.
///
/// # Arguments
/// * `salt_passage`: permeate over feed, as read.
/// * `now`, `reference`: conditions of both.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `ASTM-D4516`: `SP·(Q/Q_ref)·(f_ref/f)·(Cfb_ref/Cfb)·(Cf/Cf_ref)`.
pub fn normalised_salt_passage(
    salt_passage: f64,
    now: &Conditions,
    reference: &Conditions,
) -> Result<f64, MembraneError> {
    for conditions in [now, reference] {
        conditions.check()?;
        conditions.check_solids()?;
    }
    Ok(PASSAGE.require(salt_passage)?
        * (now.permeate_m3_s / reference.permeate_m3_s)
        * (reference.temperature_factor / now.temperature_factor)
        * (reference.feed_side_solids_kg_m3 / now.feed_side_solids_kg_m3)
        * (now.feed_solids_kg_m3 / reference.feed_solids_kg_m3))
}

/// Returns the pressure drop along the feed side that a reading amounts to at the flow of the reference; it rises
/// when the channel clogs.
///
/// # Arguments
/// * `drop_pa`: from the feed's inlet to the reject's outlet, as read.
/// * `feed_side_m3_s`, `reference_feed_side_m3_s`: mean of feed and reject, at the reading and at the reference.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `ASTM-D4516`: `Δp·(Qfb_ref/Qfb)^1.5`, without a term for viscosity, so that colder water shows as some clogging.
/// [`operate`](super::operate()) reckons with a drop in proportion to the flow, so that its own drops at two flows
/// don't normalise to one.
pub fn normalised_drop_pa(
    drop_pa: f64,
    feed_side_m3_s: f64,
    reference_feed_side_m3_s: f64,
) -> Result<f64, MembraneError> {
    PRESSURE.require(drop_pa)?;
    let ratio = FLOW_GIVEN.require(reference_feed_side_m3_s)? / FLOW_GIVEN.require(feed_side_m3_s)?;
    Ok(drop_pa * (ratio * ratio.sqrt()))
}
