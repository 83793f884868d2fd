//! Jets against worked values, their own scaling, and a pipe's profile summed in the test.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use physics::jet::{
    AgainstDensity, Aim, DeadLeg, JetError, JetPath, LayerFate, LegFlow, Nozzle, StirredVessel,
    axis_speed_m_s, blend_times, circulation_time_s, crossing_time_s, first_measurement, floor_speed_m_s,
    flush, jet_length_scale_m, jet_path, laminar_old_share_inside, laminar_old_share_leaving,
    laminar_volumes, layer_fate, layer_richardson, opposed_jet, opposed_reach_m, replaced_share,
    time_to_homogeneity_s, turbulent_volumes, turnover_time_s, turnovers_for_share,
};
use physics::stats::normal_cumulative;

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

const L_MIN: f64 = 1e-3 / 60.0;

const DRUM: StirredVessel = StirredVessel {
    diameter_m: 0.56,
    depth_m: 0.8,
};
const PUMP: Nozzle = Nozzle {
    flow_m3_s: 25.0 * L_MIN,
    bore_m: 0.013,
};

/// Source: handbook 7, checks 1 to 3: to the second as printed. For the circulation the handbook gives both constants
/// for one path, so the lower one stands in `blend_times` (the diagonal is steeper than 15°) and the upper one is asked
/// with a flat path of the same length.
#[test]
fn handbook_vessels() {
    struct Row {
        vessel: (f64, f64),
        flow_l_min: f64,
        bore_mm: f64,
        turbulence_s: f64,
        circulation_s: (f64, f64),
        crossing_s: f64,
        turnover_s: f64,
    }
    #[rustfmt::skip]
    let table = [
        Row { vessel: (0.56, 0.8), flow_l_min: 25.0, bore_mm: 13.0, turnover_s: 473.0,
              turbulence_s: 70.0, circulation_s: (59.0, 87.0), crossing_s: 69.0 },
        Row { vessel: (0.56, 0.8), flow_l_min: 50.0, bore_mm: 20.9, turnover_s: 236.0,
              turbulence_s: 56.0, circulation_s: (47.0, 70.0), crossing_s: 56.0 },
        Row { vessel: (1.2, 1.0), flow_l_min: 60.0, bore_mm: 20.9, turnover_s: 1131.0,
              turbulence_s: 120.0, circulation_s: (141.0, 209.0), crossing_s: 213.0 },
    ];
    for row in table {
        let (diameter_m, depth_m) = row.vessel;
        let vessel = StirredVessel { diameter_m, depth_m };
        let nozzle = Nozzle {
            flow_m3_s: row.flow_l_min * L_MIN,
            bore_m: row.bore_mm / 1000.0,
        };
        let times = blend_times(&vessel, &nozzle, &Aim::Diagonal, 1e-6).unwrap();
        let close = |got: f64, printed: f64| assert!((got - printed).abs() <= 0.65, "{got} for {printed}");
        close(times.turbulence_s, row.turbulence_s);
        close(times.circulation_s, row.circulation_s.0);
        close(times.crossing_s.unwrap(), row.crossing_s);
        let flat = JetPath {
            above_horizontal_deg: 0.0,
            ..jet_path(&vessel, &Aim::Diagonal).unwrap()
        };
        close(
            circulation_time_s(&vessel, &nozzle, &flat).unwrap(),
            row.circulation_s.1,
        );
        let volume_m3 = vessel.volume_m3().unwrap();
        close(
            turnover_time_s(volume_m3, nozzle.flow_m3_s).unwrap(),
            row.turnover_s,
        );
        assert!(times.shortest_s() <= times.turbulence_s && times.longest_s() >= times.circulation_s);
        // Handbook: by volume 27 % more than T²·H, or π/4 of it.
        near(
            times.circulation_s / times.circulation_by_volume_s,
            4.0 / std::f64::consts::PI,
            1e-14,
        );
    }
    // Check 1 in its parts: three digits.
    near(PUMP.speed_m_s().unwrap(), 3.139, 3e-4);
    near(PUMP.reynolds(1e-6).unwrap(), 4.1e4, 5e-3);
    near(jet_path(&DRUM, &Aim::Diagonal).unwrap().length_m, 0.977, 5e-4);
    // Handbook: 8·D²/√(Q·U) is 9.03·D²/(U·d).
    let crossing_s = crossing_time_s(&DRUM, &PUMP).unwrap();
    near(
        crossing_s * PUMP.speed_m_s().unwrap() * 0.013 / (0.56 * 0.56),
        9.03,
        1e-3,
    );
}

