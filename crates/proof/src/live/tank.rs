//! The water of a tank: what it had at first, and what came and went since.
//!
//! A tank is a stirred body, as a vessel is.

use super::ledger::{Ledger, add, salinity};
use super::walk::Walk;
use crate::alone::{Ground, HarmKind, Water};
use crate::plant::Amount;

/// What stands in a tank.
fn amount(ground: &Ground<'_>, ledger: &Ledger, tank: usize) -> Amount {
    let brine = &ground.plant.brine;
    let at_first_m3 = ground.station.tanks[tank].fields.volume.value.m3();
    let mut there = ground.tanks[tank].amount(brine, at_first_m3);
    add(&mut there, ledger.tanks[tank]);
    there
}

/// The water of every tank as it is now.
pub(super) fn tank_waters(ground: &Ground<'_>, ledger: &Ledger) -> Vec<Water> {
    (0..ground.tanks.len())
        .map(|tank| {
            let there = amount(ground, ledger, tank);
            let volume_m3 = ground.plant.brine.volume_m3(there);
            Water {
                salt_kg_m3: match volume_m3 > 0.0 {
                    true => (there.salt_kg / volume_m3).max(0.0),
                    false => 0.0,
                },
                ..ground.tanks[tank]
            }
        })
        .collect()
}

impl Walk {
    /// Practical salinity of a tank.
    pub(super) fn tank_salinity(&self, ground: &Ground<'_>, tank: usize) -> f64 {
        salinity(&ground.plant.brine, amount(ground, &self.ledger, tank))
    }

    /// Notes the tanks that are thinner by now than their animals bear.
    pub(super) fn note_thinned(&mut self, ground: &Ground<'_>) {
        for tank in 0..ground.tanks.len() {
            let own = &ground.station.tanks[tank].fields;
            let limit = own.salinity.value.practical() - own.salinity_tolerance.value.plain();
            let salinity = self.tank_salinity(ground, tank);
            if self.ledger.tanks[tank] != Amount::default() && salinity < limit {
                self.state
                    .harm(HarmKind::TankThinned(tank), self.state.t_s, salinity);
            }
        }
    }
}
