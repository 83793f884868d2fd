//! Mistakes: what every position of valves and pumps does, and what each single wrong move does to a task.
//!
//! Owns: which positions there are, which patterns of lines they come down to, what counts as harm and how soon it is
//! done, the least that does it. Doesn't own: how water flows (physics'), which valves make a task (plumbing's).

mod blocks;
mod graph;
mod judge;
mod kind;
mod minimal;
mod moment;
mod one_step;
mod outcome;
mod survey;
mod switches;

use serde::Serialize;
use station::plumbing::Task;
use station::{Situation, Station};

use super::plumbing::{Lineups, Pipework, Setting, plain_network};
use crate::method::Refusal;
use graph::Graph;
use judge::Harm;
pub use kind::Kind;
use minimal::{MOST_EXHAUSTIVE, everything};
use one_step::purpose;
use survey::{Ground, HarmIds, Survey};
pub(crate) use switches::Position;
use switches::{Switch, Switches};

/// What wrong valves do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mistakes {
    /// Positions of valves and pumps, each in three situations.
    pub states_tried: u64,
    /// Those that do no harm.
    pub harmless: u64,
    /// How often each kind of harm is among them.
    pub counts: Vec<KindCount>,
    /// Connected patterns of lines that were solved for them.
    pub patterns_solved: usize,
    /// What was looked at without a gap.
    pub exhaustive: String,
    /// The least that does each harm.
    pub hazards: Vec<Hazard>,
    /// From each task every single wrong move that does harm.
    pub one_step: Vec<WrongMove>,
}

/// How many states do one kind of harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct KindCount {
    /// The kind.
    pub kind: Kind,
    /// States.
    pub states: u64,
}

/// The least that does one harm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hazard {
    /// Valves that are open; all others are closed.
    pub valves_open: Vec<String>,
    /// Pumps that run.
    pub pumps_on: Vec<String>,
    /// The situation in which it comes soonest: `start`, `full` or `worst`.
    pub situation: String,
    /// What it does.
    pub kind: Kind,
    /// To what: a vessel, tank, draw point or pump.
    pub victim: String,
    /// The flow that does it.
    pub flow_m3_per_s: f64,
    /// Until it is done.
    pub seconds_to_harm: f64,
}

/// A single wrong move out of a task.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WrongMove {
    /// The task.
    pub lineup: String,
    /// The valve or pump.
    pub moved: String,
    /// `opened`, `closed`, `started` or `stopped`.
    pub turned: &'static str,
    /// The situation in which it comes soonest.
    pub situation: String,
    /// What it does.
    pub kind: Kind,
    /// To what.
    pub victim: String,
    /// The flow that does it.
    pub flow_m3_per_s: f64,
    /// Until it is done.
    pub seconds_to_harm: f64,
}

/// What wrong valves do; `None` where nothing is plumbed or more than can be counted.
pub(crate) fn mistakes(
    station: &Station,
    lineups: &Lineups,
    permeate_m3_s: f64,
) -> Result<Option<Mistakes>, Refusal> {
    let (Some(switches), Some(ids)) = (Switches::of(station), HarmIds::of(station)) else {
        return Ok(None);
    };
    let Some(graph) = Graph::of(station, &switches) else {
        return Ok(None);
    };
    let pipework: Pipework = plain_network(station)?;
    let ground = Ground {
        station,
        pipework: &pipework,
        switches: &switches,
        graph: &graph,
        ids: &ids,
        permeate_m3_s,
    };
    let named = situations(station);
    let mut surveys = named
        .iter()
        .map(|situation| Survey::new(&ground, situation))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let exhaustive = switches.count() <= MOST_EXHAUSTIVE;
    let all = everything(&ground, &mut surveys)?;
    let hazards = all
        .minimal()
        .into_iter()
        .map(|(position, set)| {
            ids.each()
                .into_iter()
                .filter(move |(bit, ..)| set & bit != 0)
                .map(move |(_, kind, victim)| (position, kind, victim))
        })
        .flatten();
    let mut listed = Vec::new();
    for (position, kind, victim) in hazards {
        if let Some((situation, harm)) = soonest(&mut surveys, position, |_, harm| {
            (harm.kind, harm.victim) == (kind, victim)
        })? {
            let (valves_open, pumps_on) = switches.names(station, position);
            listed.push(Hazard {
                valves_open,
                pumps_on,
                situation: named[situation].name.clone(),
                kind,
                victim: station.name_of(victim).to_owned(),
                flow_m3_per_s: harm.flow_m3_s,
                seconds_to_harm: harm.seconds,
            });
        }
    }
    let mut one_step = Vec::new();
    for (at, lineup) in lineups.lineups.iter().enumerate() {
        let Some(setting) = setting_of(station, lineup) else {
            continue;
        };
        let task = &station.plumbing.tasks[at];
        let here = switches.position_of(&setting);
        wrong_moves(
            &ground,
            &mut surveys,
            &named,
            (here, task, &lineup.name),
            &mut one_step,
        )?;
    }
    let states = all.sets.iter().flatten();
    let counts = Kind::ALL
        .into_iter()
        .map(|kind| {
            let mask = ids
                .each()
                .into_iter()
                .filter(|(_, own, _)| *own == kind)
                .fold(0, |a, (bit, ..)| a | bit);
            KindCount {
                kind,
                states: all.sets.iter().flatten().filter(|set| **set & mask != 0).count() as u64,
            }
        })
        .collect();
    Ok(Some(Mistakes {
        states_tried: all.positions * named.len() as u64,
        harmless: all.positions * named.len() as u64 - states.filter(|set| **set != 0).count() as u64,
        counts,
        patterns_solved: surveys.iter().map(Survey::solved).sum(),
        exhaustive: if exhaustive {
            "every position of every valve and pump".to_owned()
        } else {
            String::new()
        },
        hazards: listed,
        one_step,
    }))
}

