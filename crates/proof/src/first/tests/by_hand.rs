//! A few stations worked by hand.

use super::*;
use crate::{Progress, year};

fn topic<'f>(first: &'f First, topic: &str) -> &'f Choice {
    let found = first.choices.iter().find(|choice| choice.topic == topic);
    found.unwrap_or_else(|| panic!("{topic}: {:?}", first.choices))
}

/// One tank of 300 L that loses 2 L a day, ten days away. Two fifths of 300 L are 120 L, and a tenth that is changed each week
/// comes on top; ten days of 2 L are 20 L. An upright tank 500 mm across holds 0.15 x pi/4 x 0.5² = 29.5 L under the pump's
/// stop at 150 mm; 150 L x 1.03 + 29.5 L are 184 L, and to 40 mm under its rim it holds 145.3 L: too little. One 550 mm
/// across keeps 35.6 L, wants 190.1 L, in steps of 5 L 195 L, and holds 194.8 L: a hair too little. One 650 mm across keeps
/// 49.8 L, wants 204.3 L, so 205 L, and holds 293.7 L. After a change 205 L - 49.8 L - 30 L are left, more than 120 L.
#[test]
fn a_tank_of_300_litres() {
    let mut answers = Answers::usual(UnitSystem::Si);
    answers.days_away = 10.0;
    answers.tanks[0].evaporation = Evaporation::Measured(2e-3 / 86_400.0);
    let own = first(&answers, None).expect("a station");
    assert_eq!(topic(&own, "Salt water kept ready").chosen, "120 L");
    assert_eq!(topic(&own, "Fresh water kept ready").chosen, "20 L");
    assert_eq!(topic(&own, "Salt vessel").chosen, "Upright tank of 300 L");
    assert!(own.text.contains("batch_volume = \"205 L\""), "{}", own.text);
    assert!(own.proof.levels.salt_full_m3 - 0.03 >= 0.12);
    assert!(own.text.contains("change = \"30 L\"") && own.text.contains("change_every = \"1 week\""));
}

/// A change of half of a tank is more than the two fifths of trouble: 75 gal x 0.5 = 37.5 gal, so 38 gal.
#[test]
fn a_change_larger_than_any_trouble() {
    let mut answers = Answers::usual(UnitSystem::Us);
    answers.tanks[0].change_share = 0.5;
    let own = first(&answers, None).expect("a station");
    assert_eq!(topic(&own, "Salt water kept ready").chosen, "38 gal");
    assert!(topic(&own, "Salt water kept ready").reason.contains("37.5 gal"));
}

/// Covered or open, what evaporates is computed by the proof; a lid more than halves the days' reserve at the same surface.
#[test]
fn a_lid_saves_top_off() {
    let mut answers = Answers::usual(UnitSystem::Si);
    answers.tanks[0].volume_m3 = 0.9;
    answers.space.width_m = 4.0;
    answers.days_away = 20.0;
    let reserve = |answers: &Answers| {
        let own = first(answers, None).expect("a station");
        own.station.reserve.fresh.as_ref().expect("a reserve").value.m3()
    };
    let open = reserve(&answers);
    answers.tanks[0].evaporation = Evaporation::Covered;
    let covered = reserve(&answers);
    assert!(covered < 0.75 * open, "{covered} and {open}");
}

/// Chloramine is planned for unless it is ruled out, and the file says which of the two it was.
#[test]
fn chloramine_that_nobody_ruled_out_is_planned_for() {
    let mut answers = Answers::usual(UnitSystem::Si);
    let unknown = first(&answers, None).expect("a station");
    assert!(unknown.text.contains("rated_chloramine_volume"));
    assert!(unknown.assumed.iter().any(|own| own.contains("chloramine")));
    answers.tap.chloramine = Some(false);
    let none = first(&answers, None).expect("a station");
    assert!(!none.text.contains("rated_chloramine_volume"));
    assert!(!none.assumed.iter().any(|own| own.contains("chloramine")));
}

/// 2 bar at the tap are 29 psi, under the 40 psi that a small membrane asks for: a booster comes, and is told.
#[test]
fn little_pressure_brings_a_booster() {
    let mut answers = Answers::usual(UnitSystem::Si);
    answers.tap.pressure_pa = Some(2e5);
    let own = first(&answers, None).expect("a station");
    assert!(own.text.contains("booster_pressure"));
    assert!(topic(&own, "Booster").reason.contains("2 bar"));
}

/// The cheapest has no electric valve, the dearest ends a run that goes on too long.
#[test]
fn guards_go_by_the_purse() {
    let mut answers = Answers::usual(UnitSystem::Si);
    let text = |thrift, answers: &mut Answers| {
        answers.money.thrift = thrift;
        first(answers, None).expect("a station").text
    };
    let least = text(Thrift::Least, &mut answers);
    assert!(!least.contains("feed_valve = true") && least.contains("backup_level"));
    let sensible = text(Thrift::Sensible, &mut answers);
    assert!(sensible.contains("feed_valve = true") && sensible.contains("leak_detector = true"));
    let kept = text(Thrift::WellKept, &mut answers);
    assert!(kept.contains("longest_run") && kept.contains("tray = "));
}

