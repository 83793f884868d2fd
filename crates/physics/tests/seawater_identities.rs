//! What must hold for sea water without any table: inverses, joins, monotony, refusal, effort.

use physics::OutOfRange;
use physics::seawater as sw;
use proptest::prelude::*;

type Kernel = fn(f64, f64) -> Result<f64, OutOfRange>;

/// Steps of salinity and temperature in a fine sweep: a tenth, and a quarter of a degree.
const FINE: (usize, usize) = (400, 160);

fn grid((salinities, temperatures): (usize, usize), hottest_c: f64) -> impl Iterator<Item = (f64, f64)> {
    (0..=salinities).flat_map(move |i| {
        (0..=temperatures).map(move |j| {
            let share = |k: usize, n: usize| k as f64 / n as f64;
            (
                42.0 * share(i, salinities),
                -2.0 + (hottest_c + 2.0) * share(j, temperatures),
            )
        })
    })
}

/// By definition: conductivity ratio 1 is salinity 35 at every temperature, and 4.2914 S/m at 15 °C on IPTS-68.
#[test]
fn standard_sea_water_is_35() {
    let at_15 = sw::conductivity_s_m(35.0, 15.0 / 1.00024).unwrap();
    assert!((at_15 - 4.2914).abs() < 1e-7, "{at_15}");
    // The coefficients add up to 35 and to 0 by themselves; their last digits leave 1e-7.
    assert!((sw::practical_salinity(4.2914, 15.0 / 1.00024).unwrap() - 35.0).abs() < 1e-6);
}

/// Newton's effort is part of the contract: more steps would mean a worse start.
#[test]
fn conductivity_takes_few_steps() {
    let (mut proper, mut extended) = (0, 0);
    for (s, t) in grid(FINE, 40.0) {
        let (_, steps) = sw::conductivity_with_effort(s, t).unwrap();
        let most = if s >= 2.0 { &mut proper } else { &mut extended };
        *most = steps.max(*most);
    }
    for tiny in 1..=100 {
        for t in [-2.0, 10.0, 25.0, 40.0] {
            let s = 1e-9 * libm::pow(10.0, 0.09 * f64::from(tiny));
            extended = sw::conductivity_with_effort(s, t).unwrap().1.max(extended);
        }
    }
    assert_eq!((proper, extended), (2, 4));
}

/// The extension meets the scale at salinity 2, in both directions.
#[test]
fn the_extension_joins_the_scale() {
    for t in [-2.0, 0.0, 10.0, 25.0, 35.0, 40.0] {
        let below = sw::conductivity_s_m(2.0 - 1e-9, t).unwrap();
        let above = sw::conductivity_s_m(2.0 + 1e-9, t).unwrap();
        assert!(below < above && above - below < 1e-8, "{t} C: {below} {above}");
        let salinity = |c: f64| sw::practical_salinity(c, t).unwrap();
        assert!((salinity(above) - salinity(below) - 2e-9).abs() < 1e-10, "{t} C");
    }
}

/// What is purer than the scale resolves is fresh; nothing below nothing, nothing above the end.
#[test]
fn the_ends_of_the_conductivity_scale() {
    for t in [-2.0, 15.0, 25.0, 40.0] {
        for c in [0.0, 1e-7, 5e-6, 1e-5, 5e-5] {
            assert_eq!(sw::practical_salinity(c, t), Ok(0.0), "{c} S/m at {t} C");
        }
        assert_eq!(sw::conductivity_s_m(0.0, t), Ok(0.0));
        let refusal = sw::practical_salinity(-1e-9, t).unwrap_err();
        assert_eq!(refusal.range.min, 0.0);
        let end = sw::conductivity_s_m(42.0, t).unwrap();
        assert!((sw::practical_salinity(end, t).unwrap() - 42.0).abs() < 1e-12);
        let refusal = sw::practical_salinity(end * (1.0 + 1e-12), t).unwrap_err();
        assert_eq!(refusal.range.max, end);
        assert!(sw::practical_salinity(f64::NAN, t).is_err());
    }
}

/// Each property grows, or falls, with salinity over the whole range: what their inverses rest on.
#[test]
fn properties_are_monotonic_in_salinity() {
    let rising: [(&str, f64, Kernel); 4] = [
        ("density", 40.0, sw::density_kg_m3),
        ("conductivity", 40.0, sw::conductivity_s_m),
        ("refractive index", 35.0, sw::refractive_index),
        ("viscosity", 40.0, sw::viscosity_pa_s),
    ];
    for (name, hottest_c, kernel) in rising {
        for (s, t) in grid((100, 40), hottest_c).filter(|&(s, _)| s < 42.0) {
            assert!(
                kernel(s, t).unwrap() < kernel(s + 0.4, t).unwrap(),
                "{name} at {s}, {t}"
            );
        }
    }
    for (s, t) in grid((100, 40), 40.0).filter(|&(s, _)| s < 41.5) {
        let falls = sw::heat_capacity_j_kg_k(s, t).unwrap() > sw::heat_capacity_j_kg_k(s + 0.4, t).unwrap();
        assert!(falls, "heat capacity at {s}, {t}");
    }
}

/// Pure water is densest at 3.98 °C (common knowledge, no source; the polynomial is good to 0.03 °C there).
#[test]
fn fresh_water_is_densest_at_four_degrees() {
    let densest = (0..=1000)
        .map(|i| 0.01 * f64::from(i))
        .max_by(|a, b| {
            let density = |t: f64| sw::pure_water_density_kg_m3(t).unwrap();
            density(*a).total_cmp(&density(*b))
        })
        .unwrap();
    assert!((densest - 3.98).abs() < 0.1, "{densest}");
}

