//! The slow map: every position in every situation, the least that does each harm, every single wrong move, each by its
//! definition.

use proof::{Lineups, MistakeKind as Kind};
use station::plumbing::{End, Task};
use station::sections::Water;
use station::{Situation, Station};

use super::harm::{Done, Hair, Harm, harms};
use super::mouth::Position;
use super::water::flowing;

/// One state.
pub(super) struct State {
    pub(super) position: u64,
    pub(super) harms: Vec<Harm>,
    /// For each vessel whose water isn't what arrives in a container.
    others: Vec<(usize, Harm)>,
    /// Where a high cut-out stops the pumps.
    cut: Vec<End>,
    /// Whether its waters never come to rest: they go round, and what is left of them hangs on the rounds.
    pub(super) unsettled: bool,
    /// Whether a hair would make it another state.
    pub(super) on_edge: bool,
}

/// What can be turned: valves by hand first, then pumps, as bits.
pub(super) struct Switches<'a> {
    station: &'a Station,
    valves: Vec<usize>,
}

impl<'a> Switches<'a> {
    pub(super) fn of(station: &'a Station) -> Self {
        let is_set = |valve: &usize| station.valves[*valve].fields.kind.value.is_set();
        Self {
            station,
            valves: (0..station.valves.len()).filter(is_set).collect(),
        }
    }

    pub(super) fn count(&self) -> usize {
        self.valves.len() + self.station.pumps.len()
    }

    fn position(&self, bits: u64) -> Position {
        let mut position = Position {
            open: vec![false; self.station.valves.len()],
            runs: vec![false; self.station.pumps.len()],
        };
        for (bit, valve) in self.valves.iter().enumerate() {
            position.open[*valve] = bits >> bit & 1 == 1;
        }
        for pump in 0..self.station.pumps.len() {
            position.runs[pump] = bits >> (self.valves.len() + pump) & 1 == 1;
        }
        position
    }

    /// Whether the interlock of every running pump lets it run.
    fn is_let_run(&self, position: &Position, pump: usize) -> bool {
        let needed = &self.station.plumbing.runs_only_with[pump];
        needed.is_empty() || needed.iter().any(|valve| position.open[*valve])
    }

    /// Whether it can be at all.
    pub(super) fn can_be(&self, bits: u64) -> bool {
        let position = self.position(bits);
        let both = (0..self.station.valves.len()).any(|valve| {
            let other = self.station.plumbing.other_way[valve];
            position.open[valve] && other.is_some_and(|other| position.open[other])
        });
        let held = (0..self.station.pumps.len())
            .any(|pump| position.runs[pump] && !self.is_let_run(&position, pump));
        !both && !held
    }

    /// Names of open valves and running pumps.
    pub(super) fn names(&self, bits: u64) -> (Vec<String>, Vec<String>) {
        let position = self.position(bits);
        let named = |on: &[bool], name: &dyn Fn(usize) -> String| -> Vec<String> {
            (0..on.len()).filter(|at| on[*at]).map(name).collect()
        };
        (
            named(&position.open, &|at| self.station.valves[at].name.clone()),
            named(&position.runs, &|at| self.station.pumps[at].name.clone()),
        )
    }

    /// The position of a task; `None` where no setting does it.
    fn of_task(&self, lineup: &proof::Lineup) -> Option<u64> {
        let open = lineup.valves_open.as_ref()?;
        let valves = self
            .valves
            .iter()
            .map(|valve| open.contains(&self.station.valves[*valve].name));
        let pumps = self
            .station
            .pumps
            .iter()
            .map(|pump| lineup.pumps_on.contains(&pump.name));
        let bits = valves.chain(pumps).enumerate();
        Some(bits.fold(0, |bits, (bit, on)| bits | u64::from(on) << bit))
    }

    /// What turning one of them makes of a position, and how it was turned; `None` where an interlock holds it.
    fn turned(&self, bits: u64, bit: usize) -> Option<(u64, String, &'static str)> {
        let on = bits >> bit & 1 == 0;
        let mut next = bits ^ 1 << bit;
        let (name, word) = match self.valves.get(bit) {
            Some(valve) => {
                let other = self.station.plumbing.other_way[*valve].filter(|_| on);
                if let Some(other) = other.and_then(|other| self.valves.iter().position(|own| *own == other))
                {
                    next &= !(1 << other);
                }
                let word = if on { "opened" } else { "closed" };
                (&self.station.valves[*valve].name, word)
            }
            None => {
                let word = if on { "started" } else { "stopped" };
                (&self.station.pumps[bit - self.valves.len()].name, word)
            }
        };
        // An interlock stops its pump, which may be all that would have moved.
        for pump in 0..self.station.pumps.len() {
            if !self.is_let_run(&self.position(next), pump) {
                next &= !(1 << (self.valves.len() + pump));
            }
        }
        (next != bits).then(|| (next, name.clone(), word))
    }
}

