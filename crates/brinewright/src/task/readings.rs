//! Several readings of the same water: what each means as salinity, whether they agree, which one is off.

use physics::OutOfRange;
use physics::instrument::{
    Agreement, AgreementError, ConductivityMeter, Hydrometer, HydrometerScale, Refractometer,
    RefractometerScale, TemperatureCompensation, agreement,
};
use physics::seawater::practical_salinity_from_density;
use physics::stats::Estimate;
use station::quantity::{Amount, Spread, SpreadShape};

/// A way to tell the salinity of water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Instrument {
    /// Scale of sea water, compensating.
    Refractometer,
    /// Coefficient of its compensation to 25 °C, 1/K; 0 for the plain conductivity.
    ConductivityMeter {
        coefficient_per_c: f64,
    },
    /// Of glass.
    Hydrometer(HydrometerScale),
    DensityMeter,
    /// Salinity from the masses of salt and water.
    Weighed,
}

impl Instrument {
    /// As a person names it.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Refractometer => "refractometer",
            Self::ConductivityMeter { .. } => "conductivity meter",
            Self::Hydrometer(_) => "hydrometer",
            Self::DensityMeter => "density meter",
            Self::Weighed => "weighed batch",
        }
    }

    /// Accuracy where none is stated, in the unit of the reading. Common practice, no source.
    fn usual(self, reading: f64) -> Spread {
        Spread::normal(match self {
            Self::Refractometer => 1.0,
            Self::ConductivityMeter { .. } => 0.02 * reading,
            Self::Hydrometer(HydrometerScale::SpecificGravity { .. }) => 0.000_5,
            Self::Hydrometer(HydrometerScale::Density { .. }) => 0.5,
            Self::DensityMeter => 1.0,
            // A kitchen scale, and a volume by a mark.
            Self::Weighed => 1.4,
        })
    }

    /// What that accuracy is, in words.
    pub(crate) fn usual_in_words(self) -> &'static str {
        match self {
            Self::Refractometer => "± 1",
            Self::ConductivityMeter { .. } => "± 2 %",
            Self::Hydrometer(_) => "± 0.0005, a good glass one (a swing arm: ± 0.002)",
            Self::DensityMeter => "± 1 kg/m³",
            Self::Weighed => "± 1.4, a kitchen scale and a mark for the volume",
        }
    }

    fn practical_salinity(self, reading: f64, temperature_c: f64) -> Result<f64, OutOfRange> {
        match self {
            // Compensating, it shows what it would at 20 °C; where it compensates, the reading is the salinity.
            Self::Refractometer => Refractometer {
                scale: RefractometerScale::SeaWater,
                compensation: TemperatureCompensation::Automatic,
            }
            .practical_salinity(reading, temperature_c),
            Self::ConductivityMeter { coefficient_per_c } => {
                ConductivityMeter::new(coefficient_per_c)?.practical_salinity(reading, temperature_c)
            }
            Self::Hydrometer(scale) => Hydrometer::glass(scale)?.practical_salinity(reading, temperature_c),
            Self::DensityMeter => practical_salinity_from_density(reading, temperature_c),
            Self::Weighed => Ok(reading),
        }
    }
}

/// What one instrument showed, in the stored unit of its scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Shown {
    pub(crate) instrument: Instrument,
    pub(crate) amount: Amount,
}

/// The same as salinity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Told {
    pub(crate) instrument: Instrument,
    /// Practical salinity.
    pub(crate) salinity: Amount,
    /// Whether the accuracy was stated with the reading.
    pub(crate) stated: bool,
}

impl Told {
    /// Half of the middle 95 %.
    pub(crate) fn reach(&self) -> f64 {
        let spread = self.salinity.spread;
        match spread.shape {
            SpreadShape::Normal => REACH * spread.standard_uncertainty(),
            SpreadShape::Limits => 0.95 * spread.half_width,
        }
    }
}

/// Standard uncertainties within which 95 % of a normal spread lie.
pub(crate) const REACH: f64 = 1.959_963_985;

/// Accuracy of a thermometer where none is stated, °C. Common practice, no source.
pub(crate) const USUAL_THERMOMETER_C: f64 = 0.5;

/// What the readings come to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Comparison {
    pub(crate) told: Vec<Told>,
    pub(crate) verdict: Agreement,
}

/// Why readings can't be compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Unfit {
    /// What this instrument shows means no salinity.
    Reading(Instrument, OutOfRange),
    /// The set of them.
    All(AgreementError),
}

/// Reads each as salinity and compares them.
///
/// The doubt of the temperature goes into each reading as if it were its own.
///
/// # Errors
/// [`Unfit`].
pub(crate) fn compare(shown: &[Shown], temperature: Amount) -> Result<Comparison, Unfit> {
    let told = shown
        .iter()
        .map(|shown| tell(shown, temperature).map_err(|error| Unfit::Reading(shown.instrument, error)))
        .collect::<Result<Vec<Told>, Unfit>>()?;
    let estimates: Vec<Estimate> = told
        .iter()
        .map(|told| Estimate {
            value: told.salinity.si,
            standard_uncertainty: told.salinity.spread.standard_uncertainty(),
        })
        .collect();
    let verdict = agreement(&estimates).map_err(Unfit::All)?;
    Ok(Comparison { told, verdict })
}

fn tell(shown: &Shown, temperature: Amount) -> Result<Told, OutOfRange> {
    let Shown { instrument, amount } = *shown;
    let stated = !amount.spread.is_none();
    let spread = if stated {
        amount.spread
    } else {
        instrument.usual(amount.si)
    };
    let at = |reading, temperature_c| instrument.practical_salinity(reading, temperature_c);
    let si = at(amount.si, temperature.si)?;
    let by_reading = slope(|x| at(x, temperature.si), si, amount.si);
    let by_temperature = slope(|t| at(amount.si, t), si, temperature.si);
    let own = Spread {
        half_width: by_reading.abs() * spread.half_width,
        shape: spread.shape,
    };
    let warmth = by_temperature.abs() * temperature.spread.standard_uncertainty();
    let spread = if warmth > 0.0 {
        let u = own.standard_uncertainty();
        Spread::normal(2.0 * (u * u + warmth * warmth).sqrt())
    } else {
        own
    };
    Ok(Told {
        instrument,
        salinity: Amount { si, spread },
        stated,
    })
}

/// Slope by a small step to both sides, or to the one that lies in range.
fn slope(f: impl Fn(f64) -> Result<f64, OutOfRange>, here: f64, x: f64) -> f64 {
    let step = 1e-6 * x.abs().max(1.0);
    match (f(x - step), f(x + step)) {
        (Ok(below), Ok(above)) => (above - below) / (2.0 * step),
        (Ok(below), Err(_)) => (here - below) / step,
        (Err(_), Ok(above)) => (above - here) / step,
        (Err(_), Err(_)) => 0.0,
    }
}
