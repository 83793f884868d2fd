//! The temperature of a vessel: handbook values, the closed form against steps, thermostats.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use physics::evaporation::SurfaceAir;
use physics::heat::{
    Duty, HeatBalance, HeatError, OpenSurface, Reach, energy_to_warm_j, heat_capacity_j_k,
    mixed_temperature_c, open_surface_loss, thermostat_duty,
};
use physics::mixing::Water;

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

fn water(litres: f64, practical_salinity: f64, temperature_c: f64) -> Water {
    Water {
        volume_m3: litres / 1000.0,
        practical_salinity,
        temperature_c,
    }
}

#[track_caller]
fn seconds(reach: Reach) -> f64 {
    match reach {
        Reach::After { time_s } => time_s,
        Reach::Never { steady_c } => panic!("never; ends at {steady_c:?}"),
    }
}

const VESSEL: HeatBalance = HeatBalance {
    heat_capacity_j_k: 817e3,
    loss_w_k: 12.0,
    air_temperature_c: 15.0,
    power_w: 300.0,
};

const DRUM_MOUTH: OpenSurface = OpenSurface {
    area_m2: 0.26,
    air: SurfaceAir {
        water_temperature_c: 0.0,
        air_temperature_c: 24.0,
        relative_humidity: 0.5,
        air_speed_m_s: 0.1,
        practical_salinity: 0.0,
    },
    activity_factor: 0.5,
};

/// Source: handbook 12, its check values, to the digits printed. There 1023.3 kg/m³ and 3993 J/(kg·K) are taken for the
/// water; at 15 °C it is denser by 0.26 %, and TEOS-10 has 3997 on the way, 3999 at 25 °C.
#[test]
fn handbook_values() {
    let reserve = water(200.0, 35.0, 15.0);
    near(energy_to_warm_j(&reserve, 25.0).unwrap(), 8.17e6, 4e-3);
    let capacity = heat_capacity_j_k(&reserve).unwrap();
    let lossless = HeatBalance {
        heat_capacity_j_k: capacity,
        loss_w_k: 0.0,
        ..VESSEL
    };
    near(seconds(lossless.time_to(15.0, 25.0).unwrap()) / 3600.0, 7.6, 5e-3);
    let losing = HeatBalance {
        loss_w_k: 12.0,
        ..lossless
    };
    near(losing.time_constant_s().unwrap() / 3600.0, 18.9, 5e-3);
    let pump = HeatBalance {
        power_w: 30.0,
        ..losing
    };
    near(pump.steady_temperature_c().unwrap() - 15.0, 2.5, 1e-13);
    // 150 l at 24 °C with 50 l at 10 °C: 20.5 °C as printed; colder water is heavier by 0.24 % and stores 0.3 % more.
    let mixed = mixed_temperature_c(&[water(150.0, 0.0, 24.0), water(50.0, 0.0, 10.0)]).unwrap();
    assert!((mixed - 20.5).abs() < 0.02, "{mixed}");
    // 0.83 kg a day are 23 W; the latent heat there makes it 23.4.
    let loss = open_surface_loss(&DRUM_MOUTH, 26.0).unwrap();
    assert!((loss.evaporation_w - 23.4).abs() < 0.5, "{loss:?}");
    // Heat capacities: 3993 and 4182 J/(kg·K) at 25 °C; TEOS-10 has 3999 for the first.
    for (salinity, expected) in [(35.0, 3993.0), (0.0, 4182.0)] {
        let a_kilogram = water(1.0, salinity, 25.0);
        let got = heat_capacity_j_k(&a_kilogram).unwrap() / a_kilogram.mass_kg().unwrap();
        near(got, expected, 2e-3);
    }
}

