//! The door: one binary, plain text in, honest figures out.
//!
//! Owns: the command line, what is printed, exit codes, the wording of failures. Must not know: how water
//! behaves, what a station is; it asks the rooms below through `task`.

mod cli;
mod failure;
mod task;
mod web;

fn main() -> std::process::ExitCode {
    cli::run(std::env::args_os())
}
