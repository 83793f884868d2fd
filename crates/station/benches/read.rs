//! Time to read the three examples and to edit them, as a proof does for each change that it tries.
//!
//! `cargo bench -p station --bench read`: prints milliseconds; asserts nothing, since machines differ.
//! With `-- ROUNDS` it does that many rounds of each: one of them for a count of instructions.

use std::hint::black_box;
use std::time::Instant;

use station::Station;
use station::edit::{Edit, apply};

fn best_of(rounds: u32, mut work: impl FnMut()) -> f64 {
    (0..rounds)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed().as_secs_f64() * 1e3
        })
        .fold(f64::INFINITY, f64::min)
}

#[expect(clippy::print_stdout, reason = "a bench prints")]
fn main() {
    let rounds = std::env::args().find_map(|word| word.parse().ok()).unwrap_or(300);
    for (name, text, vessel) in [
        (
            "larkhaven",
            include_str!("../../../stations/larkhaven.toml"),
            "fresh",
        ),
        (
            "juniper-street-school",
            include_str!("../../../stations/juniper-street-school.toml"),
            "drum",
        ),
        (
            "skelder-hatchery",
            include_str!("../../../stations/skelder-hatchery.toml"),
            "fresh-north",
        ),
    ] {
        let of = |key: &str| format!("vessels.{vessel}.{key}");
        let stands = Edit::quoted(of("outlet_level"), "61 mm ± 4 mm");
        let is_missing = Edit::quoted(of("batch_volume"), "60 L");
        let goes = Edit {
            path: of("outlet_level"),
            text: String::new(),
        };
        let read = best_of(rounds, || drop(black_box(Station::read(black_box(text)))));
        let edited = |edits: &[Edit]| best_of(rounds, || drop(black_box(apply(black_box(text), edits))));
        println!(
            "{name}: read {read:.3} ms; replace {:.3}, add {:.3}, both {:.3}, take out {:.3} ms",
            edited(core::slice::from_ref(&stands)),
            edited(core::slice::from_ref(&is_missing)),
            edited(&[stands.clone(), is_missing.clone()]),
            edited(&[goes]),
        );
    }
}
