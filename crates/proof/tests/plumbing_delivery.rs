//! Water brought to a tank through a hose, and what hoses bear: by hand from the heights and sizes of the file.

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use proof::{Delivery, Proof, Siphon, prove};

use crate::plumbing_support;
use plumbing_support::{find, with};

fn to_pool(proof: &Proof) -> Delivery {
    let all = proof.lineups.as_ref().unwrap();
    let own = all
        .lineups
        .iter()
        .find(|lineup| lineup.name == "touch-pool-change");
    own.unwrap().delivery.clone().unwrap()
}

fn near(is: f64, should_be: f64) {
    assert!((is - should_be).abs() < 1e-4, "{is} is not {should_be}");
}

/// The salt vessel's floor stands at 520 mm and its water at 775 mm when full; the hose of 19 mm and 14 m ends at 950 mm
/// and goes over 2.1 m. Half full its water stands 388 mm high. A hole of 6 mm must be free of the full vessel's level,
/// and below the crest, by its radius.
#[test]
fn the_hose_of_larkhaven_by_hand() {
    let proof = prove(&with(&[]));
    let own = to_pool(&proof);
    let level_m = own.source_level_m.unwrap();
    near(own.lift_m, 0.95 - (0.52 + level_m));
    near(own.crest_lift_m, 2.1 - (0.52 + level_m));
    near(own.hose_m3, core::f64::consts::FRAC_PI_4 * 0.019 * 0.019 * 14.0);
    assert_eq!(own.siphon, Siphon::RunsOn);
    let (lowest_m, highest_m) = own.hole_m.unwrap();
    let full_m = proof.lineups.as_ref().unwrap().lineups[1].moments[0]
        .source_level_m
        .unwrap();
    near(lowest_m, 0.52 + full_m + 0.003);
    near(highest_m, 2.1 - 0.003);
    near(own.siphon_break_m.unwrap(), 2.08);
    assert!(find(&proof, "siphon-break-misplaced").is_none());
    // Only a task that ends in a tank has one.
    for lineup in &proof.lineups.as_ref().unwrap().lineups {
        assert_eq!(lineup.delivery.is_some(), lineup.name == "touch-pool-change");
    }
}

/// A hole under what the full vessel reaches lets water out and no air in; one above the range's lower end is right.
#[test]
fn a_hole_too_low_breaks_nothing() {
    for (height, wrong) in [("\"1.2 m\"", true), ("\"1.31 m\"", false), ("\"2.09 m\"", false)] {
        let proof = prove(&with(&[("lines.pool-hose.siphon_break", height)]));
        assert_eq!(
            find(&proof, "siphon-break-misplaced").is_some(),
            wrong,
            "{height}"
        );
    }
}

/// A pool whose water stands higher than the vessel's never lets water run on; its end under water draws it back, down to
/// the lower edge of the hole: 1.4 m² times 23 mm for a hole at 1.48 m under a level of 1.5 m.
#[test]
fn a_drowned_end_draws_back_to_its_hole() {
    let high = [
        ("tanks.touch-pool.water_height", "\"1.5 m\""),
        ("tanks.touch-pool.surface", "\"1.4 m2\""),
        ("lines.pool-hose.tank_height", "\"1.2 m\""),
        ("lines.pool-hose.siphon_break", "\"1.48 m\""),
    ];
    let own = to_pool(&prove(&with(&high)));
    assert_eq!(own.siphon, Siphon::DrawsBack);
    let (lowest_m, highest_m) = own.hole_m.unwrap();
    near(lowest_m, 1.45 + 0.003);
    near(highest_m, 1.5 - 0.003);
    near(own.back_flow_m3.unwrap(), 1.4 * (1.5 - (1.48 - 0.003)));
}

/// In a vessel of 30 °C a hose has a quarter less of its rating: half at 40 °C, all at 20 °C (common practice, no source).
/// The pump presses its shut-off head and two metres of water on it.
#[test]
fn warm_water_weakens_a_hose() {
    let rated = |rating: &str, warm: &str| {
        let proof = prove(&with(&[
            ("lines.pool-hose.rated_pressure", rating),
            ("vessels.salt.mixing_temperature", warm),
        ]));
        find(&proof, "line-underrated").map(|finding| finding.sentence.clone())
    };
    let head_m = with(&[]).pumps[0].fields.curve.value.curve.shut_off_head_m();
    let bar = (head_m + 2.0) * 1025.0 * 9.806_65 / 1e5;
    let just = format!("\"{:.3} bar\"", 1.02 * bar);
    assert_eq!(rated(&just, "\"20 C\""), None);
    let sentence = rated(&just, "\"30 C\"").unwrap();
    assert!(sentence.contains("weaker in warm water"), "{sentence}");
    let enough = format!("\"{:.3} bar\"", 1.02 * bar / 0.75);
    assert_eq!(rated(&enough, "\"30 C\""), None);
}

/// A solenoid in the hose stops 1.5 m/s in 0.03 s, far sooner than the wave is back: `ρ·a·V` (Joukowsky), with
/// `a = √(K/ρ)/√(1 + K·D/(E·t))` and the stiffer end of soft vinyl, 20 MPa.
#[test]
fn a_solenoid_hammers_a_weak_hose() {
    let with_valve = |kind: &str, rating: &str| {
        prove(&with(&[
            ("valves.pool.kind", kind),
            ("valves.pool.kv", "6"),
            ("lines.pool-hose.rated_pressure", rating),
        ]))
    };
    let weak = with_valve("\"solenoid\"", "\"0.5 bar\"");
    let finding = find(&weak, "valve-hammers").expect("told");
    let flow_m3_s = weak.figure("lineups.touch-pool-change.flow").unwrap().value;
    let velocity_m_s = flow_m3_s / (core::f64::consts::FRAC_PI_4 * 0.019 * 0.019);
    let station = with(&[]);
    let at = station
        .lines
        .iter()
        .position(|line| line.name == "pool-hose")
        .unwrap();
    let tube = station.plumbing.lines[at].tube.unwrap();
    let wall_m = (tube.outer_diameter_m - tube.inner_diameter_m) / 2.0;
    let wave_m_s = (2.18e9_f64 / 1025.0 / (1.0 + 2.18e9 / 20e6 * 0.019 / wall_m)).sqrt();
    let bar = 1025.0 * wave_m_s * velocity_m_s / 1e5;
    // It is told for the vessel full, as the flow is, and to three digits.
    let told = finding
        .sentence
        .split("strikes with ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next())
        .and_then(|number| number.parse::<f64>().ok())
        .unwrap();
    assert!(
        (told / bar - 1.0).abs() < 0.02,
        "{told} against {bar}: {}",
        finding.sentence
    );
    assert!(find(&with_valve("\"solenoid\"", "\"3 bar\""), "valve-hammers").is_none());
    assert!(find(&with_valve("\"ball\"", "\"0.5 bar\""), "valve-hammers").is_none());
}
