//! Stations sent through the same years.

use std::path::PathBuf;

use proof::{Comparison, Progress, Years};
use station::Station;

use super::station::load_on;
use super::year::{refused, wanted};
use crate::failure::Failure;
use station::quantity::UnitSystem;

/// Stations and what their files are called, in the order in which they were named.
pub(crate) struct Stations {
    pub(crate) stations: Vec<Station>,
    pub(crate) names: Vec<String>,
}

/// Reads all files, as far as the first that can't be read.
pub(crate) fn load(files: &[PathBuf], units: Option<UnitSystem>) -> Result<Stations, Failure> {
    let (mut stations, mut names) = (Vec::new(), Vec::new());
    for file in files {
        let loaded = load_on(Some(file), None, units)?;
        stations.push(loaded.station);
        names.push(loaded.name);
    }
    Ok(Stations { stations, names })
}

/// So many years of a station and of what became of it; nothing where they have none, or somebody stopped them before both
/// had gone through two.
pub(crate) fn some(before: Station, now: &Station, years: u32, progress: &Progress) -> Option<Comparison> {
    proof::compare(&[before, now.clone()], &wanted(years, 1), progress).ok()
}

/// Compares them.
pub(crate) fn compare(
    Stations { stations, names }: &Stations,
    years: &Years,
    progress: &Progress,
) -> Result<Comparison, Failure> {
    // Which of them has the fault isn't told; all names are.
    proof::compare(stations, years, progress).map_err(|fault| refused(&names.join(" "), &fault))
}
