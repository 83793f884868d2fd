//! How far each vessel's batch is, and what that leaves of its water to be had: to draw from, and at hand in an emergency.
//!
//! Both are asked for many times a day and change some times a week, so what tells them stands ready, vessel by vessel.

use station::sections::Water;

use super::amount::{Amount, Brine};
use super::body::{Plant, Vessel};
use super::state::kind;

/// How far a vessel's batch is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Batch {
    /// It can be drawn.
    Ready,
    /// Fresh water comes in.
    Filling,
    /// Salt is in; ready for a reading at this time, s; in an emergency already at another.
    Mixing { until_s: f64, usable_s: f64 },
}

/// The vessels as those who draw see them.
#[derive(Debug, Clone)]
pub(crate) struct Stores {
    batches: Vec<Batch>,
    taps: Vec<Tap>,
    /// The vessels of fresh and of salt water.
    holding: [Vec<usize>; 2],
    pub(crate) mixers: Vec<Mixer>,
    /// The first vessel whose batch fills.
    pub(crate) filling: Option<usize>,
    /// Whether no batch fills or mixes.
    pub(crate) all_ready: bool,
    /// When the first batch is to be read, s; infinite where none mixes.
    pub(crate) reading_s: f64,
}

/// A salt vessel, for those who mix.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Mixer {
    pub(crate) vessel: usize,
    /// Whether permeate comes into it by itself.
    pub(crate) fills_itself: bool,
    /// Volume under which nothing is drawn, m³.
    pub(crate) low_m3: f64,
    /// The share of what it holds above that by the cubic metre.
    pub(crate) share_per_m3: f64,
}

/// From which volumes on a vessel's water can be had, m³; infinite where none of it can.
#[derive(Debug, Clone, Copy)]
struct Tap {
    /// To draw.
    source_m3: f64,
    /// In an emergency.
    at_hand_m3: f64,
    /// Whether it counts as fresh and as salt water, 1 or 0.
    counts: [f64; 2],
}

impl Stores {
    /// All ready.
    pub(crate) fn begin(plant: &Plant) -> Self {
        let vessels = &plant.vessels;
        let purifier = plant.purifier.as_ref();
        let mixer = |(vessel, own): (usize, &Vessel)| Mixer {
            vessel,
            fills_itself: purifier.is_some_and(|purifier| purifier.fills.contains(&vessel)),
            low_m3: own.low_m3,
            share_per_m3: 1.0 / (own.full_m3 - own.low_m3).max(1e-9),
        };
        let salt = |(_, own): &(usize, &Vessel)| own.holds == Water::Salt;
        Self {
            batches: vec![Batch::Ready; vessels.len()],
            taps: vessels
                .iter()
                .map(|vessel| Tap {
                    source_m3: vessel.low_m3,
                    at_hand_m3: vessel.low_m3,
                    counts: match vessel.holds {
                        Water::Fresh => [1.0, 0.0],
                        Water::Salt => [0.0, 1.0],
                    },
                })
                .collect(),
            holding: [Water::Fresh, Water::Salt].map(|water| {
                let holds = |vessel: &usize| vessels[*vessel].holds == water;
                (0..vessels.len()).filter(holds).collect()
            }),
            mixers: vessels.iter().enumerate().filter(salt).map(mixer).collect(),
            filling: None,
            all_ready: true,
            reading_s: f64::INFINITY,
        }
    }

    /// How far each batch is.
    pub(crate) fn batches(&self) -> &[Batch] {
        &self.batches
    }

    /// A vessel's batch got on. What mixes is at hand once it can be used ([`Self::use_mixing`]).
    #[inline]
    pub(crate) fn put(&mut self, plant: &Plant, vessel: usize, batch: Batch) {
        self.batches[vessel] = batch;
        let own = &plant.vessels[vessel];
        let from_m3 = match batch {
            Batch::Ready => own.low_m3,
            Batch::Filling | Batch::Mixing { .. } => f64::INFINITY,
        };
        let tap = &mut self.taps[vessel];
        tap.source_m3 = from_m3;
        tap.at_hand_m3 = from_m3;
        self.note_batches();
    }

    /// What mixes can be used in an emergency from now on.
    pub(crate) fn use_mixing(&mut self, vessels: &[Vessel], t_s: f64) {
        for ((tap, vessel), batch) in self.taps.iter_mut().zip(vessels).zip(&self.batches) {
            if matches!(batch, Batch::Mixing { usable_s, .. } if *usable_s <= t_s) {
                tap.at_hand_m3 = vessel.low_m3;
            }
        }
    }

    /// Whatever mixes is read as soon as it can be used in an emergency; when the first is, s.
    pub(crate) fn hurry(&mut self, t_s: f64) -> Option<f64> {
        for batch in &mut self.batches {
            if let Batch::Mixing { until_s, usable_s } = batch {
                *until_s = until_s.min(usable_s.max(t_s));
            }
        }
        self.note_batches();
        self.reading_s.is_finite().then_some(self.reading_s)
    }

    #[inline(never)]
    fn note_batches(&mut self) {
        (self.filling, self.all_ready, self.reading_s) = (None, true, f64::INFINITY);
        for (vessel, batch) in self.batches.iter().enumerate() {
            match batch {
                Batch::Ready => continue,
                Batch::Filling => self.filling = self.filling.or(Some(vessel)),
                Batch::Mixing { until_s, .. } => self.reading_s = self.reading_s.min(*until_s),
            }
            self.all_ready = false;
        }
    }

    /// A batch whose time has come, to be read.
    pub(crate) fn mixed(&self, t_s: f64) -> Option<usize> {
        if self.reading_s > t_s {
            return None;
        }
        self.batches
            .iter()
            .position(|batch| matches!(batch, Batch::Mixing { until_s, .. } if *until_s <= t_s))
    }

    /// Fresh and salt water that is at hand in an emergency, of what stands in the vessels, m³.
    #[inline]
    pub(crate) fn at_hand_m3(&self, brine: &Brine, standing: &[Amount]) -> [f64; 2] {
        let [mut fresh_m3, mut salt_m3] = [0.0; 2];
        for (tap, there) in self.taps.iter().zip(standing) {
            let above_m3 = brine.volume_m3(*there) - tap.at_hand_m3;
            let drawable_m3 = if above_m3 > 0.0 { above_m3 } else { 0.0 };
            fresh_m3 += tap.counts[0] * drawable_m3;
            salt_m3 += tap.counts[1] * drawable_m3;
        }
        [fresh_m3, salt_m3]
    }

    /// The vessels that water can be drawn from, with what of it is there, m³.
    #[inline]
    pub(crate) fn sources<'a>(
        &'a self,
        brine: &'a Brine,
        standing: &'a [Amount],
        water: Water,
    ) -> impl Iterator<Item = (usize, f64)> + 'a {
        self.holding[kind(water)].iter().filter_map(move |vessel| {
            let from_m3 = self.taps[*vessel].source_m3;
            let above_m3 = brine.volume_m3(standing[*vessel]) - from_m3;
            (from_m3 < f64::INFINITY).then_some((*vessel, if above_m3 > 0.0 { above_m3 } else { 0.0 }))
        })
    }
}
