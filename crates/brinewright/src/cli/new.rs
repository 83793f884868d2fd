//! `brinewright new`: a station file to start from.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use serde::Serialize;

use super::Answer;
use super::page::{fill, json};
use crate::failure::Failure;
use crate::task::new::{Start, write_new};

/// Write a new station file, every field explained; never over an old one
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Copy an invented example: larkhaven, juniper-street-school or skelder-hatchery
    #[arg(long, value_enum, value_name = "NAME", hide_possible_values = true)]
    from: Option<Example>,
    /// File to write, such as my-station.toml
    file: PathBuf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Example {
    /// A small field station, nearly right
    Larkhaven,
    /// One classroom tank, a beginner's first try
    JuniperStreetSchool,
    /// A hatchery with several vessels, sound
    SkelderHatchery,
}

#[derive(Serialize)]
struct Machine<'w> {
    format: u32,
    written: &'w str,
}

/// Writes the file and says what to do with it.
pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let start = match options.from {
        None => Start::Template,
        Some(Example::Larkhaven) => Start::Larkhaven,
        Some(Example::JuniperStreetSchool) => Start::JuniperStreetSchool,
        Some(Example::SkelderHatchery) => Start::SkelderHatchery,
    };
    write_new(&options.file, &start.text())?;
    let name = options.file.display().to_string();
    let next = match start {
        Start::Template => "Its values are examples: put your own in their place, then",
        Start::Larkhaven | Start::JuniperStreetSchool | Start::SkelderHatchery => {
            "It is invented, as is every number in it. Change it, and"
        }
    };
    let named = if name.contains(' ') {
        format!("\"{name}\"")
    } else {
        name.clone()
    };
    let text = format!(
        "Wrote {name}

{}

  brinewright prove {named}
",
        fill(next, "", "")
    );
    Ok(Answer {
        text,
        json: json(&Machine {
            format: 1,
            written: &name,
        }),
        ..Answer::default()
    })
}
