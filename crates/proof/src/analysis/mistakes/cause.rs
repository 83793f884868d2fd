//! Wrong moves grouped by what they lead to, each group told in one sentence.

use station::Station;
use station::plumbing::End;
use station::quantity::Kind as QuantityKind;

use super::balance::balance;
use super::doubt::places;
use super::judge::Harm;
use super::kind::{Kind, Victim, severity};
use super::moves::Wrong;
use super::survey::{Ground, Survey};
use super::switches::{Position, Switch};
use super::switching::REST;
use super::types::{Balance, Cause, MoveOfCause};
use crate::analysis::speak::{list, say, tape};
use crate::finding::Severity;
use crate::method::Refusal;

/// Wrong moves with one cause.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Group {
    pub(super) kind: Kind,
    pub(super) victim: Victim,
    pub(super) severity: Severity,
    /// All of them, soonest first.
    pub(super) moves: Vec<Wrong>,
    /// Where waters mix, the least of the soonest move's position that does it.
    pub(super) least: Position,
}

impl Group {
    /// The one that does it soonest.
    pub(super) fn worst(&self) -> &Wrong {
        &self.moves[0]
    }

    /// Begins the keys of its figures.
    pub(super) fn key(&self, ground: &Ground<'_>) -> String {
        let (kind, victim, by) = self.identity(ground);
        let kind = kind.word().replace(' ', "-");
        match by.as_str() {
            "" => format!("mistakes.{kind}.{victim}"),
            by => format!("mistakes.{kind}.{victim}.{by}"),
        }
    }

    /// What tells two causes apart.
    pub(super) fn identity(&self, ground: &Ground<'_>) -> (Kind, String, String) {
        let by = if is_mixing(self.kind) {
            let (valves, pumps) = ground.switches.names(ground.station, self.least);
            valves.into_iter().chain(pumps).collect::<Vec<_>>().join("+")
        } else {
            String::new()
        };
        (self.kind, ground.station.name_of(self.victim).to_owned(), by)
    }
}

/// Whether a kind is told for each set of valves that does it: where waters mix, which they are matters.
fn is_mixing(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::SaltIntoFresh | Kind::FreshIntoSalt | Kind::TankDrawnBack
    )
}

/// Groups, worst first: by how much they matter, then by kind, then soonest first.
pub(super) fn groups(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    wrong: &[Wrong],
) -> Result<Vec<Group>, Refusal> {
    let mut groups: Vec<Group> = Vec::new();
    for own in wrong {
        let (kind, victim) = (own.harm.kind, own.harm.victim);
        let least = if is_mixing(kind) {
            least(ground, &mut surveys[own.situation], own)?
        } else {
            0
        };
        let known = groups
            .iter_mut()
            .find(|group| (group.kind, group.victim, group.least) == (kind, victim, least));
        match known {
            Some(group) => group.moves.push(*own),
            None => groups.push(Group {
                kind,
                victim,
                severity: severity(ground.station, kind, victim),
                moves: vec![*own],
                least,
            }),
        }
    }
    for group in &mut groups {
        group
            .moves
            .sort_by(|a, b| a.harm.seconds.total_cmp(&b.harm.seconds));
    }
    groups.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(a.kind.cmp(&b.kind))
            .then(a.worst().harm.seconds.total_cmp(&b.worst().harm.seconds))
    });
    Ok(groups)
}

/// What of a position still does the harm when as much as can be is stopped and closed: pumps first, then valves.
fn least(ground: &Ground<'_>, survey: &mut Survey<'_>, wrong: &Wrong) -> Result<Position, Refusal> {
    let is = |harm: &Harm| (harm.kind, harm.victim) == (wrong.harm.kind, wrong.harm.victim);
    let mut position = wrong.position;
    loop {
        let before = position;
        for bit in (0..ground.switches.count()).rev() {
            let without = position & !(1 << bit);
            if without != position && ground.switches.can_be(without) && survey.harms(without)?.iter().any(is)
            {
                position = without;
            }
        }
        if position == before {
            return Ok(position);
        }
    }
}

/// A group as it is told.
pub(super) fn told(ground: &Ground<'_>, surveys: &mut [Survey<'_>], group: &Group) -> Result<Cause, Refusal> {
    let (station, worst) = (ground.station, group.worst());
    let balance = match is_mixing(group.kind) {
        true => balance(station, &mut surveys[worst.situation], group.least, &worst.harm)?,
        false => None,
    };
    Ok(Cause {
        key: group.key(ground),
        kind: group.kind,
        victim: station.name_of(group.victim).to_owned(),
        severity: group.severity,
        moved: once(group.moves.iter().map(|own| switch_name(station, own))),
        lineups: once(group.moves.iter().map(|own| lineup_name(station, own))),
        moves: group
            .moves
            .iter()
            .map(|own| MoveOfCause {
                lineup: lineup_name(station, own).to_owned(),
                moved: switch_name(station, own).to_owned(),
                turned: turned(own),
            })
            .collect(),
        sentence: sentence(ground, group, balance.as_ref()),
        seconds_to_harm: worst.harm.seconds,
        flow_m3_per_s: worst.harm.flow_m3_s,
        flow: None,
        time: None,
        balance,
        remedy: None,
        place: place(station, worst),
    })
}

