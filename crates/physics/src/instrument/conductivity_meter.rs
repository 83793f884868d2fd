//! The conductivity meter that compensates to 25 °C along a straight line.

use crate::{
    OutOfRange, Range,
    seawater::{conductivity_s_m, practical_salinity},
};

/// Temperature to which such meters compensate.
const REFERENCE_C: f64 = 25.0;

/// End of the practical scale.
const SALTIEST: f64 = 42.0;

/// Coefficients that meters offer. House rule: from none to that of the purest water.
const COEFFICIENT: Range = Range {
    quantity: "temperature coefficient of the meter",
    unit: "/°C",
    min: 0.0,
    max: 0.03,
    source_key: "HOUSE-RULE",
};

/// A conductivity meter: the temperature coefficient it was set to.
///
/// Sea water of salinity 35 gains 1.94 % of its conductivity at 25 °C for each °C from 20 to 25, and 1.99 % from 25 to
/// 30. A fixed coefficient is right at 25 °C and at one other temperature at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConductivityMeter {
    coefficient_per_c: f64,
}

impl ConductivityMeter {
    /// A meter that shows what it measures, without compensation.
    pub const UNCOMPENSATED: Self = Self {
        coefficient_per_c: 0.0,
    };

    /// A meter with a coefficient, such as 0.02 for 2 % per °C.
    ///
    /// # Arguments
    /// * `coefficient_per_c`: share of the conductivity at 25 °C for each °C, `0..=0.03`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a coefficient outside the range, and for NaN.
    pub fn new(coefficient_per_c: f64) -> Result<Self, OutOfRange> {
        COEFFICIENT.require(coefficient_per_c)?;
        Ok(Self { coefficient_per_c })
    }

    /// Returns the conductivity it shows, in S/m: `κ/(1 + α (t - 25))`.
    ///
    /// # Arguments
    /// * `practical_salinity`: `0..=42`.
    /// * `temperature_c`: of the water, `-2..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
    ///
    /// # Source
    /// Conductivity as [`conductivity_s_m`]; the straight line is common practice, no source.
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::ConductivityMeter;
    ///
    /// let meter = ConductivityMeter::new(0.02)?;
    /// let reading = meter.reading_s_m(35.0, 20.0)?;
    /// assert!((reading - 5.324).abs() < 0.001);
    /// assert!((meter.practical_salinity(reading, 20.0)? - 35.0).abs() < 1e-9);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn reading_s_m(&self, practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        Ok(conductivity_s_m(practical_salinity, temperature_c)? / self.divisor(temperature_c))
    }

    /// Returns the practical salinity that a reading means; inverse of [`reading_s_m`](Self::reading_s_m).
    ///
    /// Takes the compensation back out, so it errs only by what the meter errs in measuring.
    ///
    /// # Arguments
    /// * `reading_s_m`: as shown; between those of salinity 0 and 42.
    /// * `temperature_c`: of the water, `-2..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a temperature outside the range, for a reading that no salinity of `0..=42` gives at this
    /// temperature (its [`Range`] then carries the limits there), and for NaN.
    ///
    /// # Source
    /// As [`reading_s_m`](Self::reading_s_m).
    pub fn practical_salinity(&self, reading_s_m: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let divisor = self.divisor(temperature_c);
        let end_s_m = conductivity_s_m(SALTIEST, temperature_c)?;
        Range {
            quantity: "conductivity reading at this temperature",
            unit: "S/m",
            min: 0.0,
            max: end_s_m / divisor,
            source_key: "UNESCO-44-1983",
        }
        .require(reading_s_m)?;
        // Only rounding puts a reading that passed above the end.
        practical_salinity((reading_s_m * divisor).min(end_s_m), temperature_c)
    }

    /// Returns by how much the reading misses the true conductivity at 25 °C, as a share of it.
    ///
    /// # Arguments
    /// * `practical_salinity`: above 0, up to 42.
    /// * `temperature_c`: of the water, `-2..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
    ///
    /// # Source
    /// As [`reading_s_m`](Self::reading_s_m).
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::ConductivityMeter;
    ///
    /// let error = ConductivityMeter::new(0.02)?.error_share(35.0, 15.0)?;
    /// assert!((error - 0.011).abs() < 0.001);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn error_share(&self, practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let true_s_m = conductivity_s_m(practical_salinity, REFERENCE_C)?;
        Ok(self.reading_s_m(practical_salinity, temperature_c)? / true_s_m - 1.0)
    }

    /// The coefficient it was made with.
    pub fn coefficient_per_c(&self) -> f64 {
        self.coefficient_per_c
    }

    fn divisor(&self, temperature_c: f64) -> f64 {
        1.0 + self.coefficient_per_c * (temperature_c - REFERENCE_C)
    }
}
