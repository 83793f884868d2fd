//! `brinewright readings`: whether several instruments agree about one water.

use super::page::{Page, Row};
use super::{Answer, Output, read};
use crate::failure::{COMMAND_LINE, Failure, Fault, Gathered};
use crate::task::readings::{
    Comparison, Instrument, REACH, Shown, Told, USUAL_THERMOMETER_C, Unfit, compare,
};
use clap::Args;
use physics::instrument::{AgreementError, HydrometerScale};
use physics::stats::Estimate;
use serde::Serialize;
use station::quantity::{Amount, Kind, Spread};

/// Whether instruments agree about one water, and which is likeliest off
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// A compensating refractometer with a scale of sea water, such as "35.5 ± 0.8"
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    refractometer: Option<String>,
    /// A conductivity meter, such as "50.9 mS/cm ± 1 %"
    #[arg(long, value_name = "CONDUCTIVITY", allow_hyphen_values = true)]
    conductivity: Option<String>,
    /// Its compensation to 25 °C, such as "2 %/C"; none where it isn't given
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    compensation: Option<String>,
    /// A glass hydrometer, such as "1.0255 ± 0.0005"; needs --reference
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    hydrometer: Option<String>,
    /// Scale of the hydrometer: 25C/25C, 20C/20C, 60F/60F or 20C/4C
    #[arg(long, value_name = "SCALE")]
    reference: Option<String>,
    /// A density meter, at the temperature of the water, such as "1023.5 kg/m3 ± 0.2 kg/m3"
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    density: Option<String>,
    /// Salinity from the masses of salt and water, such as "34.8 ± 0.6"
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    weighed: Option<String>,
    /// Temperature of the water, such as "25 C"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
}

const SCALES: [(&str, HydrometerScale); 4] = [
    ("25C/25C", HydrometerScale::TWENTY_FIVE_CELSIUS),
    ("20C/20C", HydrometerScale::TWENTY_CELSIUS),
    ("60F/60F", HydrometerScale::SIXTY_FAHRENHEIT),
    ("20C/4C", HydrometerScale::TWENTY_TO_FOUR_CELSIUS),
];

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let (shown, temperature) = options.shown()?;
    let comparison = compare(&shown, temperature).map_err(|unfit| Failure::from(fault(&unfit)))?;
    let test = deciding_test(&comparison);
    let thermometer_stated = options.temperature.is_none() || !options.bare_temperature();
    Ok(Answer {
        text: page(
            Page::new(output.system()),
            &comparison,
            temperature,
            thermometer_stated,
            test.as_deref(),
        ),
        json: json(&comparison, test.as_deref()),
        ..Answer::default()
    })
}

impl Options {
    /// What the instruments show, and the temperature of the water.
    fn shown(&self) -> Result<(Vec<Shown>, Amount), Failure> {
        let mut faults = Gathered::default();
        let needs_temperature =
            self.conductivity.is_some() || self.hydrometer.is_some() || self.density.is_some();
        let temperature = match &self.temperature {
            Some(text) => faults
                .take(read::temperature("--temperature", text))
                .map(with_thermometer),
            None if needs_temperature => {
                faults.push(Fault::new(
                    "--temperature",
                    "--temperature is needed: conductivity and density change with it",
                    "add --temperature \"25 C\", that of the water when it was read",
                ));
                None
            }
            None => Some(NO_MATTER),
        };
        let mut shown = Vec::new();
        let mut take = |instrument: Option<Instrument>, amount: Option<Amount>| {
            if let Some((instrument, amount)) = instrument.zip(amount) {
                shown.push(Shown { instrument, amount });
            }
        };
        if let Some(text) = &self.refractometer {
            let amount = faults.take(read::salinity("--refractometer", text, None));
            take(Some(Instrument::Refractometer), amount);
        }
        if let Some(text) = &self.conductivity {
            let amount = faults.take(read::above_zero("--conductivity", text, Kind::Conductivity));
            take(self.meter(&mut faults), amount);
        } else if self.compensation.is_some() {
            faults.push(belongs("--compensation", "--conductivity"));
        }
        if let Some(text) = &self.hydrometer {
            let amount = faults.take(read::above_zero("--hydrometer", text, Kind::Number));
            let scale = faults.take(self.scale());
            take(scale.map(Instrument::Hydrometer), amount);
        } else if self.reference.is_some() {
            faults.push(belongs("--reference", "--hydrometer"));
        }
        if let Some(text) = &self.density {
            let amount = faults.take(read::above_zero("--density", text, Kind::Density));
            take(Some(Instrument::DensityMeter), amount);
        }
        if let Some(text) = &self.weighed {
            let amount = faults.take(read::salinity("--weighed", text, None));
            take(Some(Instrument::Weighed), amount);
        }
        let given = [
            &self.refractometer,
            &self.conductivity,
            &self.hydrometer,
            &self.density,
            &self.weighed,
        ];
        if given.iter().filter(|text| text.is_some()).count() < 2 {
            faults.push(Fault::new(
                COMMAND_LINE,
                "two readings or more are needed, to compare them",
                "give two of --refractometer, --conductivity, --hydrometer, --density and --weighed",
            ));
        }
        let temperature = faults.settle(temperature)?;
        Ok((shown, temperature))
    }

