//! Remedies tried: each change is made in a copy of the file, the copy's tasks and wrong moves are looked at again.
//!
//! A change is offered that clears what it is for, brings nothing as bad, and leaves every task as able as it was.

use station::{Edit, Station, edit};

use super::super::plumbing::{self, Lineups};
use super::cause::{Group, lineup_name, switch_name};
use super::kind::{Kind, severity};
use super::moves::{Wrong, wrong_moves};
use super::part::Recipe;
use super::recipes::recipes;
use super::survey::{Ground, Survey};
use super::types::{Cause, TriedRemedy};
use super::{Base, surveys};
use crate::finding::{Finding, RemedyEdit, Severity};
use crate::method::Refusal;
use crate::remedy::told_edits;
use crate::sheet::Sheet;

/// A wrong move by names: the task, what was moved, whether it is on now, what it does to whom. A cause is cleared when none
/// of its moves does it any more; that it does so by other valves is no cure.
type Move = (String, String, bool, Kind, String);

/// What a station's wrong moves and tasks come to.
struct State {
    /// For each cause its moves.
    causes: Vec<Vec<Move>>,
    /// Findings on its tasks, by id and place.
    findings: Vec<(&'static str, String, Severity)>,
}

/// A change with the causes that it clears.
struct Tried {
    recipe: Recipe,
    clears: Vec<usize>,
}

/// Tries changes for every cause, and tells each cause its cheapest.
pub(super) fn try_all(
    ground: &Ground<'_>,
    lineups: &Lineups,
    surveys: &mut [Survey<'_>],
    groups: &[Group],
    causes: &mut [Cause],
) -> Result<Vec<TriedRemedy>, Refusal> {
    let station = ground.station;
    let mut wanted: Vec<(Recipe, Severity)> = Vec::new();
    for group in groups {
        for recipe in recipes(ground, lineups, surveys, group)? {
            match wanted.iter_mut().find(|(own, _)| own.edits == recipe.edits) {
                Some((_, severity)) => *severity = (*severity).max(group.severity),
                None => wanted.push((recipe, group.severity)),
            }
        }
    }
    let before = State {
        causes: groups
            .iter()
            .map(|group| moves_of(station, &group.moves))
            .collect(),
        findings: of_tasks(station, ground.permeate_m3_s).1,
    };
    let mut tried = tried(station, ground.permeate_m3_s, &before, wanted);
    tried.sort_by(|a, b| {
        let cost = |tried: &Tried| tried.recipe.cost(station);
        cost(a)
            .total_cmp(&cost(b))
            .then(b.clears.len().cmp(&a.clears.len()))
    });
    for (at, cause) in causes.iter_mut().enumerate() {
        cause.remedy = tried.iter().position(|tried| tried.clears.contains(&at));
    }
    Ok(tried
        .into_iter()
        .map(|tried| TriedRemedy {
            sentence: told_edits(&tried.recipe.edits),
            edits: tried
                .recipe
                .edits
                .iter()
                .map(|edit| RemedyEdit {
                    path: edit.path.clone(),
                    text: edit.text.trim_matches('"').to_owned(),
                })
                .collect(),
            price: tried.recipe.price(station).filter(|price| *price > 0.0),
            clears: tried.clears.len(),
            caution: tried.recipe.part.caution(),
        })
        .collect())
}

/// Those that clear something, on two threads.
fn tried(
    station: &Station,
    permeate_m3_s: f64,
    before: &State,
    wanted: Vec<(Recipe, Severity)>,
) -> Vec<Tried> {
    let half = wanted.len().div_ceil(2);
    let work = |part: &[(Recipe, Severity)]| -> Vec<Option<Vec<usize>>> {
        part.iter()
            .map(|(recipe, severity)| clears(station, permeate_m3_s, before, recipe, *severity))
            .collect()
    };
    let (first, second) = wanted.split_at(half);
    let cleared: Vec<Option<Vec<usize>>> = std::thread::scope(|scope| {
        let other = scope.spawn(|| work(second));
        let mut all = work(first);
        all.extend(
            other
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
        );
        all
    });
    wanted
        .into_iter()
        .zip(cleared)
        .filter_map(|((recipe, _), clears)| {
            Some(Tried {
                recipe,
                clears: clears?,
            })
        })
        .collect()
}

/// The causes that a change clears; `None` where it clears none or brings something as bad.
fn clears(
    station: &Station,
    permeate_m3_s: f64,
    before: &State,
    recipe: &Recipe,
    severity: Severity,
) -> Option<Vec<usize>> {
    let mended = mended(station, &recipe.edits)?;
    let (lineups, findings) = of_tasks(&mended, permeate_m3_s);
    let after = after(&mended, permeate_m3_s, &lineups?)?;
    let is_new = |(id, place, own): &(&str, String, Severity)| {
        *own >= severity.min(Severity::Should)
            && !before
                .findings
                .iter()
                .any(|(old, old_place, old_severity)| old == id && old_place == place && old_severity >= own)
    };
    let brings = after
        .iter()
        .any(|(own, how_bad)| *how_bad >= severity && !before.causes.iter().flatten().any(|old| old == own));
    if findings.iter().any(is_new) || brings {
        return None;
    }
    let cleared: Vec<usize> = (0..before.causes.len())
        .filter(|at| !after.iter().any(|(own, _)| before.causes[*at].contains(own)))
        .collect();
    (!cleared.is_empty()).then_some(cleared)
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

/// The wrong moves of a changed station, each with how much it matters.
fn after(station: &Station, permeate_m3_s: f64, lineups: &Lineups) -> Option<Vec<(Move, Severity)>> {
    let base = Base::of(station).ok()??;
    let ground = base.ground(station, permeate_m3_s);
    let (_, mut surveys) = surveys(&ground).ok()?;
    let wrong = wrong_moves(&ground, &mut surveys, lineups).ok()?;
    let severities = wrong
        .iter()
        .map(|own| severity(station, own.harm.kind, own.harm.victim));
    Some(moves_of(station, &wrong).into_iter().zip(severities).collect())
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
