//! The carbonate system: constants, worked values, what must hold without any table, refusals.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use physics::carbonate::{
    ALKALINITY, CarbonateError, FreshWater, PH, aerated_carbon_dioxide_mol_m3, calcite_saturation_index,
    carbon_dioxide_mol_m3, constants as k, ph_from_carbon_dioxide, speciate,
};
use proptest::prelude::*;

/// Grams in a mole of carbon dioxide.
const CARBON_DIOXIDE_G_MOL: f64 = 44.009;

#[test]
fn constants_and_their_sources() {
    const DIGIT: f64 = 0.51e-4;
    #[rustfmt::skip]
    let table = [
        ("pK1", -k::log_k1(25.0).unwrap(), 6.3519, DIGIT, "handbook 4, check 1; geochemical database 6.352"),
        ("pK2", -k::log_k2(25.0).unwrap(), 10.3289, DIGIT, "handbook 4, check 1; geochemical database 10.329"),
        ("pKH", -k::log_kh(25.0).unwrap(), 1.4679, DIGIT, "handbook 4, check 1"),
        ("pK calcite", -k::log_k_calcite(25.0).unwrap(), 8.480, 0.51e-3, "Plummer & Busenberg 1982 abstract, from memory"),
        ("pKw", -k::log_kw(25.0).unwrap(), 13.995, 1e-3, "accepted value, from memory"),
        ("pK1 at 0", -k::log_k1(0.0).unwrap(), 6.5786, DIGIT, "handbook 4, check 2"),
        ("pK1 at 5", -k::log_k1(5.0).unwrap(), 6.5163, DIGIT, "handbook 4, check 2"),
        ("pK1 at 10", -k::log_k1(10.0).unwrap(), 6.4633, DIGIT, "handbook 4, check 2"),
        ("pK1 at 15", -k::log_k1(15.0).unwrap(), 6.4188, DIGIT, "handbook 4, check 2"),
        ("pK1 at 20", -k::log_k1(20.0).unwrap(), 6.3819, DIGIT, "handbook 4, check 2"),
        ("pK1 at 30", -k::log_k1(30.0).unwrap(), 6.3281, DIGIT, "handbook 4, check 2"),
        // IAPWS R11-07 (2007) by public code, at 1 atm.
        ("pKw at 0", -k::log_kw(0.01).unwrap(), 14.9461, 0.007, "IAPWS R11-07 by public code"),
        ("pKw at 10", -k::log_kw(10.0).unwrap(), 14.5336, 0.007, "IAPWS R11-07 by public code"),
        ("pKw at 20", -k::log_kw(20.0).unwrap(), 14.1645, 0.007, "IAPWS R11-07 by public code"),
        ("pKw at 30", -k::log_kw(30.0).unwrap(), 13.8330, 0.007, "IAPWS R11-07 by public code"),
        ("pKw at 40", -k::log_kw(40.0).unwrap(), 13.5343, 0.007, "IAPWS R11-07 by public code"),
        ("pKw at 50", -k::log_kw(50.0).unwrap(), 13.2645, 0.007, "IAPWS R11-07 by public code"),
    ];
    for (what, got, expected, tolerance, source) in table {
        assert!(
            (got - expected).abs() <= tolerance,
            "{what} = {got}, {expected} after {source}"
        );
    }
}

/// Activity coefficients of handbook 4, check 3, reckoned there with a slope of 0.509 instead of 0.5114.
#[test]
fn activity_coefficients() {
    #[rustfmt::skip]
    let table = [
        (1.0, 0.001, 0.965), (1.0, 0.01, 0.902), (1.0, 0.1, 0.782),
        (2.0, 0.001, 0.867), (2.0, 0.01, 0.662), (2.0, 0.1, 0.373),
    ];
    for (charge, ionic_strength, expected) in table {
        let log_gamma = k::davies_log_gamma(charge, ionic_strength, 25.0).unwrap() * 0.509 / 0.511_444;
        let got = libm::exp10(log_gamma);
        assert!(
            (got - expected).abs() <= 0.51e-3,
            "gamma {charge} at {ionic_strength}: {got}"
        );
    }
    assert_eq!(k::davies_log_gamma(2.0, 0.0, 25.0), Ok(0.0));
    assert_eq!(k::davies_log_gamma(0.0, 0.1, 25.0), Ok(0.0));
}

