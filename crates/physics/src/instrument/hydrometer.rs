//! The glass hydrometer.

use crate::{
    OutOfRange, Range,
    seawater::{density_kg_m3, practical_salinity_from_share, pure_water_density_kg_m3},
};

/// Cubic expansion of hydrometer glass, for each °C.
///
/// Source: `ISO-1768-1975`, the conventional value.
pub const GLASS_EXPANSION_PER_C: f64 = 25e-6;

/// Temperatures a scale may refer to: those for which density is known.
const REFERENCE_TEMPERATURE: Range = Range {
    quantity: "reference temperature of the hydrometer",
    unit: "°C",
    min: 0.0,
    max: 40.0,
    source_key: "TEOS-10-2010",
};

/// Cubic expansion of what hydrometers are made of. House rule: from quartz to plastics.
const EXPANSION: Range = Range {
    quantity: "cubic expansion of the hydrometer",
    unit: "/°C",
    min: 0.0,
    max: 5e-4,
    source_key: "HOUSE-RULE",
};

/// What the figures on the stem mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HydrometerScale {
    /// Specific gravity, right when the hydrometer is at `sample_c`, against water at `water_c`.
    SpecificGravity {
        /// Temperature at which the scale is right, the first of the pair on the paper scale.
        sample_c: f64,
        /// Temperature of the pure water it's compared with, the second of the pair.
        water_c: f64,
    },
    /// Density in kg/m³ (1.0235 g/mL is 1023.5), right when the hydrometer is at `reference_c`.
    Density {
        /// Temperature at which the scale is right.
        reference_c: f64,
    },
}

impl HydrometerScale {
    /// Specific gravity 60 °F/60 °F.
    pub const SIXTY_FAHRENHEIT: Self = Self::SpecificGravity {
        sample_c: 140.0 / 9.0,
        water_c: 140.0 / 9.0,
    };
    /// Specific gravity 20 °C/20 °C.
    pub const TWENTY_CELSIUS: Self = Self::SpecificGravity {
        sample_c: 20.0,
        water_c: 20.0,
    };
    /// Specific gravity 25 °C/25 °C.
    pub const TWENTY_FIVE_CELSIUS: Self = Self::SpecificGravity {
        sample_c: 25.0,
        water_c: 25.0,
    };
    /// Specific gravity 20 °C/4 °C.
    pub const TWENTY_TO_FOUR_CELSIUS: Self = Self::SpecificGravity {
        sample_c: 20.0,
        water_c: 4.0,
    };
    /// Density at 20 °C.
    pub const DENSITY_TWENTY_CELSIUS: Self = Self::Density { reference_c: 20.0 };
}

/// A hydrometer: where its scale is right, and how it grows with warmth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hydrometer {
    scale: HydrometerScale,
    expansion_per_c: f64,
    reference_c: f64,
    /// What one unit of the scale is worth.
    unit_kg_m3: f64,
}

