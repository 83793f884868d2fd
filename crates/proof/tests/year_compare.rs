//! Stations through the same years.

use crate::year_support;

use proof::{Difference, Progress, Years, compare};
use station::Station;
use year_support::{EXAMPLES, set};

fn station(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

const YEARS: Years = Years {
    years: 60,
    seed: 2,
    threads: 2,
};

/// The same chance for both: nothing differs, and not by a rounding either.
#[test]
fn a_station_doesn_t_differ_from_itself() {
    for (name, text) in EXAMPLES {
        let both = [station(text), station(text)];
        let comparison = compare(&both, &YEARS, &Progress::default()).expect("compared");
        for difference in &comparison.differences[0] {
            let over = &difference.difference;
            assert!(
                over.mean == 0.0 && over.low == 0.0 && over.high == 0.0 && !difference.matters,
                "{name}: {difference:?}"
            );
        }
    }
}

/// Common random numbers (Law & Kelton, Simulation Modeling and Analysis, from memory): years in pairs differ by less than
/// years at random. Two litres a day from one tank are 730 L of water a year, so that 730 L more permeate; with pairs the
/// interval of the difference is many times narrower than the two intervals together.
#[test]
fn pairs_of_years_tell_more_than_years_apart() {
    let (_, text) = EXAMPLES[0];
    let more = set(
        text,
        "tanks.coral-raceway",
        "evaporation",
        "\"10 L/day ± 1.5 L/day\"",
    );
    let both = [station(text), station(&more)];
    let comparison = compare(&both, &YEARS, &Progress::default()).expect("compared");
    let of = |key: &str| -> (&Difference, f64) {
        let difference = comparison.differences[0]
            .iter()
            .find(|own| own.key == key)
            .expect("compared");
        let value = |design: usize| {
            let figures = &comparison.designs[design].figures;
            figures
                .iter()
                .find(|own| own.key == key)
                .and_then(|own| own.value)
                .expect("a value")
        };
        let (first, second) = (value(0), value(1));
        // The second less the first, as their means have it.
        let apart = second.mean - first.mean;
        assert!(
            (difference.difference.mean - apart).abs() < 1e-9 * second.mean.abs(),
            "{difference:?}"
        );
        let apart = (first.high - first.low).hypot(second.high - second.low);
        (
            difference,
            (difference.difference.high - difference.difference.low) / apart,
        )
    };
    for key in ["running", "reject", "beds"] {
        let (difference, narrower) = of(key);
        assert!(
            difference.difference.low > 0.0 && difference.matters,
            "{difference:?}"
        );
        assert!(narrower < 0.25, "{key}: {narrower}");
    }
}
