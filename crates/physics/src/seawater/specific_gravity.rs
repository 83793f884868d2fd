//! Specific gravity, in the conventions that the trade mixes up.

use super::density::{density_kg_m3, practical_salinity_from_share, pure_water_density_kg_m3};
use crate::OutOfRange;

const SIXTY_FAHRENHEIT_C: f64 = 140.0 / 9.0;

/// Which sample is compared with which water. A specific gravity without it is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpecificGravityReference {
    /// The sample at its own temperature against pure water at 4 °C.
    SampleTo4C,
    /// Both at 25 °C.
    Both25C,
    /// Both at 20 °C.
    Both20C,
    /// Both at 60 °F (15.56 °C).
    Both60F,
}

impl SpecificGravityReference {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::SampleTo4C, Self::Both25C, Self::Both20C, Self::Both60F];

    /// How it is written: `25C/25C`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SampleTo4C => "t/4C",
            Self::Both25C => "25C/25C",
            Self::Both20C => "20C/20C",
            Self::Both60F => "60F/60F",
        }
    }

    /// The one with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        let bare: String = name.chars().filter(|c| !c.is_whitespace() && *c != '°').collect();
        Self::ALL
            .into_iter()
            .find(|reference| reference.name().eq_ignore_ascii_case(&bare))
    }

    /// Temperature of the sample, given that of the sample in hand; and of the water compared with.
    fn temperatures_c(self, sample_c: f64) -> (f64, f64) {
        match self {
            Self::SampleTo4C => (sample_c, 4.0),
            Self::Both25C => (25.0, 25.0),
            Self::Both20C => (20.0, 20.0),
            Self::Both60F => (SIXTY_FAHRENHEIT_C, SIXTY_FAHRENHEIT_C),
        }
    }
}

/// Specific gravity of water of this salinity; the temperature counts for `t/4C` only.
///
/// Source: the definition, with [`density_kg_m3`].
///
/// # Errors
/// [`OutOfRange`] as for density.
///
/// ```
/// use physics::seawater::{SpecificGravityReference::Both25C, specific_gravity};
/// assert!((specific_gravity(35.0, 12.0, Both25C)? - 1.02637).abs() < 1e-5);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn specific_gravity(
    practical_salinity: f64,
    temperature_c: f64,
    reference: SpecificGravityReference,
) -> Result<f64, OutOfRange> {
    let (sample_c, water_c) = reference.temperatures_c(temperature_c);
    Ok(density_kg_m3(practical_salinity, sample_c)? / pure_water_density_kg_m3(water_c)?)
}

/// Practical salinity of water of this specific gravity; the inverse of [`specific_gravity`].
///
/// # Errors
/// [`OutOfRange`] where no salinity from 0 to 42 has it, outside −2 to 40 °C for `t/4C`, and for NaN.
///
/// ```
/// use physics::seawater::{SpecificGravityReference, practical_salinity_from_specific_gravity};
///
/// // The same number is 35.0 on one basis and 34.4 on another.
/// let (at_25, at_60f) = (SpecificGravityReference::Both25C, SpecificGravityReference::Both60F);
/// assert!((practical_salinity_from_specific_gravity(1.02637, 25.0, at_25)? - 35.0).abs() < 0.01);
/// assert!((practical_salinity_from_specific_gravity(1.02637, 25.0, at_60f)? - 34.4).abs() < 0.05);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn practical_salinity_from_specific_gravity(
    specific_gravity: f64,
    temperature_c: f64,
    reference: SpecificGravityReference,
) -> Result<f64, OutOfRange> {
    let (sample_c, water_c) = reference.temperatures_c(temperature_c);
    let water_kg_m3 = pure_water_density_kg_m3(water_c)?;
    practical_salinity_from_share(
        "specific gravity on this scale",
        "",
        specific_gravity,
        water_kg_m3,
        sample_c,
    )
}