/// The slope against 1.82483·10⁶·√ρ/(ε·T)^1.5 (Truesdell & Jones 1974, from memory), with the permittivity of water by
/// Malmberg & Maryott 1956, read in public code.
#[test]
fn slope_by_permittivity() {
    for (t, density_g_cm3) in [
        (0.0, 0.9998),
        (10.0, 0.9997),
        (25.0, 0.9970),
        (40.0, 0.9922),
        (50.0, 0.9880_f64),
    ] {
        let permittivity = 87.740 - 0.400_08 * t + 9.398e-4 * t * t - 1.410e-6 * t * t * t;
        let expected = 1.824_83e6 * density_g_cm3.sqrt() / libm::pow(permittivity * (t + 273.15), 1.5);
        // At ionic strength 0.25 the bracket is 1/3 - 0.075.
        let got = -k::davies_log_gamma(1.0, 0.25, t).unwrap() / (1.0 / 3.0 - 0.075);
        assert!(
            (got / expected - 1.0).abs() < 0.007,
            "slope at {t}: {got}, {expected}"
        );
    }
}

/// Handbook 4, check 4, and the second part of 3, check 4. Alkalinity in mg/L as calcium carbonate, 50.043 g/eq.
#[test]
fn worked_values() {
    #[rustfmt::skip]
    let table = [
        (100.0, 7.0, 20.0, 19.6, 0.05),
        (100.0, 7.5, 20.0, 6.2, 0.05),
        (100.0, 8.0, 20.0, 1.94, 0.005),
        (100.0, 8.5, 20.0, 0.60, 0.005),
        (100.0, 7.5, 10.0, 7.5, 0.05),
        (250.0, 7.2, 20.0, 31.0, 0.5),
    ];
    for (alkalinity_mg_l, ph, temperature_c, expected_mg_l, half_a_digit) in table {
        let water = FreshWater {
            alkalinity_mol_m3: alkalinity_mg_l / 50.043,
            ph,
            temperature_c,
            ionic_strength_mol_kg: 0.005,
        };
        let got = carbon_dioxide_mol_m3(&water).unwrap() * CARBON_DIOXIDE_G_MOL;
        assert!(
            (got - expected_mg_l).abs() <= half_a_digit,
            "{water:?}: {got}, {expected_mg_l}"
        );
    }
    let air = aerated_carbon_dioxide_mol_m3(25.0, 420e-6).unwrap() * CARBON_DIOXIDE_G_MOL;
    assert!((air - 0.63).abs() < 0.005, "{air}");
}

fn waters() -> impl Strategy<Value = (f64, f64, f64, f64)> {
    let alkalinity = prop_oneof![Just(0.0), 1e-6..1e-2_f64, 0.01..10.0_f64, 0.0..=50.0_f64];
    let gas = prop_oneof![Just(0.0), 1e-9..1e-3_f64, 1e-3..1.0_f64, 0.0..=100.0_f64];
    let ionic_strength = prop_oneof![Just(0.0), 0.0..0.02_f64, 0.0..=0.5_f64];
    (alkalinity, gas, 0.0..=50.0_f64, ionic_strength)
}

