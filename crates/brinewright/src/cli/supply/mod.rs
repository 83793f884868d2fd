//! `brinewright supply`: what the purifier makes through the year, what a litre costs, how long the stores last.
//!
//! `year` shows the months, `run` the run, `wear` what it costs, `delivered` what comes ready-made, `stores` what is left
//! when the feed stops.

mod delivered;
mod run;
mod stores;
mod wear;
mod year;

use std::path::PathBuf;

use clap::Args;
use proof::{Cost, Proof, Severity, StateOfFeed, Supply};
use serde::Serialize;
use station::{Station, spoken};

use super::moment::Moment;
use super::page::{fill, json};
use super::speaker::Speaker;
use super::{Answer, Output};
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

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    feed_state: Option<&'p str>,
    supply: &'p Supply,
    cost: &'p Cost,
    feed_states: &'p [StateOfFeed],
}

/// Reads, proves, writes the sheet of the water.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), options.feed.as_deref(), output.asked())?;
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
        out += &format!("With the feed of {}.\n", spoken(state));
    }
    for test in &proof.tests_today {
        out += &(fill(&format!("Test {test}."), "", "  ") + "\n");
    }
    out += "\n";
    match &proof.supply.purifier {
        None => out += &(fill(&nothing_made(station, proof), "", "") + "\n"),
        Some(made) => {
            out += &(fill(&verdict(&speaker, made), "", "") + "\n");
            out += &year::months(&speaker, made);
            out += &beyond(made);
            out += &year::while_running(&speaker, made);
            out += &run::own(&speaker, made);
            out += &run::curve(&speaker, made);
            out += &run::controls(&speaker, made);
            out += &wear::cost(&speaker, made);
            out += &wear::resin_options(&speaker, made);
            out += &wear::filters(&speaker, made);
            out += &wear::doubts(made);
        }
    }
    out += &delivered::deliveries(&speaker, proof);
    out += &stores::endurance(&speaker, &proof.supply, at.map(Moment::word));
    out += &stores::odd_days(&speaker, proof, name);
    out += &format!("\n{}\n", fill(CAUTIONS, "", ""));
    let file = name.map_or_else(String::new, |name| format!(" {name}"));
    out += &asked(proof, &file);
    out + &format!("What to fix: brinewright prove{file}\n")
}

/// Figures of this sheet that answer to why.
const ASKED: [&str; 12] = [
    "run.litre",
    "fresh.litre",
    "run.resin-life",
    "run.gas-share",
    "run.start-salt",
    "run.solids",
    "run.reject-ratio",
    "short-over-long",
    "membrane-pressure",
    "least-pressure",
    "calcite-index",
    "stores.top-off-worst",
];

/// Which of them there are here, the leanest month's own water first.
fn asked(proof: &Proof, file: &str) -> String {
    let lean = proof
        .supply
        .purifier
        .as_ref()
        .map(|made| format!("permeate.{}", made.leanest_month.to_lowercase()));
    let keys: Vec<&str> = lean
        .as_deref()
        .into_iter()
        .chain(ASKED)
        .filter(|key| proof.figure(key).is_some())
        .collect();
    match keys.as_slice() {
        [] => String::new(),
        keys => {
            let text = format!("Ask why: brinewright why KEY{file}. Keys: {}.", keys.join(", "));
            fill(&text, "", "  ") + "\n"
        }
    }
}

/// What left the range that the model was made for in any month, each once.
fn beyond(made: &proof::Made) -> String {
    let mut told: Vec<&str> = Vec::new();
    for remark in made
        .months
        .iter()
        .flat_map(|month| [&month.permeate_m3_per_s, &month.permeate_solids_kg_m3])
        .filter_map(|estimate| estimate.remark.as_deref())
    {
        if !told.contains(&remark) {
            told.push(remark);
        }
    }
    told.iter()
        .map(|remark| fill(&format!("Beyond its range: {remark}."), "  ", "  ") + "\n")
        .collect()
}

/// Why there is nothing to tell of the purifier: none is described, or the one that is gives nothing.
fn nothing_made(station: &Station, proof: &Proof) -> String {
    if station.purifier.is_none() {
        let told = said(proof, &["delivered-is-enough", "delivered-too-little"]);
        return match told.is_empty() {
            true => NO_PURIFIER.to_owned(),
            false => format!("No purifier is described: fresh water comes ready-made. {told}"),
        };
    }
    format!("No water is made. {}", said(proof, &NOTHING_MADE))
}

/// What some findings say.
fn said(proof: &Proof, ids: &[&str]) -> String {
    let sentences: Vec<&str> = proof
        .findings
        .iter()
        .filter(|finding| ids.contains(&finding.id))
        .map(|finding| finding.sentence.as_str())
        .collect();
    sentences.join(" ")
}

/// Findings that come in place of all the others about the purifier.
const NOTHING_MADE: [&str; 4] = [
    "gives-no-water",
    "booster-never-starts",
    "booster-starves",
    "purifier-not-computed",
];

/// The three figures that matter, as a sentence.
fn verdict(speaker: &Speaker<'_>, made: &proof::Made) -> String {
    let mut parts = Vec::new();
    if let Some(lean) = made.months.iter().find(|month| month.month == made.leanest_month) {
        let water = speaker.plain(&lean.made_m3_per_s);
        let when = match made.months_are_alike() {
            true => "on such a day".to_owned(),
            false => format!("in {}", lean.month),
        };
        parts.push(match &lean.need_m3_per_s {
            Some(need) => format!("{when} {water} are made for a need of {}", speaker.plain(need)),
            None => format!("{when} {water} are made"),
        });
    }
    if let Some(cost) = &made.run.cost_per_m3 {
        let runs = match made.run.least_of_float {
            true => " in the least runs of the float",
            false => "",
        };
        parts.push(format!("the water costs {}{runs}", speaker.plain(cost)));
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
