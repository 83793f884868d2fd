//! In which order to turn valves and pumps from one task to the next: the fewest single moves that pass through no state
//! that does harm, or the proof that there are none.

use std::collections::{HashMap, VecDeque};

use serde::Serialize;
use station::Station;
use station::plumbing::{End, Task};

use super::super::plumbing::Lineups;
use super::ids::{HarmIds, HarmSet};
use super::judge::Harm;
use super::kind::Kind;
use super::moves::{purpose, setting_of};
use super::rest::{beside, rest};
use super::survey::{Ground, Survey};
use super::switches::{Position, Switch, Switches};
use crate::method::Refusal;

/// What a station between tasks is called: every pump standing, every valve closed but those of what a timer stirs.
pub const REST: &str = "rest";

/// Moves beyond the fewest that could do it for which an order is looked for step by step.
const DETOUR: usize = 4;
/// A pump may work against closed valves for so long while one turns the next, s (house rule).
const TURNING_S: f64 = 60.0;
/// Positions that are walked through for a proof that there is no order.
const MOST_POSITIONS: usize = 1 << 18;

/// The order from one task to another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwitchOrder {
    /// The task that is set, or `rest`.
    pub from: String,
    /// The task that is wanted, or `rest`.
    pub to: String,
    /// The moves in their order; left out where there are none that do no harm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moves: Option<Vec<SwitchMove>>,
    /// Why there are none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub none: Option<String>,
}

/// One move.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SwitchMove {
    /// `open`, `close`, `start` or `stop`.
    pub turn: &'static str,
    /// The valve or pump.
    pub what: String,
}

/// A task, or rest, with what it is there to do.
pub(super) struct Stop<'a> {
    pub(super) name: &'a str,
    pub(super) position: Position,
    pub(super) purpose: HarmSet,
    pub(super) task: Option<&'a Task>,
}

/// What positions do at each moment, looked up once.
pub(super) struct Safety<'s, 'a> {
    surveys: &'s mut [Survey<'a>],
    known: HashMap<Position, Vec<HarmSet>>,
    /// What is so with everything closed.
    at_rest: Vec<HarmSet>,
    ids: &'s HarmIds,
}

impl<'s, 'a> Safety<'s, 'a> {
    pub(super) fn of(surveys: &'s mut [Survey<'a>], ids: &'s HarmIds) -> Result<Self, Refusal> {
        let at_rest = surveys
            .iter_mut()
            .map(|survey| survey.harm_set(0))
            .collect::<Result<Vec<HarmSet>, Refusal>>()?;
        Ok(Self {
            surveys,
            known: HashMap::new(),
            at_rest,
            ids,
        })
    }

    /// The harm of a position at some moments, beyond what is excused and what is so at rest.
    pub(super) fn harm(
        &mut self,
        position: Position,
        moments: &[usize],
        excused: HarmSet,
    ) -> Result<HarmSet, Refusal> {
        if !self.known.contains_key(&position) {
            let mut sets = Vec::with_capacity(self.surveys.len());
            for survey in self.surveys.iter_mut() {
                let ids = self.ids;
                // While one turns the next valve a pump may stand against closed ones.
                let counts = |harm: &&Harm| harm.kind != Kind::PumpAgainstClosed || harm.seconds < TURNING_S;
                sets.push(ids.set(survey.harms(position)?.iter().filter(counts)));
            }
            self.known.insert(position, sets);
        }
        let sets = self.known.get(&position).map_or(&[][..], Vec::as_slice);
        Ok(moments.iter().fold(0, |any, at| {
            any | sets.get(*at).copied().unwrap_or(0) & !(excused | self.at_rest[*at])
        }))
    }

    /// The moments at which one would set a task: its source has water to give, a vessel that it fills has room.
    pub(super) fn moments(&self, task: Option<&Task>) -> Vec<usize> {
        let all: Vec<usize> = (0..self.surveys.len()).collect();
        let Some(task) = task else { return all };
        let fits = |at: &usize| {
            let vessels = &self.surveys[*at].moment.vessels;
            let gives = match task.from {
                End::Vessel(vessel) => vessels[vessel].has_water(),
                _ => true,
            };
            let takes = match task.to {
                End::Vessel(vessel) if task.to != task.from => !vessels[vessel].is_full,
                _ => true,
            };
            gives && takes
        };
        let fitting: Vec<usize> = all.iter().copied().filter(fits).collect();
        if fitting.is_empty() { all } else { fitting }
    }
}

/// Every order between rest and the tasks, and between each two tasks.
pub(super) fn switching(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    lineups: &Lineups,
) -> Result<Vec<SwitchOrder>, Refusal> {
    let station = ground.station;
    let rest = rest(ground, lineups);
    let mut stops = vec![Stop {
        name: REST,
        position: rest,
        purpose: 0,
        task: None,
    }];
    for (at, lineup) in lineups.lineups.iter().enumerate() {
        if let Some(setting) = setting_of(station, lineup) {
            stops.push(Stop {
                name: &lineup.name,
                position: beside(ground.graph, ground.switches.position_of(&setting), rest),
                purpose: purpose(station, &station.plumbing.tasks[at], ground.ids),
                task: Some(&station.plumbing.tasks[at]),
            });
        }
    }
    let mut safety = Safety::of(surveys, ground.ids)?;
    let mut all = Vec::new();
    for from in &stops {
        for to in stops.iter().filter(|to| to.name != from.name) {
            all.push(order(station, ground.switches, &mut safety, from, to)?);
        }
    }
    Ok(all)
}

