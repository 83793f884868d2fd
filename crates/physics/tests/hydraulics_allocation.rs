//! A solver takes its memory when it is compiled, and none after that.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

mod hydraulics_support;

use allocation_counter::measure;
use hydraulics_support::{Case, cases};
use physics::hydraulics::friction::Churchill;
use physics::hydraulics::network::Solver;
use physics::hydraulics::{GRAVITY_M_S2, LineWater, LossCoefficient};

/// Everything that can be asked of a compiled network, from its first solution on.
fn use_it(case: &Case, solver: &mut Solver, starts: &[f64]) {
    let per_head = case.water.density_kg_m3() * GRAVITY_M_S2;
    solver.solve().unwrap();
    for turn in 0..20_u32 {
        for (at, valve) in case.valves.values().enumerate() {
            solver
                .set_open(*valve, !(turn as usize + at).is_multiple_of(4))
                .unwrap();
            solver
                .set_loss(*valve, LossCoefficient::constant(f64::from(turn % 3)))
                .unwrap();
        }
        for pump in &case.pumps {
            solver
                .set_speed(*pump, [1.0, 0.7, 0.0][turn as usize % 3])
                .unwrap();
        }
        for (node, head_m) in &case.heads {
            let level_m = head_m + 0.01 * f64::from(turn % 5);
            solver
                .set_terminal(*node, level_m * per_head, turn % 7 != 6)
                .unwrap();
        }
        for link in case.links.values() {
            solver
                .set_water(*link, LineWater::new(1000.0 + f64::from(turn), 1e-6).unwrap())
                .unwrap();
        }
        solver.set_water_everywhere(case.water);
        match turn % 3 {
            0 => solver.forget(),
            1 => solver.start_from(starts).unwrap(),
            _ => {}
        }
        solver.solve().unwrap();
        assert!(solver.head_residual_m().is_finite());
        for link in case.links.values() {
            assert!((solver.flow_m3_s(*link) + solver.head_loss_m(*link)).is_finite());
        }
        for node in case.nodes.values() {
            assert!(solver.gauge_pressure_pa(*node).is_none_or(f64::is_finite));
        }
    }
}

/// Tolerance: none.
#[test]
fn a_compiled_solver_allocates_nothing() {
    for case in cases() {
        let mut solver = case.solver::<Churchill>();
        let starts = vec![1e-4; case.network.link_count()];
        let told = measure(|| use_it(&case, &mut solver, &starts));
        assert_eq!(told.count_total, 0, "{}: {told:?}", case.name);
    }
}

/// That the count counts: compiling allocates.
#[test]
fn compiling_is_counted() {
    let case = hydraulics_support::case("09_thirty_links");
    let told = measure(|| drop(case.solver::<Churchill>()));
    assert!(told.count_total > 30, "{told:?}");
}