/// Source: handbook 7: 3 turnovers 95 %, 4.6 turnovers 99 %; 99 % homogeneity takes 1.54 times as long as 95 %.
#[test]
fn turnovers_and_homogeneity() {
    near(replaced_share(3.0).unwrap(), 0.95, 3e-4);
    near(replaced_share(4.6).unwrap(), 0.99, 1e-4);
    near(turnovers_for_share(0.99).unwrap(), 4.6, 2e-3);
    assert_eq!(replaced_share(0.0), Ok(0.0));
    near(time_to_homogeneity_s(100.0, 0.99).unwrap(), 153.7, 1e-3);
    near(time_to_homogeneity_s(100.0, 0.95).unwrap(), 100.0, 1e-14);
    // A stirred vessel stepped through: each hundred-thousandth of the volume in, as much out of the mixture.
    let mut old = 1.0;
    for _ in 0..300_000 {
        old -= old * 1e-5;
    }
    // Steps of 10⁻⁵ err by half of it per turnover.
    near(1.0 - replaced_share(3.0).unwrap(), old, 3e-5);
}

#[test]
fn paths_by_hand() {
    let square = StirredVessel {
        diameter_m: 1.0,
        depth_m: 1.0,
    };
    let at = |nozzle_height_m: f64, above_horizontal_deg: f64| {
        let aim = Aim::Inclined {
            nozzle_height_m,
            above_horizontal_deg,
        };
        jet_path(&square, &aim).map(|path| path.length_m)
    };
    // By hand: half of a square's diagonal twice, straight lines, and 1/cos 30° to the wall.
    near(
        jet_path(&square, &Aim::Diagonal).unwrap().length_m,
        2f64.sqrt(),
        1e-15,
    );
    near(at(0.0, 45.0).unwrap(), 2f64.sqrt(), 1e-14);
    near(at(0.5, 45.0).unwrap(), 0.5 * 2f64.sqrt(), 1e-14);
    near(at(0.0, 30.0).unwrap(), 1.154_700_538, 1e-9);
    near(at(0.3, 0.0).unwrap(), 1.0, 1e-15);
    near(at(0.3, 90.0).unwrap(), 0.7, 1e-14);
    near(at(0.3, -90.0).unwrap(), 0.3, 1e-14);
    near(at(1.0, -45.0).unwrap(), 2f64.sqrt(), 1e-14);
    assert_eq!(jet_path(&square, &Aim::Axial).unwrap().length_m, 1.0);
    assert!(matches!(at(1.0, 30.0), Err(JetError::NoPath { .. })));
    assert!(matches!(at(0.0, -30.0), Err(JetError::NoPath { .. })));
    assert!(matches!(at(1.1, 0.0), Err(JetError::NozzleDry { .. })));
    // The axis has no crossing time.
    let times = blend_times(&square, &PUMP, &Aim::Axial, 1e-6).unwrap();
    assert_eq!(times.crossing_s, None);
    assert!(times.shortest_s() <= times.longest_s());
    // A box of the same volume and depth.
    let as_box = StirredVessel::of_volume(square.volume_m3().unwrap(), 1.0).unwrap();
    near(as_box.diameter_m, 1.0, 1e-15);
}

