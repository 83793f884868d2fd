//! The water of a tank: what it had at first, and what came and went since.
//!
//! A tank is a stirred body, as a vessel is.

use super::ledger::{Ledger, add, salinity};
use super::walk::Walk;
use crate::alone::{Ground, HarmKind, Water};
use crate::plant::Amount;

/// With less than this share of its water a tank counts as drawn empty, as a vessel does: what it was says nothing any more.
const HEEL: f64 = 0.03;

/// What stands in a tank; nothing in one that was drawn empty.
fn amount(ground: &Ground<'_>, ledger: &Ledger, tank: usize) -> Option<Amount> {
    let brine = &ground.plant.brine;
    let at_first_m3 = ground.station.tanks[tank].fields.volume.value.m3();
    let mut there = ground.tanks[tank].amount(brine, at_first_m3);
    add(&mut there, ledger.tanks[tank]);
    (brine.volume_m3(there) >= HEEL * at_first_m3).then_some(there)
}

/// The water of a tank as it is now; its first of one that was drawn empty.
pub(super) fn tank_water(ground: &Ground<'_>, ledger: &Ledger, tank: usize) -> Water {
    let own = ground.tanks[tank];
    match amount(ground, ledger, tank) {
        Some(there) => Water {
            salt_kg_m3: (there.salt_kg / ground.plant.brine.volume_m3(there)).max(0.0),
            ..own
        },
        None => own,
    }
}

/// That of every tank.
pub(super) fn tank_waters(ground: &Ground<'_>, ledger: &Ledger) -> Vec<Water> {
    (0..ground.tanks.len())
        .map(|tank| tank_water(ground, ledger, tank))
        .collect()
}

impl Walk {
    /// Practical salinity of a tank; nothing of one that was drawn empty.
    pub(super) fn tank_salinity(&self, ground: &Ground<'_>, tank: usize) -> Option<f64> {
        amount(ground, &self.ledger, tank).map(|there| salinity(&ground.plant.brine, there))
    }

    /// Notes the tanks that are thinner by now than their animals bear.
    pub(super) fn note_thinned(&mut self, ground: &Ground<'_>) {
        for tank in 0..ground.tanks.len() {
            let own = &ground.station.tanks[tank].fields;
            let limit = own.salinity.value.practical() - own.salinity_tolerance.value.plain();
            let has_moved = self.ledger.tanks[tank] != Amount::default();
            if has_moved
                && let Some(salinity) = self.tank_salinity(ground, tank)
                && salinity < limit
            {
                self.state
                    .harm(HarmKind::TankThinned(tank), self.state.t_s, salinity);
            }
        }
    }
}