/// Every situation that is looked at, of two alike the first.
pub(super) fn situations(station: &Station) -> Vec<Situation> {
    let mut all: Vec<Situation> = Vec::new();
    for situation in [
        Situation::at_start(station),
        Situation::full(station),
        Situation::worst(station),
        Situation::crossed(station),
    ] {
        if all.iter().all(|own| own.vessels != situation.vessels) {
            all.push(situation);
        }
    }
    all
}

/// Every position that can be, in one situation.
pub(super) fn states(
    station: &Station,
    switches: &Switches<'_>,
    situation: &Situation,
    permeate_m3_s: f64,
) -> Vec<State> {
    let kinds = |done: &Done| {
        let own = done.harms.iter().map(|harm| (None, harm));
        let all = own.chain(done.others.iter().map(|(vessel, harm)| (Some(*vessel), harm)));
        let mut kinds: Vec<(Option<usize>, Kind, End)> = all
            .map(|(vessel, harm)| (vessel, harm.kind, harm.victim))
            .collect();
        kinds.sort();
        (kinds, done.cut.clone())
    };
    (0..1 << switches.count())
        .filter(|bits| switches.can_be(*bits))
        .map(|bits| {
            let position = switches.position(bits);
            let flowing = flowing(station, situation, &position);
            let [sooner, own, later] = [Hair::Sooner, Hair::None, Hair::Later]
                .map(|hair| harms(station, situation, &position, &flowing, (permeate_m3_s, hair)));
            let on_edge = kinds(&sooner) != kinds(&own) || kinds(&later) != kinds(&own);
            State {
                position: bits,
                harms: own.harms,
                others: own.others,
                cut: own.cut,
                unsettled: !flowing.settled,
                on_edge,
            }
        })
        .collect()
}

/// What a hazard or a wrong move comes to: whose, what, to whom, in which situations how soon.
pub(super) type Told = (Vec<String>, Vec<String>, Kind, String);

/// A harm of a position where it comes soonest.
fn soonest(all: &[Vec<State>], bits: u64, is: impl Fn(usize, &Harm) -> bool) -> Option<Harm> {
    let each = all.iter().enumerate().flat_map(|(situation, states)| {
        let state = states.iter().find(|state| state.position == bits);
        let harms = state.map_or(&[][..], |state| &state.harms);
        harms.iter().map(move |harm| (situation, *harm))
    });
    each.filter(|(situation, harm)| is(*situation, harm))
        .map(|(_, harm)| harm)
        .min_by(|a, b| a.seconds.total_cmp(&b.seconds))
}

/// Every position that does a harm in some situation, of which no part does that harm in any.
pub(super) fn hazards(station: &Station, switches: &Switches<'_>, all: &[Vec<State>]) -> Vec<(Told, f64)> {
    let does = |bits: u64, kind: Kind, victim: End| {
        soonest(all, bits, |_, harm| (harm.kind, harm.victim) == (kind, victim))
    };
    let mut told = Vec::new();
    for bits in (0..1 << switches.count()).filter(|bits| switches.can_be(*bits)) {
        for (kind, victim) in every_harm(all, bits) {
            let part_does = (0..bits).any(|part| part & bits == part && does(part, kind, victim).is_some());
            if let (false, Some(harm)) = (part_does, does(bits, kind, victim)) {
                let (valves, pumps) = switches.names(bits);
                let victim = station.name_of(victim).to_owned();
                told.push(((valves, pumps, kind, victim), harm.seconds));
            }
        }
    }
    told
}

/// What a position does in any situation.
fn every_harm(all: &[Vec<State>], bits: u64) -> Vec<(Kind, End)> {
    let own = all.iter().flatten().filter(|state| state.position == bits);
    let mut kinds: Vec<(Kind, End)> = own
        .flat_map(|state| state.harms.iter().map(|harm| (harm.kind, harm.victim)))
        .collect();
    kinds.sort();
    kinds.dedup();
    kinds
}