proptest! {
    /// The pH is right when charge balances there; gas and pH undo each other where gas makes a difference to pH.
    #[test]
    fn ph_and_gas_undo_each_other((alkalinity, gas, t, ionic_strength) in waters()) {
        let ph = ph_from_carbon_dioxide(alkalinity, gas, t, ionic_strength).unwrap();
        prop_assert!(PH.contains(ph));
        // Balance of charge from the public constants, relative to the larger side.
        let gamma = |z| libm::exp10(k::davies_log_gamma(z, ionic_strength, t).unwrap());
        let (k1, k2) = (libm::exp10(k::log_k1(t).unwrap()), libm::exp10(k::log_k2(t).unwrap()));
        let (kw, h) = (libm::exp10(k::log_kw(t).unwrap()), libm::exp10(-ph));
        let bicarbonate = k1 * gas * 1e-3 / (h * gamma(1.0));
        let carbonate = k1 * k2 * gas * 1e-3 / (h * h * gamma(2.0));
        let plus = alkalinity * 1e-3 + h / gamma(1.0);
        let minus = kw / (h * gamma(1.0)) + bicarbonate + 2.0 * carbonate;
        // A pH of 14 with 16 digits leaves 2e-15 of itself, 7e-15 of h, 1.4e-14 of its square.
        prop_assert!((plus / minus - 1.0).abs() < 1e-12, "{plus} {minus}");

        let water = FreshWater { alkalinity_mol_m3: alkalinity, ph, temperature_c: t, ionic_strength_mol_kg: ionic_strength };
        match speciate(&water) {
            Ok(species) => {
                // Digits are lost where hydroxide or hydrogen carry nearly all the alkalinity.
                let lost = minus / (bicarbonate + 2.0 * carbonate).max(1e-300);
                let error = species.carbon_dioxide_mol_m3 - gas;
                prop_assert!(error.abs() <= 1e-12 * lost.min(1e250) * gas + 1e-11 * minus, "{} {gas}", species.carbon_dioxide_mol_m3);
            }
            // Without carbon, or with the very most, rounding of the pH decides.
            Err(CarbonateError::CannotGoTogether { least_alkalinity_mol_m3, .. }) => {
                prop_assert!((least_alkalinity_mol_m3 - alkalinity).abs() <= 1e-12 * (1e3 * minus));
                prop_assert!(bicarbonate <= 1e-12 * minus);
            }
            Err(CarbonateError::TooMuchGas { .. }) => prop_assert!(gas > 99.999_999),
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        }
    }

    #[test]
    fn species_add_up(alkalinity in 0.05..50.0_f64, ph in 5.5..9.5_f64, t in 0.0..=50.0_f64, ionic_strength in 0.0..=0.1_f64) {
        let water = FreshWater { alkalinity_mol_m3: alkalinity, ph, temperature_c: t, ionic_strength_mol_kg: ionic_strength };
        match speciate(&water) {
            Ok(s) => {
                let charge = s.bicarbonate_mol_m3 + 2.0 * s.carbonate_mol_m3 + s.hydroxide_mol_m3 - s.hydrogen_mol_m3;
                prop_assert!((charge / alkalinity - 1.0).abs() < 1e-12);
                let carbon = s.carbon_dioxide_mol_m3 + s.bicarbonate_mol_m3 + s.carbonate_mol_m3;
                prop_assert!((carbon / s.inorganic_carbon_mol_m3 - 1.0).abs() < 1e-14);
                let aerated = aerated_carbon_dioxide_mol_m3(t, s.carbon_dioxide_fugacity_atm.min(1.0)).unwrap();
                prop_assert!(s.carbon_dioxide_fugacity_atm > 1.0 || (aerated / s.carbon_dioxide_mol_m3 - 1.0).abs() < 1e-14);
                // More acid, more gas.
                let acid = FreshWater { ph: ph - 0.1, ..water };
                if let Ok(more) = carbon_dioxide_mol_m3(&acid) {
                    prop_assert!(more > s.carbon_dioxide_mol_m3);
                }
            }
            Err(CarbonateError::CannotGoTogether { .. }) => prop_assert!(ph > 8.0 && alkalinity < 0.5),
            Err(CarbonateError::TooMuchGas { .. }) => prop_assert!(ph < 6.5 && alkalinity > 5.0),
            Err(other) => return Err(TestCaseError::fail(other.to_string())),
        }
    }

    /// Ten times the calcium is one more on the index.
    #[test]
    fn index_is_a_logarithm(ph in 6.5..8.5_f64, calcium in 0.01..10.0_f64) {
        let water = FreshWater { alkalinity_mol_m3: 2.0, ph, temperature_c: 20.0, ionic_strength_mol_kg: 0.005 };
        let once = calcite_saturation_index(&water, calcium).unwrap();
        let tenfold = calcite_saturation_index(&water, 10.0 * calcium).unwrap();
        prop_assert!((tenfold - once - 1.0).abs() < 1e-12);
    }

    /// Degassing raises pH, and salt of the same alkalinity changes nothing else.
    #[test]
    fn less_gas_higher_ph((alkalinity, gas, t, ionic_strength) in waters(), share in 0.0..0.9_f64) {
        let before = ph_from_carbon_dioxide(alkalinity, gas, t, ionic_strength).unwrap();
        let after = ph_from_carbon_dioxide(alkalinity, share * gas, t, ionic_strength).unwrap();
        prop_assert!(after >= before);
        prop_assert!(after > before || gas < 1e-6);
    }
}

