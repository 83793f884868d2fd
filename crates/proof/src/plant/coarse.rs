//! The coarse pace: between two events every flow is steady, so that the next crossing is a division.
//!
//! A transfer goes at the mean flow of its own stretch, read from a table of cumulative time against volume that the
//! solver made once ([`super::fine::tables`]); the purifier at the flow of the day. Evaporation and heat are booked at midnight.
//! Permeate is booked into its vessels at each event, for their levels are asked for there; what else the purifier's time comes
//! to is booked when its flows change.

use core::convert::Infallible;

use super::body::{Plant, Purifier};
use super::books::Account;
use super::pace::{Crossing, Pace, overdue};
use super::person::Doing;
use super::purifier::{Made, count_made};
use super::state::State;

/// The coarse pace.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Coarse;

/// The stretch until the next event, and what ends it.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    seconds: f64,
    ends: Ends,
}

/// What ends a stretch: the time that was given, what is in hand, or a vessel's level at the edge of its quiet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ends {
    Time,
    Moved,
    Flushed,
    /// By the vessel's index, when its level rises or falls.
    Above(u32),
    Below(u32),
}

impl Stretch {
    /// Ends it there if that isn't later.
    #[inline]
    fn end(&mut self, seconds: f64, ends: Ends) {
        if seconds <= self.seconds {
            self.seconds = if seconds > 0.0 { seconds } else { 0.0 };
            self.ends = ends;
        }
    }

    /// Ends it where a vessel's level rises to its next mark.
    #[inline]
    fn end_at_rise(&mut self, plant: &Plant, state: &State, vessel: u32, in_m3_s: f64) {
        let there_m3 = state.volume_m3(plant, vessel as usize);
        let above_m3 = state.quiet[vessel as usize].above_m3;
        self.end((above_m3 - there_m3) / in_m3_s, Ends::Above(vessel));
    }

    /// Ends it where a vessel's level falls to its next mark.
    #[inline]
    fn end_at_fall(&mut self, plant: &Plant, state: &State, vessel: u32, out_m3_s: f64) {
        let there_m3 = state.volume_m3(plant, vessel as usize);
        let below_m3 = state.quiet[vessel as usize].below_m3;
        self.end((there_m3 - below_m3) / out_m3_s, Ends::Below(vessel));
    }

    /// Ends it where what is in hand is moved, or where the level of a vessel that it goes from or to, or that permeate comes
    /// into, comes to its next mark: those with permeate as bits.
    #[inline]
    fn end_where_moved(&mut self, plant: &Plant, state: &State, hand: &Hand, filled: u64, share_m3_s: f64) {
        let from: u64 = 1 << hand.from;
        if filled & from == 0 && matches!(hand.to, Account::Outside(_)) {
            self.end_at_fall(plant, state, hand.from as u32, hand.rate_m3_s);
            let mut filled = filled;
            while filled != 0 {
                self.end_at_rise(plant, state, filled.trailing_zeros(), share_m3_s);
                filled &= filled - 1;
            }
        } else {
            self.end_where_mixed(plant, state, hand, filled, share_m3_s);
        }
        self.end(hand.left_m3 / hand.rate_m3_s, Ends::Moved);
    }

    /// The same where water is moved into a vessel, or out of one that permeate comes into.
    #[inline(never)]
    fn end_where_mixed(&mut self, plant: &Plant, state: &State, hand: &Hand, filled: u64, share_m3_s: f64) {
        let from: u64 = 1 << hand.from;
        let to = match hand.to {
            Account::Vessel(to) => 1 << to,
            Account::Outside(_) => 0,
        };
        let mut involved = filled | from | to;
        while involved != 0 {
            let bit = involved & involved.wrapping_neg();
            let mut net_m3_s = if filled & bit != 0 { share_m3_s } else { 0.0 };
            if from == bit {
                net_m3_s -= hand.rate_m3_s;
            }
            if to == bit {
                net_m3_s += hand.rate_m3_s;
            }
            let vessel = involved.trailing_zeros();
            if net_m3_s > 0.0 {
                self.end_at_rise(plant, state, vessel, net_m3_s);
            } else if net_m3_s < 0.0 {
                self.end_at_fall(plant, state, vessel, -net_m3_s);
            }
            involved ^= bit;
        }
    }

    /// Brings the state's time to its end; what is crossed there.
    #[inline]
    fn close(self, state: &mut State, until_s: f64) -> Option<Crossing> {
        if self.ends == Ends::Time {
            state.t_s = until_s;
            return None;
        }
        state.t_s += self.seconds;
        match self.ends {
            Ends::Time => None,
            Ends::Moved => Some(Crossing::Moved),
            Ends::Flushed => Some(Crossing::Flushed),
            Ends::Above(vessel) => state.quiet[vessel as usize].above,
            Ends::Below(vessel) => state.quiet[vessel as usize].below,
        }
    }
}

impl Pace for Coarse {
    /// A division refuses nothing.
    type Refusal = Infallible;

