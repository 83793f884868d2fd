//! What water is: every property of a sample, from whichever reading gave its salinity.

use physics::OutOfRange;
use physics::instrument::{
    ConductivityMeter, Hydrometer, HydrometerScale, Refractometer, RefractometerScale,
    TemperatureCompensation,
};
use physics::seawater::{
    PSS78_STATED, PSS78_STATED_TEMPERATURE, REFRACTION_STATED, REFRACTION_STATED_TEMPERATURE,
    SpecificGravityReference, absolute_salinity_g_kg, conductivity_s_m, density_kg_m3, freezing_point_c,
    heat_capacity_j_kg_k, refractive_index, specific_gravity, viscosity_pa_s,
};
use station::quantity::Amount;

/// The properties of one water.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Properties {
    pub(crate) practical_salinity: Amount,
    pub(crate) absolute_salinity_g_per_kg: f64,
    pub(crate) temperature_c: f64,
    pub(crate) density_kg_per_m3: f64,
    /// In the order of [`SpecificGravityReference::ALL`].
    pub(crate) specific_gravity: [f64; 4],
    pub(crate) conductivity_ms_per_cm: f64,
    /// `None` where its formula isn't used.
    pub(crate) refractive_index: Option<f64>,
    pub(crate) viscosity_pa_s: f64,
    pub(crate) heat_capacity_j_per_kg_k: f64,
    pub(crate) freezing_point_c: f64,
    /// What instruments show in it.
    pub(crate) readings: Vec<Reading>,
    /// What lies outside the range that its source states, in sentences.
    pub(crate) beyond_the_stated: Vec<String>,
}

/// What one instrument shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reading {
    /// The instrument and its scale.
    pub(crate) instrument: &'static str,
    pub(crate) value: f64,
    pub(crate) unit: &'static str,
    /// Decimals that such a scale can be read to.
    pub(crate) decimals: usize,
}

/// Works out the properties of water.
///
/// # Errors
/// [`OutOfRange`] for a temperature at which density isn't known.
pub(crate) fn properties(practical_salinity: Amount, temperature_c: f64) -> Result<Properties, OutOfRange> {
    let salinity = practical_salinity.si;
    let mut gravities = [0.0; 4];
    for (gravity, reference) in gravities.iter_mut().zip(SpecificGravityReference::ALL) {
        *gravity = specific_gravity(salinity, temperature_c, reference)?;
    }
    Ok(Properties {
        practical_salinity,
        absolute_salinity_g_per_kg: absolute_salinity_g_kg(salinity),
        temperature_c,
        density_kg_per_m3: density_kg_m3(salinity, temperature_c)?,
        specific_gravity: gravities,
        conductivity_ms_per_cm: conductivity_s_m(salinity, temperature_c)? * 10.0,
        refractive_index: refractive_index(salinity, temperature_c).ok(),
        viscosity_pa_s: viscosity_pa_s(salinity, temperature_c)?,
        heat_capacity_j_per_kg_k: heat_capacity_j_kg_k(salinity, temperature_c)?,
        freezing_point_c: freezing_point_c(salinity)?,
        readings: readings(salinity, temperature_c),
        beyond_the_stated: beyond_the_stated(salinity, temperature_c),
    })
}

/// The instruments of the trade; one that can't be used at this temperature is left out.
fn readings(salinity: f64, temperature_c: f64) -> Vec<Reading> {
    let hydrometer =
        |scale| Hydrometer::glass(scale).and_then(|instrument| instrument.reading(salinity, temperature_c));
    let refractometer =
        |scale, compensation| Refractometer { scale, compensation }.reading(salinity, temperature_c);
    let meter = |coefficient| {
        ConductivityMeter::new(coefficient)
            .and_then(|instrument| instrument.reading_s_m(salinity, temperature_c))
            .map(|reading| reading * 10.0)
    };
    let shown = [
        (
            "hydrometer 25C/25C",
            hydrometer(HydrometerScale::TWENTY_FIVE_CELSIUS),
            "",
            4,
        ),
        (
            "hydrometer 20C/20C",
            hydrometer(HydrometerScale::TWENTY_CELSIUS),
            "",
            4,
        ),
        (
            "hydrometer 60F/60F",
            hydrometer(HydrometerScale::SIXTY_FAHRENHEIT),
            "",
            4,
        ),
        (
            "hydrometer 20C/4C",
            hydrometer(HydrometerScale::TWENTY_TO_FOUR_CELSIUS),
            "",
            4,
        ),
        (
            "refractometer, sea water scale, compensating",
            refractometer(RefractometerScale::SeaWater, TemperatureCompensation::Automatic),
            "",
            1,
        ),
        (
            "refractometer, sea water scale, plain",
            refractometer(RefractometerScale::SeaWater, TemperatureCompensation::None),
            "",
            1,
        ),
        (
            "refractometer, table salt scale, compensating",
            refractometer(
                RefractometerScale::SodiumChloride,
                TemperatureCompensation::Automatic,
            ),
            "",
            1,
        ),
        ("conductivity meter, plain", meter(0.0), "mS/cm", 1),
        ("conductivity meter, 2 % per °C to 25 °C", meter(0.02), "mS/cm", 1),
    ];
    shown
        .into_iter()
        .filter_map(|(instrument, reading, unit, decimals)| {
            Some(Reading {
                instrument,
                value: reading.ok()?,
                unit,
                decimals,
            })
        })
        .collect()
}

fn beyond_the_stated(salinity: f64, temperature_c: f64) -> Vec<String> {
    let mut beyond = Vec::new();
    if freezing_point_c(salinity).is_ok_and(|freezing| temperature_c < freezing) {
        beyond.push(
            "At this temperature it begins to freeze: ice would leave saltier water behind.".to_owned(),
        );
    }
    if !PSS78_STATED.contains(salinity) {
        beyond.push(format!(
            "Below a salinity of {} the practical salinity scale isn't defined; conductivity follows its extension \
             to fresh water.",
            PSS78_STATED.min
        ));
    }
    if !PSS78_STATED_TEMPERATURE.contains(temperature_c) {
        beyond.push(format!(
            "The practical salinity scale is stated for {} to {} °C; conductivity is extrapolated.",
            PSS78_STATED_TEMPERATURE.min, PSS78_STATED_TEMPERATURE.max
        ));
    }
    let stated =
        REFRACTION_STATED.contains(salinity) && REFRACTION_STATED_TEMPERATURE.contains(temperature_c);
    if refractive_index(salinity, temperature_c).is_err() {
        beyond.push(
            "No refractive index is given at this temperature: its formula doesn't reach there.".to_owned(),
        );
    } else if !stated {
        beyond.push(format!(
            "The refractive index is stated for salinities up to {} and {} to {} °C; it is extrapolated.",
            REFRACTION_STATED.max, REFRACTION_STATED_TEMPERATURE.min, REFRACTION_STATED_TEMPERATURE.max
        ));
    }
    beyond
}
