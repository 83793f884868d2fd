//! When what flows has done harm, and what it comes to in the end.

use physics::heat::{HeatBalance, Reach};
use station::sections::Water;

use super::control::Hands;
use super::flow::Now;
use super::network::Fares;
use super::outcome::{HarmKind, Spot};
use super::run::FOUND_M3;
use super::state::State;
use crate::plant::Amount;

/// Water on the floor that counts as harm, m³ (house rule: a litre is wiped up).
pub(crate) const FLOOR_M3: f64 = 1e-3;
/// A pump's seal without water, s (common practice, no source: half a minute).
pub(crate) const DRY_S: f64 = 30.0;
/// A heater in the air, s (house rule: a minute).
pub(crate) const HEATER_S: f64 = 60.0;
/// Above the temperature that a vessel is kept at by so much its water is cooked, below it chilled, K (house rule).
pub(crate) const COOKED_K: f64 = 6.0;
pub(crate) const CHILLED_K: f64 = 5.0;
/// What a stuck heater is told to come to at most, °C: `physics::heat` goes no further.
pub(crate) const HOTTEST_C: f64 = 60.0;
/// With less than this share of what it holds a vessel counts as drawn empty: what its water is says nothing any more (house
/// rule).
pub(crate) const HEEL: f64 = 0.03;
/// A batch is ready within so much of its target salinity (house rule: the last digit of an instrument).
pub(crate) const READY_WITHIN: f64 = 0.1;
/// Share of tap water in what stands in a vessel that counts as spoiled by it (house rule).
const TAP_SHARE: f64 = 0.05;
/// Share of a bed that is used up for nothing (house rule).
const BED_SHARE: f64 = 0.2;
/// To the drain for nothing, m³ (house rule: a bathtub).
const DRAINED_M3: f64 = 0.15;

impl Hands<'_, '_> {
    /// The time until something that is going on becomes harm, within a time: so that its moment is met.
    pub(crate) fn until_harm_s(&self, state: &State, now: &Now, within_s: f64) -> f64 {
        let mut left_s = within_s;
        let mut at = |seconds: f64| {
            if seconds > 1e-6 && seconds < left_s {
                left_s = seconds;
            }
        };
        for (pump, fares) in now.lines.pumps.iter().enumerate() {
            match fares {
                Fares::Dry => at(DRY_S - state.dry_s[pump]),
                Fares::Closed => at(self.ground.suffers_s[pump] - state.closed_s[pump]),
                Fares::Stands | Fares::Moves => {}
            }
        }
        for vessel in 0..state.contents.len() {
            if self.heats_dry(state, vessel) {
                at(HEATER_S - state.heater_dry_s[vessel]);
            }
        }
        let wets_m3_s = now.made.floor_m3_s
            + if self.lens.drain_blocked {
                now.made.reject_m3_s
            } else {
                0.0
            };
        if let Some(leak) = self.ground.leak
            && !state.truth[leak]
            && wets_m3_s > 0.0
        {
            at(1.2 * FOUND_M3 / wets_m3_s);
        }
        left_s
    }

    /// Whether a vessel's heater is on.
    pub(crate) fn heats(&self, state: &State, vessel: usize) -> bool {
        let program = self.ground.program();
        let told = program
            .output(station::control::Output::Heater(vessel))
            .is_some_and(|output| match (&state.held, self.lens.dead) {
                (_, true) => false,
                (Some(held), false) => held[output],
                (None, false) => program.is_on(&state.control, output),
            });
        state.powered && self.lens.heater(vessel, told)
    }

    /// Whether it heats the air: uncovered, and with no cut-out of its own.
    pub(crate) fn heats_dry(&self, state: &State, vessel: usize) -> bool {
        let Some(heat) = self.ground.plant.vessels[vessel].heat else {
            return false;
        };
        let own = &self.ground.station.vessels[vessel].fields;
        !own.heater_cutout.value
            && state.volume_m3(self.ground, vessel) < heat.heater_m3
            && self.heats(state, vessel)
    }

    /// Books a step, and notes the harm that it has done.
    pub(super) fn spend(&self, state: &mut State, now: &Now, seconds: f64) {
        let before: Vec<(Spot, f64)> = state.floor.clone();
        let t_s = state.t_s;
        for vessel in 0..state.contents.len() {
            self.warm(state, vessel, seconds);
        }
        self.flow(state, now, seconds);
        self.note(state, &before, t_s, seconds);
    }

