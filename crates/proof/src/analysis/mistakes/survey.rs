//! Every position at one moment: each pattern solved once, the positions put together from them.

use std::collections::BTreeMap;

use physics::hydraulics::friction::{ChurchillUntabled, FrictionLaw};
use physics::hydraulics::network::Flows;
use rustc_hash::FxHashMap;
use smallvec::{SmallVec, smallvec};
use station::plumbing::End;
use station::{Situation, Station};

use super::super::plumbing::Pipework;
use super::beside::Beside;
use super::blocks::Block;
use super::graph::{Graph, Pattern};
use super::ids::{HarmIds, HarmSet};
use super::judge::{Harm, judge, judge_end};
use super::moment::Moment;
use super::outcome::{Bench, Exchange, Fares, Numbers, Outcome};
use super::pumps::{judge_drawn, judge_pumps};
use super::switches::{Position, Switch, Switches};
use crate::method::Refusal;

/// What is the same at every moment.
pub(super) struct Ground<'a> {
    pub(super) station: &'a Station,
    pub(super) pipework: &'a Pipework,
    pub(super) switches: &'a Switches,
    pub(super) graph: &'a Graph,
    pub(super) ids: &'a HarmIds,
    pub(super) permeate_m3_s: f64,
}

/// Outcomes that touch an end without more ado.
const FEW: usize = 8;
static NOTHING: Outcome = Outcome {
    exchanges: Vec::new(),
    pumps: SmallVec::new_const(),
    counting: 0,
};

/// The flows that some patterns are solved from.
pub(super) type Starts = BTreeMap<Pattern, Flows>;

/// One moment with what has been solved of it.
pub(super) struct Survey<'a, F = ChurchillUntabled> {
    ground: &'a Ground<'a>,
    pub(super) moment: Moment<'a>,
    pub(super) bench: Bench<'a, F>,
    outcomes: Vec<Outcome>,
    /// The pattern of each outcome; `None` for a pump that is stopped.
    patterns_of: Vec<Option<Pattern>>,
    /// Where the outcome of a pattern stands. Never walked through, so that its order doesn't matter.
    known: FxHashMap<Pattern, usize>,
    /// Outcomes that are a stopped pump and nothing else.
    stopped: Vec<usize>,
    patterns: Vec<Pattern>,
    harms: Vec<Harm>,
    starts: Option<&'a Starts>,
    solved: usize,
    /// Outcomes that others have been told of.
    told: usize,
}

impl<'a> Survey<'a> {
    /// Nothing solved yet.
    pub(super) fn new(ground: &'a Ground<'a>, situation: &Situation) -> Result<Self, Refusal> {
        Self::by_law(ground, situation)
    }
}

impl<'a, F: FrictionLaw> Survey<'a, F> {
    /// One that goes by a law of friction of the caller's choice.
    pub(super) fn by_law(ground: &'a Ground<'a>, situation: &Situation) -> Result<Self, Refusal> {
        let Ground {
            station,
            pipework,
            switches,
            graph,
            ..
        } = *ground;
        Ok(Self {
            ground,
            moment: Moment::of(station, pipework, situation, ground.permeate_m3_s)?,
            bench: Bench::new(station, (switches, graph), pipework, situation)?,
            outcomes: Vec::new(),
            patterns_of: Vec::new(),
            known: FxHashMap::default(),
            stopped: Vec::new(),
            patterns: Vec::new(),
            harms: Vec::new(),
            starts: None,
            solved: 0,
            told: 0,
        })
    }

    /// From now on patterns are solved from these flows.
    pub(super) fn start_from(&mut self, starts: &'a Starts) {
        self.starts = Some(starts);
    }

    /// The same at another moment, at which nothing is known yet.
    pub(super) fn begin(&mut self, situation: &Situation) -> Result<(), Refusal> {
        let ground = self.ground;
        self.moment = Moment::of(ground.station, ground.pipework, situation, ground.permeate_m3_s)?;
        self.bench.begin(situation)?;
        self.outcomes.clear();
        self.patterns_of.clear();
        self.known.clear();
        self.stopped.clear();
        self.told = 0;
        Ok(())
    }

    /// How many patterns were solved.
    pub(super) fn solved(&self) -> usize {
        self.solved
    }

    /// The harm of a position.
    pub(super) fn harms(&mut self, position: Position) -> Result<&[Harm], Refusal> {
        self.harms_among(position, u128::MAX)
    }

