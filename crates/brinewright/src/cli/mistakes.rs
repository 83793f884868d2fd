//! `brinewright mistakes`: what wrong valves do, worst first, and what was tried against them.

use std::path::PathBuf;

use clap::Args;
use proof::{
    Cause, Hazard, KindCount, Leading, Mistakes, Severity, StateOfStation, Together, TriedRemedy, WrongMove,
    every_state,
};
use serde::Serialize;
use station::quantity::{Kind, format_count};
use station::{Station, shown};

use super::mistakes_in_full::{each_state, in_full, soon};
use super::page::{fill, json};
use super::speaker::Speaker;
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task::station::{Loaded, load_on};

/// What wrong valves do: the worst first, how soon, and which part clears them
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
    /// Tell all that was found as well: every wrong move out of each task, tasks left too long, every change that was tried,
    /// the least that does each harm, how many states do it
    #[arg(long)]
    all: bool,
    /// List every state, one by one
    #[arg(long)]
    states: bool,
    /// End with exit code 3 when something must be fixed
    #[arg(long)]
    strict: bool,
}

#[derive(Serialize)]
struct Machine<'m> {
    format: u32,
    states_tried: u64,
    harmless: u64,
    patterns_solved: usize,
    exhaustive: &'m str,
    situations: &'m [String],
    counts: &'m [KindCount],
    causes: &'m [Cause],
    remedies: &'m [TriedRemedy],
    together: Option<&'m Together>,
    hazards: &'m [Hazard],
    one_step: &'m [WrongMove],
    left_on: &'m [WrongMove],
    #[serde(skip_serializing_if = "Option::is_none")]
    states: Option<&'m [StateOfStation]>,
}

/// Reads, proves, prints.
pub(crate) fn run(options: &Options, output: Output) -> Result<Answer, Failure> {
    let Loaded { station, name } = load_on(options.file.as_deref(), None, output.asked())?;
    let proof = proof::prove(&station);
    let Some(mistakes) = &proof.mistakes else {
        let reason = proof
            .findings
            .iter()
            .find(|finding| finding.id == "mistakes-not-looked-at");
        let text = reason.map_or(NOT_PLUMBED, |finding| finding.sentence.as_str());
        return Ok(Answer {
            text: format!("{}\n\n{}\n", proof.title, fill(text, "", "")),
            json: json(&Machine {
                format: 1,
                states_tried: 0,
                harmless: 0,
                patterns_solved: 0,
                exhaustive: text,
                situations: &[],
                counts: &[],
                causes: &[],
                remedies: &[],
                together: None,
                hazards: &[],
                one_step: &[],
                left_on: &[],
                states: None,
            }),
            ..Answer::default()
        });
    };
    let permeate = proof.figure("permeate").map_or(0.0, |figure| figure.value);
    let states = if options.states {
        every_state(&station, permeate).ok()
    } else {
        None
    };
    let machine = Machine {
        format: 1,
        states_tried: mistakes.map.states_tried,
        harmless: mistakes.map.harmless,
        patterns_solved: mistakes.map.patterns_solved,
        exhaustive: &mistakes.map.exhaustive,
        situations: &mistakes.map.situations,
        counts: &mistakes.map.counts,
        causes: &mistakes.causes,
        remedies: &mistakes.remedies,
        together: mistakes.together.as_ref(),
        hazards: &mistakes.map.hazards,
        one_step: &mistakes.one_step,
        left_on: &mistakes.left_on,
        states: states.as_deref(),
    };
    let mut text = sheet(&station, &proof.title, mistakes);
    if options.all {
        text += &station.in_words(&in_full(&Speaker { station: &station }, mistakes));
    } else {
        let file = options
            .file
            .as_ref()
            .map_or_else(String::new, |_| format!(" {name}"));
        text += &format!(
            "\nEvery wrong move, every change and the least that does each harm:\n  brinewright mistakes{file} --all\n"
        );
    }
    if options.states {
        text += &station.in_words(&each_state(states.as_deref()));
    }
    Ok(Answer {
        text,
        must_fix: options.strict
            && mistakes
                .causes
                .iter()
                .any(|cause| cause.severity == Severity::Must),
        json: json(&machine),
    })
}

const NOT_PLUMBED: &str = "Nothing is plumbed in this file. Add [lines], [valves], [draw_points] and [lineups]: \
                           brinewright new shows them all.";

/// What the times rest on.
fn caution(speaker: &Speaker<'_>) -> String {
    let unnoticed_s = speaker.station.room.unnoticed.value.s();
    format!(
        "Told as if nobody came for {}. Flows fade as levels meet: harm comes when told, or later.",
        speaker.exact(Kind::Time, unnoticed_s)
    )
}

/// So many single wrong moves are told besides those that matter most: more aren't read in two minutes (house rule).
const MOST_OTHERS: usize = 8;

fn sheet(station: &Station, title: &str, mistakes: &Mistakes) -> String {
    let speaker = Speaker { station };
    let mut out = format!("{title}: wrong valves\n\n");
    if mistakes.causes.is_empty() {
        out += match station.lineups.is_empty() {
            true => "The file has no [lineups]: without tasks no wrong move can be told.\n",
            false => "No wrong valve does harm in any task.\n",
        };
        out += if mistakes.leading.is_empty() { "" } else { "\n" };
    }
    out += &leading(&speaker, mistakes);
    let mut others = mistakes.others().peekable();
    if others.peek().is_some() {
        out += "\nOther single wrong moves\n";
    }
    for cause in others.by_ref().take(MOST_OTHERS) {
        out += &other(&speaker, mistakes, cause);
    }
    out += match others.count() {
        0 => String::new(),
        1 => "  and one more\n".to_owned(),
        count => format!("  and {count} more\n"),
    }
    .as_str();
    out += &left_running(mistakes);
    out += &together(&speaker, mistakes);
    out += &looked_at(mistakes);
    out += &(fill(&caution(&speaker), "", "") + "\n");
    station.in_words(&out)
}