#[test]
fn pure_water_is_neutral() {
    let ph = ph_from_carbon_dioxide(0.0, 0.0, 25.0, 0.0).unwrap();
    assert!((ph + k::log_kw(25.0).unwrap() / 2.0).abs() < 1e-14, "{ph}");
}

#[test]
fn what_cannot_go_together_is_refused() {
    let water = FreshWater {
        alkalinity_mol_m3: 0.1,
        ph: 11.0,
        temperature_c: 25.0,
        ionic_strength_mol_kg: 0.0,
    };
    let refusal = speciate(&water).unwrap_err();
    let CarbonateError::CannotGoTogether {
        least_alkalinity_mol_m3,
        ..
    } = refusal
    else {
        panic!("{refusal}");
    };
    // Kw of 10^-13.995 over 10^-11.
    assert!(
        (least_alkalinity_mol_m3 - 1.012).abs() < 0.002,
        "{least_alkalinity_mol_m3}"
    );
    assert!(refusal.mend().contains("same sample"));
    assert_eq!(carbon_dioxide_mol_m3(&water), Err(refusal));
    assert_eq!(calcite_saturation_index(&water, 1.0), Err(refusal));
    // At that alkalinity they can.
    let enough = FreshWater {
        alkalinity_mol_m3: 1.02 * least_alkalinity_mol_m3,
        ..water
    };
    assert!(speciate(&enough).unwrap().carbonate_mol_m3 > 0.0);

    let sour = FreshWater {
        alkalinity_mol_m3: 2.0,
        ph: 3.5,
        ..water
    };
    assert!(matches!(speciate(&sour), Err(CarbonateError::TooMuchGas { .. })));
}

#[test]
fn outside_the_range_is_refused() {
    let water = FreshWater {
        alkalinity_mol_m3: 2.0,
        ph: 7.5,
        temperature_c: 20.0,
        ionic_strength_mol_kg: 0.005,
    };
    assert!(speciate(&water).is_ok());
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 1e3] {
        let all = [
            FreshWater {
                alkalinity_mol_m3: bad,
                ..water
            },
            FreshWater { ph: bad, ..water },
            FreshWater {
                temperature_c: bad,
                ..water
            },
            FreshWater {
                ionic_strength_mol_kg: bad,
                ..water
            },
        ];
        for water in all {
            assert!(
                matches!(speciate(&water), Err(CarbonateError::OutOfRange(_))),
                "{water:?}"
            );
            assert!(carbon_dioxide_mol_m3(&water).is_err());
        }
        assert!(calcite_saturation_index(&water, bad).is_err());
        for at in 0..4 {
            let mut arguments = [2.0, 0.1, 20.0, 0.005];
            arguments[at] = bad;
            let [alkalinity, gas, t, ionic_strength] = arguments;
            assert!(ph_from_carbon_dioxide(alkalinity, gas, t, ionic_strength).is_err());
        }
        assert!(aerated_carbon_dioxide_mol_m3(bad, 1e-3).is_err());
        assert!(aerated_carbon_dioxide_mol_m3(20.0, 2.0 * bad).is_err());
        assert!(k::log_k1(bad).is_err() && k::davies_log_gamma(10.0 * bad, 0.1, 20.0).is_err());
    }
    assert!(
        calcite_saturation_index(&water, 0.0).is_err(),
        "no calcium has no logarithm"
    );
    // All corners are answered with numbers or refused.
    for alkalinity in [ALKALINITY.min, ALKALINITY.max] {
        for gas in [0.0, 1e-300, 100.0] {
            for t in [0.0, 50.0] {
                for ionic_strength in [0.0, 0.5] {
                    let ph = ph_from_carbon_dioxide(alkalinity, gas, t, ionic_strength).unwrap();
                    assert!(PH.contains(ph), "{alkalinity} {gas} {t} {ionic_strength}: {ph}");
                }
            }
        }
    }
}
