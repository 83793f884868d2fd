//! `lineups` and `flows`: the contract's keys, the pages as they are, what is refused.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use std::path::PathBuf;

use common::{json, number, page, refused, run};
use serde_json::Value;
use station::spoken;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

fn file(name: &str) -> String {
    format!("../../stations/{name}.toml")
}

/// A copy of an example with something replaced.
fn changed(name: &str, pairs: &[(&str, &str)]) -> (tempfile::TempDir, String) {
    let mut text = std::fs::read_to_string(file(name)).expect("an example");
    for (from, to) in pairs {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("changed.toml");
    std::fs::write(&path, text).expect("written");
    let path = path.display().to_string();
    (folder, path)
}

fn lineup<'v>(answer: &'v Value, name: &str) -> &'v Value {
    let all = answer["lineups"].as_array().expect("a list");
    all.iter()
        .find(|lineup| lineup["name"] == name)
        .unwrap_or_else(|| panic!("no {name}"))
}

/// contract.md: keys of `lineups`; every number is that of `prove`.
#[test]
fn lineups_has_the_keys_of_the_contract() {
    for name in EXAMPLES {
        let answer = json(&format!("lineups \"{}\"", file(name)));
        let proof = json(&format!("prove \"{}\"", file(name)));
        let all = answer["lineups"].as_array().expect("a list");
        assert!(!all.is_empty());
        for lineup in all {
            for key in [
                "name",
                "valves_open",
                "pumps_on",
                "flow_m3_per_s",
                "seconds",
                "source",
                "moments",
            ] {
                assert!(lineup.get(key).is_some(), "{key} is missing from {lineup}");
            }
            assert!(lineup["valves_open"].is_array() && lineup["pumps_on"].is_array());
            let source = lineup["source"].as_str().expect("a word");
            let suffix = match source {
                "full" => String::new(),
                other => format!("-{other}"),
            };
            let figure = |what: &str| {
                let key = format!(
                    "lineups.{}.{what}{suffix}",
                    lineup["name"].as_str().expect("a name")
                );
                let figures = proof["figures"].as_array().expect("a list");
                figures
                    .iter()
                    .find(|figure| figure["key"] == key.as_str())
                    .map(|figure| figure["value"].clone())
            };
            assert_eq!(
                Some(lineup["flow_m3_per_s"].clone()),
                figure("flow"),
                "{name}: {lineup}"
            );
            assert_eq!(
                lineup["seconds"].clone(),
                figure("time").unwrap_or(Value::Null),
                "{name}: {lineup}"
            );
        }
    }
}

/// `--at` picks the level of the source; one that a source doesn't have is told at the next above, and says so.
#[test]
fn at_picks_the_level_of_the_source() {
    let at = |at: &str| json(&format!("lineups --at {at}"));
    let full = number(lineup(&at("full"), "fresh-bucket"), "flow_m3_per_s");
    let half = number(lineup(&at("half"), "fresh-bucket"), "flow_m3_per_s");
    let start = number(lineup(&at("start"), "fresh-bucket"), "flow_m3_per_s");
    assert!(full > half && half > start, "{full} {half} {start}");
    let usual = json("lineups");
    assert_eq!(lineup(&usual, "fresh-bucket")["source"], "start");
    // Nobody's switch starts a fill of the salt vessel.
    assert_eq!(lineup(&at("start"), "salt-bucket")["source"], "half");
    // At their start levels both vessels stand alike, so that the lowest level at which something flows is another.
    let skelder = json(&format!("lineups \"{}\"", file("skelder-hatchery")));
    assert_eq!(lineup(&skelder, "equalise")["source"], "half");
    let start = json(&format!("lineups \"{}\" --at start", file("skelder-hatchery")));
    let level = lineup(&start, "equalise");
    assert_eq!(level["source"], "start");
    assert!(
        level["flow_m3_per_s"].is_null() && level["seconds"].is_null(),
        "{level}"
    );
}

/// A task that would flow uphill: no valves, no flow, a finding that must be fixed.
#[test]
fn a_task_that_cannot_be_says_so() {
    let (_folder, path) = changed(
        "larkhaven",
        &[
            (
                "salt-tap = { height = \"330 mm\"",
                "salt-tap = { height = \"1340 mm\"",
            ),
            (
                "[lines.salt-spout]\nfrom = \"salt-leg\"\nto = \"salt-tap\"\ntube = \"metric pipe 10 bar\"\nsize = \"32 mm\"\nlength = \"350 mm\"",
                "[lines.salt-spout]\nfrom = \"salt-leg\"\nto = \"salt-tap\"\ntube = \"metric pipe 10 bar\"\nsize = \"32 mm\"\nlength = \"1.6 m\"",
            ),
        ],
    );
    let answer = json(&format!("lineups \"{path}\""));
    let own = lineup(&answer, "salt-bucket");
    for key in ["valves_open", "flow_m3_per_s", "seconds"] {
        assert!(own[key].is_null(), "{key}: {own}");
    }
    let findings = answer["findings"].as_array().expect("a list");
    assert!(
        findings
            .iter()
            .any(|finding| finding["id"] == "lineup-not-found" && finding["where"] == "lineups.salt-bucket"),
        "{findings:?}"
    );
    let text = page(&format!("lineups \"{path}\""));
    assert!(text.contains("No setting of the valves does it."), "{text}");
    assert_eq!(
        run(&format!("lineups \"{path}\" --strict")).status.code(),
        Some(3)
    );
    assert_eq!(run("lineups --strict").status.code(), Some(0));
    let fault = &refused(&format!("flows \"{path}\" --lineup salt-bucket"))[0];
    assert_eq!(fault["where"], "--lineup");
}

