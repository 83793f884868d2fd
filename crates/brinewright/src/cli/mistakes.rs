//! `brinewright mistakes`: what wrong valves do, worst first, and what was tried against them.

use std::path::PathBuf;

use clap::Args;
use proof::{
    Cause, Hazard, KindCount, MistakeKind, Mistakes, Severity, StateOfStation, Together, TriedRemedy,
    WrongMove, every_state,
};
use serde::Serialize;
use station::quantity::{Kind, format_tape};
use station::{Station, shown};

use super::page::{fill, json};
use super::read;
use super::speaker::Speaker;
use super::table::{First, columns};
use super::{Answer, Output};
use crate::failure::Failure;
use crate::task::station::{Loaded, load_on};

/// What wrong valves do: the worst first, how soon, and which part clears them
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Station file; the invented demo Larkhaven where none is named
    file: Option<PathBuf>,
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
    let Loaded { station, .. } = load_on(options.file.as_deref(), None, output.asked())?;
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
    if options.states {
        text += &each_state(&station, states.as_deref());
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

const CAUTION: &str = "A wrong move is told as if nobody came for as long as room.unnoticed says. Flows are \
                       taken to go on as they begin. They fade as levels meet, so that harm comes when it is told, or later.";

fn sheet(station: &Station, title: &str, mistakes: &Mistakes) -> String {
    let speaker = Speaker { station };
    let mut out = format!("{title}: wrong valves\n\n");
    if mistakes.causes.is_empty() {
        out += match station.lineups.is_empty() {
            true => "The file has no [lineups]: without tasks no wrong move can be told.\n",
            false => "No single wrong move out of any task does harm.\n",
        };
    } else {
        let leading = mistakes.leading().len();
        let what = match leading {
            1 => "The wrong move that matters most".to_owned(),
            n => format!(
                "The {} wrong moves that matter most",
                ["", "", "two", "three"][n.min(3)]
            ),
        };
        out += &format!("{what}\n");
        for (at, cause) in mistakes.leading().iter().enumerate() {
            out += &(fill(&cause.sentence, &format!("  {}  ", at + 1), "     ") + "\n");
            if let Some(remedy) = cause.remedy {
                out += &(fill(
                    &format!("-> {} (tried)", told(&speaker, &mistakes.remedies[remedy])),
                    "     ",
                    "        ",
                ) + "\n");
            }
        }
        let others = &mistakes.causes[leading..];
        if !others.is_empty() {
            out += "\nOther single wrong moves\n";
            for cause in others {
                out += &(fill(&cause.sentence, "  ", "    ") + "\n");
                if let Some(remedy) = cause.remedy {
                    out += &(fill(
                        &format!("-> {}", told(&speaker, &mistakes.remedies[remedy])),
                        "     ",
                        "        ",
                    ) + "\n");
                }
            }
        }
    }
    out += &left_too_long(&speaker, mistakes);
    out += &remedies(&speaker, mistakes);
    out += &least(&speaker, mistakes);
    out += &looked_at(mistakes);
    out += &format!("\n{}\n", fill(CAUTION, "", ""));
    out
}

/// What a task comes to that nobody ends, or that is begun at the wrong moment.
fn left_too_long(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    if mistakes.left_on.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nTasks left too long, or begun at the wrong moment\n");
    for own in &mistakes.left_on {
        let text = format!(
            "{}: {}, {}, {}{}",
            own.lineup,
            own.kind.word(),
            own.victim,
            soon(speaker, own.seconds_to_harm),
            match own.situation.as_str() {
                "start" => " from the start levels",
                "full" => " with the vessels full",
                "worst" => " with the vessels low",
                "crossed" => " with purified water low and salt water full",
                _ => "",
            }
        );
        out += &(fill(&text, "  ", "    ") + "\n");
    }
    out
}

fn told(speaker: &Speaker<'_>, remedy: &TriedRemedy) -> String {
    match remedy.price {
        Some(price) => format!("{}, about {}", remedy.sentence, speaker.exact(Kind::Money, price)),
        None => remedy.sentence.clone(),
    }
}

/// The changes that were tried, cheapest first.
fn remedies(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    if mistakes.remedies.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "\nChanges that were tried, cheapest first ({} causes in all)\n",
        mistakes.causes.len()
    );
    for remedy in &mistakes.remedies {
        out += &(fill(
            &format!("{} (clears {})", told(speaker, remedy), remedy.clears),
            "  - ",
            "    ",
        ) + "\n");
    }
    if let Some(all) = &mistakes.together {
        out += &(fill(&together(speaker, all, mistakes.causes.len()), "  ", "  ") + "\n");
    }
    let mut cautions: Vec<&str> = Vec::new();
    for caution in mistakes.remedies.iter().filter_map(|remedy| remedy.caution) {
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    for caution in cautions {
        out += &(fill(caution, "  ", "  ") + "\n");
    }
    out
}

/// What the cheapest changes come to when all are made.
fn together(speaker: &Speaker<'_>, all: &Together, causes: usize) -> String {
    let price = all.price.map_or_else(String::new, |price| {
        format!(", about {},", speaker.exact(Kind::Money, price))
    });
    let left = match all.left {
        0 => "none is left".to_owned(),
        1 => "one is left".to_owned(),
        left => format!("{left} are left"),
    };
    let brings = if all.brings {
        ", and a new one comes up"
    } else {
        ""
    };
    format!(
        "The cheapest of each, {} changes{price} made together and tried: of {causes} causes {left}{brings}.",
        all.remedies.len()
    )
}

/// The least that does each harm, by kind.
fn least(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let mut out = String::new();
    for kind in MistakeKind::ALL {
        let own: Vec<&Hazard> = mistakes
            .map
            .hazards
            .iter()
            .filter(|hazard| hazard.kind == kind)
            .collect();
        if own.is_empty() {
            continue;
        }
        if out.is_empty() {
            out += "\nThe fewest open valves and running pumps that do each harm, all else closed\n";
        }
        out += &format!("  {}\n", shown(kind.word()));
        for hazard in own {
            let flow = match hazard.flow_m3_per_s {
                0.0 => String::new(),
                flow => format!(", {}", speaker.exact(Kind::Flow, flow)),
            };
            let turns = hazard.balance.as_ref().map_or_else(String::new, |balance| {
                format!(
                    "; turns round where {} stands at {}",
                    balance.vessel,
                    format_tape(balance.level_m, speaker.station.units())
                )
            });
            let text = format!(
                "{}: {}{flow}, {}{turns}",
                set(&hazard.valves_open, &hazard.pumps_on),
                hazard.victim,
                soon(speaker, hazard.seconds_to_harm)
            );
            out += &(fill(&text, "    ", "      ") + "\n");
        }
    }
    out
}

/// "fresh-outlet, jet open; bracket runs".
fn set(valves: &[String], pumps: &[String]) -> String {
    let names = |names: &[String]| {
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        read::list(&names, "and")
    };
    match (valves.is_empty(), pumps.is_empty()) {
        (true, true) => "nothing open".to_owned(),
        (false, true) => format!("{} open", names(valves)),
        (true, false) => format!("{} runs, all closed", names(pumps)),
        (false, false) => format!("{} open, {} runs", names(valves), names(pumps)),
    }
}

fn soon(speaker: &Speaker<'_>, seconds: f64) -> String {
    if seconds < 1.0 {
        "at once".to_owned()
    } else {
        format!("after {}", speaker.exact(Kind::Time, seconds))
    }
}

fn looked_at(mistakes: &Mistakes) -> String {
    let mut out = String::from("\nHow it was looked at\n");
    let situations: Vec<&str> = mistakes
        .map
        .situations
        .iter()
        .map(|situation| match situation.as_str() {
            "start" => "at their start levels",
            "full" => "full",
            "worst" => "as low as ordinary running leaves them",
            "crossed" => "with purified water low and salt water full",
            other => other,
        })
        .collect();
    let text = format!(
        "{}, with the vessels {}: {} states, {} of them harmless, from {} patterns of joined lines that were solved.",
        shown(&mistakes.map.exhaustive),
        read::list(&situations, "and"),
        mistakes.map.states_tried,
        mistakes.map.harmless,
        mistakes.map.patterns_solved
    );
    out += &(fill(&text, "  ", "  ") + "\n");
    let counts: Vec<Vec<String>> = mistakes
        .map
        .counts
        .iter()
        .filter(|count| count.states > 0)
        .map(|count| {
            vec![
                count.kind.word().to_owned(),
                count.states.to_string(),
                "states".to_owned(),
            ]
        })
        .collect();
    out + &columns(First::Words, &counts)
}

fn each_state(station: &Station, states: Option<&[StateOfStation]>) -> String {
    let Some(states) = states else {
        return "\nThere are too many states to list.\n".to_owned();
    };
    let speaker = Speaker { station };
    let mut out = String::from("\nEvery state\n");
    let mut situation = "";
    for state in states {
        if state.situation != situation {
            situation = &state.situation;
            out += &format!("  {situation}\n");
        }
        let harms: Vec<String> = state
            .harms
            .iter()
            .map(|harm| {
                format!(
                    "{}, {}, {}",
                    harm.kind.word(),
                    harm.victim,
                    soon(&speaker, harm.seconds_to_harm)
                )
            })
            .collect();
        let does = if harms.is_empty() {
            "harmless".to_owned()
        } else {
            harms.join("; ")
        };
        let text = format!("{}: {does}", set(&state.valves_open, &state.pumps_on));
        out += &(fill(&text, "    ", "      ") + "\n");
    }
    out
}
