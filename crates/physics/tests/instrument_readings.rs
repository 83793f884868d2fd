//! What instruments read: values computed elsewhere, the way back, and refusals.

use physics::OutOfRange;
use physics::instrument::{
    ConductivityMeter, DensityMeter, Hydrometer, HydrometerScale, Refractometer, RefractometerScale,
    TemperatureCompensation,
};
use physics::seawater as sw;
use proptest::prelude::*;

const SCALES: [HydrometerScale; 5] = [
    HydrometerScale::SIXTY_FAHRENHEIT,
    HydrometerScale::TWENTY_CELSIUS,
    HydrometerScale::TWENTY_FIVE_CELSIUS,
    HydrometerScale::TWENTY_TO_FOUR_CELSIUS,
    HydrometerScale::DENSITY_TWENTY_CELSIUS,
];

const SEA_SCALE: Refractometer = Refractometer {
    scale: RefractometerScale::SeaWater,
    compensation: TemperatureCompensation::None,
};
const SEA_SCALE_COMPENSATED: Refractometer = Refractometer {
    compensation: TemperatureCompensation::Automatic,
    ..SEA_SCALE
};
const SALT_SCALE: Refractometer = Refractometer {
    scale: RefractometerScale::SodiumChloride,
    ..SEA_SCALE
};
const SALT_SCALE_COMPENSATED: Refractometer = Refractometer {
    compensation: TemperatureCompensation::Automatic,
    ..SALT_SCALE
};

/// Source: computed with the TEOS-10 toolbox and the expansion of glass by convention (ISO 1768:1975).
#[test]
fn hydrometers_read_as_computed_elsewhere() {
    const DIGIT: &str = "half a unit of the last digit";
    #[rustfmt::skip]
    let table = [
        (HydrometerScale::SIXTY_FAHRENHEIT, 1.02459, 5e-6, DIGIT),
        (HydrometerScale::TWENTY_CELSIUS, 1.02531, 5e-6, DIGIT),
        (HydrometerScale::TWENTY_TO_FOUR_CELSIUS, 1.02350, 5e-6, DIGIT),
        (HydrometerScale::DENSITY_TWENTY_CELSIUS, 1023.471, 5e-4, "by hand: 1023.343 times 1.000125"),
    ];
    for (scale, expected, tolerance, why_tolerance) in table {
        let hydrometer = Hydrometer::glass(scale).unwrap();
        let got = hydrometer.reading(35.0, 25.0).unwrap();
        assert!(
            (got - expected).abs() <= tolerance,
            "{scale:?}: {got}, not {expected}, allowed {tolerance} ({why_tolerance})"
        );
        assert!((hydrometer.practical_salinity(got, 25.0).unwrap() - 35.0).abs() < 1e-9);
    }
    // Taking 1.0264 for right on the wrong scale, in water of 25 °C.
    let naive = Hydrometer::glass(HydrometerScale::SIXTY_FAHRENHEIT).unwrap();
    assert!((naive.practical_salinity(1.0264, 25.0).unwrap() - 37.4).abs() < 0.05);
}

/// At its own temperature a hydrometer shows the specific gravity of that name.
#[test]
fn hydrometers_are_right_at_their_own_temperature() {
    for (scale, reference, t) in [
        (
            HydrometerScale::SIXTY_FAHRENHEIT,
            sw::SpecificGravityReference::Both60F,
            140.0 / 9.0,
        ),
        (
            HydrometerScale::TWENTY_CELSIUS,
            sw::SpecificGravityReference::Both20C,
            20.0,
        ),
        (
            HydrometerScale::TWENTY_FIVE_CELSIUS,
            sw::SpecificGravityReference::Both25C,
            25.0,
        ),
        (
            HydrometerScale::TWENTY_TO_FOUR_CELSIUS,
            sw::SpecificGravityReference::SampleTo4C,
            20.0,
        ),
    ] {
        let hydrometer = Hydrometer::glass(scale).unwrap();
        for s in 0..=42 {
            let s = f64::from(s);
            let shown = hydrometer.reading(s, t).unwrap();
            assert!((shown - sw::specific_gravity(s, t, reference).unwrap()).abs() < 1e-14);
            assert!((hydrometer.practical_salinity_unasked(shown).unwrap() - s).abs() < 1e-10);
        }
    }
}

#[test]
fn refractometers_read_as_computed_elsewhere() {
    #[rustfmt::skip]
    let table = [
        (SEA_SCALE, 35.0, 20.0, 35.0, 1e-9, "the scale is right at 20 C", "definition"),
        (SEA_SCALE, 35.0, 25.0, 32.0, 0.05, "-1.02e-4 over 1.829e-4 for each C", "the coefficients' last digits"),
        (SEA_SCALE, 35.0, 21.0, 34.44, 0.03, "-0.56 for the first C", "the slope is rounded, and grows"),
        (SEA_SCALE_COMPENSATED, 35.0, 28.0, 35.0, 1e-9, "compensation", "definition"),
        (SALT_SCALE, 35.0, 20.0, 36.5, 0.3, "trade recipe in public text, and a value from memory", "the doubt of the scale"),
        (SALT_SCALE_COMPENSATED, 35.0, 28.0, 36.5, 0.3, "trade recipe in public text", "the doubt of the scale"),
        (SEA_SCALE, 0.0, 30.0, -6.0, 0.3, "water at 30 C is 1.3319, from memory", "half a unit of the last digit is 0.27"),
    ];
    for (instrument, s, t, expected, tolerance, source, why_tolerance) in table {
        let got = instrument.reading(s, t).unwrap();
        assert!(
            (got - expected).abs() <= tolerance,
            "{instrument:?}, {s} at {t} C: {got}, {expected} after {source}, allowed {tolerance} ({why_tolerance})"
        );
    }
    // A check solution made for a refractometer reads on the scale of salt as what was weighed.
    let made = sw::check_solution(sw::CheckedBy::RefractiveIndex, 35.0).unwrap();
    assert!((SALT_SCALE.reading(35.0, 20.0).unwrap() - made.sodium_chloride_g_kg).abs() < 1e-4);
}

