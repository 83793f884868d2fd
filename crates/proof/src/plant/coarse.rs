//! The coarse pace: between two events every flow is steady, so that the next crossing is a division.
//!
//! A transfer goes at the mean flow of its own stretch, read from a table of cumulative time against volume that the
//! solver made once ([`super::fine::tables`]); the purifier at the flow of the day. Evaporation and heat are booked at midnight.
//! Permeate is booked into its vessels at each event, for their levels are asked for there; what else the purifier's time comes
//! to is booked when its flows change.

use super::Amount;
use super::body::{Plant, Purifier};
use super::books::{Account, Outside};
use super::pace::{Crossing, Pace, at_edge, overdue};
use super::person::Doing;
use super::purifier::{Made, count_made};
use super::state::State;
use crate::method::Refusal;

/// The coarse pace.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Coarse;

/// What flows in and out of vessels until the next event.
#[derive(Debug, Clone, Copy)]
struct Now {
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
    fn of(state: &State) -> Self {
        let mut now = Self {
            filled: 0,
            share_m3_s: 0.0,
            from: 0,
            to: 0,
            moving_m3_s: 0.0,
        };
        if state.flows.permeate_m3_s > 0.0 && state.running.flush_left_m3 <= 0.0 {
            now.filled = state.open_fills;
            now.share_m3_s = state.flows.permeate_m3_s / state.open_count.max(1.0);
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

/// What ends a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Ends {
    /// The time that was given.
    Time,
    /// A vessel's level comes to the edge of its quiet.
    Edge {
        vessel: usize,
        rising: bool,
    },
    Moved,
    Flushed,
}

impl Pace for Coarse {
    #[inline]
    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Refusal> {
        if let Some(crossing) = overdue(plant, state) {
            return Ok(Some(crossing));
        }
        let purifies = state.flows.any();
        if !purifies && !state.moves() {
            state.t_s = until_s;
            return Ok(None);
        }
        let now = Now::of(state);
        let mut left_s = until_s - state.t_s;
        let mut ends = Ends::Time;
        let mut sooner = |seconds: f64, what: Ends| {
            if seconds <= left_s {
                left_s = seconds.max(0.0);
                ends = what;
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
            let (quiet, rising) = (&state.quiet[vessel], net > 0.0);
            let edge_m3 = if rising { quiet.above_m3 } else { quiet.below_m3 };
            sooner(
                (edge_m3 - state.volume_m3(plant, vessel)) / net,
                Ends::Edge { vessel, rising },
            );
        }
        if let Doing::Moving(moving) = &state.person.doing {
            sooner(moving.left_m3 / moving.rate_m3_s, Ends::Moved);
        }
        let flushes = state.running.flush_left_m3 > 0.0 && state.flows.permeate_m3_s > 0.0;
        if flushes {
            sooner(
                state.running.flush_left_m3 / state.flows.permeate_m3_s,
                Ends::Flushed,
            );
        }
        if purifies && let Some(purifier) = &plant.purifier {
            if flushes {
                let made = state.flows.over(left_s);
                book_made(plant, state, purifier, &made);
            } else {
                state.running.flowed_s += left_s;
                pour(plant, state, state.flows.permeate_m3_s * left_s);
            }
        }
        if let Doing::Moving(moving) = &mut state.person.doing {
            // The last of it to the last drop.
            let volume_m3 = if ends == Ends::Moved {
                moving.left_m3
            } else {
                (moving.rate_m3_s * left_s).min(moving.left_m3)
            };
            moving.left_m3 -= volume_m3;
            let (from, to) = (moving.from, moving.to);
            moved(plant, state, from, to, volume_m3);
        }
        state.t_s = if ends == Ends::Time {
            until_s
        } else {
            state.t_s + left_s
        };
        Ok(match ends {
            Ends::Time => None,
            Ends::Edge { vessel, rising } => at_edge(plant, state, vessel, rising),
            Ends::Moved => Some(Crossing::Moved),
            Ends::Flushed => Some(Crossing::Flushed),
        })
    }
}

/// Books permeate into the vessels whose way in is open. Its salt is booked when its run is closed.
#[inline]
pub(super) fn pour(plant: &Plant, state: &mut State, made_m3: f64) {
    if made_m3 <= 0.0 {
        return;
    }
    let share = Amount::water(made_m3 / state.open_count.max(1.0));
    let mut to = state.open_fills;
    while to != 0 {
        let vessel = to.trailing_zeros() as usize;
        to &= to - 1;
        state.book(
            plant,
            Account::Outside(Outside::Feed),
            Account::Vessel(vessel),
            share,
        );
    }
}

/// Books what the purifier made and rejected over a time.
pub(super) fn book_made(plant: &Plant, state: &mut State, purifier: &Purifier, made: &Made) {
    let flushes = state.running.flush_left_m3 > 0.0;
    count_made(state, purifier, made, flushes);
    if !flushes {
        pour(plant, state, made.made_m3);
    }
}

/// Books a volume out of a vessel as it is mixed now.
#[inline]
pub(super) fn moved(plant: &Plant, state: &mut State, from: usize, to: Account, volume_m3: f64) {
    let there = state.books.vessel(from);
    let there_m3 = plant.brine.volume_m3(there);
    if volume_m3 <= 0.0 || there_m3 <= 0.0 {
        return;
    }
    let share = (volume_m3 / there_m3).min(1.0);
    state.book(plant, Account::Vessel(from), to, there.times(share));
}
