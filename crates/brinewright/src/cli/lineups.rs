//! `brinewright lineups`: for each task which valves to open, how much flows, how long it takes, what ends it.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use proof::{
    Delivery, Ending, Finding, Lineup, LineupMoment, Mixing, PartService, Proof, PumpAtWork, Severity, Stray,
    SwitchOrder,
};
use serde::Serialize;
use station::quantity::Kind;
use station::{Station, spoken};

use super::delivery::delivery;
use super::lineup_table::table;
use super::page::{fill, json};
use super::pumps_at_work::{mixing, pumps};
use super::service::service;
use super::speaker::Speaker;
use super::switching;
use super::{Answer, Output, read};
use crate::failure::Failure;
use crate::task::station::{Loaded, load_on};

/// Valve settings: what to open for each task, its flow, its time, what ends it, pumps at work
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Level of the source: full, half, start or worst, the lowest of them at which something flows; the text tells all
    /// and the object worst where none is named
    #[arg(long, value_enum, value_name = "LEVEL", hide_possible_values = true)]
    at: Option<Source>,
    /// Named state of the feed to prove, from the file
    #[arg(long, value_name = "NAME")]
    feed: Option<String>,
    /// Tell the order of turning between each two tasks
    #[arg(long)]
    orders: bool,
    /// Tell for each part how to take it out, and what goes on without it
    #[arg(long)]
    service: bool,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

/// Levels of a task's source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Source {
    /// At its stop level, or a finished batch
    Full,
    /// Half of what can be drawn is left
    Half,
    /// Where its fill starts
    Start,
    /// The lowest of them at which something flows
    Worst,
}

impl Source {
    /// The moment of a task at this level. A source that has no such level, such as a tank or a vessel that a person
    /// fills, is told at the next above.
    pub(super) fn of(self, lineup: &Lineup) -> Option<&LineupMoment> {
        let moment = |source: &str| lineup.moments.iter().find(|moment| moment.source == source);
        let from_below = ["start", "half", "full"];
        match self {
            Self::Worst => from_below
                .iter()
                .filter_map(|source| moment(source))
                .find(|moment| moment.flow.is_some())
                .or(lineup.moments.first()),
            Self::Start => from_below.iter().find_map(|source| moment(source)),
            Self::Half => from_below[1..].iter().find_map(|source| moment(source)),
            Self::Full => moment("full"),
        }
    }
}

#[derive(Serialize)]
struct Machine<'p> {
    format: u32,
    lineups: Vec<Row<'p>>,
    pumps: &'p [PumpAtWork],
    mixing: &'p [Mixing],
    stand_open: &'p [String],
    switching: &'p [SwitchOrder],
    service: &'p [PartService],
    findings: Vec<&'p Finding>,
}

/// A task at one level of its source, with all of them behind.
#[derive(Serialize)]
pub(super) struct Row<'p> {
    name: &'p str,
    from: &'p str,
    to: &'p str,
    by: &'static str,
    found: bool,
    valves_open: Option<&'p [String]>,
    pumps_on: &'p [String],
    /// The level that the figures are for.
    source: Option<&'static str>,
    source_level_m: Option<f64>,
    flow_m3_per_s: Option<f64>,
    flow_low_m3_per_s: Option<f64>,
    flow_high_m3_per_s: Option<f64>,
    seconds: Option<f64>,
    seconds_low: Option<f64>,
    seconds_high: Option<f64>,
    moved_m3: Option<f64>,
    ending: Option<Ending>,
    lines: &'p [String],
    strays: &'p [Stray],
    held_m3: f64,
    delivery: Option<&'p Delivery>,
    moments: &'p [LineupMoment],
}

