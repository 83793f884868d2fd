//! Planning a batch: how much mix, how much water, what comes of it.

use super::Refused;
use super::doubt::{Case, Figure, Input, Inputs};
use super::dry_mix::DryMix;
use physics::mixing::{
    MixingError, Recipe, Water, batch_from_dry_mass, batch_from_finished_volume, batch_from_fresh_volume,
    fill_up,
};
use physics::seawater::{density_kg_m3, practical_salinity_from_absolute};
use station::quantity::Amount;

/// What the batch is measured by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Measure {
    /// Fresh water before the salt.
    Fresh(Amount),
    /// Salt water once the salt is in.
    Finished(Amount),
    /// A mass of dry mix, such as one bag.
    Bag(Amount),
    /// What is left of the last batch, its salinity, and the volume to fill up to.
    Remainder {
        volume: Amount,
        practical_salinity: Amount,
        to: Amount,
    },
}

/// A question for a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BatchQuestion {
    pub(crate) measure: Measure,
    /// Practical salinity wanted.
    pub(crate) target: Amount,
    pub(crate) temperature: Amount,
    pub(crate) mix: DryMix,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BatchPlan {
    pub(crate) dry_mass_kg: Figure,
    /// Fresh water to take; with a remainder, what is added to it.
    pub(crate) fresh_volume_m3: Figure,
    pub(crate) finished_volume_m3: Figure,
    /// By how much the salt raises the volume.
    pub(crate) rise_fraction: f64,
    /// Share of anhydrous salt in the mix.
    pub(crate) strength: Figure,
    /// What the batch comes to when the stated masses and volumes are taken: the target, and its doubt.
    pub(crate) practical_salinity: Figure,
}

/// One case of it.
#[derive(Debug, Clone, Copy)]
struct Made {
    dry_mass_kg: f64,
    fresh_volume_m3: f64,
    finished_volume_m3: f64,
    rise_fraction: f64,
    strength: f64,
}

/// Plans a batch.
///
/// # Errors
/// [`Refused`] where it can't be made.
pub(crate) fn plan(question: &BatchQuestion) -> Result<BatchPlan, Refused> {
    let inputs = question.inputs()?;
    let stated = question.made(&inputs.stated())?;
    let answers = inputs.answers(|case| question.made(case))?;
    // The target is what is wanted; only the doubt of the rest makes the outcome doubtful.
    let outcomes = inputs
        .without_doubt_of(Input::Target)
        .answers(|case| question.outcome(&stated, case))?;
    Ok(BatchPlan {
        dry_mass_kg: Figure::new(stated.dry_mass_kg, &answers, |made| made.dry_mass_kg),
        fresh_volume_m3: Figure::new(stated.fresh_volume_m3, &answers, |made| made.fresh_volume_m3),
        finished_volume_m3: Figure::new(stated.finished_volume_m3, &answers, |made| {
            made.finished_volume_m3
        }),
        rise_fraction: stated.rise_fraction,
        strength: Figure::new(stated.strength, &answers, |made| made.strength),
        practical_salinity: Figure::new(question.target.si, &outcomes, |salinity| *salinity),
    })
}

impl BatchQuestion {
    fn inputs(&self) -> Result<Inputs, MixingError> {
        let inputs = Inputs::default()
            .with(Input::Target, self.target)
            .with(Input::Temperature, self.temperature);
        let inputs = match self.measure {
            Measure::Fresh(volume) | Measure::Finished(volume) => inputs.with(Input::Volume, volume),
            Measure::Bag(mass) => inputs.with(Input::DryMass, mass),
            Measure::Remainder {
                volume,
                practical_salinity,
                to,
            } => inputs
                .with(Input::Volume, volume)
                .with(Input::RemainderSalinity, practical_salinity)
                .with(Input::FinishedVolume, to),
        };
        self.mix.add_to(inputs)
    }

    fn made(&self, case: &Case) -> Result<Made, MixingError> {
        let recipe = Recipe {
            practical_salinity: case.get(Input::Target),
            temperature_c: case.get(Input::Temperature),
            strength: self.mix.strength(case)?,
        };
        let batch = match self.measure {
            Measure::Fresh(_) => batch_from_fresh_volume(&recipe, case.get(Input::Volume))?,
            Measure::Finished(_) => batch_from_finished_volume(&recipe, case.get(Input::Volume))?,
            Measure::Bag(_) => batch_from_dry_mass(&recipe, case.get(Input::DryMass))?,
            Measure::Remainder { .. } => return filled_up(&recipe, case),
        };
        Ok(Made {
            dry_mass_kg: batch.dry_mass_kg,
            fresh_volume_m3: batch.fresh_volume_m3,
            finished_volume_m3: batch.finished_volume_m3,
            rise_fraction: batch.rise_fraction,
            strength: recipe.strength,
        })
    }

    /// Practical salinity when the stated mass of mix goes into this case's water.
    fn outcome(&self, stated: &Made, case: &Case) -> Result<f64, MixingError> {
        let strength = self.mix.strength(case)?;
        let temperature_c = case.get(Input::Temperature);
        let finished_density = density_kg_m3(case.get(Input::Target), temperature_c)?;
        let salt_kg = strength * stated.dry_mass_kg;
        let (salt_kg, water_kg) = match self.measure {
            Measure::Fresh(_) => {
                let fresh_kg = case.get(Input::Volume) * density_kg_m3(0.0, temperature_c)?;
                (salt_kg, fresh_kg + stated.dry_mass_kg)
            }
            Measure::Finished(_) => (salt_kg, case.get(Input::Volume) * finished_density),
            Measure::Bag(_) => {
                let dry_kg = case.get(Input::DryMass);
                let fresh_kg = stated.fresh_volume_m3 * density_kg_m3(0.0, temperature_c)?;
                (strength * dry_kg, fresh_kg + dry_kg)
            }
            Measure::Remainder { .. } => {
                let salt_left_kg = remainder(case).salt_kg()?;
                (
                    salt_kg + salt_left_kg,
                    case.get(Input::FinishedVolume) * finished_density,
                )
            }
        };
        Ok(practical_salinity_from_absolute(1000.0 * salt_kg / water_kg))
    }
}

fn filled_up(recipe: &Recipe, case: &Case) -> Result<Made, MixingError> {
    let remainder = remainder(case);
    let filled = fill_up(
        recipe,
        remainder.volume_m3,
        remainder.practical_salinity,
        case.get(Input::FinishedVolume),
    )?;
    Ok(Made {
        dry_mass_kg: filled.dry_mass_kg,
        fresh_volume_m3: filled.water_volume_m3,
        finished_volume_m3: filled.finished_volume_m3,
        rise_fraction: filled.finished_volume_m3 / (remainder.volume_m3 + filled.water_volume_m3) - 1.0,
        strength: recipe.strength,
    })
}

fn remainder(case: &Case) -> Water {
    Water {
        volume_m3: case.get(Input::Volume),
        practical_salinity: case.get(Input::RemainderSalinity),
        temperature_c: case.get(Input::Temperature),
    }
}
