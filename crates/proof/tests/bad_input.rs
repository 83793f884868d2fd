//! Whatever is done to a file, it ends in placed faults or in a proof: no panic, no NaN, no fault without
//! its mend.

use crate::survival;

use proptest::prelude::*;
use station::Station;
use survival::{cases, due, ends_well, survive};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../stations/larkhaven.toml"),
    include_str!("../../../stations/juniper-street-school.toml"),
    include_str!("../../../stations/skelder-hatchery.toml"),
];

const NONSENSE: &[&str] = &[
    "-1",
    "0",
    "1e308",
    "1e-308",
    "nan",
    "inf",
    "\"\"",
    "\" \"",
    "\"-5 mm\"",
    "\"0 mm\"",
    "\"1e9 L\"",
    "\"1e-9 L\"",
    "\"5 bar\"",
    "\"34 C\"",
    "\"99999999 kg\"",
    "\"1 L ± 5 L\"",
    "\"1 mm ± 100 %\"",
    "\"±\"",
    "\"½\"",
    "\"ten\"",
    "true",
    "[]",
    "[[]]",
    "[[\"0 mm\", \"0 L\"], [\"1 m\", \"100 L\"]]",
    "{}",
    "1979-05-27",
    "\"1,5 m\"",
    "1.025",
    "53",
    "\"53 mS/cm\"",
    "43",
    "\"cylinder\"",
    "\"salt\"",
    "\"automatic\"",
    "\"0 L/day\"",
    "\"1 s\"",
    "\"\\u0000\"",
    "\"1 m\\n2 m\"",
    "\"100 %\"",
    "1.0",
];