/// Where no setting is named, all are told: each with the figures that `lineups` has of it.
#[test]
fn flows_lists_the_settings() {
    for name in EXAMPLES {
        let (list, text) = (
            json(&format!("flows \"{}\"", file(name))),
            page(&format!("flows \"{}\"", file(name))),
        );
        let lineups = json(&format!("lineups \"{}\"", file(name)));
        assert_eq!(list["lineups"], lineups["lineups"], "{name}");
        for own in lineups["lineups"].as_array().expect("a list") {
            let name = own["name"].as_str().expect("a name");
            let row = text
                .lines()
                .find(|row| row.trim_start().starts_with(&spoken(name)));
            let row = row.unwrap_or_else(|| panic!("no {name} in {text}"));
            assert!(row.contains("/min"), "{row}");
            assert_eq!(
                row.contains(" min") || row.contains(" s"),
                own["seconds"].is_number(),
                "{row}"
            );
        }
        let first = lineups["lineups"][0]["name"].as_str().expect("a name");
        assert!(text.contains(&format!("--lineup {first}\n")), "{text}");
    }
    // A moment is looked at line by line.
    assert_eq!(refused("flows --at full").len(), 1);
    assert_eq!(refused("flows --levels \"fresh=0.5 m\"").len(), 1);
}

/// contract.md: keys of `flows`; what comes to a junction goes on.
#[test]
fn flows_has_the_keys_of_the_contract() {
    for at in ["start", "full", "worst"] {
        let answer = json(&format!("flows --lineup fresh-to-salt --at {at}"));
        assert_eq!(answer["situation"], at);
        let links = answer["links"].as_array().expect("a list");
        for link in links {
            for key in ["flow_m3_per_s", "velocity_m_per_s", "head_loss_m"] {
                number(link, key);
            }
        }
        for node in answer["nodes"].as_array().expect("a list") {
            for key in ["name", "head_m", "gauge_pressure_pa"] {
                assert!(node.get(key).is_some(), "{node}");
            }
        }
        assert!(number(&answer, "residual_m3_per_s").abs() < 1e-10);
        assert!(number(&answer, "iterations") >= 1.0);
        // The way comes first, from the source on.
        let names: Vec<&str> = links.iter().filter_map(|link| link["name"].as_str()).collect();
        assert_eq!(
            names[..7],
            [
                "fresh-out",
                "pump-suction",
                "bracket",
                "riser",
                "wall-low",
                "wall-high",
                "over-the-rim"
            ]
        );
        let flow = number(&links[0], "flow_m3_per_s");
        for link in &links[1..7] {
            assert!(
                (number(link, "flow_m3_per_s") / flow - 1.0).abs() < 1e-9,
                "{link}"
            );
        }
        assert!(links[7..].iter().all(|link| link["regime"] == "still"));
    }
    assert_eq!(json("flows --lineup mix")["situation"], "worst");
}

/// With the source full it is the flow of `lineups`: the same network.
#[test]
fn flows_and_lineups_agree() {
    for name in EXAMPLES {
        let lineups = json(&format!("lineups \"{}\" --at full", file(name)));
        for lineup in lineups["lineups"].as_array().expect("a list") {
            let own = lineup["name"].as_str().expect("a name");
            // The target stands at its start level there.
            let levels: Vec<String> = match (lineup["source_level_m"].as_f64(), lineup["from"].as_str()) {
                (Some(level_m), Some(from)) => vec![format!("{from}={level_m} m")],
                _ => Vec::new(),
            };
            let flows = json(&format!(
                "flows \"{}\" --lineup {own} --at start --levels \"{}\"",
                file(name),
                levels.join(", ")
            ));
            assert_eq!(flows["situation"], "levels");
            let first = number(&flows["links"][0], "flow_m3_per_s").abs();
            let told = number(lineup, "flow_m3_per_s");
            // 1e-6: the solver's tolerance.
            assert!((first / told - 1.0).abs() < 1e-6, "{name}: {own}: {first} {told}");
        }
    }
}

