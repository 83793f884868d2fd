//! `brinewright batch`: how much mix and how much water.

use super::page::Page;
use super::{Answer, Output, read};
use crate::failure::{COMMAND_LINE, Failure, Fault, Gathered};
use crate::task::Refused;
use crate::task::batch::{BatchPlan, BatchQuestion, Measure, plan};
use clap::Args;
use serde::Serialize;
use station::quantity::{Kind, UnitSystem};

/// A batch of salt water: how much mix to weigh out, how much water to take, what comes of it
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Fresh water before the salt, such as "200 L"
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    volume: Option<String>,
    /// Salt water wanted in the end, in place of --volume
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    finished: Option<String>,
    /// Mix to use up, such as one bag of "20 kg", in place of --volume
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    bag: Option<String>,
    /// Salt water left of the last batch, in place of --volume; needs --remaining-salinity and --to
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    remaining: Option<String>,
    /// Salinity of what is left
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    remaining_salinity: Option<String>,
    /// Volume to fill up to
    #[arg(long, value_name = "VOLUME", allow_hyphen_values = true)]
    to: Option<String>,
    /// Salinity wanted
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    target: Option<String>,
    /// Temperature of the water, such as "24 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Share of the mix that is salt, the rest being water of crystallisation, such as 0.93
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    anhydrous_fraction: Option<String>,
    /// What the bag says, in place of --anhydrous-fraction: "20 kg makes 540 L at 35 and 25 C finished"
    #[arg(long, value_name = "WORDS", allow_hyphen_values = true)]
    label: Option<String>,
}

/// Where a quantity of that name was given.
fn places(measure: &Measure) -> [(&'static str, &'static str); 5] {
    let volume = match measure {
        Measure::Fresh(_) => "--volume",
        Measure::Finished(_) => "--finished",
        Measure::Bag(_) => "--bag",
        Measure::Remainder { .. } => "--remaining",
    };
    [
        ("volume", volume),
        ("mass", volume),
        ("temperature", "--temperature"),
        ("practical salinity", "--target"),
        ("strength of the mix", "--anhydrous-fraction"),
    ]
}

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let question = options.question()?;
    let plan = plan(&question).map_err(|refused| Failure::from(options.refusal(&refused, &question)))?;
    Ok(Answer {
        text: page(&question, &plan, output.system()),
        json: json(&question, &plan),
        ..Answer::default()
    })
}

impl Options {
    fn refusal(&self, refused: &Refused, question: &BatchQuestion) -> Fault {
        use physics::mixing::MixingError::{FinishedVolumeTooSmall, FreshTarget, RemainderTooStrong};
        let error = match refused {
            Refused::NoMix => return read::no_mix(),
            Refused::TooDoubtful => return Fault::too_doubtful(),
            Refused::Mixing(error) => error,
        };
        let otherwise = match error {
            RemainderTooStrong { .. } => "--remaining",
            FinishedVolumeTooSmall { .. } => "--to",
            FreshTarget => "--target",
            _ if self.label.is_some() => "--label",
            _ => COMMAND_LINE,
        };
        Fault::mixing(error, &places(&question.measure), otherwise)
    }

    fn question(&self) -> Result<BatchQuestion, Failure> {
        let mut faults = Gathered::default();
        let temperature = faults.take(
            read::required("--temperature", self.temperature.as_ref(), "\"24 C\"")
                .and_then(|text| read::temperature("--temperature", text)),
        );
        let target = faults.take(
            read::required("--target", self.target.as_ref(), "35")
                .and_then(|text| read::salinity("--target", text, temperature)),
        );
        let measure = self.measure(temperature, &mut faults);
        let mix = read::dry_mix(self.anhydrous_fraction.as_ref(), self.label.as_ref(), &mut faults);
        if self.anhydrous_fraction.is_none() && self.label.is_none() {
            faults.push(read::no_mix());
        }
        let all = measure.zip(target).zip(temperature.zip(mix));
        let ((measure, target), (temperature, mix)) = faults.settle(all)?;
        Ok(BatchQuestion {
            measure,
            target,
            temperature,
            mix,
        })
    }

    fn measure(
        &self,
        temperature: Option<station::quantity::Amount>,
        faults: &mut Gathered,
    ) -> Option<Measure> {
        let options = [
            ("--volume", self.volume.as_ref()),
            ("--finished", self.finished.as_ref()),
            ("--bag", self.bag.as_ref()),
            ("--remaining", self.remaining.as_ref()),
        ];
        let name = faults.take(read::one_of(&options, "--volume \"200 L\""))?;
        let text = options
            .iter()
            .find(|(option, _)| *option == name)
            .and_then(|(_, text)| *text)?;
        if name != "--remaining" {
            for (option, given) in [
                ("--remaining-salinity", &self.remaining_salinity),
                ("--to", &self.to),
            ] {
                if given.is_some() {
                    faults.push(Fault::new(
                        option,
                        "belongs to --remaining",
                        "leave it out, or give --remaining",
                    ));
                }
            }
        }
        match name {
            "--volume" => faults
                .take(read::above_zero(name, text, Kind::Volume))
                .map(Measure::Fresh),
            "--finished" => faults
                .take(read::above_zero(name, text, Kind::Volume))
                .map(Measure::Finished),
            "--bag" => faults
                .take(read::above_zero(name, text, Kind::Mass))
                .map(Measure::Bag),
            _ => {
                let volume = faults.take(read::above_zero(name, text, Kind::Volume));
                let practical_salinity = faults.take(
                    read::required("--remaining-salinity", self.remaining_salinity.as_ref(), "34.2")
                        .and_then(|text| read::salinity("--remaining-salinity", text, temperature)),
                );
                let to = faults.take(
                    read::required("--to", self.to.as_ref(), "\"200 L\"")
                        .and_then(|text| read::above_zero("--to", text, Kind::Volume)),
                );
                if let (Some(volume), Some(to)) = (volume, to)
                    && to.si < volume.si
                {
                    faults.push(Fault::new(
                        "--to",
                        "is less than what is left",
                        "fill up further, or draw some off first",
                    ));
                }
                Some(Measure::Remainder {
                    volume: volume?,
                    practical_salinity: practical_salinity?,
                    to: to?,
                })
            }
        }
    }
}

