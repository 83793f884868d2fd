//! Sea water against the reference tables in `validation/`, whole tables at a time.

use crate::seawater_support;

use physics::seawater as sw;
use physics::seawater::SpecificGravityReference::{Both20C, Both25C, Both60F, SampleTo4C};
use seawater_support::Tally;
use std::collections::BTreeMap;

/// A row of a table, by column.
struct Row(BTreeMap<String, String>);

impl Row {
    /// The text of a column.
    fn text(&self, column: &str) -> &str {
        &self.0[column]
    }

    /// The number in a column.
    fn number(&self, column: &str) -> f64 {
        self.0[column].parse().expect("the column holds numbers")
    }
}

/// The rows of a table in `validation/`.
fn rows(name: &str) -> Vec<Row> {
    let path = format!("{}/../../validation/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table is part of the repository");
    let header = reader.headers().expect("the table has a header").clone();
    reader
        .records()
        .map(|row| {
            let row = row.expect("the table is well formed");
            Row(header
                .iter()
                .map(str::to_owned)
                .zip(row.iter().map(str::to_owned))
                .collect())
        })
        .collect()
}

/// Rows of `seawater.csv` that lie inside the range of the kernels, and those below salinity 2.
const INSIDE: usize = 380;
const BELOW_TWO: usize = 80;

/// Source: validation/seawater.csv, TEOS-10 toolbox 3.6.23 (its header names the papers).
#[test]
fn sea_water_table() {
    let mut sr = Tally::new("absolute salinity");
    let mut rho = Tally::new("density");
    let mut exact = Tally::new("density against the full Gibbs function");
    let mut cp = Tally::new("heat capacity");
    let mut air = Tally::new("freezing point");
    let mut free = Tally::new("freezing point, air-free");
    let mut c = Tally::new("conductivity");
    let mut c_low = Tally::new("conductivity below SP 2");
    let mut back = Tally::new("practical salinity");
    let mut sg = Tally::new("specific gravity");
    let mut refused = 0;
    for row in rows("seawater.csv") {
        let of = |key: &str| row.number(key);
        let (s, t) = (of("SP"), of("t_C"));
        let place = &format!("SP {s}, {t} C");
        if s > 42.0 {
            // The table goes on to 45, where neither PSS-78 nor the polynomial is stated.
            assert!(
                sw::density_kg_m3(s, t).is_err(),
                "outside the range is refused: {place}"
            );
            assert!(
                sw::conductivity_s_m(s, t).is_err(),
                "outside the range is refused: {place}"
            );
            assert!(
                sw::practical_salinity(of("C_mS_cm") / 10.0, t).is_err(),
                "so is what it gives: {place}"
            );
            refused += 1;
            continue;
        }
        sr.meet(sw::absolute_salinity_g_kg(s) / of("SR_g_kg") - 1.0, place);
        let density_kg_m3 = sw::density_kg_m3(s, t).unwrap();
        rho.meet(density_kg_m3 / of("rho_kg_m3") - 1.0, place);
        exact.meet(density_kg_m3 - of("rho_exact_kg_m3"), place);
        cp.meet(
            sw::heat_capacity_j_kg_k(s, t).unwrap() / of("cp_J_kgK") - 1.0,
            place,
        );
        air.meet(sw::freezing_point_c(s).unwrap() - of("t_freeze_airsat_C"), place);
        free.meet(
            sw::freezing_point_air_free_c(s).unwrap() - of("t_freeze_airfree_C"),
            place,
        );
        for (conductivity_s_m, t) in [(of("C_mS_cm") / 10.0, t), (of("C25_mS_cm") / 10.0, 25.0)] {
            let error = sw::conductivity_s_m(s, t).unwrap() / conductivity_s_m - 1.0;
            if s >= 2.0 { &mut c } else { &mut c_low }.meet(error, place);
            back.meet(sw::practical_salinity(conductivity_s_m, t).unwrap() - s, place);
        }
        for (key, reference) in [
            ("sg_t_4", SampleTo4C),
            ("sg_25_25", Both25C),
            ("sg_20_20", Both20C),
            ("sg_60F_60F", Both60F),
        ] {
            sg.meet(sw::specific_gravity(s, t, reference).unwrap() - of(key), place);
        }
    }
    assert_eq!(refused, 20);
    sr.within(INSIDE, 1e-14, "the same two numbers");
    rho.within(INSIDE, 1e-14, "the same polynomial; rounding of 60 terms");
    exact.within(INSIDE, 2e-3, "stated by the table: the polynomial's own fit");
    cp.within(INSIDE, 1e-13, "the same Gibbs function; rounding");
    air.within(
        INSIDE,
        3e-4,
        "fit of the polynomial against the exact function; 1.4e-4 measured",
    );
    free.within(
        INSIDE,
        3e-4,
        "fit of the polynomial against the exact function; 1.4e-4 measured",
    );
    c.within(
        2 * (INSIDE - BELOW_TWO),
        1e-11,
        "the same polynomials; the table itself is good to 1e-11",
    );
    c_low.within(2 * BELOW_TWO, 1e-11, "the same extension solved to convergence");
    back.within(
        2 * INSIDE,
        1e-11,
        "closed form; below SP 2 joined by one Newton step",
    );
    sg.within(4 * INSIDE, 1e-14, "ratio of two densities");
}

