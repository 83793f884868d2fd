//! Service on the examples.

use core::f64::consts::FRAC_PI_4;

use proof::{HowInstead, PartKind, Proof, prove};
use station::Station;

use crate::service_support;
use service_support::{names, near, part, proved};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

/// Larkhaven's pump: the lines round it are 1.1 + 0.3 + 0.5 m of pipe of 32 mm (1.6 mm of wall: 28.8 mm inside, EN ISO
/// 1452-2 from memory), 0.3 m of suction hose and 0.9 m of riser of 25 mm. The spout at the salt vessel's leg falls from
/// it, so that its water stays.
#[test]
fn the_pump_of_larkhaven() {
    let proof = proved(LARKHAVEN);
    let pump = part(&proof, PartKind::Pump, "bracket");
    assert_eq!(names(&pump.close), ["fresh-outlet", "pump-outlet", "salt-outlet"]);
    let wanted = FRAC_PI_4 * (1.9 * 0.0288 * 0.0288 + 1.2 * 0.025 * 0.025);
    near(pump.spilled_m3, wanted);
    let still: Vec<&str> = pump.still.iter().map(|still| still.lineup.as_str()).collect();
    assert_eq!(still, ["fresh-bucket"]);
    assert_eq!(pump.capped, ["salt-bucket"]);
    // 265 L through a tap with a bucket of 12 L: 22.08, so 23 buckets, 46 min.
    let fill = pump
        .lost
        .iter()
        .find(|lost| lost.lineup == "fresh-to-salt")
        .unwrap();
    let instead = fill.instead.as_ref().unwrap();
    assert_eq!((instead.how, instead.buckets), (HowInstead::Bucket, Some(23)));
    near(instead.seconds.unwrap(), 46.0 * 60.0);
    // Its vessel out, all 270 L of a batch are drained, and nothing salt can be done.
    let salt = part(&proof, PartKind::Vessel, "salt");
    near(salt.drain[0].volume_m3, 0.270);
    assert_eq!(salt.lost.len(), 5);
}

/// Every task of the examples is told for every part of the plumbing: it goes on, or it is lost. No name is told that the
/// file doesn't have, and no check valve is told to be closed.
#[test]
fn every_task_is_told_once() {
    for text in [LARKHAVEN, JUNIPER, SKELDER] {
        let station = Station::read(text).unwrap();
        let proof = prove(&station);
        let service = proof.service.as_ref().unwrap();
        for part in &service.parts {
            for valve in part.close.iter().filter(|name| *name != "feed") {
                let own = station.valves.iter().find(|own| own.name == *valve).unwrap();
                assert!(!own.fields.kind.value.is_check(), "{valve}");
            }
            assert!(
                part.spilled_m3 >= part.lines_m3 && part.lines_m3 >= 0.0,
                "{part:?}"
            );
            if part.kind.is_of_purifier() {
                continue;
            }
            let mut told: Vec<&str> = part.still.iter().map(|still| still.lineup.as_str()).collect();
            told.extend(part.lost.iter().map(|lost| lost.lineup.as_str()));
            told.sort_unstable();
            let mut all: Vec<&str> = station
                .lineups
                .iter()
                .map(|lineup| lineup.name.as_str())
                .collect();
            all.sort_unstable();
            assert_eq!(told, all, "{}", part.part);
        }
    }
}

/// Without resin there is permeate: Larkhaven's is below 20 µS/cm and does for all, that of the school is above, so that it
/// does for a batch, not for top-off. Without carbon or membrane nothing is made.
#[test]
fn the_purifier_without_a_part() {
    let says = |proof: &Proof, kind, name: &str, words: &str| {
        let own = part(proof, kind, name);
        assert_eq!(own.close, ["feed"]);
        assert!(
            own.without.iter().any(|told| told.contains(words)),
            "{:?}",
            own.without
        );
    };
    let larkhaven = proved(LARKHAVEN);
    says(
        &larkhaven,
        PartKind::ResinBed,
        "canister",
        "good enough for top-off",
    );
    says(&larkhaven, PartKind::Membrane, "first", "Nothing is made");
    says(&larkhaven, PartKind::Carbon, "carbon", "chlorine destroys");
    // Bed volume by the file: 0.55 L; 0.3 L of feed water and 80 mL of permeate with a membrane, by default.
    near(
        part(&larkhaven, PartKind::ResinBed, "canister").spilled_m3,
        0.55e-3,
    );
    near(part(&larkhaven, PartKind::Membrane, "first").spilled_m3, 0.38e-3);
    let juniper = proved(JUNIPER);
    says(&juniper, PartKind::ResinBed, "canister", "not for top-off");
    // Two beds in a row: the other goes on.
    says(&proved(SKELDER), PartKind::ResinBed, "lead", "lag alone");
    let none = LARKHAVEN.replace(
        "free_chlorine = \"0.4 mg/L ± 0.2 mg/L\"",
        "free_chlorine = \"0 mg/L\"",
    );
    says(&proved(&none), PartKind::Carbon, "carbon", "not in flushing week");
}

/// One vessel of salt water is worth a word where a tank may need an emergency change; two aren't.
#[test]
fn the_only_salt_vessel_is_told() {
    let has = |text: &str| {
        proved(text)
            .findings
            .iter()
            .any(|finding| finding.id == "one-salt-vessel")
    };
    assert!(has(LARKHAVEN) && !has(SKELDER));
}
