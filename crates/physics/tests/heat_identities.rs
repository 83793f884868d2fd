//! What must hold for every vessel and every water, and every refusal.

use crate::heat_support;

use heat_support::{DRUM_MOUTH, WALL};
use physics::evaporation::SurfaceAir;
use physics::heat::{
    Duty, EnvelopePart, HeatBalance, HeatError, OpenSurface, Reach, VesselWall, air_film, energy_to_warm_j,
    heat_capacity_j_k, loss_w_k, mixed_temperature_c, open_surface_loss, thermostat_duty,
    upright_plate_nusselt, wall_loss,
};
use physics::mixing::Water;
use proptest::prelude::*;

fn water(litres: f64, practical_salinity: f64, temperature_c: f64) -> Water {
    Water {
        volume_m3: litres / 1000.0,
        practical_salinity,
        temperature_c,
    }
}

const VESSEL: HeatBalance = HeatBalance {
    heat_capacity_j_k: 817e3,
    loss_w_k: 12.0,
    air_temperature_c: 15.0,
    power_w: 300.0,
};

/// Source: handbook 12, its check values, to the digits printed. There 1023.3 kg/m³ and 3993 J/(kg·K) are taken for the
/// water; at 15 °C it is denser by 0.26 %, and TEOS-10 has 3997 on the way, 3999 at 25 °C.
fn balances() -> impl Strategy<Value = HeatBalance> {
    (1e4..1e7_f64, 0.0..50.0_f64, 5.0..35.0_f64, -300.0..600.0_f64).prop_map(
        |(heat_capacity_j_k, loss_w_k, air_temperature_c, power_w)| HeatBalance {
            heat_capacity_j_k,
            loss_w_k,
            air_temperature_c,
            power_w,
        },
    )
}

