//! A cause in one sentence, with the figures of the move that does it soonest.

use station::Station;
use station::plumbing::End;
use station::quantity::{Kind as QuantityKind, format_rough_time};
use station::sections::Water;

use super::cause::{Group, is_mixing, lineup_name, once, switch_name, turned};
use super::doubt::places;
use super::kind::Kind;
use super::moment::Moment;
use super::moves::Wrong;
use super::survey::Ground;
use super::switches::Switch;
use super::switching::REST;
use super::types::Balance;
use crate::analysis::speak::{list, say, tape};

/// One sentence with the figures of the soonest move, and what else comes to the same.
pub(super) fn sentence(
    ground: &Ground<'_>,
    group: &Group,
    moment: &Moment<'_>,
    balance: Option<&Balance>,
) -> String {
    let (station, worst) = (ground.station, group.worst());
    let mut what = does(station, worst, &places(ground, group));
    what.push_str(&nearly_empty(station, group, moment));
    if let Some(balance) = balance {
        what.push_str(&turns_round(ground, group, balance));
    }
    format!(
        "{}: {what}.{}",
        shown_first(&begins(station, group)),
        also(station, group)
    )
}

/// Share of what a vessel holds below which its time is told with what it holds: with more in it, water takes longer to
/// spoil it (house rule).
const NEARLY_EMPTY: f64 = 0.25;

/// ", while salt holds only 32 L": a time that is true of no fuller vessel.
fn nearly_empty(station: &Station, group: &Group, moment: &Moment<'_>) -> String {
    let End::Vessel(vessel) = group.victim else {
        return String::new();
    };
    let facts = &moment.vessels[vessel];
    let holds_little = facts.volume_m3 < NEARLY_EMPTY * (facts.volume_m3 + facts.free_m3);
    if !is_mixing(group.kind) || !holds_little {
        return String::new();
    }
    let holds = say(station, QuantityKind::Volume, facts.volume_m3);
    format!(" while {} holds only {holds}", station.name_of(group.victim))
}

/// "; with the pump stopped it runs the other way once fresh stands above 865 mm (salt at 775 mm)".
fn turns_round(ground: &Ground<'_>, group: &Group, balance: &Balance) -> String {
    let station = ground.station;
    let (_, pumps) = ground.switches.names(station, group.worst().position);
    let still = match (group.kind, pumps.is_empty()) {
        (_, true) => "",
        (Kind::SaltIntoFresh, false) => "with the pump stopped ",
        // A pump that drives fresh water in does so at every level.
        (_, false) => return String::new(),
    };
    // The level is the one above which fresh water runs into the salt; below it salt water comes back, or none runs.
    let when = match group.kind {
        Kind::SaltIntoFresh => "it runs the other way once",
        _ => "it does so only while",
    };
    format!(
        "; {still}{when} {} stands above {} ({} at {})",
        balance.vessel,
        tape(station, balance.level_m),
        balance.other,
        tape(station, balance.other_level_m)
    )
}

