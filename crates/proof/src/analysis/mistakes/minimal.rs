//! Every position, and the least that does each harm.

use physics::hydraulics::friction::FrictionLaw;

use super::blocks::walk;
use super::survey::{Ground, HarmSet, Survey};
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
    /// For each situation what each of them does in it.
    pub(super) sets: Vec<Vec<HarmSet>>,
    /// Positions that do a harm of which no part does it alone: each with the harms that begin with it, fewest switches
    /// first.
    pub(super) minimal: Vec<(Position, HarmSet)>,
}

/// Looks at every position in every situation, each situation in a thread of its own.
pub(super) fn everything<F: FrictionLaw + Send>(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_, F>],
) -> Result<Everything, Refusal> {
    let count = ground.switches.count();
    let walked: Vec<Result<Vec<HarmSet>, Refusal>> = std::thread::scope(|scope| {
        let threads: Vec<_> = surveys
            .iter_mut()
            .map(|survey| scope.spawn(move || walk(ground, survey, count)))
            .collect();
        threads
            .into_iter()
            .map(|thread| {
                thread
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
            })
            .collect()
    });
    let sets = walked.into_iter().collect::<Result<Vec<_>, Refusal>>()?;
    let positions = (0..1_u64 << count)
        .filter(|position| ground.switches.can_be(*position))
        .count();
    Ok(Everything {
        exhaustive: "every position of every valve and pump".to_owned(),
        positions: positions as u64,
        minimal: minimal(&sets),
        sets,
    })
}

/// The positions that do a harm of which no part does it alone: for each position the harms that begin with it.
///
/// A harm begins where it is done and nothing with fewer open valves and running pumps among the same does it.
fn minimal(sets: &[Vec<HarmSet>]) -> Vec<(Position, HarmSet)> {
    let count = sets.first().map_or(0, Vec::len);
    let mut below: Vec<HarmSet> = vec![0; count];
    let mut found = Vec::new();
    // A position comes after all its parts, since they are smaller numbers.
    for position in 0..count {
        let mut parts: HarmSet = 0;
        let mut left = position;
        while left != 0 {
            let bit = left & left.wrapping_neg();
            left ^= bit;
            parts |= below[position ^ bit];
        }
        let own = sets.iter().fold(0, |any, sets| any | sets[position]);
        if own & !parts != 0 {
            found.push((position as Position, own & !parts));
        }
        below[position] = parts | own;
    }
    found.sort_by_key(|(position, _)| (position.count_ones(), *position));
    found
}