/// A single wrong move that isn't among those that matter most, with what clears it.
fn other(speaker: &Speaker<'_>, mistakes: &Mistakes, cause: &Cause) -> String {
    let mut out = fill(&cause.sentence, "  ", "    ") + "\n";
    if let Some(remedy) = cause.remedy.map(|at| &mistakes.remedies[at]) {
        let told = match told_at(mistakes, remedy) {
            Some(at) => format!("as {at}"),
            None => told(speaker, remedy),
        };
        out += &(fill(&format!("-> {told}"), "     ", "        ") + "\n");
    }
    out
}

/// Those that the page in short leaves out.
pub(super) fn lighter(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let each: String = mistakes
        .others()
        .skip(MOST_OTHERS)
        .map(|cause| other(speaker, mistakes, cause))
        .collect();
    match each.as_str() {
        "" => each,
        each => format!("\nMore single wrong moves\n{each}"),
    }
}

/// The number of the mistake that matters most by which a change is told already.
fn told_at(mistakes: &Mistakes, remedy: &TriedRemedy) -> Option<usize> {
    let has = |own: &Leading| match own {
        Leading::Cause(at) => mistakes.causes[*at]
            .remedy
            .is_some_and(|at| mistakes.remedies[at].edits == remedy.edits),
        Leading::Left { remedy: own, .. } => own.as_ref().is_some_and(|own| own.edits == remedy.edits),
    };
    mistakes.leading.iter().position(has).map(|at| at + 1)
}

/// The mistakes that matter most, each with what clears it, or with what was tried.
fn leading(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let what = match mistakes.leading.len() {
        0 => return String::new(),
        1 => "The mistake that matters most".to_owned(),
        n => format!(
            "The {} mistakes that matter most",
            ["", "", "two", "three"][n.min(3)]
        ),
    };
    let each = if mistakes.leading.len() == 1 { "it" } else { "each" };
    let mut out = format!("{what}, by the flow that {each} begins with\n");
    for (at, own) in mistakes.leading.iter().enumerate() {
        let (sentence, against) = match own {
            Leading::Cause(cause) => {
                let cause = &mistakes.causes[*cause];
                let against = match (cause.remedy, mistakes.no_cure_as(at)) {
                    (Some(remedy), _) => format!("{} (tried)", told(speaker, &mistakes.remedies[remedy])),
                    (None, Some(earlier)) => format!("as for {earlier}, nothing that was tried clears it"),
                    (None, None) => mistakes.no_cure(cause).unwrap_or_default(),
                };
                (&cause.sentence, against)
            }
            Leading::Left { sentence, remedy, .. } => {
                let against = match remedy {
                    Some(remedy) => format!("{} (tried)", told(speaker, remedy)),
                    None => "no part that was tried prevents it: stay until it is done".to_owned(),
                };
                (sentence, against)
            }
        };
        out += &(fill(sentence, &format!("  {}  ", at + 1), "     ") + "\n");
        out += &(fill(&format!("-> {against}"), "     ", "        ") + "\n");
    }
    out
}

pub(super) fn told(speaker: &Speaker<'_>, remedy: &TriedRemedy) -> String {
    match remedy.price {
        Some(price) => format!("{}, about {}", remedy.sentence, speaker.about(price)),
        None => remedy.sentence.clone(),
    }
}

/// Most tasks left running that the short page tells, the soonest harm first.
const MOST_LEFT: usize = 2;

/// What a task does that nobody ends.
fn left_running(mistakes: &Mistakes) -> String {
    let left = mistakes.left_soonest();
    if left.is_empty() {
        return String::new();
    }
    let each: Vec<String> = left
        .into_iter()
        .take(MOST_LEFT)
        .map(|own| {
            let after = soon(own.seconds_to_harm);
            format!("{}, {} {after}", own.lineup, own.kind.word())
        })
        .collect();
    let text = format!("Other tasks that nobody ends: {}.", each.join("; "));
    format!("\n{}\n", fill(&text, "", ""))
}

/// What the cheapest changes come to when all are made, with what to keep in mind about them.
fn together(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let mut out = String::new();
    let causes = mistakes.causes.len();
    if let Some(all) = &mistakes.together {
        let price = all
            .price
            .map_or_else(String::new, |price| format!(", about {}", speaker.about(price)));
        let changes = match all.remedies.len() {
            1 => "this change".to_owned(),
            n => format!("these {n} changes"),
        };
        let left = match all.left {
            0 => format!("none of {causes} causes is left"),
            1 => format!("1 of {causes} causes is left"),
            left => format!("{left} of {causes} causes are left"),
        };
        let brings = if all.brings {
            ", and a new one comes up"
        } else {
            ""
        };
        let text = format!("With {changes}{price}, made together and tried, {left}{brings}.");
        out += &format!("\n{}\n", fill(&text, "", ""));
    }
    let cheapest = mistakes.causes.iter().filter_map(|cause| cause.remedy);
    let mut cautions: Vec<&str> = Vec::new();
    for caution in cheapest.filter_map(|remedy| mistakes.remedies[remedy].caution) {
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    for caution in cautions {
        out += &(fill(caution, "", "") + "\n");
    }
    out
}

fn looked_at(mistakes: &Mistakes) -> String {
    let text = format!(
        "{}, with the vessels at {} levels: {} states.",
        shown(&mistakes.map.exhaustive),
        mistakes.map.situations.len(),
        format_count(mistakes.map.states_tried)
    );
    format!("\n{}\n", fill(&text, "", ""))
}
