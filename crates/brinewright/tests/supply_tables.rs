//! `brinewright supply`: its tables, in the units of their heads, and what they leave out.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page};
use serde_json::Value;
use station::spoken;

/// As a command line from the tests' folder has it; a long path would be wider than the page.
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

/// The lines of a part, by how its heading begins.
fn part<'t>(page: &'t str, heading: &str) -> Vec<&'t str> {
    page.lines()
        .skip_while(|line| !line.starts_with(heading))
        .skip(1)
        .take_while(|line| !line.is_empty())
        .collect()
}

/// A figure at the end of words, thousands apart by one blank.
fn figures(line: &str) -> Vec<f64> {
    line.split("  ")
        .filter_map(|cell| cell.trim().replace(' ', "").parse().ok())
        .collect()
}

/// The rows of the year are those of the answer, in the units of their heads.
#[test]
fn the_year_is_the_answers() {
    for (name, litres) in [("larkhaven", 1.0), ("juniper-street-school", 3.785_411_784)] {
        let text = page(&format!("supply \"{}\"", file(name)));
        let rows = part(&text, "The year");
        let months = json(&format!("supply \"{}\"", file(name)));
        let months = months["supply"]["purifier"]["months"].as_array().expect("months");
        assert_eq!(rows.len(), 2 + months.len());
        for (row, month) in rows[2..].iter().zip(months) {
            assert!(
                row.trim_start()
                    .starts_with(month["month"].as_str().expect("a name"))
            );
            let cells = figures(row);
            let per_day = |key: &str| number(&month[key], "value") * 86_400e3 / litres;
            // Feed, made, ±, need, margin, ±, a fill; each is rounded to its doubt, 10 % at the most.
            for (cell, value) in [
                (cells[1], per_day("made_m3_per_s")),
                (cells[3], per_day("need_m3_per_s")),
                (cells[4], per_day("margin_m3_per_s")),
            ] {
                assert!((cell / value - 1.0).abs() < 0.1, "{name}: {row}: {cell} {value}");
            }
            // A float closes where it hangs: no time from a start level.
            match month["fill_time_s"]["value"].as_f64() {
                Some(fill_s) => assert!((cells[6] * 3600.0 / fill_s - 1.0).abs() < 0.1, "{name}: {row}"),
                None => assert_eq!(cells.len(), 6, "{name}: {row}"),
            }
        }
        assert_eq!(rows.iter().filter(|row| row.ends_with("leanest")).count(), 1);
    }
}

/// What leaves the membrane on either side, month by month, is the answer's too.
#[test]
fn permeate_and_reject_are_the_answers() {
    for (name, litres) in [("larkhaven", 1.0), ("juniper-street-school", 3.785_411_784)] {
        let text = page(&format!("supply \"{}\"", file(name)));
        let rows = part(&text, "While it runs");
        let months = json(&format!("supply \"{}\"", file(name)));
        let months = months["supply"]["purifier"]["months"].as_array().expect("months");
        assert_eq!(rows.len(), 2 + months.len());
        for (row, month) in rows[2..].iter().zip(months) {
            let cells = figures(row);
            let value = |key: &str| number(&month[key], "value");
            let per_day = |key: &str| value(key) * 86_400e3 / litres;
            // Permeate, solids, ±, reject, solids, ±, ratio; the doubt of each is under 20 %, and so its rounding.
            for (cell, value) in [
                (cells[0], per_day("permeate_m3_per_s")),
                (cells[1], 1e3 * value("permeate_solids_kg_m3")),
                (cells[3], per_day("reject_m3_per_s")),
                (cells[4], 1e3 * value("reject_solids_kg_m3")),
                (cells[6], value("reject_m3_per_s") / value("permeate_m3_per_s")),
            ] {
                assert!((cell / value - 1.0).abs() < 0.1, "{name}: {row}: {cell} {value}");
            }
        }
    }
}

/// A state of the feed with one temperature makes all months alike; one row tells them.
#[test]
fn months_alike_are_told_once() {
    let text = page("supply --feed hard-frost");
    // Its 3 °C are beyond the model, which two more lines tell.
    assert_eq!(part(&text, "The year").len(), 5, "{text}");
    assert!(text.contains("Beyond its range"), "{text}");
    assert!(text.contains("On such a day"), "{text}");
    // Where the tanks' need has seasons the months stay apart.
    let text = page(&format!(
        "supply \"{}\" --feed snow-melt",
        file("skelder-hatchery")
    ));
    assert_eq!(part(&text, "The year").len(), 16, "{text}");
}

/// The runs that matter stand where they belong, and only once.
#[test]
fn marks_stand_in_their_order() {
    for name in ["larkhaven", "skelder-hatchery"] {
        let text = page(&format!("supply \"{}\"", file(name)));
        let rows = part(&text, "Against the volume");
        // The last line tells what "best" is.
        let (legend, rows) = rows.split_last().expect("rows");
        assert!(legend.trim_start().starts_with("best:"), "{name}: {legend}");
        let runs: Vec<f64> = rows[2..].iter().map(|row| figures(row)[0]).collect();
        assert!(runs.windows(2).all(|pair| pair[0] < pair[1]), "{name}: {runs:?}");
        for mark in ["<- your run", "long enough", "best"] {
            assert_eq!(rows.iter().filter(|row| row.contains(mark)).count(), 1, "{name}");
        }
    }
}

