//! What a pump does, against worked numbers, its own laws, and every refusal.

use physics::hydraulics::pump_effects::{
    ClosedPump, HeatingTime, OperatingRange, PREFERRED_SHARE, PumpEffectError, TubeMaterial,
    WET_ROTOR_HEAT_SHARE, heat_into_water_w, heating_rate_c_s, hydraulic_power_w, input_power_w,
    operating_range, rating_at_pa, shut_off, time_to_rise, warming_c_s,
};
use proptest::prelude::*;

#[track_caller]
fn near(name: &str, got: f64, expected: f64, tolerance: f64) {
    let off = (got - expected).abs();
    assert!(off <= tolerance, "{name}: {got} for {expected}, off by {off:e}");
}

/// Sea water at practical salinity 35 and 25 °C, from the crate's own functions.
fn sea_water() -> (f64, f64) {
    let density_kg_m3 = physics::seawater::density_kg_m3(35.0, 25.0).expect("inside the range");
    (density_kg_m3, 3993.0)
}

#[test]
fn power_and_warmth() {
    // 1000 L/h over 2 m at 25 % in 200 L of sea water, 3993 J/(kg·K). The expected values are given to two digits and
    // were worked elsewhere: 5.6 W, 22 W, 0.097 °C an hour.
    let (density_kg_m3, heat_capacity) = sea_water();
    let hydraulic_w = hydraulic_power_w(density_kg_m3, 1.0 / 3600.0, 2.0).unwrap();
    near("hydraulic", hydraulic_w, 5.6, 0.05);
    let input_w = input_power_w(hydraulic_w, 0.25).unwrap();
    near("input", input_w, 22.0, 0.5);
    let all = heat_into_water_w(22.0, WET_ROTOR_HEAT_SHARE.1).unwrap();
    let an_hour_c = 3600.0 * warming_c_s(all, 0.2, density_kg_m3, heat_capacity).unwrap();
    near("an hour", an_hour_c, 0.097, 5e-4);
    near(
        "the least of it",
        heat_into_water_w(22.0, WET_ROTOR_HEAT_SHARE.0).unwrap(),
        13.2,
        1e-12,
    );
}

const CLOSED: ClosedPump = ClosedPump {
    heat_w: 20.0,
    volume_m3: 1e-4,
    density_kg_m3: 1000.0,
    heat_capacity_j_kg_k: 4200.0,
    loss_w_k: 0.0,
    room_c: 20.0,
};

#[test]
fn a_pump_against_a_closed_valve() {
    // By hand: 20 W into 0.1 kg · 4200 J/(kg·K) are 1/21 °C/s; 40 °C take 840 s.
    near(
        "rate",
        heating_rate_c_s(&CLOSED, 20.0).unwrap(),
        1.0 / 21.0,
        1e-15,
    );
    assert!(
        matches!(time_to_rise(&CLOSED, 20.0, 60.0), Ok(HeatingTime::After(s)) if (s - 840.0).abs() < 1e-9)
    );
    // With 0.25 W/K it settles 80 °C above the room; half of the way takes ln 2 of 1680 s.
    let leaky = ClosedPump {
        loss_w_k: 0.25,
        ..CLOSED
    };
    let Ok(HeatingTime::After(half_s)) = time_to_rise(&leaky, 20.0, 60.0) else {
        panic!("it gets there");
    };
    near("half of the way", half_s, 1680.0 * std::f64::consts::LN_2, 1e-9);
    let cool = ClosedPump {
        loss_w_k: 1.0,
        ..CLOSED
    };
    assert_eq!(
        time_to_rise(&cool, 20.0, 60.0),
        Ok(HeatingTime::Never { settles_c: 40.0 })
    );
    assert_eq!(
        time_to_rise(&cool, 20.0, 40.0),
        Ok(HeatingTime::Never { settles_c: 40.0 })
    );
    let off = ClosedPump {
        heat_w: 0.0,
        ..CLOSED
    };
    assert_eq!(
        time_to_rise(&off, 20.0, 21.0),
        Ok(HeatingTime::Never { settles_c: 20.0 })
    );
    // Warmer than where it settles: it cools.
    assert!(heating_rate_c_s(&cool, 50.0).unwrap() < 0.0);
    for limit_c in [20.0, 10.0] {
        let refusal = PumpEffectError::LimitNotAbove {
            limit_c,
            water_c: 20.0,
        };
        assert_eq!(time_to_rise(&CLOSED, 20.0, limit_c), Err(refusal));
        assert!(!refusal.mend().is_empty() && !refusal.to_string().is_empty());
    }
}

