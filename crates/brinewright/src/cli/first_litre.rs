//! `brinewright first-litre`: the hold-up behind the membrane, from readings over the first litre of a run.

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;
use station::quantity::{Kind, format_interval};

use super::page::{Page, Row, json};
use super::read::amount;
use super::{Answer, Output};
use crate::failure::{Failure, Fault, Gathered};
use crate::task::first_litre::{Reading, Told, first_litre};
use crate::task::station::{Loaded, load};

const EXAMPLE: &str = "--reading \"100 mL: 180 uS/cm\"";

/// Fit the hold-up behind the membrane from readings over the first litre of a run
///
/// Let the purifier stand for two hours or more, then start it and catch the permeate before the resin, cup by cup:
/// 50 mL each at first, then 100 mL, to a litre. Note for each cup the volume made so far and what the meter shows.
/// Relieve the pressure before a fitting is opened, and put the line back before the next run.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Volume made so far and what the meter shows: "100 mL: 180 uS/cm", four times or more
    #[arg(long = "reading", value_name = "VOLUME: SHOWN")]
    readings: Vec<String>,
    /// What the meter shows late in a long run; fitted where it isn't given
    #[arg(long, value_name = "SHOWN")]
    steady: Option<String>,
    /// Station file to compare with
    file: Option<PathBuf>,
}

#[derive(Serialize)]
struct Machine {
    format: u32,
    hold_up_m3: f64,
    low_m3: Option<f64>,
    high_m3: Option<f64>,
    membranes: usize,
    start_salt_kg: f64,
    solids_at_start_kg_m3: f64,
    steady_kg_m3: f64,
    scatter_kg_m3: f64,
    agrees_with_file: Option<bool>,
}

/// Reads the readings, fits, compares with the file.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let loaded = options.file.as_deref().map(|file| load(Some(file))).transpose()?;
    let mut faults = Gathered::default();
    let readings: Vec<(f64, Reading)> = options
        .readings
        .iter()
        .filter_map(|text| faults.take(reading(text)))
        .collect();
    let steady = options
        .steady
        .as_ref()
        .and_then(|text| faults.take(shown("--steady", text)));
    if options.readings.is_empty() {
        faults.push(Fault::new(
            "--reading",
            "there are no readings",
            format!("add at least four, such as {EXAMPLE}"),
        ));
    }
    let of_solids = |reading: &Reading| matches!(reading, Reading::Solids(_));
    let mut all = readings.iter().map(|(_, reading)| reading).chain(&steady);
    if let Some(first) = all.next()
        && all.any(|other| of_solids(other) != of_solids(first))
    {
        faults.push(Fault::new(
            "--reading",
            "some readings are conductivities and some are concentrations",
            "give all as the meter shows them, in one unit",
        ));
    }
    faults.settle(Some(()))?;
    let station = loaded.as_ref().map(|loaded| &loaded.station);
    let told = first_litre(&readings, steady, station)
        .map_err(|error| Failure::from(Fault::new("--reading", plain(&error), error.mend())))?;
    let (each, low, high) = told.each();
    let machine = Machine {
        format: 1,
        hold_up_m3: each,
        low_m3: low,
        high_m3: high,
        membranes: told.membranes,
        start_salt_kg: told.fit.start_salt_kg,
        solids_at_start_kg_m3: told.fit.solids_at_start_kg_m3,
        steady_kg_m3: told.fit.steady_kg_m3,
        scatter_kg_m3: told.fit.scatter_kg_m3,
        agrees_with_file: told.agrees_with_file(),
    };
    let by_conductivity = readings.iter().any(|(_, reading)| !of_solids(reading));
    Ok(Answer {
        text: page(&told, loaded.as_ref(), by_conductivity, output),
        json: json(&machine),
        ..Answer::default()
    })
}

/// A refusal in the words of somebody with cups in hand.
fn plain(error: &physics::membrane::MembraneError) -> String {
    use physics::membrane::MembraneError as E;
    match error {
        E::ReadingsOutOfOrder { index } => {
            format!("reading {} is at no larger volume than the one before", index + 1)
        }
        E::TooFewReadings { given, needed } => {
            format!("{given} readings are too few: at least {needed} are needed")
        }
        other => other.to_string(),
    }
}

/// "100 mL: 180 uS/cm".
fn reading(text: &str) -> Result<(f64, Reading), Fault> {
    let Some((volume, what)) = text.split_once([':', '=']) else {
        return Err(Fault::new(
            "--reading",
            format!("`{text}` has no colon between the volume and what the meter shows"),
            format!("write {EXAMPLE}"),
        ));
    };
    Ok((
        amount("--reading", volume.trim(), Kind::Volume)?.si,
        shown("--reading", what.trim())?,
    ))
}

/// What a meter shows: a conductivity, or dissolved solids.
fn shown(option: &str, text: &str) -> Result<Reading, Fault> {
    let conductivity = amount(option, text, Kind::Conductivity);
    match (conductivity, amount(option, text, Kind::Concentration)) {
        (Ok(amount), _) => Ok(Reading::Conductivity(amount.si)),
        (Err(_), Ok(amount)) => Ok(Reading::Solids(amount.si)),
        (Err(fault), Err(_)) => Err(fault),
    }
}

fn page(told: &Told, loaded: Option<&Loaded>, by_conductivity: bool, output: Output) -> String {
    let system = loaded.map_or(output.system(), |loaded| loaded.station.units());
    let currency = station::quantity::Currency::default();
    let (each, low, high) = told.each();
    // Cups are read to a percent at best (house rule), however well the curve fits.
    let half_width = low
        .zip(high)
        .map(|(low, high)| (0.5 * (high - low)).max(0.01 * each));
    // Volumes of cups read in millilitres, whatever the system.
    let hold_up = format_interval(
        Kind::Volume,
        each,
        half_width,
        station::quantity::UnitSystem::Si,
        &currency,
    );
    let mut page = Page::new(system);
    page.paragraph(&format!(
        "{} of permeate stand behind {}.",
        hold_up,
        match told.membranes {
            1 => "the membrane and in the line to the resin".to_owned(),
            n => format!("each of the {n} membranes and in their part of the line"),
        }
    ));
    let fit = &told.fit;
    let row = |name: &str, kind: Kind, si: f64| {
        let shown = format_interval(kind, si, None, system, &currency);
        Row::new(name, shown.value, &shown.unit)
    };
    page.table(&[
        row(
            "when the run starts",
            Kind::Concentration,
            fit.solids_at_start_kg_m3,
        ),
        row("in a long run", Kind::Concentration, fit.steady_kg_m3),
        row("salt that the start brings", Kind::Mass, fit.start_salt_kg),
        row("scatter about the fit", Kind::Concentration, fit.scatter_kg_m3),
    ]);
    if low.is_none() || high.is_none() {
        page.paragraph(
            "The readings leave one end open: take more of them, closer together at first and further on.",
        );
    }
    if by_conductivity {
        page.paragraph(&format!(
            "Conductivities were turned into dissolved solids by {:.2} mg/L for each µS/cm; the hold-up doesn't depend on it, the salt does.",
            told.factor / 10.0
        ));
    }
    if let Some(agrees) = told.agrees_with_file() {
        page.paragraph(if agrees {
            "The file's hold_up agrees with it within the doubts."
        } else {
            "The file's hold_up doesn't agree with it: the readings beat it."
        });
    }
    page.heading("Write into the file, under [purifier]:");
    let text = hold_up.to_string();
    page.table(&[Row::new(&format!("hold_up = \"{text}\""), "", "")]);
    page.into_text()
}
