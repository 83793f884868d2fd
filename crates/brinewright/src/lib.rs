//! The door: one binary, plain text in, honest figures out.
//!
//! Owns: the command line, what is printed, exit codes, the wording of failures. Must not know: how water
//! behaves, what a station is; it asks the rooms below through `task`.

mod cli;
mod failure;
mod task;
mod web;

/// Does what a command line asks; a program is nothing but a call of this.
pub fn run(line: impl IntoIterator<Item = std::ffi::OsString>) -> std::process::ExitCode {
    cli::run(line)
}
