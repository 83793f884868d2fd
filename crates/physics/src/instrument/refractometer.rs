//! The hand refractometer with a scale of salt.

use crate::{
    OutOfRange, Range,
    seawater::{
        SODIUM_D_NM, index_fresh, index_per_salinity, mass_fraction_from_rise_at_20c,
        practical_salinity_from_refractive_index, refractive_index, rise_at_20c,
    },
};

/// Temperature at which scales are right, and from which compensation works. Common practice, no source.
const SCALE_C: f64 = 20.0;

/// Ends of the practical scale.
const FRESH: f64 = 0.0;
const SALTIEST: f64 = 42.0;

/// Where automatic compensation works. Common practice, no source.
const COMPENSATED: Range = Range {
    quantity: "temperature of a compensating refractometer",
    unit: "°C",
    min: 10.0,
    max: 30.0,
    source_key: "HOUSE-RULE",
};

/// What the figures on the scale mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RefractometerScale {
    /// Salinity of sea water.
    SeaWater,
    /// Grams of sodium chloride in a kilogram of solution, called "salinity" all the same. Sea water of salinity 35
    /// shows 36.6 there, in doubt by 0.3 (see [`Refractometer::scale_doubt`]).
    SodiumChloride,
}

/// What the instrument does about temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemperatureCompensation {
    /// Nothing: the scale is right at 20 °C, and salinity reads 0.6 lower for each °C above.
    None,
    /// It shows what it would show at 20 °C, from 10 to 30 °C, once prism and drop are equally warm.
    Automatic,
}

/// A refractometer: its scale and its compensation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refractometer {
    /// What its figures mean.
    pub scale: RefractometerScale,
    /// What it does about temperature.
    pub compensation: TemperatureCompensation,
}

impl Refractometer {
    /// Returns the reading. Below 0 the line would lie off the scale; the number is given all the same.
    ///
    /// # Arguments
    /// * `practical_salinity`: `0..=42`.
    /// * `temperature_c`: of drop and prism; `-2..=35`, with automatic compensation `10..=30`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
    ///
    /// # Source
    /// Index of sea water `QUAN-FRY-1995`, of sodium chloride `CRC-SOLUTIONS`. That compensation is perfect from 10
    /// to 30 °C is common practice, no source.
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::{Refractometer, RefractometerScale, TemperatureCompensation};
    ///
    /// let plain = Refractometer {
    ///     scale: RefractometerScale::SeaWater,
    ///     compensation: TemperatureCompensation::None,
    /// };
    /// let reading = plain.reading(35.0, 25.0)?;
    /// assert!((reading - 32.0).abs() < 0.1);
    /// assert!((plain.practical_salinity(reading, 25.0)? - 35.0).abs() < 1e-9);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn reading(&self, practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let index = refractive_index(practical_salinity, self.effective_c(temperature_c)?)?;
        Ok(self.shown(index))
    }

    /// Returns the practical salinity that a reading means; inverse of [`reading`](Self::reading).
    ///
    /// # Arguments
    /// * `reading`: as shown; between those of salinity 0 and 42.
    /// * `temperature_c`: of drop and prism; `-2..=35`, with automatic compensation `10..=30`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a temperature outside the range, for a reading that no salinity of `0..=42` gives at this
    /// temperature (its [`Range`] then carries the limits there), and for NaN.
    ///
    /// # Source
    /// As [`reading`](Self::reading).
    pub fn practical_salinity(&self, reading: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let effective_c = self.effective_c(temperature_c)?;
        let (fresh, saltiest) = (
            self.reading(FRESH, temperature_c)?,
            self.reading(SALTIEST, temperature_c)?,
        );
        let range = Range {
            quantity: "refractometer reading at this temperature",
            unit: "",
            min: fresh,
            max: saltiest,
            source_key: "QUAN-FRY-1995",
        };
        range.require(reading)?;
        // What only rounding puts outside is the end itself.
        let index = self.index(reading);
        let lowest = refractive_index(FRESH, effective_c)?;
        let highest = refractive_index(SALTIEST, effective_c)?;
        practical_salinity_from_refractive_index(index.clamp(lowest, highest), effective_c)
    }

    /// Returns the standard uncertainty that the meaning of the scale itself brings, in units of practical salinity.
    ///
    /// For sea water 0.2: `QUAN-FRY-1995` misses the tables it was fitted to by up to 6·10⁻⁵ in the index, which
    /// is 0.3; halved and rounded up. For sodium chloride 0.3: the same with 3·10⁻⁵ for the table of `CRC-SOLUTIONS`.
    /// Older tables differ by up to 5 %. An instrument set right in a sea water standard is free of it.
    pub fn scale_doubt(&self) -> f64 {
        match self.scale {
            RefractometerScale::SeaWater => 0.2,
            RefractometerScale::SodiumChloride => 0.3,
        }
    }

    fn effective_c(&self, temperature_c: f64) -> Result<f64, OutOfRange> {
        match self.compensation {
            TemperatureCompensation::None => Ok(temperature_c),
            TemperatureCompensation::Automatic => COMPENSATED.require(temperature_c).map(|_| SCALE_C),
        }
    }

    /// Reading for an index: salinity or salt whose index at 20 °C this is.
    fn shown(&self, index: f64) -> f64 {
        let rise = index - index_fresh(SODIUM_D_NM, SCALE_C);
        match self.scale {
            RefractometerScale::SeaWater => rise / index_per_salinity(SODIUM_D_NM, SCALE_C),
            RefractometerScale::SodiumChloride => mass_fraction_from_rise_at_20c(rise),
        }
    }

    /// Index for a reading; inverse of [`Self::shown`].
    fn index(&self, reading: f64) -> f64 {
        let rise = match self.scale {
            RefractometerScale::SeaWater => reading * index_per_salinity(SODIUM_D_NM, SCALE_C),
            RefractometerScale::SodiumChloride => rise_at_20c(reading),
        };
        index_fresh(SODIUM_D_NM, SCALE_C) + rise
    }
}
