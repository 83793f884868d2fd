//! The answers of `brinewright trim`: for a vessel with its rim, and for a volume alone; as text and as data.

use physics::vessel::LevelError;
use serde::Serialize;
use station::quantity::{Kind, UnitSystem, format_tape};
use station::{Vessel, spoken};

use super::Taken;
use crate::cli::page::Page;
use crate::cli::read;
use crate::task::trim::{RoomPlan, TrimPlan, TrimQuestion};

/// Where the water stands in its vessel, m above the floor.
pub(super) struct Stands<'v> {
    pub(super) vessel: &'v Vessel,
    pub(super) room_m3: f64,
    pub(super) before_m: f64,
    /// Once drawn off, before anything is added.
    pub(super) between_m: f64,
    pub(super) after_m: f64,
}

impl<'v> Stands<'v> {
    pub(super) fn new(
        question: &TrimQuestion,
        plan: &RoomPlan,
        vessel: &'v Vessel,
        room_m3: f64,
    ) -> Result<Self, LevelError> {
        let level_m = |volume_m3: f64| vessel.shape.level_m(volume_m3);
        let steps = &plan.steps;
        Ok(Self {
            vessel,
            room_m3,
            before_m: level_m(question.volume.si)?,
            between_m: level_m((question.volume.si - steps.withdraw_m3.value).max(0.0))?,
            after_m: level_m(steps.finished_volume_m3)?,
        })
    }

    pub(super) fn machine(&self, question: &TrimQuestion, plan: &RoomPlan) -> Machine<'v> {
        let steps = &plan.steps;
        let mut trim = Trim {
            withdraw_first_m3: Some(steps.withdraw_m3.value),
            withdraw_first_low_m3: steps.withdraw_m3.low(),
            withdraw_first_high_m3: steps.withdraw_m3.high(),
            finished_volume_m3: Some(steps.finished_volume_m3),
            ..machine(&plan.plan)
        };
        match plan.plan {
            TrimPlan::Nothing => {}
            TrimPlan::Salt { .. } => trim.add_salt_after_withdrawing_kg = Some(steps.add.value),
            TrimPlan::Water { .. } => trim.add_water_after_withdrawing_m3 = Some(steps.add.value),
        }
        Machine {
            trim,
            vessel: self.vessel.name.as_str(),
            volume_m3: question.volume.si,
            target: question.target.si,
            temperature_c: question.temperature.si,
            room_m3: self.room_m3,
            fits: steps.fits(),
            level_before_m: self.before_m,
            level_m: self.after_m,
        }
    }
}

#[derive(Serialize)]
pub(super) struct Machine<'v> {
    #[serde(flatten)]
    trim: Trim,
    vessel: &'v str,
    volume_m3: f64,
    target: f64,
    temperature_c: f64,
    /// Up to the freeboard.
    room_m3: f64,
    fits: bool,
    level_before_m: f64,
    level_m: f64,
}