/// Source: UNESCO 44 (Fofonoff & Millard 1983) through validation/pss78_unesco.csv.
#[test]
fn published_pss78_and_eos80_values() {
    let mut published_salinity = Tally::new("salinity, printed in UNESCO 44");
    let mut published_density = Tally::new("density, printed in UNESCO 44");
    let mut salinity = Tally::new("salinity, computed");
    let mut ratio = Tally::new("conductivity ratio, computed");
    let mut density = Tally::new("density against EOS-80");
    let mut density_teos = Tally::new("density against TEOS-10");
    let (mut deep, mut beyond) = (0, 0);
    for row in rows("pss78_unesco.csv") {
        let of = |key: &str| row.number(key);
        let (arg, t, quantity) = (of("arg"), of("t90_C"), row.text("quantity"));
        let published = row.text("kind") == "published";
        let place = &format!("{quantity} {arg} at {t} C");
        if of("p_dbar") > 0.0 {
            // No pressure terms are coded: the station stands at the surface.
            deep += 1;
            continue;
        }
        match quantity {
            "S_from_R" if of("teos10_value") > 42.0 => {
                assert!(sw::practical_salinity(arg * 4.2914, t).is_err(), "{place}");
                beyond += 1;
            }
            "S_from_R" => {
                let got = sw::practical_salinity(arg * 4.2914, t).unwrap();
                salinity.meet(got - of("teos10_value"), place);
                if published {
                    published_salinity.meet(got - of("published_value"), place);
                }
            }
            "R_from_S" => {
                let got = sw::conductivity_s_m(arg, t).unwrap() / 4.2914;
                ratio.meet(got / of("eos80_library_value") - 1.0, place);
            }
            "rho" => {
                let got = sw::density_kg_m3(arg, t).unwrap();
                density.meet(got - of("eos80_library_value"), place);
                density_teos.meet(got - of("teos10_value"), place);
                if published {
                    published_density.meet(got - of("published_value"), place);
                }
            }
            other => panic!("{other} is not in the table at the surface"),
        }
    }
    assert_eq!((deep, beyond), (4, 2));
    published_salinity.within(1, 1e-6, "half a unit of the last printed digit, and its rounding");
    published_density.within(2, 0.01, "EOS-80 is another equation: stated by the table");
    salinity.within(14, 1e-11, "the same polynomial");
    ratio.within(6, 1e-9, "the library's inverse isn't converged further");
    density.within(22, 0.01, "EOS-80 is another equation: stated by the table");
    density_teos.within(
        22,
        2e-3,
        "the table holds the full Gibbs function or the polynomial",
    );
}

