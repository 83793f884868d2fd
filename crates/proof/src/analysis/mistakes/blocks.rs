//! Blocks: parts of the plumbing that no valve can join, so that each is looked at by itself and the positions of the
//! whole are put together from theirs.

use physics::hydraulics::friction::FrictionLaw;
use rustc_hash::FxHashMap;

use super::beside::Beside;
use super::graph::Graph;
use super::ids::HarmSet;
use super::survey::{Ground, Survey};
use super::switches::Position;
use super::together::Together;
use crate::method::Refusal;

/// The number of what isn't known yet, or can't be.
const UNKNOWN: u32 = u32::MAX;

/// So many states of a block are walked before others hear of it.
const RUN: usize = 512;

/// Positions are gone through in runs that share all but so many low bits.
const LOW_BITS: usize = 9;

/// Lines that can be joined at all, with the switches among them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Block {
    pub(super) lines: u128,
    /// Its switches.
    pub(super) mask: Position,
}

/// The blocks of a graph with a switch in them; and those without as one, whose only state is as it is.
pub(super) fn blocks(graph: &Graph) -> Vec<Block> {
    let mut all: Vec<Block> = Vec::new();
    for block in graph.joined_at_most() {
        match all.iter_mut().find(|own| own.mask == 0 && block.mask == 0) {
            Some(fixed) => fixed.lines |= block.lines,
            None => all.push(block),
        }
    }
    all
}

/// What a block does in each of its states: numbers of effects, of which many states share one.
struct States {
    /// By the block's own bits packed together; those that can't be have the first.
    effect: Vec<u32>,
    /// For each effect the outcomes that it is made of.
    effects: Vec<Vec<usize>>,
    /// Packs the low bits of a position, and those above them.
    packed: [Vec<u32>; 2],
}

/// What every position does at one moment. Many do the same, so that sets of harms are numbered.
pub(super) struct Walked {
    /// By position; those that can't be do nothing.
    pub(super) number: Vec<u32>,
    pub(super) sets: Vec<HarmSet>,
    /// How many positions do each set.
    times: Vec<u64>,
    /// How many there are that can be.
    pub(super) positions: u64,
}

impl Walked {
    pub(super) fn set(&self, position: usize) -> HarmSet {
        self.sets[self.number[position] as usize]
    }

    /// How often each set of harms is done.
    pub(super) fn tally(&self) -> impl Iterator<Item = (HarmSet, u64)> {
        let all = self.sets.iter().copied().zip(self.times.iter().copied());
        all.filter(|(set, _)| *set != 0)
    }
}

/// Looks at every position at one moment, with others beside it.
pub(super) fn walk<F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'_, F>,
    beside: &mut Beside,
    count: usize,
) -> Result<Walked, Refusal> {
    let states = blocks(ground.graph)
        .iter()
        .map(|block| states_of(ground, survey, beside, block, count))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let effects: Vec<&[Vec<usize>]> = states.iter().map(|block| block.effects.as_slice()).collect();
    let mut together = Together::of(survey, &effects);
    // A block has no more effects than states, so that there are no more combinations than positions.
    let mut seen = vec![UNKNOWN; effects.iter().map(|effects| effects.len()).product()];
    let (mut sets, mut number_of): (Vec<HarmSet>, FxHashMap<HarmSet, u32>) =
        (vec![0], FxHashMap::from_iter([(0, 0)]));
    let mut number = vec![0; 1 << count];
    let (mut times, mut positions) = (vec![0], 0);
    let all_can_be = ground.switches.one_at_a_time();
    let all = Combined::of(&states, count);
    let mut combined = [0; 1 << LOW_BITS];
    for (high, number) in number.chunks_mut(1 << LOW_BITS).enumerate() {
        all.run(high, &mut combined);
        for (low, (number, combined)) in number.iter_mut().zip(&combined).enumerate() {
            if !all_can_be && !ground.switches.can_be((high << LOW_BITS | low) as Position) {
                continue;
            }
            positions += 1;
            let known = &mut seen[*combined as usize];
            if *known == UNKNOWN {
                let set = together.harm_set(survey, &taken_apart(&effects, *combined as usize));
                *known = *number_of.entry(set).or_insert_with(|| {
                    sets.push(set);
                    times.push(0);
                    sets.len() as u32 - 1
                });
            }
            *number = *known;
            times[*known as usize] += 1;
        }
    }
    Ok(Walked {
        number,
        sets,
        times,
        positions,
    })
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
fn taken_apart(effects: &[&[Vec<usize>]], combined: usize) -> Vec<usize> {
    let mut left = combined;
    let mut each: Vec<usize> = effects
        .iter()
        .rev()
        .map(|effects| {
            let own = left % effects.len();
            left /= effects.len();
            own
        })
        .collect();
    each.reverse();
    each
}

/// Walks the states of a block, from all open to all closed, in runs. Where a state leaves lines without a flow, those in
/// which they are closed do the same: they aren't solved.
fn states_of<F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'_, F>,
    beside: &mut Beside,
    block: &Block,
    count: usize,
) -> Result<States, Refusal> {
    let mut walk = Walk::of(ground, block);
    let size = walk.effect.len();
    for first in (0..size).step_by(RUN).rev() {
        beside.hear();
        for packed in (first..size.min(first + RUN)).rev() {
            walk.state(survey, beside, packed)?;
        }
        survey.tell(beside);
    }
    Ok(walk.states(count))
}

