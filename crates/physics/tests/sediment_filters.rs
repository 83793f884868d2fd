//! Filters against their own law integrated, readings from a laboratory, and worked ratios.

use physics::sediment::{
    Cake, Cause, DropReading, Growth, SedimentError, StationReading, cake_pressure_drop_pa,
    cartridge_resistance_pa_s_m3, constant_pressure_line, diagnose, fit_growth, loaded_drop_pa,
    volume_to_limit_m3,
};

#[track_caller]
fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got / expected - 1.0).abs() <= tolerance,
        "{got} for {expected}, off by {:e}",
        got / expected - 1.0
    );
}

const CAKE: Cake = Cake {
    viscosity_pa_s: 1e-3,
    medium_resistance_1_m: 1e10,
    specific_cake_resistance_m_kg: 1e11,
    suspended_kg_m3: 0.05,
    area_m2: 0.05,
    pressure_pa: 70e3,
};

#[test]
fn a_clean_medium_and_a_cake() {
    // By hand: 0.001 Pa·s · 0.001 m/s · (10^10 + 10^11 · 0.1)/m = 10 kPa clean and 20 kPa with 0.1 kg/m².
    near(
        cake_pressure_drop_pa(1e-3, 1e-3, 1e10, 1e11, 0.0).unwrap(),
        10e3,
        1e-14,
    );
    near(
        cake_pressure_drop_pa(1e-3, 1e-3, 1e10, 1e11, 0.1).unwrap(),
        20e3,
        1e-14,
    );
    assert_eq!(cake_pressure_drop_pa(1e-3, 0.0, 1e10, 1e11, 0.1), Ok(0.0));
}

/// Source: a worked problem of a course on filtration, read in public: 0.05 m² at 0.7 bar, 250 cm³ in the first
/// five minutes, 150 cm³ more in the next five, 0.001 Pa·s, 5 % by volume of solids of 3000 kg/m³. Slope and
/// intercept follow from the two readings alone.
#[test]
fn a_leaf_in_the_laboratory() {
    let (first_m3, first_s, second_m3, second_s) = (250e-6, 300.0, 400e-6, 600.0);
    let slope = (second_s / second_m3 - first_s / first_m3) / (second_m3 - first_m3);
    let intercept = first_s / first_m3 - slope * first_m3;
    // By hand: slope 2·10^9 s/m^6, intercept 7·10^5 s/m³. From these, 2·A²·p·slope/(μ·c) is 4.43·10^12 m/kg and
    // A·p·intercept/μ is 2.45·10^12 /m, c being 150 kg of solids in 0.95 m³ of water.
    near(slope, 2e9, 1e-12);
    near(intercept, 7e5, 1e-12);
    let line = constant_pressure_line(&Cake {
        viscosity_pa_s: 1e-3,
        medium_resistance_1_m: 2.45e12,
        specific_cake_resistance_m_kg: 4.43e12,
        suspended_kg_m3: 157.9,
        area_m2: 0.05,
        pressure_pa: 70e3,
    })
    .unwrap();
    // Three digits by hand.
    near(line.slope_s_m6, slope, 2e-3);
    near(line.intercept_s_m3, intercept, 2e-3);
    near(line.time_s(first_m3).unwrap(), first_s, 2e-3);
    near(line.time_s(second_m3).unwrap(), second_s, 2e-3);
}

#[test]
fn the_line_is_the_law_integrated() {
    // dV/dt = A·p/(μ·(R + α·c·V/A)), which is the drop at that flow set equal to p. Here time is summed over
    // volume by Simpson's rule, which is exact for a straight line, from the drop at unit flow alone.
    let line = constant_pressure_line(&CAKE).unwrap();
    for volume_m3 in [0.01, 0.2, 3.0] {
        let seconds_per_m3 = |volume_m3: f64| {
            let velocity_m_s = 1e-3;
            let drop_pa = cake_pressure_drop_pa(
                CAKE.viscosity_pa_s,
                velocity_m_s,
                CAKE.medium_resistance_1_m,
                CAKE.specific_cake_resistance_m_kg,
                CAKE.suspended_kg_m3 * volume_m3 / CAKE.area_m2,
            )
            .unwrap();
            drop_pa / (velocity_m_s * CAKE.area_m2 * CAKE.pressure_pa)
        };
        let time_s = volume_m3 / 6.0
            * (seconds_per_m3(0.0) + 4.0 * seconds_per_m3(volume_m3 / 2.0) + seconds_per_m3(volume_m3));
        near(line.time_s(volume_m3).unwrap(), time_s, 1e-13);
    }
    // No medium, no intercept; no dirt, no slope.
    let bare = Cake {
        medium_resistance_1_m: 0.0,
        ..CAKE
    };
    assert_eq!(constant_pressure_line(&bare).unwrap().intercept_s_m3, 0.0);
    let clear = Cake {
        suspended_kg_m3: 0.0,
        ..CAKE
    };
    assert_eq!(constant_pressure_line(&clear).unwrap().slope_s_m6, 0.0);
    assert_eq!(line.time_s(0.0), Ok(0.0));
}

