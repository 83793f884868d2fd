//! How long flows go on as they are: to the next mark of a vessel, or as far as one step may go.

use station::plumbing::End;

use super::control::Hands;
use super::fault::FloatAt;
use super::flow::Now;
use super::state::State;

/// Share of a vessel that one step of the lines moves at most.
const STEP: f64 = 0.1;
/// The shortest step of the lines, s: what is left in a vessel by then doesn't matter.
const SHORTEST_S: f64 = 1.0;
/// A microlitre: nearer than that a mark is met.
pub(crate) const CLOSE_M3: f64 = 1e-9;

/// What happens at the end of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Met {
    /// A level switch is wet or dry now.
    Switch { input: usize, on: bool },
    /// A float closes or opens.
    Float { vessel: usize, at: FloatAt, open: bool },
    /// A line or a rim or a heater is reached: flows must be looked at anew.
    Level,
    /// What a person had in hand is done.
    Done,
}

impl Hands<'_, '_> {
    /// The longest step by which the lines' flows don't change much, s.
    pub(crate) fn longest_s(&self, state: &State, now: &Now) -> f64 {
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

    pub(crate) fn rim_m3(&self, vessel: usize) -> f64 {
        self.ground.plant.vessels[vessel].rim_m3
    }

    /// What is met first within a time at these flows: how soon, s, and what.
    pub(crate) fn meets(&self, state: &State, now: &Now, within_s: f64) -> (f64, Option<Met>) {
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
        for (tank, input, room_m3) in &self.ground.tank_highs {
            let net = self.tank_gains_m3_s(now, *tank);
            let on = net > 0.0;
            if net != 0.0 && state.truth[*input] != on {
                let close_m3 = if on { CLOSE_M3 } else { -CLOSE_M3 };
                let to_go_m3 = room_m3 + close_m3 - state.gained_m3[*tank];
                sooner(to_go_m3 / net, Met::Switch { input: *input, on });
            }
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
        for at in FloatAt::ALL {
            let Some((closes_m3, opens_m3)) = at.of(&plant.vessels[vessel]) else {
                continue;
            };
            let open = state.floats[at as usize] >> vessel & 1 == 1;
            let turns = Met::Float {
                vessel,
                at,
                open: !open,
            };
            if net > 0.0 && open {
                sooner(to(closes_m3 + CLOSE_M3), turns);
            } else if net < 0.0 && !open {
                sooner(to(opens_m3 - CLOSE_M3), turns);
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
        let dries = self.ground.dries_m3_s.get(vessel).copied().unwrap_or_default();
        let net = now.net(vessel) - dries;
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

    /// What a tank gains by its lines, m³/s: what comes out of a line that has slipped doesn't get there.
    fn tank_gains_m3_s(&self, now: &Now, tank: usize) -> f64 {
        let own = now.lines.ends.iter().filter(|own| own.end == End::Tank(tank));
        own.filter(|own| own.flow_m3_s < 0.0 || self.lens.slipped >> own.line & 1 == 0)
            .map(|own| own.flow_m3_s)
            .sum()
    }

    /// What arrives where what is in hand should bring it, m³/s.
    pub(crate) fn arriving_m3_s(&self, now: &Now) -> f64 {
        if self.start.attended {
            return f64::from(now.made.fills.count_ones()) * now.made.share_m3_s;
        }
        let own = now.lines.ends.iter();
        own.filter(|own| Some(own.end) == self.start.to && own.flow_m3_s > 0.0)
            .map(|own| own.flow_m3_s)
            .sum()
    }
}
