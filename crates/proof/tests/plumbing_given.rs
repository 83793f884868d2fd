//! What the file gives and can't be: lines round the wrong way or too short, volumes that no source holds, valves
//! whose loss is a guess.

use proof::prove;
use station::{Edit, Station, edit};

use crate::plumbing_support;
use plumbing_support::{LARKHAVEN, find, read, with};

/// A check valve lets water pass from the line's first end to its second: turned round it ends the way, and is named.
#[test]
fn a_line_the_wrong_way_round_is_named() {
    let check = LARKHAVEN.replace(
        "[valves]\n",
        "[valves]\nback = { line = \"wall-low\", kind = \"swing check\" }\n",
    );
    read(&check);
    let edits = [
        ("lines.wall-low.from", "\"wall-jet\""),
        ("lines.wall-low.to", "\"wall-spout\""),
    ]
    .map(|(path, text)| Edit {
        path: path.to_owned(),
        text: text.to_owned(),
    });
    let faults = Station::read(&edit::apply(&check, &edits).unwrap()).unwrap_err();
    assert_eq!(faults.len(), 3, "three tasks go through it: {faults:#?}");
    for fault in faults {
        assert!(
            fault.mend.starts_with("the line `wall-low` is reversed"),
            "{fault:?}"
        );
    }
}

/// The riser goes from the pump at 300 mm to a tee at 1 m: 700 mm. Two per cent less is a tape's slip.
#[test]
fn a_line_shorter_than_its_height_is_seen() {
    for (length, short) in [("\"300 mm\"", true), ("\"680 mm\"", true), ("\"690 mm\"", false)] {
        let proof = prove(&with(&[("lines.riser.length", length)]));
        let finding = find(&proof, "line-too-short");
        assert_eq!(finding.is_some(), short, "{length}");
        if let Some(finding) = finding {
            assert_eq!(finding.place, "lines.riser.length");
            assert!(finding.sentence.contains("700 mm"), "{}", finding.sentence);
            assert!(finding.remedy.is_some());
        }
    }
    // Over its crest and down again: 1.5 m to 2.1 m to 0.95 m are 1.75 m.
    let proof = prove(&with(&[("lines.pool-hose.length", "\"1.6 m\"")]));
    assert!(
        find(&proof, "line-too-short")
            .unwrap()
            .sentence
            .contains("1 750 mm")
    );
}

/// What the salt vessel gives when full is its batch less what lies under the outlet.
#[test]
fn more_than_the_source_holds_is_seen() {
    let volume = |litres: f64| format!("\"{litres:.1} L\"");
    let station = with(&[]);
    let vessel = station.vessel("salt").unwrap();
    let batch = vessel.fields.batch_volume.as_ref().unwrap().value.m3();
    let heel = vessel
        .shape
        .volume_m3(station::lowest_drawable_m(vessel))
        .unwrap();
    let holds_l = 1e3 * (batch - heel);
    for (litres, large) in [(0.99 * holds_l, false), (1.01 * holds_l, true)] {
        let proof = prove(&with(&[("lineups.touch-pool-change.volume", &volume(litres))]));
        assert_eq!(find(&proof, "volume-too-large").is_some(), large, "{litres}");
    }
}

#[test]
fn a_solenoid_without_a_kv_is_a_guess() {
    let bare = prove(&with(&[("valves.pool.kind", "\"solenoid\"")]));
    let finding = find(&bare, "valve-kv-unknown").unwrap();
    assert!(
        finding.sentence.contains("order of magnitude"),
        "{}",
        finding.sentence
    );
    let known = prove(&with(&[
        ("valves.pool.kind", "\"solenoid\""),
        ("valves.pool.cv", "5"),
    ]));
    assert!(find(&known, "valve-kv-unknown").is_none());
    assert!(find(&prove(&with(&[])), "valve-kv-unknown").is_none());
}

