//! Whatever stands there: placed faults, or a station in which the keys hold together.

use proptest::prelude::*;
use station::register::Date;
use station::sections::FailureClass;
use station::{Edit, Station, edit};

use crate::{BARE, SOUND};

/// Keys of these sections, with values that fit and others.
const KEYS: &[(&str, &str)] = &[
    ("vessels.north", "overflow_level"),
    ("vessels.north", "overflow_bore"),
    ("vessels.north", "stop_level"),
    ("vessels.north", "backup_level"),
    ("vessels.north", "height"),
    ("purifier", "feed_limiter"),
    ("room", "tray"),
    ("room", "tray_drained"),
    ("failures.backup-float", "soonest"),
    ("failures.backup-float", "latest"),
    ("failures.backup-float", "tested_every"),
    ("failures.backup-float", "tested_last"),
    ("prices", "overflow_pipe"),
];

fn value() -> impl Strategy<Value = String> {
    prop_oneof![
        (-10..2000_i32).prop_map(|mm| format!("\"{mm} mm\"")),
        (0..30_000_u32).prop_map(|years| format!("\"{years} years\"")),
        (1990..2110_u32, 0..14_u32, 0..33_u32)
            .prop_map(|(year, month, day)| format!("\"{year}-{month:02}-{day:02}\"")),
        (0..120_u32).prop_map(|flow| format!("\"{flow} L/min\"")),
        (0..20_u32).prop_map(|volume| format!("\"{volume} m3\"")),
        Just("true".to_owned()),
        Just("2026-09-14".to_owned()),
        Just("08:30:00".to_owned()),
        Just("[]".to_owned()),
        "\\PC{0,20}".prop_map(|text| Edit::quoted("", &text).text),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// Whatever stands in these keys: faults with their place and mend, or a station in which they hold together.
    #[test]
    fn any_values_end_well(drawn in prop::collection::vec((0..KEYS.len(), value()), 1..6)) {
        let edits: Vec<Edit> = drawn
            .into_iter()
            .map(|(at, text)| Edit { path: format!("{}.{}", KEYS[at].0, KEYS[at].1), text })
            .collect();
        let text = edit::apply(SOUND, &edits).expect("each is a value");
        match Station::read(&text) {
            Ok(station) => {
                let vessel = &station.vessels[0];
                let overflow_m = vessel.fields.overflow_level.as_ref().map(|level| level.value.m());
                let overflow_m = overflow_m.expect("it is never taken away");
                prop_assert!(overflow_m < vessel.height_m());
                for level in [&vessel.fields.stop_level, &vessel.fields.backup_level].into_iter().flatten() {
                    prop_assert!(level.value.m() < overflow_m);
                }
                let float = station.failure(FailureClass::BackupFloat).expect("a section");
                let ends = float.soonest.as_ref().zip(float.latest.as_ref());
                let (soonest, latest) = ends.expect("both are never taken away");
                prop_assert!(soonest.value.s() <= latest.value.s());
                let first = Date::parse("2000-01-01").expect("a date");
                let last = float.tested_last.as_ref().expect("it is never taken away");
                // 101 years with 25 leap days.
                prop_assert!((0..101 * 365 + 25).contains(&first.days_until(last.value)));
            }
            Err(faults) => for fault in faults {
                prop_assert!(!fault.what.is_empty() && !fault.mend.is_empty());
                prop_assert!(text.get(fault.span.clone()).is_some());
            },
        }
    }

    /// Whatever a class is called: one of the list, or a fault at its name.
    #[test]
    fn any_name_ends_well(name in prop_oneof!["[a-z-]{0,16}", "\\PC{0,12}"]) {
        let key = Edit::quoted("", &name).text;
        let text = format!("{BARE}[failures.{key}]\n");
        let known = FailureClass::from_name(&name).is_some();
        match Station::read(&text) {
            Ok(station) => prop_assert!(known && station.failures.len() == 1),
            Err(faults) => prop_assert!(!known && faults.iter().any(|fault| text[fault.span.clone()] == key)),
        }
    }
}
