//! A plant with every area, volume, hold-up and flow larger by one factor: every concentration, time and figure by
//! the litre stays.

use crate::membrane_support;

use membrane_support::{STANDARD, Set, apart, check_balances, example, set, worked};
use physics::membrane::{
    FloatStop, HoldUp, Idle, MembraneError, Resistances, Restrictor, break_even_m3, concentration_factor,
    idle_time_constant_s, mean_solids_kg_m3, operate_series,
};
use proptest::prelude::*;

impl Set {
    /// The same with every area, bore and volume larger.
    fn times(&self, scale: f64) -> Self {
        let Resistances {
            feed_pa_s_m3,
            channel_pa_s_m3,
            permeate_pa_s_m3,
        } = self.resistances;
        Self {
            element: self.element.times(scale),
            restrictor: Restrictor {
                conductance_m3_s_sqrt_pa: self.restrictor.conductance_m3_s_sqrt_pa * scale,
            },
            resistances: Resistances {
                feed_pa_s_m3: feed_pa_s_m3 / scale,
                channel_pa_s_m3: channel_pa_s_m3 / scale,
                permeate_pa_s_m3: permeate_pa_s_m3 / scale,
            },
            feed: self.feed,
        }
    }
}

/// Concentrations, times and figures by the litre of a plant that rests, starts, runs and is throttled by its float;
/// the volumes of a small one, times `scale`.
fn figures(
    set: &Set,
    count: usize,
    scale: f64,
    [hold_up, idle_s, run, band, share]: [f64; 5],
) -> Result<Vec<(&'static str, f64)>, TestCaseError> {
    let fail = |error: MembraneError| TestCaseError::fail(error.to_string());
    let elements = vec![set.element; count];
    let at = worked(operate_series(
        &elements,
        &set.restrictor,
        &set.resistances,
        &STANDARD,
        &set.feed,
    ))?;
    prop_assume!(at.permeate_m3_s > 1e-9 * scale && at.recovery < 0.9 && at.permeate_solids_kg_m3 > 1e-6);
    check_balances(&at, &set.feed)?;
    let (run, band) = (run * scale, band * scale);
    let warm = set.element.at(&STANDARD, set.feed.temperature_c).map_err(fail)?;
    let hold_up = HoldUp {
        permeate_m3: hold_up * scale,
        feed_side_m3: 4.0 * hold_up * scale,
    };
    let feed_side = set.feed.dissolved_solids_kg_m3 * concentration_factor(at.recovery).map_err(fail)?;
    let idle = Idle {
        steady_kg_m3: at.permeate_solids_kg_m3,
        feed_side_kg_m3: feed_side,
        salt_conductance_m3_s: warm.salt_conductance_m3_s,
    };
    let rested = idle.solids_kg_m3(&hold_up, idle_s).map_err(fail)?;
    let mean = mean_solids_kg_m3(hold_up.permeate_m3, rested, at.permeate_solids_kg_m3, run).map_err(fail)?;
    let salt = idle.start_salt_kg(&hold_up, idle_s, run).map_err(fail)?;
    // A feed side that was thinned less than its permeate gives a start no salt.
    prop_assume!(salt > 1e-9 * scale);
    let stop = FloatStop {
        band_m3: band,
        full_flow_m3_s: at.permeate_m3_s,
        closing_share: share,
    };
    let in_band = stop
        .salt_in_band_kg(warm.salt_conductance_m3_s, feed_side)
        .map_err(fail)?;
    let rejected = stop.reject_in_band_m3(at.reject_m3_s).map_err(fail)?;
    Ok(vec![
        ("recovery", at.recovery),
        ("reject by the litre", at.reject_m3_s / at.permeate_m3_s),
        ("wall", at.wall_solids_kg_m3),
        ("permeate", at.permeate_solids_kg_m3),
        ("reject", at.reject_solids_kg_m3),
        ("pressure at the membrane", at.membrane_pressure_pa),
        ("time of the run", run / at.permeate_m3_s),
        (
            "time of rest",
            idle_time_constant_s(&hold_up, warm.salt_conductance_m3_s).map_err(fail)?,
        ),
        ("permeate after rest", rested),
        ("mean of the run", mean),
        ("salt of the start by the litre", salt / run),
        (
            "break-even by the hold-up",
            break_even_m3(salt, at.permeate_solids_kg_m3).map_err(fail)? / hold_up.permeate_m3,
        ),
        ("time in the band", stop.throttle_time_s().map_err(fail)?),
        ("made in the band", stop.made_in_band_m3().map_err(fail)? / band),
        ("salt in the band by the litre", in_band / band),
        ("reject in the band by the litre", rejected / band),
    ])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, max_global_rejects: 20_000, ..ProptestConfig::default() })]

    #[test]
    fn only_products_with_area_matter(set in set(), scale in prop_oneof![Just(2.0), Just(37.0), 0.1..1000.0_f64]) {
        let (one, many) = (worked(set.operate())?, worked(set.times(scale).operate())?);
        for (a, b) in [
            (one.permeate_m3_s * scale, many.permeate_m3_s),
            (one.reject_m3_s * scale, many.reject_m3_s),
            (one.recovery, many.recovery),
            (one.wall_solids_kg_m3, many.wall_solids_kg_m3),
            (one.permeate_solids_kg_m3, many.permeate_solids_kg_m3),
            (one.reject_solids_kg_m3, many.reject_solids_kg_m3),
            (one.membrane_pressure_pa, many.membrane_pressure_pa),
        ] {
            // The search stops within 1e-13 of the most; a weak feed makes little beside that.
            prop_assert!(apart(a, b) < 1e-10, "{} against {}", a, b);
        }
    }

    #[test]
    fn a_plant_doubled_keeps_its_concentrations_times_and_figures_by_the_litre(
        set in set(), scale in prop_oneof![Just(2.0), 0.1..100.0_f64], count in 1_usize..4, hold_up in 1e-5..1e-3_f64,
        idle_s in 0.0..1e5_f64, run in 1e-4..1.0_f64, band in 1e-4..0.1_f64, share in 0.01..1.0_f64,
    ) {
        let one = figures(&set, count, 1.0, [hold_up, idle_s, run, band, share])?;
        let many = figures(&set.times(scale), count, scale, [hold_up, idle_s, run, band, share])?;
        for ((what, a), (_, b)) in one.into_iter().zip(many) {
            // As for one element: a weak feed makes little beside the tolerance of the search.
            prop_assert!(apart(a, b) < 1e-10, "{}: {} against {}", what, a, b);
        }
    }
}

#[test]
fn the_worked_set_doubled_keeps_every_figure() {
    // Two in a row, 80 ml of hold-up, two hours of rest, runs of 20 l, a band of 5 l closed at a tenth.
    let plant = [80e-6, 7200.0, 0.02, 5e-3, 0.1];
    let one = figures(&example(), 2, 1.0, plant).expect("a sound case");
    let two = figures(&example().times(2.0), 2, 2.0, plant).expect("a sound case");
    for ((what, a), (_, b)) in one.into_iter().zip(two) {
        // Twofold is exact in binary, so that only the search's last step differs, if anything.
        assert!(a > 0.0 && apart(a, b) < 1e-14, "{what}: {a} against {b}");
    }
}