    /// The harm of a position by the patterns among some lines; whole for what no other pattern touches.
    pub(super) fn harms_among(&mut self, position: Position, lines: u128) -> Result<&[Harm], Refusal> {
        let outcomes = self.outcomes_in(position, lines, Position::MAX)?;
        self.judge(&outcomes);
        Ok(&self.harms)
    }

    /// The harm of a position as bits.
    pub(super) fn harm_set(&mut self, position: Position) -> Result<HarmSet, Refusal> {
        let outcomes = self.outcomes_in(position, u128::MAX, Position::MAX)?;
        Ok(self.judged(&outcomes))
    }

    /// The numbers of the outcomes of a position, of the patterns among some lines and the pumps among some switches.
    pub(super) fn outcomes_in(
        &mut self,
        position: Position,
        lines: u128,
        mask: Position,
    ) -> Result<Numbers, Refusal> {
        self.outcomes_beside(position, lines, mask, &Beside::default())
    }

    /// The same; what is known of moments beside it isn't solved again.
    pub(super) fn outcomes_beside(
        &mut self,
        position: Position,
        lines: u128,
        mask: Position,
        beside: &Beside,
    ) -> Result<Numbers, Refusal> {
        let mut patterns = core::mem::take(&mut self.patterns);
        let graph = self.ground.graph;
        let stalled = graph.patterns(position, &mut patterns) & mask;
        let mut numbers = Numbers::new();
        for pattern in patterns.iter().filter(|pattern| pattern.lines & lines != 0) {
            numbers.push(match self.known.get(pattern) {
                Some(number) => *number,
                None => {
                    let outcome = match beside.outcome(pattern) {
                        Some(outcome) => outcome.clone(),
                        None => {
                            self.solved += 1;
                            if let Some(flows) = self.starts.and_then(|starts| starts.get(pattern)) {
                                self.bench.state.start_from(flows)?;
                            }
                            self.bench.outcome(*pattern)?
                        }
                    };
                    self.known.insert(*pattern, self.outcomes.len());
                    self.outcomes.push(outcome);
                    self.patterns_of.push(Some(*pattern));
                    self.outcomes.len() - 1
                }
            });
        }
        self.patterns = patterns;
        for pump in 0..self.ground.station.pumps.len() {
            if stalled & self.ground.switches.mask_of(Switch::Pump(pump)) != 0 {
                let fares = self.bench.stalled(pump, position);
                numbers.push(self.stopped(pump, fares));
            }
        }
        Ok(numbers)
    }

    /// The open valves of a block that could be closed, some of them or all, without changing what it does: those of lines
    /// that carry nothing and on which nothing hangs.
    pub(super) fn idle(&mut self, position: Position, block: &Block, outcomes: &[usize]) -> Position {
        let graph = self.ground.graph;
        let (mut counting, mut joined) = (0, 0);
        for at in outcomes {
            let outcome = &self.outcomes[*at];
            match self.patterns_of[*at] {
                Some(pattern) => {
                    counting |= outcome.counting;
                    joined |= pattern.lines;
                }
                None => {
                    let stopped = outcome.pumps.iter();
                    let before =
                        stopped.fold(0, |lines, (pump, _)| lines | graph.suction_of(*pump, position));
                    counting |= before;
                    joined |= before;
                }
            }
        }
        let open = position & graph.valves_of(block.lines);
        let idle = open & !graph.valves_of(counting);
        if idle == 0 {
            return 0;
        }
        if self.stays_joined(position & !idle, block, outcomes) {
            idle
        } else {
            open & !graph.valves_of(joined)
        }
    }

    /// Whether no pattern comes apart in two that carry water in a position with fewer open valves.
    fn stays_joined(&mut self, position: Position, block: &Block, outcomes: &[usize]) -> bool {
        self.ground.graph.patterns(position, &mut self.patterns);
        let parts = self.patterns.iter().filter(|part| part.lines & block.lines != 0);
        let mut seen = 0;
        for part in parts {
            let whole = outcomes.iter().filter_map(|at| self.patterns_of[*at]);
            for pattern in whole.filter(|whole| whole.lines & part.lines != 0) {
                if seen & pattern.lines != 0 {
                    return false;
                }
                seen |= pattern.lines;
            }
        }
        true
    }

