//! Blocks: parts of the plumbing that no valve can join, so that each is looked at by itself and the positions of the
//! whole are put together from theirs.

use physics::hydraulics::friction::FrictionLaw;
use physics::hydraulics::network::Flows;
use rustc_hash::FxHashMap;

use super::beside::Beside;
use super::graph::Graph;
use super::outcome::Numbers;
use super::survey::{Ground, Survey};
use super::switches::Position;
use crate::method::Refusal;

/// The number of what isn't known yet, or can't be.
const UNKNOWN: u32 = u32::MAX;

/// So many states of a block are walked before others hear of it.
const RUN: usize = 512;

/// The states of a block are packed by so many low bits of a position, and by the others.
pub(super) const LOW_BITS: usize = 9;

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
pub(super) struct States {
    /// By the block's own bits packed together; those that can't be have the first.
    pub(super) effect: Vec<u32>,
    /// For each effect the outcomes that it is made of.
    pub(super) effects: Vec<Numbers>,
    /// Packs the low bits of a position, and those above them.
    pub(super) packed: [Vec<u32>; 2],
}

/// Walks the states of a block, from all open to all closed, in runs. Where a state leaves lines without a flow, those in
/// which they are closed do the same: they aren't solved.
pub(super) fn states_of<F: FrictionLaw>(
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
    effects: Vec<Numbers>,
    known: FxHashMap<Numbers, u32>,
    /// For each switch the flows of the last state in which it was on with all before it: with it off, they are near.
    near: Vec<Flows>,
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
            near: vec![Flows::default(); bits.len() + 1],
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