#[test]
fn levels_are_refused_with_their_reason() {
    for (levels, parts) in [
        (
            "frsh=0.4 m",
            &["there is no vessel `frsh`", "did you mean `fresh`?"][..],
        ),
        ("fresh=3 m", &["above the rim of `fresh`", "1 010 mm high"]),
        ("fresh=-1 mm", &["below the floor of `fresh`"]),
        ("fresh=0.4", &["has no unit"]),
        ("fresh", &["`fresh` has no `=`", "fresh=0.42 m"]),
        ("fresh=0.4 m, fresh=0.5 m", &["`fresh` is given twice"]),
        ("fresh=0.4 m ± 5 mm", &["a moment has none", "leave the ± out"]),
        ("", &["has no `=`"]),
    ] {
        let faults = refused(&format!("flows --lineup mix --levels \"{levels}\""));
        assert_eq!(faults.len(), 1, "{levels}: {faults:?}");
        assert_eq!(faults[0]["where"], "--levels");
        let said = format!("{} {}", faults[0]["what"], faults[0]["mend"]);
        for part in parts {
            assert!(said.contains(part), "{levels}: {said}");
        }
    }
    assert_eq!(
        refused("flows --lineup mix --levels \"frsh=2 m, salt=3 m, fresh\"").len(),
        3
    );
    let fault = &refused("flows --lineup mixx")[0];
    assert_eq!(fault["mend"], "did you mean `mix`?");
    let (_folder, path) = changed(
        "juniper-street-school",
        &[(
            "[lineups.bucket]\nfrom = \"drum\"\nto = \"bucket\"\nopen = \"spigot\"\n",
            "",
        )],
    );
    let fault = &refused(&format!("flows \"{path}\" --lineup bucket"))[0];
    assert!(
        fault["what"]
            .as_str()
            .is_some_and(|what| what.contains("has none")),
        "{fault}"
    );
    assert_eq!(
        json(&format!("lineups \"{path}\""))["lineups"],
        Value::Array(vec![])
    );
}

/// A figure of a network has many inputs: they stand by their part, and the answer stays under a page.
#[test]
fn why_groups_many_inputs() {
    let page = page("why lineups.fresh-to-salt.flow");
    assert!(
        page.contains("lines.riser: bore 25.0 mm ± 0.8 mm (4), length 900 mm"),
        "{page}"
    );
    assert!(page.lines().count() < 50, "{page}");
    let all = json("why lineups.fresh-to-salt.flow");
    assert!(all["inputs"].as_array().is_some_and(|inputs| inputs.len() > 12));
}

/// What comes into each vessel and leaves it, the purifier's fill included, with its reason.
#[test]
fn flows_tells_the_fill() {
    let answer = json("flows --lineup fresh-to-salt --at start");
    let vessels = answer["vessels"].as_array().expect("a list");
    assert_eq!(vessels.len(), 2);
    let fresh = &vessels[0];
    let [lines, permeate, net] =
        ["from_lines_m3_per_s", "permeate_m3_per_s", "net_m3_per_s"].map(|key| number(fresh, key));
    assert!(lines < 0.0 && permeate > 0.0);
    assert!((lines + permeate - net).abs() < 1e-15);
    assert!((number(&vessels[1], "net_m3_per_s") + lines).abs() < 1e-9);
    let text = page("flows --lineup fresh-to-salt --at start");
    assert!(text.contains("Into the vessels"), "{text}");
    assert!(text.contains("The purifier runs into fresh"), "{text}");
    let full = page("flows --lineup fresh-to-salt --at full");
    assert!(full.contains("Nothing runs into fresh"), "{full}");
}

/// The pages as they are; after a change that was read and is meant: BLESS=1 cargo test -p brinewright --test all lineups::
#[test]
fn pages_as_they_were() {
    let flows = [
        ("larkhaven", "fresh-to-salt"),
        ("juniper-street-school", "bucket"),
        ("skelder-hatchery", "change"),
    ];
    let mut pages: Vec<(String, String, &str)> = EXAMPLES
        .iter()
        .map(|name| {
            (
                format!("lineups-{name}"),
                format!("lineups \"{}\"", file(name)),
                *name,
            )
        })
        .collect();
    pages.extend(flows.iter().map(|(name, lineup)| {
        (
            format!("flows-{name}"),
            format!("flows \"{}\" --lineup {lineup}", file(name)),
            *name,
        )
    }));
    for (kept, command, name) in pages {
        let text = page(&command).replace(&file(name), &format!("stations/{name}.toml"));
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("tests/letters/{kept}.txt"));
        if std::env::var_os("BLESS").is_some() {
            std::fs::write(&path, &text).expect("written");
        }
        let before = std::fs::read_to_string(&path).expect("a page that was kept");
        assert_eq!(text, before, "the page {kept} has changed");
    }
}
