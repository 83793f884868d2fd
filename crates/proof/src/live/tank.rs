//! The water of a tank: what it had at first, and what came and went since; and what stands under a draw point.
//!
//! Both are stirred bodies, as a vessel is.

use station::sections::Water as Holds;

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

/// Saltier than this is no purified water any more.
const FRESH: f64 = 1.0;

impl Walk {
    /// Notes the containers in which fresh and salt water came together.
    pub(super) fn note_mixed(&mut self, ground: &Ground<'_>) {
        let salty = ground
            .station
            .vessels
            .iter()
            .filter(|own| own.fields.holds.value == Holds::Salt);
        let least = salty.map(|own| {
            own.fields.target_salinity.value.practical() - own.fields.salinity_tolerance.value.plain()
        });
        let least = least.fold(f64::INFINITY, f64::min);
        for (draw, own) in ground.station.draw_points.iter().enumerate() {
            let caught = self.ledger.caught[draw];
            let salinity = salinity(&ground.plant.brine, caught);
            let is_something = ground.plant.brine.volume_m3(caught) > HEEL * own.fields.container.value.m3();
            if is_something && least.is_finite() && (FRESH..least).contains(&salinity) {
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
