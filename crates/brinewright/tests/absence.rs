//! `absence`: the keys of its answer, its page, what it refuses.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use std::fs;
use std::path::PathBuf;

use common::{json, page, refused};

#[test]
fn it_has_its_keys() {
    let answer = json("absence ../../stations/juniper-street-school.toml --hours 64");
    assert_eq!(answer["format"], 1);
    for key in ["set", "phase", "outcome", "spilled_m3", "hours_to_harm"] {
        assert!(answer["faults"][0].get(key).is_some(), "{key}");
    }
    for key in [
        "minimal_sets",
        "probability_per_year",
        "tests",
        "remedies",
        "answer",
    ] {
        assert!(answer.get(key).is_some(), "{key}");
    }
}

#[test]
fn the_first_sentence_answers() {
    for name in ["larkhaven", "juniper-street-school"] {
        let text = page(&format!("absence ../../stations/{name}.toml"));
        let answer = text.split("\n\n").nth(1).expect("a second paragraph");
        assert!(
            answer.starts_with("Yes, ") || answer.starts_with("No, "),
            "{answer}"
        );
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        // How often is never told with decimals.
        let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for told in joined.split("once in ").skip(1) {
            let range = told.split(" years").next().unwrap_or_default();
            assert!(!range.contains('.'), "{range}");
        }
    }
}

#[test]
fn what_is_refused_says_how_to_mend_it() {
    for (arguments, says) in [
        ("absence --hours 0", "name 1 to 1000"),
        ("absence --from yesterday", "2026-09-14"),
        ("absence --from 2026-02-30", "no day 30"),
    ] {
        let told: String = refused(arguments).iter().map(ToString::to_string).collect();
        assert!(told.contains(says), "{arguments}: {told}");
    }
}

/// Everything that is told, by a fixed day: every fault, every pair, every chance and change.
///
/// After a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all absence::
#[test]
fn pages_as_they_were() {
    for name in ["larkhaven", "juniper-street-school"] {
        let text = page(&format!(
            "absence ../../stations/{name}.toml --all --from 2026-11-27"
        ));
        let path =
            PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/letters/absence-{name}.txt"));
        if std::env::var_os("BLESS").is_some() {
            fs::write(&path, &text).expect("written");
        }
        let before = fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(text, before, "{name}");
    }
}
