//! Rest, start and slow stop: worked figures, and the differential equations behind the closed forms.

use physics::membrane::{
    Element, Feed, FloatStop, HoldUp, Idle, MembraneError, Rating, RunLengths, TemperatureResponse,
    after_flush_kg, at_recovery, break_even_m3, concentration_factor, hold_up_for_ratio,
    idle_equilibrium_kg_m3, idle_time_constant_s, load_ratio, mean_solids_kg_m3, shut_off,
    solids_after_idle_kg_m3, solids_during_run_kg_m3, start_salt_kg, throttled_forever_kg_m3,
};
use proptest::prelude::*;

const PSI: f64 = 6894.757;
const LITRE_PER_HOUR: f64 = 1e-3 / 3600.0;
const STANDARD: TemperatureResponse = TemperatureResponse::STANDARD;
const HOLD_UP: HoldUp = HoldUp {
    permeate_m3: 80e-6,
    feed_side_m3: 0.3e-3,
};
/// Equivalent mass of sodium chloride, kg/mol.
const EQUIVALENT: f64 = 0.058_44;
/// 5 mg/l of carbon dioxide at 44.01 g/mol, as sodium chloride of as many equivalents.
const CARBON_DIOXIDE_KG_M3: f64 = 5e-3 / 44.01 * 58.44;

#[track_caller]
fn meets(what: &str, got: f64, printed: f64, tolerance: f64) {
    assert!(
        (got - printed).abs() <= tolerance,
        "{what}: {got} for {printed} ± {tolerance}"
    );
}

/// 75 US gallons a day at 60 psi, 25 °C, 250 mg/l, 15 %, 98 %: 6.545 and 0.4346 l/(m² h) over 0.46 m².
fn element() -> Element {
    let rating = Rating {
        permeate_flow_m3_s: 75.0 * 3.785_411_784e-3 / 86_400.0,
        pressure_pa: 60.0 * PSI,
        temperature_c: 25.0,
        dissolved_solids_kg_m3: 0.25,
        recovery: 0.15,
        rejection: 0.98,
    };
    Element::from_rating(&rating, &STANDARD).expect("a sound case")
}

/// 300 mg/l, recovery 0.2, 60 psi: what stands when the run stops.
fn stopped(temperature_c: f64, back_pa: f64) -> (Idle, f64) {
    let feed = Feed {
        pressure_pa: 60.0 * PSI,
        temperature_c,
        dissolved_solids_kg_m3: 0.3,
        permeate_pressure_pa: back_pa,
    };
    let at = at_recovery(&element(), &STANDARD, &feed, 0.2).expect("a sound case");
    let idle = Idle {
        steady_kg_m3: at.permeate_solids_kg_m3,
        feed_side_kg_m3: 0.3 * concentration_factor(0.2).expect("a sound case"),
        salt_conductance_m3_s: element()
            .at(&STANDARD, temperature_c)
            .expect("a sound case")
            .salt_conductance_m3_s,
    };
    (idle, at.permeate_m3_s)
}

fn runs(short_m3: f64, long_m3: f64, other_kg_m3: f64) -> RunLengths {
    let (idle, _) = stopped(25.0, 0.0);
    RunLengths {
        short_run_m3: short_m3,
        long_run_m3: long_m3,
        feed_side_m3: HOLD_UP.feed_side_m3,
        feed_side_kg_m3: idle.feed_side_kg_m3,
        steady_kg_m3: idle.steady_kg_m3,
        other_kg_m3,
    }
}

