//! `brinewright compare`: stations sent through the same years, and what differs between them.
//!
//! `words` says it in sentences, `rows` in a table.

mod rows;
mod words;

use std::path::PathBuf;

use clap::Args;
use proof::{Comparison, Design, Difference};
use serde::Serialize;

use super::page::{WIDTH, fill, json};
use super::speaker::Speaker;
use super::watch::watched;
use super::year::told::not_followed;
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task;
use crate::task::compare::{Stations, load};
use station::quantity::format_count;

/// Two or more stations through the same years: what differs, and how sure that is
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station files; each is compared with the first
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Years to simulate of each, 2 to 100000
    #[arg(
        long,
        value_name = "COUNT",
        default_value_t = 1000,
        allow_hyphen_values = true
    )]
    years: u32,
    /// What their chance begins with: the same seed, the same years
    #[arg(long, value_name = "NUMBER", default_value_t = 1, allow_hyphen_values = true)]
    seed: u64,
}

#[derive(Serialize)]
struct Machine<'c> {
    format: u32,
    years: u32,
    seed: u64,
    currency: Option<&'c str>,
    designs: Vec<DesignOfFile<'c>>,
    differences: Vec<DifferencesOfFile<'c>>,
}

#[derive(Serialize)]
struct DesignOfFile<'c> {
    file: &'c str,
    #[serde(flatten)]
    design: &'c Design,
}

/// How a file differs from the first.
#[derive(Serialize)]
struct DifferencesOfFile<'c> {
    file: &'c str,
    from: &'c str,
    figures: &'c [Difference],
}

/// Reads, simulates, compares, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let loaded = load(&options.files, output.asked())?;
    let years = task::year::wanted(options.years, options.seed);
    let comparison = watched(|progress| task::compare::compare(&loaded, &years, progress))?;
    let first = loaded.names.first().map_or("", String::as_str);
    let machine = Machine {
        format: 1,
        years: comparison.years,
        seed: comparison.seed,
        currency: comparison.currency.as_deref(),
        designs: loaded
            .names
            .iter()
            .zip(&comparison.designs)
            .map(|(file, design)| DesignOfFile { file, design })
            .collect(),
        differences: loaded
            .names
            .iter()
            .skip(1)
            .zip(&comparison.differences)
            .map(|(file, figures)| DifferencesOfFile {
                file,
                from: first,
                figures,
            })
            .collect(),
    };
    Ok(Answer {
        json: json(&machine),
        text: sheet(&loaded, &comparison),
        ..Answer::default()
    })
}

/// Which station stands beside the first: by their titles where these tell them apart, else by number.
fn beside(designs: &[Design], at: usize) -> String {
    let title = |at: usize| designs.get(at).map_or("", |design| design.title.as_str());
    let alike = designs
        .iter()
        .enumerate()
        .any(|(other, design)| other != at && design.title == title(at));
    let told = format!("{} beside {}", title(at), title(0));
    match alike || told.chars().count() > WIDTH {
        true => format!("{} beside 1", at + 1),
        false => told,
    }
}

fn sheet(Stations { stations, names }: &Stations, comparison: &Comparison) -> String {
    let Some(station) = stations.first() else {
        return String::new();
    };
    let speaker = Speaker { station };
    let mut out = format!("The same {} years for each\n", format_count(comparison.years));
    for (at, (design, file)) in comparison.designs.iter().zip(names).enumerate() {
        let text = format!("{}, {file}", design.title);
        out += &(fill(&text, &format!("  {}  ", at + 1), "     ") + "\n");
    }
    for (at, differences) in comparison.differences.iter().enumerate() {
        out += &format!("\n{}\n", beside(&comparison.designs, at + 1));
        out += &words::told(&speaker, differences);
    }
    out += &rows::table(&speaker, comparison);
    for (at, design) in comparison.designs.iter().enumerate() {
        if !design.not_followed.is_empty() {
            out += &format!(
                "\nNot followed in {}\n{}",
                at + 1,
                not_followed(&design.not_followed)
            );
        }
    }
    if comparison.currency.is_none() {
        out += "\nTheir currencies differ: money isn't compared.\n";
    }
    out += &format!(
        "\n{}\n",
        fill(
            &format!(
                "Seed {}: all meet the same visits, emergencies and odd days of the feed, so that what differs is \
                 the stations' own. A difference is told where chance alone would hardly make it (its 95\u{a0}% \
                 interval leaves out zero) and it is 2\u{a0}% of the first's or more.",
                comparison.seed
            ),
            "",
            ""
        )
    );
    out
}
