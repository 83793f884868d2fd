//! `brinewright water`: what a water is, from one reading of its salinity.

use super::page::{Page, Row};
use super::{Answer, Output, read};
use crate::failure::{Failure, Fault, Gathered};
use crate::task::water::{Properties, properties};
use clap::Args;
use physics::seawater::SpecificGravityReference;
use serde::Serialize;
use station::quantity::{Amount, Kind, SalinityScale, Spread, UnitSystem};

/// What a water is: density, conductivity and more, from one reading of its salinity
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Salinity: 35, "35 ppt", "35.2 g/kg", "53 mS/cm", "1.0264 sg 25C/25C"
    #[arg(long, value_name = "SALINITY", allow_hyphen_values = true)]
    salinity: Option<String>,
    /// Conductivity at the temperature, such as "53 mS/cm"
    #[arg(long, value_name = "CONDUCTIVITY", allow_hyphen_values = true)]
    conductivity: Option<String>,
    /// Specific gravity, such as 1.0264; needs --reference
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    specific_gravity: Option<String>,
    /// Scale of the specific gravity: 25C/25C, 20C/20C, 60F/60F or t/4C
    #[arg(long, value_name = "SCALE")]
    reference: Option<String>,
    /// Density at the temperature, such as "1023.3 kg/m3"
    #[arg(long, value_name = "DENSITY", allow_hyphen_values = true)]
    density: Option<String>,
    /// Refractive index at the temperature, such as 1.3389
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    refractive_index: Option<String>,
    /// Temperature of the water, such as "24 C"; 25 °C where it isn't given
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    temperature: Option<String>,
}

const UNSAID_TEMPERATURE: Amount = Amount {
    si: 25.0,
    spread: Spread::NONE,
};

/// Reads, asks, answers.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let mut faults = Gathered::default();
    let temperature = match &options.temperature {
        Some(text) => faults.take(read::temperature("--temperature", text)),
        None => Some(UNSAID_TEMPERATURE),
    };
    let reading = faults.take(options.one_reading());
    let (temperature, reading) = faults.settle(temperature.zip(reading))?;
    let salinity = options.practical_salinity(reading, temperature)?;
    let properties = properties(salinity, temperature.si)
        .map_err(|error| Failure::from(Fault::out_of_range("--temperature", &error)))?;
    Ok(Answer {
        text: options.page(&properties, output.system()),
        json: json(&properties),
        ..Answer::default()
    })
}

impl Options {
    fn one_reading(&self) -> Result<&'static str, Fault> {
        let name = read::one_of(
            &[
                ("--salinity", self.salinity.as_ref()),
                ("--conductivity", self.conductivity.as_ref()),
                ("--specific-gravity", self.specific_gravity.as_ref()),
                ("--density", self.density.as_ref()),
                ("--refractive-index", self.refractive_index.as_ref()),
            ],
            "--salinity 35",
        )?;
        if self.reference.is_some() && name != "--specific-gravity" {
            return Err(Fault::new(
                "--reference",
                format!("belongs to a specific gravity, not to {name}"),
                "leave it out, or give --specific-gravity",
            ));
        }
        Ok(name)
    }

    fn practical_salinity(&self, reading: &str, temperature: Amount) -> Result<Amount, Fault> {
        let text = |option: &Option<String>| option.clone().unwrap_or_default();
        let (scale, amount) = match reading {
            "--conductivity" => (
                SalinityScale::Conductivity,
                read::amount(reading, &text(&self.conductivity), Kind::Conductivity)?,
            ),
            "--specific-gravity" => (
                SalinityScale::SpecificGravity(self.reference()?),
                read::amount(reading, &text(&self.specific_gravity), Kind::Number)?,
            ),
            "--density" => (
                SalinityScale::Density,
                read::amount(reading, &text(&self.density), Kind::Density)?,
            ),
            "--refractive-index" => (
                SalinityScale::RefractiveIndex,
                read::amount(reading, &text(&self.refractive_index), Kind::Number)?,
            ),
            _ => return read::salinity(reading, &text(&self.salinity), Some(temperature)),
        };
        scale.practical(amount, temperature).map_err(|error| {
            let place = if error.range.quantity == "temperature" {
                "--temperature"
            } else {
                reading
            };
            Fault::out_of_range(place, &error)
        })
    }

    fn reference(&self) -> Result<SpecificGravityReference, Fault> {
        let names = SpecificGravityReference::ALL.map(SpecificGravityReference::name);
        let scales = read::list(&names, "or");
        let Some(name) = &self.reference else {
            return Err(Fault::new(
                "--reference",
                "a specific gravity says nothing until its scale is known",
                format!("find it on the instrument and add --reference {scales}"),
            ));
        };
        SpecificGravityReference::from_name(name).ok_or_else(|| {
            Fault::new(
                "--reference",
                format!("`{name}` is no scale known here"),
                format!("it is {scales}"),
            )
        })
    }

    fn page(&self, water: &Properties, system: UnitSystem) -> String {
        let mut page = Page::new(system);
        let kind = if water.practical_salinity.si < 0.5 {
            "Water"
        } else {
            "Sea water"
        };
        page.paragraph(&format!(
            "{kind} of salinity {} at {}",
            page.amount(Kind::Salinity, water.practical_salinity),
            page.plain(Kind::Temperature, water.temperature_c),
        ));
        page.table(&rows(water, system));
        page.heading("What instruments read in it, each as warm as the water");
        page.table(&instruments(water));
        let mut notes = water.beyond_the_stated.clone();
        if self.temperature.is_none() {
            notes.insert(
                0,
                format!(
                    "No temperature was given: {} is assumed.",
                    page.plain(Kind::Temperature, UNSAID_TEMPERATURE.si)
                ),
            );
        }
        if !notes.is_empty() {
            page.list("Mind", &notes);
        }
        page.into_text()
    }
}

