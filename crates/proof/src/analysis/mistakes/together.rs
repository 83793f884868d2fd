//! What blocks do together. What a vessel, a tank or a draw point comes to hangs on what touches it and on nothing else:
//! it is judged for what touches it, and the harm of the whole is put together from that.

use physics::hydraulics::friction::FrictionLaw;
use rustc_hash::FxHashMap;
use station::plumbing::End;

use super::ids::HarmSet;
use super::outcome::Numbers;
use super::survey::Survey;
use crate::threads::side_by_side;

/// So many combinations are worth a second thread.
const MANY: usize = 256;

/// The harm of combined effects of blocks.
pub(super) struct Together {
    /// What happens whatever flows.
    always: HarmSet,
    /// For each block and each of its effects, the harm at what no other block touches, and that of its pumps.
    alone: Vec<Vec<HarmSet>>,
    /// At what more than one block touches.
    shared: Vec<At>,
}

/// An end that blocks touch.
struct At {
    end: End,
    /// The blocks that touch it, each with its effects.
    touching: Vec<(usize, Classes)>,
    /// What their classes do together, by their one number.
    sets: Vec<HarmSet>,
}

/// Effects of a block by what of them touches an end: those that touch it with the same outcomes are of one class, those
/// that don't touch it, if there are any, of the first.
struct Classes {
    /// By effect.
    class: Vec<u32>,
    /// By class where its outcomes end among those of all.
    ends: Vec<usize>,
    outcomes: Vec<usize>,
}

impl Classes {
    fn of(effects: &[Numbers], touches: impl Fn(usize) -> bool) -> Self {
        let mut all = Self {
            class: Vec::with_capacity(effects.len()),
            ends: vec![0],
            outcomes: Vec::new(),
        };
        // Most effects touch an end with one outcome.
        let mut class_of: FxHashMap<usize, u32> = FxHashMap::default();
        let mut class_of_several: FxHashMap<Numbers, u32> = FxHashMap::default();
        for effect in effects {
            let mut own = effect.iter().copied().filter(|outcome| touches(*outcome));
            let class = match (own.next(), own.next()) {
                (None, _) => 0,
                (Some(one), None) => *class_of.entry(one).or_insert_with(|| all.add(&[one])),
                (Some(one), Some(other)) => {
                    let several: Numbers = [one, other].into_iter().chain(own).collect();
                    let class = class_of_several.entry(several);
                    *class.or_insert_with_key(|several| all.add(several))
                }
            };
            all.class.push(class);
        }
        if !all.class.contains(&0) {
            all.ends.remove(0);
            all.class.iter_mut().for_each(|class| *class -= 1);
        }
        all
    }

    /// One more class.
    fn add(&mut self, outcomes: &[usize]) -> u32 {
        self.outcomes.extend(outcomes);
        self.ends.push(self.outcomes.len());
        self.ends.len() as u32 - 1
    }

    /// Whether any effect touches the end.
    fn touch(&self) -> bool {
        !self.outcomes.is_empty()
    }

    fn count(&self) -> usize {
        self.ends.len()
    }

    fn of_effect(&self, effect: usize) -> usize {
        self.class[effect] as usize
    }

    /// The outcomes of a class.
    fn outcomes(&self, class: usize) -> impl Iterator<Item = usize> {
        let first = class.checked_sub(1).map_or(0, |before| self.ends[before]);
        self.outcomes[first..self.ends[class]].iter().copied()
    }
}

impl Together {
    /// Of the effects of some blocks: for each block and effect its outcomes.
    pub(super) fn of<F: FrictionLaw + Sync>(survey: &Survey<'_, F>, blocks: &[&[Numbers]]) -> Self {
        let room = &mut Vec::new();
        let mut alone: Vec<Vec<HarmSet>> = Vec::with_capacity(blocks.len());
        for effects in blocks {
            alone.push(effects.iter().map(|own| survey.of_pumps(own, room)).collect());
        }
        let (mut always, mut touched) = (0, Vec::new());
        let ends: Vec<End> = survey.moment.ends().collect();
        let touched_by = survey.touched(&ends);
        for (at, end) in ends.into_iter().enumerate() {
            let touches = |outcome: usize| touched_by[outcome] >> at & 1 == 1;
            let own = blocks.iter().map(|effects| Classes::of(effects, touches));
            let touching = own.enumerate().filter(|(_, own)| own.touch());
            let touching: Vec<(usize, Classes)> = touching.collect();
            if touching.is_empty() {
                always |= survey.of_end(end, core::iter::empty(), room);
            } else {
                let sets = Vec::new();
                touched.push(At { end, touching, sets });
            }
        }
        judge(survey, &mut touched);
        let mut shared = Vec::new();
        for own in touched {
            let [(block, classes)] = &own.touching[..] else {
                shared.push(own);
                continue;
            };
            for (effect, set) in alone[*block].iter_mut().enumerate() {
                *set |= own.sets[classes.of_effect(effect)];
            }
        }
        Self {
            always,
            alone,
            shared,
        }
    }

    /// The harm of one effect of each block.
    pub(super) fn harm_set(&self, effects: &[usize]) -> HarmSet {
        let own = self.alone.iter().zip(effects);
        let alone = own.fold(self.always, |set, (block, effect)| set | block[*effect]);
        self.shared
            .iter()
            .fold(alone, |set, at| set | at.sets[at.number(effects)])
    }
}

/// Judges every combination of classes at some ends, every second of them on another core.
fn judge<F: FrictionLaw + Sync>(survey: &Survey<'_, F>, ends: &mut [At]) {
    let all = ends.iter().map(At::combinations).sum::<usize>();
    if all < MANY {
        for at in ends {
            at.sets = at.judged(survey, 0..at.combinations());
        }
        return;
    }
    let every_second = |first: usize| -> Vec<Vec<HarmSet>> {
        let own = ends.iter();
        own.map(|at| at.judged(survey, (first..at.combinations()).step_by(2)))
            .collect()
    };
    let [even, odd] = side_by_side(|| every_second(0), || every_second(1));
    for ((at, even), odd) in ends.iter_mut().zip(even).zip(odd) {
        at.sets = vec![0; at.combinations()];
        for (sets, first) in [(even, 0), (odd, 1)] {
            for (place, set) in at.sets[first..].iter_mut().step_by(2).zip(sets) {
                *place = set;
            }
        }
    }
}

impl At {
    fn combinations(&self) -> usize {
        self.touching.iter().map(|(_, own)| own.count()).product()
    }

    /// The one number of what some effects do here: digits, each block's worth as much as those after it can be.
    fn number(&self, effects: &[usize]) -> usize {
        let own = self.touching.iter();
        own.fold(0, |number, (block, classes)| {
            number * classes.count() + classes.of_effect(effects[*block])
        })
    }

    /// The harm of some combinations.
    fn judged<F: FrictionLaw>(
        &self,
        survey: &Survey<'_, F>,
        numbers: impl Iterator<Item = usize>,
    ) -> Vec<HarmSet> {
        let (mut room, mut classes) = (Vec::new(), vec![0; self.touching.len()]);
        let judged = numbers.map(|number| {
            let mut left = number;
            for (class, (_, own)) in classes.iter_mut().zip(&self.touching).rev() {
                *class = left % own.count();
                left /= own.count();
            }
            let own = classes.iter().zip(&self.touching);
            let outcomes = own.flat_map(|(class, (_, own))| own.outcomes(*class));
            survey.of_end(self.end, outcomes, &mut room)
        });
        judged.collect()
    }
}