    fn meter(&self, faults: &mut Gathered) -> Option<Instrument> {
        let coefficient = match &self.compensation {
            Some(text) => faults.take(read::amount("--compensation", text, Kind::FractionPerKelvin)),
            None => Some(Amount {
                si: 0.0,
                spread: Spread::NONE,
            }),
        };
        coefficient.map(|coefficient| Instrument::ConductivityMeter {
            coefficient_per_c: coefficient.si,
        })
    }

    fn scale(&self) -> Result<HydrometerScale, Fault> {
        let names = SCALES.map(|(name, _)| name);
        let all = read::list(&names, "or");
        let Some(name) = &self.reference else {
            return Err(Fault::new(
                "--reference",
                "a hydrometer says nothing until its scale is known",
                format!("find it on the instrument and add --reference {all}"),
            ));
        };
        let bare: String = name.chars().filter(|c| !c.is_whitespace() && *c != '°').collect();
        SCALES
            .iter()
            .find(|(known, _)| known.eq_ignore_ascii_case(&bare))
            .map(|(_, scale)| *scale)
            .ok_or_else(|| {
                Fault::new(
                    "--reference",
                    format!("`{name}` is no scale of a hydrometer known here"),
                    format!("it is {all}"),
                )
            })
    }

    /// Whether the temperature came without its doubt.
    fn bare_temperature(&self) -> bool {
        self.temperature
            .as_ref()
            .and_then(|text| read::temperature("--temperature", text).ok())
            .is_some_and(|amount| amount.spread.is_none())
    }
}

/// Where nothing depends on the temperature: one at which a refractometer compensates.
const NO_MATTER: Amount = Amount {
    si: 20.0,
    spread: Spread::NONE,
};

fn with_thermometer(amount: Amount) -> Amount {
    if amount.spread.is_none() {
        Amount {
            spread: Spread::normal(USUAL_THERMOMETER_C),
            ..amount
        }
    } else {
        amount
    }
}

fn belongs(option: &str, to: &str) -> Fault {
    Fault::new(
        option,
        format!("{option} belongs to {to}, which isn't given"),
        format!("leave it out, or give {to}"),
    )
}

fn option_of(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::Refractometer => "--refractometer",
        Instrument::ConductivityMeter { .. } => "--conductivity",
        Instrument::Hydrometer(_) => "--hydrometer",
        Instrument::DensityMeter => "--density",
        Instrument::Weighed => "--weighed",
    }
}

fn fault(unfit: &Unfit) -> Fault {
    match unfit {
        Unfit::Reading(instrument, error) => {
            let place = match error.range.quantity {
                "temperature" | "temperature of a compensating refractometer" => "--temperature",
                _ if error.range.unit == "/°C" => "--compensation",
                _ => option_of(*instrument),
            };
            Fault::out_of_range(place, error)
        }
        Unfit::All(AgreementError::OutOfRange(error)) => Fault::out_of_range(COMMAND_LINE, error),
        Unfit::All(error) => Fault::new(COMMAND_LINE, error.to_string(), "check the readings and their ±"),
    }
}

