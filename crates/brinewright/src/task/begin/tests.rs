//! What is typed becomes answers, or faults beside their fields; names stay in their folder.

use std::fs;

use super::*;

fn asked(change: impl FnOnce(&mut serde_json::Value)) -> Asked {
    let usual = include_str!("../../../tests/served/answers.json");
    let mut typed = serde_json::from_str(usual).expect("JSON");
    change(&mut typed);
    serde_json::from_value(typed).expect("what the page sends")
}

#[test]
fn quantities_are_typed_freely() {
    let typed = asked(|own| {
        own["tanks"][0]["volume"] = "80 gal".into();
        own["tanks"][0]["change"] = "8 gal".into();
        own["door"] = "2 ft 8 in".into();
        own["minerals"] = "250 ppm".into();
        own["water_price"] = "4.20 EUR/m3".into();
    });
    let answers = typed.read().expect("answers");
    assert!((answers.tanks[0].change_share - 0.1).abs() < 1e-12);
    assert!((answers.space.door_m - 0.8128).abs() < 1e-12);
    assert_eq!(answers.tap.minerals, Some(proof::first::Minerals::Solids(0.25)));
    assert_eq!(answers.money.water_per_m3, Some(4.2));
    assert_eq!(answers.days_away, 7.0);
    assert!(plan(&typed).is_ok());
}

/// As a refractometer, a meter and a hydrometer tell it; what may be a specific gravity is asked about at its field.
#[test]
fn a_salinity_is_typed_as_it_is_read() {
    let salinity = |typed: &str| {
        let asked = asked(|own| own["tanks"][0]["salinity"] = typed.into());
        asked.read().map(|own| own.tanks[0].salinity)
    };
    for (typed, least, greatest) in [
        ("35", 35.0, 35.0),
        ("33.5 ppt", 33.5, 33.5),
        // Practical salinity scale of 1978, from memory: 35 has 42.914 mS/cm at 15 °C, at 25 °C 1.2365 times that.
        ("53 mS/cm", 34.9, 35.1),
        ("1.0264 sg 25C/25C", 34.8, 35.2),
        // As the page proposes it to readers of gallons.
        ("1.0269 sg 60F/60F", 34.9, 35.2),
    ] {
        let own = salinity(typed).expect(typed);
        assert!((least..=greatest).contains(&own), "{typed}: {own}");
    }
    for (typed, told) in [
        ("1.026", "specific gravity"),
        ("2", "beyond"),
        ("", "empty"),
        ("50", "conductivity"),
    ] {
        let faults = salinity(typed).expect_err(typed);
        assert_eq!(faults[0].place, "tanks.0.salinity");
        let words = format!("{} {}", faults[0].what, faults[0].mend);
        assert!(words.contains(told), "{typed}: {words}");
    }
}

#[test]
fn every_fault_stands_beside_its_field_in_the_words_of_the_reader() {
    let typed = asked(|own| {
        own["tanks"][0]["volume"] = "300 furlongs".into();
        own["pressure"] = "3 L".into();
        own["currency"] = "euro".into();
        own["width"] = "".into();
    });
    let faults = plan(&typed).expect_err("faults");
    let mut places: Vec<&str> = faults.iter().map(|fault| fault.place.as_str()).collect();
    places.sort_unstable();
    assert_eq!(places, ["currency", "pressure", "tanks.0.volume", "width"]);
    let volume = faults
        .iter()
        .find(|fault| fault.place == "tanks.0.volume")
        .expect("a fault");
    assert!(
        volume.what.contains("is no unit known here for a volume"),
        "{}",
        volume.what
    );
}

#[test]
fn answers_that_do_not_go_together_are_told_at_their_question() {
    let faults = plan(&asked(|own| own["width"] = "50 cm".into())).expect_err("too small");
    assert_eq!((faults.len(), faults[0].place.as_str()), (1, "width"));
    assert!(
        faults[0].what.starts_with("The floor is too small"),
        "{}",
        faults[0].what
    );
}

#[test]
fn a_bare_number_is_taken_in_the_unit_that_is_shown() {
    let litres = asked(|own| {
        own["tanks"][0]["volume"] = "300".into();
        own["tanks"][0]["change"] = "15".into();
        own["tanks"][0]["every"] = "every 2 weeks".into();
        own["door"] = "800".into();
        own["days_away"] = "7".into();
        own["electricity_price"] = "0.3".into();
    });
    let answers = litres.read().expect("answers");
    assert!((answers.tanks[0].volume_m3 - 0.3).abs() < 1e-12);
    assert!((answers.tanks[0].change_share - 0.15).abs() < 1e-12);
    assert!((answers.tanks[0].change_every_s - 14.0 * 86_400.0).abs() < 1e-6);
    assert!((answers.space.door_m - 0.8).abs() < 1e-12);
    assert_eq!(answers.days_away, 7.0);
    let gallons = asked(|own| {
        own["units"] = "US".into();
        own["currency"] = "USD".into();
        own["tanks"][0]["volume"] = "80".into();
        own["width"] = "9".into();
        own["water_price"] = "0.05".into();
    });
    let answers = gallons.read().expect("answers");
    assert!((answers.tanks[0].volume_m3 - 80.0 * 3.785_411_784e-3).abs() < 1e-12);
    assert!((answers.space.width_m - 9.0 * 0.3048).abs() < 1e-12);
    let per_m3 = answers.money.water_per_m3.expect("a price");
    assert!((per_m3 - 0.05 / 3.785_411_784e-3).abs() < 1e-9, "{per_m3}");
    // Conductivity, or what is dissolved: nobody can know.
    let faults = plan(&asked(|own| own["minerals"] = "250".into())).expect_err("of what");
    assert_eq!(faults[0].place, "minerals");
    assert!(faults[0].mend.contains("\"250 ppm\""), "{}", faults[0].mend);
}

