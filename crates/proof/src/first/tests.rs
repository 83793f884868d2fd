//! First stations: sound for many answers, worked by hand for a few, refused in words.

mod by_hand;
mod refused;
mod written;

use proptest::prelude::*;
use station::quantity::UnitSystem;

use super::*;
use crate::Severity;

/// Answers of all kinds: litres and gallons, one tank to eight, small and large, nothing known.
fn answers() -> impl Strategy<Value = Answers> {
    let tank = (
        20.0..1500.0_f64,
        (
            prop_oneof![Just(35.0), 8.0..38.0_f64],
            prop_oneof![Just(25.0), 6.0..32.0_f64],
        ),
        prop_oneof![Just(0.0), 0.05..0.5_f64],
        prop_oneof![Just(1.0), Just(7.0), Just(14.0), Just(30.0)],
        prop_oneof![
            Just(Evaporation::Open),
            Just(Evaporation::Covered),
            (0.1..12.0_f64).prop_map(|litres| Evaporation::Measured(litres * 1e-3 / 86_400.0))
        ],
    )
        .prop_map(
            |(litres, (salinity, temperature_c), change_share, days, evaporation)| TankAnswer {
                name: "Reef".to_owned(),
                volume_m3: litres * 1e-3,
                salinity,
                temperature_c,
                change_share,
                change_every_s: days * 86_400.0,
                evaporation,
            },
        );
    let tap = (
        prop_oneof![
            Just(None),
            (0.005..0.09_f64).prop_map(|own| Some(Minerals::Conductivity(own))),
            (0.03..0.5_f64).prop_map(|own| Some(Minerals::Solids(own)))
        ],
        proptest::option::of(1.5e5..6e5_f64),
        proptest::option::of(4.0..14.0_f64),
        proptest::option::of(15.0..28.0_f64),
        proptest::option::of(any::<bool>()),
    )
        .prop_map(|(minerals, pressure_pa, coldest_c, warmest_c, chloramine)| Tap {
            minerals,
            pressure_pa,
            coldest_c,
            warmest_c,
            chloramine,
        });
    let space = (
        1.0..6.0_f64,
        0.6..2.5_f64,
        2.0..3.5_f64,
        0.6..1.2_f64,
        any::<bool>(),
    )
        .prop_map(|(width_m, depth_m, ceiling_m, door_m, floor_drain)| Space {
            width_m,
            depth_m,
            ceiling_m,
            door_m,
            floor_drain,
        });
    let thrift = prop_oneof![
        Just(Thrift::Least),
        Just(Thrift::Sensible),
        Just(Thrift::WellKept)
    ];
    let money = (
        thrift,
        proptest::option::of(1.0..9.0_f64),
        proptest::option::of((0.1..0.6_f64).prop_map(|kwh| kwh / 3.6e6)),
    )
        .prop_map(|(thrift, water_per_m3, electricity_per_j)| Money {
            thrift,
            water_per_m3,
            electricity_per_j,
        });
    let units = prop_oneof![Just(UnitSystem::Si), Just(UnitSystem::Us)];
    (
        units,
        proptest::collection::vec(tank, 1..=MOST_TANKS),
        tap,
        space,
        money,
        0..22_u8,
    )
        .prop_map(|(units, tanks, tap, space, money, days)| Answers {
            tanks,
            tap,
            space,
            money,
            days_away: f64::from(days),
            ..Answers::usual(units)
        })
}

/// Whether vessels stand side by side in one row, turned one way or the other, by trying all ways.
fn stand_in_a_row(sides_m: &[[f64; 2]], width_m: f64, depth_m: f64) -> bool {
    (0..1_u32 << sides_m.len()).any(|turned| {
        let ways = sides_m
            .iter()
            .enumerate()
            .map(|(at, [a, b])| match turned >> at & 1 {
                0 => [*a, *b],
                _ => [*b, *a],
            });
        let ways: Vec<[f64; 2]> = ways.collect();
        ways.iter().map(|own| own[0]).sum::<f64>() <= width_m && ways.iter().all(|own| own[1] <= depth_m)
    })
}

