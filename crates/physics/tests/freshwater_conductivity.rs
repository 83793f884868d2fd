//! Conductivity of fresh water, what meters make of it, and osmotic pressure.
//!
//! "Handbook" is the project's own collection of formulas, with the sections and numbers of its check values.

use physics::freshwater::{
    METER_CONDUCTIVITY, MeterScale, NATURAL_WATER_FACTOR, aerated_water_conductivity_s_m, aerated_water_ph,
    carbonic_water_conductivity_s_m, carbonic_water_ph, dissolved_solids_kg_m3,
    ionic_strength_from_conductivity_mol_kg, meter_reading_kg_m3, osmotic_pressure_pa,
    pure_water_conductivity_s_m, van_t_hoff_pressure_pa,
};
use physics::seawater::density_kg_m3;
use proptest::prelude::*;

/// S/m in a µS/cm.
const MICROSIEMENS_CM: f64 = 1e-4;
const CARBON_DIOXIDE_G_MOL: f64 = 44.009;

/// Light et al. 2005 at 25 °C; the older table of an ASTM standard, from memory; the handbook's points; an IAPWS
/// release for 0 to 800 °C by public code, which the others show to be low in cold and high in warm water.
#[test]
fn pure_water() {
    const RELEASE: &str = "another ion product, and ions fitted over 800 °C";
    #[rustfmt::skip]
    let table = [
        (25.0, 0.055_01, 0.002, "Light et al. 2005 (18.18 megohm cm)", "another conductivity of hydroxide"),
        (0.0, 0.011_61, 0.015, "ASTM D1125, from memory", "ions carried below 5 °C"),
        (10.0, 0.023_15, 0.015, "ASTM D1125, from memory", "its own age"),
        (20.0, 0.042_05, 0.015, "ASTM D1125, from memory", "its own age"),
        (30.0, 0.070_96, 0.015, "ASTM D1125, from memory", "its own age"),
        (40.0, 0.1127, 0.015, "ASTM D1125, from memory", "its own age"),
        (50.0, 0.1702, 0.02, "ASTM D1125, from memory", "its own age"),
        (0.0, 0.0114, 0.015, "handbook 3, check 2", "stated there"),
        (10.0, 0.0228, 0.015, "handbook 3, check 2", "stated there"),
        (20.0, 0.0418, 0.015, "handbook 3, check 2", "stated there"),
        (30.0, 0.0714, 0.015, "handbook 3, check 2", "stated there"),
        (50.0, 0.176, 0.025, "handbook 3, check 2", "3 % above the standard there"),
        (0.01, 0.011_556, 0.04, "IAPWS 1990 by public code", RELEASE),
        (10.0, 0.022_070, 0.04, "IAPWS 1990 by public code", RELEASE),
        (25.0, 0.054_993, 0.04, "IAPWS 1990 by public code", RELEASE),
        (40.0, 0.116_697, 0.04, "IAPWS 1990 by public code", RELEASE),
        (50.0, 0.177_383, 0.04, "IAPWS 1990 by public code", RELEASE),
    ];
    for (t, expected, tolerance, source, why_tolerance) in table {
        let got = pure_water_conductivity_s_m(t).unwrap() / MICROSIEMENS_CM;
        assert!(
            (got / expected - 1.0).abs() <= tolerance,
            "{got} at {t}, {expected} after {source}, allowed {tolerance} ({why_tolerance})"
        );
    }
}

/// The two roads to the conductivity of pure water meet.
#[test]
fn without_gas_it_is_pure_water() {
    for t in [0.0, 10.0, 25.0, 40.0] {
        let (pure, none) = (
            pure_water_conductivity_s_m(t).unwrap(),
            carbonic_water_conductivity_s_m(0.0, t).unwrap(),
        );
        assert!((none / pure - 1.0).abs() < 1e-14, "{none} {pure}");
        let airless = aerated_water_conductivity_s_m(t, 0.0).unwrap();
        assert!((airless / pure - 1.0).abs() < 1e-14, "{airless} {pure}");
    }
    assert!((carbonic_water_ph(0.0, 25.0).unwrap() - 6.997).abs() < 1e-3);
}

/// Handbook 3, check 4: mg/L of carbon dioxide dissolved in pure water at 25 °C. The last line is there said to be
/// water at rest with air, of which it's the gas that is left, not all the carbon. There a litre is a kilogram, which
/// makes 0.15 % in conductivity.
#[test]
fn water_with_carbon_dioxide() {
    #[rustfmt::skip]
    let table = [
        (0.6, 5.65, 0.89),
        (2.0, 5.37, 1.69),
        (5.0, 5.16, 2.72),
        (10.0, 5.01, 3.88),
        (0.63, 5.64, 0.91),
    ];
    for (mg_l, expected_ph, expected) in table {
        let gas = mg_l / CARBON_DIOXIDE_G_MOL;
        let ph = carbonic_water_ph(gas, 25.0).unwrap();
        assert!((ph - expected_ph).abs() <= 0.0051, "{mg_l} mg/L: pH {ph}");
        let got = carbonic_water_conductivity_s_m(gas, 25.0).unwrap() / MICROSIEMENS_CM;
        assert!(
            (got - expected).abs() <= 0.0051 + 0.0015 * expected,
            "{mg_l} mg/L: {got} µS/cm"
        );
    }
}

