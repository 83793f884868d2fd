//! Time of density and conductivity over the points of `validation/seawater.csv`.
//!
//! Prints nanoseconds for each call, the least of many passes; with `values` the results themselves, so that
//! `scripts/compare-seawater` can compare both with the reference library on the same points.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

use physics::OutOfRange;
use physics::seawater::{conductivity_s_m, density_kg_m3, practical_salinity};
use std::{hint::black_box, time::Instant};

/// Points per pass: the table over and over, as long an array as the other side gets.
const POINTS: usize = 40_000;
/// Passes, of which the quickest counts: the others met something else on the machine.
const PASSES: usize = 60;

type Kernel = fn(f64, f64) -> Result<f64, OutOfRange>;

fn main() {
    let table = points();
    let conductivity: Vec<(f64, f64)> = table
        .iter()
        .map(|&(s, t)| (conductivity_s_m(s, t).expect("points() keeps to the range"), t))
        .collect();
    if std::env::args().any(|argument| argument == "values") {
        for &(s, t) in &table {
            let density = density_kg_m3(s, t).expect("points() keeps to the range");
            let conductivity = conductivity_s_m(s, t).expect("points() keeps to the range");
            println!("{s} {t} {density:e} {conductivity:e}");
        }
        return;
    }
    // Each is its own type, so that the kernel can be inlined into the loop.
    println!("density_ns {}", least_ns(&table, density_kg_m3));
    println!("conductivity_ns {}", least_ns(&table, conductivity_s_m));
    println!(
        "practical_salinity_ns {}",
        least_ns(&conductivity, practical_salinity)
    );
    let behind_a_pointer: Kernel = black_box(density_kg_m3);
    println!("density_not_inlined_ns {}", least_ns(&table, behind_a_pointer));
}

/// Salinity and temperature of the table, where both libraries answer.
fn points() -> Vec<(f64, f64)> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/seawater.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table is part of the repository");
    reader
        .records()
        .map(|row| {
            let row = row.expect("the table is well formed");
            let number = |column: usize| row[column].parse::<f64>().expect("the table holds numbers");
            (number(0), number(1))
        })
        .filter(|&(s, t)| s <= 42.0 && t <= 40.0)
        .collect()
}

fn least_ns(table: &[(f64, f64)], kernel: impl Fn(f64, f64) -> Result<f64, OutOfRange>) -> f64 {
    let input: Vec<(f64, f64)> = table.iter().copied().cycle().take(POINTS).collect();
    let mut output = vec![0.0; POINTS];
    let mut least_ns = f64::INFINITY;
    for _ in 0..PASSES {
        let start = Instant::now();
        for (&(x, t), result) in black_box(&input).iter().zip(&mut output) {
            *result = kernel(x, t).unwrap_or(f64::NAN);
        }
        black_box(&mut output);
        least_ns = least_ns.min(start.elapsed().as_nanos() as f64 / POINTS as f64);
    }
    assert!(output.iter().all(|result| result.is_finite()));
    least_ns
}
