//! Solutions of sodium chloride against tables, and the check solutions made from them.

use crate::seawater_support;

use physics::seawater as sw;
use physics::seawater::{CheckedBy, check_solution};
use seawater_support::Tally;

/// Mass percent, density in g/cm³ and refractive index at 20 °C.
///
/// Source: CRC Handbook of Chemistry and Physics, concentrative properties of aqueous solutions (after Wolf 1966),
/// through public code that transcribes it.
#[rustfmt::skip]
const CONCENTRATIVE_PROPERTIES: &[(f64, f64, f64)] = &[
    (0.1, 0.9989, 1.3332), (0.2, 0.9997, 1.3333), (0.3, 1.0004, 1.3335), (0.4, 1.0011, 1.3337), (0.5, 1.0018, 1.3339),
    (1.0, 1.0053, 1.3347), (1.5, 1.0089, 1.3356), (2.0, 1.0125, 1.3365), (2.5, 1.0160, 1.3374), (3.0, 1.0196, 1.3383),
    (3.5, 1.0232, 1.3391), (4.0, 1.0268, 1.3400), (4.5, 1.0304, 1.3409), (5.0, 1.0340, 1.3418), (6.0, 1.0413, 1.3435),
];

/// Temperature, and specific volume in cm³/g at 0.1, 0.25, 0.5, 0.75 and 1 mol per kg of water, at 1 bar.
///
/// Source: Rogers & Pitzer (1982), through a public copy of a table in the CRC Handbook.
#[rustfmt::skip]
const SPECIFIC_VOLUMES: &[(f64, [f64; 5])] = &[
    (0.0, [0.995732, 0.989259, 0.978889, 0.968991, 0.959525]),
    (10.0, [0.995998, 0.989781, 0.979804, 0.970256, 0.961101]),
    (20.0, [0.997620, 0.991564, 0.981833, 0.972505, 0.963544]),
    (25.0, [0.998834, 0.992832, 0.983185, 0.973932, 0.965038]),
    (30.0, [1.000279, 0.994319, 0.984735, 0.975539, 0.966694]),
    (40.0, [1.003796, 0.997883, 0.988374, 0.979243, 0.970455]),
];
const MOLALITIES: [f64; 5] = [0.1, 0.25, 0.5, 0.75, 1.0];

#[test]
fn density_and_refractive_index_meet_their_tables() {
    let mut density = Tally::new("density of sodium chloride solutions at 20 C");
    let mut index = Tally::new("their refractive index");
    for &(percent, g_cm3, n) in CONCENTRATIVE_PROPERTIES {
        let place = &format!("{percent} %");
        density.meet(
            sw::sodium_chloride_density_kg_m3(10.0 * percent, 20.0).unwrap() - 1e3 * g_cm3,
            place,
        );
        index.meet(
            sw::sodium_chloride_refractive_index(10.0 * percent, 20.0).unwrap() - n,
            place,
        );
    }
    density.within(15, 0.1, "printed to 0.1 kg/m3; the fit was made to another table");
    index.within(15, 6e-5, "printed to 1e-4; half a unit, and the fit's smoothing");

    let mut density = Tally::new("density of sodium chloride solutions");
    for &(t, volumes) in SPECIFIC_VOLUMES {
        for (molality, cm3_g) in MOLALITIES.into_iter().zip(volumes) {
            let salt = molality * sw::SODIUM_CHLORIDE_MOLAR_MASS_G_MOL;
            let got = sw::sodium_chloride_density_kg_m3(salt / (1.0 + 1e-3 * salt), t).unwrap();
            density.meet(got - 1e3 / cm3_g, &format!("{molality} mol/kg, {t} C"));
        }
    }
    density.within(30, 0.05, "six coefficients for thirty values");
}

#[test]
fn conductivity_meets_its_tables() {
    const AT_25: &str = "molar conductivity at 25 C, in a schoolbook's table in public text";
    const RECALLED: &str = "molar conductivity at 25 C, from memory";
    const AT_20: &str = "CRC Handbook, conductivity at 20 C, from memory";
    const MEASURED: &str = "0.15 % was the worst of the fit, besides a unit of the last digit";
    const ROUNDED: &str = "printed to 0.1 mS/cm, which is half to one percent";
    // Grams per kilogram of a solution of so many mol/L.
    let g_kg = |mol_l: f64, t: f64| {
        let grams_m3 = 1e3 * mol_l * sw::SODIUM_CHLORIDE_MOLAR_MASS_G_MOL;
        let mut w = grams_m3 / 1e3;
        for _ in 0..20 {
            w = grams_m3 / sw::sodium_chloride_density_kg_m3(w, t).unwrap();
        }
        w
    };
    #[rustfmt::skip]
    let table = [
        (g_kg(0.01, 25.0), 25.0, 0.1185, 2e-3, AT_25, MEASURED),
        (g_kg(0.02, 25.0), 25.0, 0.2315, 2e-3, AT_25, MEASURED),
        (g_kg(0.05, 25.0), 25.0, 0.5553, 2e-3, AT_25, MEASURED),
        (g_kg(0.1, 25.0), 25.0, 1.0674, 2e-3, AT_25, MEASURED),
        (g_kg(0.5, 25.0), 25.0, 4.681, 2e-3, RECALLED, MEASURED),
        (g_kg(1.0, 25.0), 25.0, 8.576, 2e-3, RECALLED, MEASURED),
        (5.0, 20.0, 0.82, 0.013, AT_20, ROUNDED),
        (10.0, 20.0, 1.60, 0.01, AT_20, ROUNDED),
        (20.0, 20.0, 3.02, 0.01, AT_20, ROUNDED),
        (50.0, 20.0, 7.01, 0.01, AT_20, ROUNDED),
    ];
    for (w, t, expected, tolerance, source, why_tolerance) in table {
        let got = sw::sodium_chloride_conductivity_s_m(w, t).unwrap();
        assert!(
            (got / expected - 1.0).abs() <= tolerance,
            "{w} g/kg at {t} C: {got}, {expected} after {source}, allowed {tolerance} ({why_tolerance})"
        );
    }
    assert_eq!(sw::sodium_chloride_conductivity_s_m(0.0, 25.0), Ok(0.0));
}