#[test]
fn where_a_pump_is_at_home() {
    for (flow, expected) in [
        (0.0, OperatingRange::Low(0.0)),
        (0.5, OperatingRange::Low(0.5)),
        (0.75, OperatingRange::Preferred(0.75)),
        (1.0, OperatingRange::Preferred(1.0)),
        (1.25, OperatingRange::High(1.25)),
    ] {
        assert_eq!(
            operating_range(flow / 1024.0, 1.0 / 1024.0),
            Ok(expected),
            "{flow}"
        );
    }
    // Source: ANSI-HI-963, from memory.
    assert_eq!(PREFERRED_SHARE, (0.7, 1.2));
}

#[test]
fn what_a_tube_bears() {
    #[rustfmt::skip]
    let rows = [
        (TubeMaterial::RigidPvc, 10.0, 1.0, "as printed to 25 °C"),
        (TubeMaterial::RigidPvc, 25.0, 1.0, "ISO-1452-2, from memory"),
        (TubeMaterial::RigidPvc, 27.5, 0.95, "between two rows"),
        (TubeMaterial::RigidPvc, 40.0, 0.70, "ISO-1452-2, from memory"),
        (TubeMaterial::RigidPvc, 45.0, 0.63, "ISO-1452-2, from memory"),
        (TubeMaterial::Polyethylene, 0.0, 1.0, "as printed to 20 °C"),
        (TubeMaterial::Polyethylene, 30.0, 0.87, "ISO-4427-1-2007, from memory"),
        (TubeMaterial::Polyethylene, 35.0, 0.805, "between two rows"),
        (TubeMaterial::Polyethylene, 40.0, 0.74, "ISO-4427-1-2007, from memory"),
    ];
    for (material, temperature_c, share, source) in rows {
        near(
            source,
            rating_at_pa(material, 1e6, temperature_c).unwrap(),
            share * 1e6,
            1e-6,
        );
    }
    // By hand: 1000·9.80665·4 + 5000.
    let closed = shut_off(5e3, 1000.0, 4.0, 40e3).unwrap();
    near("pressure", closed.pressure_gauge_pa, 44_226.6, 1e-9);
    near("spare", closed.spare_pa, -4226.6, 1e-9);
    assert_eq!(closed.rating_gauge_pa, 40e3);
}

proptest! {
    #[test]
    fn power_is_linear_in_everything(flow in 0.0..0.1_f64, head in 0.0..100.0_f64, efficiency in 0.02..1.0_f64) {
        let power_w = hydraulic_power_w(1000.0, flow, head).unwrap();
        prop_assert_eq!(hydraulic_power_w(1000.0, 2.0 * flow, head).unwrap(), 2.0 * power_w);
        prop_assert_eq!(hydraulic_power_w(1000.0, flow, 2.0 * head).unwrap(), 2.0 * power_w);
        let input_w = input_power_w(power_w, efficiency).unwrap();
        prop_assert!(input_w >= power_w && (input_w * efficiency - power_w).abs() <= 1e-14 * power_w);
    }

    #[test]
    fn the_time_is_the_rate_integrated(heat in 1.0..500.0_f64, loss in 0.0..2.0_f64, rise in 1.0..60.0_f64) {
        let pump = ClosedPump { heat_w: heat, loss_w_k: loss, ..CLOSED };
        let settles_c = 20.0 + heat / loss;
        match time_to_rise(&pump, 20.0, 20.0 + rise).unwrap() {
            HeatingTime::Never { settles_c: told_c } => {
                prop_assert!(20.0 + rise >= settles_c - 1e-9 && (told_c - settles_c).abs() < 1e-9);
            }
            HeatingTime::After(time_s) => {
                prop_assume!(loss * rise < 0.95 * heat);
                // Simpson's rule over dt = dT/rate in 200 parts: good to 10⁻⁶ while the last twentieth is kept out.
                let parts = 200;
                let slowness = |i: i32| {
                    1.0 / heating_rate_c_s(&pump, 20.0 + rise * f64::from(i) / f64::from(parts)).unwrap()
                };
                let inner: f64 =
                    (1..parts).map(|i| if i % 2 == 1 { 4.0 } else { 2.0 } * slowness(i)).sum();
                let sum_s = rise / f64::from(3 * parts) * (slowness(0) + inner + slowness(parts));
                prop_assert!((time_s / sum_s - 1.0).abs() < 1e-6);
            }
        }
    }

    #[test]
    fn no_time_is_no_number(heat in any::<f64>(), loss in any::<f64>(), water in -2.0..99.0_f64, limit in -2.0..100.0_f64) {
        let pump = ClosedPump { heat_w: heat, loss_w_k: loss, ..CLOSED };
        let sound = match time_to_rise(&pump, water, limit) {
            Ok(HeatingTime::After(time_s)) => time_s.is_finite() && time_s > 0.0,
            Ok(HeatingTime::Never { settles_c }) => settles_c.is_finite(),
            Err(_) => true,
        };
        prop_assert!(sound);
    }

    #[test]
    fn warmth_takes_strength(from in 0.0..40.0_f64, more in 0.0..5.0_f64) {
        for material in [TubeMaterial::RigidPvc, TubeMaterial::Polyethylene] {
            let cool_pa = rating_at_pa(material, 1e6, from).unwrap();
            prop_assert!(cool_pa <= 1e6 && cool_pa > 0.6e6);
            if let Ok(warm_pa) = rating_at_pa(material, 1e6, from + more) {
                prop_assert!(warm_pa <= cool_pa);
                // Nowhere more than 2 % of the rating for a degree.
                prop_assert!(cool_pa - warm_pa <= 0.020_001 * 1e6 * more + 1e-6);
            }
        }
    }
}

