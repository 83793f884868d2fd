//! `lineups`: what to close to take each part out, by the contract's keys, and as it is told.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, page};
use station::spoken;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

/// contract.md: `service` [{`part`, `close`, `spilled_m3`}]; it is that of `prove`.
#[test]
fn service_has_the_keys_of_the_contract() {
    for name in EXAMPLES {
        let answer = json(&format!("lineups \"../../stations/{name}.toml\""));
        let parts = answer["service"].as_array().expect("a list");
        assert!(parts.len() > 5, "{name}");
        for part in parts {
            assert!(part["part"].is_string() && part["close"].is_array(), "{part}");
            assert!(
                part["spilled_m3"].as_f64().is_some_and(|spilled| spilled >= 0.0),
                "{part}"
            );
            for key in [
                "kind", "first", "drain", "lines_m3", "still", "capped", "lost", "without", "cautions",
            ] {
                assert!(part.get(key).is_some(), "{key} is missing from {part}");
            }
        }
        let proof = json(&format!("prove \"../../stations/{name}.toml\""));
        assert_eq!(proof["service"]["parts"], answer["service"], "{name}");
    }
}

/// Every part of the object stands on the page under its name, within its 80 columns.
#[test]
fn every_part_is_told() {
    for name in EXAMPLES {
        let command = format!("lineups --service \"../../stations/{name}.toml\"");
        let text = page(&command);
        let told = text.split_once("Taking parts out").expect("its heading").1;
        let flat = told.split_whitespace().collect::<Vec<&str>>().join(" ");
        for part in json(&command)["service"].as_array().expect("a list") {
            let own = spoken(part["part"].as_str().expect("a name"));
            assert!(flat.contains(&own), "{name}: {own}");
        }
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}");
    }
}
