//! What `brinewright mistakes` tells when it is asked for all: every wrong move, every change that was tried, the least that
//! does each harm, every state.

use proof::{Hazard, MistakeKind, Mistakes, StateOfStation, WrongMove};
use station::quantity::{Kind, format_count, format_rough_time, format_tape};
use station::shown;

use super::mistakes::{lighter, told};
use super::page::fill;
use super::read;
use super::speaker::Speaker;
use super::table::{First, columns};

/// All that was found, but for single states.
pub(super) fn in_full(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let mut out = lighter(speaker, mistakes);
    out += &one_step(speaker, mistakes);
    out += &left_too_long(speaker, mistakes);
    out += &changes(speaker, mistakes);
    out += &least(speaker, mistakes);
    out + &counts(mistakes)
}

/// Every single wrong move that does harm, task by task.
fn one_step(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    let mut out = String::new();
    let mut task = "";
    for own in &mistakes.one_step {
        if out.is_empty() {
            out += "\nEvery single wrong move that does harm, out of each task\n";
        }
        if task != own.lineup {
            task = &own.lineup;
            out += &format!("  {task}\n");
        }
        let moved = match own.moved.as_str() {
            "" => "by itself".to_owned(),
            moved => format!("{moved} {}", own.turned),
        };
        out += &(fill(&format!("{moved}: {}", does(speaker, own)), "    ", "      ") + "\n");
    }
    out
}

/// "over a rim, salt, 20 L/min, after 2 min from the start levels".
pub(super) fn does(speaker: &Speaker<'_>, own: &WrongMove) -> String {
    let flow = match own.flow_m3_per_s {
        0.0 => String::new(),
        flow => format!(", {}", speaker.exact(Kind::Flow, flow)),
    };
    format!(
        "{}, {}{flow}, {}{}",
        own.kind.word(),
        own.victim,
        soon(own.seconds_to_harm),
        match own.situation.as_str() {
            "start" => " from the start levels",
            "full" => " with the vessels full",
            "worst" => " with the vessels low",
            "crossed" => " with purified water low and salt water full",
            _ => "",
        }
    )
}

/// What a task comes to that nobody ends, or that is begun at the wrong moment.
fn left_too_long(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    if mistakes.left_on.is_empty() {
        return String::new();
    }
    let mut out = String::from("\nTasks left too long, or begun at the wrong moment\n");
    for own in &mistakes.left_on {
        out += &(fill(&format!("{}: {}", own.lineup, does(speaker, own)), "  ", "    ") + "\n");
    }
    out
}

/// The changes that were tried, cheapest first.
fn changes(speaker: &Speaker<'_>, mistakes: &Mistakes) -> String {
    if mistakes.remedies.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "\nChanges that were tried, cheapest first ({} causes in all)\n",
        mistakes.causes.len()
    );
    for remedy in &mistakes.remedies {
        let text = format!("{} (clears {})", told(speaker, remedy), remedy.clears);
        out += &(fill(&text, "  - ", "    ") + "\n");
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
                soon(hazard.seconds_to_harm)
            );
            out += &(fill(&text, "    ", "      ") + "\n");
        }
    }
    out
}

/// "fresh-outlet, jet open; bracket runs": the page says it in words.
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

pub(super) fn soon(seconds: f64) -> String {
    match seconds {
        ..1.0 => "at once".to_owned(),
        _ => format!("after {}", format_rough_time(seconds)),
    }
}

/// How many states do each kind of harm.
fn counts(mistakes: &Mistakes) -> String {
    let counts: Vec<Vec<String>> = mistakes
        .map
        .counts
        .iter()
        .filter(|count| count.states > 0)
        .map(|count| {
            vec![
                count.kind.word().to_owned(),
                format_count(count.states),
                "states".to_owned(),
            ]
        })
        .collect();
    format!("\nStates that do each harm\n{}", columns(First::Words, &counts))
}

/// Every state with what it does.
pub(super) fn each_state(states: Option<&[StateOfStation]>) -> String {
    let Some(states) = states else {
        return "\nThere are too many states to list.\n".to_owned();
    };
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
                    soon(harm.seconds_to_harm)
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
