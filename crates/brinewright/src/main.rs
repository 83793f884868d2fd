//! The binary. All of it stands in the library, which is built while the rooms below it still are.

fn main() -> std::process::ExitCode {
    brinewright::run(std::env::args_os())
}