#[test]
fn a_jet_slows() {
    // By hand, 6.3 bores of core, then half at twice that.
    let at = |bores: f64| axis_speed_m_s(&PUMP, bores * 0.013).unwrap() / PUMP.speed_m_s().unwrap();
    assert_eq!(at(1.0), 1.0);
    assert_eq!(at(6.0), 1.0);
    near(at(12.6), 0.5, 1e-14);
    near(at(63.0), 0.1, 1e-14);
    let floor = floor_speed_m_s(&PUMP, 0.819).unwrap();
    near(floor.high_m_s / floor.low_m_s, 2f64.sqrt(), 1e-14);
    near(floor.low_m_s, axis_speed_m_s(&PUMP, 0.819).unwrap(), 1e-15);
}

/// Source: Turner 1966, from memory, by radius: 2.46·r·Fr with Fr = U/√(g′·r).
#[test]
fn a_fountain() {
    let (jet, vessel) = (998.0, 1025.0);
    let speed_m_s = PUMP.speed_m_s().unwrap();
    let lift_m_s2 = 9.806_65 * 27.0 / 1025.0;
    let radius_m: f64 = 0.013 / 2.0;
    let expected_m = 2.46 * radius_m * speed_m_s / (lift_m_s2 * radius_m).sqrt();
    // 2.46/√2 is written with five digits.
    near(opposed_reach_m(&PUMP, jet, vessel).unwrap(), expected_m, 1e-5);
    // By Turner's fluxes: 1.85·M^(3/4)/F^(1/2), M = Q·U and F = Q·g′; three digits.
    let (momentum, lift) = (PUMP.momentum_m4_s2().unwrap(), PUMP.flow_m3_s * lift_m_s2);
    near(
        expected_m,
        1.85 * momentum.sqrt() * momentum.sqrt().sqrt() / lift.sqrt(),
        2e-3,
    );
    near(
        jet_length_scale_m(&PUMP, jet, vessel).unwrap(),
        momentum.sqrt() * momentum.sqrt().sqrt() / lift.sqrt(),
        1e-13,
    );
    let outcome = |distance_m| opposed_jet(&PUMP, jet, vessel, distance_m).unwrap().outcome;
    assert_eq!(outcome(0.79 * expected_m), AgainstDensity::Through);
    assert_eq!(outcome(0.81 * expected_m), AgainstDensity::InDoubt);
    assert_eq!(outcome(1.19 * expected_m), AgainstDensity::InDoubt);
    assert_eq!(outcome(1.21 * expected_m), AgainstDensity::TurnsBack);
    // Saturated brine from the floor, blown upwards by the drum's pump, gets a third of a metre and not to the surface.
    let brine = opposed_jet(&PUMP, 1197.0, 998.0, 0.8).unwrap();
    assert!(
        brine.outcome == AgainstDensity::TurnsBack && (0.3..0.6).contains(&brine.reach_m),
        "{brine:?}"
    );
}

#[test]
fn layers_on_the_floor() {
    // By hand: 9.80665·0.2·0.05/0.5² = 0.392, and at 0.7 m/s 0.200.
    near(
        layer_richardson(1200.0, 1000.0, 0.05, 0.5).unwrap(),
        0.392_266,
        1e-12,
    );
    assert_eq!(layer_fate(1200.0, 1000.0, 0.05, 0.5), Ok(LayerFate::InDoubt));
    assert_eq!(layer_fate(1200.0, 1000.0, 0.05, 0.7), Ok(LayerFate::BreaksUp));
    assert_eq!(layer_fate(1200.0, 1000.0, 0.05, 0.4), Ok(LayerFate::LiesStill));
    // Nothing holds down a layer as light as the water.
    assert_eq!(layer_fate(1000.0, 1000.0, 0.05, 1e-3), Ok(LayerFate::BreaksUp));
    assert!(layer_fate(999.0, 1000.0, 0.05, 0.4).is_err());
}

