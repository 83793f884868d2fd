//! `water` through the door, and what holds for every command.

use crate::common;

use common::{json, number, page, refused, run};

/// Values from the handbook, section 11, computed with the TEOS-10 library; tolerance half their last digit, a
/// little more where the room's formula is another (viscosity, heat capacity).
#[test]
fn sea_water_has_its_known_properties() {
    let water = json("water --salinity 35 --temperature \"25 C\"");
    for (key, expected, tolerance) in [
        ("practical_salinity", 35.0, 0.0),
        ("absolute_salinity_g_per_kg", 35.165_04, 1e-9),
        ("temperature_c", 25.0, 0.0),
        ("density_kg_per_m3", 1023.3436, 1e-3),
        ("conductivity_ms_per_cm", 53.07, 5e-3),
        ("refractive_index", 1.33886, 5e-6),
        ("viscosity_pa_s", 9.6e-4, 1e-5),
        ("heat_capacity_j_per_kg_k", 3998.0, 5.0),
        ("freezing_point_c", -1.92, 0.01),
    ] {
        let got = number(&water, key);
        assert!(
            (got - expected).abs() <= tolerance,
            "{key}: {got}, {expected} expected"
        );
    }
    for (scale, expected) in [
        ("t/4C", 1.02337),
        ("25C/25C", 1.02637),
        ("20C/20C", 1.02661),
        ("60F/60F", 1.02686),
    ] {
        let got = number(&water["specific_gravity"], scale);
        assert!((got - expected).abs() <= 5.1e-6, "{scale}: {got}");
    }
}

/// Every reading leads back to the salinity it was made from.
#[test]
fn every_reading_leads_back() {
    for (salinity, temperature_c) in [(0.5, 5.0), (10.0, 12.5), (33.3, 20.0), (35.0, 25.0), (41.0, 29.0)] {
        let warmth = format!("--temperature \"{temperature_c} C\"");
        let water = json(&format!("water --salinity \"{salinity} ppt\" {warmth}"));
        let readings = [
            format!(
                "--conductivity \"{} mS/cm\"",
                number(&water, "conductivity_ms_per_cm")
            ),
            format!("--density \"{} kg/m3\"", number(&water, "density_kg_per_m3")),
            format!("--refractive-index {}", number(&water, "refractive_index")),
            format!(
                "--salinity \"{} mS/cm\"",
                number(&water, "conductivity_ms_per_cm")
            ),
            format!(
                "--salinity \"{} g/kg\"",
                number(&water, "absolute_salinity_g_per_kg")
            ),
        ];
        let gravities = ["t/4C", "25C/25C", "20C/20C", "60F/60F"].map(|scale| {
            let gravity = number(&water["specific_gravity"], scale);
            format!("--specific-gravity {gravity} --reference {scale}")
        });
        for reading in readings.iter().chain(&gravities) {
            let again = json(&format!("water {reading} {warmth}"));
            let got = number(&again, "practical_salinity");
            assert!(
                (got - salinity).abs() < 1e-7,
                "{reading} at {temperature_c}: {got} for {salinity}"
            );
        }
    }
}

#[test]
fn a_doubtful_reading_gives_a_doubtful_salinity() {
    let water = json("water --conductivity \"53 mS/cm ± 0.5 mS/cm\" --temperature \"25 C ± 0.5 C\"");
    let half = (number(&water, "practical_salinity_high") - number(&water, "practical_salinity_low")) / 2.0;
    // 0.37 from the conductivity and 0.38 from the temperature, in quadrature, at 1.96 of 2.
    assert!((half - 0.52).abs() < 0.02, "{half}");
}

#[test]
fn what_lies_beyond_the_stated_range_is_said() {
    for (line, notes) in [
        ("--salinity 35 --temperature \"25 C\"", 0),
        ("--salinity 0.5 --temperature \"25 C\"", 1),
        ("--salinity 38 --temperature \"25 C\"", 1),
        ("--salinity 35 --temperature \"36 C\"", 2),
        ("--salinity 35 --temperature \"-1 C\"", 1),
    ] {
        let water = json(&format!("water {line}"));
        assert_eq!(water["notes"].as_array().unwrap().len(), notes, "{line}: {water}");
    }
    assert!(json("water --salinity 35 --temperature \"36 C\"")["refractive_index"].is_null());
}