    /// Notes the harm of a step that is booked: what was spilt since `before`, pumps and heaters that suffered for too long,
    /// waters that were spoiled.
    pub(crate) fn note(&self, state: &mut State, before: &[(Spot, f64)], t_s: f64, seconds: f64) {
        // Within a step water comes evenly, so that the moment of the first litre is where it should be.
        let spilt: Vec<(Spot, f64)> = state.floor.clone();
        for (spot, sum) in spilt {
            let was = before
                .iter()
                .find(|(own, _)| *own == spot)
                .map_or(0.0, |(_, was)| *was);
            if was < FLOOR_M3 && sum >= FLOOR_M3 {
                let at_s = t_s + seconds * (FLOOR_M3 - was) / (sum - was);
                let kind = match spot {
                    Spot::Tank(tank) => HarmKind::TankOver(tank),
                    other => HarmKind::Floor(other),
                };
                state.harm(kind, at_s, 0.0);
            }
        }
        for pump in 0..state.dry_s.len() {
            if state.dry_s[pump] >= DRY_S - 1e-6 {
                state.harm(HarmKind::PumpDry(pump), state.t_s, 0.0);
            }
            if state.closed_s[pump] >= self.ground.suffers_s[pump] - 1e-6 {
                state.harm(HarmKind::PumpClosed(pump), state.t_s, 0.0);
            }
        }
        for vessel in 0..state.contents.len() {
            if state.heater_dry_s[vessel] >= HEATER_S - 1e-6 {
                state.harm(HarmKind::HeaterDry(vessel), state.t_s, 0.0);
            }
            self.spoil(state, vessel);
        }
    }

    /// The warmth of a vessel over a step: a stirred body that loses heat to the room.
    fn warm(&self, state: &mut State, vessel: usize, seconds: f64) {
        let Some(heat) = self.ground.plant.vessels[vessel].heat else {
            return;
        };
        let on = self.heats(state, vessel);
        state.trace.heaters[vessel].note(on);
        if self.heats_dry(state, vessel) {
            state.heater_dry_s[vessel] += seconds;
        }
        let volume_m3 = state.volume_m3(self.ground, vessel);
        let covered = volume_m3 >= heat.heater_m3;
        let stuck = self.lens.heater(vessel, false);
        let held = !stuck && on;
        if held && covered {
            // A thermostat that works holds it.
            state.temperature_c[vessel] = heat.set_c;
            return;
        }
        let heats_w = if stuck && covered { heat.heater_w } else { 0.0 };
        // Cooked on the warmest day, chilled on the coldest.
        let room_c = if stuck {
            self.ground.room_c.1
        } else {
            self.ground.room_c.0
        };
        let balance = HeatBalance {
            heat_capacity_j_k: (heat.capacity_j_m3_k * volume_m3).max(10.0),
            loss_w_k: heat.loss_w_k,
            air_temperature_c: room_c,
            power_w: heats_w,
        };
        let before_c = state.temperature_c[vessel];
        // Beyond what water can be it is as hot as that.
        let after_c = balance
            .temperature_after_c(before_c, seconds)
            .unwrap_or(HOTTEST_C);
        state.temperature_c[vessel] = after_c;
        let (hot_c, cold_c) = (heat.set_c + COOKED_K, heat.set_c - CHILLED_K);
        let reached_s = |mark_c: f64| match balance.time_to(before_c, mark_c) {
            Ok(Reach::After { time_s }) => time_s.min(seconds),
            _ => seconds,
        };
        if stuck && after_c >= hot_c {
            state.harm(HarmKind::Cooked(vessel), state.t_s + reached_s(hot_c), after_c);
        } else if heat.keeps_warm && after_c <= cold_c && covered {
            state.harm(HarmKind::Chilled(vessel), state.t_s + reached_s(cold_c), after_c);
        }
    }

    /// Whether a vessel's water is spoiled now.
    pub(crate) fn spoil(&self, state: &mut State, vessel: usize) {
        let own = &self.ground.station.vessels[vessel].fields;
        let built = &self.ground.plant.vessels[vessel];
        let volume_m3 = state.volume_m3(self.ground, vessel);
        if volume_m3 < HEEL * built.rim_m3 {
            return;
        }
        let salinity = self.ground.plant.brine.practical_salinity(state.contents[vessel]);
        match built.holds {
            Water::Fresh => {
                let limit = own
                    .spoiled_above
                    .as_ref()
                    .map_or_else(|| own.used_for.value.spoiled_above(), |limit| limit.value.plain());
                if salinity > limit {
                    state.harm(HarmKind::SaltInFresh(vessel), state.t_s, salinity);
                }
            }
            // A batch that was ready when everybody left.
            Water::Salt => {
                let ready = (self
                    .ground
                    .plant
                    .brine
                    .practical_salinity(self.start.contents[vessel])
                    - built.target)
                    .abs()
                    < READY_WITHIN;
                if ready && salinity < built.target - own.salinity_tolerance.value.plain() {
                    state.harm(HarmKind::BatchThinned(vessel), state.t_s, salinity);
                }
            }
        }
        if state.tap_m3[vessel] > TAP_SHARE * volume_m3 {
            state.harm(HarmKind::FeedInFresh(vessel), state.t_s, 0.0);
        }
    }

