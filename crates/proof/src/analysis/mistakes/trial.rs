//! Remedies tried: each change is made in a copy of the file, the copy's tasks and wrong moves are looked at again.
//!
//! A change is offered that clears what it is for, brings nothing as bad, and leaves every task as able as it was.

use std::sync::atomic::{AtomicUsize, Ordering};

use station::{Edit, Station, edit};

use super::super::plumbing::{self, Lineups};
use super::cause::{Group, lineup_name, switch_name};
use super::kind::{Kind, severity};
use super::moves::{Wrong, left_on, wrong_moves};
use super::part::{Recipe, called};
use super::recipes::recipes;
use super::survey::{Ground, Survey};
use super::types::{Cause, Together, TriedRemedy};
use super::{Base, Uncured, surveys};
use crate::finding::{Finding, RemedyEdit, Severity};
use crate::method::Refusal;
use crate::remedy::with_what_it_brings;
use crate::sheet::Sheet;
use crate::threads::side_by_side;

/// A wrong move by names: the task, what was moved, whether it is on now, what it does to whom. A cause is cleared when none
/// of its moves does it any more; that it does so by other valves is no cure.
type Move = (String, String, bool, Kind, String);

/// What a station's wrong moves and tasks come to.
struct State {
    /// For each cause its moves, and how much it matters.
    causes: Vec<(Vec<Move>, Severity)>,
    /// Findings on its tasks, by id and place.
    findings: Vec<(&'static str, String, Severity)>,
}

/// A change with the causes that it clears.
struct Tried {
    recipe: Recipe,
    clears: Vec<usize>,
    /// What it brings, in words.
    brings: Vec<String>,
}

/// Wrong moves that a change brings and that are told one by one (house rule).
const MOST_TOLD: usize = 2;

/// Wrong moves, each with how much it matters.
type Weighed = Vec<(Move, Severity)>;

/// A task that nobody ends, what comes of it and to whom, by names.
type LeftOn = (String, Kind, String);

/// Changes that were tried, and all that are told with the causes together.
pub(super) struct Trials {
    pub(super) remedies: Vec<TriedRemedy>,
    pub(super) together: Option<Together>,
    /// For each task that nobody ends and that is told first, the cheapest change with which nothing comes of it.
    pub(super) against_left: Vec<Option<TriedRemedy>>,
}

/// Tries changes for every cause, and tells each cause its cheapest; and those for tasks that nobody ends and that are told
/// first. Each is tried once, whatever it is for.
pub(super) fn try_all(
    ground: &Ground<'_>,
    lineups: &Lineups,
    surveys: &mut [Survey<'_>],
    uncured: &Uncured,
    causes: &mut [Cause],
) -> Result<Trials, Refusal> {
    let station = ground.station;
    let Uncured { groups, left, .. } = uncured;
    let mut wanted: Vec<Recipe> = Vec::new();
    let mut want = |recipe: Recipe| {
        let known = wanted.iter().position(|own| own.edits == recipe.edits);
        known.unwrap_or_else(|| {
            wanted.push(recipe);
            wanted.len() - 1
        })
    };
    for (group, cause) in groups.iter().zip(causes.iter_mut()) {
        let own = recipes(ground, lineups, surveys, group)?;
        cause.tried = called(&own);
        for recipe in own {
            want(recipe);
        }
    }
    let against_left = left
        .iter()
        .map(|own| {
            let mut own = recipes(ground, lineups, surveys, &Group::alone(station, own))?;
            own.sort_by(|a, b| a.cost(station).total_cmp(&b.cost(station)));
            Ok(own.into_iter().map(&mut want).collect())
        })
        .collect::<Result<Vec<Vec<usize>>, Refusal>>()?;
    let before = State {
        causes: groups
            .iter()
            .map(|group| (moves_of(station, &group.moves), group.severity))
            .collect(),
        findings: of_tasks(station, ground.permeate_m3_s).1,
    };
    let effects = effects(station, ground.permeate_m3_s, &before, &wanted);
    let against_left = left.iter().zip(against_left).map(|(own, wanted_of)| {
        let helps = |at: usize| {
            let effect = effects[at].as_ref()?;
            effect.ends(station, own).then_some((at, effect))
        };
        let (at, effect) = wanted_of.into_iter().find_map(helps)?;
        let tried = Tried {
            recipe: wanted[at].clone(),
            clears: Vec::new(),
            brings: effect.told(),
        };
        Some(told(station, &tried))
    });
    let against_left = against_left.collect();
    let all = wanted.into_iter().zip(&effects).filter_map(|(recipe, effect)| {
        let effect = effect.as_ref()?;
        let clears = effect.clears(&before);
        (!clears.is_empty()).then(|| Tried {
            recipe,
            clears,
            brings: effect.told(),
        })
    });
    let mut tried: Vec<Tried> = all.collect();
    tried.sort_by(|a, b| {
        let cost = |tried: &Tried| tried.recipe.cost(station);
        cost(a)
            .total_cmp(&cost(b))
            .then(b.clears.len().cmp(&a.clears.len()))
    });
    for (at, cause) in causes.iter_mut().enumerate() {
        cause.remedy = tried.iter().position(|tried| tried.clears.contains(&at));
        if cause.remedy.is_some() {
            cause.tried.clear();
        }
    }
    Ok(Trials {
        against_left,
        together: together(station, ground.permeate_m3_s, &before, &tried, causes),
        remedies: tried.iter().map(|tried| told(station, tried)).collect(),
    })
}

fn told(station: &Station, tried: &Tried) -> TriedRemedy {
    let edits = tried.recipe.edits.iter().map(RemedyEdit::of);
    TriedRemedy {
        sentence: with_what_it_brings(tried.recipe.told(), &tried.brings),
        edits: edits.collect(),
        price: tried.recipe.price(station).filter(|price| *price > 0.0),
        clears: tried.clears.len(),
        caution: tried.recipe.part.caution(),
    }
}

/// The cheapest change of each cause, all of them made in one copy of the file. `None` where there are fewer than two, or
/// where they can't stand beside each other.
fn together(
    station: &Station,
    permeate_m3_s: f64,
    before: &State,
    tried: &[Tried],
    causes: &[Cause],
) -> Option<Together> {
    let mut remedies: Vec<usize> = causes.iter().filter_map(|cause| cause.remedy).collect();
    remedies.sort_unstable();
    remedies.dedup();
    if remedies.len() < 2 {
        return None;
    }
    let mut edits: Vec<Edit> = Vec::new();
    for edit in remedies.iter().flat_map(|at| &tried[*at].recipe.edits) {
        match edits.iter().find(|own| own.path == edit.path) {
            // One list of valves can't be written twice.
            Some(own) if own.text != edit.text => return None,
            Some(_) => {}
            None => edits.push(edit.clone()),
        }
    }
    let all = effect(station, permeate_m3_s, before, &edits)?;
    let prices: Option<Vec<f64>> = remedies
        .iter()
        .map(|at| tried[*at].recipe.price(station))
        .collect();
    Some(Together {
        remedies,
        price: prices.map(|prices| prices.iter().sum()),
        left: before.causes.len() - all.clears(before).len(),
        brings: all.brings.is_some(),
    })
}

/// What each change comes to, on two threads: whoever is free takes the next.
fn effects(station: &Station, permeate_m3_s: f64, before: &State, wanted: &[Recipe]) -> Vec<Option<Effect>> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut own = Vec::new();
        while let at = next.fetch_add(1, Ordering::Relaxed)
            && let Some(recipe) = wanted.get(at)
        {
            own.push((at, effect(station, permeate_m3_s, before, &recipe.edits)));
        }
        own
    };
    let [mut all, others] = side_by_side(work, work);
    all.extend(others);
    all.sort_unstable_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, effect)| effect).collect()
}

