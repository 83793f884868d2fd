//! What blocks do together. What a vessel, a tank or a draw point comes to hangs on what touches it and on nothing else:
//! it is judged for what touches it, and the harm of the whole is put together from that.

use physics::hydraulics::friction::FrictionLaw;
use rustc_hash::FxHashMap;
use station::plumbing::End;

use super::ids::HarmSet;
use super::survey::Survey;

/// The harm of combined effects of blocks.
pub(super) struct Together {
    /// What happens whatever flows.
    always: HarmSet,
    /// For each block and each of its effects, the harm at what no other block touches, and that of its pumps.
    alone: Vec<Vec<HarmSet>>,
    shared: Vec<Shared>,
}

/// The number of what isn't known yet.
const UNKNOWN: u32 = u32::MAX;

/// An end that more than one block touches.
struct Shared {
    end: End,
    /// For each block the class of each of its effects. Effects that touch the end with the same outcomes are of one class.
    class: Vec<Vec<u32>>,
    /// For each block and class, the outcomes that touch the end; those of class 0 don't.
    touching: Vec<Vec<Vec<usize>>>,
    /// The number of what the classes do together.
    number: Vec<u32>,
    sets: Vec<HarmSet>,
}

impl Together {
    /// Of the effects of some blocks: for each block and effect its outcomes.
    pub(super) fn of<F: FrictionLaw>(survey: &mut Survey<'_, F>, blocks: &[&[Vec<usize>]]) -> Self {
        let mut alone: Vec<Vec<HarmSet>> = blocks
            .iter()
            .map(|effects| effects.iter().map(|own| survey.of_pumps(own)).collect())
            .collect();
        let (mut always, mut shared) = (0, Vec::new());
        let ends: Vec<End> = survey.moment.ends().collect();
        let touched = survey.touched(&ends);
        for (at, end) in ends.into_iter().enumerate() {
            let own = Shared::of(end, |outcome| touched[outcome] >> at & 1 == 1, blocks);
            let touching: Vec<usize> = (0..blocks.len())
                .filter(|block| own.touching[*block].len() > 1)
                .collect();
            match touching[..] {
                [] => always |= survey.of_end(end, &[]),
                [block] => {
                    let each: Vec<HarmSet> = own.touching[block]
                        .iter()
                        .map(|outcomes| survey.of_end(end, outcomes))
                        .collect();
                    for (set, class) in alone[block].iter_mut().zip(&own.class[block]) {
                        *set |= each[*class as usize];
                    }
                }
                _ => shared.push(own.with_room()),
            }
        }
        Self {
            always,
            alone,
            shared,
        }
    }

    /// The harm of one effect of each block.
    pub(super) fn harm_set<F: FrictionLaw>(
        &mut self,
        survey: &mut Survey<'_, F>,
        effects: &[usize],
    ) -> HarmSet {
        let own = self.alone.iter().zip(effects);
        let mut set = own.fold(self.always, |set, (block, effect)| set | block[*effect]);
        for shared in &mut self.shared {
            set |= shared.harm_set(survey, effects);
        }
        set
    }
}

impl Shared {
    /// An end with the effects by what of them touches it.
    fn of(end: End, touches: impl Fn(usize) -> bool, blocks: &[&[Vec<usize>]]) -> Self {
        let mut all = Self {
            end,
            class: Vec::new(),
            touching: Vec::new(),
            number: Vec::new(),
            sets: Vec::new(),
        };
        for effects in blocks {
            let mut touching: Vec<Vec<usize>> = vec![Vec::new()];
            let mut number_of: FxHashMap<Vec<usize>, u32> = FxHashMap::default();
            let class = effects.iter().map(|outcomes| {
                let own = outcomes.iter().copied();
                let own: Vec<usize> = own.filter(|outcome| touches(*outcome)).collect();
                if own.is_empty() {
                    return 0;
                }
                *number_of.entry(own).or_insert_with_key(|own| {
                    touching.push(own.clone());
                    touching.len() as u32 - 1
                })
            });
            all.class.push(class.collect());
            all.touching.push(touching);
        }
        all
    }

    /// The same with room for every combination: not many more than there are positions.
    fn with_room(mut self) -> Self {
        let combinations = self.touching.iter().map(Vec::len).product();
        self.number = vec![UNKNOWN; combinations];
        self
    }

    fn harm_set<F: FrictionLaw>(&mut self, survey: &mut Survey<'_, F>, effects: &[usize]) -> HarmSet {
        let mut combined = 0;
        for ((class, touching), effect) in self.class.iter().zip(&self.touching).zip(effects) {
            combined = combined * touching.len() + class[*effect] as usize;
        }
        if self.number[combined] == UNKNOWN {
            let blocks = self.class.iter().zip(&self.touching).zip(effects);
            let own = blocks.flat_map(|((class, touching), effect)| &touching[class[*effect] as usize]);
            let outcomes: Vec<usize> = own.copied().collect();
            self.number[combined] = self.sets.len() as u32;
            self.sets.push(survey.of_end(self.end, &outcomes));
        }
        self.sets[self.number[combined] as usize]
    }
}