#[test]
fn the_worked_rest_comes_out() {
    let (idle, flow) = stopped(25.0, 0.0);
    meets("steady, mg/l", 1e3 * idle.steady_kg_m3, 6.49, 5e-3);
    meets("feed side, mg/l", 1e3 * idle.feed_side_kg_m3, 334.7, 0.05);
    let end = idle_equilibrium_kg_m3(&HOLD_UP, idle.steady_kg_m3, idle.feed_side_kg_m3).unwrap();
    meets("equilibrium, mg/l", 1e3 * end, 265.6, 0.05);
    let salt = start_salt_kg(HOLD_UP.permeate_m3, end, idle.steady_kg_m3, 1.0).unwrap();
    meets("start, mg", 1e6 * salt, 20.7, 0.05);
    meets(
        "break-even, l",
        1e3 * break_even_m3(salt, idle.steady_kg_m3).unwrap(),
        3.2,
        0.05,
    );
    // Time constants: 24 min with the feed side open, 19 min closed, 27 min closed at 15 °C.
    let minutes = |hold_up: HoldUp, temperature_c: f64| {
        let (idle, _) = stopped(temperature_c, 0.0);
        idle_time_constant_s(&hold_up, idle.salt_conductance_m3_s).unwrap() / 60.0
    };
    let open = HoldUp {
        feed_side_m3: 1e6,
        ..HOLD_UP
    };
    meets("open", minutes(open, 25.0), 24.0, 0.05);
    meets("open, h", minutes(open, 25.0) / 60.0, 0.400, 5e-4);
    meets("closed", minutes(HOLD_UP, 25.0), 19.0, 0.1);
    meets("closed, 15 °C", minutes(HOLD_UP, 15.0), 27.0, 0.15);
    // Share of the equilibrium that is reached, of the concentration itself.
    for (rest_min, share) in [
        (6.0, 0.27),
        (15.0, 0.55),
        (30.0, 0.80),
        (60.0, 0.96),
        (120.0, 1.00),
    ] {
        let at = idle.solids_kg_m3(&HOLD_UP, 60.0 * rest_min).unwrap();
        // Worked as 1 − exp(−t/τ) with τ = 18.9 min: 0.272, 0.548, 0.795, 0.958, 0.998.
        let reached = (at - idle.steady_kg_m3) / (end - idle.steady_kg_m3);
        meets(&format!("{rest_min} min"), reached, share, 5.5e-3);
    }
    // Wash-out: 25 s of product fill the hold-up; five of them are 124 s and 0.40 l. Worked at 11.65 l/h.
    meets("flow, l/h", flow / LITRE_PER_HOUR, 11.65, 5e-3);
    meets("wash-out, s", HOLD_UP.permeate_m3 / flow, 25.0, 0.5);
    meets("five, s", 5.0 * HOLD_UP.permeate_m3 / flow, 124.0, 0.5);
}

#[test]
fn the_worked_hold_ups_come_out() {
    for (hold_up_ml, salt_mg) in [(30.0, 9.0), (80.0, 21.0), (150.0, 33.0)] {
        let (idle, _) = stopped(25.0, 0.0);
        let hold_up = HoldUp {
            permeate_m3: 1e-6 * hold_up_ml,
            ..HOLD_UP
        };
        let salt = idle.start_salt_kg(&hold_up, 1e7, 1.0).unwrap();
        meets(&format!("{hold_up_ml} ml"), 1e6 * salt, salt_mg, 0.5);
    }
}

/// A run against its worked figures, each with half a unit of its last digit.
struct Row {
    run_l: f64,
    /// mg/l, and as a multiple of that of 130 l.
    salt: [(f64, f64); 2],
    /// meq/l with 5 mg/l of carbon dioxide, and as a multiple.
    load: [(f64, f64); 2],
    /// Litres by a litre of resin of 0.5 eq/l.
    by_resin: f64,
}

#[rustfmt::skip]
const ROWS: [Row; 5] = [
    Row { run_l: 0.3, salt: [(74.0, 5e-2), (11.1, 5e-2)], load: [(1.379, 5e-4), (6.1, 5e-2)], by_resin: 363.0 },
    Row { run_l: 1.0, salt: [(27.2, 5e-2), (4.09, 5e-3)], load: [(0.579, 5e-4), (2.55, 5e-3)], by_resin: 863.0 },
    Row { run_l: 5.0, salt: [(10.6, 5e-2), (1.60, 5e-3)], load: [(0.296, 5e-4), (1.30, 5e-3)], by_resin: 1691.0 },
    Row { run_l: 20.0, salt: [(7.53, 5e-3), (1.13, 5e-3)], load: [(0.242, 5e-4), (1.07, 5e-3)], by_resin: 2063.0 },
    Row { run_l: 130.0, salt: [(6.65, 5e-3), (1.00, 5e-3)], load: [(0.227, 5e-4), (1.00, 5e-3)], by_resin: 2199.0 },
];