/// Whatever is beyond, its own field says so, and `proof::first` has nothing left to say of it.
#[test]
fn what_is_beyond_is_told_at_its_own_field() {
    for (field, least, greatest, beyond) in [
        ("width", "300 mm", "50 m", "51 m"),
        ("depth", "300 mm", "50 m", "20 cm"),
        ("ceiling", "1 m", "12 m", "90 cm"),
        ("door", "300 mm", "6 m", "7 m"),
        ("pressure", "0.1 bar", "16 bar", "17 bar"),
        ("coldest", "0.1 C", "10 C", "-1 C"),
        ("warmest", "20 C", "40 C", "41 C"),
        ("minerals", "1 uS/cm", "5 mS/cm", "6 mS/cm"),
        ("minerals", "1 mg/L", "3 g/L", "4 g/L"),
        ("water_price", "0 EUR/m3", "1000000 EUR/m3", "1000001 EUR/m3"),
        (
            "electricity_price",
            "0 EUR/kWh",
            "3600000 EUR/kWh",
            "3600001 EUR/kWh",
        ),
        ("days_away", "0 days", "365 days", "366 days"),
    ] {
        for own in [least, greatest] {
            let told = plan(&asked(|answers| answers[field] = own.into()));
            let faults = told.err().unwrap_or_default();
            let bad = faults.iter().find(|fault| fault.what.contains("is beyond"));
            assert!(bad.is_none(), "{field} {own}: {bad:?}");
        }
        let faults = plan(&asked(|answers| answers[field] = beyond.into())).expect_err(beyond);
        assert_eq!(faults[0].place, field, "{beyond}: {faults:?}");
        assert!(faults[0].what.contains("is beyond"), "{faults:?}");
    }
    for (field, beyond) in [
        ("volume", "1001 m3"),
        ("salinity", "4"),
        ("temperature", "37 C"),
        ("change", "120 %"),
        ("change", "1001 L"),
        ("change", "-3 L"),
        ("change", "-3 %"),
        ("every", "366 days"),
        ("evaporation", "11 m3/day"),
    ] {
        let faults = plan(&asked(|own| own["tanks"][0][field] = beyond.into())).expect_err(beyond);
        assert_eq!(faults[0].place, format!("tanks.0.{field}"), "{beyond}");
    }
    // The largest of the tanks is the one to look at.
    let two = asked(|own| {
        let mut large = own["tanks"][0].clone();
        large["name"] = "Large tank".into();
        large["volume"] = "20 m3".into();
        own["tanks"].as_array_mut().expect("tanks").push(large);
    });
    assert_eq!(plan(&two).expect_err("too much")[0].place, "tanks.1.volume");
    // Two of one name can't be told apart on any page.
    let twins = asked(|own| {
        let mut other = own["tanks"][0].clone();
        other["name"] = " MAIN tank".into();
        own["tanks"][0]["name"] = "Main tank".into();
        own["tanks"].as_array_mut().expect("tanks").push(other);
    });
    assert_eq!(plan(&twins).expect_err("twins")[0].place, "tanks.1.name");
    let crossed = asked(|own| {
        own["coldest"] = "20 C".into();
        own["warmest"] = "10 C".into();
    });
    assert_eq!(plan(&crossed).expect_err("crossed")[0].place, "coldest");
}

#[test]
fn names_stay_in_their_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    for bad in [
        "",
        ".toml",
        ".hidden.toml",
        "../out.toml",
        "a/b.toml",
        "a\\b.toml",
        "c:x.toml",
        "station",
        "station.txt",
        "a\u{0}.toml",
        "a\n.toml",
    ] {
        let fault = named(at, bad).expect_err(bad);
        assert_eq!(fault.place, "name");
    }
    assert!(named(at, &format!("{}.toml", "a".repeat(90))).is_err());
    assert_eq!(
        named(at, " My tank 2.toml ").expect("a name"),
        at.join("My tank 2.toml")
    );
    assert_eq!(free_name(at), "station.toml");
    fs::write(at.join("station.toml"), "x").expect("written");
    assert_eq!(free_name(at), "station-2.toml");
}