/// A task at a level of its source.
pub(super) fn row(lineup: &Lineup, source: Source) -> Row<'_> {
    let moment = source.of(lineup);
    let flow = moment.and_then(|moment| moment.flow.as_ref());
    let time = moment.and_then(|moment| moment.time.as_ref());
    Row {
        name: &lineup.name,
        from: &lineup.from,
        to: &lineup.to,
        by: lineup.by,
        found: lineup.found,
        valves_open: lineup.valves_open.as_deref(),
        pumps_on: &lineup.pumps_on,
        source: moment.map(|moment| moment.source),
        source_level_m: moment.and_then(|moment| moment.source_level_m),
        flow_m3_per_s: flow.map(|flow| flow.value),
        flow_low_m3_per_s: flow.and_then(|flow| flow.low),
        flow_high_m3_per_s: flow.and_then(|flow| flow.high),
        seconds: time.map(|time| time.value),
        seconds_low: time.and_then(|time| time.low),
        seconds_high: time.and_then(|time| time.high),
        moved_m3: moment.and_then(|moment| moment.moved_m3),
        ending: moment.and_then(|moment| moment.ending),
        lines: &lineup.lines,
        strays: &lineup.strays,
        held_m3: lineup.held_m3,
        delivery: lineup.delivery.as_ref(),
        moments: &lineup.moments,
    }
}

/// Reads, proves, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), options.feed.as_deref(), output.asked())?;
    let proof = proof::prove(&station);
    let findings: Vec<&Finding> = proof
        .findings
        .iter()
        .filter(|finding| is_of_plumbing(finding))
        .collect();
    let source = options.at.unwrap_or(Source::Worst);
    let all = proof.lineups.as_ref();
    let machine = Machine {
        format: 1,
        lineups: all.map_or_else(Vec::new, |all| {
            all.lineups.iter().map(|lineup| row(lineup, source)).collect()
        }),
        pumps: all.map_or(&[], |all| &all.pumps),
        mixing: all.map_or(&[], |all| &all.mixing),
        stand_open: all.map_or(&[], |all| &all.stand_open),
        switching: &proof.switching,
        service: proof.service.as_ref().map_or(&[], |service| &service.parts),
        findings: findings.clone(),
    };
    let file = options
        .file
        .as_ref()
        .map_or_else(String::new, |_| format!(" {name}"));
    Ok(Answer {
        text: sheet(&station, &proof, options, &findings, &file),
        must_fix: options.strict && findings.iter().any(|finding| finding.severity == Severity::Must),
        json: json(&machine),
    })
}

/// Whether a finding is of the valve settings, lines or pumps.
fn is_of_plumbing(finding: &Finding) -> bool {
    // Wrong moves have a command of their own.
    if finding.id.starts_with("mistake") {
        return false;
    }
    ["lineups.", "lines.", "valves.", "tees."]
        .iter()
        .any(|place| finding.place.starts_with(place))
        || finding.place.starts_with("pumps.")
        || [
            "draws-air",
            "runs-dry",
            "plumbing-not-computed",
            "one-salt-vessel",
        ]
        .contains(&finding.id)
}

pub(super) const NOT_PLUMBED: &str = "Nothing is plumbed in this file. Add [lines], [valves], [draw_points] and [lineups]: \
                           brinewright new shows them all.";

const CAUTIONS: &str = "Relieve the pressure before a line is opened. Times are for valves that are quite open and \
                        lines without air; stay with what is running.";

