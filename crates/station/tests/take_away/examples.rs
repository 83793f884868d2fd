//! The three examples as they are taken away, and what holds for any list.
//!
//! The texts are kept; they are made again with BLESS=1.

use std::collections::BTreeSet;
use std::fs;

use station::control::take_away::{Contact, Facts, Signal, TakeAway};
use station::control::{Input, Output};

use super::rigs::{EXAMPLES, example, mixture};

fn of(facts: &Facts) -> TakeAway {
    TakeAway::told(facts).expect("a small program")
}

fn all() -> impl Iterator<Item = Facts> {
    EXAMPLES.into_iter().map(example).chain((0..40).map(mixture))
}

#[test]
fn texts_as_they_were() {
    for name in EXAMPLES {
        let now = of(&example(name)).structured_text.text;
        let file = format!("{}/tests/take_away/{name}.st", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("BLESS").is_some() {
            fs::write(&file, &now).expect("written");
        }
        let before = fs::read_to_string(&file).unwrap_or_default();
        assert!(now == before, "{name}.st has changed:\n{now}");
    }
}

/// Eighty columns, except where a single word is longer; each caution; the file's name.
#[test]
fn texts_fit_their_columns_and_carry_the_cautions() {
    for facts in all() {
        let take = of(&facts);
        let text = &take.structured_text.text;
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert_eq!(line.trim_end(), line);
        }
        let flat = text.replace(" *)\n(* ", " ");
        for part in [
            "30 mA",
            "6 mA",
            "licensed electrician",
            "Local codes",
            "test sheet",
            "left alone",
        ] {
            assert!(flat.contains(part), "{part}");
        }
        assert!(
            take.cautions.iter().all(|caution| flat.contains(caution)),
            "{flat}"
        );
        assert!(flat.contains(&facts.file));
        let calls = format!("{}(", take.structured_text.instance);
        assert_eq!(text.matches(&calls).count(), 4);
    }
}

#[test]
fn what_the_owner_wrote_stays_a_comment() {
    let mut facts = example("larkhaven");
    facts.title = "*) END_PROGRAM (* \n {x}".into();
    facts.file = "a*)b.toml".into();
    let text = of(&facts).structured_text.text;
    super::parser::parse(&text).unwrap_or_else(|outside| panic!("{outside:?}\n{text}"));
}

#[test]
fn tags_channels_and_terminals_are_each_given_once() {
    for facts in all() {
        let take = of(&facts);
        let mut seen = BTreeSet::new();
        for point in &take.points {
            assert!(seen.insert(&point.tag), "{} twice", point.tag);
            assert!(seen.insert(&point.channel), "{} twice", point.channel);
            for text in [&point.what, &point.place, &point.closed_while] {
                assert!(!text.is_empty() && !text.contains("  "), "{point:?}");
            }
        }
        let inputs = take
            .points
            .iter()
            .filter(|point| matches!(point.signal, Signal::Input(_)))
            .count();
        assert_eq!(inputs, take.program.inputs().len() - 1, "all but power");
        let outputs = take
            .points
            .iter()
            .filter(|point| matches!(point.signal, Signal::Output(_)))
            .count();
        assert_eq!(outputs, take.program.outputs().len());
    }
}

/// Every point is wired to its channel; no two wires are the same; every coil has its return.
#[test]
fn every_point_is_wired() {
    for facts in all() {
        let take = of(&facts);
        let mut seen = BTreeSet::new();
        for (at, wire) in take.wires.iter().enumerate() {
            assert_eq!(wire.number, at + 1);
            assert!(seen.insert((&wire.from, &wire.to)), "{wire:?} twice");
            assert!(wire.from != wire.to && !wire.what.is_empty(), "{wire:?}");
        }
        for point in &take.points {
            let ends = || take.wires.iter().flat_map(|wire| [&wire.from, &wire.to]);
            assert!(
                ends().any(|end| end.split(':').next() == Some(&point.tag)),
                "{} isn't wired",
                point.tag
            );
            assert!(
                ends().any(|end| end.starts_with(&point.channel)),
                "{} isn't wired",
                point.channel
            );
        }
        // From the controller's output one can get to the return, through the coil.
        for (at, _) in take.program.outputs().enumerate() {
            let go = format!("X2:{}", 2 * at + 1);
            assert!(
                take.wires.iter().any(|wire| wire.from == go),
                "{go} leads nowhere"
            );
        }
    }
}

