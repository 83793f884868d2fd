//! Grains of salt against the laws of their limits, worked values, and their dwindling stepped through in the test.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use physics::jet::{
    Grain, GrainShape, JetError, Liquid, Nozzle, SALT_DIFFUSIVITY_M2_S, SaltOnFloor, Undersaturated,
    critical_shields, dissolution_time_s, falling_dissolution_time_s, floor_reach, floor_transport,
    mass_transfer_m_s, settling_speed_m_s, shear_speed_to_move_m_s,
};
use proptest::prelude::*;

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

const WATER: Liquid = Liquid {
    density_kg_m3: 1000.0,
    viscosity_pa_s: 1e-3,
};
const FRESH: Undersaturated = Undersaturated {
    saturated_kg_m3: 300.0,
    bulk_kg_m3: 0.0,
};
const PUMP: Nozzle = Nozzle {
    flow_m3_s: 25e-3 / 60.0,
    bore_m: 0.013,
};

fn salt(diameter_m: f64) -> Grain {
    Grain {
        diameter_m,
        density_kg_m3: 2165.0,
        shape: GrainShape::Natural,
    }
}

fn quartz(diameter_m: f64) -> Grain {
    Grain {
        density_kg_m3: 2650.0,
        ..salt(diameter_m)
    }
}

#[test]
fn sinking() {
    // By hand: 1.65·9.80665·10⁻⁶/(18·10⁻⁶ + √(0.75·1.618·10⁻⁸)) for a millimetre of quartz; by measurement 0.10 to
    // 0.15 m/s (from memory).
    near(settling_speed_m_s(&quartz(1e-3), &WATER).unwrap(), 0.1263, 1e-3);
    // Stokes' law for dust: the root still takes 2 % at 10 µm.
    let dust = Grain {
        shape: GrainShape::Sphere,
        ..quartz(1e-5)
    };
    near(
        settling_speed_m_s(&dust, &WATER).unwrap(),
        1.65 * 9.806_65 * 1e-10 / 18e-6,
        0.013,
    );
    // Newton's law for pebbles: √(4·R·g·D/(3·C)), the viscous part still takes 1 % at 20 mm.
    for (shape, drag) in [(GrainShape::Sphere, 0.4), (GrainShape::Natural, 1.0)] {
        let pebble = Grain {
            shape,
            ..quartz(0.02)
        };
        let newton: f64 = 4.0 * 1.65 * 9.806_65 * 0.02 / (3.0 * drag);
        near(settling_speed_m_s(&pebble, &WATER).unwrap(), newton.sqrt(), 0.012);
    }
}

/// Source: Soulsby 1997, equation 77, by hand for quartz in water of 10⁻⁶ m²/s: D* is 25 295 per metre.
#[test]
fn first_motion() {
    #[rustfmt::skip]
    let table = [
        (0.2e-3, 0.0477, "medium sand; 0.045 to 0.055 on Shields' own curve, from memory"),
        (1e-3, 0.0314, "coarse sand, near the least"),
        (10e-3, 0.0556, "gravel: 0.055 and a remainder"),
    ];
    for (diameter_m, expected, what) in table {
        let got = critical_shields(&quartz(diameter_m), &WATER).unwrap();
        assert!(
            (got / expected - 1.0).abs() < 3e-3,
            "{got} for {expected}: {what}"
        );
    }
    // By hand: √(0.0314·1.65·9.80665·0.001).
    near(
        shear_speed_to_move_m_s(&quartz(1e-3), &WATER).unwrap(),
        0.022_5,
        5e-3,
    );
}

#[test]
fn salt_under_a_jet() {
    // By hand: at 0.56 m 6.3·3.139·0.013/0.56 = 0.459 m/s on the low side, 0.649 on the high one; friction speeds are
    // √0.002 and √0.006 of them.
    let at = floor_transport(&PUMP, &salt(1e-3), &WATER, 0.56).unwrap();
    near(at.speed.low_m_s, 0.459, 2e-3);
    near(at.speed.high_m_s, 0.649, 2e-3);
    near(at.friction_speed.low_m_s, 0.0205, 3e-3);
    near(at.friction_speed.high_m_s, 0.0503, 3e-3);
    assert_eq!(at.verdict, SaltOnFloor::Rolls);
    let verdict =
        |grain: &Grain, distance_m| floor_transport(&PUMP, grain, &WATER, distance_m).unwrap().verdict;
    assert_eq!(verdict(&salt(0.1e-3), 0.1), SaltOnFloor::Suspended);
    assert_eq!(verdict(&salt(1e-3), 1.0), SaltOnFloor::InDoubt);
    assert_eq!(verdict(&salt(1e-3), 3.0), SaltOnFloor::LiesStill);
    // The reach is where the verdicts change.
    let reach = floor_reach(&PUMP, &salt(1e-3), &WATER).unwrap();
    assert_eq!(
        verdict(&salt(1e-3), reach.surely_m * (1.0 - 1e-9)),
        SaltOnFloor::Rolls
    );
    assert_eq!(
        verdict(&salt(1e-3), reach.surely_m * (1.0 + 1e-9)),
        SaltOnFloor::InDoubt
    );
    assert_eq!(
        verdict(&salt(1e-3), reach.perhaps_m * (1.0 - 1e-9)),
        SaltOnFloor::InDoubt
    );
    assert_eq!(
        verdict(&salt(1e-3), reach.perhaps_m * (1.0 + 1e-9)),
        SaltOnFloor::LiesStill
    );
    let trickle = Nozzle {
        flow_m3_s: 1e-5,
        bore_m: 0.02,
    };
    let none = floor_reach(&trickle, &salt(3e-3), &WATER).unwrap();
    assert_eq!((none.surely_m, none.perhaps_m), (0.0, 0.0));
}

