//! Moist air and evaporation: against `validation/psychro.csv` and `validation/evaporation.csv`, laws, refusals.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use crate::freshwater_support;
use crate::seawater_support;

use freshwater_support::rows;
use physics::evaporation::{
    SurfaceAir, dew_point_c, evaporation_kg_s_m2, humidity_ratio, latent_heat_j_kg, saturation_pressure_pa,
    simple_evaporation_kg_s_m2, vapour_pressure_pa, vapour_pressure_share,
};
use proptest::prelude::*;
use seawater_support::Tally;

/// Source: ASHRAE Fundamentals 2017 through the table, by a library of its authors' formulas.
#[test]
fn moist_air_table() {
    let mut saturation = Tally::new("saturation pressure");
    let mut vapour = Tally::new("vapour pressure");
    let mut ratio = Tally::new("humidity ratio");
    let mut saturated_ratio = Tally::new("humidity ratio of saturated air");
    let mut dew = Tally::new("dew point");
    for row in rows("psychro.csv") {
        let of = |key: &str| row.number(key);
        let (t, rh, air) = (of("t_air_C"), of("rh"), of("p_Pa"));
        let place = &format!("{t} C, {rh}");
        let p_ws = saturation_pressure_pa(t).unwrap();
        saturation.meet(p_ws / of("p_ws_Pa") - 1.0, place);
        let p_w = vapour_pressure_pa(t, rh).unwrap();
        vapour.meet(p_w - of("p_w_Pa"), place);
        ratio.meet(humidity_ratio(p_w, air).unwrap() - of("W_kg_kg"), place);
        saturated_ratio.meet(
            humidity_ratio(p_ws, air).unwrap() / of("W_sat_kg_kg") - 1.0,
            place,
        );
        match row.maybe("t_dew_C") {
            Some(expected) => dew.meet(dew_point_c(p_w).unwrap() - expected, place),
            None => assert!(
                p_w == 0.0 && dew_point_c(p_w).is_err(),
                "dry air has no dew point: {place}"
            ),
        }
    }
    saturation.within(143, 1e-12, "the same equation");
    vapour.within(143, 1e-8, "the same equation, up to 1e4 Pa");
    ratio.within(143, 1e-12, "the same equation, up to 0.1");
    saturated_ratio.within(143, 1e-12, "the same equation");
    dew.within(130, 1e-3, "the library iterates to 0.001 °C");
}

/// Source: Wagner & Pruss through IAPWS-IF97 by public code, Pa; the two formulations differ by less than 0.05 %.
#[test]
fn saturation_against_the_steam_tables() {
    #[rustfmt::skip]
    let table = [
        (0.01, 611.657), (5.0, 872.575), (10.0, 1228.184), (15.0, 1705.745), (20.0, 2339.215), (25.0, 3169.747),
        (30.0, 4246.688), (35.0, 5628.620), (40.0, 7384.427), (45.0, 9594.389), (50.0, 12_351.270),
    ];
    for (t, expected) in table {
        let got = saturation_pressure_pa(t).unwrap();
        assert!((got / expected - 1.0).abs() < 5e-4, "{got} at {t}, {expected}");
    }
    // Over ice, from memory of meteorological tables: 259.9 Pa at −10 °C, 103.3 at −20, 12.84 at −40.
    for (t, expected) in [(-10.0, 259.9), (-20.0, 103.3), (-40.0, 12.84)] {
        let got = saturation_pressure_pa(t).unwrap();
        assert!((got / expected - 1.0).abs() < 1e-3, "{got} at {t}, {expected}");
    }
}

