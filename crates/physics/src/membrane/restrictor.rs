//! What the water has to pass besides the membrane: filters, channel, lines and the restrictor of the reject.

use super::{
    error::MembraneError,
    limits::{BORE, DENSITY, DISCHARGE, FLOW, FLOW_GIVEN, PRESSURE, PRESSURE_GIVEN, RESISTANCE, RESTRICTOR},
    operate::Feed,
};
use std::f64::consts::PI;

/// The restrictor in the reject line, a turbulent orifice: `Q = K·√p`.
///
/// At bores of about 1 mm a household restrictor runs at Reynolds numbers of 5000 to 19 000, so that its flow
/// doesn't follow viscosity and hardly falls in cold water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restrictor {
    /// `K`.
    pub conductance_m3_s_sqrt_pa: f64,
}

/// Linear resistances to flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistances {
    /// Filters before the membrane; carry all feed.
    pub feed_pa_s_m3: f64,
    /// Feed-to-concentrate drop by the mean flow in the channel.
    ///
    /// In truth it goes with about the 1.5th power of flow. It's a few hundredths of the pressure in a small
    /// element, and its flow varies little: a line through the usual flow is near enough, and keeps the reject
    /// in closed form.
    pub channel_pa_s_m3: f64,
    /// Resin and lines behind the membrane; carry the product.
    pub permeate_pa_s_m3: f64,
}

impl Resistances {
    /// Nothing in the way.
    pub const NONE: Self = Self {
        feed_pa_s_m3: 0.0,
        channel_pa_s_m3: 0.0,
        permeate_pa_s_m3: 0.0,
    };

    /// Refuses resistances that aren't any.
    pub(super) fn check(&self) -> Result<(), MembraneError> {
        RESISTANCE.require(self.feed_pa_s_m3)?;
        RESISTANCE.require(self.channel_pa_s_m3)?;
        RESISTANCE.require(self.permeate_pa_s_m3)?;
        Ok(())
    }
}

impl Restrictor {
    /// Returns the restrictor that passes a flow at a pressure.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// `ORIFICE`.
    pub fn from_rated(flow_m3_s: f64, pressure_pa: f64) -> Result<Self, MembraneError> {
        let conductance = FLOW_GIVEN.require(flow_m3_s)? / PRESSURE_GIVEN.require(pressure_pa)?.sqrt();
        Ok(Self {
            conductance_m3_s_sqrt_pa: RESTRICTOR.require(conductance)?,
        })
    }

    /// Returns the restrictor of a bore, `K = C·(π/4)·d²·√(2/ρ)`.
    ///
    /// # Arguments
    /// * `bore_m`: `d`, `10⁻⁵..=0.1`.
    /// * `discharge_coefficient`: `C`, `0.1..=1`; 0.60 to 0.65 for a sharp edge.
    /// * `density_kg_m3`: `ρ`, `900..=1100`.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// `ORIFICE`.
    pub fn from_bore(
        bore_m: f64,
        discharge_coefficient: f64,
        density_kg_m3: f64,
    ) -> Result<Self, MembraneError> {
        let bore = BORE.require(bore_m)?;
        let area = PI / 4.0 * bore * bore;
        let root = (2.0 / DENSITY.require(density_kg_m3)?).sqrt();
        Ok(Self {
            conductance_m3_s_sqrt_pa: DISCHARGE.require(discharge_coefficient)? * area * root,
        })
    }

    /// Returns the flow at a pressure across it.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// `ORIFICE`.
    pub fn flow_m3_s(&self, pressure_pa: f64) -> Result<f64, MembraneError> {
        self.check()?;
        Ok(self.conductance_m3_s_sqrt_pa * PRESSURE.require(pressure_pa)?.sqrt())
    }

    /// Refuses a restrictor that isn't any.
    pub(super) fn check(&self) -> Result<(), MembraneError> {
        RESTRICTOR.require(self.conductance_m3_s_sqrt_pa)?;
        Ok(())
    }
}

/// Returns the reject beside a product; 0 when the product takes all pressure.
///
/// # Arguments
/// * `restrictor`, `resistances`, `feed`: as in [`operate`](super::operate); of the feed only its pressure counts.
/// * `permeate_m3_s`: product.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// Own derivation: `ORIFICE` behind linear resistances is a quadratic in the reject.
pub fn reject_for(
    restrictor: &Restrictor,
    resistances: &Resistances,
    feed: &Feed,
    permeate_m3_s: f64,
) -> Result<f64, MembraneError> {
    restrictor.check()?;
    resistances.check()?;
    PRESSURE.require(feed.pressure_pa)?;
    FLOW.require(permeate_m3_s)?;
    Ok(reject_and_slope(restrictor, resistances, feed.pressure_pa, permeate_m3_s).0)
}

/// As [`reject_for`], with its slope by the product and without a check.
pub(super) fn reject_and_slope(
    restrictor: &Restrictor,
    resistances: &Resistances,
    pressure_pa: f64,
    permeate_m3_s: f64,
) -> (f64, f64) {
    // (Qr/K)² + b·Qr = p − a·Qp, written so that no difference of like numbers occurs.
    let a = resistances.feed_pa_s_m3 + resistances.channel_pa_s_m3 / 2.0;
    let b = resistances.feed_pa_s_m3 + resistances.channel_pa_s_m3;
    let left = pressure_pa - a * permeate_m3_s;
    if left <= 0.0 {
        return (0.0, 0.0);
    }
    let root = root_behind(restrictor, b, left);
    (2.0 * left / (b + root), -a / root)
}

/// The flow through a restrictor behind a resistance, by the pressure before both.
pub(super) fn reject_behind(restrictor: &Restrictor, resistance_pa_s_m3: f64, pressure_pa: f64) -> f64 {
    if pressure_pa <= 0.0 {
        return 0.0;
    }
    2.0 * pressure_pa / (resistance_pa_s_m3 + root_behind(restrictor, resistance_pa_s_m3, pressure_pa))
}

/// Root of the discriminant of `(Q/K)² + b·Q = p`.
fn root_behind(restrictor: &Restrictor, resistance_pa_s_m3: f64, pressure_pa: f64) -> f64 {
    let k2 = restrictor.conductance_m3_s_sqrt_pa * restrictor.conductance_m3_s_sqrt_pa;
    (resistance_pa_s_m3 * resistance_pa_s_m3 + 4.0 * pressure_pa / k2).sqrt()
}
