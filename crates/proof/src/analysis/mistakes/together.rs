//! What blocks do together. What a vessel, a tank or a draw point comes to hangs on what touches it and on nothing else:
//! it is judged for what touches it, and the harm of the whole is put together from that.

use physics::hydraulics::friction::FrictionLaw;
use rustc_hash::FxHashMap;
use station::plumbing::End;

use super::ids::HarmSet;
use super::judge::Harm;
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
    /// The blocks that touch it, each with its effects.
    touching: Vec<(usize, Classes)>,
}

/// Effects of a block by what of them touches an end: those that touch it with the same outcomes are of one class, those
/// that don't touch it of the first.
struct Classes {
    /// By effect.
    class: Vec<u32>,
    /// By class where its outcomes end among those of all.
    ends: Vec<usize>,
    outcomes: Vec<usize>,
}

impl Classes {
    fn of(effects: &[Vec<usize>], touches: impl Fn(usize) -> bool) -> Self {
        let mut all = Self {
            class: Vec::with_capacity(effects.len()),
            ends: vec![0],
            outcomes: Vec::new(),
        };
        // Most effects touch an end with one outcome.
        let mut class_of: FxHashMap<usize, u32> = FxHashMap::default();
        let mut class_of_several: FxHashMap<Vec<usize>, u32> = FxHashMap::default();
        for effect in effects {
            let mut own = effect.iter().copied().filter(|outcome| touches(*outcome));
            let class = match (own.next(), own.next()) {
                (None, _) => 0,
                (Some(one), None) => *class_of.entry(one).or_insert_with(|| all.add(&[one])),
                (Some(one), Some(other)) => {
                    let several: Vec<usize> = [one, other].into_iter().chain(own).collect();
                    let class = class_of_several.entry(several);
                    *class.or_insert_with_key(|several| all.add(several))
                }
            };
            all.class.push(class);
        }
        all
    }

    /// One more class.
    fn add(&mut self, outcomes: &[usize]) -> u32 {
        self.outcomes.extend(outcomes);
        self.ends.push(self.outcomes.len());
        self.ends.len() as u32 - 1
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

/// What has been judged of what blocks do together.
pub(super) struct Judged {
    /// For each shared end.
    shared: Vec<JudgedAt>,
    room: Vec<Harm>,
}

/// What has been judged at an end.
struct JudgedAt {
    /// The number of what the classes do together.
    number: Vec<u32>,
    sets: Vec<HarmSet>,
}

impl Judged {
    /// Nothing yet.
    pub(super) fn nothing(together: &Together) -> Self {
        let shared = together.shared.iter().map(|shared| JudgedAt {
            // Not many more than there are positions.
            number: vec![UNKNOWN; shared.touching.iter().map(|(_, own)| own.count()).product()],
            sets: Vec::new(),
        });
        Self {
            shared: shared.collect(),
            room: Vec::new(),
        }
    }
}

impl Together {
    /// Of the effects of some blocks: for each block and effect its outcomes.
    pub(super) fn of<F: FrictionLaw>(survey: &Survey<'_, F>, blocks: &[&[Vec<usize>]]) -> Self {
        let room = &mut Vec::new();
        let mut alone: Vec<Vec<HarmSet>> = Vec::with_capacity(blocks.len());
        for effects in blocks {
            alone.push(effects.iter().map(|own| survey.of_pumps(own, room)).collect());
        }
        let (mut always, mut shared) = (0, Vec::new());
        let ends: Vec<End> = survey.moment.ends().collect();
        let touched = survey.touched(&ends);
        for (at, end) in ends.into_iter().enumerate() {
            let touches = |outcome: usize| touched[outcome] >> at & 1 == 1;
            let own = blocks.iter().map(|effects| Classes::of(effects, touches));
            let touching = own.enumerate().filter(|(_, own)| own.count() > 1);
            let touching: Vec<(usize, Classes)> = touching.collect();
            match &touching[..] {
                [] => always |= survey.of_end(end, core::iter::empty(), room),
                [(block, own)] => {
                    let classes = 0..own.count();
                    let each: Vec<HarmSet> = classes
                        .map(|class| survey.of_end(end, own.outcomes(class), room))
                        .collect();
                    for (effect, set) in alone[*block].iter_mut().enumerate() {
                        *set |= each[own.of_effect(effect)];
                    }
                }
                _ => shared.push(Shared { end, touching }),
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
        &self,
        survey: &Survey<'_, F>,
        judged: &mut Judged,
        effects: &[usize],
    ) -> HarmSet {
        let own = self.alone.iter().zip(effects);
        let mut set = own.fold(self.always, |set, (block, effect)| set | block[*effect]);
        for (shared, known) in self.shared.iter().zip(&mut judged.shared) {
            set |= shared.harm_set(survey, (known, &mut judged.room), effects);
        }
        set
    }
}

impl Shared {
    fn harm_set<F: FrictionLaw>(
        &self,
        survey: &Survey<'_, F>,
        (known, room): (&mut JudgedAt, &mut Vec<Harm>),
        effects: &[usize],
    ) -> HarmSet {
        let mut combined = 0;
        for (block, classes) in &self.touching {
            combined = combined * classes.count() + classes.of_effect(effects[*block]);
        }
        if known.number[combined] == UNKNOWN {
            let own = self.touching.iter();
            let own = own.flat_map(|(block, classes)| classes.outcomes(classes.of_effect(effects[*block])));
            known.number[combined] = known.sets.len() as u32;
            known.sets.push(survey.of_end(self.end, own, room));
        }
        known.sets[known.number[combined] as usize]
    }
}
