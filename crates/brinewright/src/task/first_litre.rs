//! The hold-up behind the membrane, from a logged first litre.

use physics::membrane::{FirstLitre, HoldUpFit, MembraneError, Scatter, fit_hold_up};
use station::Station;

/// Dissolved solids in kg/m³ for each S/m, where no station says otherwise: 0.65 mg/L for each µS/cm (common
/// practice, no source).
const USUAL_FACTOR: f64 = 6.5;

/// What the readings tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Told {
    /// The fit over all membranes together.
    pub(crate) fit: HoldUpFit,
    /// Whether the steady permeate was given, not fitted.
    pub(crate) steady_given: bool,
    /// How many membranes the hold-up is shared by.
    pub(crate) membranes: usize,
    /// What the file has for each membrane: value and half-width, m³.
    pub(crate) in_file: Option<(f64, f64)>,
    /// Dissolved solids for each S/m that was used.
    pub(crate) factor: f64,
}

impl Told {
    /// Hold-up of one membrane with its ends, m³; an end is nothing where the readings set no limit.
    pub(crate) fn each(&self) -> (f64, Option<f64>, Option<f64>) {
        let share = |volume: f64| volume / self.membranes as f64;
        (
            share(self.fit.hold_up_m3),
            (self.fit.low_m3 > 0.0).then(|| share(self.fit.low_m3)),
            self.fit.high_m3.is_finite().then(|| share(self.fit.high_m3)),
        )
    }

    /// Whether the file's value lies within what the readings allow, or its own doubt reaches there.
    pub(crate) fn agrees_with_file(&self) -> Option<bool> {
        let (value, half_width) = self.in_file?;
        let (_, low, high) = self.each();
        Some(value + half_width >= low.unwrap_or(0.0) && value - half_width <= high.unwrap_or(f64::INFINITY))
    }
}

/// A reading of the permeate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Reading {
    /// Conductivity at 25 C, S/m.
    Conductivity(f64),
    /// Dissolved solids, kg/m³.
    Solids(f64),
}

impl Reading {
    /// What was shown, as a number; of one kind with the others it can be compared.
    pub(crate) fn number(self) -> f64 {
        match self {
            Self::Conductivity(number) | Self::Solids(number) => number,
        }
    }

    pub(crate) fn solids_kg_m3(self, factor: f64) -> f64 {
        match self {
            Self::Conductivity(s_m) => s_m * factor,
            Self::Solids(solids) => solids,
        }
    }
}

/// Fits the hold-up.
///
/// # Errors
/// [`MembraneError`] where the readings don't tell it.
pub(crate) fn first_litre(
    readings: &[(f64, Reading)],
    steady: Option<Reading>,
    station: Option<&Station>,
) -> Result<Told, MembraneError> {
    // µS/cm to S/m and mg/L to kg/m³: the factor grows tenfold.
    let factor = station
        .and_then(|station| station.feed.as_ref())
        .map_or(USUAL_FACTOR, |feed| {
            10.0 * feed.solids_per_conductivity.value.plain()
        });
    let solids: Vec<(f64, f64)> = readings
        .iter()
        .map(|(volume, reading)| (*volume, reading.solids_kg_m3(factor)))
        .collect();
    let fit = fit_hold_up(&FirstLitre {
        readings: &solids,
        steady_kg_m3: steady.map(|steady| steady.solids_kg_m3(factor)),
        scatter: Scatter::METER,
    })?;
    let purifier = station.and_then(|station| station.purifier.as_ref());
    Ok(Told {
        fit,
        steady_given: steady.is_some(),
        membranes: purifier.map_or(1, |purifier| purifier.membranes.len().max(1)),
        in_file: purifier.map(|purifier| {
            let field = &purifier.fields.hold_up;
            (field.value.m3(), field.spread.half_width)
        }),
        factor,
    })
}
