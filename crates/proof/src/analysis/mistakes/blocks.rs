//! Blocks: parts of the plumbing that no valve can join, so that each is looked at by itself and the positions of the
//! whole are put together from theirs.

use std::collections::HashMap;

use physics::hydraulics::friction::FrictionLaw;

use super::graph::Graph;
use super::ids::HarmSet;
use super::survey::{Beside, Ground, Survey};
use super::switches::Position;
use super::together::Together;
use crate::method::Refusal;

/// The number of what isn't known yet, or can't be.
const UNKNOWN: u32 = u32::MAX;

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
    /// How many there are that can be.
    pub(super) positions: u64,
}

impl Walked {
    pub(super) fn set(&self, position: usize) -> HarmSet {
        self.sets[self.number[position] as usize]
    }
}

/// Looks at every position at one moment, beside others that have been looked at.
pub(super) fn walk<'a, F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'a, F>,
    others: &[Beside<'_, 'a, F>],
    count: usize,
) -> Result<Walked, Refusal> {
    let states = blocks(ground.graph)
        .iter()
        .map(|block| states_of(ground, survey, others, block, count))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let effects: Vec<&[Vec<usize>]> = states.iter().map(|block| block.effects.as_slice()).collect();
    let mut together = Together::of(survey, &effects);
    // A block has no more effects than states, so that there are no more combinations than positions.
    let mut seen = vec![UNKNOWN; effects.iter().map(|effects| effects.len()).product()];
    let (mut sets, mut number_of): (Vec<HarmSet>, HashMap<HarmSet, u32>) = (vec![0], HashMap::from([(0, 0)]));
    let mut number = vec![0; 1 << count];
    let mut positions = 0;
    let all_can_be = ground.switches.one_at_a_time();
    let mut combined = Vec::new();
    for (high, number) in number.chunks_mut(1 << LOW_BITS).enumerate() {
        combine(&states, high, number.len(), &mut combined);
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
                    sets.len() as u32 - 1
                });
            }
            *number = *known;
        }
    }
    Ok(Walked {
        number,
        sets,
        positions,
    })
}

/// For each position with these high bits the effects of all blocks as one number.
fn combine(states: &[States], high: usize, lows: usize, combined: &mut Vec<u32>) {
    combined.clear();
    combined.resize(lows, 0);
    for block in states {
        let (count, above) = (block.effects.len() as u32, block.packed[1][high]);
        for (combined, below) in combined.iter_mut().zip(&block.packed[0]) {
            *combined = *combined * count + block.effect[(above + below) as usize];
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

/// Walks the states of a block, from all open to all closed. Where a state leaves lines without a flow, those in which they
/// are closed do the same: they aren't solved.
fn states_of<'a, F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'a, F>,
    others: &[Beside<'_, 'a, F>],
    block: &Block,
    count: usize,
) -> Result<States, Refusal> {
    let bits: Vec<u32> = (0..Position::BITS)
        .filter(|bit| block.mask >> bit & 1 == 1)
        .collect();
    let mut effect = vec![UNKNOWN; 1 << bits.len()];
    let mut effects: Vec<Vec<usize>> = Vec::new();
    let mut known: HashMap<Vec<usize>, u32> = HashMap::new();
    // For each switch the flows of the last state in which it was on with all before it: with it off, they are near.
    let mut near: Vec<Vec<f64>> = vec![Vec::new(); bits.len() + 1];
    for packed in (0..1_usize << bits.len()).rev() {
        if effect[packed] != UNKNOWN {
            continue;
        }
        let unpacked = bits.iter().enumerate();
        let position = unpacked.fold(0, |position, (at, bit)| {
            position | ((packed >> at & 1) as Position) << bit
        });
        if ground.switches.opens_both_ways(position) {
            continue;
        }
        let all_on_before = packed.trailing_ones() as usize;
        if let Some(flows) = near.get(all_on_before).filter(|flows| !flows.is_empty()) {
            survey.bench.state.start_from(flows)?;
        }
        let outcomes = survey.outcomes_beside(position, block.lines, block.mask, others)?;
        for kept in near.iter_mut().take(all_on_before) {
            survey.bench.state.keep(kept);
        }
        let idle = survey.idle(position, block, &outcomes);
        let number = *known.entry(outcomes).or_insert_with_key(|outcomes| {
            effects.push(outcomes.clone());
            effects.len() as u32 - 1
        });
        let idle = bits
            .iter()
            .enumerate()
            .fold(0, |packed, (at, bit)| packed | ((idle >> bit & 1) as usize) << at);
        subsets(idle as Position, &mut |closed| {
            let own = &mut effect[packed & !(closed as usize)];
            if *own == UNKNOWN {
                *own = number;
            }
        });
    }
    let pack = |position: Position| -> u32 {
        let packed = bits.iter().enumerate();
        packed.fold(0, |packed, (at, bit)| {
            packed | ((position >> bit & 1) as u32) << at
        })
    };
    for own in effect.iter_mut().filter(|own| **own == UNKNOWN) {
        *own = 0;
    }
    let highs = 1 << count.saturating_sub(LOW_BITS);
    Ok(States {
        effect,
        effects,
        packed: [
            (0..1 << LOW_BITS).map(pack).collect(),
            (0..highs).map(|high| pack(high << LOW_BITS)).collect(),
        ],
    })
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
