//! The density meter: a vibrating tube, or a weighed volume.

use crate::{
    OutOfRange,
    seawater::{density_kg_m3, practical_salinity_from_density},
};

/// At which temperature a density meter measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DensityMeter {
    /// The sample is measured as warm as it is.
    AsItIs,
    /// The sample is brought to the temperature of the cell first.
    Thermostatted {
        /// Temperature of the cell, `-2..=40`.
        cell_c: f64,
    },
}

impl DensityMeter {
    /// Returns the density it shows, in kg/m³.
    ///
    /// # Arguments
    /// * `practical_salinity`: `0..=42`.
    /// * `temperature_c`: of the water, `-2..=40`; checked, but of no effect in a thermostatted cell.
    ///
    /// # Errors
    /// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
    ///
    /// # Source
    /// `DEFINITION`; density as [`density_kg_m3`].
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::DensityMeter;
    ///
    /// let meter = DensityMeter::Thermostatted { cell_c: 20.0 };
    /// let reading = meter.reading_kg_m3(35.0, 25.0)?;
    /// assert!((reading - 1024.76).abs() < 0.01);
    /// assert!((meter.practical_salinity(reading, 25.0)? - 35.0).abs() < 1e-9);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn reading_kg_m3(&self, practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let as_it_is = density_kg_m3(practical_salinity, temperature_c)?;
        match *self {
            Self::AsItIs => Ok(as_it_is),
            Self::Thermostatted { cell_c } => density_kg_m3(practical_salinity, cell_c),
        }
    }

    /// Returns the practical salinity that a reading means; inverse of [`reading_kg_m3`](Self::reading_kg_m3).
    ///
    /// # Arguments
    /// * `reading_kg_m3`: between the densities of salinity 0 and 42.
    /// * `temperature_c`: of the water, `-2..=40`; checked, but of no effect in a thermostatted cell.
    ///
    /// # Errors
    /// [`OutOfRange`] for a temperature outside the range, for a density that no salinity of `0..=42` gives, and for
    /// NaN.
    ///
    /// # Source
    /// As [`reading_kg_m3`](Self::reading_kg_m3).
    pub fn practical_salinity(&self, reading_kg_m3: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        // Refuses the temperature whatever the cell is.
        density_kg_m3(0.0, temperature_c)?;
        match *self {
            Self::AsItIs => practical_salinity_from_density(reading_kg_m3, temperature_c),
            Self::Thermostatted { cell_c } => practical_salinity_from_density(reading_kg_m3, cell_c),
        }
    }
}