#[test]
fn the_worked_table_of_runs_comes_out() {
    // Worked from the rounded 6.49 mg/l: its unrounded 6.493 would give 2062 instead of 2063.
    let steady = 6.49e-3;
    let (idle, _) = stopped(25.0, 0.0);
    let start = idle_equilibrium_kg_m3(&HOLD_UP, steady, idle.feed_side_kg_m3).unwrap();
    let mean = |run_l: f64| mean_solids_kg_m3(HOLD_UP.permeate_m3, start, steady, 1e-3 * run_l).unwrap();
    let load = |run_l: f64| (mean(run_l) + CARBON_DIOXIDE_KG_M3) / EQUIVALENT;
    for row in ROWS {
        let what = format!("{} l", row.run_l);
        let (salt, load_now) = (mean(row.run_l), load(row.run_l));
        for (got, (printed, half)) in [
            (1e3 * salt, row.salt[0]),
            (salt / mean(130.0), row.salt[1]),
            (load_now, row.load[0]),
            (load_now / load(130.0), row.load[1]),
            (500.0 / load_now, (row.by_resin, 0.5)),
        ] {
            meets(&what, got, printed, half);
        }
    }
    // With 10 and 20 mg/l of carbon dioxide: 1 l against 130 l.
    for (carbon_dioxide, times) in [(0.0, 4.09), (10.0, 2.03), (20.0, 1.62)] {
        let other = carbon_dioxide / 5.0 * CARBON_DIOXIDE_KG_M3;
        let ratio = load_ratio(&runs(1e-3, 0.13, other), HOLD_UP.permeate_m3).unwrap();
        meets("1 l against 130 l", ratio, times, 5e-3);
    }
}

#[test]
fn the_integrated_start_comes_out() {
    // 15 °C and 0.2 bar of back pressure.
    let (idle, _) = stopped(15.0, 0.2e5);
    let end = idle_equilibrium_kg_m3(&HOLD_UP, idle.steady_kg_m3, idle.feed_side_kg_m3).unwrap();
    meets("equilibrium, mg/l", 1e3 * end, 265.7, 0.05);
    let tau = idle_time_constant_s(&HOLD_UP, idle.salt_conductance_m3_s).unwrap();
    meets("time constant, min", tau / 60.0, 26.9, 0.05);
    let salt = start_salt_kg(HOLD_UP.permeate_m3, end, idle.steady_kg_m3, 1.0).unwrap();
    meets("start, mg", 1e6 * salt, 20.7, 0.05);
    meets(
        "break-even, l",
        1e3 * break_even_m3(salt, idle.steady_kg_m3).unwrap(),
        3.03,
        5e-3,
    );
    // Loads with 6.71 mg/l of carbon dioxide.
    let loads = [
        (1.0, 0.624),
        (5.0, 0.340),
        (20.0, 0.287),
        (130.0, 0.272),
        (200.0, 0.271),
    ];
    for (run_l, meq_l) in loads {
        let mean = mean_solids_kg_m3(HOLD_UP.permeate_m3, end, idle.steady_kg_m3, 1e-3 * run_l).unwrap();
        let load = mean / EQUIVALENT + 6.71 / 44.01;
        meets(&format!("{run_l} l"), load, meq_l, 1e-3);
    }
}

#[test]
fn the_saying_about_long_runs_is_met_as_far_as_worked() {
    // 20 l against 130 l: 1.07 with carbon dioxide, 1.13 without; hold-ups of 150 and 300 ml give 1.2 and 1.3.
    let ratio = |other, hold_up_ml: f64| load_ratio(&runs(0.02, 0.13, other), 1e-6 * hold_up_ml).unwrap();
    meets("with", ratio(CARBON_DIOXIDE_KG_M3, 80.0), 1.07, 5e-3);
    meets("without", ratio(0.0, 80.0), 1.13, 5e-3);
    meets("150 ml", ratio(0.0, 150.0), 1.2, 0.05);
    meets("300 ml", ratio(0.0, 300.0), 1.3, 0.05);
    // A float that reopens after 2.6 l: 1.6 and 2.2 against 130 l.
    meets(
        "2.6 l with",
        load_ratio(&runs(2.6e-3, 0.13, CARBON_DIOXIDE_KG_M3), 80e-6).unwrap(),
        1.6,
        0.05,
    );
    meets(
        "2.6 l without",
        load_ratio(&runs(2.6e-3, 0.13, 0.0), 80e-6).unwrap(),
        2.2,
        0.05,
    );
}