/// Rain over clean land has pH 5.6, distilled water in air about 1 µS/cm: both from memory of water chemistry texts.
#[test]
fn water_at_rest_with_air() {
    let ph = aerated_water_ph(25.0, 420e-6).unwrap();
    assert!((ph - 5.60).abs() < 0.01, "{ph}");
    let got = aerated_water_conductivity_s_m(25.0, 420e-6).unwrap() / MICROSIEMENS_CM;
    assert!((got - 1.0).abs() < 0.03, "{got}");
}

/// Two meters' manuals, through handbook 3, check 3, and a public page.
#[test]
fn meter_scales() {
    use MeterScale::{Natural442, PotassiumChloride, SodiumChloride};
    #[rustfmt::skip]
    let table = [
        (84.0, PotassiumChloride, 40.38), (84.0, SodiumChloride, 38.04), (84.0, Natural442, 50.50),
        (1413.0, PotassiumChloride, 744.7), (1413.0, SodiumChloride, 702.1), (1413.0, Natural442, 1000.0),
        (23.0, PotassiumChloride, 11.6), (23.0, SodiumChloride, 10.7), (23.0, Natural442, 14.74),
        (8974.0, PotassiumChloride, 5101.0), (2764.0, SodiumChloride, 1414.8), (8974.0, Natural442, 7608.0),
        (447.0, PotassiumChloride, 225.6), (447.0, SodiumChloride, 215.5), (447.0, Natural442, 300.0),
        (12_880.0, PotassiumChloride, 7447.0), (12_880.0, SodiumChloride, 7230.0), (12_880.0, Natural442, 11_367.0),
        (0.0, PotassiumChloride, 0.0), (0.0, SodiumChloride, 0.0), (0.0, Natural442, 0.0),
    ];
    for (microsiemens_cm, scale, mg_l) in table {
        let got = 1000.0 * meter_reading_kg_m3(microsiemens_cm * MICROSIEMENS_CM, scale).unwrap();
        assert!(
            (got - mg_l).abs() <= 1e-12 * mg_l,
            "{scale:?} at {microsiemens_cm}: {got}, {mg_l}"
        );
    }
    // Rows of the trade's table that were left out, with how far they lie from its own run.
    for (microsiemens_cm, scale, mg_l, tolerance) in [
        (8974.0, SodiumChloride, 4487.0, 0.11),
        (2070.0, PotassiumChloride, 1045.0, 0.065),
        (1500.0, Natural442, 1050.0, 0.02),
    ] {
        let got = 1000.0 * meter_reading_kg_m3(microsiemens_cm * MICROSIEMENS_CM, scale).unwrap();
        assert!(
            got > mg_l && got < (1.0 + tolerance) * mg_l,
            "{scale:?} at {microsiemens_cm}: {got}, {mg_l}"
        );
    }
}

/// Molar conductivity of potassium chloride at 25 °C, S cm²/mol, from memory of handbooks; 74.551 g/mol.
#[test]
fn potassium_chloride_scale_is_chemistry_but_for_one_row() {
    for (mol_l, molar_conductivity, tolerance) in
        [(0.01, 141.2, 0.003), (0.05, 133.4, 0.006), (0.001, 146.9, 0.045)]
    {
        let conductivity_s_m = 0.1 * mol_l * molar_conductivity;
        let got = meter_reading_kg_m3(conductivity_s_m, MeterScale::PotassiumChloride).unwrap();
        assert!(
            (got / (mol_l * 74.551) - 1.0).abs() < tolerance,
            "{got} at {mol_l}"
        );
    }
}

#[test]
fn estimates() {
    // 0.01 mol/L potassium chloride: 745.5 mg/L at 1413 µS/cm, factor 0.528 (handbook 3, check 3).
    let solids = dissolved_solids_kg_m3(1413.0 * MICROSIEMENS_CM, 5.276).unwrap();
    assert!((solids - 0.7455).abs() < 1e-4, "{solids}");
    assert!((dissolved_solids_kg_m3(0.05, NATURAL_WATER_FACTOR).unwrap() - 0.325).abs() < 1e-15);
    let ionic_strength = ionic_strength_from_conductivity_mol_kg(500.0 * MICROSIEMENS_CM).unwrap();
    assert!((ionic_strength - 500.0 * 1.6e-5).abs() < 1e-15);
}

