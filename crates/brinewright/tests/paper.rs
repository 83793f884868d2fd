//! `brinewright prove --out FOLDER`: what lies in the folder, and that the page asks nothing of a network.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, refused};
use std::fs;
use std::sync::OnceLock;

const EXAMPLES: [&str; 3] = ["larkhaven", "juniper-street-school", "skelder-hatchery"];

/// One example's paper, written once into a folder that wasn't there and read by all.
fn written(name: &str) -> &'static tempfile::TempDir {
    static FOLDERS: [OnceLock<tempfile::TempDir>; 3] = [const { OnceLock::new() }; 3];
    let at = EXAMPLES.iter().position(|own| *own == name).expect("an example");
    FOLDERS[at].get_or_init(|| write_out(name))
}

fn write_out(name: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path().join("made/here");
    let line = format!(
        "prove \"../../stations/{name}.toml\" --out \"{}\"",
        here.display()
    );
    let output = common::run(&line);
    assert_eq!(output.status.code(), Some(0), "{name}");
    folder
}

#[test]
fn the_folder_holds_page_drawings_and_tables() {
    for name in EXAMPLES {
        let folder = written(name);
        let here = folder.path().join("made/here");
        for file in [
            "page.html",
            "elevation.svg",
            "schematic.svg",
            "schematic-tags.svg",
            "order-of-turning.csv",
            "supply-by-month.svg",
            "cost-against-run.svg",
            "marks.csv",
            "months.csv",
            "runs.csv",
            "ways-to-fill.csv",
            "valve-settings.csv",
            "flows-and-times.csv",
            "fault-tree.svg",
            "wet-floor.csv",
            "what-helps.csv",
            "test-sheet.csv",
            "faults-alone.csv",
            "rates-assumed.csv",
        ] {
            let text = fs::read_to_string(here.join(file)).unwrap_or_else(|_| panic!("{name}: {file}"));
            assert!(!text.contains("NaN") && !text.contains("inf,"), "{name}: {file}");
        }
        // A head and twelve months; each row as wide as its head.
        let months = fs::read_to_string(here.join("months.csv")).expect("months");
        let rows: Vec<usize> = months.lines().map(|row| row.matches(',').count()).collect();
        assert_eq!(rows.len(), 13, "{name}");
        assert!(
            rows[1..].iter().all(|commas| *commas == rows[1]),
            "{name}: {rows:?}"
        );
    }
}

/// The page opens anywhere: no script, no address but that of its own typeface, which it carries.
#[test]
fn the_page_asks_nothing_of_a_network() {
    for name in EXAMPLES {
        let folder = written(name);
        let page = fs::read_to_string(folder.path().join("made/here/page.html")).expect("the page");
        for wish in ["http:", "https:", "<script", "<link", "<img", "@import", " src="] {
            assert!(!page.contains(wish), "{name}: {wish}");
        }
        assert!(
            page.matches("url(").count() == page.matches("url(data:").count(),
            "{name}"
        );
        // Two layouts of each drawing, a text twin for each: elevation, schematic, two charts of the year and the run, and
        // one for each vessel that differs from the others, a fault tree; and a card for each task, whose text is its twin.
        // The pipes by height have one layout: a phone has no room for them, nor has a page for four vessels.
        let pipes = usize::from(name != "skelder-hatchery");
        let (drawings, cards) = match name {
            "juniper-street-school" => (6, 1),
            "larkhaven" => (7, 6),
            _ => (7, 7),
        };
        assert_eq!(
            page.matches("<svg").count(),
            2 * (drawings + cards) + pipes,
            "{name}"
        );
        assert_eq!(page.matches("<article>").count(), cards, "{name}");
        assert_eq!(page.matches("In words").count(), drawings + pipes, "{name}");
        let proved = page.matches("class=\"finding\"").count();
        assert!(proved > 3, "{name}: {proved}");
    }
}

/// The figures of the letter are those of the page, and each opens its reasons.
#[test]
fn each_headline_figure_opens_its_why() {
    let folder = written("larkhaven");
    let page = fs::read_to_string(folder.path().join("made/here/page.html")).expect("the page");
    let shown: Vec<&str> = page.split("<details class=\"figure\">").skip(1).collect();
    assert!(shown.len() > 10, "{}", shown.len());
    for figure in shown {
        assert!(
            figure.contains("class=\"why\"") && figure.contains("Holds: "),
            "{figure}"
        );
    }
    let answer = json("prove");
    let known = answer["figures"].as_array().expect("figures").iter();
    let titles: Vec<&str> = known.filter_map(|figure| figure["title"].as_str()).collect();
    assert!(titles.iter().filter(|title| page.contains(**title)).count() > 10);
}

#[test]
fn a_folder_that_cannot_be_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("file");
    fs::write(&file, "a file").expect("written");
    let errors = refused(&format!("prove --out \"{}\"", file.display()));
    assert_eq!(errors[0]["what"], "that is a file, not a folder");
    let errors = refused(&format!("year --years 2 --out \"{}\"", file.display()));
    assert_eq!(errors[0]["what"], "that is a file, not a folder");
    // A folder that holds it already is written over.
    let again = folder.path().join("again");
    let bare = bare(folder.path());
    for _ in 0..2 {
        json(&format!("prove \"{bare}\" --out \"{}\"", again.display()));
    }
}