proptest! {
    /// A time asked for brings the temperature it was asked for; what is never reached lies beyond rest.
    #[test]
    fn time_then_temperature(balance in balances(), start in 5.0..35.0_f64, target in 5.0..35.0_f64) {
        match balance.time_to(start, target) {
            Ok(Reach::After { time_s }) => {
                // So near to rest the time hangs on the last digits of the target; the temperature doesn't.
                let back = balance.temperature_after_c(start, time_s).unwrap();
                prop_assert!((back - target).abs() < 1e-9, "{back} for {target}");
            }
            Ok(Reach::Never { steady_c: Some(steady_c) }) => {
                // From the start to rest the target isn't passed.
                let between = (target - start) * (target - steady_c) < -1e-9;
                prop_assert!(!between, "{start} to {steady_c} passes {target}");
            }
            Ok(Reach::Never { steady_c: None }) => prop_assert!(balance.loss_w_k == 0.0),
            Err(_) => prop_assert!(balance.power_w.abs() < 10.0 && balance.loss_w_k < 1.0),
        }
    }

    /// In two legs as in one, and never past rest.
    #[test]
    fn time_adds_up(balance in balances(), start in 5.0..35.0_f64, hours in 0.1..20.0_f64, share in 0.0..1.0_f64) {
        let time_s = 3600.0 * hours;
        if let (Ok(one), Ok(half)) = (
            balance.temperature_after_c(start, time_s),
            balance.temperature_after_c(start, share * time_s),
        ) {
            let two = balance.temperature_after_c(half, (1.0 - share) * time_s).unwrap();
            prop_assert!((one - two).abs() < 1e-9, "{one} {two}");
            if let Ok(steady) = balance.steady_temperature_c() {
                prop_assert!((one - steady) * (start - steady) >= -1e-9);
            }
        }
    }

    /// More power is sooner there, more loss later.
    #[test]
    fn monotone_in_power_and_loss(power in 200.0..600.0_f64, loss in 0.0..10.0_f64, more in 1.01..2.0_f64) {
        let time = |power_w: f64, loss_w_k: f64| {
            let balance = HeatBalance { power_w, loss_w_k, ..VESSEL };
            match balance.time_to(15.0, 22.0).unwrap() {
                Reach::After { time_s } => time_s,
                Reach::Never { .. } => f64::INFINITY,
            }
        };
        prop_assert!(time(power * more, loss) < time(power, loss));
        prop_assert!(time(power, loss * more + 0.01) > time(power, loss));
        // Without loss in proportion to the inverse of power.
        prop_assert!((time(power * more, 0.0) * more / time(power, 0.0) - 1.0).abs() < 1e-12);
    }

    /// What one water gives the others take, and the mixture lies between them.
    #[test]
    fn mixing_conserves(
        parts in prop::collection::vec((0.1..500.0_f64, 0.0..42.0_f64, 0.0..40.0_f64), 1..5),
    ) {
        let waters: Vec<Water> = parts.iter().map(|&(l, s, t)| water(l, s, t)).collect();
        let mixed = mixed_temperature_c(&waters).unwrap();
        let (mut given, mut scale, mut low, mut high) = (0.0, 0.0, 40.0_f64, 0.0_f64);
        for each in &waters {
            let capacity = heat_capacity_j_k(each).unwrap();
            given += capacity * (each.temperature_c - mixed);
            scale += capacity * 40.0;
            (low, high) = (low.min(each.temperature_c), high.max(each.temperature_c));
        }
        prop_assert!(given.abs() <= 1e-13 * scale);
        prop_assert!((low - 1e-12..=high + 1e-12).contains(&mixed));
        // With capacities that change with temperature: what warming and cooling take differs by less than 0.1 °C.
        let warming: f64 = waters.iter().map(|each| energy_to_warm_j(each, mixed).unwrap()).sum();
        prop_assert!(warming.abs() / (scale / 40.0) < 0.1);
    }

    /// There and back is nothing, but for the water that takes its volume at another temperature.
    #[test]
    fn warming_is_undone(salinity in 0.0..42.0_f64, from in 0.0..40.0_f64, to in 0.0..40.0_f64) {
        let cold = water(100.0, salinity, from);
        let there = energy_to_warm_j(&cold, to).unwrap();
        let volume_m3 = cold.mass_kg().unwrap() / water(1000.0, salinity, to).mass_kg().unwrap();
        let warm = Water { volume_m3, temperature_c: to, ..cold };
        let back = energy_to_warm_j(&warm, from).unwrap();
        prop_assert!((there + back).abs() <= 1e-12 * there.abs() + 1e-6);
        // Three points against thirty-three.
        let mut fine = 0.0;
        for i in 0..32_u32 {
            let at = from + (to - from) * f64::from(i) / 32.0;
            let c = heat_capacity_j_k(&water(1.0, salinity, at + (to - from) / 64.0)).unwrap()
                / water(1.0, salinity, at + (to - from) / 64.0).mass_kg().unwrap();
            fine += cold.mass_kg().unwrap() * c * (to - from) / 32.0;
        }
        prop_assert!((there - fine).abs() <= 1e-4 * there.abs() + 1e-6, "{there} {fine}");
    }

    /// Thicker loses less, and a wall between water and air has an outside between them.
    #[test]
    fn walls_are_monotone(water_c in 0.0..40.0_f64, air_c in 0.0..40.0_f64, thickness in 0.0..0.1_f64) {
        let loss = |thickness_m: f64| wall_loss(&VesselWall { thickness_m, ..WALL }, water_c, air_c).unwrap();
        let (thin, thick) = (loss(thickness), loss(thickness + 0.01));
        prop_assert!(thick.overall_w_m2_k < thin.overall_w_m2_k);
        let (low, high) = (water_c.min(air_c), water_c.max(air_c));
        prop_assert!((low..=high).contains(&thin.outside_c));
    }

    /// Whatever is asked, the answer is a number or a refusal.
    #[test]
    fn never_nan(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), d in any::<f64>(), pick in 0..16_u32) {
        let or = |bit: u32, wild: f64, sound: f64| if pick >> bit & 1 == 1 { wild } else { sound };
        let balance = HeatBalance {
            heat_capacity_j_k: or(0, a, 8e5),
            loss_w_k: or(1, b, 12.0),
            air_temperature_c: or(2, c, 18.0),
            power_w: or(3, d, 300.0),
        };
        match balance.time_to(or(2, c, 18.0), or(3, d, 25.0)) {
            Ok(Reach::After { time_s }) => prop_assert!(time_s.is_finite() && time_s >= 0.0),
            Ok(Reach::Never { steady_c }) => prop_assert!(steady_c.is_none_or(f64::is_finite)),
            Err(_) => (),
        }
        let surface = OpenSurface {
            area_m2: or(0, a, 0.26),
            air: SurfaceAir { air_temperature_c: or(1, b, 20.0), relative_humidity: or(2, c, 0.5), ..DRUM_MOUTH.air },
            activity_factor: or(3, d, 0.5),
        };
        let wall = VesselWall {
            height_m: or(0, a, 0.8),
            thickness_m: or(1, b, 0.005),
            conductivity_w_m_k: or(2, c, 0.45),
            ..WALL
        };
        for got in [
            balance.steady_temperature_c().ok(),
            balance.time_constant_s().ok(),
            balance.temperature_after_c(20.0, or(0, a, 3600.0)).ok(),
            balance.with_open_surface(&surface, or(0, a, 20.0), or(1, b, 22.0)).map(|with| with.power_w).ok(),
            open_surface_loss(&surface, or(2, c, 22.0)).map(|loss| loss.total_w()).ok(),
            wall_loss(&wall, or(3, d, 25.0), or(0, a, 18.0)).map(|loss| loss.overall_w_m2_k).ok(),
            upright_plate_nusselt(or(0, a, 1e8), or(1, b, 0.7)).ok(),
            energy_to_warm_j(&water(or(0, a, 100.0), or(1, b, 35.0), or(2, c, 15.0)), or(3, d, 25.0)).ok(),
            mixed_temperature_c(&[water(or(0, a, 100.0), 35.0, or(2, c, 15.0)), water(10.0, 0.0, 5.0)]).ok(),
            loss_w_k(&[EnvelopePart { area_m2: or(0, a, 1.0), overall_w_m2_k: or(1, b, 6.0) }]).ok(),
        ].into_iter().flatten() {
            prop_assert!(got.is_finite());
        }
        match thermostat_duty(&balance, or(0, a, 25.0), or(2, c, 200.0)) {
            Ok(Duty::Share { of_time, .. }) => prop_assert!((0.0..=1.0).contains(&of_time)),
            Ok(Duty::Idle { steady_c } | Duty::TooWeak { steady_c }) => {
                prop_assert!(steady_c.is_none_or(f64::is_finite));
            }
            Err(_) => (),
        }
    }
}