/// The closed form against the equation stepped through by Runge and Kutta's rule.
#[test]
fn closed_form_against_steps() {
    #[rustfmt::skip]
    let table = [
        (300.0, 12.0, 15.0, 15.0, 40_000.0), (320.0, 12.0, 5.0, 30.0, 200_000.0), (-100.0, 12.0, 22.0, 22.0, 30_000.0),
        (0.0, 50.0, 18.0, 26.0, 10_000.0), (200.0, 0.0, 18.0, 18.0, 20_000.0), (20.0, 1e-6, 18.0, 20.0, 50_000.0),
    ];
    for (power_w, loss, air_temperature_c, start_c, time_s) in table {
        let balance = HeatBalance {
            loss_w_k: loss,
            air_temperature_c,
            power_w,
            ..VESSEL
        };
        const STEPS: u32 = 1000;
        let step_s = time_s / f64::from(STEPS);
        let slope = |t: f64| (power_w - loss * (t - air_temperature_c)) / VESSEL.heat_capacity_j_k;
        let mut t: f64 = start_c;
        for _ in 0..STEPS {
            let a = slope(t);
            let b = slope(t + step_s / 2.0 * a);
            let c = slope(t + step_s / 2.0 * b);
            let d = slope(t + step_s * c);
            t += step_s / 6.0 * (a + 2.0 * b + 2.0 * c + d);
        }
        let got = balance.temperature_after_c(start_c, time_s).unwrap();
        // A step of 10⁻³ time constants errs by its fifth power; the rest is rounding of 1000 steps.
        assert!((got - t).abs() < 1e-10, "{got} for {t}");
        // And back.
        near(seconds(balance.time_to(start_c, got).unwrap()), time_s, 1e-9);
    }
}

#[test]
fn what_is_never_reached() {
    // 300 W and 12 W/K: 25 K above the air, 40 °C.
    let at = |balance: &HeatBalance, from: f64, to: f64| balance.time_to(from, to).unwrap();
    let never = |reach: Reach, expected: Option<f64>| match (reach, expected) {
        (Reach::Never { steady_c: Some(got) }, Some(expected)) => near(got, expected, 1e-14),
        (Reach::Never { steady_c: None }, None) => (),
        other => panic!("{other:?}"),
    };
    assert!(seconds(at(&VESSEL, 15.0, 39.99)) > 5.0 * VESSEL.time_constant_s().unwrap());
    never(at(&VESSEL, 15.0, 40.0), Some(40.0));
    never(at(&VESSEL, 15.0, 45.0), Some(40.0));
    never(at(&VESSEL, 20.0, 18.0), Some(40.0));
    never(at(&VESSEL, 40.0, 39.0), Some(40.0));
    assert_eq!(at(&VESSEL, 40.0, 40.0), Reach::After { time_s: 0.0 });
    let chilled = HeatBalance {
        power_w: -60.0,
        ..VESSEL
    };
    never(at(&chilled, 15.0, 9.0), Some(10.0));
    let closed = HeatBalance {
        loss_w_k: 0.0,
        ..VESSEL
    };
    never(at(&closed, 20.0, 18.0), None);
    let still = HeatBalance {
        power_w: 0.0,
        ..closed
    };
    never(at(&still, 20.0, 18.0), Some(20.0));
    assert!(matches!(
        closed.steady_temperature_c(),
        Err(HeatError::NeverSteady { .. })
    ));
    assert!(matches!(
        closed.time_constant_s(),
        Err(HeatError::NeverSteady { .. })
    ));
    // Reached, but not in this life: a hundredth of a watt into a cubic metre.
    let faint = HeatBalance {
        power_w: 0.01,
        heat_capacity_j_k: 4e6,
        ..closed
    };
    assert!(faint.time_to(10.0, 30.0).is_err());
    // Boiled off: not a temperature of water.
    assert!(closed.temperature_after_c(20.0, 1e6).is_err());
}

#[test]
fn settling() {
    // By hand: 20 K off, within 0.2 K after ln 100 time constants of 68 083 s; and so it is.
    let time_s = VESSEL.settling_time_s(20.0, 0.2).unwrap();
    near(time_s, 4.605_17 * 817e3 / 12.0, 1e-6);
    near(
        40.0 - VESSEL.temperature_after_c(20.0, time_s).unwrap(),
        0.2,
        1e-10,
    );
    // From above as from below, and nothing to wait for at rest.
    assert_eq!(VESSEL.settling_time_s(60.0, 0.2).unwrap(), time_s);
    assert_eq!(VESSEL.settling_time_s(39.9, 0.2).unwrap(), 0.0);
    let closed = HeatBalance {
        loss_w_k: 0.0,
        ..VESSEL
    };
    assert!(matches!(
        closed.settling_time_s(20.0, 0.2),
        Err(HeatError::NeverSteady { .. })
    ));
    assert!(VESSEL.settling_time_s(20.0, 0.0).is_err() && VESSEL.settling_time_s(f64::NAN, 0.2).is_err());
}

