//! Specific gravity on the bases the trade mixes up.

use super::density::{density_kg_m3, practical_salinity_from_density, pure_water_density_kg_m3};
use crate::{OutOfRange, Range};

/// 60 °F.
const SIXTY_FAHRENHEIT_C: f64 = 140.0 / 9.0;
/// Near the greatest density of water.
const FOUR_C: f64 = 4.0;

/// Which density is divided by which.
///
/// The number before the stroke is the temperature of the sample, the one after it that of the pure water. The
/// same sea water of salinity 35 is 1.0234, 1.0264, 1.0266 or 1.0269, in the order below.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpecificGravityReference {
    /// The sample at its own temperature, against water at 4 °C: `t/4C`.
    SampleToFourCelsius,
    /// Both at 25 °C: `25C/25C`.
    TwentyFiveCelsius,
    /// Both at 20 °C: `20C/20C`.
    TwentyCelsius,
    /// Both at 60 °F (15.56 °C): `60F/60F`.
    SixtyFahrenheit,
}

impl SpecificGravityReference {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::SampleToFourCelsius,
        Self::TwentyFiveCelsius,
        Self::TwentyCelsius,
        Self::SixtyFahrenheit,
    ];

    /// The name under which it's written: `"60F/60F"`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SampleToFourCelsius => "t/4C",
            Self::TwentyFiveCelsius => "25C/25C",
            Self::TwentyCelsius => "20C/20C",
            Self::SixtyFahrenheit => "60F/60F",
        }
    }

    /// The reference of this name, to the letter.
    ///
    /// # Examples
    /// ```
    /// use physics::seawater::SpecificGravityReference;
    ///
    /// assert_eq!(
    ///     SpecificGravityReference::from_name("60F/60F"),
    ///     Some(SpecificGravityReference::SixtyFahrenheit)
    /// );
    /// assert_eq!(SpecificGravityReference::from_name("60/60"), None);
    /// ```
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|reference| reference.name() == name)
    }

    /// Temperature of the sample: its own for `t/4C`, else that of the convention.
    pub const fn sample_c(self, own_c: f64) -> f64 {
        match self {
            Self::SampleToFourCelsius => own_c,
            _ => self.water_c(),
        }
    }

    /// Temperature of the pure water.
    pub const fn water_c(self) -> f64 {
        match self {
            Self::SampleToFourCelsius => FOUR_C,
            Self::TwentyFiveCelsius => 25.0,
            Self::TwentyCelsius => 20.0,
            Self::SixtyFahrenheit => SIXTY_FAHRENHEIT_C,
        }
    }
}

/// Returns the specific gravity of sea water on the basis asked for.
///
/// # Arguments
/// * `practical_salinity`: `0..=42`.
/// * `temperature_c`: of the sample, `-2..=40`; it matters for `t/4C` alone, but is checked always.
/// * `reference`: the basis.
///
/// # Errors
/// [`OutOfRange`] for a salinity or temperature outside the ranges above, and for NaN.
///
/// # Source
/// `DEFINITION`; density as [`density_kg_m3`].
///
/// # Examples
/// ```
/// use physics::seawater::{SpecificGravityReference, specific_gravity};
///
/// let sg = specific_gravity(35.0, 25.0, SpecificGravityReference::TwentyFiveCelsius)?;
/// assert!((sg - 1.02637).abs() < 1e-5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn specific_gravity(
    practical_salinity: f64,
    temperature_c: f64,
    reference: SpecificGravityReference,
) -> Result<f64, OutOfRange> {
    density_kg_m3(practical_salinity, temperature_c)?;
    let sample_kg_m3 = density_kg_m3(practical_salinity, reference.sample_c(temperature_c))?;
    Ok(sample_kg_m3 / pure_water_density_kg_m3(reference.water_c())?)
}

/// Returns the practical salinity of sea water of this specific gravity; inverse of [`specific_gravity`].
///
/// # Arguments
/// * `specific_gravity`: between those of salinity 0 and 42.
/// * `temperature_c`: of the sample, `-2..=40`; as for [`specific_gravity`].
/// * `reference`: the basis.
///
/// # Errors
/// [`OutOfRange`] for a temperature outside the range, for a specific gravity that no salinity of `0..=42` gives
/// (its [`Range`] then carries the limits), and for NaN.
///
/// # Source
/// As [`specific_gravity`].
///
/// # Examples
/// ```
/// use physics::seawater::{SpecificGravityReference, practical_salinity_from_specific_gravity};
///
/// // The same number is 35.0 on one basis and 34.4 on another.
/// let at_25 = SpecificGravityReference::TwentyFiveCelsius;
/// let at_60f = SpecificGravityReference::SixtyFahrenheit;
/// assert!((practical_salinity_from_specific_gravity(1.02637, 25.0, at_25)? - 35.0).abs() < 0.01);
/// assert!((practical_salinity_from_specific_gravity(1.02637, 25.0, at_60f)? - 34.4).abs() < 0.05);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity_from_specific_gravity(
    specific_gravity: f64,
    temperature_c: f64,
    reference: SpecificGravityReference,
) -> Result<f64, OutOfRange> {
    pure_water_density_kg_m3(temperature_c)?;
    let water_kg_m3 = pure_water_density_kg_m3(reference.water_c())?;
    let sample_c = reference.sample_c(temperature_c);
    in_units_of(water_kg_m3, "specific gravity", specific_gravity, sample_c)
}

/// Salinity from a density told in units of another one; a refusal is put in the same units.
pub(crate) fn in_units_of(
    unit_kg_m3: f64,
    quantity: &'static str,
    value: f64,
    temperature_c: f64,
) -> Result<f64, OutOfRange> {
    practical_salinity_from_density(value * unit_kg_m3, temperature_c).or_else(|refusal| {
        if refusal.range.quantity != "density" {
            return Err(refusal);
        }
        let (min, max) = (refusal.range.min / unit_kg_m3, refusal.range.max / unit_kg_m3);
        let range = Range { quantity, unit: "", min, max, source_key: refusal.range.source_key };
        // What only rounding put outside is the end itself.
        let end = if value < (min + max) / 2.0 { refusal.range.min } else { refusal.range.max };
        range.require(value)?;
        practical_salinity_from_density(end, temperature_c)
    })
}
