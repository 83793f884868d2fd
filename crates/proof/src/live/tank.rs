//! The water of a tank: what it had at first, and what came and went since; and what stands under a draw point.
//!
//! Both are stirred bodies, as a vessel is.

use station::plumbing::End;
use station::sections::Water as Holds;

use super::books::container_m3;
use super::ledger::{Ledger, NOTHING_M3, add, room_m3, salinity};
use super::walk::Walk;
use crate::alone::{Ground, HEEL, HarmKind, Now, Water};
use crate::analysis::FRESH;
use crate::plant::Amount;

/// A container with this share of it free is full for whoever holds its valve: less than a card's water ends short of it.
const LET_GO: f64 = 1e-4;
/// A step ends so much behind a mark that it is surely passed.
const PASSED: f64 = 1.001;

/// What a tank holds at the beginning: its water, as it should be.
pub(super) fn at_first(ground: &Ground<'_>, tank: usize) -> Amount {
    let volume_m3 = ground.station.tanks[tank].fields.volume.value.m3();
    ground.tanks[tank].amount(&ground.plant.brine, volume_m3)
}

/// What stands in a tank; nothing in one that was drawn empty, or that the air has dried.
fn amount(ground: &Ground<'_>, ledger: &Ledger, tank: usize) -> Option<Amount> {
    amount_with(ground, tank, ledger.tanks[tank])
}

/// The same of one that has gained so much.
fn amount_with(ground: &Ground<'_>, tank: usize, gained: Amount) -> Option<Amount> {
    let brine = &ground.plant.brine;
    let mut there = at_first(ground, tank);
    add(&mut there, gained);
    (brine.volume_m3(there) > least_m3(ground, tank) + NOTHING_M3).then_some(there)
}

