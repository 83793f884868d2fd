//! What is said is read, what isn't has its default.

use station::Station;
use station::quantity::Time;
use station::register::Field;
use station::sections::FailureClass;

use crate::{BARE, SOUND};

const YEAR_S: f64 = 365.25 * 86_400.0;

#[track_caller]
fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
}

/// To the last digits that conversions of a unit leave.
fn close(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= 1e-12 * expected.abs()
}

#[test]
fn what_is_said_is_read() {
    let station = read(SOUND);
    let vessel = &station.vessels[0].fields;
    let overflow = vessel.overflow_level.as_ref().expect("an overflow");
    assert!(close(overflow.value.m(), 0.83) && close(overflow.spread.half_width, 0.005));
    assert!(close(vessel.overflow_bore.value.m(), 0.036));
    let limiter = station
        .purifier
        .as_ref()
        .and_then(|own| own.fields.feed_limiter.as_ref());
    assert!(limiter.is_some_and(|limiter| close(limiter.value.m3_s(), 5e-3 / 60.0)));
    let tray = station.room.tray.as_ref();
    assert!(tray.is_some_and(|tray| close(tray.value.m3(), 0.04)));
    assert!(station.room.tray_drained.value);

    let float = station.failure(FailureClass::BackupFloat).expect("a section");
    let seconds = |time: &Option<Field<Time>>| time.as_ref().map_or(f64::NAN, |time| time.value.s());
    assert!(close(seconds(&float.soonest), 11.0 * YEAR_S));
    assert!(close(seconds(&float.latest), 60.0 * YEAR_S));
    assert!(close(seconds(&float.tested_every), YEAR_S / 4.0));
    let last = float
        .tested_last
        .as_ref()
        .map(|date| (date.value.to_string(), date.path.as_str()));
    assert_eq!(
        last,
        Some(("2026-09-14".to_owned(), "failures.backup-float.tested_last"))
    );
    let detector = station.failure(FailureClass::LeakDetector).expect("a section");
    assert!(detector.soonest.is_none() && detector.latest.is_none() && detector.tested_last.is_none());
    assert!(station.failure(FailureClass::Relay).is_none());
    // In the order of the file.
    let names: Vec<&str> = station.failures.iter().map(|own| own.name.as_str()).collect();
    assert_eq!(names, ["backup-float", "leak-detector", "task"]);

    let prices = &station.prices;
    for (price, expected) in [
        (&prices.leak_detector, 35.0),
        (&prices.feed_valve, 42.0),
        (&prices.float_valve, 22.0),
        (&prices.overflow_pipe, 30.0),
        (&prices.tray, 55.0),
        (&prices.feed_limiter, 16.0),
        (&prices.heater_cutout, 32.0),
    ] {
        let price = price.as_ref().expect("a price");
        assert!(close(price.value.amount(), expected), "{}", price.path);
    }
}

#[test]
fn what_isnt_said_has_its_default() {
    let station = read(BARE);
    let vessel = &station.vessels[0].fields;
    assert!(vessel.overflow_level.is_none());
    assert!(close(vessel.overflow_bore.value.m(), 0.026) && !vessel.overflow_bore.is_given());
    assert!(station.room.tray.is_none() && !station.room.tray_drained.value);
    let purifier = station.purifier.as_ref();
    assert!(purifier.is_some_and(|own| own.fields.feed_limiter.is_none()));
    assert!(station.failures.is_empty());
    for class in FailureClass::ALL {
        assert!(station.failure(class).is_none());
    }
    assert!(station.prices.tray.is_none() && station.prices.heater_cutout.is_none());
}

/// Every class has its section, and the section its class.
#[test]
fn each_class_is_read_by_its_name() {
    for (at, class) in FailureClass::ALL.into_iter().enumerate() {
        let days = at + 1;
        let text = format!(
            "{BARE}[failures.{}]\nsoonest = \"{days} days\"\nlatest = \"10000 years\"\n",
            class.name()
        );
        let station = read(&text);
        for other in FailureClass::ALL {
            let soonest = station.failure(other).and_then(|own| own.soonest.as_ref());
            match other == class {
                true => assert!(soonest.is_some_and(|own| close(own.value.s(), 86_400.0 * days as f64))),
                false => assert!(soonest.is_none(), "{other:?}"),
            }
        }
    }
}

/// What is thought may be one number, an end may have its doubt, a date may stand without quotes.
#[test]
fn what_is_sound_is_taken() {
    for (from, to) in [
        ("latest = \"60 years\"", "latest = \"11 years\""),
        ("\"11 years\"", "\"1 day\""),
        ("\"60 years\"", "\"10000 years\""),
        ("\"11 years\"", "\"11 years ± 2 years\""),
        ("\"3 months\"", "\"20 years\""),
        ("\"3 months\"", "\"26 weeks\""),
        ("\"2026-09-14\"", "2026-09-14"),
        ("\"2026-09-14\"", "\" 2100-12-31 \""),
        ("tested_every = \"3 months\"\n", ""),
        ("soonest = \"11 years\"\nlatest = \"60 years\"\n", ""),
        ("tray = \"40 L\"\n", ""),
        ("\"40 L\"", "\"10 m3\""),
        ("\"5 L/min\"", "\"0.05 L/min\""),
        ("\"830 mm ± 5 mm\"", "\"899 mm\""),
        ("\"830 mm ± 5 mm\"", "\"791 mm\""),
        ("overflow_bore = \"36 mm\"\n", ""),
        (
            "stop_level = \"740 mm\"\nbackup_level = \"790 mm\"\noverflow_level = \"830 mm ± 5 mm\"",
            "overflow_level = \"0 mm\"",
        ),
    ] {
        assert_eq!(SOUND.matches(from).count(), 1, "{from}");
        read(&SOUND.replace(from, to));
    }
}