/// What a change comes to.
struct Effect {
    /// Causes none of whose moves does it any more.
    gone: Vec<usize>,
    /// The gravest of what it brings: a wrong move, or trouble with a task.
    brings: Option<Severity>,
    /// The wrong moves that it brings.
    new: Vec<Move>,
    /// What comes of tasks that nobody ends.
    left: Vec<LeftOn>,
}

impl Effect {
    /// The causes that it clears: those that are gone and graver than all that it brings.
    fn clears(&self, before: &State) -> Vec<usize> {
        let graver = |at: &usize| self.brings.is_none_or(|brings| before.causes[*at].1 > brings);
        self.gone.iter().copied().filter(graver).collect()
    }

    /// The wrong moves that it brings, in words: the first of them, and how many more there are.
    fn told(&self) -> Vec<String> {
        let mut all: Vec<String> = self
            .new
            .iter()
            .map(|(task, switch, _, kind, victim)| match switch.is_empty() {
                true => format!("in {task}, {} ({victim})", kind.word()),
                false => format!("{switch} turned wrong in {task}, {} ({victim})", kind.word()),
            })
            .collect();
        all.sort_unstable();
        all.dedup();
        let more = all.len().saturating_sub(MOST_TOLD);
        all.truncate(MOST_TOLD);
        if more > 0 {
            all.push(format!("{more} more such"));
        }
        all
    }