/// Interlocks stand in the coil's own wire: without their contact nothing leads from the output to the coil.
#[test]
fn interlocks_are_wired() {
    let mut interlocks = 0;
    for facts in all() {
        let take = of(&facts);
        for (at, output) in take.program.outputs().enumerate() {
            let has = match output {
                Output::Pump(at) => !facts.settings.pumps[at].runs_only_with.is_empty(),
                Output::Heater(at) => facts.settings.vessels[at]
                    .heater
                    .is_some_and(|own| own.low_water_cutoff),
                _ => continue,
            };
            let go = format!("X2:{}", 2 * at + 1);
            let coil = format!("K{}:A1", at + 1);
            let direct = take.wires.iter().any(|wire| wire.from == go && wire.to == coil);
            let through = take
                .wires
                .iter()
                .any(|wire| wire.to == coil && wire.what.starts_with("interlock"));
            assert_eq!((direct, through), (!has, has), "{output:?}");
            interlocks += usize::from(has);
        }
    }
    assert!(interlocks > 10);
}

/// The fail-safe side of each contact of the hatchery and of Larkhaven, by hand.
#[test]
fn contacts_of_the_examples() {
    let rows = [
        (
            "larkhaven",
            "LSH-1",
            Contact::NormallyClosed,
            "the water is below it",
        ),
        (
            "larkhaven",
            "LSL-1",
            Contact::NormallyClosed,
            "the water is below it",
        ),
        (
            "larkhaven",
            "LSHH-1",
            Contact::NormallyClosed,
            "the water is below it",
        ),
        (
            "larkhaven",
            "LSLL-1",
            Contact::NormallyOpen,
            "the water is at it or above",
        ),
        (
            "larkhaven",
            "LSL-2B",
            Contact::NormallyOpen,
            "the water is at it or above",
        ),
        (
            "larkhaven",
            "ZSC-1",
            Contact::NormallyOpen,
            "the valve is quite closed",
        ),
        ("larkhaven", "HS-101", Contact::NormallyOpen, "the switch is on"),
        (
            "larkhaven",
            "TE-2",
            Contact::Reading,
            "a reading in °C, with a signal that it is sound",
        ),
        (
            "skelder-hatchery",
            "LSHH-3B",
            Contact::NormallyClosed,
            "the water is below it",
        ),
        ("skelder-hatchery", "FSL-2", Contact::NormallyOpen, "water flows"),
        (
            "skelder-hatchery",
            "XV-16",
            Contact::NormallyOpen,
            "the feed is open",
        ),
    ];
    for (name, tag, contact, closed_while) in rows {
        let take = of(&example(name));
        let point = take.points.iter().find(|point| point.tag == tag);
        let point = point.unwrap_or_else(|| panic!("{name} has no {tag}: {:#?}", take.points));
        assert_eq!(
            (point.contact, point.closed_while.as_str()),
            (contact, closed_while),
            "{tag}"
        );
    }
}

/// A valve that only lets a pump run is told by being open.
#[test]
fn a_valve_that_only_allows_is_told_by_being_open() {
    let (mut open, mut closed) = (0, 0);
    for facts in all() {
        for point in of(&facts).points {
            open += usize::from(point.tag.starts_with("ZSO") && point.on_when_closed);
            closed += usize::from(point.tag.starts_with("ZSC") && !point.on_when_closed);
        }
    }
    assert!(open > 0 && closed > 0);
}

#[test]
fn what_is_missing_is_a_caution() {
    let take = of(&example("juniper-street-school"));
    assert!(
        take.cautions
            .iter()
            .any(|caution| caution.contains("Nothing electric shuts the feed"))
    );
    assert_eq!(take.program.inputs(), [Input::Power]);
    let dry = |take: &TakeAway| {
        let heaters = take
            .cautions
            .iter()
            .filter(|caution| caution.contains("heats it dry"));
        heaters.count()
    };
    assert_eq!(dry(&take), 1);
    assert_eq!(dry(&of(&example("larkhaven"))), 0);
    assert_eq!(dry(&of(&example("skelder-hatchery"))), 2);
}
