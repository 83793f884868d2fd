//! Time of a membrane's working point: one element, two and four in a row, and the pressure that a product takes.
//!
//! `cargo bench -p physics --bench membrane`; nothing is asserted, since machines differ.

use criterion::{Criterion, criterion_group, criterion_main};
use physics::membrane::{
    Element, Feed, Resistances, Restrictor, TemperatureResponse, least_pressure_pa, operate, operate_series,
};
use std::hint::black_box;

const RESPONSE: TemperatureResponse = TemperatureResponse::STANDARD;
/// About 3 l/(h bar), 98 % held back.
const ELEMENT: Element = Element {
    water_conductance_m3_s_pa: 8.363e-12,
    salt_conductance_m3_s: 5.553e-8,
};
const RESISTANCES: Resistances = Resistances {
    feed_pa_s_m3: 5e8,
    channel_pa_s_m3: 5e8,
    permeate_pa_s_m3: 3e9,
};
const FEED: Feed = Feed {
    pressure_pa: 4e5,
    temperature_c: 15.0,
    dissolved_solids_kg_m3: 0.3,
    permeate_pressure_pa: 8e3,
};
/// Twelve litres an hour of product.
const WANTED_M3_S: f64 = 12e-3 / 3600.0;

fn membrane(criterion: &mut Criterion) {
    let restrictor = Restrictor {
        conductance_m3_s_sqrt_pa: 2e-8,
    };
    let no_channel = Resistances {
        channel_pa_s_m3: 0.0,
        ..RESISTANCES
    };
    criterion.bench_function("operate", |bench| {
        bench.iter(|| {
            operate(
                black_box(&ELEMENT),
                &restrictor,
                &RESISTANCES,
                &RESPONSE,
                black_box(&FEED),
            )
        });
    });
    for count in [1, 2, 4] {
        let row = [ELEMENT; 4];
        for (name, resistances) in [("", RESISTANCES), (", no drop along the channel", no_channel)] {
            criterion.bench_function(&format!("operate_series of {count}{name}"), |bench| {
                bench.iter(|| {
                    operate_series(
                        black_box(&row[..count]),
                        &restrictor,
                        &resistances,
                        &RESPONSE,
                        black_box(&FEED),
                    )
                });
            });
        }
    }
    criterion.bench_function("least_pressure_pa", |bench| {
        bench.iter(|| {
            least_pressure_pa(
                black_box(&ELEMENT),
                &restrictor,
                &RESISTANCES,
                &RESPONSE,
                black_box(&FEED),
                black_box(WANTED_M3_S),
            )
        });
    });
}

criterion_group!(benches, membrane);
criterion_main!(benches);