/// The letter of the form with a station file.
pub(super) fn vessel_page(
    question: &TrimQuestion,
    plan: &RoomPlan,
    stands: &Stands<'_>,
    taken: &[Taken],
    system: UnitSystem,
) -> String {
    let mut page = Page::new(system);
    let name = spoken(&stands.vessel.name);
    let tape = |length_m: f64| format_tape(length_m, system);
    let freeboard_m = stands.vessel.fields.freeboard.value.m();
    let volume = page.amount(Kind::Volume, question.volume);
    let measured = page.amount(Kind::Salinity, question.measured);
    let target = page.plain(Kind::Salinity, question.target.si);
    let steps = &plan.steps;
    let rim_m = stands.vessel.height_m();
    let ends = format!(
        "{}, {} below the rim",
        tape(stands.after_m),
        tape(rim_m - stands.after_m)
    );
    let withdraw = page.figure(Kind::Volume, &steps.withdraw_m3);
    let draw_off = format!("first draw off {withdraw}, down to {};", tape(stands.between_m));
    let opening = format!(
        "{name}: {volume} of salt water stand at {}.",
        tape(stands.before_m)
    );
    let no_room = format!(
        "It doesn't fit: up to its freeboard of {} the vessel holds {}.",
        tape(freeboard_m),
        page.plain(Kind::Volume, stands.room_m3)
    );
    let moves = |add: String| {
        if steps.fits() {
            vec![format!("add {add}; the water then stands at {ends}.")]
        } else {
            vec![
                draw_off.clone(),
                format!("then add {add}; the water then stands at {ends}."),
            ]
        }
    };
    match &plan.plan {
        TrimPlan::Nothing => {
            page.paragraph(&format!(
                "{opening} Nothing to do: a salinity of {measured} is as wanted."
            ));
            if !steps.fits() {
                page.paragraph(&format!(
                    "It stands above the freeboard of {}: draw off {withdraw}, down to {}.",
                    tape(freeboard_m),
                    tape(stands.after_m)
                ));
            }
        }
        TrimPlan::Salt { add_salt_kg, .. } => {
            page.paragraph(&format!(
                "{opening} From a salinity of {measured} up to {target}:"
            ));
            if !steps.fits() {
                let all = page.figure(Kind::Mass, add_salt_kg);
                page.paragraph(&format!("With room for it: {all} of mix. {no_room}"));
            }
            page.list(
                "Do",
                &moves(format!("{} of mix", page.figure(Kind::Mass, &steps.add))),
            );
            page.list("Take care", &SALT_CAUTIONS);
        }
        TrimPlan::Water {
            add_water_m3,
            replace_water_m3,
            ..
        } => {
            page.paragraph(&format!(
                "{opening} From a salinity of {measured} down to {target}:"
            ));
            if !steps.fits() {
                let all = page.figure(Kind::Volume, add_water_m3);
                page.paragraph(&format!("With room for it: {all} of fresh water. {no_room}"));
            }
            let add = page.figure(Kind::Volume, &steps.add);
            page.list("Either", &moves(format!("{add} of fresh water")));
            if question.volume.si <= stands.room_m3 {
                let replace = page.figure(Kind::Volume, replace_water_m3);
                page.list(
                    "or, at the same level,",
                    &[format!("draw off {replace} and put as much fresh water back.")],
                );
            }
        }
    }
    let from_file: Vec<String> = taken
        .iter()
        .map(|taken| match taken {
            Taken::Temperature => format!(
                "temperature {}",
                page.amount(Kind::Temperature, question.temperature)
            ),
            Taken::Target => format!("target {target}"),
            Taken::Batch => format!("one batch of {volume}"),
            Taken::Mix => "strength of the mix".to_owned(),
            Taken::Accuracy => "accuracy of the best instrument".to_owned(),
        })
        .collect();
    let apart = (question.measured.si - question.target.si).abs();
    if apart > 0.0 && apart <= question.measured.spread.half_width {
        page.paragraph(
            "The difference lies within the doubt of the reading: measure again before you correct.",
        );
    }
    if !from_file.is_empty() {
        let words: Vec<&str> = from_file.iter().map(String::as_str).collect();
        page.paragraph(&format!("From the station file: {}.", read::list(&words, "and")));
    }
    page.into_text()
}