/// Parts and whole of the cost stand in one unit, and add up as they are printed.
#[test]
fn the_cost_stands_in_one_unit() {
    for name in ["larkhaven", "juniper-street-school", "skelder-hatchery"] {
        let text = page(&format!("supply \"{}\"", file(name)));
        let rows = part(&text, "What purified water costs");
        let money: Vec<f64> = rows[1..].iter().map(|row| figures(row)[0]).collect();
        let (whole, parts) = money.split_last().expect("rows");
        // Each is rounded to its own doubt.
        let sum: f64 = parts.iter().sum();
        assert!((sum / whole - 1.0).abs() < 0.05, "{name}: {sum} {whole}");
    }
}

/// An interval that leans isn't told as a ± that would reach below nothing.
#[test]
fn a_leaning_interval_is_told_by_its_ends() {
    let text = page(&format!("supply \"{}\"", file("skelder-hatchery")));
    let row = part(&text, "One run")
        .into_iter()
        .find(|row| row.contains("salt that its start"))
        .expect("a row");
    assert!(row.contains(" to ") && !row.contains('±'), "{row}");
}

/// Long names are broken, prices may lack, and the page stays within its width.
#[test]
fn the_page_bears_long_names() {
    let long = "the-very-large-touch-pool-in-the-entrance-hall-next-to-the-stairs";
    let (_folder, path) = changed(
        "larkhaven",
        &[
            ("[tanks.touch-pool]", &format!("[tanks.{long}]")),
            ("to = \"touch-pool\"", &format!("to = \"{long}\"")),
            ("price = \"58 EUR\"", ""),
        ],
    );
    let text = page(&format!("supply \"{path}\""));
    assert!(
        text.contains("Not counted, since no price or no life is known: membranes."),
        "{text}"
    );
    // Its first words stand beside the figures, the others below.
    assert!(text.contains("\n  the very large touch pool in  "), "{text}");
    assert!(
        text.contains("\n    the entrance hall next to the\n    stairs\n"),
        "{text}"
    );
}

/// With salt water only, the changes are told, and a moment at which there is nothing isn't.
#[test]
fn without_fresh_water_the_changes_are_told() {
    let text = page(&format!("supply \"{}\"", file("juniper-street-school")));
    assert!(text.contains("no fresh water, 46.7 gal salt"), "{text}");
    assert_eq!(text.matches("When the feed stops").count(), 1, "{text}");
    let answer = json(&format!("supply \"{}\"", file("juniper-street-school")));
    let lasts = number(&answer["supply"]["vessels"][0], "lasts_full_s") / 86_400.0;
    assert!(text.contains(&format!("{lasts:.0} days")), "{text}");
}

/// Odd days stand below the usual one, with what to test.
#[test]
fn odd_days_stand_below_the_usual_one() {
    let text = page("supply");
    let rows = part(&text, "Other days of the feed");
    let answer = json("supply");
    let states = answer["feed_states"].as_array().expect("states");
    assert!(rows[2].trim_start().starts_with("as usual"));
    for (row, state) in rows[3..].iter().zip(states) {
        assert!(
            row.trim_start()
                .starts_with(&spoken(state["name"].as_str().expect("a name")))
        );
        let printed = figures(&row[row.find("days").expect("days") + 4..]);
        let value = |key: &str| number(state, key);
        // Two digits.
        for (cell, value) in [
            (printed[0], value("made_m3_per_s") * 86_400e3),
            (printed[1], value("resin_life_m3") * 1e3),
            (printed[2], value("cost_per_m3") * 0.1),
        ] {
            assert!((cell / value - 1.0).abs() < 0.05, "{row}: {cell} {value}");
        }
        for test in state["tests"].as_array().expect("tests") {
            let Value::String(test) = test else {
                panic!("{test}")
            };
            let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(words.contains(test.as_str()), "{test}");
        }
    }
}

/// A purifier without resin has no column of resin; one that gives nothing says why.
#[test]
fn what_is_not_there_has_no_column() {
    let resin =
        "[resin_beds.canister]\nkind = \"mixed\"\nvolume = \"0.55 L ± 0.03 L\"\nprice = \"15 EUR/L\"\n";
    let (_folder, path) = changed("larkhaven", &[(resin, "")]);
    let text = page(&format!("supply \"{path}\""));
    assert!(
        !text.contains("resin lasts") && !text.contains("resin sees"),
        "{text}"
    );
    assert!(
        part(&text, "Against the volume")[2..]
            .iter()
            .any(|row| row.contains("<- your run"))
    );
    let (_folder, path) = changed(
        "larkhaven",
        &[("pressure = \"4.2 bar ± 0.3 bar\"", "pressure = \"0.1 bar\"")],
    );
    let text = page(&format!("supply \"{path}\""));
    assert!(text.contains("No water is made. At 0.1 bar"), "{text}");
    assert!(!text.contains("No purifier is described"), "{text}");
}
