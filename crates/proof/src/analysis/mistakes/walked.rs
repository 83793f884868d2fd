//! Every position at one moment, put together from the states of the blocks.

use physics::hydraulics::friction::FrictionLaw;
use rustc_hash::FxHashMap;

use super::beside::Beside;
use super::blocks::{LOW_BITS, States, blocks, states_of};
use super::doing::Doing;
use super::ids::HarmSet;
use super::outcome::Numbers;
use super::positions::WORD;
use super::survey::{Ground, Survey};
use super::switches::{Position, Switches};
use super::together::Together;
use crate::method::Refusal;
use crate::threads::side_by_side;

/// The number of what isn't known yet.
const UNKNOWN: u32 = u32::MAX;

/// Positions that share all but their low bits are gone through together; so few of those aren't worth a thread.
const FEW: usize = 16;

/// What every position does at one moment. Many do the same, so that sets of harms are numbered.
pub(super) struct Walked {
    /// Positions that can't be do nothing.
    pub(super) doing: Doing,
    /// Some may stand here twice.
    sets: Vec<HarmSet>,
    /// How many positions do each set.
    times: Vec<u64>,
    /// How many there are that can be.
    pub(super) positions: u64,
}

impl Walked {
    /// How often each set of harms is done, in one or several parts.
    pub(super) fn tally(&self) -> impl Iterator<Item = (HarmSet, u64)> {
        let all = self.sets.iter().copied().zip(self.times.iter().copied());
        all.filter(|(set, _)| *set != 0)
    }

    /// With what other positions do.
    fn with(mut self, other: Self) -> Self {
        self.doing.or(&other.doing);
        self.sets.extend(other.sets);
        self.times.extend(other.times);
        self.positions += other.positions;
        self
    }
}

/// Looks at every position at one moment, with others beside it.
pub(super) fn walk<F: FrictionLaw + Sync>(
    ground: &Ground<'_>,
    survey: &mut Survey<'_, F>,
    beside: &mut Beside,
    count: usize,
) -> Result<Walked, Refusal> {
    let states = blocks(ground.graph)
        .iter()
        .map(|block| states_of(ground, survey, beside, block, count))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let effects: Vec<&[Numbers]> = states.iter().map(|block| block.effects.as_slice()).collect();
    let whole = Whole {
        switches: ground.switches,
        together: Together::of(survey, &effects),
        combined: Combined::of(&states, count),
        effects,
        count,
    };
    let highs = 1 << count.saturating_sub(LOW_BITS);
    if highs < FEW {
        return Ok(whole.walked(0..highs));
    }
    // A moment that listens comes to this when others have gone. The lowest of the high bits shares the work evenly: with
    // the highest, a pump, half of it would be quickly done.
    let every_second = |first: usize| whole.walked((first..highs).step_by(2));
    let [even, odd] = side_by_side(|| every_second(0), || every_second(1));
    Ok(even.with(odd))
}

/// What positions are put together from.
struct Whole<'w> {
    switches: &'w Switches,
    together: Together,
    combined: Combined<'w>,
    /// For each block and each of its effects the outcomes.
    effects: Vec<&'w [Numbers]>,
    count: usize,
}

impl Whole<'_> {
    /// What the positions with some high bits do.
    fn walked(&self, highs: impl Iterator<Item = usize>) -> Walked {
        // A block has no more effects than states, so that there are no more combinations than positions.
        let combinations = self.effects.iter().map(|effects| effects.len()).product();
        let mut seen = vec![UNKNOWN; combinations];
        let mut number_of: FxHashMap<HarmSet, u32> = FxHashMap::from_iter([(0, 0)]);
        let mut walked = Walked {
            doing: Doing::nothing(self.count),
            sets: vec![0],
            times: vec![0],
            positions: 0,
        };
        let all_can_be = self.switches.one_at_a_time();
        let mut combined = [0; 1 << LOW_BITS];
        let mut apart = vec![0; self.effects.len()];
        for high in highs {
            let own = &mut combined[..1 << self.count.min(LOW_BITS)];
            self.combined.run(high, own);
            for (word, own) in own.chunks(WORD).enumerate() {
                let first = (high << LOW_BITS) | (word * WORD);
                let mut does = [0; WORD];
                for (low, (does, combined)) in does.iter_mut().zip(own).enumerate() {
                    if !all_can_be && !self.switches.can_be((first + low) as Position) {
                        continue;
                    }
                    walked.positions += 1;
                    let known = &mut seen[*combined as usize];
                    if *known == UNKNOWN {
                        take_apart(&self.effects, *combined as usize, &mut apart);
                        let set = self.together.harm_set(&apart);
                        *known = *number_of.entry(set).or_insert_with(|| {
                            walked.sets.push(set);
                            walked.times.push(0);
                            walked.sets.len() as u32 - 1
                        });
                    }
                    *does = walked.sets[*known as usize];
                    walked.times[*known as usize] += 1;
                }
                walked.doing.put(first / WORD, &does);
            }
        }
        walked
    }
}

/// The effects of all blocks in a position as one number: digits, each block's worth as much as those after it can be.
struct Combined<'s> {
    /// By the low bits, of the blocks that have no other; and by the high bits likewise.
    low: Vec<u32>,
    high: Vec<u32>,
    /// The other blocks, each with what its digit is worth.
    across: Vec<(&'s States, u32)>,
}

impl<'s> Combined<'s> {
    fn of(states: &'s [States], count: usize) -> Self {
        let mut combined = Self {
            low: vec![0; 1 << LOW_BITS],
            high: vec![0; 1 << count.saturating_sub(LOW_BITS)],
            across: Vec::new(),
        };
        let mut worth = 1;
        for block in states.iter().rev() {
            let [low, high] = &block.packed;
            let digit = |packed: &u32| worth * block.effect[*packed as usize];
            if high.iter().all(|packed| *packed == 0) {
                combined
                    .low
                    .iter_mut()
                    .zip(low)
                    .for_each(|(sum, packed)| *sum += digit(packed));
            } else if low.iter().all(|packed| *packed == 0) {
                combined
                    .high
                    .iter_mut()
                    .zip(high)
                    .for_each(|(sum, packed)| *sum += digit(packed));
            } else {
                combined.across.push((block, worth));
            }
            worth *= block.effects.len() as u32;
        }
        combined
    }

    /// Of each position with these high bits.
    fn run(&self, high: usize, out: &mut [u32]) {
        for (out, low) in out.iter_mut().zip(&self.low) {
            *out = low + self.high[high];
        }
        for (block, worth) in &self.across {
            let above = block.packed[1][high];
            for (out, below) in out.iter_mut().zip(&block.packed[0]) {
                *out += worth * block.effect[(above + below) as usize];
            }
        }
    }
}

/// The effect of each block from their one number.
fn take_apart(effects: &[&[Numbers]], combined: usize, apart: &mut [usize]) {
    let mut left = combined;
    for (own, effects) in apart.iter_mut().zip(effects).rev() {
        *own = left % effects.len();
        left /= effects.len();
    }
}
