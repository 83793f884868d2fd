//! `brinewright new`, as scripts and people call it.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, page, refused, run};
use std::fs;
use std::path::Path;

fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().display().to_string())
        .collect();
    names.sort();
    names
}

fn at(folder: &Path, name: &str) -> String {
    folder.join(name).display().to_string()
}

#[test]
fn a_new_file_proves_and_stands_alone_in_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    let file = at(folder.path(), "mine.toml");
    assert_eq!(json(&format!("new \"{file}\""))["written"], file.as_str());
    assert_eq!(names_in(folder.path()), ["mine.toml"]);
    assert_eq!(fs::read_to_string(&file).unwrap(), station::template());
    let proof = json(&format!("prove \"{file}\""));
    assert!(
        proof["figures"]
            .as_array()
            .is_some_and(|figures| figures.len() > 20),
        "{proof}"
    );
    assert_eq!(
        run(&format!("prove \"{file}\" --strict")).status.code(),
        Some(0),
        "nothing of it must be fixed"
    );
}

#[test]
fn a_person_is_told_what_comes_next() {
    let folder = tempfile::tempdir().unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_brinewright"))
        .current_dir(folder.path())
        .args(["new", "mine.toml"])
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(
        text.starts_with("Wrote mine.toml\n") && text.contains("\n  brinewright prove mine.toml\n"),
        "{text}"
    );
    assert!(page("new --help").contains("juniper-street-school"));
}

#[test]
fn an_example_is_copied_to_the_byte() {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in [
        ("larkhaven", include_str!("../../../stations/larkhaven.toml")),
        (
            "juniper-street-school",
            include_str!("../../../stations/juniper-street-school.toml"),
        ),
        (
            "skelder-hatchery",
            include_str!("../../../stations/skelder-hatchery.toml"),
        ),
    ] {
        let file = at(folder.path(), name);
        json(&format!("new --from {name} \"{file}\""));
        assert_eq!(fs::read_to_string(&file).unwrap(), text);
    }
}

#[test]
fn nothing_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let file = at(folder.path(), "mine.toml");
    fs::write(&file, "mine").unwrap();
    let errors = refused(&format!("new \"{file}\""));
    assert_eq!(errors[0]["where"], file.as_str());
    assert!(
        errors[0]["what"].as_str().unwrap().contains("there already"),
        "{errors:?}"
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(names_in(folder.path()), ["mine.toml"]);
    let errors = refused(&format!("new \"{}\"", folder.path().display()));
    assert!(
        errors[0]["what"].as_str().unwrap().contains("there already"),
        "{errors:?}"
    );
}

/// A link that points nowhere is a name that is taken: writing through it would make a file elsewhere.
#[cfg(unix)]
#[test]
fn a_link_that_points_nowhere_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let elsewhere = folder.path().join("elsewhere.toml");
    std::os::unix::fs::symlink(&elsewhere, folder.path().join("mine.toml")).unwrap();
    refused(&format!("new \"{}\"", at(folder.path(), "mine.toml")));
    assert!(!elsewhere.exists());
}

/// Of several that write the same file at the same moment, one wins and the file is whole.
#[test]
fn one_of_many_wins() {
    let folder = tempfile::tempdir().unwrap();
    let file = at(folder.path(), "mine.toml");
    let line = format!("new \"{file}\"");
    let codes: Vec<Option<i32>> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..8).map(|_| scope.spawn(|| run(&line).status.code())).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert_eq!(
        codes.iter().filter(|code| **code == Some(0)).count(),
        1,
        "{codes:?}"
    );
    assert_eq!(
        codes.iter().filter(|code| **code == Some(2)).count(),
        7,
        "{codes:?}"
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), station::template());
    assert_eq!(names_in(folder.path()), ["mine.toml"]);
}

#[test]
fn what_names_no_place_to_write_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let errors = refused(&format!("new \"{}\"", at(folder.path(), "no/such/mine.toml")));
    assert!(
        errors[0]["what"].as_str().unwrap().contains("there is no folder"),
        "{errors:?}"
    );
    refused("new /");
    refused("new ..");
    refused("new \"\"");
    refused("new");
    refused(&format!(
        "new --from nowhere \"{}\"",
        at(folder.path(), "mine.toml")
    ));
    assert!(names_in(folder.path()).is_empty());
}
