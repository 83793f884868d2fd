//! Correcting water whose salinity is off: both ways there are, with their doubt.

use super::Refused;
use super::doubt::{Case, Figure, Input, Inputs};
use super::dry_mix::DryMix;
use physics::mixing::{
    MixingError, Trim, Water, trim_by_replacement, trim_by_salt, trim_by_water, trim_within_room,
};
use station::quantity::Amount;

/// A question for a correction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TrimQuestion {
    pub(crate) volume: Amount,
    /// Practical salinity now, and wanted.
    pub(crate) measured: Amount,
    pub(crate) target: Amount,
    pub(crate) temperature: Amount,
    /// Not needed to weaken.
    pub(crate) mix: Option<DryMix>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum TrimPlan {
    /// The water is as it should be.
    Nothing,
    /// Too weak: add mix; or, where there is no room, draw some off first.
    Salt {
        add_salt_kg: Figure,
        finished_volume_m3: f64,
        withdraw_first_m3: f64,
        add_salt_after_withdrawing_kg: f64,
    },
    /// Too strong: add fresh water; or replace some by fresh water.
    Water {
        add_water_m3: Figure,
        finished_volume_m3: f64,
        replace_water_m3: Figure,
        replace_added_water_m3: f64,
    },
}

/// Plans a correction.
///
/// # Errors
/// [`Refused`].
pub(crate) fn plan(question: &TrimQuestion) -> Result<TrimPlan, Refused> {
    let inputs = Inputs::default()
        .with(Input::Volume, question.volume)
        .with(Input::Measured, question.measured)
        .with(Input::Target, question.target)
        .with(Input::Temperature, question.temperature);
    let (measured, target) = (question.measured.si, question.target.si);
    // Ask for the mass first, so that what lies outside a range is refused also where nothing is to be done.
    water(&inputs.stated()).mass_kg()?;
    if measured == target {
        Ok(TrimPlan::Nothing)
    } else if measured < target {
        let mix = question.mix.ok_or(Refused::NoMix)?;
        by_salt(&mix.add_to(inputs)?, &mix)
    } else {
        by_water(&inputs)
    }
}

fn by_salt(inputs: &Inputs, mix: &DryMix) -> Result<TrimPlan, Refused> {
    let stated = inputs.stated();
    let (water, target) = (water(&stated), stated.get(Input::Target));
    let strength = mix.strength(&stated)?;
    let trim = trim_by_salt(&water, target, strength)?;
    let within = trim_within_room(&water, target, strength, water.volume_m3)?;
    // Where the doubt reaches to the other side, no salt is needed there.
    let answers = inputs.answers(|case| {
        let strength = mix.strength(case)?;
        or_nothing(
            trim_by_salt(&self::water(case), case.get(Input::Target), strength),
            |trim| trim.dry_mass_kg,
        )
    })?;
    Ok(TrimPlan::Salt {
        add_salt_kg: Figure::new(trim.dry_mass_kg, &answers, |kg| *kg),
        finished_volume_m3: trim.finished_volume_m3,
        withdraw_first_m3: within.withdraw_volume_m3,
        add_salt_after_withdrawing_kg: within.dry_mass_kg,
    })
}

fn by_water(inputs: &Inputs) -> Result<TrimPlan, Refused> {
    let stated = inputs.stated();
    let (water, target) = (water(&stated), stated.get(Input::Target));
    let trim = trim_by_water(&water, target)?;
    let replaced = trim_by_replacement(&water, target, 0.0)?;
    let added = inputs.answers(|case| {
        or_nothing(
            trim_by_water(&self::water(case), case.get(Input::Target)),
            |trim| trim.added_volume_m3,
        )
    })?;
    let withdrawn = inputs.answers(|case| {
        or_nothing(
            trim_by_replacement(&self::water(case), case.get(Input::Target), 0.0),
            |trim| trim.withdraw_volume_m3,
        )
    })?;
    Ok(TrimPlan::Water {
        add_water_m3: Figure::new(trim.added_volume_m3, &added, |volume| *volume),
        finished_volume_m3: trim.finished_volume_m3,
        replace_water_m3: Figure::new(replaced.withdraw_volume_m3, &withdrawn, |volume| *volume),
        replace_added_water_m3: replaced.added_volume_m3,
    })
}

/// The amount of a trim; nothing where it would have to go the other way.
fn or_nothing(trim: Result<Trim, MixingError>, amount: impl Fn(&Trim) -> f64) -> Result<f64, MixingError> {
    match trim {
        Ok(trim) => Ok(amount(&trim)),
        Err(MixingError::WrongDirection { .. } | MixingError::TargetBeyondReplacement { .. }) => Ok(0.0),
        Err(error) => Err(error),
    }
}

fn water(case: &Case) -> Water {
    Water {
        volume_m3: case.get(Input::Volume),
        practical_salinity: case.get(Input::Measured),
        temperature_c: case.get(Input::Temperature),
    }
}