#[test]
fn thermostats() {
    // By hand: 12 W/K · 10 K − 30 W = 90 W of 300.
    let vessel = HeatBalance {
        power_w: 30.0,
        ..VESSEL
    };
    let Duty::Share {
        of_time,
        mean_power_w,
    } = thermostat_duty(&vessel, 25.0, 300.0).unwrap()
    else {
        panic!()
    };
    near(of_time, 0.3, 1e-14);
    near(mean_power_w, 90.0, 1e-14);
    // The pump alone holds 17.5 °C.
    assert_eq!(
        thermostat_duty(&vessel, 17.0, 300.0).unwrap(),
        Duty::Idle { steady_c: Some(17.5) }
    );
    // 80 W and the pump's 30 hold 24.17 °C.
    let Duty::TooWeak {
        steady_c: Some(steady_c),
    } = thermostat_duty(&vessel, 25.0, 80.0).unwrap()
    else {
        panic!()
    };
    near(steady_c, 15.0 + 110.0 / 12.0, 1e-14);
    // A chiller against a warm room: 12 W/K · 5 K + 30 W of 120.
    let summer = HeatBalance {
        air_temperature_c: 30.0,
        ..vessel
    };
    let Duty::Share { of_time, .. } = thermostat_duty(&summer, 25.0, -120.0).unwrap() else {
        panic!()
    };
    near(of_time, 0.75, 1e-14);
    assert!(matches!(
        thermostat_duty(&summer, 35.0, -120.0).unwrap(),
        Duty::Idle { .. }
    ));
    assert!(matches!(
        thermostat_duty(&summer, 15.0, -120.0).unwrap(),
        Duty::TooWeak { .. }
    ));
    let closed = HeatBalance {
        loss_w_k: 0.0,
        ..vessel
    };
    assert_eq!(
        thermostat_duty(&closed, 25.0, 300.0).unwrap(),
        Duty::Idle { steady_c: None }
    );
}

/// An open vessel by its chord against its true loss, summed over temperature: dt = C·dT/(P − losses).
#[test]
fn the_chord_of_an_open_surface() {
    let walls = HeatBalance {
        loss_w_k: 8.0,
        air_temperature_c: 24.0,
        ..VESSEL
    };
    for (from_c, to_c) in [(15.0, 25.0), (22.0, 28.0), (18.0, 20.0)] {
        let with = walls.with_open_surface(&DRUM_MOUTH, from_c, to_c).unwrap();
        // At both ends the chord is the loss.
        for end_c in [from_c, to_c] {
            let loss_w =
                walls.loss_w_k * (end_c - 24.0) + open_surface_loss(&DRUM_MOUTH, end_c).unwrap().total_w();
            let chord_w = with.loss_w_k * (end_c - 24.0) - (with.power_w - walls.power_w);
            assert!((loss_w - chord_w).abs() < 1e-10, "{loss_w} {chord_w}");
        }
        const STEPS: u32 = 2000;
        let step_k = (to_c - from_c) / f64::from(STEPS);
        let mut expected_s = 0.0;
        for i in 0..STEPS {
            let t = from_c + (f64::from(i) + 0.5) * step_k;
            let loss_w = walls.loss_w_k * (t - 24.0) + open_surface_loss(&DRUM_MOUTH, t).unwrap().total_w();
            expected_s += walls.heat_capacity_j_k * step_k / (walls.power_w - loss_w);
        }
        let got = seconds(with.time_to(from_c, to_c).unwrap());
        // Told a little too slow, by less than one percent here.
        assert!(
            (1.0..1.01).contains(&(got / expected_s)),
            "{got} for {expected_s}"
        );
    }
    // Nothing to draw a chord over: the slope there.
    let with = walls.with_open_surface(&DRUM_MOUTH, 22.0, 22.0).unwrap();
    let slope = walls.with_open_surface(&DRUM_MOUTH, 22.0, 22.2).unwrap();
    near(with.loss_w_k, slope.loss_w_k, 1e-2);
}