    /// Whether a task that nobody ends does no harm any more with it, and it brings nothing as bad.
    fn ends(&self, station: &Station, left: &Wrong) -> bool {
        let severity = severity(station, left.harm.kind, left.harm.victim);
        self.brings.is_none_or(|brings| brings < severity) && !self.left.contains(&left_of(station, left))
    }
}

fn left_of(station: &Station, own: &Wrong) -> LeftOn {
    let victim = station.name_of(own.harm.victim).to_owned();
    (lineup_name(station, own).to_owned(), own.harm.kind, victim)
}

/// What edits come to; `None` where the file can't be so.
fn effect(station: &Station, permeate_m3_s: f64, before: &State, edits: &[Edit]) -> Option<Effect> {
    let mended = mended(station, edits)?;
    let (lineups, findings) = of_tasks(&mended, permeate_m3_s);
    let (after, left) = after(&mended, permeate_m3_s, &lineups?)?;
    let is_new = |(id, place, own): &&(&str, String, Severity)| {
        *own >= Severity::Should
            && !before
                .findings
                .iter()
                .any(|(old, old_place, old_severity)| old == id && old_place == place && old_severity >= own)
    };
    let known = |own: &Move| before.causes.iter().any(|(moves, _)| moves.contains(own));
    // A task that can't be done any more outweighs every cure.
    let trouble = findings.iter().filter(is_new).map(|_| Severity::Must);
    let new: Vec<&(Move, Severity)> = after.iter().filter(|(own, _)| !known(own)).collect();
    let moves = new.iter().map(|(_, how_bad)| *how_bad);
    Some(Effect {
        gone: (0..before.causes.len())
            .filter(|at| !after.iter().any(|(own, _)| before.causes[*at].0.contains(own)))
            .collect(),
        brings: trouble.chain(moves).max(),
        new: new.into_iter().map(|(own, _)| own.clone()).collect(),
        left,
    })
}

fn mended(station: &Station, edits: &[Edit]) -> Option<Station> {
    let text = edit::apply(&station.text, edits).ok()?;
    let mended = Station::read(&text).ok()?;
    match &station.feed_state {
        Some(state) => mended.in_feed_state(state).ok(),
        None => Some(mended),
    }
}

/// The tasks of a station and what there is to say of them.
fn of_tasks(
    station: &Station,
    permeate_m3_s: f64,
) -> (Option<Lineups>, Vec<(&'static str, String, Severity)>) {
    let known = plumbing::Known {
        permeate_m3_s,
        depth: plumbing::Depth::Findings,
    };
    let mut findings: Vec<Finding> = Vec::new();
    let lineups = plumbing::lineups(station, &known, &mut Sheet::default(), &mut findings);
    let findings = findings
        .into_iter()
        .map(|finding| (finding.id, finding.place, finding.severity))
        .collect();
    (lineups, findings)
}

/// The wrong moves of a changed station, each with how much it matters, and what comes of tasks that nobody ends.
fn after(station: &Station, permeate_m3_s: f64, lineups: &Lineups) -> Option<(Weighed, Vec<LeftOn>)> {
    let base = Base::of(station).ok()?;
    let ground = base.ground(station, permeate_m3_s);
    let (_, mut surveys) = surveys(&ground).ok()?;
    let wrong = wrong_moves(&ground, &mut surveys, lineups).ok()?;
    let left = left_on(&ground, &mut surveys, lineups).ok()?;
    let severities = wrong
        .iter()
        .map(|own| severity(station, own.harm.kind, own.harm.victim));
    let moves = moves_of(station, &wrong).into_iter().zip(severities).collect();
    Some((moves, left.iter().map(|own| left_of(station, own)).collect()))
}

fn moves_of(station: &Station, wrong: &[Wrong]) -> Vec<Move> {
    wrong
        .iter()
        .map(|own| {
            (
                lineup_name(station, own).to_owned(),
                switch_name(station, own).to_owned(),
                own.moved.is_some_and(|(_, on)| on),
                own.harm.kind,
                station.name_of(own.harm.victim).to_owned(),
            )
        })
        .collect()
}