#[test]
fn the_hold_up_that_a_saying_needs_is_named_or_refused() {
    let open = RunLengths {
        feed_side_m3: 1e6,
        ..runs(0.02, 0.13, 0.0)
    };
    for runs in [
        runs(0.02, 0.13, 0.0),
        runs(1e-3, 0.13, CARBON_DIOXIDE_KG_M3),
        open,
    ] {
        for ratio in [1.001, 1.05, 1.2] {
            let hold_up = hold_up_for_ratio(&runs, ratio).unwrap();
            meets("ratio", load_ratio(&runs, hold_up).unwrap(), ratio, 1e-9);
            // The smallest: a smaller one gives less.
            assert!(load_ratio(&runs, 0.99 * hold_up).unwrap() < ratio);
        }
    }
    // A closed feed side of 0.3 l can't make 20 l twice as costly as 130 l, whatever the hold-up; an open one can.
    let refused = hold_up_for_ratio(&runs(0.02, 0.13, 0.0), 2.0).unwrap_err();
    let MembraneError::RatioBeyond { most, .. } = refused else {
        panic!("{refused:?}");
    };
    // Steps of a two-hundredth about a flat top, up to 2 m³.
    let scanned = (0..3400)
        .map(|i| load_ratio(&runs(0.02, 0.13, 0.0), 1e-7 * libm::pow(1.005, f64::from(i))).unwrap())
        .fold(0.0, f64::max);
    meets("most", most, scanned, 1e-5);
    assert!((1.4..1.6).contains(&most), "{most}");
    let hold_up = hold_up_for_ratio(&open, 2.0).unwrap();
    assert!((0.3e-3..1.0e-3).contains(&hold_up), "{hold_up}");
    // Just below the most it's found, just above refused.
    assert!(hold_up_for_ratio(&runs(0.02, 0.13, 0.0), most - 1e-6).is_ok());
    assert!(hold_up_for_ratio(&runs(0.02, 0.13, 0.0), most + 1e-6).is_err());
    let swapped = hold_up_for_ratio(&runs(0.13, 0.02, 0.0), 1.2);
    assert!(matches!(swapped, Err(MembraneError::RunsOutOfOrder { .. })));
}

#[test]
fn a_flush_of_three_to_five_hold_ups_saves_nearly_all() {
    // Left after five: 0.674 %; three to five remove 95 to 99 %.
    let whole = start_salt_kg(80e-6, 0.2656, 6.49e-3, 1.0).unwrap();
    for (hold_ups, left, tolerance) in [(5.0, 0.00674, 5e-6), (3.0, 0.05, 5e-4)] {
        let salt = after_flush_kg(80e-6, 0.2656, 6.49e-3, hold_ups * 80e-6, 1.0).unwrap();
        meets("left", salt / whole, left, tolerance);
    }
}

#[test]
fn the_slow_stop_meets_its_worked_figures() {
    let (idle, flow) = stopped(25.0, 0.0);
    // 0.2 l/h times 335 mg/l: 67 mg an hour, so that twenty minutes are about one start.
    let hour = FloatStop {
        band_m3: flow * 3600.0,
        full_flow_m3_s: flow,
        closing_share: libm::exp(-1.0),
    };
    meets("time, s", hour.throttle_time_s().unwrap(), 3600.0, 1e-9);
    let salt = hour
        .salt_in_band_kg(idle.salt_conductance_m3_s, idle.feed_side_kg_m3)
        .unwrap();
    meets("salt, mg", 1e6 * salt, 67.0, 0.5);
    meets("twenty minutes, mg", 1e6 * salt / 3.0, 20.7, 2.0);
    meets(
        "reject, l",
        1e3 * hour.reject_in_band_m3(10.0 * LITRE_PER_HOUR).unwrap(),
        10.0,
        1e-9,
    );
    // Closing at 0.65 of 60 psi with 0.25 bar of osmosis leaves 0.308 of the product (by hand).
    let share = shut_off::closing_share(0.65, 60.0 * PSI, 0.25e5).unwrap();
    meets("share", share, 1.0 - 0.65 / (1.0 - 0.25 / 4.136_854_2), 1e-12);
    let never = shut_off::closing_share(0.65, 1e5, 0.4e5);
    assert!(matches!(never, Err(MembraneError::NeverCloses { .. })));
    let valve = shut_off::ShutOff {
        closing_ratio: 0.65,
        reopening_ratio: 0.4,
    };
    let (closes, reopens) = valve.pressures_pa(4e5).unwrap();
    assert_eq!((closes, reopens), (0.65 * 4e5, 0.4 * 4e5));
    assert_eq!(valve.closing_share(60.0 * PSI, 0.25e5).unwrap(), share);
    let stuck = shut_off::ShutOff {
        reopening_ratio: 0.65,
        ..valve
    };
    assert!(matches!(
        stuck.pressures_pa(4e5),
        Err(MembraneError::NoHysteresis { .. })
    ));
}

