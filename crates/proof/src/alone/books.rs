//! What flows for a time, added up: out of vessels, into them, over rims, to the floor and to the drain.

use station::plumbing::End;

use super::control::Hands;
use super::flow::Now;
use super::network::{AtEnd, Fares};
use super::outcome::{HarmKind, Spot};
use super::purifier::CYCLE_S;
use super::state::State;
use super::waters::{Water, waters_of, waters_with_nobody_there};
use crate::plant::Amount;

impl Hands<'_, '_> {
    /// Books what flows for a time.
    pub(super) fn flow(&self, state: &mut State, now: &Now, seconds: f64) {
        let ground = self.ground;
        let leave = waters_of(ground, state, now, seconds);
        let waters = waters_with_nobody_there(ground, &leave, now);
        // First, since it may run on at once.
        self.flow_of_purifier(state, now, seconds);
        // What arrives may go on at once, too.
        for (own, water) in now.lines.ends.iter().zip(&waters.ends) {
            if own.flow_m3_s > 0.0 {
                self.arrive(state, own, *water, seconds);
            } else if let End::Tank(tank) = own.end {
                let volume_m3 = -own.flow_m3_s * seconds;
                state.gained_m3[tank] -= volume_m3;
                add(&mut state.out, water.amount(&ground.plant.brine, volume_m3));
                state.harm(HarmKind::TankDrawnBack(tank), state.t_s, 0.0);
            }
        }
        // Out of the vessels, as what arrived from them was followed.
        for (vessel, water) in leave.iter().enumerate() {
            let volume_m3 = state.volume_m3(ground, vessel);
            let leaves_m3 = (now.goes[vessel] * seconds).min(volume_m3);
            if leaves_m3 > 0.0 {
                let amount = water.amount(&ground.plant.brine, leaves_m3);
                take(&mut state.contents[vessel], amount);
                state.tap_m3[vessel] *= 1.0 - leaves_m3 / volume_m3;
                add(&mut state.out, amount);
            }
        }
        for ((joint, flow_m3_s), water) in now.lines.joints.iter().zip(&waters.joints) {
            let volume_m3 = flow_m3_s * seconds;
            self.spill(state, Spot::Joint(ground.joints[*joint]), volume_m3);
            add(&mut state.arrived, water.amount(&ground.plant.brine, volume_m3));
        }
        for vessel in 0..state.contents.len() {
            self.run_over(state, vessel, seconds);
        }
        for (pump, fares) in now.lines.pumps.iter().enumerate() {
            match fares {
                Fares::Dry => state.dry_s[pump] += seconds,
                Fares::Closed => state.closed_s[pump] += seconds,
                Fares::Moves => {
                    state.dry_s[pump] = 0.0;
                    state.closed_s[pump] = 0.0;
                }
                Fares::Stands => {}
            }
        }
        if let Some((left_m3, _)) = &mut state.in_hand
            && left_m3.is_finite()
        {
            *left_m3 = (*left_m3 - self.arriving_m3_s(now) * seconds).max(0.0);
        }
        state.t_s += seconds;
    }

    fn arrive(&self, state: &mut State, own: &AtEnd, water: Water, seconds: f64) {
        let volume_m3 = own.flow_m3_s * seconds;
        let amount = water.amount(&self.ground.plant.brine, volume_m3);
        add(&mut state.arrived, amount);
        if self.lens.slipped >> own.line & 1 == 1 {
            self.spill(state, Spot::End(own.line), volume_m3);
            return;
        }
        match own.end {
            End::Vessel(vessel) => add(&mut state.contents[vessel], amount),
            End::Tank(tank) => {
                state.gained_m3[tank] += volume_m3;
                let room_m3 = self.ground.station.tanks[tank].headroom_m3();
                let over_m3 = (state.gained_m3[tank] - room_m3).clamp(0.0, volume_m3);
                // What ran over its rim is gone.
                state.gained_m3[tank] -= over_m3;
                self.spill(state, Spot::Tank(tank), over_m3);
            }
            End::Draw(draw) => {
                let caught_m3 = volume_m3.min(state.container_m3);
                state.container_m3 -= caught_m3;
                self.spill(state, Spot::Draw(draw), volume_m3 - caught_m3);
            }
            End::Pump(_) | End::Tee(_) => {}
        }
    }