pub(super) fn page(question: &TrimQuestion, plan: &TrimPlan, system: UnitSystem) -> String {
    let mut page = Page::new(system);
    let volume = page.amount(Kind::Volume, question.volume);
    let measured = page.amount(Kind::Salinity, question.measured);
    let target = page.plain(Kind::Salinity, question.target.si);
    match plan {
        TrimPlan::Nothing => page.paragraph(&format!(
            "Nothing to do: {volume} at a salinity of {measured} are as wanted."
        )),
        TrimPlan::Salt {
            add_salt_kg,
            finished_volume_m3,
            withdraw_first_m3,
            add_salt_after_withdrawing_kg,
        } => {
            page.paragraph(&format!(
                "From {measured} up to {target}, {volume} of salt water:"
            ));
            let mass = page.figure(Kind::Mass, add_salt_kg);
            let growth = page.plain(Kind::Volume, finished_volume_m3 - question.volume.si);
            let withdraw = page.plain(Kind::Volume, *withdraw_first_m3);
            let less = page.plain(Kind::Mass, *add_salt_after_withdrawing_kg);
            page.list(
                "Either",
                &[format!("add {mass} of mix; the volume grows by {growth};")],
            );
            page.list(
                "or, where there is no room,",
                &[format!(
                    "draw off {withdraw} first and add {less} of mix; the volume stays."
                )],
            );
            page.list("Take care", &SALT_CAUTIONS);
        }
        TrimPlan::Water {
            add_water_m3,
            finished_volume_m3,
            replace_water_m3,
            ..
        } => {
            page.paragraph(&format!(
                "From {measured} down to {target}, {volume} of salt water:"
            ));
            let add = page.figure(Kind::Volume, add_water_m3);
            let finished = page.plain(Kind::Volume, *finished_volume_m3);
            let replace = page.figure(Kind::Volume, replace_water_m3);
            page.list(
                "Either",
                &[format!("add {add} of fresh water, which makes {finished} of it;")],
            );
            page.list(
                "or, at the same volume,",
                &[format!("draw off {replace} and put as much fresh water back.")],
            );
        }
    }
    page.into_text()
}

pub(super) const SALT_CAUTIONS: [&str; 3] = [
    "Add the salt slowly to moving water; never pour water onto dry salt.",
    "Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.",
    "Never add dry salt to a vessel with animals in it.",
];

#[derive(Debug, Default, Serialize)]
pub(super) struct Trim {
    format: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_salt_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_salt_low_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_salt_high_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    withdraw_first_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    withdraw_first_low_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    withdraw_first_high_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_salt_after_withdrawing_kg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_water_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_water_low_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_water_high_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    add_water_after_withdrawing_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replace_water_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replace_water_low_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replace_water_high_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    replace_added_water_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    finished_volume_m3: Option<f64>,
}

pub(super) fn machine(plan: &TrimPlan) -> Trim {
    let answer = match plan {
        TrimPlan::Nothing => Trim {
            add_salt_kg: Some(0.0),
            add_water_m3: Some(0.0),
            replace_water_m3: Some(0.0),
            ..Trim::default()
        },
        TrimPlan::Salt {
            add_salt_kg,
            finished_volume_m3,
            withdraw_first_m3,
            add_salt_after_withdrawing_kg,
        } => Trim {
            add_salt_kg: Some(add_salt_kg.value),
            add_salt_low_kg: add_salt_kg.low(),
            add_salt_high_kg: add_salt_kg.high(),
            withdraw_first_m3: Some(*withdraw_first_m3),
            add_salt_after_withdrawing_kg: Some(*add_salt_after_withdrawing_kg),
            finished_volume_m3: Some(*finished_volume_m3),
            ..Trim::default()
        },
        TrimPlan::Water {
            add_water_m3,
            finished_volume_m3,
            replace_water_m3,
            replace_added_water_m3,
        } => Trim {
            add_water_m3: Some(add_water_m3.value),
            add_water_low_m3: add_water_m3.low(),
            add_water_high_m3: add_water_m3.high(),
            replace_water_m3: Some(replace_water_m3.value),
            replace_water_low_m3: replace_water_m3.low(),
            replace_water_high_m3: replace_water_m3.high(),
            replace_added_water_m3: Some(*replace_added_water_m3),
            finished_volume_m3: Some(*finished_volume_m3),
            ..Trim::default()
        },
    };
    Trim { format: 1, ..answer }
}