/// The test that tells which reading is off; `None` where they agree.
fn deciding_test(comparison: &Comparison) -> Option<String> {
    let Comparison { told, verdict } = comparison;
    if verdict.agree {
        return None;
    }
    let mean = verdict.agreed.unwrap_or(verdict.all).mean.value;
    if let Some(suspect) = verdict.suspect.and_then(|place| told.get(place)) {
        return Some(test_of(suspect.instrument, mean));
    }
    // Of two the blunter one: it is the likelier to be off, and if it is right, the other isn't. Of more, the one
    // that lies farthest off for its accuracy.
    let weight = |told: &Told| {
        let u = told.salinity.spread.standard_uncertainty();
        if verdict.all.degrees_of_freedom == 1 {
            u
        } else {
            (told.salinity.si - mean).abs() / u
        }
    };
    let checked = told
        .iter()
        .filter(|told| told.instrument != Instrument::Weighed)
        .max_by(|one, other| weight(one).total_cmp(&weight(other)))?;
    Some(format!(
        "{} Or read the water with another kind of instrument.",
        test_of(checked.instrument, mean)
    ))
}

fn test_of(instrument: Instrument, salinity: f64) -> String {
    let near = salinity.clamp(20.0, 40.0).round();
    let command = format!("brinewright check-solution --salinity {near}");
    match instrument {
        Instrument::Weighed => {
            "Weigh again: check the scale with a known mass, and the volume by weighing the water.".to_owned()
        }
        Instrument::DensityMeter => format!(
            "Read the density meter in the check solution for a hydrometer: {command} tells what to weigh."
        ),
        _ => {
            let name = instrument.name();
            format!("Read the {name} in a check solution made for a {name}: {command} tells what to weigh.")
        }
    }
}

/// What often puts it off. Common practice, no source.
fn usual_cause(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::Refractometer => {
            "A refractometer: its zero in purified water; a scale of table salt, which reads some 1.6 too high at \
             35; drop and prism not equally warm."
        }
        Instrument::ConductivityMeter { .. } => {
            "A conductivity meter: a compensation that isn't the one assumed; a fouled cell or a bubble in it; a \
             standard that dried out."
        }
        Instrument::Hydrometer(_) => {
            "A hydrometer: another reference than the one on its paper; bubbles or salt on it; read at the top of \
             the meniscus."
        }
        Instrument::DensityMeter => {
            "A density meter: a bubble in the cell; its zero in purified water; a sample not as warm as it says."
        }
        Instrument::Weighed => "Weighing: damp salt, salt left undissolved, a volume by an unsure mark.",
    }
}

fn page(
    mut page: Page,
    comparison: &Comparison,
    temperature: Amount,
    thermometer_stated: bool,
    test: Option<&str>,
) -> String {
    let Comparison { told, verdict } = comparison;
    page.heading("Salinity of the water");
    let rows: Vec<Row> = told
        .iter()
        .enumerate()
        .map(|(place, told)| {
            let half_width = told.salinity.spread.half_width;
            let decimals = decimals(half_width);
            let mark = if verdict.suspect == Some(place) {
                "   likeliest off"
            } else {
                ""
            };
            Row::new(
                told.instrument.name(),
                format!("{:.decimals$}", told.salinity.si),
                &format!("± {half_width:.decimals$}{mark}"),
            )
        })
        .collect();
    page.table(&rows);
    let name = |place: usize| told.get(place).map_or("", |told| told.instrument.name());
    let agreed = verdict.agreed.map(|agreed| {
        let Estimate {
            value,
            standard_uncertainty,
        } = agreed.mean;
        let decimals = decimals(2.0 * standard_uncertainty);
        format!("{value:.decimals$} ± {:.decimals$}", 2.0 * standard_uncertainty)
    });
    let chance = if verdict.chance < 0.001 {
        "less than once in 1000 times".to_owned()
    } else {
        format!("{:.2} % of the time", 100.0 * verdict.chance)
    };
    let apart = format!("With these accuracies they would lie so far apart {chance}");
    match (verdict.agree, verdict.suspect) {
        (true, _) => page.paragraph(&format!(
            "They agree. Together: {}, each weighted by its accuracy.",
            agreed.unwrap_or_default()
        )),
        (false, Some(suspect)) => {
            let mut text = format!(
                "They don't agree. {apart}. Without the {} the others do: {}.",
                name(suspect),
                agreed.unwrap_or_default()
            );
            if !verdict.rivals.is_empty() {
                let rivals: Vec<String> = verdict.rivals.iter().map(|place| format!("the {}", name(*place))).collect();
                let rivals: Vec<&str> = rivals.iter().map(String::as_str).collect();
                text += &format!(
                    " But that isn't sure: without {} instead the rest would agree too.",
                    read::list(&rivals, "or")
                );
            }
            page.paragraph(&text);
        }
        (false, None) if told.len() == 2 => page.paragraph(&format!(
            "They don't agree. {apart}. Of two, either may be off: no reading tells which."
        )),
        (false, None) if verdict.rivals.is_empty() => page.paragraph(&format!(
            "They don't agree. {apart}. Leaving any one out doesn't help: more than one is off, or worse than its ±."
        )),
        (false, None) => page.paragraph(&format!(
            "They don't agree. {apart}. More than one could be the one that is off, equally well."
        )),
    }
    if let Some(test) = test {
        page.list("What decides", &[test]);
        let blamed: Vec<&str> = match verdict.suspect {
            Some(suspect) => told
                .get(suspect)
                .map(|told| usual_cause(told.instrument))
                .into_iter()
                .collect(),
            None => told.iter().map(|told| usual_cause(told.instrument)).collect(),
        };
        page.list("What often puts them off (common practice, no source)", &blamed);
    }
    let mut notes: Vec<String> = told
        .iter()
        .filter(|told| !told.stated)
        .map(|told| {
            format!(
                "The {} came without ±; taken: {} (common practice, no source).",
                told.instrument.name(),
                told.instrument.usual_in_words()
            )
        })
        .collect();
    if !thermometer_stated {
        notes.push(format!(
            "The temperature came without ±; taken: {} (common practice, no source).",
            page.amount(Kind::Temperature, temperature)
        ));
    }
    if told.iter().any(|told| {
        told.instrument
            == Instrument::ConductivityMeter {
                coefficient_per_c: 0.0,
            }
    }) && (temperature.si - 25.0).abs() > 0.05
    {
        notes.push(
            "The conductivity is taken as it is at that temperature. A meter that compensates shows another: add \
             --compensation \"2 %/C\"."
                .to_owned(),
        );
    }
    if !verdict.agree {
        notes.push(
            "A mix whose salts stand in other ratios than in sea water sets kinds of instrument apart by up to 0.3 \
             (common practice, no source)."
                .to_owned(),
        );
    }
    notes.push("± is two standard uncertainties.".to_owned());
    page.list("Mind", &notes);
    page.into_text()
}

