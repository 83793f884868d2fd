//! From one event to the next: what flows, how long that goes on, and what it adds up to.

use station::plumbing::End;

use super::control::Hands;
use super::ground::Brim;
use super::network::{AtEnd, Fares, Flowing, Lines, Pattern};
use super::outcome::{HarmKind, Spot};
use super::purifier::{CYCLE_S, Made, made};
use super::state::State;
use crate::method::Refusal;
use crate::plant::Amount;

/// Share of a vessel that one step of the lines moves at most.
const STEP: f64 = 0.1;
/// The shortest step of the lines, s: what is left in a vessel by then doesn't matter.
const SHORTEST_S: f64 = 1.0;
/// Waters whose salinities differ by less are one.
const SAME_SALINITY: f64 = 0.01;
/// A microlitre: nearer than that a mark is met.
pub(super) const CLOSE_M3: f64 = 1e-9;

/// What happens at the end of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Met {
    /// A level switch is wet or dry now.
    Switch { input: usize, on: bool },
    /// A float closes or opens.
    Float { vessel: usize, open: bool },
    /// A line or a rim or a heater is reached: flows must be looked at anew.
    Level,
    /// What a person had in hand is done.
    Done,
}

/// What flows at a moment.
#[derive(Debug, Clone, Default)]
pub(super) struct Now {
    pub(super) made: Made,
    pub(super) lines: Flowing,
    /// By vessel: what comes into it, and what goes out through lines, m³/s.
    comes: Vec<f64>,
    goes: Vec<f64>,
}

impl Now {
    /// What each vessel gains by the lines and the purifier, m³/s.
    pub(super) fn net_of_lines(&self) -> Vec<f64> {
        (0..self.comes.len()).map(|vessel| self.net(vessel)).collect()
    }

    fn net(&self, vessel: usize) -> f64 {
        self.comes[vessel] - self.goes[vessel]
    }
}

impl Hands<'_, '_> {
    /// Floats that let water in, and that weep, as bits.
    fn ways(&self, state: &mut State) -> (u64, u64) {
        let fills = self
            .ground
            .plant
            .purifier
            .as_ref()
            .map_or(&[][..], |own| &own.fills);
        let (mut ways, mut weeping) = (0, 0);
        for vessel in fills {
            let bit = 1 << vessel;
            if self.ground.plant.vessels[*vessel].float_m3.is_none() {
                ways |= bit;
                continue;
            }
            let should = state.floats & bit != 0;
            state.trace.floats[*vessel].note(should);
            let (open, weeps) = self.lens.float(*vessel, should);
            ways |= if open { bit } else { 0 };
            weeping |= if weeps { bit } else { 0 };
        }
        (ways, weeping)
    }

    /// What flows now.
    pub(super) fn look(
        &self,
        state: &mut State,
        lines: Option<&mut Lines<'_>>,
        thawed: bool,
        now: &mut Now,
    ) -> Result<(), Refusal> {
        let ways = self.ways(state);
        now.made = made(self.ground, self.lens, state.open, ways, thawed);
        state.trace.made |= now.made.permeate_m3_s > 0.0;
        state.trace.waited |= now.made.waits;
        state.trace.open |= now.made.floor_m3_s > 0.0;
        state.trace.drained |= now.made.reject_m3_s > 0.0;
        state.trace.valves_open |= state.valves;
        state.trace.valves_shut |= !state.valves;
        let filled = (now.made.fills, now.made.share_m3_s);
        self.look_at_lines(state, lines, filled, &mut now.lines)?;
        self.sum(state, now);
        Ok(())
    }