fn sheet(station: &Station, proof: &Proof, options: &Options, findings: &[&Finding], file: &str) -> String {
    let speaker = Speaker { station };
    let mut out = format!("{}\n", proof.title);
    if let Some(state) = &proof.feed_state {
        out += &format!("With the feed of {}.\n", spoken(state));
    }
    let Some(all) = &proof.lineups else {
        return out + &format!("\n{}\n", fill(NOT_PLUMBED, "", ""));
    };
    out += "\nValve settings\n";
    if all.lineups.is_empty() {
        out += &(fill(
            "The file has lines, but no [lineups]: which tasks are there?",
            "  ",
            "  ",
        ) + "\n");
    }
    for (place, lineup) in all.lineups.iter().enumerate() {
        if place > 0 {
            out += "\n";
        }
        out += &block(&speaker, lineup, options.at, &all.stand_open);
        out += &switching::from_rest(&proof.switching, &lineup.name);
    }
    if all.lineups.iter().any(|lineup| lineup.found) {
        out += "\n  (found): by the program; the file names no valves there.\n";
    }
    out += &switching::rest(&all.stand_open);
    out += &switching::between(&proof.switching, options.orders);
    out += &pumps(&speaker, all);
    out += &mixing(&speaker, all);
    if let Some(all) = &proof.service {
        out += &if options.service {
            service(&speaker, all)
        } else {
            format!(
                "\n{}\n",
                fill(
                    "Taking parts out, what to close and what goes on without each: lineups --service.",
                    "",
                    ""
                )
            )
        };
    }
    for (severity, heading) in [
        (Severity::Must, "Must fix"),
        (Severity::Should, "Worth fixing"),
        (Severity::Note, "Worth knowing"),
    ] {
        let mut own = findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .peekable();
        if own.peek().is_some() {
            out += &format!("\n{heading}\n");
        }
        for finding in own {
            out += &(fill(&finding.sentence, "  ", "  ") + "\n");
            if let Some(remedy) = &finding.remedy {
                out += &(fill(&format!("-> {} (tried)", remedy.sentence), "    ", "       ") + "\n");
            }
        }
    }
    out += &format!("\n{}\n", fill(CAUTIONS, "", ""));
    // What is typed keeps the names that the file has.
    let mut out = station.in_words(&out);
    if let Some(lineup) = all
        .lineups
        .iter()
        .find(|lineup| lineup.moments.iter().any(|moment| moment.flow.is_some()))
    {
        out += &format!(
            "Line by line:\n  brinewright flows{file} --lineup {}\n",
            lineup.name
        );
        out += &format!("Ask why:\n  brinewright why lineups.{}.flow{file}\n", lineup.name);
    }
    out
}

/// A task: from where to where, what to open, and a row for each level of its source.
fn block(speaker: &Speaker<'_>, lineup: &Lineup, at: Option<Source>, stand_open: &[String]) -> String {
    let by = match lineup.pumps_on.as_slice() {
        [] => "by gravity".to_owned(),
        pumps => format!("by pump {}", pumps.join(", ")),
    };
    let way = match lineup.from == lineup.to {
        true => format!("round {}", lineup.from),
        false => format!("{} to {}", lineup.from, lineup.to),
    };
    let mut out = fill(&format!("{}: {way}, {by}", lineup.name), "  ", "    ") + "\n";
    out += &(fill(&to_open(lineup, stand_open), "    ", "    ") + "\n");
    let moments: Vec<&LineupMoment> = match at {
        None => lineup.moments.iter().collect(),
        Some(source) => source.of(lineup).into_iter().collect(),
    };
    if lineup.valves_open.is_some() {
        out += &table(speaker, lineup, &moments);
    }
    if lineup.held_m3 > 0.0 {
        out += &format!(
            "    Its lines hold {}.\n",
            speaker.exact(Kind::Volume, lineup.held_m3)
        );
    }
    if let Some(own) = &lineup.delivery {
        out += &(fill(&delivery(speaker, lineup, own), "    ", "    ") + "\n");
    }
    out
}

fn to_open(lineup: &Lineup, stand_open: &[String]) -> String {
    let others = match stand_open {
        [] => "the others",
        _ => "what else its water could reach",
    };
    match &lineup.valves_open {
        None => "No setting of the valves does it.".to_owned(),
        Some(open) if open.is_empty() => "No valve to open.".to_owned(),
        Some(open) => {
            let found = if lineup.found { " (found)" } else { "" };
            format!("Open {}{found}; close {others}.", read::list(&refs(open), "and"))
        }
    }
}

fn refs(names: &[String]) -> Vec<&str> {
    names.iter().map(String::as_str).collect()
}
