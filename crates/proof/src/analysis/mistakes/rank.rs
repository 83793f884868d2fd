//! Which mistakes matter most.
//!
//! Owns: how much a cause, or a task that nobody ends, weighs beside the others. Doesn't own: what harm is (judge's), how
//! grave a kind is by itself (kind's).
//!
//! House rule: first by severity, as health, fire and what can't be undone outweigh all else. Among equals by the time that
//! a mistake has to happen in, added over the wrong moves that lead to it: how often a day the task is done, times how long
//! it lasts; where the harm takes longer than the task lasts, by the share that it lasts of it, since the task's end ends
//! the flow; times what the kind weighs. A task that nobody ends counts as one that lasts an hour: forgetting is a mistake
//! of each time that it is done. So a move in a task of half a minute comes after one in a task that stands for hours.

use station::Station;
use station::plumbing::{End, Task};
use station::sections::Water;

use super::super::plumbing::Lineups;
use super::cause::Group;
use super::kind::{Kind, severity};
use super::moves::Wrong;
use super::types::TriedRemedy;
use super::words::left_sentence;
use crate::finding::Severity;
use crate::plant::DAY_S;

/// How many mistakes are told first.
const LEADING: usize = 3;
/// How long a task is taken to last that nobody ends, and one of which nothing tells how long, s (house rule).
const HOUR_S: f64 = 3600.0;
/// How often a task is done of which nothing in the file tells how often (house rule).
const ONCE_A_DAY: f64 = 1.0;

/// A mistake that is told first.
#[derive(Debug, Clone, PartialEq)]
pub enum Leading {
    /// A cause, by its place among the causes.
    Cause(usize),
    /// A task that nobody ends.
    Left {
        /// Its place among those left on.
        at: usize,
        /// How much it matters.
        severity: Severity,
        /// What comes of it, in a sentence with its figures.
        sentence: String,
        /// The cheapest change with which nothing comes of it; `None` where none of those that were tried does it.
        remedy: Option<TriedRemedy>,
    },
}

impl Leading {
    /// Whether it is this cause.
    pub fn is_cause(&self, at: usize) -> bool {
        *self == Self::Cause(at)
    }

    /// Whether it is this task that nobody ends.
    pub fn is_left(&self, at: usize) -> bool {
        matches!(self, Self::Left { at: own, .. } if *own == at)
    }
}

/// How long a task stands, and how often.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Standing {
    times_a_day: f64,
    lasts_s: f64,
}

impl Standing {
    /// Of a task; at rest a station stands all day.
    fn of(station: &Station, lineups: &Lineups, lineup: Option<usize>) -> Self {
        let Some(at) = lineup else {
            return Self {
                times_a_day: ONCE_A_DAY,
                lasts_s: DAY_S,
            };
        };
        Self {
            times_a_day: times_a_day(station, &station.plumbing.tasks[at]),
            lasts_s: lasts_s(lineups, at),
        }
    }
}

/// The longest that a task lasts, from any of the levels of its source; of one that goes round, until it is mixed.
fn lasts_s(lineups: &Lineups, lineup: usize) -> f64 {
    let own = &lineups.lineups[lineup];
    let times = own.moments.iter().filter_map(|moment| moment.nominal.1);
    let mixed = lineups.mixing.iter().filter(|mixing| mixing.lineup == own.name);
    times
        .chain(mixed.map(|mixing| mixing.to_99.value))
        .filter(|seconds| seconds.is_finite() && *seconds > 0.0)
        .reduce(f64::max)
        .unwrap_or(HOUR_S)
}

/// How often a task is done: changes as the tank's file says, batches as changes use them up, stirring as the vessel's says.
fn times_a_day(station: &Station, task: &Task) -> f64 {
    let holds = |end: End| match end {
        End::Vessel(at) => Some(station.vessels[at].fields.holds.value),
        _ => None,
    };
    match (task.from, task.to) {
        (from, End::Tank(tank)) if holds(from) == Some(Water::Salt) => {
            DAY_S / station.tanks[tank].fields.change_every.value.s()
        }
        (_, End::Vessel(vessel)) if holds(task.to) == Some(Water::Salt) => {
            let fields = &station.vessels[vessel].fields;
            let goes_round = task.from == task.to;
            match fields.recirculate_every.as_ref().filter(|_| goes_round) {
                Some(every) => DAY_S / every.value.s(),
                None => batches_a_day(station, vessel),
            }
        }
        _ => ONCE_A_DAY,
    }
}

