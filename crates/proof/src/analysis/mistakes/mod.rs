//! Mistakes: what every position of valves and pumps does, and what each single wrong move does to a task.
//!
//! Owns: which positions there are, which patterns of lines they come down to, what counts as harm and how soon it is
//! done, the least that does it, what clears it. Doesn't own: how water flows (physics'), which valves make a task
//! (plumbing's).

mod balance;
mod beside;
mod blocks;
mod cause;
mod doing;
mod doubt;
mod drawn;
mod find;
mod graph;
mod ids;
mod judge;
mod kind;
mod leg;
mod minimal;
mod moment;
mod moves;
mod outcome;
mod part;
mod partial;
mod positions;
mod pumps;
mod rank;
mod recipes;
mod rest;
mod states;
mod survey;
mod switches;
mod switching;
mod together;
mod trial;
mod types;
mod walked;
mod waters;
mod words;

use physics::hydraulics::friction::Churchill;
use station::{Situation, Station};

use super::plumbing::{Lineup, Lineups, Pipework, plain_network};
use crate::method::Refusal;
use crate::sheet::Sheet;
use balance::balance;
use cause::{Group, groups, lineup_name, switch_name, told, turned};
pub(crate) use find::is_of_mistakes;
use graph::Graph;
use ids::HarmIds;
pub use kind::Kind;
pub(crate) use leg::{Leg, leg};
use minimal::{Everything, MOST_EXHAUSTIVE, everything};
pub(crate) use moment::{FRESH, pump_suffers_s};
use moves::{Wrong, harms_of_all, left_on, soonest, wrong_moves};
use partial::partial;
pub use rank::Leading;
use rank::leading;
pub(crate) use rest::{parts, set_beside};
pub use states::{HarmOfState, StateOfStation, every_state};
use survey::{Ground, Survey};
pub(crate) use switches::{Position, Switch, Switches};
use switching::switching;
pub use switching::{REST, SwitchMove, SwitchOrder};
pub use types::{
    BEING_TRIED, Balance, Cause, Hazard, KindCount, MistakeMap, Mistakes, MoveOfCause, Together, TriedRemedy,
    WrongMove,
};

/// What a station's positions are made of.
struct Base {
    switches: Switches,
    ids: HarmIds,
    graph: Graph,
    pipework: Pipework,
}

impl Base {
    /// Of a station.
    ///
    /// # Errors
    /// [`Refusal`] where its network can't be computed, [`Refusal::TooMany`] where it has more than is looked at.
    fn of(station: &Station) -> Result<Self, Refusal> {
        let switches = Switches::of(station)?;
        Ok(Self {
            ids: HarmIds::of(station)?,
            graph: Graph::of(station, &switches)?,
            switches,
            pipework: plain_network(station)?,
        })
    }

    fn ground<'a>(&'a self, station: &'a Station, permeate_m3_s: f64) -> Ground<'a> {
        Ground {
            station,
            pipework: &self.pipework,
            switches: &self.switches,
            graph: &self.graph,
            ids: &self.ids,
            permeate_m3_s,
        }
    }
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

/// Each situation, ready to be asked.
fn surveys<'a>(ground: &'a Ground<'a>) -> Result<(Vec<Situation>, Vec<Survey<'a>>), Refusal> {
    let named = situations(ground.station);
    let surveys = named
        .iter()
        .map(|situation| Survey::new(ground, situation))
        .collect::<Result<Vec<_>, Refusal>>()?;
    Ok((named, surveys))
}

/// What wrong valves do, and the orders that pass through no harm.
pub(crate) struct Turned {
    pub(crate) mistakes: Mistakes,
    pub(crate) switching: Vec<SwitchOrder>,
    pub(crate) uncured: Uncured,
}

/// What changes are still to be tried against.
pub(crate) struct Uncured {
    groups: Vec<Group>,
    /// Tasks that nobody ends and that are told first.
    left: Vec<Wrong>,
    permeate_m3_s: f64,
}

/// What wrong valves do; nothing is known yet of what helps against it.
///
/// # Errors
/// As [`mistake_map`].
pub(crate) fn mistakes(
    station: &Station,
    lineups: &Lineups,
    permeate_m3_s: f64,
    sheet: &mut Sheet,
) -> Result<Turned, Refusal> {
    let base = Base::of(station)?;
    let ground = base.ground(station, permeate_m3_s);
    let (named, mut surveys) = surveys(&ground)?;
    let map = map(&ground, &named, &mut surveys, &lineups.lineups)?;
    let wrong = wrong_moves(&ground, &mut surveys, lineups)?;
    let groups = groups(&ground, &mut surveys, lineups, &wrong)?;
    let mut causes = groups
        .iter()
        .map(|group| told(&ground, &mut surveys, group))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let left = left_on(&ground, &mut surveys, lineups)?;
    let leading = leading(station, &groups, &left);
    let first_left = leading.iter().filter_map(|own| match own {
        Leading::Left { at, .. } => Some(left[*at]),
        Leading::Cause(_) => None,
    });
    let switching = switching(&ground, &mut surveys, lineups)?;
    // Last, for what is on the sheet by then is told: nothing may refuse behind it.
    doubt::doubt(&ground, sheet, &mut surveys, &groups, &mut causes);
    let uncured = Uncured {
        left: first_left.collect(),
        groups,
        permeate_m3_s,
    };
    let named_moves = |wrong: &[Wrong]| -> Vec<WrongMove> {
        let named = wrong.iter().map(|own| WrongMove {
            lineup: lineup_name(station, own).to_owned(),
            moved: switch_name(station, own).to_owned(),
            turned: turned(own),
            situation: named[own.situation].name.clone(),
            kind: own.harm.kind,
            victim: station.name_of(own.harm.victim).to_owned(),
            flow_m3_per_s: own.harm.flow_m3_s,
            seconds_to_harm: own.harm.seconds,
        });
        named.collect()
    };
    let mistakes = Mistakes {
        map,
        causes,
        remedies: Vec::new(),
        together: None,
        one_step: named_moves(&wrong),
        left_on: named_moves(&left),
        leading,
        being_tried: true,
    };
    Ok(Turned {
        mistakes,
        switching,
        uncured,
    })
}

