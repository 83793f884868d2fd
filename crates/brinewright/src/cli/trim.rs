//! `brinewright trim`: correcting water whose salinity is off.

use super::page::Page;
use super::{Answer, Output, read};
use crate::failure::{Failure, Fault, Gathered};
use crate::task::Refused;
use crate::task::trim::{TrimPlan, TrimQuestion, plan};
use clap::Args;
use serde::Serialize;
use station::quantity::{Kind, UnitSystem};

/// A correction of salt water: how much mix or fresh water brings it to the salinity wanted
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Salt water there is, such as "200 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// Salinity it has
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    measured: Option<String>,
    /// Salinity wanted
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    target: Option<String>,
    /// Temperature of the water, such as "24 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Share of the mix that is salt, such as 0.93; needed to strengthen only
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    anhydrous_fraction: Option<String>,
    /// What the bag says, in place of --anhydrous-fraction: "20 kg makes 540 L at 35"
    #[arg(long, value_name = "WORDS", allow_hyphen_values = true)]
    label: Option<String>,
}

const PLACES: [(&str, &str); 4] = [
    ("volume", "--volume"),
    ("temperature", "--temperature"),
    ("practical salinity", "--target"),
    ("strength of the mix", "--anhydrous-fraction"),
];

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let question = options.question()?;
    let plan = plan(&question).map_err(|refused| {
        Failure::from(match refused {
            Refused::NoMix => read::no_mix(),
            Refused::TooDoubtful => Fault::too_doubtful(),
            Refused::Mixing(error) => {
                let otherwise = if options.label.is_some() {
                    "--label"
                } else {
                    "--target"
                };
                Fault::mixing(&error, &PLACES, otherwise)
            }
        })
    })?;
    Ok(Answer {
        text: page(&question, &plan, output.system()),
        json: json(&plan),
        ..Answer::default()
    })
}

impl Options {
    fn question(&self) -> Result<TrimQuestion, Failure> {
        let mut faults = Gathered::default();
        let temperature = faults.take(
            read::required("--temperature", self.temperature.as_ref(), "\"24 C\"")
                .and_then(|text| read::temperature("--temperature", text)),
        );
        let volume = faults.take(
            read::required("--volume", self.volume.as_ref(), "\"200 L\"")
                .and_then(|text| read::above_zero("--volume", text, Kind::Volume)),
        );
        let measured = faults.take(
            read::required("--measured", self.measured.as_ref(), "36.4")
                .and_then(|text| read::salinity("--measured", text, temperature)),
        );
        let target = faults.take(
            read::required("--target", self.target.as_ref(), "35")
                .and_then(|text| read::salinity("--target", text, temperature)),
        );
        let mix = read::dry_mix(self.anhydrous_fraction.as_ref(), self.label.as_ref(), &mut faults);
        let all = volume.zip(temperature).zip(measured.zip(target));
        let ((volume, temperature), (measured, target)) = faults.settle(all)?;
        Ok(TrimQuestion {
            volume,
            measured,
            target,
            temperature,
            mix,
        })
    }
}

fn page(question: &TrimQuestion, plan: &TrimPlan, system: UnitSystem) -> String {
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

const SALT_CAUTIONS: [&str; 3] = [
    "Add the salt slowly to moving water; never pour water onto dry salt.",
    "Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.",
    "Never add dry salt to a vessel with animals in it.",
];

fn json(plan: &TrimPlan) -> String {
    #[derive(Default, Serialize)]
    struct Trim {
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
        add_salt_after_withdrawing_kg: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        add_water_m3: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        add_water_low_m3: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        add_water_high_m3: Option<f64>,
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
    super::page::json(&Trim { format: 1, ..answer })
}