#[test]
fn what_is_no_reading_is_refused_with_its_place() {
    for (line, place, what) in [
        ("", "command line", "one of --salinity"),
        (
            "--salinity 35 --density \"1023 kg/m3\"",
            "command line",
            "which one holds?",
        ),
        (
            "--salinity 35 --reference 25C/25C",
            "--reference",
            "belongs to a specific gravity",
        ),
        ("--salinity 1.0264", "--salinity", "specific gravity?"),
        ("--salinity 53", "--salinity", "mS/cm?"),
        ("--salinity 43", "--salinity", "mS/cm?"),
        ("--salinity 42.1", "--salinity", "0 to 42"),
        ("--salinity -1", "--salinity", "0 to 42"),
        ("--salinity nan", "--salinity", "doesn't begin with a number"),
        ("--salinity 1e400", "--salinity", "doesn't begin with a number"),
        ("--salinity \"\"", "--salinity", "empty"),
        ("--conductivity 53", "--conductivity", "has no unit"),
        (
            "--conductivity \"53 L\"",
            "--conductivity",
            "`L` measures a volume",
        ),
        (
            "--conductivity \"530 mS/cm\"",
            "--conductivity",
            "outside the valid",
        ),
        (
            "--conductivity \"99 mS/cm\"",
            "--conductivity",
            "outside the valid",
        ),
        ("--specific-gravity 1.0264", "--reference", "scale is known"),
        (
            "--specific-gravity 1.0264 --reference 30C/30C",
            "--reference",
            "no scale",
        ),
        (
            "--specific-gravity 1.5 --reference 25C/25C",
            "--specific-gravity",
            "outside the valid",
        ),
        (
            "--specific-gravity \"1.02 L\" --reference 25C/25C",
            "--specific-gravity",
            "`L` measures",
        ),
        ("--density 1023.3", "--density", "has no unit"),
        (
            "--density \"1100 kg/m3\"",
            "--density",
            "outside the valid 997.05 to",
        ),
        (
            "--refractive-index 1.5",
            "--refractive-index",
            "outside the valid",
        ),
        (
            "--refractive-index 1.339 --temperature \"38 C\"",
            "--temperature",
            "outside the valid",
        ),
        ("--salinity 35 --temperature 25", "--temperature", "has no unit"),
        (
            "--salinity 35 --temperature \"60 C\"",
            "--temperature",
            "outside the valid",
        ),
        (
            "--salinity 35 --temperature \"25 C\" extra",
            "command line",
            "one word too many",
        ),
        (
            "--salinity 35 --units imperial",
            "command line",
            "no value of --units",
        ),
    ] {
        let errors = refused(&format!("water {line}"));
        assert!(
            errors.iter().any(
                |error| error["where"] == place && error["what"].as_str().expect("a text").contains(what)
            ),
            "{line}: {errors:?}"
        );
    }
}

#[test]
fn a_wrong_command_is_answered_with_the_near_one() {
    let errors = refused("bath");
    assert_eq!(errors[0]["mend"], "did you mean `batch`?");
    assert_eq!(refused_json_only()["errors"][0]["what"], "no command was given");
    for line in [
        "--help",
        "--version",
        "water --help",
        "batch --help",
        "trim --help",
    ] {
        page(line);
    }
}

fn refused_json_only() -> serde_json::Value {
    let output = run("--json");
    assert_eq!(output.status.code(), Some(2));
    serde_json::from_slice(&output.stdout).expect("one object")
}

#[test]
fn water_is_told_in_a_table() {
    insta::assert_snapshot!(page("water --salinity 35"), @r"
    Sea water of salinity 35 at 25 °C

      salt                         35.17    g/kg
      density                    1023.34    kg/m³
      specific gravity t/4C         1.02337
      specific gravity 25C/25C      1.02637
      specific gravity 20C/20C      1.02661
      specific gravity 60F/60F      1.02686
      conductivity                 53.07    mS/cm
      refractive index              1.33886
      viscosity                     0.959   mPa s
      heat capacity              3999       J/(kg K)
      freezes at                   -1.92    °C

    What instruments read in it, each as warm as the water
      hydrometer 25C/25C                               1.0264
      hydrometer 20C/20C                               1.0253
      hydrometer 60F/60F                               1.0246
      hydrometer 20C/4C                                1.0235
      refractometer, sea water scale, compensating    35.0
      refractometer, sea water scale, plain           32.0
      refractometer, table salt scale, compensating   36.6
      conductivity meter, plain                       53.1    mS/cm
      conductivity meter, 2 % per °C to 25 °C         53.1    mS/cm

    Mind
      No temperature was given: 25 °C is assumed.
    ");
    insta::assert_snapshot!(page("water --specific-gravity \"1.0264 ± 0.001\" --reference 60F/60F \
        --temperature \"59 F\" --units us"), @r"
    Sea water of salinity 34.4 ± 1.3 at 59 °F

      salt                         34.56    g/kg
      density                       8.5583  lb/gal
      specific gravity t/4C         1.02554
      specific gravity 25C/25C      1.02592
      specific gravity 20C/20C      1.02615
      specific gravity 60F/60F      1.02640
      conductivity                 42.26    mS/cm
      refractive index              1.33977
      viscosity                     1.219   mPa s
      heat capacity              3996       J/(kg K)
      freezes at                   28.60    °F

    What instruments read in it, each as warm as the water
      hydrometer 25C/25C                               1.0283
      hydrometer 20C/20C                               1.0272
      hydrometer 60F/60F                               1.0265
      hydrometer 20C/4C                                1.0254
      refractometer, sea water scale, compensating    34.4
      refractometer, sea water scale, plain           37.0
      refractometer, table salt scale, compensating   35.9
      conductivity meter, plain                       42.3    mS/cm
      conductivity meter, 2 % per °C to 25 °C         52.8    mS/cm
    ");
}