    fn look_at_lines(
        &self,
        state: &mut State,
        lines: Option<&mut Lines<'_>>,
        (filled, share_m3_s): (u64, f64),
        out: &mut Flowing,
    ) -> Result<(), Refusal> {
        out.ends.clear();
        out.joints.clear();
        out.pumps.clear();
        let Some(lines) = lines else { return Ok(()) };
        let pattern = Pattern {
            open: state.valves,
            runs: state.runs,
            apart: self.lens.apart,
        };
        let mut vessels = self.vessels(state)?;
        let reached = lines.reached(pattern, &vessels, true);
        // A pump that runs feels every joint: it draws air or gets rid of water there.
        state.trace.joints |= if pattern.runs == 0 {
            reached.joints
        } else {
            u64::MAX
        };
        if reached.joints == 0 && pattern.runs == 0 {
            return Ok(());
        }
        let brims: Vec<(usize, f64)> = (0..vessels.len())
            .filter(|vessel| filled >> vessel & 1 == 1)
            .filter_map(|vessel| Some((vessel, self.brim_m(state, vessel)?)))
            .collect();
        if brims.is_empty() {
            lines.flows(pattern, &vessels, out)?;
            self.leave_out_rounds(state, out);
            return Ok(());
        }
        for (vessel, brim_m) in &brims {
            vessels[*vessel].0 = vessels[*vessel].0.max(*brim_m);
        }
        lines.flows(pattern, &vessels, out)?;
        let filled_m3_s = |vessel: usize| {
            if filled >> vessel & 1 == 1 {
                share_m3_s
            } else {
                0.0
            }
        };
        let mut share: f64 = 1.0;
        for (vessel, _) in &brims {
            let goes: f64 = out
                .ends
                .iter()
                .filter(|own| own.end == End::Vessel(*vessel))
                .map(|own| -own.flow_m3_s)
                .sum();
            if goes > filled_m3_s(*vessel) {
                share = share.min(filled_m3_s(*vessel) / goes);
            }
        }
        // What comes in runs on at once.
        for own in &mut out.ends {
            own.flow_m3_s *= share;
        }
        for (_, flow_m3_s) in &mut out.joints {
            *flow_m3_s *= share;
        }
        self.leave_out_rounds(state, out);
        Ok(())
    }

    /// Water that comes back as it went, as in mixing, moves nothing: only what a vessel gains or loses counts then. What
    /// arrives with another salinity counts whole.
    fn leave_out_rounds(&self, state: &mut State, out: &mut Flowing) {
        for own in &out.ends {
            if own.flow_m3_s > 0.0 {
                state.trace.arrived |= 1 << own.line;
            }
        }
        for vessel in 0..state.contents.len() {
            let salinity = self.ground.plant.brine.practical_salinity(state.contents[vessel]);
            let comes_back = |own: &AtEnd| {
                own.end == End::Vessel(vessel)
                    && own.flow_m3_s > 0.0
                    && self.lens.slipped >> own.line & 1 == 0
                    && (own.salinity - salinity).abs() < SAME_SALINITY
            };
            let leaves = |own: &AtEnd| own.end == End::Vessel(vessel) && own.flow_m3_s < 0.0;
            let back: f64 = out
                .ends
                .iter()
                .filter(|own| comes_back(own))
                .map(|own| own.flow_m3_s)
                .sum();
            let gone: f64 = out
                .ends
                .iter()
                .filter(|own| leaves(own))
                .map(|own| -own.flow_m3_s)
                .sum();
            let round = back.min(gone);
            if round <= 0.0 {
                continue;
            }
            for own in &mut out.ends {
                if comes_back(own) {
                    own.flow_m3_s *= 1.0 - round / back;
                } else if leaves(own) {
                    own.flow_m3_s *= 1.0 - round / gone;
                }
            }
        }
    }

    /// A vessel that stands at the brim of an outlet while the purifier fills it: a level just above that outlet, at which
    /// more would run out than comes in. Its flows are those that keep it there.
    fn brim_m(&self, state: &State, vessel: usize) -> Option<f64> {
        let volume_m3 = state.volume_m3(self.ground, vessel);
        let at = |brim: &&Brim| {
            volume_m3 >= brim.outlet_m3 - 2.0 * CLOSE_M3 && volume_m3 <= brim.above_m3 + 2.0 * CLOSE_M3
        };
        self.ground.brims[vessel].iter().find(at).map(|brim| brim.above_m)
    }

    fn vessels(&self, state: &State) -> Result<Vec<(f64, f64)>, Refusal> {
        let brine = &self.ground.plant.brine;
        (0..state.contents.len())
            .map(|vessel| {
                let volume_m3 = state.volume_m3(self.ground, vessel);
                let mut level_m = self.ground.level_m(vessel, volume_m3)?;
                // At the brim of an outlet nothing more comes out of it.
                let brims = &self.ground.brims[vessel];
                if brims
                    .iter()
                    .any(|own| (volume_m3 - own.outlet_m3).abs() <= 2.0 * CLOSE_M3)
                {
                    level_m -= 1e-4;
                }
                Ok((level_m, brine.practical_salinity(state.contents[vessel])))
            })
            .collect()
    }

    fn sum(&self, state: &State, now: &mut Now) {
        let vessels = state.contents.len();
        now.comes.clear();
        now.comes.resize(vessels, 0.0);
        now.goes.clear();
        now.goes.resize(vessels, 0.0);
        for vessel in 0..vessels {
            if now.made.fills >> vessel & 1 == 1 {
                now.comes[vessel] += now.made.share_m3_s;
            }
        }
        for own in &now.lines.ends {
            if let End::Vessel(vessel) = own.end {
                if own.flow_m3_s < 0.0 {
                    now.goes[vessel] -= own.flow_m3_s;
                } else if self.lens.slipped >> own.line & 1 == 0 {
                    now.comes[vessel] += own.flow_m3_s;
                }
            }
        }
    }