#[test]
fn a_cartridge_grows() {
    // By hand: 0.05 bar new, 0.1 bar after 10 m³, so doubling every 10 m³, and 0.4 bar at 30 m³.
    let new = DropReading {
        volume_m3: 0.0,
        drop_pa: 5e3,
    };
    let later = DropReading {
        volume_m3: 10.0,
        drop_pa: 10e3,
    };
    let growth = fit_growth(&new, &later).unwrap();
    near(growth.clean_drop_pa, 5e3, 1e-15);
    near(growth.growth_1_m3, 0.069_314_718_055_994_53, 1e-14);
    near(loaded_drop_pa(&growth, 30.0).unwrap(), 40e3, 1e-13);
    near(volume_to_limit_m3(&growth, 40e3).unwrap(), 30.0, 1e-13);
    // The order of the readings doesn't matter.
    assert_eq!(fit_growth(&later, &new), Ok(growth));

    assert_eq!(
        fit_growth(
            &later,
            &DropReading {
                drop_pa: 12e3,
                ..later
            }
        ),
        Err(SedimentError::SameVolume { volume_m3: 10.0 })
    );
    for drop_pa in [10e3, 9e3] {
        let tired = DropReading {
            volume_m3: 20.0,
            drop_pa,
        };
        assert_eq!(
            fit_growth(&later, &tired),
            Err(SedimentError::NotGrowing {
                earlier_pa: 10e3,
                later_pa: drop_pa
            })
        );
    }
    for limit_pa in [5e3, 4e3] {
        assert_eq!(
            volume_to_limit_m3(&growth, limit_pa),
            Err(SedimentError::LimitBelowClean {
                limit_pa,
                clean_pa: growth.clean_drop_pa
            })
        );
    }
    let flat = Growth {
        growth_1_m3: 0.0,
        ..growth
    };
    assert!(matches!(
        volume_to_limit_m3(&flat, 40e3),
        Err(SedimentError::NotGrowing { .. })
    ));
    assert_eq!(loaded_drop_pa(&flat, 1e9), Ok(growth.clean_drop_pa));
    assert_eq!(
        loaded_drop_pa(&growth, 1e6),
        Err(SedimentError::BeyondMeasure { volume_m3: 1e6 })
    );
}

#[test]
fn a_cartridge_when_clean() {
    // 0.05 bar at 1 L/min is 3·10^8 Pa·s/m³; water of 10 °C is 1.306 and of 20 °C 1.002 mPa·s (IAPWS, from
    // memory).
    near(
        cartridge_resistance_pa_s_m3(5e3, 1e-3 / 60.0, 1.0).unwrap(),
        3e8,
        1e-14,
    );
    near(
        cartridge_resistance_pa_s_m3(5e3, 1e-3 / 60.0, 1.306 / 1.002).unwrap(),
        3.91e8,
        1e-3,
    );
    // Twice the flow at twice the drop is the same filter.
    assert_eq!(
        cartridge_resistance_pa_s_m3(10e3, 2e-3 / 60.0, 1.0),
        cartridge_resistance_pa_s_m3(5e3, 1e-3 / 60.0, 1.0)
    );
}

const WELL: StationReading = StationReading {
    product_m3_s: 2.2e-6,
    supply_pressure_pa: 4.2e5,
    membrane_pressure_pa: 4.1e5,
    temperature_factor: 0.70,
};