/// The moments at which a position is looked at: the three named ones, and the one with purified water low and salt water
/// full; of two with the same levels, one.
fn situations(station: &Station) -> Vec<Situation> {
    let [start, full, worst] = Situation::named(station);
    let mut all: Vec<Situation> = Vec::new();
    for situation in [start, full, worst, Situation::crossed(station)] {
        if all.iter().all(|other| other.vessels != situation.vessels) {
            all.push(situation);
        }
    }
    all
}

/// The setting of a task by its names.
fn setting_of(station: &Station, lineup: &super::plumbing::Lineup) -> Option<Setting> {
    let open = lineup.valves_open.as_ref()?;
    Some(Setting {
        open: station
            .valves
            .iter()
            .map(|valve| open.contains(&valve.name))
            .collect(),
        pump: station
            .pumps
            .iter()
            .position(|pump| lineup.pumps_on.contains(&pump.name)),
    })
}

/// The situation in which a position does a harm soonest.
fn soonest(
    surveys: &mut [Survey<'_>],
    position: Position,
    is: impl Fn(usize, &Harm) -> bool,
) -> Result<Option<(usize, Harm)>, Refusal> {
    let mut best: Option<(usize, Harm)> = None;
    for (situation, survey) in surveys.iter_mut().enumerate() {
        for harm in survey.harms(position)?.iter().filter(|harm| is(situation, harm)) {
            if best.is_none_or(|(_, before)| harm.seconds < before.seconds) {
                best = Some((situation, *harm));
            }
        }
    }
    Ok(best)
}

fn wrong_moves(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    named: &[Situation],
    (here, task, lineup): (Position, &Task, &str),
    out: &mut Vec<WrongMove>,
) -> Result<(), Refusal> {
    let Ground {
        station,
        switches,
        ids,
        ..
    } = *ground;
    // What the task does anyway is no mistake of a move.
    let excused = purpose(station, task, ids);
    let mut known = vec![excused; surveys.len()];
    for (known, survey) in known.iter_mut().zip(&mut *surveys) {
        *known |= survey.harm_set(here)?;
    }
    for bit in 0..switches.count() {
        let Some(there) = switches.moved(here, bit) else {
            continue;
        };
        for (id, kind, victim) in ids.each() {
            let is_new = |situation: usize, harm: &Harm| {
                known[situation] & id == 0 && (harm.kind, harm.victim) == (kind, victim)
            };
            let Some((situation, harm)) = soonest(surveys, there, is_new)? else {
                continue;
            };
            let on = there >> bit & 1 == 1;
            let (moved, turned) = match switches.switch(bit) {
                Switch::Valve(valve) => (&station.valves[valve].name, if on { "opened" } else { "closed" }),
                Switch::Pump(pump) => (&station.pumps[pump].name, if on { "started" } else { "stopped" }),
            };
            out.push(WrongMove {
                lineup: lineup.to_owned(),
                moved: moved.clone(),
                turned,
                situation: named[situation].name.clone(),
                kind,
                victim: station.name_of(victim).to_owned(),
                flow_m3_per_s: harm.flow_m3_s,
                seconds_to_harm: harm.seconds,
            });
        }
    }
    Ok(())
}
