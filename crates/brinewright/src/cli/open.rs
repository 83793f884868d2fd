//! `brinewright open`: the workbench in a browser.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::Answer;
use crate::failure::Failure;
use crate::web;

/// Open a station on the workbench, in your browser; nothing leaves this machine
#[derive(Debug, Default, Args)]
pub(crate) struct Options {
    /// Station file; `station.toml` where there is one, else the invented demo Larkhaven
    file: Option<PathBuf>,
    /// Port on this machine; 0 takes a free one
    #[arg(long, value_name = "NUMBER")]
    port: Option<u16>,
    /// Print the address only
    #[arg(long)]
    no_browser: bool,
}

/// What is opened where nobody names a file.
const USUAL: &str = "station.toml";

/// Serves until somebody stops it.
pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let usual = PathBuf::from(USUAL);
    let file = options.file.clone().or_else(|| usual.is_file().then_some(usual));
    let wanted = web::Wanted {
        file,
        port: options.port,
        browser: !options.no_browser,
    };
    web::serve(&wanted, |address| {
        // Whoever started it may not read it.
        let mut out = std::io::stdout().lock();
        let _ = writeln!(out, "{address}").and_then(|()| out.flush());
    })?;
    Ok(Answer::default())
}