/// Handbook 1, check 4: 250 mg/L at 25 °C. Sodium chloride 58.443 g/mol, two ions; calcium bicarbonate 162.11, three.
#[test]
fn osmotic_pressure() {
    let engineering = osmotic_pressure_pa(0.25, 25.0).unwrap();
    assert!((engineering - 0.1757e5).abs() < 5.0, "{engineering}");
    let sodium_chloride = van_t_hoff_pressure_pa(2.0 * 250.0 / 58.443, 25.0).unwrap();
    assert!((sodium_chloride - 0.2121e5).abs() < 5.0, "{sodium_chloride}");
    let calcium_bicarbonate = van_t_hoff_pressure_pa(3.0 * 250.0 / 162.11, 25.0).unwrap();
    assert!(
        (calcium_bicarbonate - 0.1147e5).abs() < 5.0,
        "{calcium_bicarbonate}"
    );
    assert_eq!(osmotic_pressure_pa(0.0, 25.0), Ok(0.0));
}

proptest! {
    #[test]
    fn meters_rise_and_stay_in_reason(a in 0.0..=1.288_f64, b in 0.0..=1.288_f64) {
        for scale in [MeterScale::SodiumChloride, MeterScale::PotassiumChloride, MeterScale::Natural442] {
            let (low, high) = (a.min(b), a.max(b));
            let (at_low, at_high) = (meter_reading_kg_m3(low, scale).unwrap(), meter_reading_kg_m3(high, scale).unwrap());
            prop_assert!(at_low <= at_high);
            prop_assert!(at_high >= 4.4 * high && at_high <= 9.0 * high);
        }
    }

    /// More gas, more ions and less pH; warmer water conducts more.
    #[test]
    fn carbonic_water_is_monotone(gas in 0.0..=99.0_f64, t in 0.0..=39.0_f64) {
        let here = carbonic_water_conductivity_s_m(gas, t).unwrap();
        prop_assert!(carbonic_water_conductivity_s_m(gas + 0.1, t).unwrap() > here);
        prop_assert!(carbonic_water_conductivity_s_m(gas, t + 1.0).unwrap() > here);
        prop_assert!(carbonic_water_ph(gas + 0.1, t).unwrap() < carbonic_water_ph(gas, t).unwrap());
        prop_assert!(here >= pure_water_conductivity_s_m(t).unwrap() * (1.0 - 1e-14));
    }

    /// With the gas that is left known, both ways agree.
    #[test]
    fn gas_left_and_all_carbon_agree(t in 0.0..=40.0_f64, partial_pressure in 0.0..=1.0_f64) {
        let left = physics::carbonate::aerated_carbon_dioxide_mol_m3(t, partial_pressure).unwrap();
        let ph = aerated_water_ph(t, partial_pressure).unwrap();
        // Bicarbonate is what hydrogen exceeds hydroxide by.
        let h = libm::exp10(-ph);
        let kw = libm::exp10(physics::carbonate::constants::log_kw(t).unwrap());
        // Henry's law counts a litre as a kilogram, the balance doesn't.
        let all = density_kg_m3(0.0, t).unwrap() * (left / 1000.0 + h - kw / h);
        if (0.0..=100.0).contains(&all) {
            // Two formulas for the density of water, 1e-5 apart.
            prop_assert!((carbonic_water_ph(all, t).unwrap() - ph).abs() < 1e-5);
        }
    }
}

#[test]
fn outside_the_range_is_refused() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 2000.0] {
        assert!(pure_water_conductivity_s_m(bad).is_err());
        assert!(carbonic_water_conductivity_s_m(bad, 25.0).is_err());
        assert!(carbonic_water_conductivity_s_m(0.1, bad).is_err());
        assert!(carbonic_water_ph(bad, 25.0).is_err() && carbonic_water_ph(0.1, bad).is_err());
        assert!(aerated_water_ph(bad, 1e-3).is_err() && aerated_water_conductivity_s_m(25.0, bad).is_err());
        assert!(meter_reading_kg_m3(bad, MeterScale::Natural442).is_err());
        assert!(ionic_strength_from_conductivity_mol_kg(bad).is_err());
        assert!(dissolved_solids_kg_m3(bad, 6.5).is_err() && dissolved_solids_kg_m3(0.1, bad).is_err());
        assert!(osmotic_pressure_pa(bad, 25.0).is_err() && osmotic_pressure_pa(1.0, bad).is_err());
        assert!(van_t_hoff_pressure_pa(bad, 25.0).is_err() && van_t_hoff_pressure_pa(1.0, bad).is_err());
    }
    assert!(meter_reading_kg_m3(METER_CONDUCTIVITY.max, MeterScale::Natural442).is_ok());
}