#[test]
fn nothing_that_is_no_number_gets_in() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1e9, 1e12] {
        for place in 0..4 {
            let mut a = [20.0, 0.2, 1000.0, 4000.0];
            a[place] = bad;
            assert!(warming_c_s(a[0], a[1], a[2], a[3]).is_err(), "{place}");
            let mut a = [5e3, 1000.0, 4.0, 1e6];
            a[place] = bad;
            assert!(shut_off(a[0], a[1], a[2], a[3]).is_err(), "{place}");
        }
        for pump in [
            ClosedPump {
                heat_w: bad,
                ..CLOSED
            },
            ClosedPump {
                volume_m3: bad,
                ..CLOSED
            },
            ClosedPump {
                density_kg_m3: bad,
                ..CLOSED
            },
            ClosedPump {
                heat_capacity_j_kg_k: bad,
                ..CLOSED
            },
            ClosedPump {
                loss_w_k: bad,
                ..CLOSED
            },
            ClosedPump {
                room_c: bad,
                ..CLOSED
            },
        ] {
            assert!(
                heating_rate_c_s(&pump, 20.0).is_err() && time_to_rise(&pump, 20.0, 30.0).is_err(),
                "{pump:?}"
            );
        }
        let refused = [
            hydraulic_power_w(bad, 1e-3, 1.0).is_err(),
            hydraulic_power_w(1000.0, bad, 1.0).is_err(),
            hydraulic_power_w(1000.0, 1e-3, bad).is_err(),
            input_power_w(bad, 0.3).is_err(),
            input_power_w(5.0, bad).is_err(),
            heat_into_water_w(bad, 1.0).is_err(),
            heat_into_water_w(20.0, bad).is_err(),
            heating_rate_c_s(&CLOSED, bad).is_err(),
            time_to_rise(&CLOSED, bad, 30.0).is_err(),
            time_to_rise(&CLOSED, 20.0, bad).is_err(),
            operating_range(bad, 1e-3).is_err(),
            operating_range(1e-3, bad).is_err(),
            rating_at_pa(TubeMaterial::RigidPvc, bad, 20.0).is_err(),
            rating_at_pa(TubeMaterial::Polyethylene, 1e6, bad).is_err(),
        ];
        assert!(!refused.contains(&false), "{bad}: {refused:?}");
    }
    // A rating isn't carried beyond the warmest of its table.
    assert!(rating_at_pa(TubeMaterial::RigidPvc, 1e6, 45.1).is_err());
    let out = rating_at_pa(TubeMaterial::Polyethylene, 1e6, 40.1).unwrap_err();
    assert!(!PumpEffectError::from(out).mend().is_empty());
}
