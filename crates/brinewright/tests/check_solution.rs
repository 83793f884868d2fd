//! `check-solution`: masses, their sums, their doubt, the words that keep people from swapping them.

use crate::common;

use common::{json, number, page, refused};

const KINDS: [&str; 3] = ["refractometer", "conductivity_meter", "hydrometer"];

/// The three matches at salinity 35: 36.6, 33.0 and 37.2 g/kg, the figures of the kernel's own table, each within
/// its last digit and a half.
#[test]
fn the_three_solutions_differ_as_known() {
    let answer = json("check-solution --salinity 35");
    for (kind, grams, temperature) in [
        ("refractometer", 36.6, 20.0),
        ("conductivity_meter", 33.0, 25.0),
        ("hydrometer", 37.2, 25.0),
    ] {
        let one = &answer[kind];
        assert!(
            (number(one, "salt_g_per_kg_solution") - grams).abs() < 0.1,
            "{one}"
        );
        assert_eq!(number(one, "temperature_c"), temperature);
        let doubt = number(one, "uncertainty_salinity");
        assert!((0.05..0.8).contains(&doubt), "{one}");
    }
}

#[test]
fn masses_add_up() {
    for (volume, litres) in [("500 mL", 0.5), ("1 L", 1.0), ("2 gal", 7.570_823_568)] {
        for salinity in ["20", "30", "33.5", "35", "40"] {
            let answer = json(&format!(
                "check-solution --salinity {salinity} --make \"{volume}\""
            ));
            for kind in KINDS {
                let one = &answer[kind];
                let (salt, water) = (number(one, "salt_g"), number(one, "water_g"));
                let per_water = salt / water * 1e3;
                assert!(
                    (per_water - number(one, "salt_g_per_kg_water")).abs() < 1e-9,
                    "{one}"
                );
                let per_solution = salt / (salt + water) * 1e3;
                assert!(
                    (per_solution - number(one, "salt_g_per_kg_solution")).abs() < 1e-9,
                    "{one}"
                );
                // A litre of it weighs 1.01 to 1.03 kg.
                let density = (salt + water) / litres / 1e3;
                assert!((1.01..1.032).contains(&density), "{one}");
                // Purified water of 20 °C: 998.2 g to the litre.
                let per_litre = number(one, "salt_g_per_l_water") / number(one, "salt_g_per_kg_water");
                assert!((per_litre - 0.9982).abs() < 1e-4, "{one}");
            }
        }
    }
}

#[test]
fn a_litre_is_made_where_nothing_is_said() {
    assert_eq!(
        json("check-solution --salinity 35"),
        json("check-solution --salinity 35 --make \"1 L\"")
    );
}

#[test]
fn the_page_warns_of_what_goes_wrong() {
    let text = page("check-solution --salinity 35 --make \"500 mL\"");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Never swap them",
        "no iodine",
        "common practice, no source",
        "the same temperature",
        "Keep it closed",
        "Not for animals",
        "refractometer 37.9 g ±",
        "conductivity meter 34.1 g ±",
        "hydrometer 38.5 g ±",
        "hydrometer 1.0264 on 25C/25C",
        "conductivity meter 53.1 mS/cm",
        "500 mL of solution",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    page("check-solution --salinity 20 --make \"50 mL\" --units us");
    page("check-solution --salinity 40 --make \"100 L\"");
}

#[test]
fn what_cannot_be_made_is_refused() {
    for (line, place, what) in [
        ("check-solution", "--salinity", "is needed"),
        ("check-solution --salinity 10", "--salinity", "20 to 40"),
        ("check-solution --salinity 41", "--salinity", "20 to 40"),
        ("check-solution --salinity 35 --make 500", "--make", "has no unit"),
        (
            "check-solution --salinity 35 --make \"0 L\"",
            "--make",
            "isn't above zero",
        ),
        (
            "check-solution --salinity 1.026",
            "--salinity",
            "specific gravity?",
        ),
    ] {
        let errors = refused(line);
        assert!(
            errors.iter().any(|error| error["where"] == place
                && error["what"].as_str().is_some_and(|text| text.contains(what))),
            "{line}: {errors:?}"
        );
    }
}