/// Each value of each example in turn, swapped for each nonsense.
#[test]
fn values_swapped_for_nonsense() {
    let mut wrong = Vec::new();
    for text in EXAMPLES {
        let lines: Vec<&str> = text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let Some((key, _)) = line.split_once('=').filter(|(key, _)| !key.contains('#')) else {
                continue;
            };
            // Each line meets some nonsense, and over the lines all of it comes.
            for (which, nonsense) in NONSENSE.iter().enumerate() {
                if !due(at + which) {
                    continue;
                }
                let mut changed = lines.clone();
                let swapped = format!("{key}= {nonsense}");
                changed[at] = &swapped;
                if let Err(what) = ends_well(&changed.join("\n")) {
                    wrong.push(format!("line {}: {swapped}: {what}", at + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn lines_cut_and_doubled() {
    for text in EXAMPLES {
        let lines: Vec<&str> = text.lines().collect();
        for at in (0..lines.len()).filter(|at| due(*at)) {
            let mut cut = lines.clone();
            cut.remove(at);
            survive(&cut.join("\n"));
            let mut doubled = lines.clone();
            doubled.insert(at, lines[at]);
            survive(&doubled.join("\n"));
        }
        for end in (0..text.len())
            .filter(|end| text.is_char_boundary(*end))
            .step_by(7)
            .filter(|end| due(end / 7))
        {
            survive(&text[..end]);
        }
    }
}

/// A misspelt key is met by its right spelling.
#[test]
fn keys_misspelt() {
    for text in EXAMPLES {
        let lines: Vec<&str> = text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let Some((key, rest)) = line
                .split_once(" = ")
                // Before a section on one line stands a name of the owner's, not a key.
                .filter(|(key, rest)| !key.contains('#') && key.len() > 3 && !rest.starts_with('{'))
            else {
                continue;
            };
            let mut misspelt: Vec<char> = key.chars().collect();
            misspelt.swap(1, 2);
            if misspelt[1] == misspelt[2] {
                continue;
            }
            let changed = format!("{} = {rest}", misspelt.into_iter().collect::<String>());
            let mut all = lines.clone();
            all[at] = &changed;
            let faults = Station::read(&all.join("\n")).expect_err(&changed);
            assert!(
                faults
                    .iter()
                    .any(|fault| fault.mend.contains(&format!("`{key}`"))),
                "{changed}: {faults:#?}"
            );
        }
    }
}

/// All faults come at once.
#[test]
fn many_faults_are_told_together() {
    let text = EXAMPLES[0]
        .replace("stop_level = \"880 mm ± 5 mm\"", "stop_level = \"880\"")
        .replace("diameter = \"760 mm ± 4 mm\"", "diametre = \"760 mm ± 4 mm\"")
        .replace("salinity = 33\n", "salinity = 1.025\n")
        .replace("use_within = \"3 weeks\"", "use_within = \"3 bar\"");
    let faults = Station::read(&text).unwrap_err();
    let all: Vec<&str> = faults.iter().map(|fault| fault.what.as_str()).collect();
    assert!(faults.len() >= 5, "{all:#?}");
    for part in [
        "`880` has no unit",
        "`diametre` isn't known here",
        "`diameter` is missing",
        "1.025",
        "`bar` measures a pressure",
    ] {
        assert!(
            all.iter().any(|what| what.contains(part)),
            "{part} is missing from {all:#?}"
        );
    }
}

/// Impossible physics is refused with its reason.
#[test]
fn impossible_levels_are_refused() {
    for (from, to, what) in [
        (
            "stop_level = \"880 mm ± 5 mm\"",
            "stop_level = \"1.2 m\"",
            "the stop level is above the rim",
        ),
        (
            "start_level = \"260 mm ± 5 mm\"",
            "start_level = \"900 mm\"",
            "the start level isn't below the stop level",
        ),
        ("salinity = 33\n", "salinity = 50\n", "50"),
        (
            "height = \"1010 mm ± 4 mm\"",
            "height = \"-1010 mm\"",
            "outside what it can be",
        ),
        (
            "batch_volume = \"270 L\"",
            "batch_volume = \"400 L\"",
            "larger than the vessel",
        ),
        // 35.98 g in a litre of sea water of 35 at 25 C (handbook section 11: 36.0): less is impossible.
        (
            "label = \"20 kg makes 540 L at 35 and 25 C, finished\"",
            "label = \"19.4 kg makes 540 L at 35 and 25 C\"",
            "promises more than salt can do",
        ),
    ] {
        assert!(EXAMPLES[0].contains(from), "{from}");
        let faults = Station::read(&EXAMPLES[0].replace(from, to)).unwrap_err();
        assert!(
            faults.iter().any(|fault| fault.what.contains(what)),
            "{to}: {faults:#?}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases(64)))]

    #[test]
    fn any_text_is_survived(text in "\\PC{0,400}") {
        survive(&text);
    }

    #[test]
    fn splices_are_survived(example in 0..EXAMPLES.len(), start in 0.0..1.0_f64, length in 0..60_usize, patch in "[ -~\\n±]{0,20}") {
        let text = EXAMPLES[example];
        let floor = |mut at: usize| { while !text.is_char_boundary(at) { at -= 1; } at };
        let from = floor((start * text.len() as f64) as usize);
        let to = floor((from + length).min(text.len())).max(from);
        survive(&format!("{}{patch}{}", &text[..from], &text[to..]));
    }
}

/// Handbook section 11: 36.0 g a litre of finished water, 36.45 g a kilogram (36.34 a litre) of fresh water.
/// Between them an unsaid label can only count finished water, and is taken so.
#[test]
fn a_label_that_only_finished_water_can_meet_is_taken() {
    let unsaid = EXAMPLES[0].replace(
        "20 kg makes 540 L at 35 and 25 C, finished",
        "19.55 kg makes 540 L at 35 and 25 C",
    );
    let station = Station::read(&unsaid).expect("36.2 g/L is possible as finished water");
    let strength = proof::prove(&station).batch.strength.expect("a strength");
    assert!((0.99..=1.0).contains(&strength), "{strength}");
    let fresh = unsaid.replace("25 C\"", "25 C, fresh\"");
    assert!(fresh.contains("25 C, fresh") && Station::read(&fresh).is_err());
}
