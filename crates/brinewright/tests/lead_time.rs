//! `lead-time`: the contract's keys, the schedule as a page, what is refused.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page, refused};

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

/// contract.md: `seconds`, `steps` with `what`, `start_s`, `end_s`; from the worst moment where none is named.
#[test]
fn it_has_the_keys_of_the_contract() {
    for name in EXAMPLES {
        let line = format!("lead-time ../../stations/{name}.toml --volume \"60 L\"");
        let answer = json(&line);
        assert_eq!(answer["format"], 1);
        assert_eq!(answer["situation"], "worst");
        assert!(number(&answer, "seconds") > 0.0);
        assert!(number(&answer, "ready_as_usual_s") >= number(&answer, "seconds"));
        let steps = answer["steps"].as_array().expect("a list");
        assert!(steps.len() > 3);
        for step in steps {
            assert!(step["what"].is_string());
            assert!(number(step, "end_s") >= number(step, "start_s"));
        }
        assert_eq!(answer, json(&format!("{line} --at worst")));
        assert_eq!(
            number(&json(&format!("{line} --at full")), "seconds"),
            0.0,
            "{name}"
        );
    }
}

/// With more in the vessels it is ready sooner.
#[test]
fn levels_count() {
    let line = "lead-time ../../stations/larkhaven.toml --volume \"120 L\"";
    let worst = number(&json(line), "seconds");
    let better = number(&json(&format!("{line} --levels \"fresh=0.8 m\"")), "seconds");
    assert!(better < worst, "{better} {worst}");
}

/// Eighty columns, no line beyond, each caution on it.
#[test]
fn the_schedule_reads_in_eighty_columns() {
    let text = page("lead-time ../../stations/larkhaven.toml --volume \"120 L\"");
    assert!(
        text.contains("120 L of salt water is ready in an emergency in "),
        "{text}"
    );
    for part in [
        "make ",
        "start mix, weigh ",
        "warm it from 11 °C to 20 °C",
        "measure salinity",
        "never dry salt",
    ] {
        assert!(text.contains(part), "{part} isn't in\n{text}");
    }
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let cases = [
        ("--volume 120", "unit"),
        ("--volume \"0 L\"", "above 0"),
        ("--volume \"-5 L\"", "above 0"),
        ("--volume \"500 m3\"", "twenty batches"),
        ("--volume \"120 L\" --levels \"salt=9 m\"", "above the rim"),
    ];
    for (options, part) in cases {
        let errors = refused(&format!("lead-time ../../stations/larkhaven.toml {options}"));
        assert!(
            errors.iter().any(|error| error.to_string().contains(part)),
            "{options}: {errors:?}"
        );
    }
}
