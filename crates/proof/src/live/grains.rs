//! Salt that was poured in and lies on a vessel's floor until it is dissolved.
//!
//! As much dissolves as lies there, at a pace by which mixing for as long as the batch is to be mixed leaves a hundredth
//! (house rule). Where its pump stands it lies twenty times as long (house rule: what isn't stirred takes a day). A vessel
//! without a line that goes round it is stirred by a paddle or a loose pump, as soon as there is salt in it.

use station::plumbing::End;
use station::sections::Water as Holds;

use super::ledger::add;
use super::walk::Walk;
use crate::alone::{Ground, HarmKind, Now};
use crate::plant::Amount;

/// What mixing for its time leaves.
const LEFT: f64 = 0.01;
/// How many times as long it takes without.
const UNSTIRRED: f64 = 20.0;
/// A vessel that is this full is a batch; what is saltier in a lower one is still being made (house rule).
const A_BATCH: f64 = 0.8;
/// Less is dissolved, kg: a grain.
const A_GRAIN_KG: f64 = 1e-6;

impl Walk {
    /// Dissolves what lies in vessels, for a time.
    pub(super) fn dissolve(&mut self, ground: &Ground<'_>, now: &Now, seconds: f64) {
        for vessel in 0..self.grains_kg.len() {
            let lies_kg = self.grains_kg[vessel];
            if lies_kg <= 0.0 {
                continue;
            }
            let slower = if is_stirred(ground, now, vessel) {
                1.0
            } else {
                UNSTIRRED
            };
            // A mix that says no time dissolves at once.
            let times = seconds / (slower * ground.plant.mix.mixing_s).max(1.0);
            let stays_kg = lies_kg * libm::pow(LEFT, times);
            let stays_kg = if stays_kg < A_GRAIN_KG { 0.0 } else { stays_kg };
            add(&mut self.state.contents[vessel], Amount::salt(lies_kg - stays_kg));
            self.grains_kg[vessel] = stays_kg;
        }
    }

    /// What stands in a vessel once all its salt is dissolved.
    pub(super) fn with_grains(&self, vessel: usize) -> Amount {
        let mut there = self.state.contents[vessel];
        add(&mut there, Amount::salt(self.grains_kg[vessel]));
        there
    }

    /// Notes batches that have, or will have once it is dissolved, more salt than they are to have.
    pub(super) fn note_doses(&mut self, ground: &Ground<'_>) {
        for (vessel, built) in ground.plant.vessels.iter().enumerate() {
            let brine = &ground.plant.brine;
            let there = self.with_grains(vessel);
            if built.holds != Holds::Salt || brine.volume_m3(there) < A_BATCH * built.full_m3 {
                continue;
            }
            let tolerance = ground.station.vessels[vessel]
                .fields
                .salinity_tolerance
                .value
                .plain();
            let salinity = brine.practical_salinity(there);
            if salinity > built.target + tolerance {
                self.state
                    .harm(HarmKind::BatchSalted(vessel), self.state.t_s, salinity);
            }
        }
    }
}

/// Whether a vessel's water goes round, or nothing but a person's hand mixes it.
fn is_stirred(ground: &Ground<'_>, now: &Now, vessel: usize) -> bool {
    let own = End::Vessel(vessel);
    let tasks = &ground.station.plumbing.tasks;
    if !tasks.iter().any(|task| task.from == own && task.to == own) {
        return true;
    }
    let ends = || now.lines.ends.iter().filter(|end| end.end == own);
    ends().any(|end| end.flow_m3_s > 0.0) && ends().any(|end| end.flow_m3_s < 0.0)
}
