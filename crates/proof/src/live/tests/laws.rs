//! Laws that hold for every station and every script.

use std::collections::BTreeSet;

use super::super::{Beginning, Entry, LiveFault, Recorded, Snapshot, replay};
use super::{EXAMPLES, a_day, bytes, example, seen, with};

/// Water and salt are lost by less than this share: the design's bound of every simulation.
const LOST: f64 = 1e-9;

/// Pictures that differ by no more than this, in their own SI units.
const SAME: f64 = 1e-6;

fn sound(name: &str, seen: &Snapshot) {
    let balance = &seen.balance;
    assert!(
        balance.holds() && balance.water_residual < LOST && balance.salt_residual < LOST,
        "{name} at {}: {balance:?}",
        seen.t_s
    );
    // The entries that people read come to those sums.
    let of = |side: &[Entry]| {
        side.iter().fold((0.0, 0.0), |(water, salt), own| {
            (water + own.water_m3, salt + own.salt_kg)
        })
    };
    let ((water_m3, salt_kg), (is_m3, is_kg)) = (of(&balance.came), of(&balance.there));
    assert!(
        (water_m3 / is_m3 - 1.0).abs() < LOST && (salt_kg / is_kg - 1.0).abs() < LOST,
        "{name}: {balance:?}"
    );
    for vessel in &seen.vessels {
        let sane = vessel.level_m.is_finite()
            && vessel.volume_m3 >= -1e-9
            && vessel.level_m <= vessel.height_m + 1e-9
            && (-1e-9..60.0).contains(&vessel.practical_salinity)
            && (0.0..=60.0).contains(&vessel.temperature_c);
        assert!(sane, "{name} at {}: {vessel:?}", seen.t_s);
    }
}

/// A day of each example, walked act by act: its record, and its last picture.
fn walked(name: &str, beginning: Beginning, stride_s: f64) -> (Vec<Recorded>, Snapshot) {
    let station = example(name);
    with(&station, beginning, |live| {
        for (at_s, act) in a_day(&station, live) {
            while live.t_s() + stride_s < at_s {
                live.advance(stride_s).expect("goes on");
                sound(name, &seen(live));
            }
            live.advance_to(at_s).expect("goes on");
            live.act(&act)
                .unwrap_or_else(|error| panic!("{name}: {act:?}: {error}"));
            sound(name, &seen(live));
        }
        let end_s = live.record().last().expect("acts").at_s + 600.0;
        while live.t_s() + stride_s < end_s {
            live.advance(stride_s).expect("goes on");
        }
        live.advance_to(end_s).expect("goes on");
        let last = seen(live);
        sound(name, &last);
        assert!(last.balance.water_came_m3 > 0.0, "{name}");
        (live.record().to_vec(), last)
    })
}

/// The same acts at the same times come to the same bytes; looking often changes nothing, and water and salt balance
/// throughout, from both beginnings.
#[test]
fn a_record_comes_to_the_same_bytes() {
    for (name, _) in EXAMPLES {
        for beginning in [Beginning::Full, Beginning::Filling] {
            let (record, last) = walked(name, beginning, 29.7);
            assert!(record.len() > 10, "{name}: {}", record.len());
            let again = replay(&example(name), beginning, &record, last.t_s).expect("replays");
            assert_eq!(bytes(&last), bytes(&again), "{name}");
        }
    }
}

/// A record survives being written and read.
#[test]
fn a_record_is_plain_text() {
    let (record, last) = walked("Juniper", Beginning::Full, 1e9);
    let text = serde_json::to_string(&record).expect("writes");
    let read: Vec<Recorded> = serde_json::from_str(&text).expect("reads");
    assert_eq!(record, read);
    let again = replay(&example("Juniper"), Beginning::Full, &read, last.t_s).expect("replays");
    assert_eq!(bytes(&last), bytes(&again));
}

/// In one stride or in many: the state is the same within 1e-6 (times are summed in another order).
#[test]
fn strides_do_not_matter() {
    for (name, _) in EXAMPLES {
        let (_, once) = walked(name, Beginning::Filling, 1e9);
        let (_, often) = walked(name, Beginning::Filling, 0.73);
        assert!((once.t_s - often.t_s).abs() < SAME, "{name}");
        for (a, b) in once.vessels.iter().zip(&often.vessels) {
            for (a, b) in [
                (a.level_m, b.level_m),
                (a.volume_m3, b.volume_m3),
                (a.practical_salinity, b.practical_salinity),
                (a.temperature_c, b.temperature_c),
            ] {
                assert!((a - b).abs() < SAME, "{name}: {a} {b}");
            }
        }
        assert_eq!(once.harms.len(), often.harms.len(), "{name}");
        assert_eq!(once.alarms, often.alarms, "{name}");
    }
}

/// Each fault put in alone into a station that has just asked for water, for three hours, with each fourth task begun; then
/// mended: nothing is lost. Every fault is called by words of its own.
#[test]
fn no_fault_loses_water_or_salt() {
    for (name, _) in EXAMPLES {
        let station = example(name);
        let faults = with(&station, Beginning::Filling, |live| live.faults());
        let words: BTreeSet<&String> = faults.iter().map(|own| &own.fault).collect();
        assert_eq!(words.len(), faults.len(), "{name}");
        for (at, fault) in faults.into_iter().enumerate() {
            with(&station, Beginning::Filling, |live| {
                let task = &station.lineups[at % station.lineups.len()].name;
                let fault = fault.fault.clone();
                live.act(&super::begin(task)).expect("begins");
                live.advance(20.3).expect("goes on");
                live.act(&super::Act::Break { fault: fault.clone() })
                    .expect("breaks");
                for _ in 0..6 {
                    live.advance(1800.0).expect("goes on");
                    sound(name, &seen(live));
                }
                assert_eq!(seen(live).faults, std::slice::from_ref(&fault), "{name}");
                live.act(&super::Act::Mend { fault }).expect("mends");
                live.advance(1800.0).expect("goes on");
                sound(name, &seen(live));
                assert!(seen(live).faults.is_empty() && seen(live).powered, "{name}");
            });
        }
    }
}

/// What can't be done is refused, and leaves no trace.
#[test]
fn what_cannot_be_is_refused() {
    use super::Act;
    with(&example("Larkhaven"), Beginning::Full, |live| {
        let before = bytes(&seen(live));
        let salt = |mass_kg: f64| Act::Salt {
            vessel: "salt".to_owned(),
            mass_kg,
        };
        for act in [
            super::valve("nowhere", true),
            super::begin("nothing"),
            salt(f64::NAN),
            salt(-1.0),
            salt(50.0),
            Act::Break {
                fault: "a ghost".to_owned(),
            },
        ] {
            assert!(live.act(&act).is_err(), "{act:?}");
        }
        for seconds in [f64::NAN, -1.0, f64::INFINITY, 1e12] {
            assert!(
                matches!(live.advance(seconds), Err(LiveFault::Number { .. })),
                "{seconds}"
            );
        }
        assert!(live.record().is_empty());
        assert_eq!(before, bytes(&seen(live)));
    });
}
