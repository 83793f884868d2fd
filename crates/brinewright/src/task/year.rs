//! Many years of one station: simulated, and written as charts and tables.

use std::path::Path;

use proof::{Progress, Year, YearFault, Years};
use sheets::chart::{cost_by_item, cost_of_changes, reserve_by_week, run_volumes};
use sheets::{Drawing, Table};
use station::Station;
use station::sections::Water;

use super::paper::{PAPER_MM, pictures, save};
use crate::failure::{Failure, Fault};

/// How many years somebody wants, of which seed, on as many threads as there are.
pub(crate) fn wanted(years: u32, seed: u64) -> Years {
    Years {
        years,
        seed,
        threads: std::thread::available_parallelism().map_or(1, usize::from),
    }
}

/// Simulates them; `name` is the station's file.
pub(crate) fn year(
    station: &Station,
    name: &str,
    years: &Years,
    progress: &Progress,
) -> Result<Year, Failure> {
    proof::year(station, years, progress).map_err(|fault| refused(name, &fault))
}

/// Years of a station that is proved for another program, or looked at on the workbench: enough to tell what to look at;
/// `year` has as many as one wants.
pub(crate) const FEW: u32 = 100;

/// So many years; nothing where the station has none, or where somebody stopped them before two were done. `first` hears
/// them before changes are tried.
pub(crate) fn some(
    station: &Station,
    years: u32,
    progress: &Progress,
    first: impl FnOnce(&Year),
) -> Option<Year> {
    proof::year_told(station, &wanted(years, 1), progress, first).ok()
}

/// Why there are no years, in the words of a command.
pub(crate) fn refused(name: &str, fault: &YearFault) -> Failure {
    let (place, mend) = match fault {
        YearFault::Years { .. } => ("--years", "name as many; 1000 is usual".to_owned()),
        YearFault::Alone => ("FILE", "such as brinewright compare old.toml new.toml".to_owned()),
        YearFault::NoVessels => (
            name,
            "add one: [vessels.fresh] with holds, shape and sizes".to_owned(),
        ),
        YearFault::Control { .. } => (name, "join vessels that do the same into fewer".to_owned()),
        _ => (name, format!("brinewright prove {name} tells what is wrong")),
    };
    Fault::new(place, fault.to_string(), mend).into()
}

/// Names of the charts that a year may have; two tables bear the names of the charts that show them.
const CHARTS: [&str; 5] = [
    "reserve-of-fresh-water",
    "reserve-of-salt-water",
    "run-volumes",
    "cost-by-item",
    "cost-of-changes",
];
/// Names of the other tables.
const TABLES: [&str; 4] = ["reserve-by-week", "shortfalls", "peoples-time", "changes-by-year"];

/// Whether a year has a chart of that name.
pub(crate) fn is_chart(name: &str) -> bool {
    CHARTS.contains(&name)
}

/// Whether a year has a table of that name.
pub(crate) fn is_table(name: &str) -> bool {
    TABLES.contains(&name) || ["run-volumes", "cost-by-item"].contains(&name)
}

/// Writes charts and tables into a folder and tells how many files.
pub(crate) fn write(station: &Station, year: &Year, folder: &Path) -> Result<usize, Failure> {
    let mut files = Vec::new();
    for name in CHARTS {
        if let Some(chart) = chart(station, year, name) {
            files.extend(pictures(name, &chart)?);
        }
    }
    for table in tables(station, year) {
        files.push((format!("{}.csv", table.name), table.csv().into_bytes()));
    }
    let names: Vec<String> = CHARTS
        .iter()
        .chain(&TABLES)
        .map(|name| (*name).to_owned())
        .collect();
    save(folder, &names, &files, "year")?;
    Ok(files.len())
}

/// The chart of a name; nothing where there is none of that name, or these years haven't got it.
pub(crate) fn chart(station: &Station, year: &Year, name: &str) -> Option<Drawing> {
    match name {
        "reserve-of-fresh-water" => reserve_by_week(station, year, Water::Fresh, PAPER_MM),
        "reserve-of-salt-water" => reserve_by_week(station, year, Water::Salt, PAPER_MM),
        "run-volumes" => run_volumes(station, year, PAPER_MM),
        "cost-by-item" => cost_by_item(station, year, PAPER_MM),
        "cost-of-changes" => cost_of_changes(station, year, PAPER_MM),
        _ => None,
    }
}

/// All tables of these years.
pub(crate) fn tables(station: &Station, year: &Year) -> Vec<Table> {
    let mut tables = sheets::year_tables(station, year);
    tables.extend(sheets::changes_table(station, year));
    tables
}