#[test]
fn refusals() {
    assert!(matches!(mixed_temperature_c(&[]), Err(HeatError::NothingToMix)));
    assert!(matches!(
        thermostat_duty(&VESSEL, 25.0, 0.0),
        Err(HeatError::NothingSwitched)
    ));
    assert!(matches!(
        heat_capacity_j_k(&water(1.0, 50.0, 20.0)),
        Err(HeatError::Water(_))
    ));
    assert!(matches!(
        energy_to_warm_j(&water(1.0, 35.0, 20.0), 50.0),
        Err(HeatError::OutOfRange(_))
    ));
    let trace = HeatBalance {
        loss_w_k: 1e-9,
        ..VESSEL
    };
    assert!(trace.time_to(15.0, 20.0).is_err(), "neither a loss nor none");
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -100.0] {
        assert!(VESSEL.time_to(bad, 20.0).is_err() && VESSEL.time_to(20.0, bad).is_err());
        assert!(
            VESSEL.temperature_after_c(bad, 1.0).is_err() && VESSEL.temperature_after_c(20.0, bad).is_err()
        );
        assert!(VESSEL.with_open_surface(&DRUM_MOUTH, bad, 20.0).is_err());
        assert!(VESSEL.with_open_surface(&DRUM_MOUTH, 20.0, bad).is_err());
        let balances = [
            HeatBalance {
                heat_capacity_j_k: bad,
                ..VESSEL
            },
            HeatBalance {
                loss_w_k: bad,
                ..VESSEL
            },
            HeatBalance {
                air_temperature_c: bad,
                ..VESSEL
            },
        ];
        for balance in balances {
            assert!(balance.time_to(15.0, 20.0).is_err() && balance.steady_temperature_c().is_err());
            assert!(thermostat_duty(&balance, 20.0, 100.0).is_err());
        }
        let walls = [
            VesselWall {
                height_m: bad,
                ..WALL
            },
            VesselWall {
                thickness_m: bad,
                ..WALL
            },
            VesselWall {
                conductivity_w_m_k: bad,
                ..WALL
            },
            VesselWall {
                emissivity: bad,
                ..WALL
            },
            VesselWall {
                inside_film_w_m2_k: bad,
                ..WALL
            },
        ];
        for wall in walls {
            assert!(wall_loss(&wall, 25.0, 18.0).is_err(), "{wall:?}");
        }
        assert!(wall_loss(&WALL, bad, 18.0).is_err() && wall_loss(&WALL, 25.0, bad).is_err());
        assert!(air_film(0.8, bad, 18.0, 0.9).is_err() && air_film(0.8, 20.0, 18.0, bad).is_err());
        assert!(upright_plate_nusselt(bad, 0.7).is_err() && upright_plate_nusselt(1e8, bad).is_err());
        assert!(open_surface_loss(&DRUM_MOUTH, bad).is_err());
        assert!(
            loss_w_k(&[EnvelopePart {
                area_m2: bad,
                overall_w_m2_k: 6.0
            }])
            .is_err()
        );
        assert!(mixed_temperature_c(&[water(1.0, 35.0, bad)]).is_err());
    }
    let errors = [
        HeatError::NothingToMix,
        HeatError::NothingSwitched,
        HeatError::NeverSteady { power_w: 30.0 },
        heat_capacity_j_k(&water(1.0, 50.0, 20.0)).unwrap_err(),
        energy_to_warm_j(&water(1.0, 35.0, 20.0), 50.0).unwrap_err(),
    ];
    for error in errors {
        assert!(!error.to_string().is_empty() && !error.mend().is_empty());
    }
}