pub(super) fn order(
    station: &Station,
    switches: &Switches,
    safety: &mut Safety<'_, '_>,
    from: &Stop<'_>,
    to: &Stop<'_>,
) -> Result<SwitchOrder, Refusal> {
    let moments = safety.moments(to.task.or(from.task));
    let mut search = Search {
        switches,
        safety,
        moments,
        to: to.position,
        excused: from.purpose | to.purpose,
        way: Vec::new(),
        dead: HashMap::new(),
    };
    let least = search.least(from.position);
    let mut found = false;
    for length in least..=least + DETOUR {
        search.dead.clear();
        if search.steps(from.position, length)? {
            found = true;
            break;
        }
    }
    let way = core::mem::take(&mut search.way);
    let mut answer = SwitchOrder {
        from: from.name.to_owned(),
        to: to.name.to_owned(),
        moves: found.then(|| told(station, switches, from.position, &way)),
        none: None,
    };
    if !found {
        match search.flood(from.position)? {
            Flood::Reached(way) => answer.moves = Some(told(station, switches, from.position, &way)),
            Flood::Never(count) => {
                answer.none = Some(format!(
                    "every way passes a state that does harm: of {count} positions that can be reached without, none is one move from it"
                ));
            }
            Flood::TooMany => {
                answer.none = Some(format!(
                    "none was found among {MOST_POSITIONS} positions, which is no proof that there is none"
                ));
            }
        }
    }
    Ok(answer)
}

enum Flood {
    Reached(Vec<usize>),
    Never(usize),
    TooMany,
}

struct Search<'p, 's, 'a> {
    switches: &'p Switches,
    safety: &'p mut Safety<'s, 'a>,
    /// The moments that count.
    moments: Vec<usize>,
    to: Position,
    excused: HarmSet,
    way: Vec<usize>,
    /// Positions from which the end wasn't reached with so many moves left.
    dead: HashMap<Position, usize>,
}

impl Search<'_, '_, '_> {
    /// No fewer moves can do it.
    fn least(&self, from: Position) -> usize {
        let apart = (from ^ self.to).count_ones() as usize;
        if self.switches.one_at_a_time() {
            apart
        } else {
            // A three-way valve turns two at once, an interlock stops a pump with a valve.
            apart.div_ceil(2)
        }
    }

    /// Whether the end is reached in so many moves; the way is kept. Pumps stop first and start last, and valves close
    /// before others open, where that makes no difference to the number of moves.
    fn steps(&mut self, position: Position, left: usize) -> Result<bool, Refusal> {
        if position == self.to {
            return Ok(true);
        }
        if left < self.least(position).max(1) || self.dead.get(&position).is_some_and(|had| *had >= left) {
            return Ok(false);
        }
        for bit in self.switches.in_order(position) {
            let Some(next) = self.switches.moved(position, bit) else {
                continue;
            };
            if !self.passes(next)? {
                continue;
            }
            self.way.push(bit);
            if self.steps(next, left - 1)? {
                return Ok(true);
            }
            self.way.pop();
        }
        self.dead.insert(position, left);
        Ok(false)
    }

    fn passes(&mut self, position: Position) -> Result<bool, Refusal> {
        Ok(position == self.to || self.safety.harm(position, &self.moments, self.excused)? == 0)
    }

    /// Walks through everything that can be reached without harm, nearest first.
    fn flood(&mut self, from: Position) -> Result<Flood, Refusal> {
        let mut came: HashMap<Position, (Position, usize)> = HashMap::new();
        let mut waiting = VecDeque::from([from]);
        let mut count = 1;
        while let Some(position) = waiting.pop_front() {
            for bit in self.switches.in_order(position) {
                let Some(next) = self.switches.moved(position, bit) else {
                    continue;
                };
                if next == from || came.contains_key(&next) || !self.passes(next)? {
                    continue;
                }
                came.insert(next, (position, bit));
                if next == self.to {
                    return Ok(Flood::Reached(back(&came, from, next)));
                }
                count += 1;
                if count > MOST_POSITIONS {
                    return Ok(Flood::TooMany);
                }
                waiting.push_back(next);
            }
        }
        Ok(Flood::Never(count))
    }
}

fn back(came: &HashMap<Position, (Position, usize)>, from: Position, to: Position) -> Vec<usize> {
    let mut way = Vec::new();
    let mut at = to;
    while at != from {
        let Some((before, bit)) = came.get(&at) else { break };
        way.push(*bit);
        at = *before;
    }
    way.reverse();
    way
}

fn told(station: &Station, switches: &Switches, from: Position, way: &[usize]) -> Vec<SwitchMove> {
    let mut position = from;
    let mut moves = Vec::with_capacity(way.len());
    for bit in way {
        let next = switches.moved(position, *bit).unwrap_or(position);
        let on = next >> bit & 1 == 1;
        let (turn, what) = match switches.switch(*bit) {
            Switch::Valve(valve) => (if on { "open" } else { "close" }, &station.valves[valve].name),
            Switch::Pump(pump) => (if on { "start" } else { "stop" }, &station.pumps[pump].name),
        };
        moves.push(SwitchMove {
            turn,
            what: what.clone(),
        });
        position = next;
    }
    moves
}
