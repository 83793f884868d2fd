//! How often the purifier's runs are of which volume.

use proof::Year;
use station::Station;
use station::quantity::{Kind, format_count, format_interval, unit_for};

use super::{Axis, Plot};
use crate::drawing::{Drawing, Ink, Stroke};

/// Share of the tallest bar under which a bar would be lower than its own outline.
const SEEN: f64 = 0.008;

/// Whole, with its thousands apart.
fn whole(number: f64) -> String {
    format_count(number.max(0.0).round() as u64)
}

/// Bars of a year's runs by their volume; `None` where nothing ran.
pub fn run_volumes(station: &Station, year: &Year, width_mm: f64) -> Option<Drawing> {
    let bins = &year.run_volumes;
    let largest = bins.last()?;
    let most = bins.iter().map(|bin| bin.runs_a_year).fold(0.0, f64::max);
    // The axis ends where bars are still seen; the rare run beyond is told in words.
    let last = bins.iter().rev().find(|bin| bin.runs_a_year > SEEN * most)?;
    let unit = unit_for(Kind::Volume, last.to_m3, station.units(), &station.currency());
    let mut plot = Plot::new(
        "Runs of the purifier by the water that each makes",
        width_mm,
        Axis::up_to(format!("run, {}", unit.name), last.to_m3 / unit.factor),
        Axis::from_zero("runs a year", most),
    );
    for bin in bins.iter().filter(|bin| bin.runs_a_year > SEEN * most) {
        let corner = |volume_m3: f64, runs: f64| plot.place(volume_m3 / unit.factor, runs);
        let bar = vec![
            corner(bin.from_m3, 0.0),
            corner(bin.from_m3, bin.runs_a_year),
            corner(bin.to_m3, bin.runs_a_year),
            corner(bin.to_m3, 0.0),
        ];
        plot.drawing.area(bar.clone(), Ink::Fresh, 1.0, "runs");
        plot.drawing.line(bar, Stroke::Medium, Ink::Ink, "runs");
    }
    let mean = format_interval(
        Kind::Volume,
        year.run_volume_m3.mean,
        Some(((year.run_volume_m3.p95 - year.run_volume_m3.p05) / 2.0).min(year.run_volume_m3.mean / 4.0)),
        station.units(),
        &station.currency(),
    );
    let beyond = match largest.to_m3 > last.to_m3 {
        true => format!(
            ", the largest: {} {}",
            whole(largest.to_m3 / unit.factor),
            unit.name
        ),
        false => String::new(),
    };
    plot.remark(
        // More than from mark to mark, for water is drawn while it runs.
        &format!(
            "a mean run, with what is drawn meanwhile: {}{beyond}",
            mean.value_with_unit()
        ),
        Ink::Ink,
    );
    let tallest = bins
        .iter()
        .max_by(|a, b| a.runs_a_year.total_cmp(&b.runs_a_year))?;
    plot.drawing.description = format!(
        "{:.0} runs a year, a mean one of {}. Most, {:.0} a year, are of {:.0} to {:.0} {}; the largest of {:.0} {}.",
        year.runs.mean,
        mean.value_with_unit(),
        tallest.runs_a_year,
        tallest.from_m3 / unit.factor,
        tallest.to_m3 / unit.factor,
        unit.name,
        largest.to_m3 / unit.factor,
        unit.name,
    );
    Some(plot.drawing)
}
