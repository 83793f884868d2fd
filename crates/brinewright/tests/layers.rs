//! Holds the shape of the workspace: arrows between crates point downwards, heavy libraries stay in their
//! rooms, and `docs/sources.md` lists exactly the sources that the code cites.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The crates, ground floor first; each may use only the crates beside it.
const LAYERS: &[(&str, &[&str])] = &[
    ("physics", &[]),
    ("station", &["physics"]),
    ("proof", &["physics", "station"]),
    ("sheets", &["station", "proof"]),
    ("brinewright", &["physics", "station", "proof", "sheets"]),
];

/// Which crates may build on a library. Tests are free to use others; what isn't listed needs a line here
/// and one in the decision note on dependencies.
const LIBRARIES: &[(&str, &[&str])] = &[
    ("libm", &["physics", "station", "proof", "sheets"]),
    ("maud", &["sheets", "brinewright"]),
    ("skrifa", &["sheets"]),
    ("deunicode", &["sheets"]),
    ("diffy", &["brinewright"]),
    ("krilla", &["sheets"]),
    ("png", &["sheets"]),
    ("resvg", &["sheets"]),
    ("rustc-hash", &["proof"]),
    ("smallvec", &["proof"]),
    (
        "thiserror",
        &["physics", "station", "proof", "sheets", "brinewright"],
    ),
    ("strsim", &["station"]),
    ("time", &["station"]),
    ("toml", &["station"]),
    ("toml_edit", &["station"]),
    ("serde", &["proof", "brinewright"]),
    ("serde_json", &["brinewright"]),
    ("clap", &["brinewright"]),
    ("annotate-snippets", &["brinewright"]),
    ("textwrap", &["brinewright"]),
    ("axum", &["brinewright"]),
    ("futures-util", &["brinewright"]),
    ("hyper", &["brinewright"]),
    ("hyper-util", &["brinewright"]),
    ("open", &["brinewright"]),
    ("tokio", &["brinewright"]),
    ("tower-http", &["brinewright"]),
];