/// Names, each once, in their order.
fn once<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in names.filter(|name| !name.is_empty()) {
        if !out.iter().any(|own| own == name) {
            out.push(name.to_owned());
        }
    }
    out
}

/// The valve or pump that was moved; empty where none was.
pub(super) fn switch_name<'a>(station: &'a Station, wrong: &Wrong) -> &'a str {
    match wrong.moved {
        Some((Switch::Valve(valve), _)) => &station.valves[valve].name,
        Some((Switch::Pump(pump), _)) => &station.pumps[pump].name,
        None => "",
    }
}

/// How it was moved.
pub(super) fn turned(wrong: &Wrong) -> &'static str {
    match wrong.moved {
        Some((Switch::Valve(_), true)) => "opened",
        Some((Switch::Valve(_), false)) => "closed",
        Some((Switch::Pump(_), true)) => "started",
        Some((Switch::Pump(_), false)) => "stopped",
        None => "",
    }
}

fn place(station: &Station, wrong: &Wrong) -> String {
    match wrong.moved {
        Some((Switch::Valve(valve), _)) => format!("valves.{}", station.valves[valve].name),
        Some((Switch::Pump(pump), _)) => format!("pumps.{}", station.pumps[pump].name),
        None => match wrong.lineup {
            Some(lineup) => format!("lineups.{}", station.lineups[lineup].name),
            None => match wrong.harm.victim {
                End::Vessel(vessel) => format!("vessels.{}", station.vessels[vessel].name),
                End::Tank(tank) => format!("tanks.{}", station.tanks[tank].name),
                End::Draw(draw) => format!("draw_points.{}", station.draw_points[draw].name),
                End::Pump(pump) => format!("pumps.{}", station.pumps[pump].name),
                End::Tee(tee) => format!("tees.{}", station.tees[tee].name),
            },
        },
    }
}

/// The task out of which it is, or rest.
pub(super) fn lineup_name<'a>(station: &'a Station, wrong: &Wrong) -> &'a str {
    wrong
        .lineup
        .map_or(REST, |lineup| station.lineups[lineup].name.as_str())
}

/// One sentence with the figures of the soonest move, and what else comes to the same.
fn sentence(ground: &Ground<'_>, group: &Group, balance: Option<&Balance>) -> String {
    let (station, worst) = (ground.station, group.worst());
    let mut what = does(ground, group, &worst.harm);
    if let Some(balance) = balance {
        what.push_str(&format!(
            "; by gravity it turns round where {} stands at {} and {} at {}",
            balance.vessel,
            tape(station, balance.level_m),
            balance.other,
            tape(station, balance.other_level_m)
        ));
    }
    format!(
        "{}: {what}.{}",
        shown_first(&begins(station, group)),
        also(station, group)
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
        Some(_) => format!("{} {} during {during}", part(station, worst), turned(worst)),
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

/// " The same, no sooner, when valve salt-outlet is opened, or valve jet or pool is closed."
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
        parts => format!(" The same, no sooner, when {}.", parts.join(", or ")),
    }
}

/// `a`, `a or b`, `a, b or c`.
fn alternatives(names: &[&str]) -> String {
    list(names).replacen(" and ", " or ", 1)
}

/// What it does, with its figures.
fn does(ground: &Ground<'_>, group: &Group, harm: &Harm) -> String {
    let station = ground.station;
    let victim = station.name_of(group.victim);
    let (flow, time) = places(ground, group);
    let after = match harm {
        harm if harm.seconds < 1.0 => "at once".to_owned(),
        // What no flow does rests on no network.
        harm if harm.flow_m3_s <= 0.0 => {
            format!(
                "after {}",
                say(station, QuantityKind::Time, two_figures(harm.seconds))
            )
        }
        _ => format!("after {time}"),
    };
    match (group.kind, group.victim) {
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
        (Kind::ToFloor, End::Draw(draw)) => format!(
            "{victim} runs at {flow}; {} is full and on the floor {after}",
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

fn container(station: &Station, draw: usize) -> String {
    let container = &station.draw_points[draw].fields.container.value;
    format!(
        "a container of {}",
        say(station, QuantityKind::Volume, container.m3())
    )
}

/// Rounded to two figures: nothing here is known better.
fn two_figures(seconds: f64) -> f64 {
    let unit = if seconds >= 3600.0 {
        3600.0
    } else if seconds >= 60.0 {
        60.0
    } else {
        1.0
    };
    let value = seconds / unit;
    let least = if unit > 1.0 { 0.1 } else { 1.0 };
    let step = libm::pow(10.0, libm::floor(libm::log10(value)) - 1.0).max(least);
    libm::round(value / step) * step * unit
}