/// With less than this a tank has been drawn empty, or is dry, m³.
pub(super) fn least_m3(ground: &Ground<'_>, tank: usize) -> f64 {
    HEEL * ground.station.tanks[tank].fields.volume.value.m3()
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

/// When the next container has so much water that what is wrong with it is noted, s.
pub(super) fn until_caught_s(ground: &Ground<'_>, ledger: &Ledger, now: &Now) -> f64 {
    let draws = ledger.caught.iter().enumerate();
    let to_come = draws.filter_map(|(draw, caught)| {
        let comes_m3_s = comes_m3_s(now, draw);
        let left_m3 = PASSED * HEEL * container_m3(ground, draw) - ground.plant.brine.volume_m3(*caught);
        (comes_m3_s > 0.0 && left_m3 > 0.0).then(|| left_m3 / comes_m3_s)
    });
    to_come.fold(f64::INFINITY, f64::min)
}

/// The valves at a draw point that close once nobody holds them, as bits.
fn held_at(ground: &Ground<'_>, draw: usize) -> u64 {
    let plumbing = &ground.station.plumbing;
    let valves = plumbing
        .lines_at(End::Draw(draw))
        .flat_map(|line| plumbing.valves_of(line));
    ground.held & valves.fold(0, |all, valve| all | 1 << valve)
}

/// When the next container is full at whose draw point somebody holds a valve open, s: then it is let go.
pub(super) fn until_let_go_s(ground: &Ground<'_>, open: u64, ledger: &Ledger, now: &Now) -> f64 {
    let draws = 0..ground.station.draw_points.len();
    let held = draws.filter(|draw| open & held_at(ground, *draw) != 0);
    let to_come = held.filter_map(|draw| {
        let left_m3 = short_m3(ground, ledger, draw) - 0.5 * LET_GO * container_m3(ground, draw);
        let comes_m3_s = comes_m3_s(now, draw);
        (comes_m3_s > 0.0).then(|| left_m3.max(0.0) / comes_m3_s)
    });
    to_come.fold(f64::INFINITY, f64::min)
}

/// What a container still takes, m³.
fn short_m3(ground: &Ground<'_>, ledger: &Ledger, draw: usize) -> f64 {
    room_m3(
        &ground.plant.brine,
        container_m3(ground, draw),
        ledger.caught[draw],
    )
}

fn comes_m3_s(now: &Now, draw: usize) -> f64 {
    let ends = now.lines.ends.iter().filter(|own| own.end == End::Draw(draw));
    ends.map(|own| own.flow_m3_s.max(0.0)).sum()
}

/// Whether a salinity is as a vessel's batches may have it.
fn is_as_mixed(ground: &Ground<'_>, vessel: usize, salinity: f64) -> bool {
    let own = &ground.station.vessels[vessel].fields;
    (salinity - own.target_salinity.value.practical()).abs() <= own.salinity_tolerance.value.plain()
}

impl Walk {
    /// Notes the containers that hold water which nobody wants: neither water at all, or good water of another vessel than
    /// is drawn from there.
    pub(super) fn note_buckets(&mut self, ground: &Ground<'_>) {
        for draw in 0..ground.station.draw_points.len() {
            if let Some((kind, salinity)) = self.wrong_caught(ground, draw) {
                self.state.harm(kind, self.state.t_s, salinity);
            }
        }
    }

    /// Whoever holds a valve open that closes by itself lets it go once the container is full; in a task that was begun, at its
    /// end.
    pub(super) fn let_go(&mut self, ground: &Ground<'_>) {
        if self.task.is_some() {
            return;
        }
        let is_full =
            |draw: &usize| short_m3(ground, &self.ledger, *draw) <= LET_GO * container_m3(ground, *draw);
        let full = (0..ground.station.draw_points.len()).filter(is_full);
        let held = full.fold(0, |all, draw| all | held_at(ground, draw));
        if self.start.open & held != 0 {
            self.start.open &= !held;
            self.put_valves(ground);
        }
    }

    /// What is wrong with the water under a draw point, with its salinity.
    pub(super) fn wrong_caught(&self, ground: &Ground<'_>, draw: usize) -> Option<(HarmKind, f64)> {
        let brine = &ground.plant.brine;
        let caught = self.ledger.caught[draw];
        if brine.volume_m3(caught) <= HEEL * container_m3(ground, draw) {
            return None;
        }
        let salinity = salinity(brine, caught);
        let holds = |vessel: usize| ground.station.vessels[vessel].fields.holds.value;
        let mut salts = (0..ground.station.vessels.len()).filter(|vessel| holds(*vessel) == Holds::Salt);
        let is_neither = salinity >= FRESH
            && salts.clone().next().is_some()
            && !salts.any(|vessel| is_as_mixed(ground, vessel, salinity));
        if is_neither {
            return Some((HarmKind::BucketMixed(draw), salinity));
        }
        let vessel = self.drawn_from(ground, draw)?;
        let own = &ground.station.vessels[vessel].fields;
        let is_own = match own.holds.value {
            Holds::Fresh => {
                let limit = own.spoiled_above.as_ref().map(|limit| limit.value.plain());
                salinity <= limit.unwrap_or_else(|| own.used_for.value.spoiled_above())
            }
            Holds::Salt => is_as_mixed(ground, vessel, salinity),
        };
        (!is_own).then_some((HarmKind::BucketOfOther(draw, vessel), salinity))
    }

    /// The vessel whose water is drawn at a draw point by the task in hand, or by the card that is followed.
    fn drawn_from(&self, ground: &Ground<'_>, draw: usize) -> Option<usize> {
        let own = &ground.station.plumbing.tasks[self.task.or(self.card)?];
        match (own.from, own.to) {
            (End::Vessel(vessel), End::Draw(to)) if to == draw => Some(vessel),
            _ => None,
        }
    }

    /// Practical salinity of a tank; nothing of one that was drawn empty.
    pub(super) fn tank_salinity(&self, ground: &Ground<'_>, tank: usize) -> Option<f64> {
        amount(ground, &self.ledger, tank).map(|there| salinity(&ground.plant.brine, there))
    }

    /// Notes the tanks that are thinner or saltier by now than their animals bear. A day's evaporation stays within that; where
    /// the air alone has made one too salty, it is those who should have topped it off.
    pub(super) fn note_tanks(&mut self, ground: &Ground<'_>) {
        for tank in 0..ground.tanks.len() {
            let own = &ground.station.tanks[tank].fields;
            let (usual, tolerance) = (
                own.salinity.value.practical(),
                own.salinity_tolerance.value.plain(),
            );
            let has_moved = self.ledger.tanks[tank] != Amount::default();
            let Some(now) = self.tank_salinity(ground, tank).filter(|_| has_moved) else {
                continue;
            };
            let mut wet = self.ledger.tanks[tank];
            wet.water_m3 += self.ledger.dried_m3[tank];
            let undried = amount_with(ground, tank, wet).map(|there| salinity(&ground.plant.brine, there));
            let is_salted = undried.unwrap_or(now) - usual > tolerance;
            let kind = match now - usual {
                off if off < -tolerance => HarmKind::TankThinned(tank),
                off if off > tolerance && is_salted => HarmKind::TankSalted(tank),
                off if off > tolerance => HarmKind::TankDried(tank),
                _ => continue,
            };
            self.state.harm(kind, self.state.t_s, now);
        }
    }
}
