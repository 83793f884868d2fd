//! `brinewright year`: a thousand years of the station, what they cost and whether the reserve is there.
//!
//! `verdict` says what matters in sentences, `rows` the figures, `said` one of them, `told` what is told in words below them.

mod rows;
pub(crate) mod said;
pub(crate) mod told;
mod verdict;

use std::path::PathBuf;

use clap::Args;
use proof::{Severity, Year};
use serde::Serialize;
use station::Station;

use super::findings::findings;
use super::page::{fill, json};
use super::speaker::Speaker;
use super::watch::watched;
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task;
use crate::task::station::{Loaded, load_on};
use station::quantity::format_count;

/// What a year takes and costs, and whether the reserve is there, out of a thousand simulated years
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Years to simulate, 2 to 100000
    #[arg(
        long,
        value_name = "COUNT",
        default_value_t = 1000,
        allow_hyphen_values = true
    )]
    years: u32,
    /// What their chance begins with: the same seed, the same years
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_hyphen_values = true)]
    seed: u64,
    /// Folder for the charts and tables; it is made where it isn't there
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

#[derive(Serialize)]
struct Machine<'y> {
    format: u32,
    #[serde(flatten)]
    year: &'y Year,
}

/// Reads, simulates, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), None, output.asked())?;
    let years = task::year::wanted(options.years, options.seed);
    task::paper::ready(options.out.as_deref(), "year")?;
    let year = watched(|progress| task::year::year(&station, &name, &years, progress))?;
    let mut text = sheet(&station, &name, &year, options.file.is_none());
    if let Some(folder) = &options.out {
        let count = task::year::write(&station, &year, folder)?;
        let written = format!("Written to {}: {count} charts and tables.", folder.display());
        text += &format!("\n{}\n", fill(&written, "", ""));
    }
    Ok(Answer {
        text,
        json: json(&Machine {
            format: 1,
            year: &year,
        }),
        must_fix: options.strict
            && year
                .findings
                .iter()
                .any(|finding| finding.severity == Severity::Must),
    })
}

fn sheet(station: &Station, name: &str, year: &Year, demo: bool) -> String {
    let speaker = Speaker { station };
    let mut out = format!(
        "{}: {} years\n\n",
        station.title.title.value,
        format_count(year.years)
    );
    out += &(fill(&verdict::verdict(&speaker, year), "", "") + "\n");
    out += &findings(name, &year.findings);
    out += &rows::figures(&speaker, year);
    out += &told::emergencies(&speaker, year);
    out += &told::reckoned(&speaker, year);
    if demo {
        out += "Larkhaven and its numbers are invented. Yours: brinewright new FILE\n";
    }
    out
}
