//! Cures by one press, as the buttons of the pages send them.

use std::collections::BTreeSet;

use crate::served::Bench;
use serde_json::{Value, json};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

/// Of findings, as the page's buttons send it: a switch, a quantity and a table alike.
#[test]
fn every_cure_on_offer_is_made_by_one_press_and_taken_back() {
    let text = LARKHAVEN;
    let bench = Bench::of(text);
    let mut news = bench.events("/api/events");
    let mut cured = |revision: u64| news.until(|news| news["cured"] == revision);
    cured(1);
    let proof: Value = serde_json::from_str(&bench.get("/api/proof").body).expect("JSON");
    let findings = proof["findings"].as_array().expect("a list");
    let mut revision = 1;
    let mut quantities = 0;
    for (at, finding) in findings.iter().enumerate() {
        let Some(edits) = finding["remedy"]["edits"].as_array() else {
            continue;
        };
        let press = json!({ "revision": revision, "remedy": { "of": "proof", "at": at, "says": finding["remedy"]["sentence"] } });
        let answer = bench.post("/api/change", &press.to_string());
        assert_eq!(answer.status, 200, "{finding}: {answer:?}");
        let changed = bench.text();
        for edit in edits {
            let (path, wanted) = (edit["path"].as_str(), edit["text"].as_str());
            let stands = station::edit::value(&changed, path.expect("a path")).expect("it stands there");
            assert_eq!(Some(stands.trim_matches('"')), wanted, "{finding}");
            quantities += usize::from(stands.starts_with('"'));
        }
        assert_eq!(bench.post("/api/undo", "{}").status, 200);
        assert_eq!(bench.text(), text);
        revision += 2;
        cured(revision);
    }
    assert!(
        revision > 8 && quantities > 1,
        "cures of both kinds were on offer"
    );
}

/// What a button of a page's text sends.
fn buttons(page: &str) -> Vec<Value> {
    let attribute = |tag: &str, name: &str| {
        let from = tag.split(&format!("{name}=\"")).nth(1).expect("the attribute");
        let plain = from.split('"').next().expect("its end");
        plain
            .replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&")
    };
    page.split("<button")
        .filter_map(|own| own.split('>').next())
        .filter(|tag| tag.contains("data-cure"))
        .map(|tag| {
            let at: usize = attribute(tag, "data-at").parse().expect("a place");
            json!({ "of": attribute(tag, "data-cure"), "at": at, "says": attribute(tag, "data-says") })
        })
        .collect()
}

/// Every button of every page belongs to a cure of its words; what belongs to none, or says something else, does nothing.
#[test]
fn every_button_of_a_page_has_its_cure() {
    let bench = Bench::of(LARKHAVEN);
    bench.events("/api/events").until(|news| news["whole"] == 1);
    let pressed = |path: &str, cure: &Value| {
        let body = json!({ "revision": 1, "remedy": cure });
        bench.post(path, &body.to_string())
    };
    let mut lists = BTreeSet::new();
    for path in ["/mistakes", "/away", "/year", "/compare"] {
        let all = buttons(&bench.get(path).body);
        assert!(!all.is_empty(), "{path} has none");
        for cure in &all {
            let answer = pressed("/api/try", cure);
            assert_eq!(answer.status, 200, "{path}: {cure}: {answer:?}");
            lists.insert(cure["of"].as_str().expect("a word").to_owned());
            for (key, other) in [
                ("says", json!("something else")),
                ("at", json!(999)),
                ("of", json!("nobody")),
            ] {
                let mut wrong = cure.clone();
                wrong[key] = other;
                let answer = pressed("/api/change", &wrong);
                assert_eq!(answer.status, 409, "{path}: {wrong}: {answer:?}");
                assert!(answer.body.contains("cure"), "{}", answer.body);
            }
        }
        assert_eq!(bench.text(), LARKHAVEN, "{path}");
    }
    let told: Vec<&str> = lists.iter().map(String::as_str).collect();
    assert_eq!(told, ["away", "changes", "leading", "mistakes", "year"]);
}

/// A remark beside a value stays where it is, to the byte; whoever changes the value is told of it, before and after.
#[test]
fn a_remark_beside_a_value_that_is_set_is_told() {
    let text = LARKHAVEN.replace(
        "stop_level = \"880 mm ± 5 mm\"",
        "stop_level = \"880 mm ± 5 mm\" # same as the backup",
    );
    assert_ne!(text, LARKHAVEN);
    let bench = Bench::of(&text);
    let told = json!([{
        "path": "vessels.fresh.stop_level",
        "place": "Vessel Fresh: Level at which the fill stops",
        "remark": "same as the backup",
    }]);
    let marks = json!({ "revision": 1, "marks": [{ "path": "vessels.fresh.stop_level", "level_m": 0.85 }] });
    for path in ["/api/try", "/api/change"] {
        let answer: Value = serde_json::from_str(&bench.post(path, &marks.to_string()).body).expect("JSON");
        assert_eq!(answer["remarks"], told, "{path}: {answer}");
    }
    assert!(
        bench
            .text()
            .contains("stop_level = \"850 mm ± 5 mm\" # same as the backup")
    );
    // What stands there already, what has no remark, and what is taken back: nothing is told.
    let again = json!({ "revision": 2, "marks": [{ "path": "vessels.fresh.stop_level", "level_m": 0.85 }] });
    let other = json!({ "revision": 2, "edits": [{ "path": "tanks.touch-pool.volume", "text": "905 L" }] });
    for (path, body) in [
        ("/api/try", again.to_string()),
        ("/api/try", other.to_string()),
        ("/api/undo", "{}".to_owned()),
    ] {
        let answer: Value = serde_json::from_str(&bench.post(path, &body).body).expect("JSON");
        assert_eq!(answer.get("remarks"), None, "{path} {body}: {answer}");
    }
}
