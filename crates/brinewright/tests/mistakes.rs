//! `mistakes`: what is read in two minutes, what stands behind an option, and that the object is whole either way.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page};
use serde_json::Value;
use station::spoken;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

/// Two minutes at 280 words a minute (house rule).
const MOST_WORDS: usize = 560;
const MOST_LINES: usize = 64;

fn list<'v>(answer: &'v Value, key: &str) -> &'v [Value] {
    answer[key].as_array().expect("a list")
}

/// A text without the turns of its lines.
fn in_one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn told(text: &str, value: &Value) -> bool {
    in_one_line(text).contains(value.as_str().expect("a text"))
}

/// A name, as it is read.
fn told_name(text: &str, value: &Value) -> bool {
    in_one_line(text).contains(&spoken(value.as_str().expect("a name")))
}

/// Words to read; a name is one, of however many it is made.
fn words(text: &str, answer: &Value) -> usize {
    let moves = list(answer, "one_step").iter().chain(list(answer, "left_on"));
    let mut names: Vec<&str> = moves
        .flat_map(|own| ["lineup", "moved", "victim"].map(|key| own[key].as_str().expect("a name")))
        .filter(|name| name.contains('-'))
        .collect();
    // The longest first, so that one isn't taken for a part of another.
    names.sort_by_key(|name| core::cmp::Reverse(name.len()));
    let one_line = in_one_line(text);
    let joined = names
        .iter()
        .fold(one_line, |text, name| text.replace(&spoken(name), name));
    joined.split(' ').count()
}

#[test]
fn the_page_is_read_in_two_minutes() {
    for name in EXAMPLES {
        let command = format!("mistakes ../../stations/{name}.toml");
        let (text, answer) = (page(&command), json(&command));
        assert!(text.lines().count() <= MOST_LINES, "{name}: {text}");
        assert!(words(&text, &answer) <= MOST_WORDS, "{name}: {text}");
        // The causes that matter most with their cheapest changes, and how many more there are; all of them where all are
        // asked for; what is left, what was looked at, where the rest is.
        let whole = page(&format!("{command} --all"));
        let mut left_out = 0;
        for cause in list(&answer, "causes") {
            assert!(told(&whole, &cause["sentence"]), "{name}: {cause}");
            if !told(&text, &cause["sentence"]) {
                left_out += 1;
                continue;
            }
            if let Some(at) = cause["remedy"].as_u64() {
                let remedy = &list(&answer, "remedies")[at as usize];
                assert!(told(&text, &remedy["sentence"]), "{name}: {remedy}");
                if let Some(caution) = remedy["caution"].as_str() {
                    assert!(in_one_line(&text).contains(caution), "{name}: {caution}");
                }
            }
        }
        let says_more = text
            .lines()
            .any(|line| line.starts_with("  and ") && line.ends_with(" more"));
        assert_eq!(says_more, left_out > 0, "{name}: {left_out}");
        assert!(
            left_out * 3 <= list(&answer, "causes").len(),
            "{name}: {left_out}"
        );
        if answer["together"].is_object() {
            let left = number(&answer["together"], "left");
            let of = format!("{left} of {} causes", list(&answer, "causes").len());
            assert!(in_one_line(&text).contains(&of), "{name}: {of}");
        }
        let states = format!(
            "{} states",
            apart(answer["states_tried"].as_u64().expect("a count"))
        );
        assert!(in_one_line(&text).contains(&states), "{name}: {states}");
        assert!(text.ends_with(&format!("{command} --all\n").replace("mistakes", "  brinewright mistakes")));
    }
}

#[test]
fn all_of_it_stands_behind_an_option() {
    for name in EXAMPLES {
        let command = format!("mistakes ../../stations/{name}.toml");
        let (short, all, answer) = (page(&command), page(&format!("{command} --all")), json(&command));
        let read = short
            .split("\nEvery wrong move, every change")
            .next()
            .expect("a part");
        let rest = all.strip_prefix(read).expect("the same comes first");
        for own in list(&answer, "one_step") {
            let (task, moved, turned) = (&own["lineup"], &own["moved"], &own["turned"]);
            assert!(
                told_name(rest, task) && told_name(rest, moved) && told(rest, turned),
                "{name}: {own}"
            );
        }
        for own in list(&answer, "left_on") {
            let line = format!("{}: ", spoken(own["lineup"].as_str().expect("a name")));
            assert!(rest.contains(&line), "{name}: {own}");
        }
        for own in list(&answer, "remedies") {
            assert!(told(rest, &own["sentence"]), "{name}: {own}");
        }
        for own in list(&answer, "hazards") {
            let valves = list(own, "valves_open").iter().filter_map(Value::as_str);
            assert!(
                valves
                    .into_iter()
                    .all(|valve| in_one_line(rest).contains(&spoken(valve))),
                "{name}: {own}"
            );
        }
        for own in list(&answer, "counts").iter().filter(|own| own["states"] != 0) {
            let states = apart(own["states"].as_u64().expect("a count"));
            assert!(rest.contains(&format!(" {states} ")), "{name}: {own}");
        }
    }
}

/// A count with its thousands apart.
fn apart(count: u64) -> String {
    match count {
        0..1000 => count.to_string(),
        _ => format!("{} {:03}", apart(count / 1000), count % 1000),
    }
}

/// contract.md: the object has all of it, whatever the text shows.
#[test]
fn the_object_is_whole_either_way() {
    let answer = json("mistakes");
    assert_eq!(answer, json("mistakes --all"));
    for key in ["states_tried", "patterns_solved"] {
        assert!(number(&answer, key) > 0.0, "{key}");
    }
    for key in ["hazards", "one_step", "left_on", "causes", "remedies", "counts"] {
        assert!(!list(&answer, key).is_empty(), "{key}");
    }
    assert!(answer["exhaustive"].is_string());
}
