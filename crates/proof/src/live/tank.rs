//! The water of a tank: what it had at first, and what came and went since; and what stands under a draw point.
//!
//! Both are stirred bodies, as a vessel is.

use super::books::container_m3;
use super::ledger::{Ledger, add, salinity};
use super::walk::{Place, Walk};
use crate::alone::{Ground, HEEL, HarmKind, Water};
use crate::analysis::FRESH;
use crate::plant::Amount;

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
    /// Notes the containers in which fresh and salt water came together.
    pub(super) fn note_mixed(&mut self, place: &Place<'_>) {
        let (ground, Some(thinnest)) = (place.ground, place.thinnest) else {
            return;
        };
        let brine = &ground.plant.brine;
        for draw in 0..ground.station.draw_points.len() {
            let caught = self.ledger.caught[draw];
            let is_something = brine.volume_m3(caught) > HEEL * container_m3(ground, draw);
            let salinity = salinity(brine, caught);
            if is_something && (FRESH..thinnest).contains(&salinity) {
                self.state
                    .harm(HarmKind::BucketMixed(draw), self.state.t_s, salinity);
            }
        }
    }

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