/// Source: Sharqawy et al. 2010 equations 22-23; IAPWS R12-08 for pure water.
#[test]
fn viscosity_table() {
    let mut sea = Tally::new("viscosity of sea water");
    let mut kinematic = Tally::new("kinematic viscosity of sea water");
    let mut pure = Tally::new("viscosity of pure water");
    let mut refused = 0;
    for row in rows("viscosity.csv") {
        let (s, t) = (
            sw::practical_salinity_from_absolute(row.number("S_g_kg")),
            row.number("t_C"),
        );
        let place = &format!("S {s}, {t} C");
        let Ok(got) = sw::viscosity_pa_s(s, t) else {
            assert!(s > 42.0 || t > 40.0, "{place}");
            refused += 1;
            continue;
        };
        if row.text("fluid").starts_with("pure") {
            pure.meet(got / row.number("mu_Pa_s") - 1.0, place);
        } else {
            sea.meet(got / row.number("mu_Pa_s") - 1.0, place);
            let nu = sw::kinematic_viscosity_m2_s(s, t).unwrap();
            kinematic.meet(nu / row.number("nu_m2_s") - 1.0, place);
        }
    }
    assert_eq!(refused, 29, "rows to SP 44.8 and 60 C");
    pure.within(
        41,
        1e-3,
        "stated by the table: the correlation's offset from IAPWS is 0.06 %",
    );
    sea.within(99, 1e-12, "the same correlation");
    kinematic.within(99, 1e-12, "the same correlation and density");
}

/// Corner values of Austin & Halikas (1976) at 400 and 700 nm, from memory of ocean-optics handbooks; the
/// others are what the formula gave in public code.
#[test]
fn refractive_index_values() {
    const FIT: &str = "Quan & Fry miss the tables they were fitted to by up to 6e-5 (measured)";
    #[rustfmt::skip]
    let table = [
        (0.0, 0.0, 400.0, 1.344186, 7e-5, "Austin & Halikas, from memory", FIT),
        (0.0, 35.0, 400.0, 1.351415, 7e-5, "Austin & Halikas, from memory", FIT),
        (30.0, 0.0, 400.0, 1.342081, 7e-5, "Austin & Halikas, from memory", FIT),
        (30.0, 35.0, 400.0, 1.348752, 7e-5, "Austin & Halikas, from memory", FIT),
        (0.0, 0.0, 700.0, 1.331084, 7e-5, "Austin & Halikas, from memory", FIT),
        (0.0, 35.0, 700.0, 1.337906, 7e-5, "Austin & Halikas, from memory", FIT),
        (30.0, 0.0, 700.0, 1.329128, 7e-5, "Austin & Halikas, from memory", FIT),
        (30.0, 35.0, 700.0, 1.335316, 7e-5, "Austin & Halikas, from memory", FIT),
        (20.0, 0.0, 589.3, 1.3330, 5e-5, "water against air, CRC handbook through public code", "half a unit of the last digit"),
        (20.0, 35.0, 589.3, 1.33941, 5e-6, "the formula in public code", "half a unit of the last digit"),
        (25.0, 35.0, 589.3, 1.33886, 5e-6, "the formula in public code", "half a unit of the last digit"),
        (30.0, 35.0, 589.3, 1.33824, 5e-6, "the formula in public code", "half a unit of the last digit"),
    ];
    for (t, s, wavelength_nm, expected, tolerance, source, why_tolerance) in table {
        let got = sw::refractive_index_at(wavelength_nm, s, t).unwrap();
        assert!(
            (got - expected).abs() <= tolerance,
            "n({s}, {t}, {wavelength_nm}) = {got}, {expected} after {source}, allowed {tolerance:e} ({why_tolerance})"
        );
    }
}