/// Source: ASHRAE Applications through the table.
#[test]
fn evaporation_table() {
    let mut speed = Tally::new("evaporation with air speed");
    let mut simple = Tally::new("evaporation, short form");
    let mut latent = Tally::new("latent heat");
    let mut condensing = 0;
    for row in rows("evaporation.csv") {
        let of = |key: &str| row.number(key);
        let surface = SurfaceAir {
            water_temperature_c: of("t_water_C"),
            air_temperature_c: of("t_air_C"),
            relative_humidity: of("rh"),
            air_speed_m_s: of("air_speed_m_s"),
            practical_salinity: 0.0,
        };
        let place = &format!("{surface:?}");
        let (factor, area) = (of("activity_factor"), of("area_m2"));
        let got = evaporation_kg_s_m2(&surface, factor).unwrap();
        speed.meet(got * area / of("W_speed_kg_s") - 1.0, place);
        let got = simple_evaporation_kg_s_m2(&surface, factor).unwrap();
        simple.meet(got * area / of("W_simple_kg_s") - 1.0, place);
        latent.meet(
            latent_heat_j_kg(surface.water_temperature_c).unwrap() / of("latent_J_kg") - 1.0,
            place,
        );
        condensing += usize::from(got < 0.0);
    }
    const SAME: &str = "the same coefficients; a difference of pressures loses two digits";
    speed.within(72, 1e-11, SAME);
    simple.within(72, 1e-11, SAME);
    latent.within(72, 1e-14, "the same line");
    assert!(condensing > 0, "the table has vapour condensing on the water");
}

/// Handbook 9, checks 2 and 3, reckoned there with another vapour pressure and latent heat (0.5 % together).
#[test]
fn worked_values() {
    let drum = SurfaceAir {
        water_temperature_c: 26.0,
        air_temperature_c: 24.0,
        relative_humidity: 0.5,
        air_speed_m_s: 0.1,
        practical_salinity: 0.0,
    };
    for (factor, kg_d) in [(1.0, 1.66), (0.5, 0.83)] {
        let got = 0.26 * 86_400.0 * evaporation_kg_s_m2(&drum, factor).unwrap();
        assert!((got - kg_d).abs() <= 0.0101, "{got} {kg_d}");
    }
    // A kg on a m² is a mm of fresh water within 0.3 %.
    let still = SurfaceAir {
        water_temperature_c: 25.0,
        air_temperature_c: 25.0,
        air_speed_m_s: 0.0,
        ..drum
    };
    for (factor, mm_d) in [(1.0, 4.98), (0.5, 2.5)] {
        let got = 86_400.0 * evaporation_kg_s_m2(&still, factor).unwrap();
        assert!((got / mm_d - 1.0).abs() <= 0.005, "{got} {mm_d}");
    }
    let saturated = SurfaceAir {
        relative_humidity: 1.0,
        ..still
    };
    assert_eq!(evaporation_kg_s_m2(&saturated, 1.0), Ok(0.0));
}

/// Source: TEOS-10, activity of water from its chemical potential by the toolbox (gsw 3.6.23).
#[test]
fn what_salt_takes_off() {
    #[rustfmt::skip]
    let table = [
        (5.0, 25.0, 0.997_361), (20.0, 25.0, 0.989_502), (35.0, 25.0, 0.981_305), (42.0, 25.0, 0.977_335),
        (35.0, 0.0, 0.981_517), (35.0, 10.0, 0.981_394), (35.0, 40.0, 0.981_287),
    ];
    for (practical_salinity, t, expected) in table {
        let got = vapour_pressure_share(practical_salinity).unwrap();
        assert!(
            (got - expected).abs() < 3e-4,
            "{got} at SP {practical_salinity}, {t} C; {expected}"
        );
    }
    assert_eq!(vapour_pressure_share(0.0), Ok(1.0));
}

fn surfaces() -> impl Strategy<Value = SurfaceAir> {
    (
        0.0..=40.0_f64,
        -20.0..=50.0_f64,
        0.0..=1.0_f64,
        0.0..=2.0_f64,
        0.0..=42.0_f64,
    )
        .prop_map(
            |(
                water_temperature_c,
                air_temperature_c,
                relative_humidity,
                air_speed_m_s,
                practical_salinity,
            )| SurfaceAir {
                water_temperature_c,
                air_temperature_c,
                relative_humidity,
                air_speed_m_s,
                practical_salinity,
            },
        )
}