#[test]
fn arrows_point_downwards_and_libraries_stay_in_their_rooms() {
    let names = crate_names();
    let listed: Vec<&str> = LAYERS.iter().map(|(name, _)| *name).collect();
    assert_eq!(
        names.iter().map(String::as_str).collect::<BTreeSet<_>>(),
        listed.iter().copied().collect(),
        "every crate has its place in LAYERS"
    );
    let complaints: Vec<String> = names
        .iter()
        .flat_map(|name| complaints(name, &read(&root().join("crates").join(name).join("Cargo.toml"))))
        .collect();
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

#[test]
fn a_wrong_arrow_is_seen() {
    for (owner, manifest, expected) in [
        (
            "physics",
            "[dependencies]\nstation.workspace = true",
            "physics may not use station",
        ),
        (
            "physics",
            "[dev-dependencies]\nproof = { path = \"../proof\" }",
            "physics may not use proof",
        ),
        (
            "station",
            "[dependencies.clap]\nworkspace = true",
            "station may not build on clap",
        ),
        (
            "proof",
            "[dependencies]\n\"toml\" = \"1\"",
            "proof may not build on toml",
        ),
        (
            "proof",
            "[dependencies]\nmysterious = \"1\"",
            "no crate may build on mysterious",
        ),
        (
            "proof",
            "[target.'cfg(unix)'.dependencies]\ntoml = \"1\"",
            "proof may not build on toml",
        ),
        (
            "proof",
            "[dependencies]\nother = { package = \"toml\", version = \"1\" }",
            "proof renames other",
        ),
    ] {
        let found = complaints(owner, manifest);
        assert!(
            found.iter().any(|line| line.contains(expected)),
            "{manifest}: {found:?}"
        );
    }
    let sound = "[package]\nname = \"proof\"\n[dependencies]\nserde.workspace = true # why\nphysics.workspace = true\n\
                 [dev-dependencies]\nserde_json.workspace = true";
    assert_eq!(complaints("proof", sound), Vec::<String>::new());
}

#[test]
fn every_file_of_tests_is_run() {
    for name in crate_names() {
        let crate_folder = root().join("crates").join(&name);
        let manifest = read(&crate_folder.join("Cargo.toml"));
        if !manifest.contains("autotests = false") {
            continue;
        }
        let listed = read(&crate_folder.join("tests/all.rs"));
        let forgotten: Vec<String> = fs::read_dir(crate_folder.join("tests"))
            .expect("a folder of tests")
            .map(|entry| entry.expect("an entry").path())
            .filter(|path| path.extension().is_some_and(|own| own == "rs") || path.join("mod.rs").exists())
            .filter_map(|path| Some(path.file_stem()?.to_str()?.to_owned()))
            .filter(|own| {
                !listed.contains(&format!("mod {own};\n")) && !manifest.contains(&format!("name = \"{own}\""))
            })
            .collect();
        assert!(forgotten.is_empty(), "{name}: tests/all.rs forgets {forgotten:?}");
    }
}

#[test]
fn every_library_has_its_line_in_the_decision_notes() {
    let notes = read(&root().join("docs/decisions/007-dependencies.md"));
    let missing: Vec<String> = dependencies(&read(&root().join("Cargo.toml")))
        .into_iter()
        .map(|dependency| dependency.name)
        .filter(|name| !is_crate(name) && !notes.contains(&format!("| `{name}` |")))
        .collect();
    assert!(missing.is_empty(), "no line for {missing:?}");
}

#[test]
fn cited_sources_and_registered_sources_are_the_same() {
    let registered = registered_keys(&read(&root().join("docs/sources.md")));
    let mut cited: BTreeMap<String, PathBuf> = BTreeMap::new();
    for path in rust_files() {
        for key in cited_keys(&read(&path), &registered) {
            cited.entry(key).or_insert_with(|| path.clone());
        }
    }
    let unknown: Vec<String> = cited
        .iter()
        .filter(|(key, _)| !registered.contains(*key))
        .map(|(key, path)| {
            format!(
                "{key}, cited in {}",
                path.strip_prefix(root()).unwrap_or(path).display()
            )
        })
        .collect();
    let idle: Vec<&String> = registered
        .iter()
        .filter(|key| !cited.contains_key(*key))
        .collect();
    assert!(
        unknown.is_empty() && idle.is_empty(),
        "not in docs/sources.md: {unknown:#?}\nin docs/sources.md but cited nowhere: {idle:#?}"
    );
}

#[test]
fn keys_are_found_in_every_form_in_which_code_cites() {
    let registered = BTreeSet::from(["RULE-OF-OURS".to_owned()]);
    let year = "1899";
    for (code, expected) in [
        (
            format!("/// `AUTHOR-OTHER-{year}` equation 3"),
            format!("AUTHOR-OTHER-{year}"),
        ),
        (
            format!("source: \"AUTHOR-{year}, table 2\""),
            format!("AUTHOR-{year}"),
        ),
        (
            "source_key: \"SAID-BY-NOBODY\",".to_owned(),
            "SAID-BY-NOBODY".to_owned(),
        ),
        (
            "sources: &[\n  \"RULE-OF-OURS\",\n  \"SAID-BY-NOBODY\"]".to_owned(),
            "SAID-BY-NOBODY".to_owned(),
        ),
        (
            "const SOURCES: &[&str] = &[\"SAID-BY-NOBODY\"];".to_owned(),
            "SAID-BY-NOBODY".to_owned(),
        ),
        (
            "// house rule: RULE-OF-OURS".to_owned(),
            "RULE-OF-OURS".to_owned(),
        ),
    ] {
        assert!(cited_keys(&code, &registered).contains(&expected), "{code}");
    }
    for code in [
        "the year 1899",
        "AUTHOR-18999",
        "x-AUTHOR-1899",
        "OTHER-RULE-OF-OURS",
        "on 2026-11-25",
        "PSS-78",
    ] {
        assert_eq!(cited_keys(code, &registered), BTreeSet::new(), "{code}");
    }
}

// ---- manifests -----------------------------------------------------------------------------------------

/// A line of a dependency table.
struct Dependency {
    name: String,
    /// Whether only tests use it.
    in_tests: bool,
    /// Whether it stands for a library of another name, which would pass under this one.
    renamed: bool,
}

/// What is wrong with the dependencies of one crate.
fn complaints(owner: &str, manifest: &str) -> Vec<String> {
    let below = LAYERS
        .iter()
        .find(|(name, _)| *name == owner)
        .map_or(&[][..], |(_, below)| *below);
    let mut found = Vec::new();
    for Dependency {
        name,
        in_tests,
        renamed,
    } in dependencies(manifest)
    {
        if renamed {
            found.push(format!("{owner} renames {name}: a library keeps its own name"));
        } else if is_crate(&name) {
            if !below.contains(&name.as_str()) {
                found.push(format!("{owner} may not use {name}: arrows point downwards"));
            }
        } else if !in_tests {
            match LIBRARIES.iter().find(|(library, _)| *library == name) {
                None => found.push(format!(
                    "no crate may build on {name} before it stands in LIBRARIES"
                )),
                Some((_, owners)) if !owners.contains(&owner) => {
                    found.push(format!("{owner} may not build on {name}, only {owners:?}"));
                }
                Some(_) => {}
            }
        }
    }
    found
}

/// The dependencies of a manifest. Reads the plain forms: `name = …`, `name.workspace = …`, `[dependencies.name]`.
fn dependencies(manifest: &str) -> Vec<Dependency> {
    let mut found: Vec<Dependency> = Vec::new();
    // Some(in_tests) inside a table of dependencies.
    let mut table = None;
    for line in manifest.lines().map(str::trim) {
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some(header) = line.strip_prefix('[') {
            let header = header.split(']').next().unwrap_or_default();
            let in_tests = header.contains("dev-dependencies");
            let (before, named) = header.rsplit_once("dependencies.").unwrap_or((header, ""));
            table = (named.is_empty() && before.ends_with("dependencies")).then_some(in_tests);
            if !named.is_empty() {
                found.push(Dependency {
                    name: named.to_owned(),
                    in_tests,
                    renamed: false,
                });
            }
        } else if let Some(in_tests) = table {
            let name = line
                .split(['.', ' ', '='])
                .next()
                .unwrap_or_default()
                .trim_matches('"');
            found.push(Dependency {
                name: name.to_owned(),
                in_tests,
                renamed: line.contains("package ="),
            });
        } else if line.starts_with("package =")
            && let Some(last) = found.last_mut()
        {
            last.renamed = true;
        }
    }
    found
}

fn is_crate(name: &str) -> bool {
    LAYERS.iter().any(|(layer, _)| *layer == name)
}

fn crate_names() -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root().join("crates"))
        .expect("crates/ is there")
        .map(|entry| entry.expect("crates/ can be read").path())
        .filter(|path| path.join("Cargo.toml").is_file())
        .filter_map(|path| Some(path.file_name()?.to_str()?.to_owned()))
        .collect();
    names.sort();
    names
}