    #[inline]
    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Infallible> {
        if let Some(crossing) = overdue(plant, state) {
            return Ok(Some(crossing));
        }
        let flushes = state.running.flush_left_m3 > 0.0 && state.flows.permeate_m3_s > 0.0;
        Ok(if flushes {
            flush(plant, state, until_s)
        } else if let Some(hand) = moving(state) {
            follow(plant, state, &hand, until_s)
        } else if state.flows.any() {
            fill(plant, state, until_s)
        } else {
            state.t_s = until_s;
            None
        })
    }
}

/// Nobody moves anything: permeate alone.
#[inline]
fn fill(plant: &Plant, state: &mut State, until_s: f64) -> Option<Crossing> {
    let mut stretch = Stretch {
        seconds: until_s - state.t_s,
        ends: Ends::Time,
    };
    let permeate_m3_s = state.flows.permeate_m3_s;
    let share_m3_s = state.share_of_each(permeate_m3_s);
    let mut filled = state.open_fills;
    while filled != 0 {
        stretch.end_at_rise(plant, state, filled.trailing_zeros(), share_m3_s);
        filled &= filled - 1;
    }
    state.running.flowed_s += stretch.seconds;
    pour(plant, state, permeate_m3_s * stretch.seconds);
    stretch.close(state, until_s)
}

/// The purifier flushes, and perhaps water is moved meanwhile.
#[cold]
fn flush(plant: &Plant, state: &mut State, until_s: f64) -> Option<Crossing> {
    let mut stretch = Stretch {
        seconds: until_s - state.t_s,
        ends: Ends::Time,
    };
    let moving = moving(state);
    if let Some(moving) = &moving {
        stretch.end_where_moved(plant, state, moving, 0, 0.0);
    }
    let flows = state.flows;
    stretch.end(state.running.flush_left_m3 / flows.permeate_m3_s, Ends::Flushed);
    if let Some(purifier) = &plant.purifier {
        book_made(plant, state, purifier, &flows.over(stretch.seconds));
    }
    if let Some(moving) = &moving {
        move_on(plant, state, moving, stretch);
    }
    stretch.close(state, until_s)
}

/// Water is moved, and perhaps permeate comes in meanwhile.
#[inline(always)]
fn follow(plant: &Plant, state: &mut State, moving: &Hand, until_s: f64) -> Option<Crossing> {
    let mut stretch = Stretch {
        seconds: until_s - state.t_s,
        ends: Ends::Time,
    };
    let flows = state.flows;
    let filled = if flows.permeate_m3_s > 0.0 {
        state.open_fills
    } else {
        0
    };
    let share_m3_s = state.share_of_each(flows.permeate_m3_s);
    stretch.end_where_moved(plant, state, moving, filled, share_m3_s);
    if flows.any() {
        state.running.flowed_s += stretch.seconds;
        pour(plant, state, flows.permeate_m3_s * stretch.seconds);
    }
    move_on(plant, state, moving, stretch);
    stretch.close(state, until_s)
}

/// What a stretch has to know of the water that is in hand.
#[derive(Debug, Clone, Copy)]
struct Hand {
    from: usize,
    to: Account,
    left_m3: f64,
    rate_m3_s: f64,
}

#[inline]
fn moving(state: &State) -> Option<Hand> {
    match &state.person.doing {
        Doing::Moving(moving) => Some(Hand {
            from: moving.load.from,
            to: moving.load.to,
            left_m3: moving.left_m3,
            rate_m3_s: moving.rate_m3_s,
        }),
        _ => None,
    }
}

/// Moves what a stretch moves: part of its way, which is gone hundreds of times a year.
#[inline(always)]
fn move_on(plant: &Plant, state: &mut State, hand: &Hand, stretch: Stretch) {
    let moved_m3 = hand.rate_m3_s * stretch.seconds;
    // The last of it to the last drop.
    let volume_m3 = if stretch.ends == Ends::Moved || moved_m3 > hand.left_m3 {
        hand.left_m3
    } else {
        moved_m3
    };
    if let Doing::Moving(moving) = &mut state.person.doing {
        moving.left_m3 = hand.left_m3 - volume_m3;
    }
    moved(plant, state, hand.from, hand.to, volume_m3);
}

/// Books permeate into the vessels whose way in is open. Its salt is booked when its run is closed.
#[inline]
pub(super) fn pour(plant: &Plant, state: &mut State, made_m3: f64) {
    if made_m3 <= 0.0 || state.open_fills == 0 {
        return;
    }
    let share_m3 = state.share_of_each(made_m3);
    let mut to = state.open_fills;
    while to != 0 {
        let vessel = to.trailing_zeros() as usize;
        to &= to - 1;
        state.pour(plant, vessel, share_m3);
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
    let share = volume_m3 / there_m3;
    let share = if share < 1.0 { share } else { 1.0 };
    let amount = there.times(share);
    match to {
        Account::Vessel(_) => state.book(plant, Account::vessel(from), to, amount),
        Account::Outside(_) => state.books.book(Account::vessel(from), to, amount),
    }
}
