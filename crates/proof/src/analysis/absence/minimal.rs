//! The least sets of faults that lead to each harm, over all beginnings.

use super::survey::{FromStart, Survey, first};
use super::top::Top;
use super::types::By;
use crate::alone::{Fault, Outcome, Phase};

/// A least set, and what it does at its worst.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Least {
    /// One fault or two, by their place in the survey.
    pub(super) faults: Vec<usize>,
    /// Beginnings from which it does.
    pub(super) phases: Vec<Phase>,
    pub(super) floor_m3: f64,
    /// Until the first harm, s.
    pub(super) first_s: f64,
}

/// The least sets that lead to a harm, in the order of their faults: by parts that fail in a station that was left as it
/// should be, or by something that people left open, on or unended, and by what only comes amid a task. What happens with
/// every part sound is no matter of faults, and isn't among them: where the floor is wet then, only what wets it elsewhere.
pub(super) fn least(survey: &Survey, top: Top, by: By) -> Vec<Least> {
    let mut all: Vec<Least> = Vec::new();
    for own in &survey.starts {
        let amid_a_task = matches!(own.phase, Phase::Transfer(_));
        if top != Top::WetFloor && first(&own.sound, top).is_some() {
            continue;
        }
        for (faults, outcome) in doing(own, top) {
            let left = faults.iter().any(|fault| is_left(survey.faults[*fault]));
            let own_by = if amid_a_task || left {
                By::People
            } else {
                By::Parts
            };
            if own_by == by {
                note(&mut all, faults, own, outcome, top);
            }
        }
    }
    if by == By::People {
        // What parts do without anybody is theirs.
        let parts = least(survey, top, By::Parts);
        all.retain(|own| {
            !parts
                .iter()
                .any(|part| part.faults.iter().all(|fault| own.faults.contains(fault)))
        });
    }
    // Of one or two: a pair is least where neither of its faults does it alone.
    let alone: Vec<usize> = all
        .iter()
        .filter(|own| own.faults.len() == 1)
        .flat_map(|own| own.faults.clone())
        .collect();
    all.retain(|own| own.faults.len() == 1 || own.faults.iter().all(|fault| !alone.contains(fault)));
    all.sort_by(|a, b| (a.faults.len(), &a.faults).cmp(&(b.faults.len(), &b.faults)));
    all
}

/// Whether a fault is something that a person left open, shut, on or unended.
pub(super) fn is_left(fault: Fault) -> bool {
    matches!(
        fault,
        Fault::NobodyEndsIt | Fault::Valve { .. } | Fault::PumpLeftOn { .. }
    )
}

/// The faults and pairs that lead to a harm from one beginning.
fn doing(own: &FromStart, top: Top) -> impl Iterator<Item = (Vec<usize>, &Outcome)> {
    let singles = own
        .singles
        .iter()
        .filter(move |single| own.adds(&single.outcome, top).is_some())
        .map(|single| (vec![single.fault], &single.outcome));
    let pairs = own
        .pairs
        .iter()
        .filter(move |pair| pair.tops.contains(&top))
        .map(|pair| (pair.faults.to_vec(), &pair.outcome));
    singles.chain(pairs)
}

fn note(all: &mut Vec<Least>, faults: Vec<usize>, from: &FromStart, outcome: &Outcome, top: Top) {
    let Some(harm) = from.adds(outcome, top) else {
        return;
    };
    let phase = from.phase;
    let floor_m3 = if top == Top::WetFloor {
        (outcome.floor_m3 - from.sound.floor_m3).max(0.0)
    } else {
        0.0
    };
    match all.iter_mut().find(|own| own.faults == faults) {
        Some(own) => {
            own.phases.push(phase);
            own.floor_m3 = own.floor_m3.max(floor_m3);
            own.first_s = own.first_s.min(harm.at_s);
        }
        None => all.push(Least {
            faults,
            phases: vec![phase],
            floor_m3,
            first_s: harm.at_s,
        }),
    }
}
