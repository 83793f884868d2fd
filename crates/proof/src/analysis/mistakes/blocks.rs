//! Blocks: parts of the plumbing that no valve can join, so that each is looked at by itself and the positions of the
//! whole are put together from theirs.

use std::collections::HashMap;

use physics::hydraulics::friction::FrictionLaw;

use super::graph::Graph;
use super::survey::{Ground, HarmSet, Survey};
use super::switches::Position;
use crate::method::Refusal;

/// Combined states of blocks that are kept in a list; more are kept in a map.
const LISTED: usize = 1 << 20;

/// The number of what isn't known yet, or can't be.
const UNKNOWN: u32 = u32::MAX;

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
    /// By the block's own bits packed together.
    effect: Vec<u32>,
    /// For each effect the outcomes that it is made of.
    effects: Vec<Vec<usize>>,
    /// Packs bits 0 to 8 and 9 to 17 of a position.
    packed: [Vec<u32>; 2],
}

impl States {
    fn effect_of(&self, position: usize) -> usize {
        let packed = self.packed[0][position & 511] + self.packed[1][position >> 9];
        self.effect[packed as usize] as usize
    }
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

/// Looks at every position at one moment.
pub(super) fn walk<F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'_, F>,
    count: usize,
) -> Result<Walked, Refusal> {
    let states = blocks(ground.graph)
        .iter()
        .map(|block| states_of(ground, survey, block))
        .collect::<Result<Vec<_>, Refusal>>()?;
    let mut seen = Seen::of(&states);
    let (mut sets, mut number_of): (Vec<HarmSet>, HashMap<HarmSet, u32>) = (vec![0], HashMap::from([(0, 0)]));
    let mut number = vec![0; 1 << count];
    let mut positions = 0;
    let mut outcomes = Vec::new();
    for (position, number) in number.iter_mut().enumerate() {
        if !ground.switches.can_be(position as Position) {
            continue;
        }
        positions += 1;
        let combined = states.iter().fold(0, |combined, block| {
            combined * block.effects.len() as u128 + block.effect_of(position) as u128
        });
        *number = match seen.get(combined) {
            Some(known) => known,
            None => {
                outcomes.clear();
                for block in &states {
                    outcomes.extend_from_slice(&block.effects[block.effect_of(position)]);
                }
                let set = survey.judged(&outcomes);
                let own = *number_of.entry(set).or_insert_with(|| {
                    sets.push(set);
                    sets.len() as u32 - 1
                });
                seen.put(combined, own);
                own
            }
        };
    }
    Ok(Walked {
        number,
        sets,
        positions,
    })
}

/// The numbers of what combinations of effects do.
enum Seen {
    Listed(Vec<u32>),
    Mapped(HashMap<u128, u32>),
}

impl Seen {
    fn of(states: &[States]) -> Self {
        let product = states
            .iter()
            .try_fold(1_usize, |product, block| product.checked_mul(block.effects.len()));
        match product {
            Some(product) if product <= LISTED => Self::Listed(vec![UNKNOWN; product]),
            _ => Self::Mapped(HashMap::new()),
        }
    }

    fn get(&self, combined: u128) -> Option<u32> {
        match self {
            Self::Listed(all) => Some(all[combined as usize]).filter(|own| *own != UNKNOWN),
            Self::Mapped(all) => all.get(&combined).copied(),
        }
    }

    fn put(&mut self, combined: u128, set: u32) {
        match self {
            Self::Listed(all) => all[combined as usize] = set,
            Self::Mapped(all) => {
                all.insert(combined, set);
            }
        }
    }
}

/// Walks the states of a block, from all open to all closed. Where a state leaves lines without a flow, those in which they
/// are closed do the same: they aren't solved.
fn states_of<F: FrictionLaw>(
    ground: &Ground<'_>,
    survey: &mut Survey<'_, F>,
    block: &Block,
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
            survey.bench.start_from(flows)?;
        }
        let outcomes = survey.outcomes_in(position, block.lines, block.mask)?;
        for kept in near.iter_mut().take(all_on_before) {
            survey.bench.keep(kept);
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
    Ok(States {
        effect,
        effects,
        packed: [
            (0..512).map(pack).collect(),
            (0..512).map(|high| pack(high << 9)).collect(),
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
