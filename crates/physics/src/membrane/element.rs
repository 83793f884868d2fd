//! An element as two conductances, from its rating.

use super::{
    error::MembraneError,
    limits::{FLOW_GIVEN, PRESSURE_GIVEN, RECOVERY, REJECTION, SALT_CONDUCTANCE, SOLIDS, WATER_CONDUCTANCE},
    temperature::TemperatureResponse,
    wall::{osmotic_slope, wall_factor_and_slope},
};

/// What is printed on an element: flow and rejection at a stated pressure, temperature, feed and recovery.
///
/// The pressure is that at the membrane, without back pressure; the drop along the channel isn't subtracted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rating {
    /// Product.
    pub permeate_flow_m3_s: f64,
    /// Gauge pressure of the feed.
    pub pressure_pa: f64,
    /// Temperature of the feed.
    pub temperature_c: f64,
    /// Dissolved solids of the feed.
    pub dissolved_solids_kg_m3: f64,
    /// Product over feed.
    pub recovery: f64,
    /// Nominal rejection, 1 less permeate over feed.
    pub rejection: f64,
}

/// An element, or several equal ones in parallel, at 25 °C or, after [`Element::at`], at another temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Area times water permeability, `A`.
    pub water_conductance_m3_s_pa: f64,
    /// Area times salt permeability, `B`.
    pub salt_conductance_m3_s: f64,
}

impl Element {
    /// Returns the element that meets its rating.
    ///
    /// # Errors
    /// [`MembraneError::RatingTooWeak`] when the pressure doesn't exceed osmosis; [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// Own derivation: `LONSDALE-1965` solved for the two conductances at the rating.
    ///
    /// # Examples
    /// ```
    /// use physics::membrane::{Element, Rating, TemperatureResponse};
    ///
    /// let rating = Rating {
    ///     permeate_flow_m3_s: 3.286e-6,
    ///     pressure_pa: 413_685.0,
    ///     temperature_c: 25.0,
    ///     dissolved_solids_kg_m3: 0.25,
    ///     recovery: 0.15,
    ///     rejection: 0.98,
    /// };
    /// let element = Element::from_rating(&rating, &TemperatureResponse::STANDARD)?;
    /// // 3.01 L/h per bar.
    /// assert!((element.water_conductance_m3_s_pa * 3.6e11 - 3.01).abs() < 0.01);
    /// # Ok::<(), physics::membrane::MembraneError>(())
    /// ```
    pub fn from_rating(rating: &Rating, response: &TemperatureResponse) -> Result<Self, MembraneError> {
        let flow = FLOW_GIVEN.require(rating.permeate_flow_m3_s)?;
        let pressure_pa = PRESSURE_GIVEN.require(rating.pressure_pa)?;
        let feed = SOLIDS.require(rating.dissolved_solids_kg_m3)?;
        let rejection = REJECTION.require(rating.rejection)?;
        let factor = response.factor(rating.temperature_c)?;
        let wall_share = wall_factor_and_slope(RECOVERY.require(rating.recovery)?).0;
        let permeate_share = 1.0 - rejection;
        // The wall's is 1 or more, the permeate's half at the most: their difference is never 0.
        let osmotic_pa = osmotic_slope(rating.temperature_c)? * feed * (wall_share - permeate_share);
        if pressure_pa <= osmotic_pa {
            return Err(MembraneError::RatingTooWeak {
                pressure_pa,
                osmotic_pa,
            });
        }
        let element = Self {
            water_conductance_m3_s_pa: flow / (factor * (pressure_pa - osmotic_pa)),
            salt_conductance_m3_s: flow * permeate_share / (wall_share - permeate_share) / factor,
        };
        element.check()?;
        Ok(element)
    }

    /// Returns `count` such elements side by side, lumped into one; a share of one for a smaller membrane.
    ///
    /// What becomes too large or isn't a number is refused where it's used.
    #[must_use]
    pub fn times(self, count: f64) -> Self {
        Self {
            water_conductance_m3_s_pa: self.water_conductance_m3_s_pa * count,
            salt_conductance_m3_s: self.salt_conductance_m3_s * count,
        }
    }

    /// Returns both conductances at a temperature.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`] for a temperature outside `0..=45` °C and for conductances that no element
    /// has.
    ///
    /// # Source
    /// `MEMBRANE-TCF`; that salt follows as water does is common practice, no source.
    pub fn at(&self, response: &TemperatureResponse, temperature_c: f64) -> Result<Self, MembraneError> {
        self.check()?;
        Ok(self.times(response.factor(temperature_c)?))
    }

    /// Refuses conductances that no element has.
    pub(super) fn check(&self) -> Result<(), MembraneError> {
        WATER_CONDUCTANCE.require(self.water_conductance_m3_s_pa)?;
        SALT_CONDUCTANCE.require(self.salt_conductance_m3_s)?;
        Ok(())
    }
}
