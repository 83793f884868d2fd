//! The coarse pace: between two events every flow is steady, so that the next crossing is a division.
//!
//! A transfer goes at the mean flow of its own stretch, read from a table of cumulative time against volume that the
//! solver made once ([`super::fine::tables`]); the purifier at the flow of the day. Evaporation and heat are booked at midnight.

use super::Amount;
use super::body::{Plant, Purifier};
use super::books::{Account, Outside};
use super::pace::{CLOSE_M3, Crossing, Pace, overdue};
use super::person::Doing;
use super::purifier::Flows;
use super::state::State;
use crate::method::Refusal;

/// The coarse pace.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Coarse;

/// What flows in and out of vessels until the next event.
#[derive(Debug, Clone, Copy)]
struct Now {
    flows: Flows,
    /// Vessels that permeate comes into, as bits, and what each gets, m³/s.
    filled: u64,
    share_m3_s: f64,
    /// Vessels that water is moved from and to, as bits, and how fast.
    from: u64,
    to: u64,
    moving_m3_s: f64,
}

impl Now {
    #[inline]
    fn of(plant: &Plant, state: &State) -> Self {
        let mut now = Self {
            flows: Flows::default(),
            filled: 0,
            share_m3_s: 0.0,
            from: 0,
            to: 0,
            moving_m3_s: 0.0,
        };
        if plant.purifier.is_some() && !state.laid_up {
            now.flows = state.flows;
            if now.flows.permeate_m3_s > 0.0 && state.running.flush_left_m3 <= 0.0 {
                now.filled = state.open_fills;
                now.share_m3_s = now.flows.permeate_m3_s / f64::from(state.open_fills.count_ones().max(1));
            }
        }
        if let Doing::Moving(moving) = &state.person.doing {
            now.moving_m3_s = moving.rate_m3_s;
            now.from = 1 << moving.from;
            now.to = match moving.to {
                Account::Vessel(vessel) => 1 << vessel,
                Account::Outside(_) => 0,
            };
        }
        now
    }

    /// Net flow into a vessel, m³/s.
    #[inline]
    fn net_m3_s(&self, vessel: u32) -> f64 {
        let bit = 1 << vessel;
        let mut net = 0.0;
        if self.filled & bit != 0 {
            net += self.share_m3_s;
        }
        if self.from & bit != 0 {
            net -= self.moving_m3_s;
        }
        if self.to & bit != 0 {
            net += self.moving_m3_s;
        }
        net
    }
}

impl Pace for Coarse {
    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Refusal> {
        if let Some(crossing) = overdue(plant, state) {
            return Ok(Some(crossing));
        }
        let now = Now::of(plant, state);
        let still = now.flows == Flows::default() && now.moving_m3_s == 0.0;
        if still {
            state.t_s = until_s;
            return Ok(None);
        }
        let mut left_s = until_s - state.t_s;
        let mut crossing = None;
        let mut sooner = |seconds: f64, what: Crossing| {
            if seconds <= left_s {
                left_s = seconds.max(0.0);
                crossing = Some(what);
            }
        };
        let mut involved = now.filled | now.from | now.to;
        while involved != 0 {
            let bit = involved.trailing_zeros();
            involved &= involved - 1;
            let (vessel, net) = (bit as usize, now.net_m3_s(bit));
            if net == 0.0 {
                continue;
            }
            let volume_m3 = state.volume_m3(plant, vessel);
            let to = |mark_m3: f64| (mark_m3 - volume_m3) / net;
            for (at, switch) in plant.wiring.switches[vessel].iter().enumerate() {
                let wet = state.inputs[switch.input];
                if net > 0.0 && !wet {
                    sooner(
                        to(switch.wets_m3 + CLOSE_M3),
                        Crossing::Switch { vessel, at, on: true },
                    );
                } else if net < 0.0 && wet {
                    sooner(
                        to(switch.dries_m3 - CLOSE_M3),
                        Crossing::Switch {
                            vessel,
                            at,
                            on: false,
                        },
                    );
                }
            }
            if let Some((closes_m3, opens_m3)) = plant.vessels[vessel].float_m3 {
                let open = state.float_open[vessel];
                if net > 0.0 && open {
                    sooner(to(closes_m3 + CLOSE_M3), Crossing::Float { vessel, open: false });
                } else if net < 0.0 && !open {
                    sooner(to(opens_m3 - CLOSE_M3), Crossing::Float { vessel, open: true });
                }
            }
        }
        if let Doing::Moving(moving) = &state.person.doing {
            sooner(moving.left_m3 / moving.rate_m3_s, Crossing::Moved);
        }
        if state.running.flush_left_m3 > 0.0 && now.flows.permeate_m3_s > 0.0 {
            sooner(
                state.running.flush_left_m3 / now.flows.permeate_m3_s,
                Crossing::Flushed,
            );
        }
        flow(plant, state, &now, left_s, crossing);
        state.t_s = if crossing.is_some() {
            state.t_s + left_s
        } else {
            until_s
        };
        Ok(crossing)
    }
}

