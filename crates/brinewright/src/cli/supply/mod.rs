//! `brinewright supply`: what the purifier makes through the year, what a litre costs, how long the stores last.
//!
//! `year` shows the months, `run` the run and what it costs, `stores` what is left when the feed stops.

mod run;
mod stores;
mod year;

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use proof::{Cost, Estimate, Proof, Severity, StateOfFeed, Supply};
use serde::Serialize;
use station::Station;
use station::quantity::{Kind, Shown, format_interval};

use super::Answer;
use super::page::{fill, json};
use crate::failure::Failure;
use crate::task::station::{Loaded, load_on};

/// What the purifier makes month by month, what a litre costs, how long the stores last
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Named state of the feed to prove, from the file
    #[arg(long, value_name = "NAME")]
    feed: Option<String>,
    /// Moment at which the feed stops: start, full or worst; worst and full where none is named
    #[arg(long, value_enum, value_name = "MOMENT", hide_possible_values = true)]
    at: Option<Moment>,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

/// The moments that have names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Moment {
    /// Every vessel where its fill starts
    Start,
    /// Every vessel full
    Full,
    /// As little as ordinary running leaves
    Worst,
}

impl Moment {
    fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Full => "full",
            Self::Worst => "worst",
        }
    }
}

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    feed_state: Option<&'p str>,
    supply: &'p Supply,
    cost: &'p Cost,
    feed_states: &'p [StateOfFeed],
}

/// Reads, proves, writes the sheet of the water.
pub(crate) fn run(options: &Options) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), options.feed.as_deref())?;
    let proof = proof::prove(&station);
    let name = options.file.as_ref().map(|_| name);
    Ok(Answer {
        text: sheet(&station, &proof, options.at, name.as_deref()),
        json: json(&Machine {
            format: 1,
            feed_state: proof.feed_state.as_deref(),
            supply: &proof.supply,
            cost: &proof.cost,
            feed_states: &proof.feed_states,
        }),
        must_fix: options.strict && proof.of_severity(Severity::Must).next().is_some(),
    })
}

const NO_PURIFIER: &str = "No purifier is described, so nobody can tell what is made. Add [feed] with pressure, \
coldest and warmest, [purifier] with control, and [membranes.first] with its rating: brinewright new shows them all.";

const CAUTIONS: &str = "Relieve the pressure before a housing is opened; look for leaks ten minutes after a service \
and again next day. Never leave the feed on to a station that has not passed its tests. Air gaps at tap and drain; \
local codes and licensed trades govern. Not drinking water.";

fn sheet(station: &Station, proof: &Proof, at: Option<Moment>, name: Option<&str>) -> String {
    let speaker = Speaker { station };
    let mut out = format!("{}\n", proof.title);
    if let Some(state) = &proof.feed_state {
        out += &format!("With the feed of {state}.\n");
    }
    for test in &proof.tests_today {
        out += &(fill(&format!("Test {test}."), "", "  ") + "\n");
    }
    out += "\n";
    match &proof.supply.purifier {
        None => out += &(fill(NO_PURIFIER, "", "") + "\n"),
        Some(made) => {
            out += &(fill(&verdict(&speaker, made), "", "") + "\n");
            out += &year::months(&speaker, made);
            out += &run::own(&speaker, made);
            out += &run::curve(&speaker, made);
            out += &run::controls(&speaker, made);
            out += &run::cost(&speaker, made);
            out += &run::resin_options(&speaker, made);
            out += &run::filters(&speaker, made);
            out += &run::doubts(made);
        }
    }
    out += &stores::endurance(&speaker, &proof.supply.endurance, at.map(Moment::word));
    out += &stores::odd_days(&speaker, &proof.feed_states);
    out += &format!("\n{}\n", fill(CAUTIONS, "", ""));
    out += &match name {
        Some(name) => format!("What to fix: brinewright prove {name}\n"),
        None => "What to fix: brinewright prove\n".to_owned(),
    };
    out
}

/// The three figures that matter, as a sentence.
fn verdict(speaker: &Speaker<'_>, made: &proof::Made) -> String {
    let mut parts = Vec::new();
    if let Some(lean) = made.months.iter().find(|month| month.month == made.leanest_month) {
        let water = speaker.plain(&lean.made_m3_per_s);
        parts.push(match &lean.need_m3_per_s {
            Some(need) => format!(
                "in {} {water} are made for a need of {}",
                lean.month,
                speaker.plain(need)
            ),
            None => format!("in {} {water} are made", lean.month),
        });
    }
    if let Some(cost) = &made.run.cost_per_m3 {
        parts.push(format!("the water costs {}", speaker.plain(cost)));
    }
    if let Some(life) = &made.run.resin_life_m3 {
        parts.push(format!("a bed of resin lasts {}", speaker.plain(life)));
    }
    let mut text = parts.join("; ");
    if let Some(first) = text.get(..1) {
        text = first.to_uppercase() + &text[1..];
    }
    text + "."
}

/// Prints values in the owner's units.
struct Speaker<'s> {
    station: &'s Station,
}

impl Speaker<'_> {
    fn shown(&self, estimate: &Estimate) -> Shown {
        self.interval(estimate.kind, estimate.value, estimate.half_width())
    }

    fn interval(&self, kind: Kind, si: f64, half_width: Option<f64>) -> Shown {
        format_interval(
            kind,
            si,
            half_width,
            self.station.units(),
            &self.station.currency(),
        )
    }

    /// `45 L`, to no more digits than its doubt supports.
    fn plain(&self, estimate: &Estimate) -> String {
        self.shown(estimate).value_with_unit()
    }

    /// `45 L ± 2 L`.
    fn with_doubt(&self, estimate: &Estimate) -> String {
        self.shown(estimate).to_string()
    }

    /// `45`, for a column whose head has the unit.
    fn bare(&self, estimate: &Estimate) -> String {
        self.shown(estimate).value
    }

    /// A value without doubt: `45 L`.
    fn exact(&self, kind: Kind, si: f64) -> String {
        self.interval(kind, si, None).value_with_unit()
    }

    /// The unit in which a column of values is shown, by its largest.
    fn unit<'e>(&self, estimates: impl Iterator<Item = &'e Estimate>) -> String {
        estimates
            .max_by(|a, b| a.value.abs().total_cmp(&b.value.abs()))
            .map_or_else(String::new, |largest| self.shown(largest).unit)
    }
}

/// Columns of text: the first to the left, the others to the right, two blanks between.
fn columns(rows: &[Vec<String>]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::from("  ");
        for (column, cell) in row.iter().enumerate() {
            let width = widths[column];
            line += &match column {
                0 => format!("{cell:<width$}"),
                _ => format!("  {cell:>width$}"),
            };
        }
        out += line.trim_end();
        out += "\n";
    }
    out
}