/// Against the parabolic profile, summed over rings of equal area.
#[test]
fn a_laminar_pipe() {
    const RINGS: u32 = 200_000;
    for volumes in [0.3, 0.5, 0.7, 1.0, 2.0, 5.0, 20.0] {
        let (mut leaving, mut inside) = (0.0, 0.0);
        for ring in 0..RINGS {
            let q = (f64::from(ring) + 0.5) / f64::from(RINGS);
            let speed = 2.0 * (1.0 - q);
            let front = speed * volumes;
            // Old water leaves a ring whose front hasn't come to the end, and stands in it beyond the front.
            leaving += if front < 1.0 { speed } else { 0.0 };
            inside += (1.0 - front).max(0.0);
        }
        let rings = f64::from(RINGS);
        // One ring more or less of the 200 000, where it counts most: 5e-6/n; of 1/(4·n²) that is 2e-5·n.
        near(laminar_old_share_leaving(volumes).unwrap(), leaving / rings, 5e-4);
        near(laminar_old_share_inside(volumes).unwrap(), inside / rings, 5e-4);
    }
    // By hand: 1 % at 5 volumes, 10 % at 1.58.
    near(laminar_volumes(0.01).unwrap(), 5.0, 1e-14);
    near(laminar_volumes(0.1).unwrap(), 1.581, 1e-3);
    assert_eq!(laminar_old_share_leaving(0.4), Ok(1.0));
}

#[test]
fn a_turbulent_pipe() {
    // By hand, Re 10⁴: f = 0.03164, √(f/8) = 0.06289, Pe = 0.198·50/0.06289 = 157.4, b = 2.326·√(2/157.4) = 0.2622,
    // √n = 1.1397, n = 1.299.
    near(turbulent_volumes(50.0, 1e4, 0.01).unwrap(), 1.299, 1e-3);
    // Back through the front's own definition.
    for (bores, reynolds, share) in [(50.0, 1e4, 0.01), (1.0, 4000.0, 1e-6), (1e4, 1e5, 0.3)] {
        let n = turbulent_volumes(bores, reynolds, share).unwrap();
        let friction: f64 = 0.3164 / f64::sqrt(f64::sqrt(reynolds));
        let peclet = bores * 2.0 / (10.1 * (friction / 8.0).sqrt());
        let deviate = (n - 1.0) / (2.0 * n / peclet).sqrt();
        near(normal_cumulative(-deviate).unwrap(), share, 1e-9);
    }
    // Half old, half new, when one volume is through.
    near(turbulent_volumes(50.0, 1e4, 0.5).unwrap(), 1.0, 1e-14);
}

#[test]
fn flushing() {
    let hose = DeadLeg {
        length_m: 3.0,
        bore_m: 0.013,
    };
    // By hand: 0.398 l in the hose; at 10 ml/s Re 979, five volumes, 199 s.
    near(hose.volume_m3().unwrap(), 0.398_2e-3, 1e-4);
    let trickle = flush(&hose, 1e-5, 1e-6, 0.01).unwrap();
    near(trickle.reynolds, 979.4, 1e-4);
    assert_eq!(trickle.flow, LegFlow::Laminar);
    near(trickle.time_s, 199.1, 1e-3);
    // 4000 counts as laminar still; a hair above it as turbulent, which takes a quarter.
    let edge = 4000.0 * std::f64::consts::PI * 0.013 * 1e-6 / 4.0;
    assert_eq!(
        flush(&hose, edge * (1.0 - 1e-9), 1e-6, 0.01).unwrap().flow,
        LegFlow::Laminar
    );
    let above = flush(&hose, edge * (1.0 + 1e-9), 1e-6, 0.01).unwrap();
    assert!(
        above.flow == LegFlow::Turbulent && above.pipe_volumes < 1.4,
        "{above:?}"
    );
    assert!(flush(&hose, 0.05, 1e-6, 0.01).is_err(), "Re 5 million");
}

#[test]
fn the_wait_is_its_parts() {
    let wait = first_measurement(120.0, 70.0, 600.0).unwrap();
    // By hand: 3·70·1.537.
    near(wait.mixing_s, 322.8, 1e-3);
    assert_eq!((wait.dissolution_s, wait.temperature_s), (120.0, 600.0));
    near(wait.total_s(), 1042.8, 1e-3);
}