    /// The longest step by which the lines' flows don't change much, s.
    pub(super) fn longest_s(&self, state: &State, now: &Now) -> f64 {
        let mut longest_s = f64::INFINITY;
        if now.lines.ends.is_empty() {
            return longest_s;
        }
        for vessel in 0..state.contents.len() {
            // What is exchanged counts too: it mixes.
            let arrives = now.lines.ends.iter().filter(|own| own.end == End::Vessel(vessel));
            let arrives: f64 = arrives.map(|own| own.flow_m3_s.max(0.0)).sum();
            let net = now.net(vessel).abs().max(arrives);
            if net > 0.0 {
                let volume_m3 = state
                    .volume_m3(self.ground, vessel)
                    .max(0.02 * self.rim_m3(vessel));
                longest_s = longest_s.min(STEP * volume_m3 / net);
            }
        }
        longest_s.max(SHORTEST_S)
    }

    pub(super) fn rim_m3(&self, vessel: usize) -> f64 {
        self.ground.plant.vessels[vessel].rim_m3
    }

    /// What is met first within a time at these flows: how soon, s, and what.
    pub(super) fn meets(&self, state: &State, now: &Now, within_s: f64) -> (f64, Option<Met>) {
        let (mut first_s, mut met) = (within_s, None);
        let mut sooner = |seconds: f64, what: Met| {
            if seconds <= first_s {
                first_s = seconds.max(0.0);
                met = Some(what);
            }
        };
        for vessel in 0..state.contents.len() {
            let net = self.net_m3_s(state, now, vessel);
            if net == 0.0 {
                continue;
            }
            self.meets_in(state, vessel, net, &mut sooner);
        }
        if let Some((left_m3, _)) = state.in_hand
            && left_m3.is_finite()
        {
            let moved = self.arriving_m3_s(now);
            if moved > 0.0 {
                sooner(left_m3 / moved, Met::Done);
            }
        }
        (first_s, met)
    }

    fn meets_in(&self, state: &State, vessel: usize, net: f64, sooner: &mut impl FnMut(f64, Met)) {
        let ground = self.ground;
        let plant = ground.plant;
        let volume_m3 = state.volume_m3(ground, vessel);
        let to = |mark_m3: f64| (mark_m3 - volume_m3) / net;
        for switch in &plant.wiring.switches[vessel] {
            let wet = state.truth[switch.input];
            let input = switch.input;
            if net > 0.0 && !wet {
                sooner(to(switch.wets_m3 + CLOSE_M3), Met::Switch { input, on: true });
            } else if net < 0.0 && wet {
                sooner(to(switch.dries_m3 - CLOSE_M3), Met::Switch { input, on: false });
            }
        }
        if let Some((closes_m3, opens_m3)) = plant.vessels[vessel].float_m3 {
            let open = state.floats >> vessel & 1 == 1;
            if net > 0.0 && open {
                sooner(to(closes_m3 + CLOSE_M3), Met::Float { vessel, open: false });
            } else if net < 0.0 && !open {
                sooner(to(opens_m3 - CLOSE_M3), Met::Float { vessel, open: true });
            }
        }
        let mut passes = |mark_m3: f64| {
            let ahead = if net > 0.0 {
                mark_m3 > volume_m3 + CLOSE_M3
            } else {
                mark_m3 < volume_m3 - CLOSE_M3
            };
            if ahead {
                sooner(to(mark_m3), Met::Level);
            }
        };
        for brim in &ground.brims[vessel] {
            passes(brim.outlet_m3);
            passes(brim.above_m3);
        }
        passes(plant.vessels[vessel].rim_m3);
        if let Some((overflow_m3, _)) = ground.overflow[vessel] {
            passes(overflow_m3);
        }
        if let Some(heat) = plant.vessels[vessel].heat {
            passes(heat.heater_m3);
        }
        if net < 0.0 {
            passes(ground.floor_m3[vessel]);
        }
    }

    /// What a vessel gains: over its rim nothing stays.
    fn net_m3_s(&self, state: &State, now: &Now, vessel: usize) -> f64 {
        let net = now.net(vessel);
        let volume_m3 = state.volume_m3(self.ground, vessel);
        if net > 0.0 {
            if volume_m3 >= self.rim_m3(vessel) - CLOSE_M3 {
                return 0.0;
            }
            if let Some((overflow_m3, takes)) = self.ground.overflow[vessel]
                && volume_m3 >= overflow_m3 - CLOSE_M3
            {
                return (net - takes).max(0.0);
            }
        }
        net
    }