/// Batches that the regular changes use up, shared by the salt vessels.
fn batches_a_day(station: &Station, vessel: usize) -> f64 {
    let changes = station.tanks.iter().filter_map(|tank| {
        let change = tank.fields.change.as_ref()?;
        Some(change.value.m3() * DAY_S / tank.fields.change_every.value.s())
    });
    let used_m3: f64 = changes.sum();
    let salt = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == Water::Salt);
    match &station.vessels[vessel].fields.batch_volume {
        Some(batch) if used_m3 > 0.0 => used_m3 / (batch.value.m3() * salt.count() as f64),
        _ => ONCE_A_DAY,
    }
}

/// What a kind weighs beside others of its severity (house rule): a flood wets the room and a thinned batch is lost; a pump
/// is bought anew, and against closed valves it lasts a while.
const fn weighs(kind: Kind) -> f64 {
    match kind {
        Kind::PumpDry => 0.3,
        Kind::PumpAgainstClosed => 0.1,
        _ => 1.0,
    }
}

/// What the wrong moves of a cause weigh, s a day.
pub(super) fn weight(station: &Station, lineups: &Lineups, moves: &[Wrong]) -> f64 {
    let each = moves.iter().map(|own| {
        let standing = Standing::of(station, lineups, own.lineup);
        let share = (standing.lasts_s / own.harm.seconds.max(1.0)).min(1.0);
        standing.times_a_day * standing.lasts_s * share * weighs(own.harm.kind)
    });
    each.sum()
}

/// What a task weighs that nobody ends, s a day.
fn weight_left(station: &Station, left: &Wrong) -> f64 {
    let times = left
        .lineup
        .map_or(ONCE_A_DAY, |at| times_a_day(station, &station.plumbing.tasks[at]));
    times * HOUR_S * weighs(left.harm.kind)
}

/// The mistakes told first: causes and tasks that nobody ends in one order. No two have kind and victim in common, and as
/// long as there are others no two are of one kind and both moves, or both left: the same mistake at the vessel beside it
/// tells nothing new.
pub(super) fn leading(station: &Station, causes: &[Group], left: &[Wrong]) -> Vec<Leading> {
    let causes = causes.iter().enumerate().map(|(at, own)| Candidate {
        kind: own.kind,
        victim: own.victim,
        severity: own.severity,
        weight: own.weight,
        leading: Leading::Cause(at),
    });
    // A task that nobody ends is told by what comes of it first.
    let soonest = |own: &Wrong| {
        let same_task = left.iter().filter(|other| other.lineup == own.lineup);
        same_task.fold(f64::INFINITY, |least, other| least.min(other.harm.seconds))
    };
    let first = left
        .iter()
        .enumerate()
        .filter(|(_, own)| own.harm.seconds <= soonest(own));
    let left = first.map(|(at, own)| Candidate {
        kind: own.harm.kind,
        victim: own.harm.victim,
        severity: severity(station, own.harm.kind, own.harm.victim),
        weight: weight_left(station, own),
        leading: Leading::Left {
            at,
            severity: severity(station, own.harm.kind, own.harm.victim),
            sentence: left_sentence(station, own),
            remedy: None,
        },
    });
    let mut all: Vec<Candidate> = causes.chain(left).collect();
    all.sort_by(|a, b| b.severity.cmp(&a.severity).then(b.weight.total_cmp(&a.weight)));
    let mut told: Vec<usize> = Vec::new();
    for is_same in [Candidate::is_like, Candidate::is_at_the_same] {
        for (at, own) in all.iter().enumerate() {
            let known = told
                .iter()
                .any(|told| is_same(&all[*told], own) || all[*told].is_at_the_same(own));
            if told.len() < LEADING && !known {
                told.push(at);
            }
        }
    }
    told.sort_unstable();
    told.into_iter().map(|at| all[at].leading.clone()).collect()
}

/// A mistake to choose from.
struct Candidate {
    kind: Kind,
    victim: End,
    severity: Severity,
    weight: f64,
    leading: Leading,
}

impl Candidate {
    fn is_like(&self, other: &Self) -> bool {
        let is_move = |own: &Self| matches!(own.leading, Leading::Cause(_));
        self.kind == other.kind && is_move(self) == is_move(other)
    }

    fn is_at_the_same(&self, other: &Self) -> bool {
        (self.kind, self.victim) == (other.kind, other.victim)
    }
}