/// A station of one vessel, as a file.
fn bare(folder: &std::path::Path) -> String {
    let file = folder.join("bare.toml");
    fs::write(
        &file,
        "title = \"Bare\"\n\n[vessels.one]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"600 mm\"\n\
         height = \"900 mm\"\noutlet_level = \"50 mm\"\n",
    )
    .expect("written");
    file.display().to_string()
}

/// A station without a purifier, written into the folder of a large one, leaves there what it alone would have written;
/// what else is there stays.
#[test]
fn a_folder_holds_one_proof() {
    let folders = [tempfile::tempdir(), tempfile::tempdir()].map(|folder| folder.expect("a folder"));
    let [used, fresh] = &folders;
    let bare = bare(fresh.path());
    let write = |file: &str, folder: &std::path::Path| {
        json(&format!("prove \"{file}\" --out \"{}\"", folder.display()));
    };
    for entry in fs::read_dir(written("skelder-hatchery").path().join("made/here")).expect("a folder") {
        let entry = entry.expect("an entry");
        fs::copy(entry.path(), used.path().join(entry.file_name())).expect("copied");
    }
    let names = |folder: &std::path::Path| -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .expect("a folder")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .filter(|name| name != "bare.toml")
            .collect();
        names.sort();
        names
    };
    assert!(names(used.path()).len() > 20);
    fs::write(used.path().join("own.csv"), "mine").expect("written");
    write(&bare, used.path());
    write(&bare, fresh.path());
    let mut wanted = names(fresh.path());
    wanted.push("own.csv".to_owned());
    wanted.sort();
    assert_eq!(names(used.path()), wanted);
}

/// Flows and times as a file: one unit to a column, every task at every level, as the object has them.
#[test]
fn flows_and_times_are_the_answers() {
    let folder = written("larkhaven");
    let table = fs::read_to_string(folder.path().join("made/here/flows-and-times.csv")).expect("a table");
    let mut lines = table.lines();
    let heads = lines.next().expect("heads");
    assert!(
        heads.contains("\"time, s\"") && heads.contains("\"flow at first, L/min\""),
        "{heads}"
    );
    let answer = json("lineups \"../../stations/larkhaven.toml\"");
    let lineups = answer["lineups"].as_array().expect("a list");
    let rows: Vec<&str> = lines.collect();
    let moments: Vec<(&str, &serde_json::Value)> = lineups
        .iter()
        .flat_map(|lineup| {
            let name = lineup["name"].as_str().expect("a name");
            lineup["moments"]
                .as_array()
                .expect("a list")
                .iter()
                .map(move |moment| (name, moment))
        })
        .collect();
    assert_eq!(rows.len(), moments.len());
    for (row, (name, moment)) in rows.iter().zip(moments) {
        let cells: Vec<&str> = row.split(',').collect();
        assert_eq!(cells[0], station::shown(name));
        let litres: f64 = cells[3].parse().expect("a number");
        let flow = common::number(&moment["flow"], "value") * 60_000.0;
        // Twelve digits are written.
        assert!((litres / flow - 1.0).abs() < 1e-10, "{row}");
        match moment["time"]["value"].as_f64() {
            Some(seconds) => {
                let told: f64 = cells[6].parse().expect("a number");
                assert!((told / seconds - 1.0).abs() < 1e-10, "{row}");
            }
            None => assert_eq!(cells[6], "", "{row}"),
        }
    }
}

/// Mixing as a file is the object's, in seconds with both ends; on the page it stands as a list.
#[test]
fn mixing_is_the_answer() {
    let folder = written("larkhaven");
    let here = folder.path().join("made/here");
    let table = fs::read_to_string(here.join("mixing.csv")).expect("a table");
    let rows: Vec<&str> = table.lines().collect();
    let answer = json("lineups \"../../stations/larkhaven.toml\"");
    let mixing = answer["mixing"].as_array().expect("a list");
    assert_eq!((rows.len(), mixing.len()), (2, 1), "{table}");
    let cells: Vec<&str> = rows[1].split(',').collect();
    let named = ["turnover", "to_95", "to_99", "first_measurement"];
    for (at, name) in named.iter().enumerate() {
        for (place, end) in ["value", "low", "high"].iter().enumerate() {
            let told: f64 = cells[3 + 3 * at + place].parse().expect("a number");
            let is = common::number(&mixing[0][name], end);
            // Twelve digits are written.
            assert!((told / is - 1.0).abs() < 1e-10, "{name} {end}: {told} {is}");
        }
    }
    let page = fs::read_to_string(here.join("page.html")).expect("a page");
    assert!(page.contains("<h2>Mixing</h2>"));
    for part in [
        "mixed to 95",
        "salt that sank to the floor",
        "measure after the last salt",
    ] {
        assert!(page.contains(part), "{part}");
    }
}