proptest! {
    #[test]
    fn dew_point_undoes_saturation(t in -99.9..99.9_f64) {
        let back = dew_point_c(saturation_pressure_pa(t).unwrap()).unwrap();
        // Where ice and water meet the two curves differ by 1e-5 of the pressure, 1e-4 °C.
        let tolerance = if (t - 0.01).abs() < 1e-3 { 1e-3 } else { 1e-10 };
        prop_assert!((back - t).abs() < tolerance, "{t} {back}");
    }

    #[test]
    fn saturation_rises(t in -100.0..99.0_f64, more in 0.001..1.0_f64) {
        prop_assert!(saturation_pressure_pa(t + more).unwrap() > saturation_pressure_pa(t).unwrap());
    }

    /// Salt and damp air hold water back; the factor is a factor; more wind carries more, either way.
    #[test]
    fn evaporation_follows_its_causes(surface in surfaces(), factor in 0.01..=3.0_f64) {
        let got = evaporation_kg_s_m2(&surface, factor).unwrap();
        let fresh = SurfaceAir { practical_salinity: 0.0, ..surface };
        prop_assert!(evaporation_kg_s_m2(&fresh, factor).unwrap() >= got);
        let dry = SurfaceAir { relative_humidity: 0.0, ..surface };
        prop_assert!(evaporation_kg_s_m2(&dry, factor).unwrap() >= got);
        let calm = SurfaceAir { air_speed_m_s: 0.0, ..surface };
        prop_assert!(evaporation_kg_s_m2(&calm, factor).unwrap().abs() <= got.abs());
        let once = evaporation_kg_s_m2(&surface, 1.0).unwrap();
        prop_assert!((got - factor * once).abs() <= 1e-15 * got.abs().max(1e-30));
        prop_assert_eq!(simple_evaporation_kg_s_m2(&surface, factor).unwrap() > 0.0, got > 0.0);
    }
}

#[test]
fn outside_the_range_is_refused() {
    let surface = SurfaceAir {
        water_temperature_c: 25.0,
        air_temperature_c: 22.0,
        relative_humidity: 0.5,
        air_speed_m_s: 0.1,
        practical_salinity: 35.0,
    };
    assert!(evaporation_kg_s_m2(&surface, 1.0).is_ok());
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -101.0, 1e6] {
        let all = [
            SurfaceAir {
                water_temperature_c: bad,
                ..surface
            },
            SurfaceAir {
                air_temperature_c: bad,
                ..surface
            },
            SurfaceAir {
                relative_humidity: bad,
                ..surface
            },
            SurfaceAir {
                air_speed_m_s: bad,
                ..surface
            },
            SurfaceAir {
                practical_salinity: bad,
                ..surface
            },
        ];
        for surface in all {
            assert!(evaporation_kg_s_m2(&surface, 1.0).is_err(), "{surface:?}");
            assert!(simple_evaporation_kg_s_m2(&surface, 1.0).is_err(), "{surface:?}");
        }
        assert!(
            evaporation_kg_s_m2(&surface, bad).is_err() && simple_evaporation_kg_s_m2(&surface, bad).is_err()
        );
        assert!(saturation_pressure_pa(bad).is_err() && dew_point_c(bad).is_err());
        assert!(vapour_pressure_pa(25.0, bad).is_err() && vapour_pressure_share(bad).is_err());
        assert!(humidity_ratio(bad, 101_325.0).is_err() && humidity_ratio(1000.0, bad).is_err());
        assert!(latent_heat_j_kg(bad).is_err());
    }
    assert!(
        humidity_ratio(60_000.0, 101_325.0).is_err(),
        "more vapour than air"
    );
}
