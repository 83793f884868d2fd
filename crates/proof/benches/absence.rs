//! A long weekend: every fault and every two of them, from idle, filling and amid tasks, without the changes that are
//! tried. `cargo bench -p proof --bench absence`; with `-- --once NAME` one example once, for a tool that counts.

#![expect(clippy::print_stdout, reason = "what a bench is for")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use proof::{Away, absence};
use station::Station;

const PASSES: usize = 7;

const EXAMPLES: [(&str, &str); 3] = [
    ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
    (
        "juniper-street-school",
        include_str!("../../../stations/juniper-street-school.toml"),
    ),
    (
        "skelder-hatchery",
        include_str!("../../../stations/skelder-hatchery.toml"),
    ),
];

fn main() {
    let flags: Vec<String> = std::env::args().skip(1).collect();
    let once = flags.iter().any(|flag| flag == "--once");
    let named = |name: &str| flags.iter().any(|flag| flag == name);
    println!("example                  faults   pairs    runs   ms on one thread, on two");
    for (name, text) in EXAMPLES {
        if once && !named(name) {
            continue;
        }
        let Ok(station) = Station::read(text) else {
            println!("{name}: no station");
            continue;
        };
        let times: Vec<Duration> = [1, 2]
            .into_iter()
            .map(|threads| {
                let away = Away {
                    threads,
                    remedies: false,
                    ..Away::default()
                };
                let passes = if once { 1 } else { PASSES };
                (0..passes)
                    .map(|_| {
                        let begun = Instant::now();
                        let _ = black_box(absence(black_box(&station), &away));
                        begun.elapsed()
                    })
                    .min()
                    .unwrap_or_default()
            })
            .collect();
        let away = Away {
            remedies: false,
            ..Away::default()
        };
        if let Ok(told) = absence(&station, &away) {
            println!(
                "{name:<24} {:>6} {:>7} {:>7}   {:>8.1} {:>8.1}",
                told.faults_known,
                told.pairs_told,
                told.pairs_run,
                times[0].as_secs_f64() * 1e3,
                times[1].as_secs_f64() * 1e3
            );
        }
    }
}
