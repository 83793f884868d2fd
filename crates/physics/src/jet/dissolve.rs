//! How long a grain takes to dissolve.

use super::error::JetError;
use super::grain::{Grain, Liquid, sinking};
use crate::{OutOfRange, Range};
use libm::cbrt;

/// Diffusivity of common salt in water at 25 °C, m²/s: from memory, 1.5·10⁻⁹ to 1.6·10⁻⁹ over most strengths. It goes
/// about as absolute temperature by viscosity.
pub const SALT_DIFFUSIVITY_M2_S: f64 = 1.5e-9;

/// Mass transfer to a grain that lies or drifts with the stream, m/s. House rule, low in the range of 10⁻⁵ to 10⁻⁴ that
/// is found for salts in stirred water (from memory).
pub const STILL_FILM_M_S: f64 = 3e-5;

const FILM: Range = Range {
    quantity: "mass transfer coefficient",
    unit: "m/s",
    min: 1e-7,
    max: 1e-2,
    source_key: "HOUSE-RULE",
};
const DIFFUSIVITY: Range = Range {
    quantity: "diffusivity",
    unit: "m²/s",
    min: 1e-10,
    max: 1e-8,
    source_key: "HOUSE-RULE",
};
const SLIP: Range = Range {
    quantity: "speed of the water past the grain",
    unit: "m/s",
    min: 0.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};
const CONCENTRATION: Range = Range {
    quantity: "salt in the water",
    unit: "kg/m³",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// Found up to about 200 (from memory); carried to 2000, which is a grain of 6 mm, as an extrapolation.
const GRAIN_REYNOLDS: Range = Range {
    quantity: "Reynolds number of the grain",
    unit: "",
    min: 0.0,
    max: 2000.0,
    source_key: "RANZ-MARSHALL-1952",
};
/// Halves of panels for the integral over a dwindling grain; see the tests for what that costs.
const STEPS: u32 = 128;

/// Water that takes up salt, and how much it could.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Undersaturated {
    /// Salt at saturation, `0..=1000` kg to a m³ of solution; common salt about 317 at 20 °C (from memory).
    pub saturated_kg_m3: f64,
    /// Salt in the water now, `0..=1000` kg/m³.
    pub bulk_kg_m3: f64,
}

impl Undersaturated {
    fn deficit_kg_m3(&self) -> Result<f64, JetError> {
        let saturated_kg_m3 = CONCENTRATION.require(self.saturated_kg_m3)?;
        let bulk_kg_m3 = CONCENTRATION.require(self.bulk_kg_m3)?;
        // A gram in a m³: nearer to saturation than anybody measures, and time goes with its inverse.
        if saturated_kg_m3 - bulk_kg_m3 < 1e-3 {
            return Err(JetError::Saturated {
                bulk_kg_m3,
                saturated_kg_m3,
            });
        }
        Ok(saturated_kg_m3 - bulk_kg_m3)
    }
}

/// Returns the time in which a grain dissolves at a constant mass transfer coefficient, s: `ρ_s·D/2/(k·(c_s − c))`.
///
/// # Arguments
/// * `grain`: D and ρ_s; its shape doesn't count.
/// * `film_m_s`: k, `1e-7..=1e-2`; [`STILL_FILM_M_S`] where nothing better is known.
/// * `water`: c_s and c, taken as constant: much water for little salt.
///
/// # Errors
/// [`JetError::Saturated`], [`JetError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of a sphere, `ρ_s·dR/dt = −k·(c_s − c)`. A heap isn't a sum of grains: in it the water between them
/// is saturated.
///
/// # Examples
/// ```
/// use physics::jet::{Grain, GrainShape, Undersaturated, dissolution_time_s};
///
/// let salt = Grain { diameter_m: 1e-3, density_kg_m3: 2165.0, shape: GrainShape::Natural };
/// let fresh = Undersaturated { saturated_kg_m3: 300.0, bulk_kg_m3: 0.0 };
/// assert!((dissolution_time_s(&salt, 3e-5, &fresh)? - 120.0).abs() < 0.5);
/// # Ok::<(), physics::jet::JetError>(())
/// ```
pub fn dissolution_time_s(grain: &Grain, film_m_s: f64, water: &Undersaturated) -> Result<f64, JetError> {
    let (diameter_m, grain_kg_m3) = grain.require()?;
    Ok(grain_kg_m3 * diameter_m / 2.0 / (FILM.require(film_m_s)? * water.deficit_kg_m3()?))
}