fn rows(water: &Properties, system: UnitSystem) -> Vec<Row> {
    let density = match system {
        UnitSystem::Si => Row::new("density", format!("{:.2}", water.density_kg_per_m3), "kg/m³"),
        // A US gallon of 231 cubic inches, a pound of 0.453 592 37 kg.
        UnitSystem::Us => Row::new(
            "density",
            format!(
                "{:.4}",
                water.density_kg_per_m3 * 0.003_785_411_784 / 0.453_592_37
            ),
            "lb/gal",
        ),
    };
    let freezing = match system {
        UnitSystem::Si => Row::new("freezes at", format!("{:.2}", water.freezing_point_c), "°C"),
        UnitSystem::Us => Row::new(
            "freezes at",
            format!("{:.2}", water.freezing_point_c * 1.8 + 32.0),
            "°F",
        ),
    };
    let mut rows = vec![
        Row::new("salt", format!("{:.2}", water.absolute_salinity_g_per_kg), "g/kg"),
        density,
    ];
    for (reference, gravity) in SpecificGravityReference::ALL.iter().zip(water.specific_gravity) {
        let name = format!("specific gravity {}", reference.name());
        rows.push(Row::new(&name, format!("{gravity:.5}"), ""));
    }
    rows.push(Row::new(
        "conductivity",
        format!("{:.2}", water.conductivity_ms_per_cm),
        "mS/cm",
    ));
    if let Some(index) = water.refractive_index {
        rows.push(Row::new("refractive index", format!("{index:.5}"), ""));
    }
    rows.extend([
        Row::new(
            "viscosity",
            format!("{:.3}", water.viscosity_pa_s * 1000.0),
            "mPa s",
        ),
        Row::new(
            "heat capacity",
            format!("{:.0}", water.heat_capacity_j_per_kg_k),
            "J/(kg K)",
        ),
        freezing,
    ]);
    rows
}

fn instruments(water: &Properties) -> Vec<Row> {
    water
        .readings
        .iter()
        .map(|reading| {
            let figure = format!("{:.*}", reading.decimals, reading.value);
            Row::new(reading.instrument, figure, reading.unit)
        })
        .collect()
}

fn json(water: &Properties) -> String {
    #[derive(Serialize)]
    struct Gravities {
        #[serde(rename = "t/4C")]
        sample_to_4c: f64,
        #[serde(rename = "25C/25C")]
        both_25c: f64,
        #[serde(rename = "20C/20C")]
        both_20c: f64,
        #[serde(rename = "60F/60F")]
        both_60f: f64,
    }
    #[derive(Serialize)]
    struct Instrument {
        instrument: &'static str,
        reading: f64,
        unit: &'static str,
    }
    #[derive(Serialize)]
    struct Water<'w> {
        format: u32,
        practical_salinity: f64,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_low: Option<f64>,
        #[serde(skip_serializing_if = "Option::is_none")]
        practical_salinity_high: Option<f64>,
        absolute_salinity_g_per_kg: f64,
        temperature_c: f64,
        density_kg_per_m3: f64,
        specific_gravity: Gravities,
        conductivity_ms_per_cm: f64,
        refractive_index: Option<f64>,
        viscosity_pa_s: f64,
        heat_capacity_j_per_kg_k: f64,
        freezing_point_c: f64,
        instruments: Vec<Instrument>,
        notes: &'w [String],
    }
    let Amount { si, spread } = water.practical_salinity;
    // 95 % of a normal spread lie within 1.96 standard uncertainties; of limits, in the middle 95 % of the width.
    let reach = match spread.shape {
        station::quantity::SpreadShape::Normal => 1.959_963_985 * spread.standard_uncertainty(),
        station::quantity::SpreadShape::Limits => 0.95 * spread.half_width,
    };
    let doubt = (!spread.is_none()).then_some(reach);
    let [sample_to_4c, both_25c, both_20c, both_60f] = water.specific_gravity;
    super::page::json(&Water {
        format: 1,
        practical_salinity: si,
        practical_salinity_low: doubt.map(|reach| si - reach),
        practical_salinity_high: doubt.map(|reach| si + reach),
        absolute_salinity_g_per_kg: water.absolute_salinity_g_per_kg,
        temperature_c: water.temperature_c,
        density_kg_per_m3: water.density_kg_per_m3,
        specific_gravity: Gravities {
            sample_to_4c,
            both_25c,
            both_20c,
            both_60f,
        },
        conductivity_ms_per_cm: water.conductivity_ms_per_cm,
        refractive_index: water.refractive_index,
        viscosity_pa_s: water.viscosity_pa_s,
        heat_capacity_j_per_kg_k: water.heat_capacity_j_per_kg_k,
        freezing_point_c: water.freezing_point_c,
        instruments: water
            .readings
            .iter()
            .map(|reading| Instrument {
                instrument: reading.instrument,
                reading: reading.value,
                unit: if reading.unit.is_empty() {
                    "1"
                } else {
                    reading.unit
                },
            })
            .collect(),
        notes: &water.beyond_the_stated,
    })
}