/// Tries changes against what wrong valves do, and tells each mistake what helps.
///
/// # Errors
/// As [`mistake_map`].
pub(crate) fn try_cures(
    station: &Station,
    lineups: &Lineups,
    uncured: &Uncured,
    mistakes: &mut Mistakes,
) -> Result<(), Refusal> {
    let base = Base::of(station)?;
    let ground = base.ground(station, uncured.permeate_m3_s);
    let (_, mut surveys) = surveys(&ground)?;
    let trials = trial::try_all(&ground, lineups, &mut surveys, uncured, &mut mistakes.causes)?;
    let remedies = mistakes.leading.iter_mut().filter_map(|own| match own {
        Leading::Left { remedy, .. } => Some(remedy),
        Leading::Cause(_) => None,
    });
    for (remedy, found) in remedies.zip(trials.against_left) {
        *remedy = found;
    }
    mistakes.remedies = trials.remedies;
    mistakes.together = trials.together;
    mistakes.being_tried = false;
    Ok(())
}

/// Every position alone, without tasks and remedies.
///
/// # Errors
/// [`Refusal`] where the network can't be computed, [`Refusal::TooMany`] where there is more than is looked at: 48 valves
/// and pumps, 128 lines.
pub fn mistake_map(station: &Station, permeate_m3_s: f64) -> Result<MistakeMap, Refusal> {
    let base = Base::of(station)?;
    let ground = base.ground(station, permeate_m3_s);
    let (named, mut surveys) = surveys(&ground)?;
    map(&ground, &named, &mut surveys, &[])
}

fn map(
    ground: &Ground<'_>,
    named: &[Situation],
    surveys: &mut [Survey<'_>],
    lineups: &[Lineup],
) -> Result<MistakeMap, Refusal> {
    let switches = ground.switches.count();
    // For thousands of patterns a law of friction looked up pays; what is told of the worst goes by the law itself.
    let mut quick = named
        .iter()
        .map(|situation| Survey::<Churchill>::by_law(ground, situation))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let all = if switches <= MOST_EXHAUSTIVE {
        everything(ground, &mut quick)?
    } else {
        partial(ground, &mut quick, lineups)?
    };
    let patterns_solved = quick.iter().map(Survey::solved).sum();
    let states = all.positions * named.len() as u64;
    let harmful: u64 = all.tally.iter().map(|(_, states)| states).sum();
    let hazards = std::thread::scope(|scope| {
        // Thousands of outcomes take a while to let go of.
        scope.spawn(|| drop(quick));
        hazards(ground, named, surveys, &all)
    })?;
    Ok(MistakeMap {
        switches,
        states_tried: states,
        harmless: states - harmful,
        counts: counts(ground.ids, &all),
        situations: named.iter().map(|situation| situation.name.clone()).collect(),
        patterns_solved,
        hazards,
        exhaustive: all.exhaustive,
    })
}

/// The least that does each harm, with its figures.
fn hazards(
    ground: &Ground<'_>,
    named: &[Situation],
    surveys: &mut [Survey<'_>],
    all: &Everything,
) -> Result<Vec<Hazard>, Refusal> {
    let Ground {
        station,
        switches,
        ids,
        ..
    } = *ground;
    let mut listed = Vec::new();
    let each = ids.each();
    let positions: Vec<Position> = all.minimal.iter().map(|(position, _)| *position).collect();
    let harms = harms_of_all(surveys, &positions)?;
    for ((position, set), harms) in all.minimal.iter().copied().zip(harms) {
        for (_, kind, victim) in each.iter().copied().filter(|(bit, ..)| set & bit != 0) {
            let is = |_: usize, harm: &judge::Harm| (harm.kind, harm.victim) == (kind, victim);
            let Some((situation, harm)) = soonest(&harms, is) else {
                continue;
            };
            let (valves_open, pumps_on) = switches.names(station, position);
            listed.push(Hazard {
                valves_open,
                pumps_on,
                situation: named[situation].name.clone(),
                kind,
                victim: station.name_of(victim).to_owned(),
                flow_m3_per_s: harm.flow_m3_s,
                seconds_to_harm: harm.seconds,
                balance: balance(station, &mut surveys[situation], position, &harm)?,
            });
        }
    }
    Ok(listed)
}

fn counts(ids: &HarmIds, all: &Everything) -> Vec<KindCount> {
    let each = ids.each();
    Kind::ALL
        .into_iter()
        .map(|kind| {
            let own = each.iter().filter(|(_, own, _)| *own == kind);
            let mask = own.fold(0, |mask, (bit, ..)| mask | bit);
            let doing = all.tally.iter().filter(|(set, _)| set & mask != 0);
            KindCount {
                kind,
                states: doing.map(|(_, states)| states).sum(),
            }
        })
        .collect()
}
