//! Wrong moves grouped by what they lead to.

use station::Station;
use station::plumbing::End;

use super::super::plumbing::Lineups;
use super::balance::balance;
use super::judge::Harm;
use super::kind::{Kind, Victim, severity};
use super::moves::{Wrong, harm_to};
use super::rank::weight;
use super::survey::{Ground, Survey};
use super::switches::{Position, Switch};
use super::switching::REST;
use super::types::{Cause, MoveOfCause};
use super::words::sentence;
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
    /// What it weighs beside others of its severity.
    pub(super) weight: f64,
}

impl Group {
    /// Of one mistake alone.
    pub(super) fn alone(station: &Station, wrong: &Wrong) -> Self {
        let (kind, victim) = (wrong.harm.kind, wrong.harm.victim);
        Self {
            kind,
            victim,
            severity: severity(station, kind, victim),
            moves: vec![*wrong],
            least: 0,
            weight: 0.0,
        }
    }

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
pub(super) fn is_mixing(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::SaltIntoFresh | Kind::FreshIntoSalt | Kind::WrongWaterDrawn | Kind::TankDrawnBack
    )
}

/// Groups, worst first: by how much they matter, then by what they weigh, then by kind.
pub(super) fn groups(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    lineups: &Lineups,
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
                weight: 0.0,
            }),
        }
    }
    for group in &mut groups {
        group
            .moves
            .sort_by(|a, b| a.harm.seconds.total_cmp(&b.harm.seconds));
        group.weight = weight(ground.station, lineups, &group.moves);
    }
    groups.sort_by(|a, b| {
        b.severity
            .cmp(&a.severity)
            .then(b.weight.total_cmp(&a.weight))
            .then(a.kind.cmp(&b.kind))
            .then(a.worst().harm.seconds.total_cmp(&b.worst().harm.seconds))
    });
    Ok(groups)
}

/// What of a position still does the harm when as much as can be is stopped and closed: pumps first, then valves.
fn least(ground: &Ground<'_>, survey: &mut Survey<'_>, wrong: &Wrong) -> Result<Position, Refusal> {
    let is = |harm: &Harm| (harm.kind, harm.victim) == (wrong.harm.kind, wrong.harm.victim);
    let task = wrong.lineup.map(|lineup| &ground.station.plumbing.tasks[lineup]);
    let mut does = |position: Position| -> Result<bool, Refusal> {
        Ok(match task {
            Some(task) => harm_to(survey, task, position)?.iter().any(is),
            None => survey.harms(position)?.iter().any(is),
        })
    };
    let mut position = wrong.position;
    loop {
        let before = position;
        for bit in (0..ground.switches.count()).rev() {
            let without = position & !(1 << bit);
            if without != position && ground.switches.can_be(without) && does(without)? {
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
        sentence: sentence(ground, group, &surveys[worst.situation].moment, balance.as_ref()),
        seconds_to_harm: worst.harm.seconds,
        flow_m3_per_s: worst.harm.flow_m3_s,
        flow: None,
        time: None,
        balance,
        remedy: None,
        tried: Vec::new(),
        place: place(station, worst),
    })
}

/// Names, each once, in their order.
pub(super) fn once<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
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
