//! Every refusal: what it says, what it underlines, how it is mended.

use station::{Fault, Station};

use crate::SOUND;

/// One fault, planted by this edit.
struct Case {
    from: &'static str,
    to: &'static str,
    what: &'static str,
    underlined: &'static str,
    mend: &'static str,
}

const fn case(
    from: &'static str,
    to: &'static str,
    what: &'static str,
    underlined: &'static str,
    mend: &'static str,
) -> Case {
    Case {
        from,
        to,
        what,
        underlined,
        mend,
    }
}

const CLASSES: &str = "known here: level-switch, cut-out-switch, backup-float, feed-valve, relay, controller, pump, hose, pipe-joint, feed-tube, filter-housing, push-fit, membrane, shut-off-valve, check-valve, heater, leak-detector, flow-switch, overflow-pipe, power, feed, drain, hand-valve, task";

#[rustfmt::skip]
const CASES: &[Case] = &[
    case("latest = \"60 years\"\n", "", "this tells how soon such a part fails, and nothing how late",
        "\"11 years\"", "add latest, the long end of what is thought, or leave both out"),
    case("soonest = \"11 years\"\n", "", "this tells how late such a part fails, and nothing how soon",
        "\"60 years\"", "add soonest, the short end of what is thought, or leave both out"),
    case("\"60 years\"", "\"6 years\"", "the soonest failure comes after the latest",
        "\"11 years\"", "soonest is the short end of what is thought, latest the long end: exchange them?"),
    case("\"11 years\"", "\"11 h\"", "`soonest` is outside what it can be",
        "\"11 h\"", "it lies between 1 day and 10000 years"),
    case("\"60 years\"", "\"60000 years\"", "`latest` is outside what it can be",
        "\"60000 years\"", "it lies between 1 day and 10000 years"),
    case("\"3 months\"", "\"21 years\"", "`tested_every` is outside what it can be",
        "\"21 years\"", "it lies between 1 day and 20 years"),
    case("\"2026-09-14\"", "\"2026-09-31\"", "September 2026 has no day 31",
        "\"2026-09-31\"", "the days of September 2026 go from 1 to 30"),
    case("\"2026-09-14\"", "\"14 September\"", "`14 September` is no date",
        "\"14 September\"", "write year, month and day: \"2026-09-14\""),
    case("\"2026-09-14\"", "1926-09-14", "the year 1926 is outside what it can be",
        "1926-09-14", "it lies between 2000 and 2100"),
    case("\"2026-09-14\"", "2026", "a date is a text",
        "2026", "write year, month and day: \"2026-09-14\""),
    case("tested_last", "tested_least", "`tested_least` isn't known here",
        "tested_least", "did you mean `tested_last`?"),
    case("[failures.leak-detector]", "[failures.leak_detector]", "`leak_detector` isn't known here",
        "leak_detector", "did you mean `leak-detector`?"),
    case("[failures.backup-float]", "[failures.Backup-flote]", "`Backup-flote` isn't known here",
        "Backup-flote", "did you mean `backup-float`?"),
    case("[failures.task]", "[failures.\"\"]", "`` isn't known here",
        "\"\"", CLASSES),
    case("[failures.task]", "[failures.north-pump]", "`north-pump` isn't known here",
        "north-pump", CLASSES),
    case("[failures.backup-float]", "[failure.backup-float]", "`failure` isn't known here",
        "failure", "did you mean `failures`?"),
    case("[failures.leak-detector]", "[failures]", "`tested_every` stands in [failures] without a name of its own",
        "tested_every", "begin a section with its name: [failures.level-switch]"),
    case("\"830 mm ± 5 mm\"", "\"900 mm\"", "the overflow isn't under the rim, so the vessel runs over before it",
        "\"900 mm\"", "put it under the rim; 860 mm keeps the freeboard of 40 mm"),
    case("\"830 mm ± 5 mm\"", "\"790 mm\"", "the overflow isn't above the backup level, so the fill runs to the drain",
        "\"790 mm\"", "put it between 790 mm and the rim at 900 mm, or lower backup_level"),
    case("backup_level = \"790 mm\"\noverflow_level = \"830 mm ± 5 mm\"", "overflow_level = \"600 mm\"",
        "the overflow isn't above the stop level, so the fill runs to the drain",
        "\"600 mm\"", "put it between 740 mm and the rim at 900 mm, or lower stop_level"),
    case("\"830 mm ± 5 mm\"", "\"7 m\"", "`overflow_level` is outside what it can be",
        "\"7 m\"", "it lies between 0 mm and 6 m"),
    case("\"36 mm\"", "\"1 mm\"", "`overflow_bore` is outside what it can be",
        "\"1 mm\"", "it lies between 4 mm and 300 mm"),
    case("\"5 L/min\"", "\"5 L\"", "`L` measures a volume, where a flow is wanted",
        "\"5 L\"", "write it as \"8 L/day\" or \"75 gal/day\""),
    case("\"5 L/min\"", "\"200 L/min\"", "`feed_limiter` is outside what it can be",
        "\"200 L/min\"", "it lies between 0.05 L/min and 100 L/min"),
    case("\"40 L\"", "\"0.5 L\"", "`tray` is outside what it can be",
        "\"0.5 L\"", "it lies between 1 L and 10 m3"),
    case("tray_drained = true", "tray_drained = \"yes\"", "a text stands where true or false is wanted",
        "\"yes\"", "write true or false, without quotes"),
    case("\"32 EUR\"", "\"32 USD\"", "`USD` is no money; this station's currency is EUR",
        "\"32 USD\"", "write it as \"62 EUR\"; another currency goes into [display]"),
];

#[test]
fn every_refusal_teaches() {
    let mut wrong = Vec::new();
    for case in CASES {
        assert_eq!(SOUND.matches(case.from).count(), 1, "{}", case.from);
        let text = SOUND.replace(case.from, case.to);
        let faults = Station::read(&text).expect_err(case.what);
        let [
            Fault {
                span,
                what,
                mend,
                why,
            },
        ] = faults.as_slice()
        else {
            panic!("{}: {faults:#?}", case.what);
        };
        assert!(!why.is_empty(), "{what}");
        let told = (what.as_str(), &text[span.clone()], mend.as_str());
        if told != (case.what, case.underlined, case.mend) {
            wrong.push(told.0.to_owned() + " | " + told.1 + " | " + told.2);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Above the rim a level has its own fault; the overflow says what is wrong with it besides.
#[test]
fn an_overflow_and_a_level_above_the_rim_are_told_apart() {
    let text = SOUND.replace("\"790 mm\"", "\"950 mm\"");
    let faults = Station::read(&text).expect_err("above the rim");
    let told: Vec<(&str, &str)> = faults
        .iter()
        .map(|fault| (&text[fault.span.clone()], fault.mend.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            ("\"950 mm\"", "at most 860 mm keeps the freeboard of 40 mm"),
            ("\"830 mm ± 5 mm\"", "lower backup_level first"),
        ]
    );
}

/// The owner's units are those of the mend.
#[test]
fn a_tape_in_inches_is_mended_in_inches() {
    let text = SOUND
        .replace(
            "title = \"One drum\"",
            "title = \"One drum\"\n[display]\nunits = \"US\"",
        )
        .replace("\"830 mm ± 5 mm\"", "\"40 in\"");
    let faults = Station::read(&text).expect_err("above the rim");
    assert!(
        faults
            .iter()
            .any(|fault| fault.what.starts_with("the overflow") && fault.mend.contains(" in")),
        "{faults:#?}"
    );
}