// ---- sources -------------------------------------------------------------------------------------------

/// The keys of the register: first cells of table rows that look like keys.
fn registered_keys(register: &str) -> BTreeSet<String> {
    register
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split(" |").next())
        .map(|cell| cell.trim().trim_matches('`'))
        .filter(|cell| {
            cell.len() > 1
                && cell.chars().all(is_key_char)
                && cell.starts_with(|c: char| c.is_ascii_uppercase())
        })
        .map(str::to_owned)
        .collect()
}

/// The keys that a file cites: words in capitals that end in a year, whatever a `source_key` or a list of
/// `sources` holds, and registered keys without a year.
fn cited_keys(code: &str, registered: &BTreeSet<String>) -> BTreeSet<String> {
    let words = code
        .split(|c: char| !(c.is_ascii_alphanumeric() || c == '-' || c == '_'))
        .filter(|word| ends_in_a_year(word) || registered.contains(*word));
    let single = code
        .split("source_key: \"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next());
    let listed = ["sources: &[", "SOURCES: &[&str] = &["]
        .into_iter()
        .flat_map(|opening| code.split(opening).skip(1))
        .filter_map(|rest| rest.split(']').next())
        .flat_map(|list| list.split('"').skip(1).step_by(2));
    words.chain(single).chain(listed).map(str::to_owned).collect()
}

fn ends_in_a_year(word: &str) -> bool {
    let Some((head, year)) = word.rsplit_once('-') else {
        return false;
    };
    head.starts_with(|c: char| c.is_ascii_uppercase())
        && head.chars().all(is_key_char)
        && year.len() == 4
        && year.parse().is_ok_and(|year: u16| (1800..2100).contains(&year))
}

fn is_key_char(c: char) -> bool {
    c.is_ascii_uppercase() || c.is_ascii_digit() || c == '-'
}

/// All Rust files of the crates except this one, which cites nothing but examples.
fn rust_files() -> Vec<PathBuf> {
    let this = root().join("crates/brinewright/tests/layers.rs");
    let (mut files, mut folders) = (Vec::new(), vec![root().join("crates")]);
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder of the workspace can be read") {
            let path = entry.expect("an entry can be read").path();
            if path.is_dir() {
                if path.file_name().is_some_and(|name| name != "target") {
                    folders.push(path);
                }
            } else if path.extension().is_some_and(|extension| extension == "rs") && path != this {
                files.push(path);
            }
        }
    }
    files.sort();
    files
}

fn root() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
