//! Runs the real binary.

use serde_json::Value;
use std::process::{Command, Output};

/// Runs a command line, given as words; a word with blanks stands in double quotes.
pub(crate) fn run(line: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_brinewright"))
        .args(words(line))
        .output()
        .expect("the binary was built")
}

/// Runs it with `--json`, which must succeed, and gives the object.
#[track_caller]
pub(crate) fn json(line: &str) -> Value {
    let output = run(&format!("{line} --json"));
    assert_eq!(output.status.code(), Some(0), "{line}: {}", text(&output));
    assert!(output.stderr.is_empty(), "{line}: {}", text(&output));
    let value: Value = serde_json::from_slice(&output.stdout).expect("one object");
    assert!(
        output.stdout.starts_with(b"{\"format\":1,"),
        "{line}: {}",
        text(&output)
    );
    value
}

/// Runs it both ways; both must be refused with exit code 2 and the same faults. Gives them.
#[track_caller]
pub(crate) fn refused(line: &str) -> Vec<Value> {
    let as_text = run(line);
    assert_eq!(as_text.status.code(), Some(2), "{line}: {}", text(&as_text));
    assert!(as_text.stdout.is_empty(), "{line}: {}", text(&as_text));
    let stderr = String::from_utf8(as_text.stderr).expect("UTF-8");
    assert!(stderr.starts_with("error: "), "{line}: {stderr}");

    let as_json = run(&format!("{line} --json"));
    assert_eq!(as_json.status.code(), Some(2), "{line}: {}", text(&as_json));
    assert!(as_json.stderr.is_empty(), "{line}: {}", text(&as_json));
    let value: Value = serde_json::from_slice(&as_json.stdout).expect("one object");
    assert_eq!(value["format"], 1, "{line}");
    let errors = value["errors"].as_array().expect("a list").clone();
    assert_eq!(
        stderr.matches("error: ").count(),
        errors.len(),
        "{line}: {stderr}"
    );
    for error in &errors {
        for key in ["where", "what", "mend"] {
            assert!(
                error[key].as_str().is_some_and(|text| !text.is_empty()),
                "{line}: {error}"
            );
        }
    }
    errors
}

/// The page for a person, whose lines must fit the terminal.
#[track_caller]
pub(crate) fn page(line: &str) -> String {
    let output = run(line);
    assert_eq!(output.status.code(), Some(0), "{line}: {}", text(&output));
    let page = String::from_utf8(output.stdout).expect("UTF-8");
    for row in page.lines() {
        assert!(row.chars().count() <= 80, "{line}: too wide: {row}");
        assert_eq!(row.trim_end(), row, "{line}: blanks at the end");
    }
    page
}

/// A number of the answer.
#[track_caller]
pub(crate) fn number(value: &Value, key: &str) -> f64 {
    value[key]
        .as_f64()
        .unwrap_or_else(|| panic!("no number {key} in {value}"))
}

fn text(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

fn words(line: &str) -> Vec<String> {
    line.split('"')
        .enumerate()
        .flat_map(|(index, part)| {
            if index % 2 == 1 {
                vec![part.to_owned()]
            } else {
                part.split_whitespace().map(str::to_owned).collect()
            }
        })
        .collect()
}