#[test]
fn where_to_look_first() {
    let cases = [
        ("as before", WELL, Cause::NoFall),
        (
            "a twentieth less isn't noticed",
            StationReading {
                product_m3_s: 2.09e-6,
                ..WELL
            },
            Cause::NoFall,
        ),
        (
            "same pressure, same water",
            StationReading {
                product_m3_s: 1.5e-6,
                ..WELL
            },
            Cause::Membrane,
        ),
        (
            "less pressure before the membrane alone",
            StationReading {
                product_m3_s: 1.5e-6,
                membrane_pressure_pa: 2.8e5,
                ..WELL
            },
            Cause::BlockedFilter,
        ),
        (
            "less pressure on both gauges",
            StationReading {
                product_m3_s: 1.5e-6,
                supply_pressure_pa: 2.9e5,
                membrane_pressure_pa: 2.83e5,
                ..WELL
            },
            Cause::LowSupply,
        ),
        (
            "same pressure, colder water",
            StationReading {
                product_m3_s: 1.6e-6,
                temperature_factor: 0.51,
                ..WELL
            },
            Cause::ColdWater,
        ),
        (
            "colder, but most of it isn't the cold",
            StationReading {
                product_m3_s: 1.1e-6,
                temperature_factor: 0.6,
                ..WELL
            },
            Cause::Membrane,
        ),
    ];
    for (name, now, expected) in cases {
        assert_eq!(diagnose(&WELL, &now), Ok(expected), "{name}");
    }
    let swapped = StationReading {
        supply_pressure_pa: 4.0e5,
        ..WELL
    };
    let refusal = Err(SedimentError::GaugesSwapped {
        before_pa: 4.0e5,
        after_pa: 4.1e5,
    });
    assert_eq!(diagnose(&WELL, &swapped), refusal);
    assert_eq!(diagnose(&swapped, &WELL), refusal);
}

#[test]
fn nothing_that_is_no_number_gets_in() {
    let growth = Growth {
        clean_drop_pa: 5e3,
        growth_1_m3: 0.1,
    };
    let reading = DropReading {
        volume_m3: 1.0,
        drop_pa: 5e3,
    };
    for bad in [f64::NAN, f64::INFINITY, -1.0] {
        let arguments = [1e-3, 1e-3, 1e10, 1e11, 0.1];
        for place in 0..arguments.len() {
            let mut a = arguments;
            a[place] = bad;
            assert!(
                cake_pressure_drop_pa(a[0], a[1], a[2], a[3], a[4]).is_err(),
                "{place}"
            );
        }
        let cakes = [
            Cake {
                viscosity_pa_s: bad,
                ..CAKE
            },
            Cake {
                medium_resistance_1_m: bad,
                ..CAKE
            },
            Cake {
                specific_cake_resistance_m_kg: bad,
                ..CAKE
            },
            Cake {
                suspended_kg_m3: bad,
                ..CAKE
            },
            Cake { area_m2: bad, ..CAKE },
            Cake {
                pressure_pa: bad,
                ..CAKE
            },
        ];
        for cake in cakes {
            assert!(constant_pressure_line(&cake).is_err(), "{cake:?}");
        }
        assert!(constant_pressure_line(&CAKE).unwrap().time_s(bad).is_err());
        assert!(cartridge_resistance_pa_s_m3(bad, 1e-5, 1.0).is_err());
        assert!(cartridge_resistance_pa_s_m3(5e3, bad, 1.0).is_err());
        assert!(cartridge_resistance_pa_s_m3(5e3, 1e-5, bad).is_err());
        assert!(loaded_drop_pa(&growth, bad).is_err() && volume_to_limit_m3(&growth, bad).is_err());
        for bad_growth in [
            Growth {
                clean_drop_pa: bad,
                ..growth
            },
            Growth {
                growth_1_m3: bad,
                ..growth
            },
        ] {
            assert!(loaded_drop_pa(&bad_growth, 1.0).is_err());
            assert!(volume_to_limit_m3(&bad_growth, 1e5).is_err());
        }
        for bad_reading in [
            DropReading {
                volume_m3: bad,
                drop_pa: 9e3,
            },
            DropReading {
                volume_m3: 2.0,
                drop_pa: bad,
            },
        ] {
            assert!(fit_growth(&reading, &bad_reading).is_err());
            assert!(fit_growth(&bad_reading, &reading).is_err());
        }
        for bad_reading in [
            StationReading {
                product_m3_s: bad,
                ..WELL
            },
            StationReading {
                supply_pressure_pa: bad,
                ..WELL
            },
            StationReading {
                membrane_pressure_pa: bad,
                ..WELL
            },
            StationReading {
                temperature_factor: bad,
                ..WELL
            },
        ] {
            assert!(diagnose(&WELL, &bad_reading).is_err() && diagnose(&bad_reading, &WELL).is_err());
        }
    }
}