/// Decimals that a half-width supports: one more where it begins with 1 or 2.
fn decimals(half_width: f64) -> usize {
    if half_width < 0.0295 {
        3
    } else if half_width < 0.295 {
        2
    } else {
        1
    }
}

fn json(comparison: &Comparison, test: Option<&str>) -> String {
    #[derive(Serialize)]
    struct One {
        instrument: &'static str,
        practical_salinity: f64,
        low: f64,
        high: f64,
        /// Whether its accuracy was given, not taken from common practice.
        accuracy_stated: bool,
    }
    #[derive(Serialize)]
    struct Readings<'t> {
        format: u32,
        readings: Vec<One>,
        agree: bool,
        practical_salinity: Option<f64>,
        low: Option<f64>,
        high: Option<f64>,
        suspect: Option<&'static str>,
        also_possible: Vec<&'static str>,
        deciding_test: Option<&'t str>,
        chi_square: f64,
        degrees_of_freedom: usize,
        chance: f64,
        birge_ratio: Option<f64>,
    }
    let Comparison { told, verdict } = comparison;
    let name = |place: usize| told.get(place).map(|told| told.instrument.name());
    let agreed = verdict.agreed.map(|agreed| agreed.mean);
    let end = |sign: f64| agreed.map(|mean| mean.value + sign * REACH * mean.standard_uncertainty);
    super::page::json(&Readings {
        format: 1,
        readings: told
            .iter()
            .map(|told| One {
                instrument: told.instrument.name(),
                practical_salinity: told.salinity.si,
                low: told.salinity.si - told.reach(),
                high: told.salinity.si + told.reach(),
                accuracy_stated: told.stated,
            })
            .collect(),
        agree: verdict.agree,
        practical_salinity: agreed.map(|mean| mean.value),
        low: end(-1.0),
        high: end(1.0),
        suspect: verdict.suspect.and_then(name),
        also_possible: verdict.rivals.iter().filter_map(|place| name(*place)).collect(),
        deciding_test: test,
        chi_square: verdict.all.chi_square,
        degrees_of_freedom: verdict.all.degrees_of_freedom,
        chance: verdict.chance,
        birge_ratio: verdict.all.birge_ratio(),
    })
}
