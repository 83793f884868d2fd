//! Answers that don't go together, with the words that are said.

use super::*;

#[track_caller]
fn refused(change: impl FnOnce(&mut Answers), question: Question, words: &str) {
    let mut answers = Answers::usual(UnitSystem::Si);
    change(&mut answers);
    let fault = first(&answers, None).expect_err(words);
    assert_eq!(fault.question(), question, "{fault}");
    let told = fault.to_string();
    assert!(told.contains(words), "{told}");
    assert!(!fault.mend().is_empty());
}

#[test]
fn what_does_not_go_together_is_said_with_its_question() {
    refused(|own| own.tanks.clear(), Question::Tanks, "without a tank");
    refused(
        |own| own.tanks = vec![own.tanks[0].clone(); 9],
        Question::Tanks,
        "9 tanks are more than the 8",
    );
    refused(
        |own| own.space.width_m = 0.5,
        Question::Space,
        "The floor is too small: what your tanks ask for takes",
    );
    refused(
        |own| own.space.door_m = 0.3,
        Question::Door,
        "No vessel comes through that door",
    );
    refused(
        |own| own.space.ceiling_m = 0.6,
        Question::Ceiling,
        "The height of the ceiling is beyond",
    );
    refused(
        |own| own.tanks[0].volume_m3 = f64::NAN,
        Question::Tanks,
        "The volume of a tank is beyond",
    );
    // 40 % of 20 m³ are 8000 L.
    refused(
        |own| own.tanks[0].volume_m3 = 20.0,
        Question::Tanks,
        "A tank in trouble takes 8 000 L",
    );
    refused(
        |own| own.currency = "euro".to_owned(),
        Question::Money,
        "no code of a currency",
    );
    refused(
        |own| {
            own.tap.coldest_c = Some(20.0);
            own.tap.warmest_c = Some(10.0);
        },
        Question::Tap,
        "coldest water is warmer",
    );
    refused(
        |own| {
            own.days_away = 300.0;
            own.tanks[0].evaporation = Evaporation::Measured(0.01 / 86_400.0);
        },
        Question::DaysAway,
        "while you are away takes",
    );
}

/// On the floor that a refusal names there is a station.
#[test]
fn a_floor_that_is_asked_for_is_enough() {
    for (width_m, depth_m) in [(0.5, 1.0), (0.9, 0.6), (0.5, 0.3), (1.2, 0.45)] {
        let mut answers = Answers::usual(UnitSystem::Si);
        (answers.space.width_m, answers.space.depth_m) = (width_m, depth_m);
        let told = first(&answers, None).expect_err("too small").to_string();
        let lengths: Vec<f64> = told
            .split(" mm")
            .filter_map(|part| part.rsplit(|c: char| c.is_alphabetic()).next())
            .filter_map(|text| text.split_whitespace().collect::<String>().parse().ok())
            .collect();
        let [along_mm, deep_mm] = lengths[..] else {
            panic!("{told}: {lengths:?}");
        };
        (answers.space.width_m, answers.space.depth_m) = (along_mm * 1e-3, deep_mm * 1e-3);
        assert!(first(&answers, None).is_ok(), "{told}");
    }
}
