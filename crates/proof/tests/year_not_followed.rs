//! What the years of a station leave out is told with their figures.

use crate::year_support;

use proof::{Progress, Years, compare, year};
use station::Station;
use year_support::{EXAMPLES, set, unset};

const FEW: Years = Years {
    years: 2,
    seed: 1,
    threads: 2,
};

fn station(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn told(text: &str) -> Vec<String> {
    let told = year(&station(text), &FEW, &Progress::default()).expect("a year");
    told.not_followed
}

/// Changes are thinned in the years, emergencies aren't. A tank that salt water tops off gets none of the fresh water; by hand:
/// 22 L every 4 days are 2007.5 L a year, of which 1 - 30/34.5 needn't be salt water: 262 L.
#[test]
fn tanks_at_another_salinity_are_told() {
    let (_, lark) = EXAMPLES[0];
    let own = told(lark);
    assert_eq!(own.len(), 2, "{own:?}");
    for (own, begins) in own.iter().zip([
        "Seahorse nursery is kept at 33, thinner",
        "Quarantine is kept at 30, thinner",
    ]) {
        assert!(own.starts_with(begins) && own.contains("an emergency"), "{own}");
    }
    let calm = ["tanks.seahorse-nursery", "tanks.quarantine"]
        .into_iter()
        .fold(lark.to_owned(), |text, tank| {
            set(&text, tank, "emergency_change", "\"0 %\"")
        });
    assert_eq!(told(&calm), [""; 0]);
    let salty = told(&set(&calm, "tanks.quarantine", "top_off", "\"salt\""));
    assert!(
        salty
            .iter()
            .any(|own| own.starts_with("Quarantine is kept at 30, thinner") && own.contains("some 260 L")),
        "{salty:?}"
    );
    let alike = set(lark, "tanks.seahorse-nursery", "salinity", "34.5");
    let alike = set(&alike, "tanks.quarantine", "salinity", "34.5");
    assert_eq!(told(&alike), [""; 0]);
    let saltier = set(&alike, "tanks.quarantine", "salinity", "36");
    let own = told(&saltier);
    assert!(
        own.len() == 1 && own[0].contains("saltier than any water"),
        "{own:?}"
    );
}

#[test]
fn salt_that_gathers_is_told() {
    let (_, school) = EXAMPLES[1];
    let own = told(school);
    assert!(
        own.len() == 1 && own[0].starts_with("Classroom is topped off with salt water"),
        "{own:?}"
    );
    assert_eq!(told(&unset(school, "tanks.classroom", "top_off")), [""; 0]);
}

/// The hatchery's one pump goes round both of its salt vessels, each by a timer.
#[test]
fn one_pump_stirs_one_vessel_by_itself() {
    let (_, hatchery) = EXAMPLES[2];
    let own = told(hatchery);
    assert!(
        own.len() == 1 && own[0].starts_with("Salt west isn't stirred by its timer"),
        "{own:?}"
    );
    let without = unset(hatchery, "vessels.salt-west", "recirculate_every");
    let without = unset(&without, "vessels.salt-west", "recirculate_for");
    assert_eq!(told(&without), [""; 0]);
}

#[test]
fn different_salt_waters_are_told_and_so_in_a_comparison() {
    let (_, hatchery) = EXAMPLES[2];
    let other = set(hatchery, "vessels.salt-west", "target_salinity", "28");
    let own = told(&other);
    assert!(
        own.iter()
            .any(|told| told.starts_with("Salt east (34) and Salt west (28) hold different")),
        "{own:?}"
    );
    let both = [station(hatchery), station(&other)];
    let comparison = compare(&both, &FEW, &Progress::default()).expect("compared");
    assert_eq!(comparison.designs[1].not_followed, own);
}
