//! The slow stop of a float valve: water tapers off while salt goes on passing.

use super::{
    error::MembraneError,
    limits::{FLOW, FLOW_GIVEN, SALT_CONDUCTANCE, VOLUME, WALL_SOLIDS},
};
use crate::Range;

const SHARE: Range = Range {
    quantity: "share of the product left when the shut-off valve closes",
    unit: "",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// A float valve that throttles the permeate over a band at the top of the vessel, until the shut-off valve closes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FloatStop {
    /// Volume of the vessel over which the float goes from open to closed.
    pub band_m3: f64,
    /// Product below the band.
    pub full_flow_m3_s: f64,
    /// Share of that product which is left when the shut-off valve closes;
    /// [`closing_share`](super::shut_off::closing_share).
    pub closing_share: f64,
}

impl FloatStop {
    /// Returns the time from the lower end of the band until the shut-off valve closes, `Vb/Q₀·ln(1/s)`.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`]; a share below 10⁻⁹ stands for a valve that never closes, and is refused.
    ///
    /// # Source
    /// Own derivation: the product falls in proportion to what the band still takes, `dV/dt = Q₀·(1 − V/Vb)`.
    pub fn throttle_time_s(&self) -> Result<f64, MembraneError> {
        self.check()?;
        Ok(-self.band_m3 / self.full_flow_m3_s * libm::log(self.closing_share))
    }

    /// Returns the volume made in that time, `Vb·(1 − s)`.
    ///
    /// # Errors
    /// As [`Self::throttle_time_s`].
    ///
    /// # Source
    /// As [`Self::throttle_time_s`].
    pub fn made_in_band_m3(&self) -> Result<f64, MembraneError> {
        self.check()?;
        Ok(self.band_m3 * (1.0 - self.closing_share))
    }

    /// Returns the salt that passes in that time, `B·c·t`.
    ///
    /// # Arguments
    /// * `salt_conductance_m3_s`: `B`, at the temperature of the feed.
    /// * `feed_side_kg_m3`: `c`, mean of the feed side less the permeate. The permeate is small beside it, so that
    ///   leaving it in gives a little too much.
    ///
    /// # Errors
    /// As [`Self::throttle_time_s`].
    ///
    /// # Source
    /// `LONSDALE-1965`: the flux of salt doesn't depend on that of water.
    pub fn salt_in_band_kg(
        &self,
        salt_conductance_m3_s: f64,
        feed_side_kg_m3: f64,
    ) -> Result<f64, MembraneError> {
        let salt = SALT_CONDUCTANCE.require(salt_conductance_m3_s)?;
        Ok(salt * WALL_SOLIDS.require(feed_side_kg_m3)? * self.throttle_time_s()?)
    }

    /// Returns the reject in that time.
    ///
    /// # Arguments
    /// * `reject_m3_s`: it hardly falls while the product does.
    ///
    /// # Errors
    /// As [`Self::throttle_time_s`].
    ///
    /// # Source
    /// Definition.
    pub fn reject_in_band_m3(&self, reject_m3_s: f64) -> Result<f64, MembraneError> {
        Ok(FLOW.require(reject_m3_s)? * self.throttle_time_s()?)
    }

    fn check(&self) -> Result<(), MembraneError> {
        VOLUME.require(self.band_m3)?;
        FLOW_GIVEN.require(self.full_flow_m3_s)?;
        SHARE.require(self.closing_share)?;
        Ok(())
    }
}

/// Returns the mean permeate of a float without a shut-off valve, which lets through only what is drawn:
/// `B·c/(q + B)`.
///
/// # Arguments
/// * `salt_conductance_m3_s`: `B`, at the temperature of the feed.
/// * `feed_side_kg_m3`: `c`, mean of the feed side.
/// * `drawn_m3_s`: `q`, mean need.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `LONSDALE-1965`, with the product equal to the need.
pub fn throttled_forever_kg_m3(
    salt_conductance_m3_s: f64,
    feed_side_kg_m3: f64,
    drawn_m3_s: f64,
) -> Result<f64, MembraneError> {
    super::wall::permeate_solids_kg_m3(salt_conductance_m3_s, feed_side_kg_m3, drawn_m3_s)
}