/// Source: conductivities by the TEOS-10 toolbox at 15, 20, 25 and 30 °C.
#[test]
fn conductivity_meters_are_right_at_25_only() {
    #[rustfmt::skip]
    let table = [
        (0.02, 15.0, 0.808_681_1 / 0.80 - 1.0),
        (0.02, 20.0, 0.902_903_9 / 0.90 - 1.0),
        (0.019, 20.0, 0.902_903_9 / 0.905 - 1.0),
        (0.021, 20.0, 0.902_903_9 / 0.895 - 1.0),
        (0.02, 25.0, 0.0),
        (0.02, 30.0, 1.099_601_1 / 1.10 - 1.0),
    ];
    for (coefficient, t, expected) in table {
        let got = ConductivityMeter::new(coefficient)
            .unwrap()
            .error_share(35.0, t)
            .unwrap();
        // The ratios are printed to 1e-7.
        assert!(
            (got - expected).abs() < 2e-7,
            "{coefficient} at {t} C: {got}, not {expected}"
        );
    }
    let plain = ConductivityMeter::UNCOMPENSATED.reading_s_m(35.0, 20.0).unwrap();
    assert_eq!(Ok(plain), sw::conductivity_s_m(35.0, 20.0));
}

#[test]
fn what_cannot_be_is_refused() {
    assert!(ConductivityMeter::new(0.031).is_err());
    assert!(ConductivityMeter::new(f64::NAN).is_err());
    assert!(Hydrometer::glass(HydrometerScale::Density { reference_c: 41.0 }).is_err());
    assert!(
        Hydrometer::glass(HydrometerScale::SpecificGravity {
            sample_c: f64::NAN,
            water_c: 4.0
        })
        .is_err()
    );
    assert!(Hydrometer::new(HydrometerScale::TWENTY_CELSIUS, -1e-6).is_err());
    assert!(SEA_SCALE_COMPENSATED.reading(35.0, 9.9).is_err());
    assert!(SEA_SCALE.practical_salinity(60.0, 20.0).is_err());
    let cell = DensityMeter::Thermostatted { cell_c: 41.0 };
    assert!(cell.reading_kg_m3(35.0, 25.0).is_err());
    assert!(cell.practical_salinity(1023.0, 25.0).is_err());

    // The refusal speaks of the reading, in its own unit.
    let refusal = Hydrometer::glass(HydrometerScale::TWENTY_CELSIUS)
        .unwrap()
        .practical_salinity(1.2, 25.0)
        .unwrap_err();
    assert!(refusal.range.max > 1.02 && refusal.range.max < 1.04, "{refusal}");
    let refusal = ConductivityMeter::new(0.02)
        .unwrap()
        .practical_salinity(20.0, 20.0)
        .unwrap_err();
    assert!(refusal.range.max > 6.0 && refusal.range.max < 7.0, "{refusal}");
}

type ForwardAndBack = (
    Result<f64, OutOfRange>,
    Box<dyn Fn(f64) -> Result<f64, OutOfRange>>,
);

fn every_instrument(s: f64, t: f64) -> Vec<ForwardAndBack> {
    let mut all: Vec<ForwardAndBack> = Vec::new();
    for scale in SCALES {
        let hydrometer = Hydrometer::glass(scale).expect("the usual scales lie in the range");
        all.push((
            hydrometer.reading(s, t),
            Box::new(move |x| hydrometer.practical_salinity(x, t)),
        ));
    }
    for instrument in [
        SEA_SCALE,
        SEA_SCALE_COMPENSATED,
        SALT_SCALE,
        SALT_SCALE_COMPENSATED,
    ] {
        all.push((
            instrument.reading(s, t),
            Box::new(move |x| instrument.practical_salinity(x, t)),
        ));
    }
    for coefficient in [0.0, 0.019, 0.02, 0.021, 0.03] {
        let meter = ConductivityMeter::new(coefficient).expect("coefficients in the range");
        all.push((
            meter.reading_s_m(s, t),
            Box::new(move |x| meter.practical_salinity(x, t)),
        ));
    }
    for meter in [DensityMeter::AsItIs, DensityMeter::Thermostatted { cell_c: 20.0 }] {
        all.push((
            meter.reading_kg_m3(s, t),
            Box::new(move |x| meter.practical_salinity(x, t)),
        ));
    }
    all
}

proptest! {
    #[test]
    fn each_reading_means_the_salinity_it_came_from(
        s in prop_oneof![8 => 0.0_f64..=42.0, 1 => Just(0.0), 1 => Just(42.0)],
        t in 10.0_f64..=30.0,
    ) {
        for (number, (reading, back)) in every_instrument(s, t).into_iter().enumerate() {
            let found = back(reading.unwrap()).unwrap();
            prop_assert!((found - s).abs() < 1e-9, "instrument {number}: {s} came back as {found} at {t} C");
        }
    }

    #[test]
    fn no_instrument_answers_nonsense(s in proptest::num::f64::ANY, t in proptest::num::f64::ANY) {
        for (reading, back) in every_instrument(s, t) {
            if let Ok(reading) = reading {
                prop_assert!(reading.is_finite() && (0.0..=42.0).contains(&s) && (-2.0..=40.0).contains(&t));
            }
            if let Ok(found) = back(s) {
                prop_assert!((0.0..=42.0).contains(&found) && (-2.0..=40.0).contains(&t));
            }
        }
    }
}
