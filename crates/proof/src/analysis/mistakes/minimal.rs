//! Every position, and the least that does each harm.

use physics::hydraulics::friction::FrictionLaw;

use super::blocks::{Walked, walk};
use super::ids::HarmSet;
use super::survey::{Beside, Ground, Survey};
use super::switches::Position;
use crate::method::Refusal;

/// The most switches of which every position is looked at.
pub(super) const MOST_EXHAUSTIVE: usize = 18;

/// What was looked at, and the least that does each harm.
pub(super) struct Everything {
    /// What was looked at without a gap, and what wasn't.
    pub(super) exhaustive: String,
    /// Positions that were looked at.
    pub(super) positions: u64,
    /// What they do, position by position and situation by situation: each set of harms with how often it is done.
    pub(super) tally: Vec<(HarmSet, u64)>,
    /// Positions that do a harm of which no part does it alone: each with the harms that begin with it, fewest switches
    /// first.
    pub(super) minimal: Vec<(Position, HarmSet)>,
}

/// Looks at every position in every situation, each situation in a thread of its own. Situations that have a level with an
/// earlier one in common come after it: what hangs on that level alone isn't solved again.
pub(super) fn everything<F: FrictionLaw + Send + Sync>(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_, F>],
) -> Result<Everything, Refusal> {
    let count = ground.switches.count();
    let (mut first, mut later): (Vec<&mut Survey<'_, F>>, Vec<&mut Survey<'_, F>>) = Default::default();
    let mut order: (Vec<usize>, Vec<usize>) = Default::default();
    for (at, survey) in surveys.iter_mut().enumerate() {
        if first.iter().any(|earlier| Beside::of(earlier, survey).is_some()) {
            later.push(survey);
            order.1.push(at);
        } else {
            first.push(survey);
            order.0.push(at);
        }
    }
    let mut walked = together(ground, &mut first, &[], count)?;
    let first: Vec<&Survey<'_, F>> = first.into_iter().map(|survey| &*survey).collect();
    walked.extend(together(ground, &mut later, &first, count)?);
    // Back in the order of the situations.
    let mut placed: Vec<(usize, Walked)> = order.0.into_iter().chain(order.1).zip(walked).collect();
    placed.sort_by_key(|(at, _)| *at);
    let walked: Vec<Walked> = placed.into_iter().map(|(_, walked)| walked).collect();
    let positions = walked.first().map_or(0, |moment| moment.positions);
    Ok(Everything {
        exhaustive: "every position of every valve and pump".to_owned(),
        positions,
        minimal: minimal(&walked, count),
        tally: walked.iter().flat_map(tally).collect(),
    })
}

/// Looks at every position in some situations at once, with others known.
fn together<'a, F: FrictionLaw + Send + Sync>(
    ground: &Ground<'_>,
    surveys: &mut [&mut Survey<'a, F>],
    known: &[&Survey<'a, F>],
    count: usize,
) -> Result<Vec<Walked>, Refusal> {
    std::thread::scope(|scope| {
        let threads: Vec<_> = surveys
            .iter_mut()
            .map(|survey| {
                scope.spawn(move || {
                    let others: Vec<Beside<'_, 'a, F>> = known
                        .iter()
                        .filter_map(|other| Beside::of(other, survey))
                        .collect();
                    walk(ground, survey, &others, count)
                })
            })
            .collect();
        threads
            .into_iter()
            .map(|thread| {
                thread
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            })
            .collect()
    })
}

/// How often each set of harms is done at one moment.
fn tally(walked: &Walked) -> Vec<(HarmSet, u64)> {
    let mut states = vec![0; walked.sets.len()];
    for number in &walked.number {
        states[*number as usize] += 1;
    }
    let all = walked.sets.iter().copied().zip(states);
    all.filter(|(set, _)| *set != 0).collect()
}

/// The positions that do a harm of which no part does it alone: for each position the harms that begin with it.
///
/// A harm begins where it is done and nothing with fewer open valves and running pumps among the same does it.
fn minimal(walked: &[Walked], count: usize) -> Vec<(Position, HarmSet)> {
    let any: Vec<HarmSet> = (0..1_usize << count)
        .map(|position| walked.iter().fold(0, |any, moment| any | moment.set(position)))
        .collect();
    // What a position or any part of it does: bit by bit, all those without it handed on to those with it.
    let mut within = any.clone();
    for bit in 0..count {
        for pair in within.chunks_exact_mut(2 << bit) {
            let (without, with) = pair.split_at_mut(1 << bit);
            for (with, without) in with.iter_mut().zip(without) {
                *with |= *without;
            }
        }
    }
    let mut found = Vec::new();
    for (position, own) in any.iter().enumerate() {
        let mut new = *own;
        let mut left = position;
        while left != 0 && new != 0 {
            new &= !within[position ^ (left & left.wrapping_neg())];
            left &= left - 1;
        }
        if new != 0 {
            found.push((position as Position, new));
        }
    }
    found.sort_by_key(|(position, _)| (position.count_ones(), *position));
    found
}
