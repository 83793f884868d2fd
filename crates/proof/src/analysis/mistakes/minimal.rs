//! Every position, and the least that does each harm.

use std::collections::BTreeMap;

use physics::hydraulics::friction::FrictionLaw;

use super::beside::{Beside, told};
use super::doing::Doing;
use super::ids::HarmSet;
use super::positions::Positions;
use super::survey::{Ground, Survey};
use super::switches::Position;
use super::walked::{Walked, walk};
use crate::method::Refusal;
use crate::threads::{joined, side_by_side};

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
/// earlier one in common listen to it: what hangs on that level alone isn't solved again.
pub(super) fn everything<F: FrictionLaw + Send + Sync>(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_, F>],
) -> Result<Everything, Refusal> {
    let count = ground.switches.count();
    let mut beside: Vec<Beside> = surveys.iter().map(|_| Beside::default()).collect();
    // Those that take nothing over from another.
    let mut first: Vec<usize> = Vec::new();
    for at in 0..surveys.len() {
        let differs = |earlier: &usize| surveys[at].bench.differs_from(&surveys[*earlier].bench);
        let alike: Vec<(usize, u128)> = first
            .iter()
            .filter_map(|earlier| Some((*earlier, differs(earlier)?)))
            .collect();
        if alike.is_empty() {
            first.push(at);
        }
        for (earlier, differs) in alike {
            let (tells, hears) = told(differs);
            beside[earlier].tells.push(tells);
            beside[at].hears.push(hears);
        }
    }
    let walked = together(ground, surveys, beside, count)?;
    let positions = walked.first().map_or(0, |moment| moment.positions);
    Ok(Everything {
        exhaustive: "every position of every valve and pump".to_owned(),
        positions,
        minimal: minimal(&walked, count),
        tally: walked.iter().flat_map(Walked::tally).collect(),
    })
}

/// Looks at every position in all situations at once.
fn together<F: FrictionLaw + Send + Sync>(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_, F>],
    beside: Vec<Beside>,
    count: usize,
) -> Result<Vec<Walked>, Refusal> {
    std::thread::scope(|scope| {
        let threads: Vec<_> = surveys
            .iter_mut()
            .zip(beside)
            .map(|(survey, mut beside)| scope.spawn(move || walk(ground, survey, &mut beside, count)))
            .collect();
        threads.into_iter().map(joined).collect()
    })
}

/// The positions that do a harm of which no part does it alone: for each position the harms that begin with it.
///
/// A harm begins where it is done and nothing with fewer open valves and running pumps among the same does it.
fn minimal(walked: &[Walked], count: usize) -> Vec<(Position, HarmSet)> {
    let mut doing = Doing::nothing(count);
    for moment in walked {
        doing.or(&moment.doing);
    }
    let each: Vec<(u32, &Positions)> = doing.each().collect();
    let (some, others) = each.split_at(each.len() / 2);
    // Each harm by itself, on two threads.
    let begins = side_by_side(|| begins(some), || begins(others)).concat();
    let mut found: BTreeMap<Position, HarmSet> = BTreeMap::new();
    for (harm, position) in begins {
        *found.entry(position).or_default() |= 1 << harm;
    }
    let mut found: Vec<(Position, HarmSet)> = found.into_iter().collect();
    found.sort_by_key(|(position, _)| (position.count_ones(), *position));
    found
}

/// Some harms, each with the positions in which it begins.
fn begins(doing: &[(u32, &Positions)]) -> Vec<(u32, Position)> {
    let begins = doing.iter().flat_map(|(harm, doing)| {
        let begins = doing.without(&doing.and_all_beyond().beyond());
        let positions: Vec<Position> = begins.positions().collect();
        positions.into_iter().map(|position| (*harm, position))
    });
    begins.collect()
}
