//! Correcting water whose salinity is off: both ways there are, with their doubt, and what fits under a rim.

use super::Refused;
use super::doubt::{Case, Figure, Input, Inputs};
use super::dry_mix::DryMix;
use physics::mixing::{
    MixingError, Trim, Water, trim_by_replacement, trim_by_salt, trim_by_water, trim_within_room,
};
use physics::vessel::{Dimensions, LevelError, Shape};
use station::Vessel;
use station::quantity::{Amount, Spread};

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

/// The same where a rim limits it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RoomPlan {
    /// Both ways, as if there were room for anything.
    pub(crate) plan: TrimPlan,
    /// What is done in this vessel.
    pub(crate) steps: Steps,
}

/// First draw off, then add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Steps {
    /// Nothing where all of it fits.
    pub(crate) withdraw_m3: Figure,
    /// Dry mix in kg, or fresh water in m³.
    pub(crate) add: Figure,
    /// What the vessel holds afterwards.
    pub(crate) finished_volume_m3: f64,
}

impl Steps {
    /// Whether nothing needs to be drawn off.
    pub(crate) fn fits(&self) -> bool {
        self.withdraw_m3.value <= 0.0
    }
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

/// Plans a correction in a vessel that may hold `room_m3` at most.
///
/// Water that stands above that already is drawn off with the rest.
///
/// # Errors
/// [`Refused`].
pub(crate) fn plan_in_room(question: &TrimQuestion, room_m3: f64) -> Result<RoomPlan, Refused> {
    let plan = plan(question)?;
    let inputs = Inputs::default()
        .with(Input::Volume, question.volume)
        .with(Input::Measured, question.measured)
        .with(Input::Target, question.target)
        .with(Input::Temperature, question.temperature);
    let mix = match plan {
        TrimPlan::Salt { .. } => question.mix,
        TrimPlan::Nothing | TrimPlan::Water { .. } => None,
    };
    let inputs = match &mix {
        Some(mix) => mix.add_to(inputs)?,
        None => inputs,
    };
    let steps = |case: &Case| {
        let strength = match &mix {
            Some(mix) => mix.strength(case)?,
            None => NO_MATTER,
        };
        within(&water(case), case.get(Input::Target), strength, room_m3)
    };
    let stated = steps(&inputs.stated())?;
    let strengthens = mix.is_some();
    let added = |trim: &Trim| {
        if strengthens {
            trim.dry_mass_kg
        } else {
            trim.added_volume_m3
        }
    };
    let answers = inputs.answers(|case| match steps(case) {
        // Where the doubt reaches to the other side, nothing of this is needed there.
        Ok(trim) if added(&trim) > 0.0 => Ok((trim.withdraw_volume_m3, added(&trim))),
        Ok(_) => Ok((0.0, 0.0)),
        Err(error) => Err(error),
    })?;
    let steps = Steps {
        withdraw_m3: Figure::new(stated.withdraw_volume_m3, &answers, |(drawn, _)| *drawn),
        add: Figure::new(added(&stated), &answers, |(_, added)| *added),
        finished_volume_m3: stated.finished_volume_m3,
    };
    Ok(RoomPlan { plan, steps })
}

/// Strength of a mix that none is needed of.
const NO_MATTER: f64 = 1.0;

/// The trim within a room, also for water that stands above it: what is too much is drawn off before anything.
fn within(water: &Water, target: f64, strength: f64, room_m3: f64) -> Result<Trim, MixingError> {
    let too_much_m3 = (water.volume_m3 - room_m3).max(0.0);
    let below = Water {
        volume_m3: water.volume_m3 - too_much_m3,
        ..*water
    };
    let trim = trim_within_room(&below, target, strength, room_m3.max(below.volume_m3))?;
    Ok(Trim {
        withdraw_volume_m3: trim.withdraw_volume_m3 + too_much_m3,
        ..trim
    })
}

/// Volume below a level in a vessel, m³, with the doubt of the level and of the vessel's dimensions, to first
/// order (JCGM 100, 5.1.2).
///
/// # Errors
/// [`LevelError`] for a level below the floor or above the rim.
pub(crate) fn volume_at(vessel: &Vessel, level: Amount) -> Result<Amount, LevelError> {
    let shape = &vessel.shape;
    let si = shape.volume_m3(level.si)?;
    let by_level = shape.free_surface_m2(level.si)? * level.spread.standard_uncertainty();
    let mut squares = by_level * by_level;
    for (index, dimension) in vessel.dimensions.iter().enumerate() {
        let u = dimension.field.spread.standard_uncertainty();
        // A dimension that can't be changed alone, such as the height of a brim-full vessel, moves the rim only.
        let moved = |by: f64| {
            let mut dimensions = shape.dimensions().clone();
            **parts(&mut dimensions).get_mut(index)? += by;
            Shape::new(dimensions).ok()?.volume_m3(level.si).ok()
        };
        if u > 0.0
            && let Some(volume_m3) = moved(u).or_else(|| moved(-u))
        {
            squares += (volume_m3 - si) * (volume_m3 - si);
        }
    }
    Ok(Amount {
        si,
        spread: Spread::normal(2.0 * squares.sqrt()),
    })
}

/// The numbers of a vessel's dimensions, in the order of the station's file.
fn parts(dimensions: &mut Dimensions) -> Vec<&mut f64> {
    match dimensions {
        Dimensions::Cylinder { diameter_m, height_m } => vec![diameter_m, height_m],
        Dimensions::TaperedRound {
            diameter_bottom_m,
            diameter_top_m,
            height_m,
        } => vec![diameter_bottom_m, diameter_top_m, height_m],
        Dimensions::Box {
            length_m,
            width_m,
            height_m,
        } => vec![length_m, width_m, height_m],
        Dimensions::TaperedBox {
            length_bottom_m,
            width_bottom_m,
            length_top_m,
            width_top_m,
            height_m,
        } => vec![
            length_bottom_m,
            width_bottom_m,
            length_top_m,
            width_top_m,
            height_m,
        ],
        Dimensions::HorizontalCylinder { diameter_m, length_m } => vec![diameter_m, length_m],
        Dimensions::ConeBottom {
            diameter_m,
            cone_height_m,
            cone_outlet_diameter_m,
            height_m,
        } => vec![cone_outlet_diameter_m, diameter_m, cone_height_m, height_m],
        Dimensions::Table { rows } => rows
            .iter_mut()
            .flat_map(|row| [&mut row.level_m, &mut row.volume_m3])
            .collect(),
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