/// Returns the mass transfer coefficient of a sphere in a stream, m/s: `Sh·𝒟/D`, `Sh = 2 + 0.6·Re^½·Sc^⅓`.
///
/// # Arguments
/// * `grain`, `liquid`: D, and what the stream is made of.
/// * `slip_m_s`: speed of the water past the grain, u, `0..=10`. `Re = u·D/ν`.
/// * `diffusivity_m2_s`: 𝒟, `1e-10..=1e-8`; [`SALT_DIFFUSIVITY_M2_S`] for common salt. `Sc = ν/𝒟`.
///
/// # Errors
/// [`OutOfRange`], also for a Reynolds number above 2000.
///
/// # Source
/// `RANZ-MARSHALL-1952`, found with drops in air and carried to salt in water by the Schmidt number: to a factor of
/// 1.5 (house rule).
pub fn mass_transfer_m_s(
    grain: &Grain,
    liquid: &Liquid,
    slip_m_s: f64,
    diffusivity_m2_s: f64,
) -> Result<f64, OutOfRange> {
    let (diameter_m, _) = grain.require()?;
    let (_, kinematic) = liquid.require()?;
    let slip_m_s = SLIP.require(slip_m_s)?;
    let diffusivity = DIFFUSIVITY.require(diffusivity_m2_s)?;
    GRAIN_REYNOLDS.require(slip_m_s * diameter_m / kinematic)?;
    Ok(sherwood(diameter_m, slip_m_s, kinematic, diffusivity) * diffusivity / diameter_m)
}

/// Returns the time in which a grain dissolves that sinks, or is kept up by a stream, s: the mass transfer is that of a
/// grain falling at its own settling speed, and both change while it dwindles.
///
/// # Arguments
/// * `grain`, `liquid`: salt and water.
/// * `diffusivity_m2_s`: `1e-10..=1e-8`; [`SALT_DIFFUSIVITY_M2_S`] for common salt.
/// * `water`: saturation and what is in it.
///
/// # Errors
/// [`JetError::Saturated`], [`JetError::GrainFloats`], [`JetError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of the sphere with [`mass_transfer_m_s`] and
/// [`settling_speed_m_s`](super::settling_speed_m_s), integrated over the radius by Simpson's rule. A grain that lies
/// on the floor dissolves more slowly: use [`dissolution_time_s`].
pub fn falling_dissolution_time_s(
    grain: &Grain,
    liquid: &Liquid,
    diffusivity_m2_s: f64,
    water: &Undersaturated,
) -> Result<f64, JetError> {
    let submerged = grain.submerged(liquid)?;
    let (diameter_m, grain_kg_m3) = grain.require()?;
    let (_, kinematic) = liquid.require()?;
    let diffusivity = DIFFUSIVITY.require(diffusivity_m2_s)?;
    let deficit = water.deficit_kg_m3()?;
    let slip_m_s = |diameter_m| sinking(diameter_m, submerged, kinematic, grain.shape);
    GRAIN_REYNOLDS.require(slip_m_s(diameter_m) * diameter_m / kinematic)?;

    // Diameter is D·s²: the integrand is then smooth where the grain vanishes, and nothing there.
    let integrand = |s: f64| {
        let now_m = diameter_m * s * s;
        now_m / (diffusivity * sherwood(now_m, slip_m_s(now_m), kinematic, diffusivity)) * diameter_m * s
    };
    let step = 1.0 / f64::from(STEPS);
    let mut sum = integrand(1.0);
    for i in 1..STEPS {
        let weight = if i % 2 == 1 { 4.0 } else { 2.0 };
        sum += weight * integrand(f64::from(i) * step);
    }
    Ok(grain_kg_m3 / deficit * sum * step / 3.0)
}

fn sherwood(diameter_m: f64, slip_m_s: f64, kinematic: f64, diffusivity: f64) -> f64 {
    2.0 + 0.6 * (slip_m_s * diameter_m / kinematic).sqrt() * cbrt(kinematic / diffusivity)
}
