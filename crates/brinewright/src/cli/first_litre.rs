//! `brinewright first-litre`: the hold-up behind the membrane, from readings over the first litre of a run.

use std::path::PathBuf;

use clap::Args;
use physics::membrane::MembraneError;
use serde::Serialize;
use station::quantity::{Amount, Currency, Kind, Shown, UnitSystem, format_interval, format_plain};

use super::page::{Page, Row, json};
use super::read::amount;
use super::{Answer, Output};
use crate::failure::{Failure, Fault, Gathered};
use crate::task::first_litre::{Reading, Told, first_litre};
use crate::task::station::{Loaded, load};

const EXAMPLE: &str = "--reading \"75 mL: 180 uS/cm\"";

/// Fit the hold-up behind the membrane from readings over the first litre of a run
///
/// Let the purifier stand for two hours or more. Relieve the pressure before a fitting is opened.
///
/// Start it and catch the permeate before the resin, in cups of 50 mL, to half a litre or more.
///
/// A cup shows the mean of what filled it: write it down at the middle of its cup, 25 mL, 75 mL, 125 mL and so on; a
/// meter in the line shows the moment, so write the volume made so far.
///
/// Put the line back, look for leaks, and read the steady value an hour later.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Volume since the start and what the meter shows: "75 mL: 180 uS/cm", four times or more
    #[arg(long = "reading", value_name = "VOLUME: SHOWN", allow_hyphen_values = true)]
    readings: Vec<String>,
    /// What the meter shows late in a long run; fitted where it isn't given
    #[arg(long, value_name = "SHOWN", allow_hyphen_values = true)]
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
    let told: Vec<(Amount, Reading, bool)> = options
        .readings
        .iter()
        .filter_map(|text| faults.take(reading(text)))
        .collect();
    let readings: Vec<(f64, Reading)> = told
        .iter()
        .map(|(volume, reading, _)| (volume.si, *reading))
        .collect();
    let spread_unused = told
        .iter()
        .any(|(volume, _, has_spread)| *has_spread || !volume.spread.is_none());
    let steady = options
        .steady
        .as_ref()
        .and_then(|text| faults.take(shown("--steady", text)))
        .map(|(steady, _)| steady);
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
        .map_err(|error| Failure::from(refusal(&error, &readings, steady)))?;
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
        text: page(&told, loaded.as_ref(), by_conductivity, spread_unused, output),
        json: json(&machine),
        ..Answer::default()
    })
}

/// A refusal in the words of somebody with cups in hand.
fn refusal(error: &MembraneError, readings: &[(f64, Reading)], steady: Option<Reading>) -> Fault {
    use MembraneError as E;
    let say = |kind: Kind, si: f64| format_plain(kind, si, UnitSystem::Si, &Currency::default());
    let (what, mend) = match error {
        E::ReadingsOutOfOrder { index } => (
            format!("reading {} is at no larger volume than the one before", index + 1),
            error.mend().to_owned(),
        ),
        E::TooFewReadings { given, needed } => (
            match given {
                1 => format!("one reading is too little: at least {needed} are needed"),
                given => format!("{given} readings are too few: at least {needed} are needed"),
            },
            error.mend().to_owned(),
        ),
        E::HoldUpUndetermined { edge_m3 } => (
            format!(
                "the readings don't tell the hold-up: the nearer it comes to {}, the better it fits",
                say(Kind::Volume, *edge_m3)
            ),
            error.mend().to_owned(),
        ),
        E::NotFalling => {
            let first = readings.first().map(|(_, reading)| *reading);
            if let (Some(steady), Some(first)) = (steady, first)
                && steady.number() >= first.number()
            {
                return Fault::new(
                    "--steady",
                    "the steady value isn't below the first reading",
                    "read it late in a long run, when it no longer falls",
                );
            }
            (
                "the readings do not fall, so no hold-up can be told from them".to_owned(),
                error.mend().to_owned(),
            )
        }
        E::OutOfRange(out) if out.range.unit == "kg/m³" => (
            match out.value < out.range.min {
                true => "a meter shows less than nothing".to_owned(),
                false => format!(
                    "{} of dissolved solids are more than the {} that this is made for",
                    say(Kind::Concentration, out.value),
                    say(Kind::Concentration, out.range.max)
                ),
            },
            "check the number and its unit: is that uS/cm, or mS/cm?".to_owned(),
        ),
        E::OutOfRange(out) if out.range.unit == "m³" => (
            match out.value < out.range.min {
                true => "a volume is below zero".to_owned(),
                false => format!("{} is no first litre", say(Kind::Volume, out.value)),
            },
            "give the volume made since the start of the run".to_owned(),
        ),
        other => (other.to_string(), other.mend().to_owned()),
    };
    Fault::new("--reading", what, mend)
}

