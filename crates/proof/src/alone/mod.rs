//! The plant left alone: what broken parts, forgotten valves and lost power do until somebody comes.
//!
//! Owns: the faults that a part can have and how each bends what control hears, what it switches and where water goes
//! ([`fault`], [`lens`]); the network of lines with its joints, any of which may come apart ([`network`]); the walk from
//! event to event with nobody there ([`run`]), with its waters followed ([`waters`]); what came of it ([`outcome`]).
//!
//! Doesn't own: how the station decides (`station::control`, the same program as everywhere), how water flows
//! (`physics`), how probable a fault is and what would help (`analysis::absence`). People, tanks' needs and the seasons
//! are [`crate::plant`]'s: here nobody comes, and a long weekend has one season.
//!
//! Flows of lines follow the levels through the network's solver; between two events they are stepped by the midpoint
//! rule, in steps that move a tenth of a vessel at most. Purifier and heater run at the month that floods most. Both are
//! held to the fine pace of the plant by tests.

mod balance;
mod books;
mod brim;
mod control;
mod fault;
mod flow;
mod ground;
mod judge;
mod lens;
mod marks;
mod network;
mod outcome;
mod path;
mod purifier;
mod reach;
mod run;
mod start;
mod state;
mod step;
#[cfg(test)]
mod tests;
mod trace;
mod waters;

pub(crate) use control::Hands;
pub(crate) use fault::{Fault, FeedFault, FloatAt, FloatFault, Joint, faults};
pub(crate) use flow::Now;
pub(crate) use ground::{Ground, season_s};
pub(crate) use judge::{CHILLED_K, COOKED_K, HEEL, HOTTEST_C, READY_WITHIN};
pub(crate) use lens::Lens;
pub(crate) use marks::Met;
pub(crate) use network::{Fares, Lines};
pub(crate) use outcome::{Harm, HarmKind, Outcome, Spot};
pub(crate) use path::Path;
pub(crate) use purifier::CYCLE_S;
pub(crate) use run::{OUTAGE_S, THAWS_S, run};
pub(crate) use start::{Phase, Start, phases, phases_left_properly};
pub(crate) use state::State;
pub(crate) use trace::Trace;
pub(crate) use waters::{Water, Waters, follow, waters_of};

/// The most joints, valves and lines that a station may have here: they are kept as bits.
pub(crate) const MOST_BITS: usize = 64;