/// The states of a block, as far as they have been walked.
struct Walk<'g> {
    ground: &'g Ground<'g>,
    block: &'g Block,
    /// The bits of its switches, lowest first.
    bits: Vec<u32>,
    effect: Vec<u32>,
    effects: Vec<Vec<usize>>,
    known: FxHashMap<Vec<usize>, u32>,
    /// For each switch the flows of the last state in which it was on with all before it: with it off, they are near.
    near: Vec<Vec<f64>>,
}

impl<'g> Walk<'g> {
    fn of(ground: &'g Ground<'g>, block: &'g Block) -> Self {
        let bits: Vec<u32> = (0..Position::BITS)
            .filter(|bit| block.mask >> bit & 1 == 1)
            .collect();
        Self {
            ground,
            block,
            effect: vec![UNKNOWN; 1 << bits.len()],
            effects: Vec::new(),
            known: FxHashMap::default(),
            near: vec![Vec::new(); bits.len() + 1],
            bits,
        }
    }

    /// What one state does, and with it those that do the same.
    fn state<F: FrictionLaw>(
        &mut self,
        survey: &mut Survey<'_, F>,
        beside: &Beside,
        packed: usize,
    ) -> Result<(), Refusal> {
        if self.effect[packed] != UNKNOWN {
            return Ok(());
        }
        let unpacked = self.bits.iter().enumerate();
        let position = unpacked.fold(0, |position, (at, bit)| {
            position | ((packed >> at & 1) as Position) << bit
        });
        if self.ground.switches.opens_both_ways(position) {
            return Ok(());
        }
        let all_on_before = packed.trailing_ones() as usize;
        if let Some(flows) = self.near.get(all_on_before).filter(|flows| !flows.is_empty()) {
            survey.bench.state.start_from(flows)?;
        }
        let Block { lines, mask } = *self.block;
        let outcomes = survey.outcomes_beside(position, lines, mask, beside)?;
        for kept in self.near.iter_mut().take(all_on_before) {
            survey.bench.state.keep(kept);
        }
        let idle = self.pack(survey.idle(position, self.block, &outcomes));
        let effects = &mut self.effects;
        let number = *self.known.entry(outcomes).or_insert_with_key(|outcomes| {
            effects.push(outcomes.clone());
            effects.len() as u32 - 1
        });
        subsets(idle.into(), &mut |closed| {
            let own = &mut self.effect[packed & !(closed as usize)];
            if *own == UNKNOWN {
                *own = number;
            }
        });
        Ok(())
    }

    /// The block's own bits of a position, side by side.
    fn pack(&self, position: Position) -> u32 {
        let own = self.bits.iter().enumerate();
        own.fold(0, |packed, (at, bit)| {
            packed | ((position >> bit & 1) as u32) << at
        })
    }

    /// What has been found; states that can't be do as the first.
    fn states(mut self, count: usize) -> States {
        for own in self.effect.iter_mut().filter(|own| **own == UNKNOWN) {
            *own = 0;
        }
        let highs = 1 << count.saturating_sub(LOW_BITS);
        let packed = [
            (0..1 << LOW_BITS).map(|low| self.pack(low)).collect(),
            (0..highs).map(|high| self.pack(high << LOW_BITS)).collect(),
        ];
        States {
            effect: self.effect,
            effects: self.effects,
            packed,
        }
    }
}

/// Calls for every subset of some bits.
pub(super) fn subsets(mask: Position, each: &mut impl FnMut(Position)) {
    let mut subset: Position = 0;
    loop {
        each(subset);
        subset = subset.wrapping_sub(mask) & mask;
        if subset == 0 {
            return;
        }
    }
}