/// Fourth-order steps of a differential equation in two unknowns.
fn integrate(rate: impl Fn([f64; 2]) -> [f64; 2], start: [f64; 2], time: f64, steps: u32) -> [f64; 2] {
    let h = time / f64::from(steps);
    let add = |y: [f64; 2], k: [f64; 2], by: f64| [y[0] + by * k[0], y[1] + by * k[1]];
    (0..steps).fold(start, |y, _| {
        let k1 = rate(y);
        let k2 = rate(add(y, k1, h / 2.0));
        let k3 = rate(add(y, k2, h / 2.0));
        let k4 = rate(add(y, k3, h));
        let y = add(y, k1, h / 6.0);
        let y = add(y, k2, h / 3.0);
        let y = add(y, k3, h / 3.0);
        add(y, k4, h / 6.0)
    })
}

proptest! {
    #[test]
    fn rest_follows_its_differential_equation(
        permeate in 3e-5..3e-4_f64, feed_side in 1e-4..1e-3_f64, salt in 1e-8..1e-7_f64,
        c0 in 0.0..0.05_f64, cf in 0.0..2.0_f64, taus in 0.0..4.0_f64,
    ) {
        let hold_up = HoldUp { permeate_m3: permeate, feed_side_m3: feed_side };
        let time = taus * idle_time_constant_s(&hold_up, salt).unwrap();
        let got = solids_after_idle_kg_m3(&hold_up, c0, cf, salt, time).unwrap();
        let rate = |c: [f64; 2]| {
            let flux = salt * (c[1] - c[0]);
            [flux / permeate, -flux / feed_side]
        };
        let [expected, other] = integrate(rate, [c0, cf], time, 400);
        // Steps of a hundredth of a time constant: (1/100)^4/120 of each, 4e-10 in all.
        prop_assert!((got - expected).abs() < 1e-9 * cf.max(c0));
        // Nothing is lost between the two sides.
        let all = permeate * c0 + feed_side * cf;
        prop_assert!((permeate * got + feed_side * other - all).abs() < 1e-9 * all.max(1e-12));
    }

    #[test]
    fn a_start_is_the_integral_of_what_it_washes_out(
        hold_up in 3e-5..3e-4_f64, c1 in 0.0..2.0_f64, steady in 0.0..0.05_f64, hold_ups in 0.0..12.0_f64,
    ) {
        // Simpson's rule over the excess in steps of 0.006 hold-ups at most: 12·0.006⁴/180 of it, 1e-10.
        let run = hold_ups * hold_up;
        let steps = 2000_u32;
        let h = run / f64::from(steps);
        let excess = |i: u32| {
            solids_during_run_kg_m3(hold_up, c1, steady, h * f64::from(i)).unwrap() - steady
        };
        let inner: f64 = (1..steps).map(|i| excess(i) * if i % 2 == 1 { 4.0 } else { 2.0 }).sum();
        let integral = h / 3.0 * (excess(0) + inner + excess(steps));
        let salt = start_salt_kg(hold_up, c1, steady, run).unwrap();
        prop_assert!((salt - integral).abs() <= 1e-9 * hold_up * c1.max(steady));
        let mean = mean_solids_kg_m3(hold_up, c1, steady, run).unwrap();
        prop_assert!((mean * run - steady * run - salt).abs() <= 1e-13 * (c1.max(steady)) * (hold_up + run));
        // Flushed and passed on make up the whole.
        let half = start_salt_kg(hold_up, c1, steady, run / 2.0).unwrap();
        let rest = after_flush_kg(hold_up, c1, steady, run / 2.0, run / 2.0).unwrap();
        prop_assert!((half + rest - salt).abs() <= 1e-13 * hold_up * (c1 + steady));
    }

    #[test]
    fn scaling_the_station_leaves_times_and_concentrations(scale in 0.5..100.0_f64, idle_s in 0.0..1e5_f64, run in 0.0..0.1_f64) {
        let (idle, _) = stopped(20.0, 0.0);
        let larger = HoldUp {
            permeate_m3: HOLD_UP.permeate_m3 * scale,
            feed_side_m3: HOLD_UP.feed_side_m3 * scale,
        };
        let wide = Idle { salt_conductance_m3_s: idle.salt_conductance_m3_s * scale, ..idle };
        let (one, many) = (idle.solids_kg_m3(&HOLD_UP, idle_s).unwrap(), wide.solids_kg_m3(&larger, idle_s).unwrap());
        prop_assert!((one - many).abs() <= 1e-12 * one);
        let salt = idle.start_salt_kg(&HOLD_UP, idle_s, run).unwrap();
        let salts = wide.start_salt_kg(&larger, idle_s, run * scale).unwrap();
        prop_assert!((salts - scale * salt).abs() <= 1e-12 * salts.abs());
    }

    #[test]
    fn the_band_follows_its_differential_equation(band in 1e-4..1e-1_f64, flow in 1e-6..1e-4_f64, share in 0.05..1.0_f64) {
        let stop = FloatStop { band_m3: band, full_flow_m3_s: flow, closing_share: share };
        let time = stop.throttle_time_s().unwrap();
        let rate = |v: [f64; 2]| [flow * (1.0 - v[0] / band), 0.0];
        let [made, _] = integrate(rate, [0.0, 0.0], time, 400);
        prop_assert!((made - stop.made_in_band_m3().unwrap()).abs() < 1e-9 * band);
        prop_assert!((1.0 - made / band - share).abs() < 1e-9);
    }

    #[test]
    fn a_weaker_need_gives_a_saltier_throttled_permeate(salt in 1e-8..1e-7_f64, c in 0.1..3.0_f64, q in 1e-9..1e-5_f64) {
        let at = |q| throttled_forever_kg_m3(salt, c, q).unwrap();
        prop_assert!(at(q) < at(q / 2.0));
        prop_assert_eq!(at(0.0), c);
        // What passes with the water is what diffuses.
        prop_assert!((q * at(q) - salt * (c - at(q))).abs() <= 1e-12 * salt * c);
    }
}

