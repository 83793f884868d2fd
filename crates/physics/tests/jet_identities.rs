//! What must hold for every jet and every pipe, and every refusal.

use physics::jet::{
    Aim, DeadLeg, JetError, Nozzle, StirredVessel, axis_speed_m_s, blend_times, densimetric_froude,
    first_measurement, floor_speed_m_s, flush, jet_length_scale_m, jet_path, laminar_old_share_inside,
    laminar_old_share_leaving, laminar_volumes, layer_fate, layer_richardson, opposed_jet, opposed_reach_m,
    replaced_share, time_to_homogeneity_s, turbulence_time_s, turbulent_volumes, turnover_time_s,
    turnovers_for_share,
};
use proptest::prelude::*;

const L_MIN: f64 = 1e-3 / 60.0;

const DRUM: StirredVessel = StirredVessel {
    diameter_m: 0.56,
    depth_m: 0.8,
};
const PUMP: Nozzle = Nozzle {
    flow_m3_s: 25.0 * L_MIN,
    bore_m: 0.013,
};

proptest! {
    /// At a given bore the times go with 1/Q, at a given flow with the bore, and with the inverse root of momentum.
    #[test]
    fn times_go_with_the_nozzle(flow in 2e-4..1e-3_f64, bore in 0.01..0.014_f64, more in 1.0..1.4_f64) {
        let times = |flow_m3_s: f64, bore_m: f64| {
            blend_times(&DRUM, &Nozzle { flow_m3_s, bore_m }, &Aim::Diagonal, 1e-6).unwrap()
        };
        let base = times(flow, bore);
        for (other, factor) in [(times(flow * more, bore), 1.0 / more), (times(flow, bore * more), more)] {
            prop_assert!((other.turbulence_s / base.turbulence_s / factor - 1.0).abs() < 1e-12);
            prop_assert!((other.circulation_s / base.circulation_s / factor - 1.0).abs() < 1e-12);
            prop_assert!((other.crossing_s.unwrap() / base.crossing_s.unwrap() / factor - 1.0).abs() < 1e-12);
        }
        let momentum = |flow_m3_s: f64, bore_m: f64| Nozzle { flow_m3_s, bore_m }.momentum_m4_s2().unwrap();
        let same = base.turbulence_s * momentum(flow, bore).sqrt();
        let other = times(flow * more, bore * more).turbulence_s * momentum(flow * more, bore * more).sqrt();
        prop_assert!((other / same - 1.0).abs() < 1e-12);
    }

    /// A model vessel twice as large with the same speed takes twice as long, by all three.
    #[test]
    fn times_go_with_the_model(scale in 1.0..4.0_f64, depth in 0.2..1.5_f64) {
        let times = |scale: f64| {
            let vessel = StirredVessel { diameter_m: 0.5 * scale, depth_m: depth * scale };
            let nozzle = Nozzle { flow_m3_s: 4e-4 * scale * scale, bore_m: 0.013 * scale };
            blend_times(&vessel, &nozzle, &Aim::Diagonal, 1e-6).unwrap()
        };
        let (model, vessel) = (times(1.0), times(scale));
        prop_assert!((vessel.turbulence_s / model.turbulence_s / scale - 1.0).abs() < 1e-12);
        prop_assert!((vessel.circulation_s / model.circulation_s / scale - 1.0).abs() < 1e-12);
        prop_assert!((vessel.crossing_s.unwrap() / model.crossing_s.unwrap() / scale - 1.0).abs() < 1e-12);
        prop_assert!(model.shortest_s() <= model.longest_s());
    }

    #[test]
    fn shares_undo_turnovers(share in 0.0..0.999_999_f64) {
        let back = replaced_share(turnovers_for_share(share).unwrap()).unwrap();
        prop_assert!((back - share).abs() < 1e-15);
    }

    /// Unevenness multiplies: twice the time leaves its square.
    #[test]
    fn unevenness_multiplies(left in 1e-3..1.0_f64, time in 1.0..1e4_f64) {
        let once = time_to_homogeneity_s(time, 1.0 - left).unwrap();
        let twice = time_to_homogeneity_s(time, 1.0 - left * left).unwrap();
        // 1 − left² is known to 1e-16, which is 1e-10 of left².
        prop_assert!((twice - 2.0 * once).abs() <= 1e-9 * twice.max(1e-3));
    }

    /// No path is longer than the diagonal, and none leaves the vessel.
    #[test]
    fn paths_stay_inside(height in 0.0..=0.8_f64, angle in -90.0..=90.0_f64) {
        let aim = Aim::Inclined { nozzle_height_m: height, above_horizontal_deg: angle };
        if let Ok(path) = jet_path(&DRUM, &aim) {
            prop_assert!(path.length_m > 0.0);
            prop_assert!(path.length_m <= jet_path(&DRUM, &Aim::Diagonal).unwrap().length_m * (1.0 + 1e-14));
            let rise = libm::sin(angle.to_radians()) * path.length_m;
            let run = libm::cos(angle.to_radians()) * path.length_m;
            prop_assert!(run <= 0.56 + 1e-12 && (-1e-12..=0.8 + 1e-12).contains(&(height + rise)));
        }
    }

    /// More flow, or less difference of density, carries further; the two signs of a difference are alike.
    #[test]
    fn density_and_jets(flow in 2e-4..1e-3_f64, more in 1.001..2.0_f64, excess in 1.0..100.0_f64) {
        let reach = |flow_m3_s: f64, jet: f64| {
            opposed_reach_m(&Nozzle { flow_m3_s, bore_m: 0.013 }, jet, 1020.0).unwrap()
        };
        let base = reach(flow, 1020.0 + excess);
        prop_assert!((reach(flow * more, 1020.0 + excess) / base / more - 1.0).abs() < 1e-12);
        prop_assert!(reach(flow, 1020.0 + excess * more) < base);
        if excess < 70.0 {
            prop_assert!((reach(flow, 1020.0 - excess) / base - 1.0).abs() < 1e-9);
        }
    }

    /// What has left and what is still inside make one pipe.
    #[test]
    fn a_pipe_is_conserved(volumes in 0.5..50.0_f64) {
        // ∫ of the leaving share from 0 to n is ½ + ¼·(1/½ − 1/n).
        let left = 0.5 + 0.25 * (2.0 - 1.0 / volumes);
        prop_assert!((left + laminar_old_share_inside(volumes).unwrap() - 1.0).abs() < 1e-15);
        let share = laminar_old_share_leaving(volumes).unwrap();
        if (1e-6..=0.5).contains(&share) {
            prop_assert!((laminar_volumes(share).unwrap() / volumes - 1.0).abs() < 1e-14);
        }
    }

    /// A longer pipe, or a dirtier sample allowed, takes fewer of its volumes; laminar flow takes more than turbulent.
    #[test]
    fn pipes_are_monotone(bores in 20.0..1e4_f64, reynolds in 4000.0..1e5_f64, share in 1e-4..0.1_f64) {
        let n = turbulent_volumes(bores, reynolds, share).unwrap();
        prop_assert!(n > 1.0 && n < laminar_volumes(share).unwrap());
        prop_assert!(turbulent_volumes(1.5 * bores, reynolds, share).unwrap() < n);
        prop_assert!(turbulent_volumes(bores, reynolds, 1.5 * share).unwrap() < n);
        prop_assert!(laminar_volumes(1.5 * share).unwrap() < laminar_volumes(share).unwrap());
    }

    /// Whatever is asked, the answer is a number or a refusal.
    #[test]
    fn never_nan(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), d in any::<f64>(), pick in 0..16_u32) {
        // Half of the arguments are sound ones, so that the others are reached.
        let or = |bit: u32, wild: f64, sound: f64| if pick >> bit & 1 == 1 { wild } else { sound };
        let vessel = StirredVessel { diameter_m: or(0, a, 0.6), depth_m: or(1, b, 0.8) };
        let nozzle = Nozzle { flow_m3_s: or(2, c, 4e-4), bore_m: or(3, d, 0.013) };
        let aim = Aim::Inclined { nozzle_height_m: or(0, a, 0.1), above_horizontal_deg: or(1, b, 30.0) };
        if let Ok(times) = blend_times(&vessel, &nozzle, &aim, or(2, c, 1e-6)) {
            prop_assert!(times.shortest_s().is_finite() && times.longest_s().is_finite());
        }
        let leg = DeadLeg { length_m: or(0, a, 3.0), bore_m: or(1, b, 0.013) };
        if let Ok(flush) = flush(&leg, or(2, c, 1e-5), 1e-6, or(3, d, 0.01)) {
            prop_assert!(flush.time_s.is_finite() && flush.volume_m3.is_finite());
        }
        for got in [
            opposed_reach_m(&nozzle, or(0, a, 998.0), or(1, b, 1025.0)),
            jet_length_scale_m(&nozzle, or(0, a, 998.0), or(1, b, 1025.0)),
        ].into_iter().flatten() {
            prop_assert!(got.is_finite());
        }
        for got in [
            layer_richardson(or(0, a, 1100.0), or(1, b, 1000.0), or(2, c, 0.05), or(3, d, 0.4)),
            turnover_time_s(a, or(0, b, 1e-3)), replaced_share(a), turnovers_for_share(a),
            time_to_homogeneity_s(or(0, a, 70.0), or(1, b, 0.99)), laminar_old_share_leaving(a),
            laminar_old_share_inside(a), laminar_volumes(a),
            turbulent_volumes(or(0, a, 50.0), or(1, b, 1e4), or(2, c, 0.01)),
            axis_speed_m_s(&nozzle, or(0, a, 1.0)),
            StirredVessel::of_volume(or(0, a, 0.2), or(1, b, 0.8)).map(|v| v.diameter_m),
            first_measurement(or(0, a, 1.0), or(1, b, 1.0), or(2, c, 1.0)).map(|wait| wait.total_s()),
        ].into_iter().flatten() {
            prop_assert!(got.is_finite());
        }
    }
}