/// Source: handbook 7, check 4, to the second.
#[test]
fn handbook_grains() {
    for (diameter_m, seconds) in [(0.3e-3, 36.0), (1e-3, 120.0), (3e-3, 361.0)] {
        let got = dissolution_time_s(&salt(diameter_m), 3e-5, &FRESH).unwrap();
        assert!((got - seconds).abs() <= 0.5, "{got} for {seconds}");
    }
}

#[test]
fn mass_transfer() {
    // At rest Sh is 2.
    near(
        mass_transfer_m_s(&salt(1e-3), &WATER, 0.0, 1.5e-9).unwrap(),
        3e-6,
        1e-14,
    );
    // By hand: Re 100, Sc 1000: 2 + 0.6·10·10 = 62.
    near(
        mass_transfer_m_s(&salt(1e-3), &WATER, 0.1, 1e-9).unwrap(),
        62e-6,
        1e-12,
    );
    assert!(
        mass_transfer_m_s(&salt(3e-3), &WATER, 1.0, 1e-9).is_err(),
        "Re 3000"
    );
}

/// Falling grains against the same law stepped through in the radius, by 400 000 midpoints.
#[test]
fn falling_grains_dwindle() {
    for diameter_m in [1e-5, 0.1e-3, 1e-3, 5e-3] {
        let grain = salt(diameter_m);
        const STEPS: u32 = 400_000;
        let step_m = diameter_m / f64::from(STEPS);
        let mut expected_s = 0.0;
        for i in 0..STEPS {
            let now_m = (f64::from(i) + 0.5) * step_m;
            let pull = 1.165 * 9.806_65 * now_m * now_m;
            let slip_m_s = pull / (18e-6 + (0.75 * pull * now_m).sqrt());
            let sherwood = 2.0 + 0.6 * (slip_m_s * now_m / 1e-6).sqrt() * libm::cbrt(1e-6 / 1.5e-9);
            let film_m_s = sherwood * 1.5e-9 / now_m;
            expected_s += 2165.0 / (film_m_s * 300.0) * step_m / 2.0;
        }
        let got = falling_dissolution_time_s(&grain, &WATER, SALT_DIFFUSIVITY_M2_S, &FRESH).unwrap();
        // Simpson's rule in 128 steps.
        near(got, expected_s, 1e-6);
        // Nor more slowly than at rest, where Sh is 2 and time goes with the square of the radius.
        let at_rest_s = 2165.0 * diameter_m * diameter_m / 4.0 / (2.0 * 1.5e-9 * 300.0);
        assert!(got < at_rest_s, "{got} {at_rest_s}");
    }
}