/// Two tanks of 300 L, one at 35 and 25 °C, of which a tenth is changed each week, one at 30 and 12 °C, of which a fifth is: a
/// batch is mixed to the saltier and to the temperature of the one that takes 60 L of the 90 L; the other is told, and its
/// water needs a heater. Where both are cool there is none.
#[test]
fn a_batch_for_two_tanks_that_differ() {
    let mut answers = Answers::usual(UnitSystem::Si);
    let alike = first(&answers, None).expect("a station");
    assert!(alike.text.contains("target_salinity = 35\n") && alike.text.contains("heater = "));
    assert!(alike.choices.iter().all(|own| !own.topic.ends_with("of a batch")));
    answers.space.width_m = 4.0;
    let mut cool = answers.tanks[0].clone();
    (cool.salinity, cool.temperature_c, cool.change_share) = (30.0, 12.0, 0.2);
    answers.tanks.push(cool);
    let own = first(&answers, None).expect("a station");
    assert!(own.text.contains("target_salinity = 35 "), "{}", own.text);
    assert!(own.text.contains("mixing_temperature = \"12 C\""), "{}", own.text);
    assert!(own.text.contains("salinity = 30\n") && own.text.contains("heater = "));
    assert_eq!(topic(&own, "Salinity of a batch").chosen, "35");
    assert_eq!(topic(&own, "Temperature of a batch").chosen, "12 °C");
    answers.tanks[0].temperature_c = 13.0;
    let both = first(&answers, None).expect("a station");
    assert!(!both.text.contains("heater = "), "{}", both.text);
    assert_eq!(topic(&both, "Heater").chosen, "None");
    assert!(
        both.choices
            .iter()
            .all(|own| own.topic != "Temperature of a batch")
    );
}

/// Where there is no floor for a fresh vessel that gives a batch at once, it is filled in several goes, and the tanks have
/// their water all the same.
#[test]
fn a_batch_in_goes_is_there_when_it_is_wanted() {
    let years = Years {
        years: 20,
        seed: 1,
        threads: 2,
    };
    for gallons in [&[120.0][..], &[120.0, 40.0], &[90.0, 30.0], &[75.0, 40.0]] {
        let mut answers = Answers::usual(UnitSystem::Us);
        let usual = answers.tanks[0].clone();
        answers.tanks = gallons
            .iter()
            .enumerate()
            .map(|(at, gallons)| TankAnswer {
                name: format!("Tank {}", at + 1),
                volume_m3: gallons * 3.785_411_784e-3,
                ..usual.clone()
            })
            .collect();
        let own = first(&answers, Some(&years)).expect("a station");
        let reason = &topic(&own, "Fresh vessel").reason;
        // So many goes of what the file lets one draw over the reserve are a batch, and one fewer is none.
        let told = reason
            .split(" goes")
            .next()
            .and_then(|own| own.rsplit(' ').next());
        let goes: f64 = told
            .and_then(|own| own.parse().ok())
            .unwrap_or_else(|| panic!("{reason}"));
        let fresh = own.proof.levels.vessels.iter().filter(|own| own.holds == "fresh");
        let drawn_m3: f64 = fresh.map(|own| own.drawable_m3[1]).sum();
        let reserve = own.station.reserve.fresh.as_ref().expect("a reserve").value.m3();
        let (spare_m3, batch_m3) = (drawn_m3 - reserve, own.proof.batch.vessels[0].fresh_volume_m3);
        assert!(
            (goes - 1.0) * spare_m3 < batch_m3 && batch_m3 < (goes + 0.06) * spare_m3,
            "{gallons:?}: {batch_m3} in {goes} of {spare_m3}"
        );
        // What it says is left before a fill is what its marks leave.
        let left = own.proof.levels.fresh_always_m3;
        assert_eq!(
            reason.starts_with("Just before a fill"),
            left > 1.1 * reserve,
            "{reason}"
        );
        let year = own.year.expect("its years");
        // A day in all in a year; with batches that never began it was nearly all of it.
        assert!(
            year.shortfall_hours.mean < 24.0,
            "{gallons:?} wait {}",
            year.shortfall_hours.mean
        );
    }
}

/// What years ask for that is only set is set: a reserve that falls short without them is there with them.
#[test]
fn what_its_years_ask_for_is_set() {
    let years = Years {
        years: 40,
        seed: 1,
        threads: 2,
    };
    let short = |station: &Station| {
        let found = year(station, &years, &Progress::default())
            .expect("years")
            .findings;
        found
            .iter()
            .any(|own| own.id == "year-reserve-short" && own.severity == Severity::Should)
    };
    for units in [UnitSystem::Si, UnitSystem::Us] {
        let answers = Answers::usual(units);
        let plain = first(&answers, None).expect("a station");
        let walked = first(&answers, Some(&years)).expect("a station");
        assert!(plain.year.is_none() && walked.year.is_some());
        assert!(
            short(&plain.station) && !short(&walked.station),
            "{}",
            walked.text
        );
        let told = topic(&walked, "Found in its years");
        assert!(
            told.chosen.starts_with("Set the start level of Fresh"),
            "{told:?}"
        );
        assert!(walked.proof.of_severity(Severity::Must).next().is_none());
    }
}