    /// What it comes to in the end.
    pub(super) fn judge(&self, state: &mut State, until_s: f64) {
        let floor = core::mem::take(&mut state.floor);
        for harm in &mut state.outcome.harms {
            let spot = match harm.kind {
                HarmKind::Floor(spot) => spot,
                HarmKind::TankOver(tank) => Spot::Tank(tank),
                HarmKind::Cooked(vessel) | HarmKind::Chilled(vessel) => {
                    harm.amount = state.temperature_c[vessel];
                    continue;
                }
                _ => continue,
            };
            let sum = floor.iter().find(|(own, _)| *own == spot);
            harm.amount = sum.map_or(0.0, |(_, sum)| *sum);
        }
        state.outcome.floor_m3 = floor.iter().fold(0.0, |all, (_, sum)| all + sum);
        self.judge_waste(state, until_s);
        self.judge_reserve(state, until_s);
        let program = self.ground.program();
        for (at, output) in program.outputs().enumerate() {
            if matches!(output, station::control::Output::Alarm(_)) && program.is_on(&state.control, at) {
                state.outcome.alarms.push(at);
            }
        }
        state.outcome.residual = self.residual(state);
        state.outcome.harms.sort_by_key(|harm| harm.kind);
    }

    /// What lines lost or made of the water or the salt that they moved, as a share of that or of what stood there.
    fn residual(&self, state: &State) -> f64 {
        let share = |of: fn(&Amount) -> f64| {
            let stood: f64 = self.start.contents.iter().map(of).sum();
            let (out, arrived) = (of(&state.out), of(&state.arrived));
            let measure = out.max(arrived).max(stood);
            if measure > 0.0 {
                (out - arrived).abs() / measure
            } else {
                0.0
            }
        };
        share(|own| own.water_m3).max(share(|own| own.salt_kg))
    }

    /// Resin and water that went for nothing.
    fn judge_waste(&self, state: &mut State, until_s: f64) {
        let ground = self.ground;
        let Some(purifier) = &ground.plant.purifier else {
            return;
        };
        // What stands in the vessels now, and what the task took on purpose, was worth making.
        let mut worth_m3: f64 = purifier
            .fills
            .iter()
            .map(|vessel| {
                let there = ground.plant.brine.volume_m3(self.start.contents[*vessel]);
                state.volume_m3(ground, *vessel) - there
            })
            .sum();
        let from_filled = self.start.from.is_some_and(|from| purifier.fills.contains(&from));
        if from_filled && self.start.left_m3.is_finite() {
            worth_m3 += self.start.left_m3;
        }
        let worth_m3 = worth_m3.max(0.0);
        let reject = ground.usual.reject_m3_s / ground.usual.permeate_m3_s.max(1e-12);
        let wasted_m3 = state.drain_m3 - 1.1 * worth_m3 * reject;
        if wasted_m3 > DRAINED_M3 {
            state.harm(HarmKind::DrainWasted, until_s, wasted_m3);
        }
        let Some(bed_mol) = purifier.bed_mol else {
            return;
        };
        let feed_kg_m3 = purifier.feeds[0].feed_kg_m3;
        let solids_kg_m3 = if self.lens.torn {
            feed_kg_m3
        } else {
            ground.usual.solids_kg_m3
        };
        let by_litres = purifier
            .float_mol_m3
            .unwrap_or(solids_kg_m3 * purifier.salt_mol_kg + purifier.gas_mol_m3);
        let by_litres = if self.lens.torn {
            solids_kg_m3 * purifier.salt_mol_kg + purifier.gas_mol_m3
        } else {
            by_litres
        };
        // Each start washes out what crept in since the last.
        let crept_kg_m3 = purifier.rested_kg_m3(feed_kg_m3, 0.0, super::purifier::CYCLE_S);
        let by_starts = crept_kg_m3 * purifier.hold_up_m3 * purifier.salt_mol_kg;
        let excess_m3 = if self.lens.torn {
            state.made_m3
        } else {
            (state.made_m3 - 1.1 * worth_m3).max(0.0)
        };
        let beds = (by_litres * excess_m3 + by_starts * state.starts) / bed_mol;
        if beds > BED_SHARE {
            state.harm(HarmKind::ResinWasted, until_s, beds);
        }
    }

    /// Whether less is at hand in the end than the owner always wants, and than there was.
    fn judge_reserve(&self, state: &mut State, until_s: f64) {
        for (at, water) in [Water::Fresh, Water::Salt].into_iter().enumerate() {
            let wanted_m3 = self.ground.plant.reserve_m3[at];
            let sum = |contents: &[Amount]| -> f64 {
                let vessels = self.ground.plant.vessels.iter().zip(contents);
                vessels
                    .filter(|(own, _)| own.holds == water)
                    .map(|(own, there)| (self.ground.plant.brine.volume_m3(*there) - own.low_m3).max(0.0))
                    .sum()
            };
            let (had_m3, has_m3) = (sum(&self.start.contents), sum(&state.contents));
            // What a task takes out on purpose is no loss.
            let taken_m3 = if self.start.left_m3.is_finite() {
                self.start.left_m3
            } else {
                0.0
            };
            if wanted_m3 > 0.0 && has_m3 < wanted_m3 && has_m3 < had_m3 - taken_m3 - 1e-3 {
                state.harm(HarmKind::ReserveGone(at), until_s, wanted_m3 - has_m3);
            }
        }
    }
}