proptest! {
    #[test]
    fn grains_are_monotone(diameter in 2e-5..2e-3_f64, more in 1.01..2.0_f64) {
        let (small, large) = (salt(diameter), salt(diameter * more));
        prop_assert!(settling_speed_m_s(&large, &WATER).unwrap() > settling_speed_m_s(&small, &WATER).unwrap());
        let sphere = Grain { shape: GrainShape::Sphere, ..small };
        prop_assert!(settling_speed_m_s(&sphere, &WATER).unwrap() >= settling_speed_m_s(&small, &WATER).unwrap());
        // Constant film: in proportion to size and to the inverse of the deficit.
        let once = dissolution_time_s(&small, 3e-5, &FRESH).unwrap();
        let larger = dissolution_time_s(&large, 3e-5, &FRESH).unwrap();
        prop_assert!((larger / once / more - 1.0).abs() < 1e-12);
        let half = Undersaturated { bulk_kg_m3: 150.0, ..FRESH };
        prop_assert!((dissolution_time_s(&small, 3e-5, &half).unwrap() / once / 2.0 - 1.0).abs() < 1e-12);
        let falling = |grain: &Grain, water: &Undersaturated| {
            falling_dissolution_time_s(grain, &WATER, 1.5e-9, water).unwrap()
        };
        prop_assert!(falling(&large, &FRESH) > falling(&small, &FRESH));
        prop_assert!((falling(&small, &half) / falling(&small, &FRESH) / 2.0 - 1.0).abs() < 1e-12);
    }

    /// More flow reaches further, in proportion once it reaches at all; a grain moved here is moved nearer too.
    #[test]
    fn flow_moves_more(diameter in 1e-4..3e-3_f64, flow in 2e-4..1e-3_f64, more in 1.0..2.0_f64) {
        let reach = |flow_m3_s: f64| {
            floor_reach(&Nozzle { flow_m3_s, bore_m: 0.013 }, &salt(diameter), &WATER).unwrap()
        };
        let (less, greater) = (reach(flow), reach(flow * more));
        prop_assert!(less.surely_m <= less.perhaps_m);
        prop_assert!((greater.perhaps_m / less.perhaps_m / more - 1.0).abs() < 1e-12);
        prop_assert!((greater.surely_m / less.surely_m / more - 1.0).abs() < 1e-12);
    }

    /// Whatever is asked, the answer is a number or a refusal.
    #[test]
    fn never_nan(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), d in any::<f64>(), pick in 0..16_u32) {
        let or = |bit: u32, wild: f64, sound: f64| if pick >> bit & 1 == 1 { wild } else { sound };
        let grain = Grain { diameter_m: or(0, a, 1e-3), density_kg_m3: or(1, b, 2165.0), shape: GrainShape::Natural };
        let liquid = Liquid { density_kg_m3: or(2, c, 1000.0), viscosity_pa_s: or(3, d, 1e-3) };
        let water = Undersaturated { saturated_kg_m3: or(0, a, 300.0), bulk_kg_m3: or(1, b, 30.0) };
        for got in [
            settling_speed_m_s(&grain, &liquid),
            critical_shields(&grain, &liquid),
            shear_speed_to_move_m_s(&grain, &liquid),
            dissolution_time_s(&grain, or(2, c, 3e-5), &water),
            falling_dissolution_time_s(&grain, &liquid, or(2, c, 1.5e-9), &water),
            mass_transfer_m_s(&grain, &liquid, or(2, c, 0.1), or(3, d, 1.5e-9)).map_err(JetError::from),
            floor_reach(&PUMP, &grain, &liquid).map(|reach| reach.surely_m + reach.perhaps_m),
            floor_transport(&PUMP, &grain, &liquid, or(2, c, 0.5)).map(|there| there.friction_speed.high_m_s),
        ].into_iter().flatten() {
            prop_assert!(got.is_finite() && got >= 0.0);
        }
    }
}

#[test]
fn refusals() {
    let ice = Grain {
        density_kg_m3: 917.0,
        ..salt(1e-3)
    };
    assert!(matches!(
        settling_speed_m_s(&ice, &WATER),
        Err(JetError::GrainFloats { .. })
    ));
    assert!(matches!(
        critical_shields(&ice, &WATER),
        Err(JetError::GrainFloats { .. })
    ));
    let full = Undersaturated {
        bulk_kg_m3: 300.0,
        ..FRESH
    };
    for water in [
        full,
        Undersaturated {
            bulk_kg_m3: 301.0,
            ..FRESH
        },
    ] {
        assert!(matches!(
            dissolution_time_s(&salt(1e-3), 3e-5, &water),
            Err(JetError::Saturated { .. })
        ));
        assert!(matches!(
            falling_dissolution_time_s(&salt(1e-3), &WATER, 1.5e-9, &water),
            Err(JetError::Saturated { .. })
        ));
    }
    // A pebble of salt falls too fast for the mass transfer.
    assert!(falling_dissolution_time_s(&salt(0.02), &WATER, 1.5e-9, &FRESH).is_err());
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0] {
        assert!(settling_speed_m_s(&salt(bad), &WATER).is_err());
        assert!(dissolution_time_s(&salt(1e-3), bad, &FRESH).is_err());
        assert!(mass_transfer_m_s(&salt(1e-3), &WATER, 0.1, bad).is_err());
        assert!(floor_transport(&PUMP, &salt(1e-3), &WATER, bad).is_err());
        let thin = Liquid {
            viscosity_pa_s: bad,
            ..WATER
        };
        assert!(settling_speed_m_s(&salt(1e-3), &thin).is_err());
    }
}