#[track_caller]
fn is_sound(answers: &Answers, first: &First) {
    let read = Station::read(&first.text).unwrap_or_else(|faults| panic!("{faults:?}\n{}", first.text));
    assert_eq!(first.proof.of_severity(Severity::Must).count(), 0);
    assert_eq!(read.tanks.len(), answers.tanks.len());
    let reserve = |field: &Option<station::register::Field<station::quantity::Volume>>| {
        field.as_ref().map_or(0.0, |field| field.value.m3())
    };
    assert!(first.proof.levels.salt_full_m3 >= reserve(&read.reserve.salt));
    assert!(first.proof.levels.fresh_always_m3 >= reserve(&read.reserve.fresh));
    assert!(reserve(&read.reserve.salt) >= first.proof.needs.emergency_m3 - 1e-9);
    assert!(
        first
            .proof
            .levels
            .vessels
            .iter()
            .all(|own| own.passes_door == Some(true))
    );
    let sides_m: Vec<[f64; 2]> = read
        .vessels
        .iter()
        .map(|own| {
            let (a, b) = own.shape.plan_m().expect("a shape with sides");
            [a, b].map(|side_m| side_m + 2.0 * own.fields.wall_thickness.value.m() - 0.004)
        })
        .collect();
    let Space { width_m, depth_m, .. } = answers.space;
    assert!(
        stand_in_a_row(&sides_m, width_m, depth_m) || stand_in_a_row(&sides_m, depth_m, width_m),
        "{sides_m:?} on {width_m} x {depth_m}"
    );
    assert!(
        first
            .choices
            .iter()
            .all(|choice| !choice.chosen.is_empty() && choice.reason.ends_with('.'))
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_shrink_iters: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// What isn't planned is refused with a mend; nothing panics, and no fault of the program's own comes out.
    #[test]
    fn every_station_that_comes_of_answers_is_sound(answers in answers()) {
        match first(&answers, None) {
            Ok(own) => {
                is_sound(&answers, &own);
                prop_assert_eq!(&own.text, &first(&answers, None).expect("the same again").text);
            }
            Err(fault) => {
                let is_known = matches!(fault, FirstFault::NotPossible { .. });
                prop_assert!(is_known && !fault.mend().is_empty(), "{:?}", fault);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, max_shrink_iters: 10, failure_persistence: None, ..ProptestConfig::default() })]

    /// Walked through its years, a station is as sound as without; what its reasons tell of runs is what its file holds.
    #[test]
    fn years_leave_a_station_sound(answers in answers()) {
        let years = Years { years: 10, seed: 1, threads: 2 };
        let Ok(own) = first(&answers, Some(&years)) else { return Ok(()) };
        is_sound(&answers, &own);
        let year = own.year.as_ref().expect("its years");
        prop_assert!(year.findings.iter().all(|found| found.severity != Severity::Must), "{:?}", year.findings);
        let of_years = own.choices.iter().filter(|choice| choice.topic == "Found in its years");
        let mut told: Vec<&str> = of_years.map(|choice| choice.chosen.as_str()).collect();
        let all = told.len();
        told.sort_unstable();
        told.dedup();
        prop_assert_eq!(told.len(), all, "each cure once");
    }
}

/// With a hall to stand in and a wide door nothing is refused: one tank to eight, 20 L to 1000 L, both units, all purses.
#[test]
fn with_space_enough_there_is_always_a_station() {
    for units in [UnitSystem::Si, UnitSystem::Us] {
        for (count, litres) in [
            (1, 20.0),
            (1, 300.0),
            (3, 120.0),
            (5, 400.0),
            (8, 60.0),
            (8, 1000.0),
        ] {
            for thrift in [Thrift::Least, Thrift::Sensible, Thrift::WellKept] {
                let mut answers = Answers::usual(units);
                answers.money.thrift = thrift;
                answers.space.width_m = 8.0;
                answers.space.depth_m = 2.0;
                answers.space.ceiling_m = 3.0;
                answers.space.door_m = 1.2;
                answers.tanks[0].volume_m3 = litres * 1e-3;
                answers.tanks = vec![answers.tanks[0].clone(); count];
                let own = first(&answers, None).unwrap_or_else(|fault| panic!("{count} x {litres}: {fault}"));
                is_sound(&answers, &own);
            }
        }
    }
}

/// Who spends the least has pressure raised all the same where no membrane makes enough without: 0.6 m³ a day from a tap of
/// 1.5 bar.
#[test]
fn a_weak_tap_has_its_pressure_raised_where_no_membrane_does() {
    let mut answers = Answers::usual(UnitSystem::Si);
    answers.money.thrift = Thrift::Least;
    answers.tap.pressure_pa = Some(1.5e5);
    answers.space.width_m = 3.3;
    answers.space.depth_m = 2.0;
    answers.tanks[0].volume_m3 = 1.48;
    answers.tanks[0].change_share = 0.41;
    answers.tanks[0].change_every_s = 86_400.0;
    let own = first(&answers, None).unwrap_or_else(|fault| panic!("{fault}"));
    is_sound(&answers, &own);
    let purifier = own.station.purifier.as_ref().expect("a purifier");
    assert!(purifier.fields.booster_pressure.is_some(), "{}", own.text);
    // With little to make, it is left at that.
    answers.tanks[0].change_share = 0.02;
    let own = first(&answers, None).unwrap_or_else(|fault| panic!("{fault}"));
    let purifier = own.station.purifier.as_ref().expect("a purifier");
    assert!(purifier.fields.booster_pressure.is_none(), "{}", own.text);
}
