//! Two waters poured together, and the parts of two that fill a bucket.

use super::Refused;
use super::doubt::{Case, Figure, Input, Inputs};
use physics::mixing::{BlendParts, MixingError, Portion, Water, blend, blend_parts};
use station::quantity::Amount;

/// Columns of draws for the second water. No label is in play here, so its columns are free.
const OTHER_VOLUME: Input = Input::LabelVolume;
const OTHER_SALINITY: Input = Input::LabelSalinity;
const OTHER_TEMPERATURE: Input = Input::LabelTemperature;

/// Two waters to be poured together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BlendQuestion {
    pub(crate) volume: Amount,
    pub(crate) practical_salinity: Amount,
    pub(crate) temperature: Amount,
    pub(crate) other_volume: Amount,
    pub(crate) other_practical_salinity: Amount,
    /// That of the first water where it is unsaid.
    pub(crate) other_temperature: Option<Amount>,
}

/// What comes of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Blended {
    pub(crate) volume_m3: Figure,
    pub(crate) practical_salinity: Figure,
    pub(crate) temperature_c: Figure,
}

/// A bucket to be filled from a stronger and a weaker water, all at one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BucketQuestion {
    pub(crate) volume: Amount,
    pub(crate) strong: Amount,
    pub(crate) weak: Amount,
    pub(crate) wanted: Amount,
    pub(crate) temperature: Amount,
}

/// How much of each goes into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Parts {
    pub(crate) strong_volume_m3: Figure,
    pub(crate) weak_volume_m3: Figure,
}

/// Pours two waters together.
///
/// # Errors
/// [`Refused`].
pub(crate) fn pour(question: &BlendQuestion) -> Result<Blended, Refused> {
    let inputs = Inputs::default()
        .with(Input::Volume, question.volume)
        .with(Input::Measured, question.practical_salinity)
        .with(Input::Temperature, question.temperature)
        .with(OTHER_VOLUME, question.other_volume)
        .with(OTHER_SALINITY, question.other_practical_salinity);
    let (inputs, other_temperature) = match question.other_temperature {
        Some(temperature) => (inputs.with(OTHER_TEMPERATURE, temperature), OTHER_TEMPERATURE),
        // Unsaid, both waters share one temperature and its doubt.
        None => (inputs, Input::Temperature),
    };
    let poured = |case: &Case| {
        let first = water(case, Input::Volume, Input::Measured, Input::Temperature);
        let other = water(case, OTHER_VOLUME, OTHER_SALINITY, other_temperature);
        blend(&Portion::of(first)?, &Portion::of(other)?)
    };
    let stated = poured(&inputs.stated())?;
    let answers = inputs.answers(poured)?;
    Ok(Blended {
        volume_m3: Figure::new(stated.volume_m3, &answers, |water| water.volume_m3),
        practical_salinity: Figure::new(stated.practical_salinity, &answers, |water| {
            water.practical_salinity
        }),
        temperature_c: Figure::new(stated.temperature_c, &answers, |water| water.temperature_c),
    })
}

/// Tells how much of a stronger and a weaker water fill a bucket.
///
/// # Errors
/// [`Refused`], also for a salinity wanted that isn't between the two.
pub(crate) fn fill_bucket(question: &BucketQuestion) -> Result<Parts, Refused> {
    let inputs = Inputs::default()
        .with(Input::Volume, question.volume)
        .with(Input::Measured, question.strong)
        .with(OTHER_SALINITY, question.weak)
        .with(Input::Target, question.wanted)
        .with(Input::Temperature, question.temperature);
    let stated = parts(&inputs.stated())?;
    let answers = inputs.answers(parts)?;
    Ok(Parts {
        strong_volume_m3: Figure::new(stated.strong_volume_m3, &answers, |parts| parts.strong_volume_m3),
        weak_volume_m3: Figure::new(stated.weak_volume_m3, &answers, |parts| parts.weak_volume_m3),
    })
}

fn parts(case: &Case) -> Result<BlendParts, MixingError> {
    let wanted = water(case, Input::Volume, Input::Target, Input::Temperature);
    blend_parts(&wanted, case.get(Input::Measured), case.get(OTHER_SALINITY))
}

fn water(case: &Case, volume: Input, salinity: Input, temperature: Input) -> Water {
    Water {
        volume_m3: case.get(volume),
        practical_salinity: case.get(salinity),
        temperature_c: case.get(temperature),
    }
}