fn shown_first(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// Times within so much of the soonest count as the same (house rule).
const AS_SOON: f64 = 1.25;

/// "valve fresh-outlet opened during mix or tall-bucket": the soonest move, and the tasks out of which it is as soon.
fn begins(station: &Station, group: &Group) -> String {
    let worst = group.worst();
    let as_soon =
        |own: &&Wrong| own.moved == worst.moved && own.harm.seconds <= AS_SOON * worst.harm.seconds + 1.0;
    let lineups = once(
        group
            .moves
            .iter()
            .filter(as_soon)
            .map(|own| lineup_name(station, own)),
    );
    let lineups: Vec<&str> = lineups.iter().map(String::as_str).collect();
    let during = if lineups.len() == station.lineups.len() && lineups.len() > 2 {
        "any task".to_owned()
    } else {
        alternatives(&lineups)
    };
    match worst.moved {
        Some(_) if lineups == [REST] => format!("{} {} between tasks", part(station, worst), turned(worst)),
        Some(_) => format!("{} {} during {during}", part(station, worst), turned(worst)),
        None if worst.lineup.is_none() && worst.position != 0 => "as valves stand between tasks".to_owned(),
        None if worst.lineup.is_none() => "with everything closed".to_owned(),
        None => format!("{during} by itself"),
    }
}

/// "valve fresh-outlet", "pump bracket".
fn part(station: &Station, wrong: &Wrong) -> String {
    let kind = match wrong.moved {
        Some((Switch::Valve(_), _)) => "valve",
        Some((Switch::Pump(_), _)) => "pump",
        None => "",
    };
    format!("{kind} {}", switch_name(station, wrong))
}

/// " The same when valve salt-outlet is opened, or valve jet or pool is closed."
fn also(station: &Station, group: &Group) -> String {
    let worst = group.worst();
    let mut parts = Vec::new();
    for word in ["opened", "closed", "started", "stopped"] {
        let others = group
            .moves
            .iter()
            .filter(|own| own.moved.is_some() && own.moved != worst.moved && turned(own) == word);
        let names = once(others.map(|own| switch_name(station, own)));
        if !names.is_empty() {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            let kind = if matches!(word, "opened" | "closed") {
                "valve"
            } else {
                "pump"
            };
            parts.push(format!("{kind} {} is {word}", alternatives(&names)));
        }
    }
    match parts.as_slice() {
        [] => String::new(),
        parts => format!(" The same when {}.", parts.join(", or ")),
    }
}

/// `a`, `a or b`, `a, b or c`.
fn alternatives(names: &[&str]) -> String {
    list(names).replacen(" and ", " or ", 1)
}

/// "Nobody ends fresh-bucket: fresh-tap runs at 107 L/min; its container of 12 L runs over after 6.7 s."
pub(super) fn left_sentence(station: &Station, left: &Wrong) -> String {
    let harm = &left.harm;
    let figures = (
        say(station, QuantityKind::Flow, harm.flow_m3_s),
        format_rough_time(harm.seconds),
    );
    format!(
        "Nobody ends {}: {}.",
        lineup_name(station, left),
        does(station, left, &figures)
    )
}

/// What it does, with its flow and its time.
fn does(station: &Station, wrong: &Wrong, (flow, time): &(String, String)) -> String {
    let harm = &wrong.harm;
    let victim = station.name_of(harm.victim);
    let after = match harm {
        harm if harm.seconds < 1.0 => "at once".to_owned(),
        // What no flow does rests on no network.
        harm if harm.flow_m3_s <= 0.0 => {
            format!("after {}", format_rough_time(harm.seconds))
        }
        _ => format!("after {time}"),
    };
    match (harm.kind, harm.victim) {
        (Kind::BackflowToFeed, _) => {
            format!(
                "the end of the purifier's tube in {victim} is drowned {after}, and water can run back through it"
            )
        }
        (Kind::TankDrawnBack, End::Tank(tank)) => {
            let may = if station.tanks[tank].fields.isolated.value {
                ", which may carry medicine or disease,"
            } else {
                ""
            };
            format!("water of {victim}{may} runs back into the station at {flow}, past its line {after}")
        }
        (Kind::TankDrawnBack, _) => format!("water of {victim} runs back at {flow}"),
        (Kind::HeaterUncovered, _) => {
            format!("{victim} sinks at {flow}, and its heater stands dry and on {after}")
        }
        (Kind::SaltIntoFresh, End::Vessel(vessel)) => format!(
            "salt water runs into {victim} at {flow}, and it is spoiled for {} {after}",
            station.vessels[vessel].fields.used_for.value.word()
        ),
        (Kind::SaltIntoFresh, _) => format!("salt water runs into {victim} at {flow}"),
        (Kind::SiphonIntoTank, _) => {
            format!("{flow} runs on into {victim} by itself, and it runs over {after}")
        }
        (Kind::OverRim, _) => format!("{victim} gains {flow} and runs over {after}"),
        (Kind::FreshIntoSalt, _) => {
            format!("fresher water runs into {victim} at {flow} and thins it too far {after}")
        }
        (Kind::WrongWaterDrawn, _) => {
            format!("{victim} gives {flow} of water that {}", wrong_by(station, wrong))
        }
        (Kind::ToFloor, End::Draw(draw)) => format!(
            "{victim} runs at {flow}; its {} runs over {after}",
            container(station, draw)
        ),
        (Kind::ToFloor, _) => format!("{flow} runs to the floor"),
        (Kind::PumpDry, _) if harm.seconds == 0.0 => format!("{victim} draws air {after}"),
        (Kind::PumpDry, _) => format!("{victim} runs dry {after}"),
        (Kind::PumpAgainstClosed, _) => {
            format!("{victim} works without flow, and the water in it is hot {after}")
        }
    }
}

/// What is wrong with water that is drawn: by the task, where there is one that draws there.
fn wrong_by(station: &Station, wrong: &Wrong) -> String {
    let task = wrong.lineup.map(|at| &station.plumbing.tasks[at]);
    match task
        .filter(|task| task.to == wrong.harm.victim)
        .map(|task| task.from)
    {
        Some(End::Vessel(at)) => match station.vessels[at].fields.holds.value {
            Water::Fresh => "has salt in it".to_owned(),
            Water::Salt => format!(
                "isn't as salty as the batch in {} was mixed",
                station.vessels[at].name
            ),
        },
        _ => "is neither fresh nor as salty as it was mixed".to_owned(),
    }
}

fn container(station: &Station, draw: usize) -> String {
    let container = &station.draw_points[draw].fields.container.value;
    format!(
        "container of {}",
        say(station, QuantityKind::Volume, container.m3())
    )
}
