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

#[test]
fn every_fault_stands_beside_its_field_in_the_words_of_the_reader() {
    let typed = asked(|own| {
        own["tanks"][0]["volume"] = "300".into();
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
        volume.what.contains("has no unit, where a volume is wanted"),
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