impl Hydrometer {
    /// A hydrometer of glass.
    ///
    /// # Errors
    /// As [`Hydrometer::new`].
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::{Hydrometer, HydrometerScale};
    ///
    /// let hydrometer = Hydrometer::glass(HydrometerScale::SIXTY_FAHRENHEIT)?;
    /// // The reading hoped for in water of 25 °C would mean far too much salt.
    /// assert!((hydrometer.practical_salinity(1.0264, 25.0)? - 37.4).abs() < 0.05);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn glass(scale: HydrometerScale) -> Result<Self, OutOfRange> {
        Self::new(scale, GLASS_EXPANSION_PER_C)
    }

    /// A hydrometer of any stuff.
    ///
    /// # Arguments
    /// * `scale`: reference temperatures `0..=40` °C.
    /// * `expansion_per_c`: cubic expansion, `0..=5e-4` for each °C; [`GLASS_EXPANSION_PER_C`] for glass.
    ///
    /// # Errors
    /// [`OutOfRange`] for a reference temperature or expansion outside the ranges above, and for NaN.
    pub fn new(scale: HydrometerScale, expansion_per_c: f64) -> Result<Self, OutOfRange> {
        EXPANSION.require(expansion_per_c)?;
        let (reference_c, unit_kg_m3) = match scale {
            HydrometerScale::SpecificGravity { sample_c, water_c } => {
                REFERENCE_TEMPERATURE.require(water_c)?;
                (sample_c, pure_water_density_kg_m3(water_c)?)
            }
            HydrometerScale::Density { reference_c } => (reference_c, 1.0),
        };
        REFERENCE_TEMPERATURE.require(reference_c)?;
        Ok(Self {
            scale,
            expansion_per_c,
            reference_c,
            unit_kg_m3,
        })
    }

    /// Returns what the scale shows at the surface: specific gravity, or density in kg/m³.
    ///
    /// A warm hydrometer is bigger and swims higher, so it shows `ρ (1 + a (t - t_ref))` of the density `ρ` of the
    /// water. It's taken to be as warm as the water. Meniscus and surface tension are left out.
    ///
    /// # Arguments
    /// * `practical_salinity`: `0..=42`.
    /// * `temperature_c`: of the water, `-2..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
    ///
    /// # Source
    /// `ISO-1768-1975` for the expansion; Archimedes for the rest.
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::{Hydrometer, HydrometerScale};
    ///
    /// let hydrometer = Hydrometer::glass(HydrometerScale::TWENTY_CELSIUS)?;
    /// assert!((hydrometer.reading(35.0, 25.0)? - 1.02531).abs() < 1e-5);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn reading(&self, practical_salinity: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        Ok(density_kg_m3(practical_salinity, temperature_c)? / self.true_density_per_reading(temperature_c))
    }

    /// Returns the practical salinity that a reading means; inverse of [`reading`](Self::reading).
    ///
    /// # Arguments
    /// * `reading`: specific gravity, or density in kg/m³; between those of salinity 0 and 42.
    /// * `temperature_c`: of the water, `-2..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`] for a temperature outside the range, for a reading that no salinity of `0..=42` gives at this
    /// temperature (its [`Range`] then carries the limits there), and for NaN.
    ///
    /// # Source
    /// As [`reading`](Self::reading).
    pub fn practical_salinity(&self, reading: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        let worth_kg_m3 = self.true_density_per_reading(temperature_c);
        practical_salinity_from_share(
            "hydrometer reading at this temperature",
            self.unit(),
            reading,
            worth_kg_m3,
            temperature_c,
        )
    }

    /// Returns the salinity someone takes from a reading who doesn't ask how warm the water is.
    ///
    /// # Arguments
    /// * `reading`: specific gravity, or density in kg/m³.
    ///
    /// # Errors
    /// [`OutOfRange`] for a reading that no salinity of `0..=42` gives at the reference temperature, and for NaN.
    ///
    /// # Source
    /// As [`reading`](Self::reading).
    ///
    /// # Examples
    /// ```
    /// use physics::instrument::{Hydrometer, HydrometerScale};
    ///
    /// let hydrometer = Hydrometer::glass(HydrometerScale::SIXTY_FAHRENHEIT)?;
    /// let reading = hydrometer.reading(35.0, 25.0)?;
    /// assert!((hydrometer.practical_salinity_unasked(reading)? - 32.0).abs() < 0.1);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn practical_salinity_unasked(&self, reading: f64) -> Result<f64, OutOfRange> {
        self.practical_salinity(reading, self.reference_c)
    }

    /// The scale it was made with.
    pub fn scale(&self) -> HydrometerScale {
        self.scale
    }

    fn unit(&self) -> &'static str {
        match self.scale {
            HydrometerScale::SpecificGravity { .. } => "",
            HydrometerScale::Density { .. } => "kg/m³",
        }
    }

    fn true_density_per_reading(&self, temperature_c: f64) -> f64 {
        self.unit_kg_m3 / (1.0 + self.expansion_per_c * (temperature_c - self.reference_c))
    }
}
