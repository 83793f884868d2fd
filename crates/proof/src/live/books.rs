//! What flows for a time, booked: every litre and every gram out of one account and into another.

use station::plumbing::End;

use super::ledger::{Ledger, add, room_m3, take};
use super::tank::{tank_water, tank_waters};
use crate::alone::{CYCLE_S, Fares, Ground, Hands, HarmKind, Now, Spot, State, Water, follow, waters_of};
use crate::plant::Amount;

/// One step's books.
pub(super) struct Books<'r> {
    pub(super) ledger: &'r mut Ledger,
    /// What the purifier's water and water from the tap has, °C.
    pub(super) feed_c: f64,
}

/// What is brought to a vessel in a step: its volume and its warmth above 0 °C.
#[derive(Debug, Clone, Copy, Default)]
struct Brought {
    volume_m3: f64,
    heat: f64,
}

impl Books<'_> {
    /// Books what flows for a time.
    pub(super) fn flow(&mut self, hands: &Hands<'_, '_>, state: &mut State, now: &Now, seconds: f64) {
        let ground = hands.ground;
        let vessels = waters_of(ground, state, now, seconds);
        let tanks = tank_waters(ground, self.ledger);
        let waters = follow(ground, (&vessels, &tanks), self.feed_c, now);
        let mut brought = vec![Brought::default(); vessels.len()];
        let stood_m3: Vec<f64> = (0..vessels.len())
            .map(|vessel| state.volume_m3(ground, vessel))
            .collect();
        self.purify(hands, state, now, seconds, &mut brought);
        for (own, water) in now.lines.ends.iter().zip(&waters.ends) {
            let volume_m3 = own.flow_m3_s * seconds;
            if own.flow_m3_s > 0.0 {
                self.arrive(hands, state, (own.line, own.end), *water, volume_m3, &mut brought);
            } else {
                self.leave(ground, state, own.end, *water, -volume_m3);
            }
        }
        for ((joint, flow_m3_s), water) in now.lines.joints.iter().zip(&waters.joints) {
            let amount = water.amount(&ground.plant.brine, flow_m3_s * seconds);
            self.spill(hands, state, Spot::Joint(ground.joints[*joint]), amount);
        }
        for (vessel, own) in brought.iter().enumerate() {
            let sum_m3 = stood_m3[vessel] + own.volume_m3;
            if sum_m3 > 0.0 {
                let heat = stood_m3[vessel] * state.temperature_c[vessel] + own.heat;
                state.temperature_c[vessel] = heat / sum_m3;
            }
            self.run_over(hands, state, vessel, seconds);
        }
        pumps(state, now, seconds);
        if let Some((left_m3, _)) = &mut state.in_hand
            && left_m3.is_finite()
        {
            *left_m3 = (*left_m3 - hands.arriving_m3_s(now) * seconds).max(0.0);
        }
        state.t_s += seconds;
    }

    fn purify(
        &mut self,
        hands: &Hands<'_, '_>,
        state: &mut State,
        now: &Now,
        seconds: f64,
        brought: &mut [Brought],
    ) {
        let made = &now.made;
        for (vessel, brought) in brought.iter_mut().enumerate() {
            if made.fills >> vessel & 1 == 1 {
                let volume_m3 = made.share_m3_s * seconds;
                let amount = Amount::water(volume_m3);
                self.take_in(amount);
                add(&mut state.contents[vessel], amount);
                brought.volume_m3 += volume_m3;
                brought.heat += volume_m3 * self.feed_c;
                if hands.lens.torn {
                    state.tap_m3[vessel] += volume_m3;
                }
            }
        }
        state.made_m3 += made.permeate_m3_s * seconds;
        if made.waits && hands.lens.cycles && hands.ground.shut_off {
            state.starts += seconds / CYCLE_S;
        }
        let reject = Amount::water(made.reject_m3_s * seconds);
        self.take_in(reject);
        self.drain(hands, state, reject);
        let wets = Amount::water(made.floor_m3_s * seconds);
        self.take_in(wets);
        self.spill(hands, state, Spot::Purifier, wets);
    }

    fn take_in(&mut self, amount: Amount) {
        add(&mut self.ledger.feed, amount);
    }

    /// Water leaves its source into the lines.
    fn leave(&mut self, ground: &Ground<'_>, state: &mut State, end: End, water: Water, volume_m3: f64) {
        let amount = water.amount(&ground.plant.brine, volume_m3);
        add(&mut self.ledger.moved, amount);
        match end {
            End::Vessel(vessel) => {
                let before_m3 = state.volume_m3(ground, vessel);
                take(&mut state.contents[vessel], amount);
                if before_m3 > 0.0 {
                    state.tap_m3[vessel] *= (1.0 - volume_m3 / before_m3).max(0.0);
                }
            }
            End::Tank(tank) => {
                state.gained_m3[tank] -= volume_m3;
                take(&mut self.ledger.tanks[tank], amount);
                state.harm(HarmKind::TankDrawnBack(tank), state.t_s, 0.0);
            }
            // What is sucked in at an open end comes from its container.
            End::Draw(draw) => take(&mut self.ledger.caught[draw], amount),
            End::Pump(_) | End::Tee(_) => {}
        }
    }

    fn arrive(
        &mut self,
        hands: &Hands<'_, '_>,
        state: &mut State,
        (line, end): (usize, End),
        water: Water,
        volume_m3: f64,
        brought: &mut [Brought],
    ) {
        let brine = &hands.ground.plant.brine;
        let amount = water.amount(brine, volume_m3);
        if hands.lens.slipped >> line & 1 == 1 {
            self.spill(hands, state, Spot::End(line), amount);
            return;
        }
        match end {
            End::Vessel(vessel) => {
                add(&mut state.contents[vessel], amount);
                brought[vessel].volume_m3 += volume_m3;
                brought[vessel].heat += volume_m3 * water.temperature_c;
            }
            End::Tank(tank) => {
                state.gained_m3[tank] += volume_m3;
                let room_m3 = hands.ground.station.tanks[tank].headroom_m3();
                let over_m3 = (state.gained_m3[tank] - room_m3).clamp(0.0, volume_m3);
                // What has run over no longer stands in it.
                state.gained_m3[tank] -= over_m3;
                add(&mut self.ledger.tanks[tank], amount);
                let over = tank_water(hands.ground, self.ledger, tank).amount(brine, over_m3);
                take(&mut self.ledger.tanks[tank], over);
                self.spill(hands, state, Spot::Tank(tank), over);
            }
            End::Draw(draw) => {
                let holds_m3 = container_m3(hands.ground, draw);
                let caught_m3 = volume_m3.min(room_m3(brine, holds_m3, self.ledger.caught[draw]));
                add(&mut self.ledger.caught[draw], water.amount(brine, caught_m3));
                self.spill(
                    hands,
                    state,
                    Spot::Draw(draw),
                    water.amount(brine, volume_m3 - caught_m3),
                );
            }
            End::Pump(_) | End::Tee(_) => {}
        }
    }

    /// Water comes to the drain.
    fn drain(&mut self, hands: &Hands<'_, '_>, state: &mut State, amount: Amount) {
        if hands.lens.drain_blocked {
            self.spill(hands, state, Spot::Drain, amount);
        } else {
            state.drain_m3 += hands.ground.plant.brine.volume_m3(amount);
            add(&mut self.ledger.drain, amount);
        }
    }

    /// Water comes to the floor, or into the tray that stands under the station.
    fn spill(&mut self, hands: &Hands<'_, '_>, state: &mut State, spot: Spot, amount: Amount) {
        let ground = hands.ground;
        let volume_m3 = ground.plant.brine.volume_m3(amount);
        if volume_m3 <= 0.0 {
            return;
        }
        let mut rest = amount;
        let under_the_station = !matches!(spot, Spot::Tank(_) | Spot::End(_) | Spot::Drain);
        if under_the_station && ground.tray_m3 > 0.0 {
            if ground.tray_drained && !hands.lens.drain_blocked {
                state.drain_m3 += volume_m3;
                add(&mut self.ledger.drain, amount);
                return;
            }
            let held_m3 = volume_m3.min((ground.tray_m3 - state.tray_m3).max(0.0));
            let held = amount.times(held_m3 / volume_m3);
            state.tray_m3 += held_m3;
            add(&mut self.ledger.tray, held);
            take(&mut rest, held);
        }
        let rest_m3 = ground.plant.brine.volume_m3(rest);
        if rest_m3 <= 0.0 {
            return;
        }
        add(&mut self.ledger.floor, rest);
        match state.floor.iter_mut().find(|(own, _)| *own == spot) {
            Some((_, sum)) => *sum += rest_m3,
            None => state.floor.push((spot, rest_m3)),
        }
    }

    /// What a vessel can't hold goes over its rim or into its overflow pipe.
    fn run_over(&mut self, hands: &Hands<'_, '_>, state: &mut State, vessel: usize, seconds: f64) {
        let ground = hands.ground;
        let lose = |state: &mut State, lost_m3: f64| {
            let share = lost_m3 / state.volume_m3(ground, vessel);
            let amount = state.contents[vessel].times(share);
            take(&mut state.contents[vessel], amount);
            state.tap_m3[vessel] *= 1.0 - share;
            amount
        };
        if let Some((overflow_m3, takes)) = ground.overflow[vessel] {
            let volume_m3 = state.volume_m3(ground, vessel);
            let lost_m3 = (volume_m3 - overflow_m3).clamp(0.0, takes * seconds);
            if lost_m3 > 0.0 {
                let lost = lose(state, lost_m3);
                self.drain(hands, state, lost);
            }
        }
        let over_m3 = state.volume_m3(ground, vessel) - hands.rim_m3(vessel);
        if over_m3 > 0.0 {
            let lost = lose(state, over_m3);
            self.spill(hands, state, Spot::Vessel(vessel), lost);
        }
    }
}

/// What the container under a draw point holds, m³.
pub(super) fn container_m3(ground: &Ground<'_>, draw: usize) -> f64 {
    ground.station.draw_points[draw].fields.container.value.m3()
}

fn pumps(state: &mut State, now: &Now, seconds: f64) {
    for (pump, fares) in now.lines.pumps.iter().enumerate() {
        match fares {
            Fares::Dry => state.dry_s[pump] += seconds,
            Fares::Closed => state.closed_s[pump] += seconds,
            Fares::Moves | Fares::Stands => {
                state.dry_s[pump] = 0.0;
                state.closed_s[pump] = 0.0;
            }
        }
    }
}