fn page(question: &BatchQuestion, plan: &BatchPlan, system: UnitSystem) -> String {
    let mut page = Page::new(system);
    page.paragraph(&weigh_out(&page, question, plan));
    page.paragraph(&fill_and_rise(&page, question, plan));
    if let Some(half_width) = plan.practical_salinity.half_width() {
        page.paragraph(&format!(
            "Weighed and measured so, the salinity comes to {}{}. Test it before use.",
            page.figure(Kind::Salinity, &plan.practical_salinity),
            if half_width > 1.0 { ", which is wide" } else { "" },
        ));
    }
    let open = question.mix.left_open();
    if !open.is_empty() {
        page.list("The label doesn't say", &open);
    }
    if plan.dry_mass_kg.value > 0.0 {
        page.list("Take care", &CAUTIONS);
    }
    page.into_text()
}

const CAUTIONS: [&str; 4] = [
    "Add the salt slowly to moving water; never pour water onto dry salt.",
    "Salt dust hurts eyes and lungs: pour low, face turned away, glasses on.",
    "Never mix in a vessel with animals in it.",
    "Heat and test only when all of it is dissolved.",
];

fn weigh_out(page: &Page, question: &BatchQuestion, plan: &BatchPlan) -> String {
    let target = page.plain(Kind::Salinity, question.target.si);
    let mass = page.figure(Kind::Mass, &plan.dry_mass_kg);
    match question.measure {
        Measure::Bag(bag) => format!(
            "{} of mix makes {} of salt water at a salinity of {target}.",
            page.amount(Kind::Mass, bag),
            page.figure(Kind::Volume, &plan.finished_volume_m3)
        ),
        _ if plan.dry_mass_kg.value <= 0.0 => {
            format!("No mix is needed for a salinity of {target}.")
        }
        _ => format!("Weigh out {mass} of mix for a salinity of {target}."),
    }
}

fn fill_and_rise(page: &Page, question: &BatchQuestion, plan: &BatchPlan) -> String {
    let temperature = page.plain(Kind::Temperature, question.temperature.si);
    let fresh = match question.measure {
        Measure::Fresh(volume) => page.amount(Kind::Volume, volume),
        _ => page.plain(Kind::Volume, plan.fresh_volume_m3.value),
    };
    let finished = page.plain(Kind::Volume, plan.finished_volume_m3.value);
    let rise = format!("{:.1} %", plan.rise_fraction * 100.0);
    match question.measure {
        Measure::Remainder {
            volume,
            practical_salinity,
            ..
        } => format!(
            "To the {} left at {} add {fresh} of fresh water, all at {temperature}, then the salt; it comes to \
             {finished}. The salt alone raises the volume by {rise}.",
            page.amount(Kind::Volume, volume),
            page.amount(Kind::Salinity, practical_salinity),
        ),
        _ => format!(
            "Fill to {fresh} of fresh water at {temperature} first. Once the salt is in, it is {finished}: between \
             upright walls the level rises by {rise}."
        ),
    }
}

fn json(question: &BatchQuestion, plan: &BatchPlan) -> String {
    #[derive(Serialize)]
    struct Batch {
        format: u32,
        dry_mass_kg: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        dry_mass_low_kg: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        dry_mass_high_kg: Option<f64>,
        fresh_volume_m3: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        fresh_volume_low_m3: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        fresh_volume_high_m3: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        add_water_m3: Option<f64>,
        finished_volume_m3: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        finished_volume_low_m3: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        finished_volume_high_m3: Option<f64>,
        rise_fraction: f64,
        practical_salinity: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_low: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_high: Option<f64>,
        anhydrous_fraction: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        anhydrous_fraction_low: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        anhydrous_fraction_high: Option<f64>,
    }
    let with_remainder = matches!(question.measure, Measure::Remainder { .. });
    super::page::json(&Batch {
        format: 1,
        dry_mass_kg: plan.dry_mass_kg.value,
        dry_mass_low_kg: plan.dry_mass_kg.low(),
        dry_mass_high_kg: plan.dry_mass_kg.high(),
        fresh_volume_m3: plan.fresh_volume_m3.value,
        fresh_volume_low_m3: plan.fresh_volume_m3.low(),
        fresh_volume_high_m3: plan.fresh_volume_m3.high(),
        add_water_m3: with_remainder.then_some(plan.fresh_volume_m3.value),
        finished_volume_m3: plan.finished_volume_m3.value,
        finished_volume_low_m3: plan.finished_volume_m3.low(),
        finished_volume_high_m3: plan.finished_volume_m3.high(),
        rise_fraction: plan.rise_fraction,
        practical_salinity: plan.practical_salinity.value,
        practical_salinity_low: plan.practical_salinity.low(),
        practical_salinity_high: plan.practical_salinity.high(),
        anhydrous_fraction: plan.strength.value,
        anhydrous_fraction_low: plan.strength.low(),
        anhydrous_fraction_high: plan.strength.high(),
    })
}