/// Books what flows for a time.
fn flow(plant: &Plant, state: &mut State, now: &Now, seconds: f64, ends: Option<Crossing>) {
    if let Some(purifier) = &plant.purifier
        && now.flows != Flows::default()
    {
        let made_m3 = now.flows.permeate_m3_s * seconds;
        let reject_m3 = now.flows.reject_m3_s * seconds;
        let steady_kg = now.flows.solids_kg_m3 * made_m3;
        let made = Made {
            made_m3,
            reject_m3,
            steady_kg,
            seconds,
            to: state.open_fills,
        };
        book_made(plant, state, purifier, &made);
    }
    if let Doing::Moving(moving) = &mut state.person.doing {
        // The last of it to the last drop.
        let volume_m3 = if ends == Some(Crossing::Moved) {
            moving.left_m3
        } else {
            (moving.rate_m3_s * seconds).min(moving.left_m3)
        };
        moving.left_m3 -= volume_m3;
        let (from, to) = (moving.from, moving.to);
        moved(plant, state, from, to, volume_m3);
    }
}

/// What a time of the purifier's came to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Made {
    pub(super) made_m3: f64,
    pub(super) reject_m3: f64,
    /// Salt of a long run in what was made, kg.
    pub(super) steady_kg: f64,
    pub(super) seconds: f64,
    /// Vessels that it went to, as bits.
    pub(super) to: u64,
}

/// Books permeate and reject of a time. The permeate's salt is booked when its run is closed.
pub(super) fn book_made(plant: &Plant, state: &mut State, purifier: &Purifier, made: &Made) {
    let Made {
        made_m3, reject_m3, ..
    } = *made;
    let feed = Account::Outside(Outside::Feed);
    let drain = Account::Outside(Outside::Drain);
    let feed_kg_m3 = purifier.feeds[state.feed].feed_kg_m3;
    state.tally.reject_m3 += reject_m3;
    let rejected = Amount {
        water_m3: reject_m3,
        salt_kg: feed_kg_m3 * (reject_m3 + made_m3) - made.steady_kg,
    };
    state.books.book(feed, drain, rejected);
    if made_m3 <= 0.0 {
        return;
    }
    state.tally.running_s += made.seconds;
    state.tally.energy_j[2] += purifier.booster_w * made.seconds;
    state.running.made_m3 += made_m3;
    state.running.steady_kg += made.steady_kg;
    if state.running.flush_left_m3 > 0.0 {
        state.running.flush_left_m3 -= made_m3;
        state.running.flushed_m3 += made_m3;
        state.tally.flushed_m3 += made_m3;
        state.books.book(feed, drain, Amount::water(made_m3));
        return;
    }
    state.running.run_m3 += made_m3;
    state.tally.permeate_m3 += made_m3;
    let share = Amount::water(made_m3 / f64::from(made.to.count_ones().max(1)));
    let mut to = made.to;
    while to != 0 {
        let vessel = to.trailing_zeros() as usize;
        to &= to - 1;
        state.book(plant, feed, Account::Vessel(vessel), share);
    }
}

/// Books a volume out of a vessel as it is mixed now.
pub(super) fn moved(plant: &Plant, state: &mut State, from: usize, to: Account, volume_m3: f64) {
    let there_m3 = state.volume_m3(plant, from);
    if volume_m3 <= 0.0 || there_m3 <= 0.0 {
        return;
    }
    let share = (volume_m3 / there_m3).min(1.0);
    let amount = state.books.vessel(from).times(share);
    state.book(plant, Account::Vessel(from), to, amount);
}
