//! A long `year` that somebody breaks off (Ctrl-C): it ends as any command does, and what an earlier one wrote stays whole.

#![cfg(unix)]

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// The signal that Ctrl-C sends.
const SIGINT: i32 = 2;

/// A command that hears the signal, also where who runs the test doesn't: in the background of a script it is ignored, and
/// that is handed on.
fn hearing(program: &str) -> Command {
    let heard = ["--default-signal=INT"];
    let knows = Command::new("env").args(heard).arg("true").output();
    if knows.is_ok_and(|output| output.status.success()) {
        let mut command = Command::new("env");
        command.args(heard).arg(program);
        return command;
    }
    Command::new(program)
}

fn years(count: u32, out: &Path) -> Command {
    let mut command = hearing(env!("CARGO_BIN_EXE_brinewright"));
    command
        .args(["year", "--years", &count.to_string(), "--out"])
        .arg(out)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Begins the longest of all years, breaks it off, and tells what it had written by then on both its ways out.
fn broken_off(out: &Path) -> [String; 2] {
    let child = years(100_000, out).spawn().expect("it starts");
    // It is somewhere between its beginning and its end: whenever it is met, the same must hold.
    std::thread::sleep(Duration::from_millis(500));
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .expect("kill is there");
    assert!(sent.success(), "it had ended by itself");
    let output = child.wait_with_output().expect("it ends");
    // Ended by the signal itself, so that a script which runs it ends, too.
    assert_eq!(output.status.signal(), Some(SIGINT), "{:?}", output.status);
    [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).expect("a text"))
}

/// Each file of a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    entries
        .map(|entry| {
            let entry = entry.expect("an entry");
            let name = entry.file_name().into_string().expect("a name");
            (name, fs::read(entry.path()).expect("a file"))
        })
        .collect()
}

#[test]
fn a_year_that_is_broken_off_leaves_nothing_half_done() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("made");
    assert_eq!(
        broken_off(&out),
        ["", ""],
        "nothing is said of years that aren't done"
    );
    assert!(!out.exists(), "nothing is written before the years are done");
    // What an earlier one wrote stays.
    let output = years(2, &out).output().expect("it runs");
    assert!(output.status.success(), "{output:?}");
    let before = files(&out);
    assert!(before.len() > 5, "{:?}", before.keys());
    broken_off(&out);
    assert!(files(&out) == before, "what an earlier year wrote has changed");
}