/// From 15 to 30 °C sodium chloride and sea salt conduct alike with temperature: what makes one solution serve.
#[test]
fn salt_and_sea_water_have_the_same_temperature_coefficient() {
    for t in 15..=30 {
        let t = f64::from(t);
        let of = |kernel: fn(f64, f64) -> Result<f64, physics::OutOfRange>, x: f64| {
            kernel(x, t).unwrap() / kernel(x, 25.0).unwrap()
        };
        let (salt, sea) = (
            of(sw::sodium_chloride_conductivity_s_m, 33.0),
            of(sw::conductivity_s_m, 35.0),
        );
        assert!((salt / sea - 1.0).abs() < 0.002, "{t} C: {salt} {sea}");
    }
}

/// The recipes for salinity 35, and that each gives what it imitates.
#[test]
fn check_solutions_for_35() {
    const TRADE: &str = "trade recipe in public text";
    #[rustfmt::skip]
    let table = [
        (CheckedBy::RefractiveIndex, 36.5, 0.4, TRADE, "within the doubt told"),
        (CheckedBy::Conductivity, 33.0, 0.3, "interpolated between 0.5 and 1 mol/L, from memory", "within the doubt told"),
        (CheckedBy::Density, 37.1, 0.3, "own interpolation in Rogers & Pitzer", "within the doubt told"),
    ];
    for (by, expected, tolerance, source, why_tolerance) in table {
        let solution = check_solution(by, 35.0).unwrap();
        let got = solution.sodium_chloride_g_kg;
        assert!(
            (got - expected).abs() <= tolerance,
            "{by:?}: {got}, {expected} after {source}, allowed {tolerance} ({why_tolerance})"
        );
        assert!(
            (0.15..0.5).contains(&solution.standard_uncertainty_g_kg),
            "{solution:?}"
        );
        assert!(
            (0.15..0.5).contains(&solution.standard_uncertainty_practical_salinity),
            "{solution:?}"
        );
    }
}

#[test]
fn check_solutions_read_as_sea_water() {
    for s in 20..=40 {
        let s = f64::from(s);
        let made = |by| check_solution(by, s).unwrap().sodium_chloride_g_kg;
        let index = sw::sodium_chloride_refractive_index(made(CheckedBy::RefractiveIndex), 20.0).unwrap();
        assert!(
            (sw::practical_salinity_from_refractive_index(index, 20.0).unwrap() - s).abs() < 1e-4,
            "{s}"
        );
        let conductivity = sw::sodium_chloride_conductivity_s_m(made(CheckedBy::Conductivity), 25.0).unwrap();
        assert!(
            (sw::practical_salinity(conductivity, 25.0).unwrap() - s).abs() < 1e-4,
            "{s}"
        );
        let density = sw::sodium_chloride_density_kg_m3(made(CheckedBy::Density), 25.0).unwrap();
        assert!(
            (sw::practical_salinity_from_density(density, 25.0).unwrap() - s).abs() < 1e-4,
            "{s}"
        );
        let solution = check_solution(CheckedBy::Conductivity, s).unwrap();
        let whole = 1e3 + solution.sodium_chloride_g_per_kg_water;
        let share = 1e3 * solution.sodium_chloride_g_per_kg_water / whole;
        assert!((share - solution.sodium_chloride_g_kg).abs() < 1e-9);
    }
}

#[test]
fn nothing_outside_is_answered() {
    assert!(check_solution(CheckedBy::Density, 19.9).is_err());
    assert!(check_solution(CheckedBy::Density, 40.1).is_err());
    assert!(check_solution(CheckedBy::Density, f64::NAN).is_err());
    assert!(sw::sodium_chloride_density_kg_m3(60.1, 20.0).is_err());
    assert!(sw::sodium_chloride_density_kg_m3(35.0, 40.1).is_err());
    assert!(sw::sodium_chloride_refractive_index(35.0, 14.9).is_err());
    assert!(sw::sodium_chloride_conductivity_s_m(-0.1, 25.0).is_err());
    assert!(sw::sodium_chloride_conductivity_s_m(35.0, 30.1).is_err());
}