    fn flow_of_purifier(&self, state: &mut State, now: &Now, seconds: f64) {
        let made = &now.made;
        for vessel in 0..state.contents.len() {
            if made.fills >> vessel & 1 == 1 {
                let volume_m3 = made.share_m3_s * seconds;
                add(&mut state.contents[vessel], Amount::water(volume_m3));
                if self.lens.torn {
                    state.tap_m3[vessel] += volume_m3;
                }
            }
        }
        state.made_m3 += made.permeate_m3_s * seconds;
        if made.waits && self.lens.cycles && self.ground.shut_off {
            state.starts += seconds / CYCLE_S;
        }
        self.drain(state, made.reject_m3_s * seconds);
        self.spill(state, Spot::Purifier, made.floor_m3_s * seconds);
    }

    /// Water comes to the drain.
    fn drain(&self, state: &mut State, volume_m3: f64) {
        state.trace.drained |= volume_m3 > 0.0;
        if self.lens.drain_blocked {
            self.spill(state, Spot::Drain, volume_m3);
        } else {
            state.drain_m3 += volume_m3;
        }
    }

    /// Water comes to the floor, or into the tray that stands under the station.
    fn spill(&self, state: &mut State, spot: Spot, volume_m3: f64) {
        let mut volume_m3 = volume_m3;
        let under_the_station = !matches!(spot, Spot::Tank(_) | Spot::End(_) | Spot::Drain);
        if under_the_station && volume_m3 > 0.0 && self.ground.tray_m3 > 0.0 {
            state.trace.drained |= self.ground.tray_drained;
            if self.ground.tray_drained && !self.lens.drain_blocked {
                state.drain_m3 += volume_m3;
                return;
            }
            let held_m3 = volume_m3.min(self.ground.tray_m3 - state.tray_m3);
            state.tray_m3 += held_m3;
            volume_m3 -= held_m3;
        }
        if volume_m3 <= 0.0 {
            return;
        }
        match state.floor.iter_mut().find(|(own, _)| *own == spot) {
            Some((_, sum)) => *sum += volume_m3,
            None => state.floor.push((spot, volume_m3)),
        }
    }

    /// What a vessel can't hold goes over its rim or into its overflow pipe.
    fn run_over(&self, state: &mut State, vessel: usize, seconds: f64) {
        let ground = self.ground;
        let mut volume_m3 = state.volume_m3(ground, vessel);
        let lose = |state: &mut State, volume_m3: f64, lost_m3: f64| {
            let amount = state.contents[vessel].times(lost_m3 / volume_m3);
            take(&mut state.contents[vessel], amount);
            state.tap_m3[vessel] *= 1.0 - lost_m3 / volume_m3;
        };
        if let Some((overflow_m3, takes)) = ground.overflow[vessel] {
            let lost_m3 = (volume_m3 - overflow_m3).clamp(0.0, takes * seconds);
            if lost_m3 > 0.0 {
                lose(state, volume_m3, lost_m3);
                volume_m3 -= lost_m3;
                self.drain(state, lost_m3);
            }
        }
        let over_m3 = volume_m3 - self.rim_m3(vessel);
        if over_m3 > 0.0 {
            lose(state, volume_m3, over_m3);
            self.spill(state, Spot::Vessel(vessel), over_m3);
        }
    }
}

fn add(to: &mut Amount, amount: Amount) {
    to.water_m3 += amount.water_m3;
    to.salt_kg += amount.salt_kg;
}

fn take(from: &mut Amount, amount: Amount) {
    from.water_m3 -= amount.water_m3;
    from.salt_kg -= amount.salt_kg;
}