    /// What arrives where the task should bring it, m³/s.
    pub(super) fn arriving_m3_s(&self, now: &Now) -> f64 {
        let own = now.lines.ends.iter();
        own.filter(|own| Some(own.end) == self.start.to && own.flow_m3_s > 0.0)
            .map(|own| own.flow_m3_s)
            .sum()
    }

    /// Books what flows for a time.
    pub(super) fn flow(&self, state: &mut State, now: &Now, seconds: f64) {
        let ground = self.ground;
        // First, since it may run on at once.
        self.flow_of_purifier(state, now, seconds);
        // Out of the vessels, each as it is mixed; a line brings what its water is.
        for vessel in 0..state.contents.len() {
            let volume_m3 = state.volume_m3(ground, vessel);
            let leaves_m3 = (now.goes[vessel] * seconds).min(volume_m3);
            if leaves_m3 > 0.0 {
                let amount = state.contents[vessel].times(leaves_m3 / volume_m3);
                take(&mut state.contents[vessel], amount);
                state.tap_m3[vessel] *= 1.0 - leaves_m3 / volume_m3;
                state.out_m3 += leaves_m3;
            }
        }
        for own in &now.lines.ends {
            if own.flow_m3_s > 0.0 {
                self.arrive(state, own, seconds);
            } else if let End::Tank(tank) = own.end {
                let volume_m3 = -own.flow_m3_s * seconds;
                state.gained_m3[tank] -= volume_m3;
                state.out_m3 += volume_m3;
                state.harm(HarmKind::TankDrawnBack(tank), state.t_s, 0.0);
            }
        }
        for (joint, flow_m3_s) in &now.lines.joints {
            let volume_m3 = flow_m3_s * seconds;
            state.spill(
                self.ground,
                self.lens.drain_blocked,
                Spot::Joint(ground.joints[*joint]),
                volume_m3,
            );
            state.in_m3 += volume_m3;
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

    fn arrive(&self, state: &mut State, own: &AtEnd, seconds: f64) {
        let brine = &self.ground.plant.brine;
        let volume_m3 = own.flow_m3_s * seconds;
        let amount = brine.of_volume(volume_m3, own.salinity.clamp(0.0, 42.0));
        state.in_m3 += volume_m3;
        if self.lens.slipped >> own.line & 1 == 1 {
            state.spill(
                self.ground,
                self.lens.drain_blocked,
                Spot::End(own.line),
                volume_m3,
            );
            return;
        }
        match own.end {
            End::Vessel(vessel) => add(&mut state.contents[vessel], amount),
            End::Tank(tank) => {
                state.gained_m3[tank] += volume_m3;
                let room_m3 = self.ground.station.tanks[tank].headroom_m3();
                let over_m3 = (state.gained_m3[tank] - room_m3).clamp(0.0, volume_m3);
                state.spill(self.ground, self.lens.drain_blocked, Spot::Tank(tank), over_m3);
            }
            End::Draw(draw) => {
                let caught_m3 = volume_m3.min(state.container_m3);
                state.container_m3 -= caught_m3;
                state.spill(
                    self.ground,
                    self.lens.drain_blocked,
                    Spot::Draw(draw),
                    volume_m3 - caught_m3,
                );
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
        if !self.lens.drain_blocked {
            state.drain_m3 += made.reject_m3_s * seconds;
            state.spill(
                self.ground,
                self.lens.drain_blocked,
                Spot::Purifier,
                made.floor_m3_s * seconds,
            );
        } else {
            let reject_m3 = made.reject_m3_s * seconds;
            state.spill(self.ground, self.lens.drain_blocked, Spot::Drain, reject_m3);
            state.spill(
                self.ground,
                self.lens.drain_blocked,
                Spot::Purifier,
                made.floor_m3_s * seconds - reject_m3,
            );
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
                state.trace.drained = true;
                if self.lens.drain_blocked {
                    state.spill(self.ground, self.lens.drain_blocked, Spot::Drain, lost_m3);
                } else {
                    state.drain_m3 += lost_m3;
                }
            }
        }
        let over_m3 = volume_m3 - self.rim_m3(vessel);
        if over_m3 > 0.0 {
            lose(state, volume_m3, over_m3);
            state.spill(
                self.ground,
                self.lens.drain_blocked,
                Spot::Vessel(vessel),
                over_m3,
            );
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
