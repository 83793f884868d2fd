//! The valve that closes the feed when the permeate presses back, and opens it again when the pressure is gone.

use super::{
    error::MembraneError,
    limits::{PRESSURE, PRESSURE_GIVEN},
};
use crate::Range;

const RATIO: Range = Range {
    quantity: "ratio of permeate to feed pressure",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// A hydraulic shut-off valve by its two ratios of permeate to feed pressure.
///
/// # Source
/// Common practice, no source: sound valves close at 0.65 to 0.67.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShutOff {
    /// Permeate over feed pressure at which it closes.
    pub closing_ratio: f64,
    /// Permeate over feed pressure at which it reopens, below the other.
    pub reopening_ratio: f64,
}

impl ShutOff {
    /// Returns the permeate pressures at which the valve closes and reopens.
    ///
    /// # Errors
    /// [`MembraneError::NoHysteresis`]; [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// Definition.
    pub fn pressures_pa(&self, feed_pressure_pa: f64) -> Result<(f64, f64), MembraneError> {
        self.check()?;
        PRESSURE.require(feed_pressure_pa)?;
        Ok((
            self.closing_ratio * feed_pressure_pa,
            self.reopening_ratio * feed_pressure_pa,
        ))
    }

    /// Returns the share of the full product that still flows when the valve closes.
    ///
    /// # Errors
    /// As [`closing_share`]; [`MembraneError::NoHysteresis`].
    ///
    /// # Source
    /// As [`closing_share`].
    pub fn closing_share(&self, feed_pressure_pa: f64, osmotic_pa: f64) -> Result<f64, MembraneError> {
        self.check()?;
        closing_share(self.closing_ratio, feed_pressure_pa, osmotic_pa)
    }

    fn check(&self) -> Result<(), MembraneError> {
        RATIO.require(self.closing_ratio)?;
        RATIO.require(self.reopening_ratio)?;
        if self.reopening_ratio >= self.closing_ratio {
            return Err(MembraneError::NoHysteresis {
                closing_ratio: self.closing_ratio,
                reopening_ratio: self.reopening_ratio,
            });
        }
        Ok(())
    }
}

/// Returns the share of the full product that still flows when the permeate reaches a ratio of the feed pressure,
/// `1 − r/(1 − π/p)`.
///
/// # Arguments
/// * `closing_ratio`: `r`, `0..=1`.
/// * `feed_pressure_pa`: `p`.
/// * `osmotic_pa`: `π`, difference across the membrane, taken as constant.
///
/// # Errors
/// [`MembraneError::NeverCloses`] when osmosis holds the product back before that ratio is reached;
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// Own derivation: the product goes with `p − p_permeate − π`.
pub fn closing_share(
    closing_ratio: f64,
    feed_pressure_pa: f64,
    osmotic_pa: f64,
) -> Result<f64, MembraneError> {
    let ratio = RATIO.require(closing_ratio)?;
    let stops_at = 1.0 - PRESSURE.require(osmotic_pa)? / PRESSURE_GIVEN.require(feed_pressure_pa)?;
    if ratio >= stops_at {
        return Err(MembraneError::NeverCloses {
            closing_ratio: ratio,
            stops_at,
        });
    }
    Ok(1.0 - ratio / stops_at)
}
