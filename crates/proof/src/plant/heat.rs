//! What keeping salt water warm takes, day by day; and how long a batch takes to warm.
//!
//! A day's heat is that of a thermostat at rest: `UA·(T − Tₐ)` with the loss in the measure of what stands in the vessel,
//! no more than its heater gives. Chillers aren't followed through the year.

use station::sections::Water;

use super::DAY_S;
use super::body::{Heat, Plant, Vessel};
use super::season::Season;
use super::state::{State, within};
use super::stores::Batch;

/// What a day in the vessels takes: evaporation under their lids, and heat. Called at the end of it.
#[inline]
pub(crate) fn day(plant: &Plant, state: &mut State) {
    let middle = Season::at(state.t_s - 0.5 * DAY_S);
    let evaporates_m3 = |own: &Vessel| own.evaporation_m3_s.of(middle) * DAY_S;
    (state.books).evaporate(plant.vessels.iter().map(evaporates_m3));
    // Mostly no level comes to its mark in that.
    let standing = state.books.vessels().iter().zip(&state.quiet);
    for (there, quiet) in standing {
        state.jumped |= plant.brine.volume_m3(*there) < quiet.below_m3;
    }
    let room_c = plant.room_c.of(middle);
    let mut heat_j = state.tally.energy_j[0];
    let standing = state.books.vessels().iter().zip(state.stores.batches());
    for (own, (there, batch)) in plant.vessels.iter().zip(standing) {
        let Some(heat) = &own.heat else { continue };
        if own.holds != Water::Salt {
            continue;
        }
        let volume_m3 = plant.brine.volume_m3(*there);
        let is_warm = heat.keeps_warm || *batch != Batch::Ready;
        if is_warm && volume_m3 > heat.heater_m3 {
            heat_j += heat.holding_w(volume_m3 / own.full_m3, room_c) * DAY_S;
        }
    }
    state.tally.energy_j[0] = heat_j;
}

impl Heat {
    /// What holds it at its temperature, W.
    fn holding_w(&self, full: f64, room_c: f64) -> f64 {
        within(self.loss_w_k * full * (self.set_c - room_c), 0.0, self.heater_w)
    }
}

/// Warms the fresh water of a batch, and tells how long that takes, s; nothing where no heater is or none is needed. A
/// heater that is too weak is waited for a day (as the lead time has it).
pub(crate) fn warm_batch(plant: &Plant, state: &mut State, vessel: usize) -> f64 {
    let own = &plant.vessels[vessel];
    let Some(heat) = &own.heat else { return 0.0 };
    let room_c = plant.room_c.at(state.t_s);
    let rise_k = heat.set_c - room_c;
    if rise_k <= 0.0 || heat.heater_w <= 0.0 {
        return 0.0;
    }
    let volume_m3 = state.volume_m3(plant, vessel);
    // Water that stood there is at its temperature already where it is kept warm; what was poured in has the room's.
    let cold_m3 = if heat.keeps_warm {
        state.poured_m3.min(volume_m3)
    } else {
        volume_m3
    };
    let energy_j = heat.capacity_j_m3_k * cold_m3 * rise_k;
    let spare_w = heat.heater_w - heat.holding_w(volume_m3 / own.full_m3, room_c);
    state.tally.energy_j[0] += energy_j.min(heat.heater_w * DAY_S);
    if spare_w > 0.0 {
        (energy_j / spare_w).min(DAY_S)
    } else {
        DAY_S
    }
}