/// The reference composition of the literature, recalled: five sums that hold it together.
#[test]
fn composition_is_complete() {
    let ions = sw::major_ions();
    let mass: f64 = ions.iter().map(|ion| ion.mass_fraction).sum();
    let moles = |ion: &sw::MajorIon| ion.mass_fraction / ion.molar_mass_kg_mol;
    let amount: f64 = ions.iter().map(moles).sum();
    let charge: f64 = ions.iter().map(|ion| f64::from(ion.charge) * moles(ion)).sum();
    let squared: f64 = ions
        .iter()
        .map(|ion| f64::from(ion.charge * ion.charge) * moles(ion))
        .sum();
    let alkalinity = sw::reference_contents(35.0).unwrap().alkalinity_mol_kg;
    #[rustfmt::skip]
    let sums = [
        ("mass fractions", mass, 1.0, 1e-12, "definition", "seven decimals that were made to add up"),
        ("charge over amount", charge / amount, 0.0, 2e-6, "electroneutrality", "fifteen fractions rounded to 1e-7"),
        ("mean molar mass, g/mol", 1e3 / amount, 31.403_821_8, 2e-5, "TEOS-10", "fractions rounded to 1e-7"),
        ("mean squared charge", squared / amount, 1.245_289_8, 2e-6, "TEOS-10", "fractions rounded to 1e-7"),
        ("alkalinity at 35, mol/kg", alkalinity, sw::REFERENCE_ALKALINITY_MOL_KG, 5e-6, "Millero et al. 2008", "half a unit of the last digit"),
    ];
    for (what, got, expected, tolerance, source, why_tolerance) in sums {
        assert!(
            (got - expected).abs() <= tolerance,
            "{what}: {got}, {expected} after {source}, allowed {tolerance:e} ({why_tolerance})"
        );
    }
}

/// Contents of sea water of salinity 35. Source: TEOS-10 table D.3 through public code.
#[test]
fn contents_at_35() {
    #[rustfmt::skip]
    let table = [
        ("Cl-", 19.3527, 545.87), ("Na+", 10.7815, 468.97), ("SO4 2-", 2.7124, 28.235), ("Mg2+", 1.2837, 52.817),
        ("Ca2+", 0.4121, 10.282), ("K+", 0.3991, 10.208), ("Br-", 0.0673, 0.842), ("Sr2+", 0.00795, 0.0907),
    ];
    for (name, g_kg, mmol_kg) in table {
        let ion = sw::major_ions().into_iter().find(|ion| ion.name == name).unwrap();
        // A unit of the last printed digit.
        assert!((ion.content_g_kg(35.0).unwrap() - g_kg).abs() < 1e-4, "{name}");
        assert!(
            (ion.content_mol_kg(35.0).unwrap() * 1e3 / mmol_kg - 1.0).abs() < 5e-4,
            "{name}"
        );
    }
    assert!(sw::reference_contents(42.1).is_err());
}

proptest! {
    #[test]
    fn every_scale_is_its_own_inverse(s in 0.0_f64..=42.0, t in -2.0_f64..=35.0) {
        let conductivity = sw::conductivity_s_m(s, t).unwrap();
        prop_assert!((sw::practical_salinity(conductivity, t).unwrap() - s).abs() < 1e-11);
        let density = sw::density_kg_m3(s, t).unwrap();
        prop_assert!((sw::practical_salinity_from_density(density, t).unwrap() - s).abs() < 1e-11);
        let index = sw::refractive_index(s, t).unwrap();
        prop_assert!((sw::practical_salinity_from_refractive_index(index, t).unwrap() - s).abs() < 1e-10);
        let absolute = sw::absolute_salinity_g_kg(s);
        prop_assert!((sw::practical_salinity_from_absolute(absolute) - s).abs() < 1e-13);
        for reference in sw::SpecificGravityReference::ALL {
            let ratio = sw::specific_gravity(s, t, reference).unwrap();
            let back = sw::practical_salinity_from_specific_gravity(ratio, t, reference).unwrap();
            prop_assert!((back - s).abs() < 1e-11, "{} {s} {back}", reference.name());
        }
    }

    #[test]
    fn the_ends_are_their_own_inverse(end in prop_oneof![Just(0.0_f64), Just(42.0)], t in -2.0_f64..=35.0) {
        let conductivity = sw::conductivity_s_m(end, t).unwrap();
        prop_assert!((sw::practical_salinity(conductivity, t).unwrap() - end).abs() < 1e-11);
        let density = sw::density_kg_m3(end, t).unwrap();
        prop_assert!((sw::practical_salinity_from_density(density, t).unwrap() - end).abs() < 1e-11);
        let index = sw::refractive_index(end, t).unwrap();
        prop_assert!((sw::practical_salinity_from_refractive_index(index, t).unwrap() - end).abs() < 1e-10);
        for reference in sw::SpecificGravityReference::ALL {
            let ratio = sw::specific_gravity(end, t, reference).unwrap();
            let back = sw::practical_salinity_from_specific_gravity(ratio, t, reference).unwrap();
            prop_assert!((back - end).abs() < 1e-11);
        }
    }

    #[test]
    fn nothing_outside_the_range_is_answered(s in proptest::num::f64::ANY, t in proptest::num::f64::ANY) {
        let kernels: [Kernel; 8] = [
            sw::density_kg_m3, sw::conductivity_s_m, sw::practical_salinity, sw::refractive_index,
            sw::viscosity_pa_s, sw::heat_capacity_j_kg_k, sw::practical_salinity_from_density,
            sw::practical_salinity_from_refractive_index,
        ];
        for kernel in kernels {
            if let Ok(value) = kernel(s, t) {
                prop_assert!(value.is_finite() && (-2.0..=40.0).contains(&t));
            }
        }
    }
}