/// "75 mL: 180 uS/cm": the volume, what was shown, and whether that came with a doubt.
fn reading(text: &str) -> Result<(Amount, Reading, bool), Fault> {
    let Some((volume, what)) = text.split_once([':', '=']) else {
        return Err(Fault::new(
            "--reading",
            format!("`{text}` has no colon between the volume and what the meter shows"),
            format!("write {EXAMPLE}"),
        ));
    };
    let volume = amount("--reading", volume.trim(), Kind::Volume)
        .map_err(|fault| Fault::new("--reading", fault.what, format!("write {EXAMPLE}")))?;
    let (reading, has_spread) = shown("--reading", what.trim())?;
    Ok((volume, reading, has_spread))
}

/// What a meter shows: a conductivity, or dissolved solids; and whether it came with a doubt.
fn shown(option: &str, text: &str) -> Result<(Reading, bool), Fault> {
    let conductivity = amount(option, text, Kind::Conductivity);
    match (conductivity, amount(option, text, Kind::Concentration)) {
        (Ok(amount), _) => Ok((Reading::Conductivity(amount.si), !amount.spread.is_none())),
        (Err(_), Ok(amount)) => Ok((Reading::Solids(amount.si), !amount.spread.is_none())),
        (Err(fault), Err(_)) => Err(Fault::new(
            option,
            fault.what,
            format!("{}; a meter of dissolved solids shows mg/L or ppm", fault.mend),
        )),
    }
}

/// Volumes of cups read in millilitres, whatever the system.
fn shown_cups(si: f64, half_width: Option<f64>) -> Shown {
    format_interval(Kind::Volume, si, half_width, UnitSystem::Si, &Currency::default())
}

fn cups(si: f64, half_width: Option<f64>) -> String {
    shown_cups(si, half_width).to_string()
}

fn page(
    told: &Told,
    loaded: Option<&Loaded>,
    by_conductivity: bool,
    spread_unused: bool,
    output: Output,
) -> String {
    let system = loaded.map_or(output.system(), |loaded| loaded.station.units());
    let (each, low, high) = told.each();
    // Cups are read to a percent at best (house rule), however well the curve fits.
    let half_width = low
        .zip(high)
        .map(|(low, high)| (0.5 * (high - low)).max(0.01 * each));
    let hold_up = cups(each, half_width);
    let mut page = Page::new(system);
    page.paragraph(&format!(
        "{hold_up} of permeate stand behind {}.",
        match told.membranes {
            1 => "the membrane and in the line to the resin".to_owned(),
            n => format!("each of the {n} membranes and in their part of the line"),
        }
    ));
    let fit = &told.fit;
    let row = |name: &str, kind: Kind, si: f64| {
        let shown = format_interval(kind, si, None, system, &Currency::default());
        Row::new(name, shown.value, &shown.unit)
    };
    let steady = match told.steady_given {
        true => "in a long run, as given",
        false => "in a long run, fitted",
    };
    page.table(&[
        row(
            "when the run starts",
            Kind::Concentration,
            fit.solids_at_start_kg_m3,
        ),
        row(steady, Kind::Concentration, fit.steady_kg_m3),
        row("salt that the start brings", Kind::Mass, fit.start_salt_kg),
        row("scatter about the fit", Kind::Concentration, fit.scatter_kg_m3),
    ]);
    page.paragraph(&ends(told));
    if by_conductivity {
        page.paragraph(&format!(
            "Conductivities were turned into dissolved solids by {:.2} mg/L for each µS/cm; the hold-up doesn't depend on it, the salt does.",
            told.factor / 10.0
        ));
    }
    if spread_unused {
        page.paragraph("The ± of the readings isn't used: their scatter about the fit tells more.");
    }
    if let (Some(agrees), Some((value, half))) = (told.agrees_with_file(), told.in_file) {
        let has = cups(value, (half > 0.0).then_some(half));
        page.paragraph(&match agrees {
            true => format!("The file has {has}, which agrees within the doubts."),
            false => format!("The file has {has}, which doesn't agree: the readings beat it."),
        });
    }
    // A value without an end would pass for a sure one.
    if half_width.is_some() {
        page.heading("Write into the file, under [purifier]:");
        page.table(&[Row::new(&format!("hold_up = \"{hold_up}\""), "", "")]);
    }
    page.into_text()
}

/// Between which ends the hold-up lies.
fn ends(told: &Told) -> String {
    const MORE: &str =
        "Take more readings, closer together at first and further on, before it is written down.";
    match told.each() {
        (_, Some(low), Some(high)) => format!(
            "95 times in 100 it lies between {} and {}, for a meter that is unsure by 2 % of what it shows and half a mg/L; wider where the readings scatter more than that.",
            shown_cups(low, Some(0.5 * (high - low))).value_with_unit(),
            shown_cups(high, Some(0.5 * (high - low))).value_with_unit(),
        ),
        (_, None, Some(high)) => format!("It may be anything up to {}. {MORE}", cups(high, None)),
        (_, Some(low), None) => format!("It is {} or more. {MORE}", cups(low, None)),
        (_, None, None) => format!("The readings set it no limits. {MORE}"),
    }
}