/// From each task every single move that does harm which the task doesn't do anyway, and what it does by itself; but not
/// what it is there for.
pub(super) fn wrong_moves(
    station: &Station,
    switches: &Switches<'_>,
    all: &[Vec<State>],
    lineups: &Lineups,
) -> Vec<(Told, f64)> {
    let mut told = Vec::new();
    // With everything closed.
    for (kind, victim) in every_harm(all, 0) {
        if let Some(harm) = soonest(all, 0, |_, harm| (harm.kind, harm.victim) == (kind, victim)) {
            let whose = vec!["rest".to_owned(), String::new(), String::new()];
            told.push((
                (whose, Vec::new(), kind, station.name_of(victim).to_owned()),
                harm.seconds,
            ));
        }
    }
    for (at, lineup) in lineups.lineups.iter().enumerate() {
        let Some(here) = switches.of_task(lineup) else {
            continue;
        };
        let task = &station.plumbing.tasks[at];
        let all = &to_task(switches, all, task);
        let mut tell = |moved: &str, turned: &str, bits: u64, anyway: &dyn Fn(usize, &Harm) -> bool| {
            for (kind, victim) in every_harm(all, bits) {
                let is = |situation: usize, harm: &Harm| {
                    (harm.kind, harm.victim) == (kind, victim)
                        && !is_meant(station, task, harm)
                        && !anyway(situation, harm)
                };
                if let Some(harm) = soonest(all, bits, is) {
                    let whose = vec![lineup.name.clone(), moved.to_owned(), turned.to_owned()];
                    told.push((
                        (whose, Vec::new(), kind, station.name_of(victim).to_owned()),
                        harm.seconds,
                    ));
                }
            }
        };
        let does = |situation: usize, bits: u64, harm: &Harm| {
            let state = all[situation].iter().find(|state| state.position == bits);
            state.is_some_and(|state| {
                state
                    .harms
                    .iter()
                    .filter(|own| (own.kind, own.victim) == (harm.kind, harm.victim))
                    .any(|own| harm.kind != Kind::PumpDry || harm.seconds > 0.0 || own.seconds == 0.0)
            })
        };
        tell("", "", here, &|situation, harm| does(situation, 0, harm));
        let anyway = |situation: usize, harm: &Harm| does(situation, 0, harm) || does(situation, here, harm);
        for bit in 0..switches.count() {
            if let Some((there, name, word)) = switches.turned(here, bit) {
                tell(&name, word, there, &anyway);
            }
        }
    }
    told
}

/// The same states with what is harm to one task alone: other water in its container than it draws; and what runs over when a
/// high cut-out has stopped the pumps.
fn to_task(switches: &Switches<'_>, all: &[Vec<State>], task: &Task) -> Vec<Vec<State>> {
    let standing = (1_u64 << switches.valves.len()) - 1;
    let of = |states: &[State], state: &State| {
        let mut harms = state.harms.clone();
        for (vessel, harm) in &state.others {
            let known = harms
                .iter()
                .any(|own| (own.kind, own.victim) == (harm.kind, harm.victim));
            if (End::Vessel(*vessel), harm.victim) == (task.from, task.to) && !known {
                harms.push(*harm);
            }
        }
        let stopped = states
            .iter()
            .find(|own| own.position == state.position & standing);
        for harm in stopped.iter().flat_map(|own| &own.harms) {
            let runs_over = matches!(harm.kind, Kind::OverRim | Kind::SiphonIntoTank);
            let known = harms
                .iter()
                .any(|own| (own.kind, own.victim) == (harm.kind, harm.victim));
            if runs_over && state.cut.contains(&harm.victim) && !known {
                harms.push(*harm);
            }
        }
        State {
            position: state.position,
            harms,
            others: Vec::new(),
            cut: Vec::new(),
            unsettled: state.unsettled,
            on_edge: state.on_edge,
        }
    };
    all.iter()
        .map(|states| states.iter().map(|state| of(states, state)).collect())
        .collect()
}

/// What a task is there to do: a watched bucket, a vessel or tank that is filled, a source that is emptied.
fn is_meant(station: &Station, task: &Task, harm: &Harm) -> bool {
    let holds = |end: End| match end {
        End::Vessel(at) => Some(station.vessels[at].fields.holds.value),
        _ => None,
    };
    let (from, to) = (task.from, task.to);
    let into = harm.victim == to
        && match (harm.kind, to) {
            (Kind::ToFloor, End::Draw(_)) => true,
            // What runs on when the pump has stopped is not meant.
            (Kind::SiphonIntoTank, End::Tank(_)) => task.pump.is_none(),
            (Kind::OverRim, End::Tank(_)) => true,
            (Kind::OverRim, End::Vessel(_)) => from != to,
            (Kind::FreshIntoSalt, End::Tank(_)) => holds(from) == Some(Water::Fresh),
            (Kind::FreshIntoSalt, End::Vessel(_)) => from != to && holds(from) != holds(to),
            _ => false,
        };
    let out_of = match (harm.kind, from) {
        (Kind::TankDrawnBack, End::Tank(_)) => harm.victim == from,
        // To empty the source is meant, to draw air at once isn't.
        (Kind::PumpDry, End::Vessel(_)) => {
            from != to && task.pump.map(End::Pump) == Some(harm.victim) && harm.seconds > 0.0
        }
        _ => false,
    };
    into || out_of
}