/// Half full is half of the way from the outlet to the full level, wherever the pump is switched off.
#[test]
fn half_is_half_to_the_eye() {
    let level = |station: &Station| {
        let proof = prove(station);
        let lineup = &proof.lineups.unwrap().lineups[0];
        let half = lineup.moments.iter().find(|moment| moment.source == "half");
        half.unwrap().source_level_m.unwrap()
    };
    let station = with(&[("vessels.fresh.low_cutout_level", "\"200 mm\"")]);
    let fields = &station.vessel("fresh").unwrap().fields;
    let outlet_m = fields.outlet_level.value.m();
    let full_m = fields.stop_level.as_ref().unwrap().value.m();
    assert!((level(&station) - 0.5 * (outlet_m + full_m)).abs() < 1e-12);
}

/// Fresh water that pours into salt water goes as deep as its momentum carries it against its lift: 1.74 bores times the
/// densimetric Froude number (Turner 1966, from memory). With the mouth of 100 mm under water at 36 L/min it spills out at
/// a Froude number below 3, without getting down at all; the jet of a narrow mouth gets to the floor. Where nothing goes
/// round the vessel, more than a note.
#[test]
fn fresh_water_that_lies_on_salt_is_told() {
    let wide = [
        ("lines.over-the-rim.to_level", "\"750 mm\""),
        ("lines.over-the-rim.bore", "\"100 mm\""),
    ];
    let proof = prove(&with(&wide));
    let finding = find(&proof, "fresh-lies-on-salt").unwrap();
    assert!(finding.sentence.contains("too slow"), "{}", finding.sentence);
    assert!(
        finding.sentence.contains("start mix before"),
        "{}",
        finding.sentence
    );
    assert_eq!(finding.severity, proof::Severity::Note);
    let narrow = [
        ("lines.over-the-rim.to_level", "\"750 mm\""),
        ("lines.over-the-rim.nozzle", "\"13 mm\""),
    ];
    assert!(find(&prove(&with(&narrow)), "fresh-lies-on-salt").is_none());
}

/// A jet of 13 mm along the floor at half a metre a second and more breaks up a finger's breadth of brine: its Richardson
/// number g·Δρ/ρ·h/u² is under a quarter above 0.37 m/s (Miles and Howard 1961; the arithmetic by hand).
#[test]
fn brine_under_a_floor_jet_is_told() {
    let mixing = |edits: &[(&str, &str)]| {
        let proof = prove(&with(edits));
        proof.lineups.unwrap().mixing[0].clone()
    };
    assert_eq!(mixing(&[]).brine_on_floor, None);
    let floor = mixing(&[
        ("lines.mixing-jet.aim", "\"along the floor\""),
        ("lines.mixing-jet.nozzle", "\"13 mm\""),
    ]);
    assert_eq!(floor.brine_on_floor, Some("breaks up"));
    let wide = mixing(&[
        ("lines.mixing-jet.aim", "\"along the floor\""),
        ("lines.mixing-jet.nozzle", "\"20 mm\""),
    ]);
    // 36 L/min through 20 mm are 1.9 m/s, and 6.3 d/x of that at the far wall, 0.66 m away: 0.36 m/s.
    assert_eq!(wide.brine_on_floor, Some("may or may not break up"));
}

/// Water hangs no higher than its vapour lets it: 10.1 m at sea level and 11 °C. Below that a crest only draws air.
#[test]
fn a_column_breaks_over_too_high_a_crest() {
    for (crest, id) in [("\"3 m\"", "crest-below-air"), ("\"12 m\"", "column-breaks")] {
        let proof = prove(&with(&[("lines.fresh-spout.crest", crest)]));
        let of_task = |wanted: &str| {
            proof
                .findings
                .iter()
                .any(|finding| finding.id == wanted && finding.place == "lineups.fresh-bucket")
        };
        for other in ["crest-below-air", "column-breaks"] {
            assert_eq!(of_task(other), other == id, "{crest}: {other}");
        }
    }
}