#[test]
fn refusals() {
    let vessel = |diameter_m, depth_m| StirredVessel { diameter_m, depth_m };
    let refused = |vessel: &StirredVessel, nozzle: &Nozzle, viscosity: f64| {
        let error = blend_times(vessel, nozzle, &Aim::Diagonal, viscosity).unwrap_err();
        assert!(!error.mend().is_empty());
        match error {
            JetError::OutOfRange(out) => out.range.quantity,
            other => panic!("{other}"),
        }
    };
    let slow = Nozzle {
        flow_m3_s: 5.0 * L_MIN,
        ..PUMP
    };
    assert_eq!(refused(&DRUM, &slow, 1e-6), "Reynolds number of the jet");
    assert_eq!(refused(&vessel(2.0, 0.3), &PUMP, 1e-6), "depth by diameter");
    assert_eq!(refused(&vessel(0.2, 0.7), &PUMP, 1e-6), "depth by diameter");
    assert_eq!(
        refused(&vessel(5.0, 5.0), &PUMP, 1e-6),
        "path of the jet in bores"
    );
    let wide = Nozzle {
        flow_m3_s: 4e-3,
        bore_m: 0.1,
    };
    assert_eq!(
        refused(&vessel(0.3, 0.3), &wide, 1e-6),
        "path of the jet in bores"
    );
    assert_eq!(refused(&DRUM, &PUMP, 1e-2), "kinematic viscosity");
    let fast = Nozzle {
        flow_m3_s: 0.01,
        bore_m: 0.01,
    };
    assert_eq!(refused(&DRUM, &fast, 1e-6), "speed in the nozzle");
    let path = jet_path(&vessel(5.0, 5.0), &Aim::Diagonal).unwrap();
    assert!(turbulence_time_s(&PUMP, &path).is_err(), "540 bores");

    assert!(matches!(
        densimetric_froude(&PUMP, 1020.0, 1020.0),
        Err(JetError::EqualDensities { .. })
    ));
    let spill = Nozzle {
        flow_m3_s: 2e-5,
        bore_m: 0.02,
    };
    let error = opposed_reach_m(&spill, 998.0, 1025.0).unwrap_err();
    assert!(matches!(error, JetError::SpillsBeforeItMixes { froude, .. } if froude < 3.0));
    assert!(opposed_jet(&PUMP, 998.0, 1025.0, 100.0).is_err());

    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0] {
        assert!(replaced_share(bad).is_err() && turnovers_for_share(bad).is_err());
        assert!(turnover_time_s(bad, 1e-3).is_err() && turnover_time_s(1.0, bad).is_err());
        assert!(time_to_homogeneity_s(bad, 0.9).is_err() && time_to_homogeneity_s(1.0, bad).is_err());
        assert!(laminar_old_share_leaving(bad).is_err() && laminar_old_share_inside(bad).is_err());
        assert!(laminar_volumes(bad).is_err() && turbulent_volumes(bad, 1e4, 0.01).is_err());
        assert!(first_measurement(bad, 1.0, 1.0).is_err() && first_measurement(1.0, 1.0, bad).is_err());
        assert!(layer_fate(bad, 1000.0, 0.1, 0.1).is_err() && layer_fate(1100.0, 1000.0, 0.1, bad).is_err());
        assert!(axis_speed_m_s(&PUMP, bad).is_err() && floor_speed_m_s(&PUMP, bad).is_err());
    }
    assert!(turnovers_for_share(1.0).is_err() && time_to_homogeneity_s(1.0, 1.0).is_err());
    let every = [
        JetError::NozzleDry {
            nozzle_height_m: 1.0,
            depth_m: 0.5,
        },
        JetError::NoPath {
            nozzle_height_m: 0.0,
            above_horizontal_deg: -30.0,
        },
        JetError::EqualDensities {
            density_kg_m3: 1000.0,
        },
        JetError::SpillsBeforeItMixes {
            froude: 1.0,
            least_froude: 3.0,
        },
        JetError::GrainFloats {
            grain_kg_m3: 917.0,
            liquid_kg_m3: 1000.0,
        },
        JetError::Saturated {
            bulk_kg_m3: 317.0,
            saturated_kg_m3: 317.0,
        },
    ];
    for error in every {
        assert!(!error.to_string().is_empty() && !error.mend().is_empty());
    }
}
