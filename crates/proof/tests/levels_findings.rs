//! Findings on where a vessel comes in and stands, each on a station that has it and on one that just doesn't.

use proof::{Severity, prove};
use station::Station;

/// Two boxes of 800 by 500 mm with walls of 5 mm, so 810 by 510 outside, and 900 high.
const TWO: &str = r#"
title = "two"
[room]
ROOM
[salt]
label = "20 kg makes 540 L at 35"
[vessels.one]
holds = "fresh"
shape = "box"
length = "800 mm"
width = "500 mm"
height = "900 mm"
wall_thickness = "5 mm"
[vessels.other]
holds = "salt"
shape = "box"
length = "800 mm"
width = "500 mm"
height = "900 mm"
wall_thickness = "5 mm"
floor_height = "BASE"
"#;

/// Severity of a finding of a room, if there is one, and its place.
fn found(id: &str, room: &str, base: &str) -> Option<(Severity, String)> {
    let text = TWO.replace("ROOM", room).replace("BASE", base);
    let station = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let proof = prove(&station);
    let own = proof.findings.iter().find(|own| own.id == id)?;
    Some((own.severity, own.place.clone()))
}

/// Worked by hand from the outer sizes; a hand's breadth of 100 mm stands between two in a row (house rule).
#[test]
fn where_a_vessel_comes_in_and_stands() {
    let floor = |width: &str, depth: &str| format!("floor_width = \"{width}\"\nfloor_depth = \"{depth}\"");
    for (what, id, room, base, told) in [
        // Its two smaller sides, upright or lying: 510 and 810 mm.
        (
            "a narrow door",
            "door-too-narrow",
            "door_width = \"509 mm\"".to_owned(),
            "0 mm",
            Some(Severity::Must),
        ),
        (
            "just through",
            "door-too-narrow",
            "door_width = \"510 mm\"".to_owned(),
            "0 mm",
            None,
        ),
        // 300 mm over a rim at 900 mm.
        (
            "a low ceiling",
            "ceiling-too-low",
            "ceiling = \"1.199 m\"".to_owned(),
            "0 mm",
            Some(Severity::Should),
        ),
        (
            "a hand's room",
            "ceiling-too-low",
            "ceiling = \"1.2 m\"".to_owned(),
            "0 mm",
            None,
        ),
        // 510 + 100 + 510 in a row, 810 deep.
        (
            "no row",
            "floor-too-small",
            floor("1.119 m", "810 mm"),
            "0 mm",
            Some(Severity::Should),
        ),
        (
            "just a row",
            "floor-too-small",
            floor("1.12 m", "810 mm"),
            "0 mm",
            None,
        ),
        (
            "the other way round",
            "floor-too-small",
            floor("810 mm", "1.12 m"),
            "0 mm",
            None,
        ),
        // Twice 0.4131 m2.
        (
            "less than both take",
            "floor-too-small",
            floor("1.01 m", "815 mm"),
            "0 mm",
            Some(Severity::Must),
        ),
        (
            "one over the other",
            "floor-too-small",
            floor("1.01 m", "815 mm"),
            "1 m",
            None,
        ),
        (
            "narrower than one",
            "floor-too-small",
            floor("3 m", "509 mm"),
            "0 mm",
            Some(Severity::Must),
        ),
        (
            "nobody told the depth",
            "floor-too-small",
            "floor_width = \"300 mm\"".to_owned(),
            "0 mm",
            None,
        ),
    ] {
        let got = found(id, &room, base);
        assert_eq!(
            got.as_ref().map(|(severity, _)| *severity),
            told,
            "{what}: {got:?}"
        );
    }
    let (_, place) = found("floor-too-small", &floor("3 m", "509 mm"), "0 mm").expect("too narrow");
    assert_eq!(place, "vessels.one");
}

/// Skelder's vessels: fill switches of 8 mm each way, a cut-out of salt water at 250 mm.
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

/// A value of a vessel of Skelder Hatchery's written anew: the findings of an id, each with its severity and place.
fn with(vessel: &str, key: &str, value: &str, id: &str) -> Vec<(Severity, String)> {
    let (before, own) = SKELDER
        .split_once(&format!("[vessels.{vessel}]\n"))
        .expect(vessel);
    let (section, rest) = own.split_once("\n[").expect("a section after it");
    let lines = section.lines().map(|line| match line.starts_with(key) {
        true => format!("{key} = \"{value}\""),
        false => line.to_owned(),
    });
    let section: Vec<String> = lines.collect();
    let text = format!("{before}[vessels.{vessel}]\n{}\n[{rest}", section.join("\n"));
    let station = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let all = prove(&station).findings;
    let own = all.into_iter().filter(|own| own.id == id);
    own.map(|own| (own.severity, own.place)).collect()
}

/// By hand: marks of 8 mm each way are told apart by √(8² + 8²) = 11.3 mm, and a switch needs 15 mm to turn (house rule), so
/// that a start may lie 26.3 mm under a stop at 1 050 mm. A pump whose cut-out at 250 mm lies under its outlet draws air, from
/// salt water as well.
#[test]
fn marks_that_contradict_each_other() {
    let near = "start-too-near";
    assert!(with("fresh-north", "start_level", "1023 mm ± 8 mm", near).is_empty());
    assert_eq!(
        with("fresh-north", "start_level", "1024 mm ± 8 mm", near),
        [(Severity::Should, "vessels.fresh-north.start_level".to_owned())]
    );
    let under = "cutout-under-outlet";
    assert!(with("salt-west", "outlet_level", "250 mm", under).is_empty());
    assert_eq!(
        with("salt-west", "outlet_level", "251 mm", under),
        [(Severity::Must, "vessels.salt-west.low_cutout_level".to_owned())]
    );
}

/// A tray runs to a drain only where there is one in the floor; else that is told, and nothing relies on it.
#[test]
fn a_tray_needs_the_drain_that_it_runs_to() {
    for (room, told) in [
        (
            "tray = \"40 L\"\ntray_drained = true\n",
            Some("the file tells of none"),
        ),
        (
            "tray = \"40 L\"\ntray_drained = true\ndrain_height = \"800 mm\"\n",
            Some("lies 800 mm above the floor"),
        ),
        (
            "tray = \"40 L\"\ntray_drained = true\ndrain_height = \"0 mm\"\n",
            None,
        ),
        ("tray = \"40 L\"\n", None),
        ("tray_drained = true\n", None),
    ] {
        let text = TWO.replace("ROOM", room).replace("BASE", "0 mm");
        let station = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
        let findings = prove(&station).findings;
        let own = findings.iter().find(|own| own.id == "tray-without-drain");
        assert_eq!(own.is_some(), told.is_some(), "{room}");
        if let (Some(own), Some(told)) = (own, told) {
            assert!(own.sentence.contains(told), "{}", own.sentence);
            assert!(!station.tray_is_drained());
        }
    }
}
