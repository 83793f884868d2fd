//! How both conductances of a membrane follow temperature.

use super::{error::MembraneError, limits::TEMPERATURE};
use crate::Range;

const CONSTANT: Range = Range {
    quantity: "temperature constant",
    unit: "K",
    min: 0.0,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const OUTPUT_AT_15_C: Range = Range {
    quantity: "output at 15 °C over that at 25 °C",
    unit: "",
    min: 0.5,
    max: 0.95,
    source_key: "HOUSE-RULE",
};

/// Where the two branches meet and the factor is 1.
const REFERENCE_C: f64 = 25.0;
/// Zero of the Celsius scale, rounded as the printed tables have it.
const ZERO_K: f64 = 273.0;

/// Temperature dependence of flow, `f = exp[U·(1/298 − 1/(273 + t))]`, 1 at 25 °C.
///
/// Water and salt are given the same factor, so that at a given pressure purity hardly changes with temperature.
///
/// # Source
/// `MEMBRANE-TCF`. Published tables differ by ±10 % in the cold, so that the constants are an input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TemperatureResponse {
    /// `U` below 25 °C.
    pub cold_constant_k: f64,
    /// `U` from 25 °C upwards.
    pub warm_constant_k: f64,
}

impl TemperatureResponse {
    /// The thin-film table that is printed most: 3020 K below 25 °C, 2640 K above.
    ///
    /// # Source
    /// `MEMBRANE-TCF`.
    pub const STANDARD: Self = Self {
        cold_constant_k: 3020.0,
        warm_constant_k: 2640.0,
    };

    /// Returns the response that leaves the given share of the output at 15 °C.
    ///
    /// The warm constant is scaled along, in the proportion of [`Self::STANDARD`].
    ///
    /// # Arguments
    /// * `share`: output at 15 °C over output at 25 °C, `0.5..=0.95`; printed tables give 0.68 to 0.73.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`].
    ///
    /// # Source
    /// Own derivation: `MEMBRANE-TCF` solved for `U`; that both constants scale alike is a guess of our own.
    pub fn from_output_at_15_c(share: f64) -> Result<Self, MembraneError> {
        OUTPUT_AT_15_C.require(share)?;
        let cold_constant_k = -libm::log(share) / (1.0 / (ZERO_K + 15.0) - 1.0 / (ZERO_K + REFERENCE_C));
        Ok(Self {
            cold_constant_k,
            warm_constant_k: cold_constant_k * Self::STANDARD.warm_constant_k
                / Self::STANDARD.cold_constant_k,
        })
    }

    /// Returns the flow at a temperature over that at 25 °C, at the same net driving pressure.
    ///
    /// # Arguments
    /// * `temperature_c`: `0..=45`; outside 5 to 35 °C an extrapolation.
    ///
    /// # Errors
    /// [`MembraneError::OutOfRange`] for the temperature and for constants outside `0..=10⁴` K.
    ///
    /// # Source
    /// `MEMBRANE-TCF`.
    ///
    /// # Examples
    /// ```
    /// use physics::membrane::TemperatureResponse;
    ///
    /// // The printed table divides by 1.422 at 15 °C.
    /// let factor = TemperatureResponse::STANDARD.factor(15.0)?;
    /// assert!((1.0 / factor - 1.422).abs() < 5e-4);
    /// # Ok::<(), physics::membrane::MembraneError>(())
    /// ```
    pub fn factor(&self, temperature_c: f64) -> Result<f64, MembraneError> {
        TEMPERATURE.require(temperature_c)?;
        let (cold_k, warm_k) = (
            CONSTANT.require(self.cold_constant_k)?,
            CONSTANT.require(self.warm_constant_k)?,
        );
        let constant_k = if temperature_c < REFERENCE_C {
            cold_k
        } else {
            warm_k
        };
        Ok(libm::exp(
            constant_k * (1.0 / (ZERO_K + REFERENCE_C) - 1.0 / (ZERO_K + temperature_c)),
        ))
    }
}
