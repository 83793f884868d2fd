//! Many years of one station: simulated, and written as charts and tables.

use std::path::Path;

use proof::{Progress, Year, YearFault, Years};
use sheets::Drawing;
use sheets::chart::{cost_by_item, reserve_by_week, run_volumes};
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

/// Years of a station that is proved for another program: enough to tell what to look at; `year` has as many as one wants.
const FEW: u32 = 100;

/// A few years; nothing where the station has none.
pub(crate) fn few(station: &Station) -> Option<Year> {
    proof::year(station, &wanted(FEW, 1), &Progress::default()).ok()
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

/// Names of all charts and tables that a year may have.
const NAMES: [&str; 7] = [
    "reserve-of-fresh-water",
    "reserve-of-salt-water",
    "run-volumes",
    "cost-by-item",
    "reserve-by-week",
    "shortfalls",
    "peoples-time",
];

/// Writes charts and tables into a folder and tells how many files.
pub(crate) fn write(station: &Station, year: &Year, folder: &Path) -> Result<usize, Failure> {
    let charts: [(&str, Option<Drawing>); 4] = [
        (NAMES[0], reserve_by_week(station, year, Water::Fresh, PAPER_MM)),
        (NAMES[1], reserve_by_week(station, year, Water::Salt, PAPER_MM)),
        (NAMES[2], run_volumes(station, year, PAPER_MM)),
        (NAMES[3], cost_by_item(station, year, PAPER_MM)),
    ];
    let mut files = Vec::new();
    for (name, chart) in charts {
        if let Some(chart) = chart {
            files.extend(pictures(name, &chart)?);
        }
    }
    for table in sheets::year_tables(station, year) {
        files.push((format!("{}.csv", table.name), table.csv().into_bytes()));
    }
    let names: Vec<String> = NAMES.iter().map(|name| (*name).to_owned()).collect();
    save(folder, &names, &files, "year")?;
    Ok(files.len())
}
