//! How strong the mix in hand is: stated, or what its label amounts to.

use super::doubt::{Case, Input, Inputs};
use physics::mixing::{
    Label, MixingError, STRENGTH_RANGE, UNSAID_FINISHED_SHARE, UNSAID_FINISHED_SHARE_HALF_WIDTH,
    strength_from_label,
};
use station::label::{LabelText, LabelVolume};
use station::quantity::{Amount, Spread};

/// The mix as its owner knows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum DryMix {
    /// Share of anhydrous salt.
    Strength(Amount),
    /// What the bag says.
    Label(LabelText),
}

/// A label that leaves something open counts as one for this salinity and temperature. House rule: mixes are
/// labelled for 33.5 to 36.5 and for rooms.
const UNSAID_SALINITY: Amount = Amount {
    si: 35.0,
    spread: Spread::normal(1.5),
};
const UNSAID_TEMPERATURE: Amount = Amount {
    si: 25.0,
    spread: Spread::normal(5.0),
};

impl DryMix {
    /// Adds what is known of the mix to the inputs of a question.
    ///
    /// # Errors
    /// [`MixingError`] for a strength that isn't believed, and for a label that can't be.
    pub(crate) fn add_to(&self, inputs: Inputs) -> Result<Inputs, MixingError> {
        match self {
            Self::Strength(strength) => {
                STRENGTH_RANGE.require(strength.si)?;
                Ok(inputs.with(Input::Strength, *strength))
            }
            Self::Label(label) => Ok(inputs
                .with(Input::LabelMass, label.mass)
                .with(Input::LabelVolume, label.volume)
                .with(Input::LabelSalinity, label.salinity.unwrap_or(UNSAID_SALINITY))
                .with(
                    Input::LabelTemperature,
                    label.temperature.unwrap_or(UNSAID_TEMPERATURE),
                )
                .with(Input::LabelFinishedShare, finished_share(label)?)),
        }
    }

    /// Strength of the mix in one case.
    pub(crate) fn strength(&self, case: &Case) -> Result<f64, MixingError> {
        match self {
            Self::Strength(_) => Ok(STRENGTH_RANGE.require(case.get(Input::Strength))?),
            Self::Label(_) => {
                let label = Label {
                    dry_mass_kg: case.get(Input::LabelMass),
                    volume_m3: case.get(Input::LabelVolume),
                    practical_salinity: case.get(Input::LabelSalinity),
                    temperature_c: case.get(Input::LabelTemperature),
                };
                strength_from_label(&label, case.get(Input::LabelFinishedShare))
            }
        }
    }

    /// What the label leaves open, each with what it was taken for.
    pub(crate) fn left_open(&self) -> Vec<&'static str> {
        let Self::Label(label) = self else {
            return Vec::new();
        };
        let mut open = Vec::new();
        if label.salinity.is_none() {
            open.push("its salinity (taken as 35 ± 1.5)");
        }
        if label.temperature.is_none() {
            open.push("its temperature (taken as 25 °C ± 5 °C)");
        }
        if label.counts.is_none() {
            open.push("whether its volume is fresh or finished water (taken as either)");
        }
        open
    }
}

/// The finished share of the label's volume. Where the label doesn't say, and the bag can't hold the salt that the
/// lower shares need, only the upper ones are left.
fn finished_share(label: &LabelText) -> Result<Amount, MixingError> {
    match label.counts {
        Some(LabelVolume::Fresh) => return Ok(certain(0.0)),
        Some(LabelVolume::Finished) => return Ok(certain(1.0)),
        None => {}
    }
    let stated = Label {
        dry_mass_kg: label.mass.si,
        volume_m3: label.volume.si,
        practical_salinity: label.salinity.unwrap_or(UNSAID_SALINITY).si,
        temperature_c: label.temperature.unwrap_or(UNSAID_TEMPERATURE).si,
    };
    let finished = strength_from_label(&stated, 1.0)?;
    match strength_from_label(&stated, 0.0) {
        Err(MixingError::LabelImpossible { strength: fresh, .. }) => {
            // Strength falls straight from the fresh to the finished share.
            let least = (fresh - STRENGTH_RANGE.max) / (fresh - finished);
            Ok(Amount {
                si: (least + 1.0) / 2.0,
                spread: Spread::limits((1.0 - least) / 2.0),
            })
        }
        _ => Ok(Amount {
            si: UNSAID_FINISHED_SHARE,
            spread: Spread::limits(UNSAID_FINISHED_SHARE_HALF_WIDTH),
        }),
    }
}

fn certain(si: f64) -> Amount {
    Amount {
        si,
        spread: Spread::NONE,
    }
}