    /// The number of the outcome of a pump through which no way leads.
    fn stopped(&mut self, pump: usize, fares: Fares) -> usize {
        let outcome = Outcome {
            exchanges: Vec::new(),
            pumps: smallvec![(pump, fares)],
            counting: 0,
        };
        let known = self.stopped.iter().find(|at| self.outcomes[**at] == outcome);
        match known {
            Some(at) => *at,
            None => {
                self.stopped.push(self.outcomes.len());
                self.outcomes.push(outcome);
                self.patterns_of.push(None);
                self.outcomes.len() - 1
            }
        }
    }

    /// Tells others what was found out of patterns since they were told last.
    pub(super) fn tell(&mut self, beside: &Beside) {
        let new = self.patterns_of.iter().zip(&self.outcomes).skip(self.told);
        beside.tell(new.filter_map(|(pattern, outcome)| Some(((*pattern)?, outcome))));
        self.told = self.outcomes.len();
    }

    /// The pattern of an outcome, with what it does.
    pub(super) fn pattern_of(&self, outcome: usize) -> Option<(Pattern, &Outcome)> {
        Some(((*self.patterns_of.get(outcome)?)?, &self.outcomes[outcome]))
    }

    /// What the patterns of a position do, with the moment.
    pub(super) fn flowing(&mut self, position: Position) -> Result<(&Moment<'a>, Vec<&Outcome>), Refusal> {
        let numbers = self.outcomes_in(position, u128::MAX, Position::MAX)?;
        let outcomes = numbers.into_iter().map(|at| &self.outcomes[at]).collect();
        Ok((&self.moment, outcomes))
    }

    /// What every open end gains or gives in a position.
    pub(super) fn exchanges(&mut self, position: Position) -> Result<Vec<Exchange>, Refusal> {
        let (_, outcomes) = self.flowing(position)?;
        Ok(outcomes.iter().flat_map(|own| &own.exchanges).copied().collect())
    }

    /// What outcomes do together, as bits.
    fn judged(&mut self, outcomes: &[usize]) -> HarmSet {
        self.judge(outcomes);
        self.ground.ids.set(&self.harms)
    }

    /// The ends that each outcome brings water to or takes it from: a bit for each, as they come.
    pub(super) fn touched(&self, ends: &[End]) -> Vec<u128> {
        let touched = |outcome: &Outcome| {
            let own = outcome.exchanges.iter();
            let at = own.filter_map(|exchange| ends.iter().position(|end| *end == exchange.end));
            at.fold(0, |touched, at| touched | 1 << at)
        };
        self.outcomes.iter().map(touched).collect()
    }

    /// What the outcomes that touch an end do there, and to the pumps that draw from it, as bits. They are judged in
    /// `room`.
    pub(super) fn of_end(
        &self,
        end: End,
        touching: impl Iterator<Item = usize>,
        room: &mut Vec<Harm>,
    ) -> HarmSet {
        let ids = self.ground.ids;
        // Few outcomes touch one end: they need no memory of their own.
        let mut few = [&NOTHING; FEW];
        let mut many = Vec::new();
        let mut count = 0;
        for outcome in touching {
            match few.get_mut(count) {
                Some(place) => *place = &self.outcomes[outcome],
                None => many.push(&self.outcomes[outcome]),
            }
            count += 1;
        }
        let touching = if many.is_empty() {
            &few[..count]
        } else {
            many.splice(0..0, few);
            &many
        };
        judge_end(&self.moment, end, touching, room);
        let set = ids.set(&*room);
        let End::Vessel(vessel) = end else {
            return set;
        };
        judge_drawn(&self.moment, vessel, touching, room);
        set | ids.set(&*room)
    }

    /// What the pumps of some outcomes come to whatever else flows, as bits. They are judged in `room`.
    pub(super) fn of_pumps(&self, outcomes: &[usize], room: &mut Vec<Harm>) -> HarmSet {
        outcomes.iter().fold(0, |set, at| {
            judge_pumps(&self.moment, &self.outcomes[*at], room);
            set | self.ground.ids.set(&*room)
        })
    }

    fn judge(&mut self, outcomes: &[usize]) {
        let outcomes: Vec<&Outcome> = outcomes.iter().map(|at| &self.outcomes[*at]).collect();
        judge(&self.moment, &outcomes, &mut self.harms);
    }
}