#[test]
fn limits_are_met() {
    let (idle, _) = stopped(25.0, 0.0);
    // No rest, no extra salt.
    assert_eq!(idle.start_salt_kg(&HOLD_UP, 0.0, 1.0).unwrap(), 0.0);
    // Open feed side and long rest: Vh·(cb − css).
    let open = HoldUp {
        feed_side_m3: 1e6,
        ..HOLD_UP
    };
    let salt = idle.start_salt_kg(&open, 1e9, 1.0).unwrap();
    let whole = 80e-6 * (idle.feed_side_kg_m3 - idle.steady_kg_m3);
    meets("whole", salt / whole, 1.0, 1e-9);
    // A long run is the steady one, no run the start.
    meets(
        "long",
        mean_solids_kg_m3(80e-6, 0.2656, 6.49e-3, 1e6).unwrap(),
        6.49e-3,
        1e-9,
    );
    assert_eq!(mean_solids_kg_m3(80e-6, 0.25, 0.0078125, 0.0).unwrap(), 0.25);
    assert_eq!(start_salt_kg(80e-6, 0.2656, 6.49e-3, 0.0).unwrap(), 0.0);
}

#[test]
fn what_cannot_be_is_refused() {
    let (idle, _) = stopped(25.0, 0.0);
    for value in [f64::NAN, f64::INFINITY, -1.0] {
        let hold_up = HoldUp {
            permeate_m3: value,
            ..HOLD_UP
        };
        assert!(idle.solids_kg_m3(&hold_up, 60.0).is_err());
        assert!(idle.solids_kg_m3(&HOLD_UP, value).is_err());
        assert!(start_salt_kg(80e-6, value, 0.006, 1.0).is_err());
        assert!(start_salt_kg(80e-6, 0.2, 0.006, value).is_err());
        assert!(mean_solids_kg_m3(value, 0.2, 0.006, 1.0).is_err());
        assert!(break_even_m3(value, 0.006).is_err());
        assert!(throttled_forever_kg_m3(value, 0.3, 1e-6).is_err());
        assert!(shut_off::closing_share(0.65, value, 0.0).is_err());
        assert!(hold_up_for_ratio(&runs(0.02, 0.13, 0.0), value).is_err());
        let stop = FloatStop {
            band_m3: 1e-3,
            full_flow_m3_s: 1e-6,
            closing_share: value,
        };
        assert!(stop.throttle_time_s().is_err());
    }
    assert!(break_even_m3(1e-6, 0.0).is_err());
}
