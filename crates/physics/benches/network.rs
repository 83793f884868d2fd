//! The reference network of 30 links: cold, and from a neighbouring state; and compiling it.

#![allow(clippy::unwrap_used, reason = "a bench may stop")]

#[path = "../tests/hydraulics_support/mod.rs"]
mod hydraulics_support;

use criterion::{Criterion, criterion_group, criterion_main};
use physics::hydraulics::GRAVITY_M_S2;
use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::Solver;
use std::hint::black_box;

fn network(criterion: &mut Criterion) {
    let case = hydraulics_support::case("09_thirty_links");
    let mut solver = case.solver::<Churchill>();
    solver.solve().unwrap();
    let per_head = case.water.density_kg_m3() * GRAVITY_M_S2;

    criterion.bench_function("30 links, compile", |b| {
        b.iter(|| Solver::<Churchill>::new(black_box(&case.network)));
    });
    criterion.bench_function("30 links, cold", |b| {
        b.iter(|| {
            solver.forget();
            black_box(solver.solve().unwrap())
        });
    });
    let mut turn = 0_u32;
    criterion.bench_function("30 links, from a neighbouring state", |b| {
        b.iter(|| {
            // Levels that wander by up to 20 mm.
            turn = turn.wrapping_add(1);
            let shift = 0.02 * f64::from(turn % 17) / 16.0;
            for (at, (node, head_m)) in case.heads.iter().enumerate() {
                let level = if at % 2 == 0 {
                    head_m + shift
                } else {
                    head_m - shift
                };
                solver.set_terminal(*node, level * per_head, true).unwrap();
            }
            black_box(solver.solve().unwrap())
        });
    });
}

criterion_group!(benches, network);
criterion_main!(benches);
