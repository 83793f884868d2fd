//! Time to read and prove the three examples, against the budgets of the architecture.
//!
//! `cargo bench -p proof --bench prove`: prints milliseconds; asserts nothing, since machines differ. With `-- --once` and
//! the name of an example its first proof is made once, for a tool that counts instructions.

use std::hint::black_box;
use std::time::Instant;

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
    let flags: Vec<String> = std::env::args().skip(1).collect();
    let once = flags.iter().any(|flag| flag == "--once");
    for (name, text) in [
        ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
        (
            "juniper-street-school",
            include_str!("../../../stations/juniper-street-school.toml"),
        ),
        (
            "skelder-hatchery",
            include_str!("../../../stations/skelder-hatchery.toml"),
        ),
    ] {
        if once {
            if flags.iter().any(|flag| flag == name) {
                drop(black_box(
                    station::Station::read(text).map(|station| proof::prove_first(&station)),
                ));
            }
            continue;
        }
        let read = best_of(200, || drop(black_box(station::Station::read(black_box(text)))));
        let Ok(station) = station::Station::read(text) else {
            continue;
        };
        let first = best_of(50, || drop(black_box(proof::prove_first(black_box(&station)))));
        let prove = best_of(50, || drop(black_box(proof::prove(black_box(&station)))));
        println!(
            "{name}: read {read:.2} ms, prove with intervals and remedies {prove:.2} ms, \
             of it the first proof {first:.2} ms"
        );
    }
}
