//! The plant: the whole station through time, from the feed to the tanks, with its controls and its people.
//!
//! Owns: what stands in each vessel and how it moves ([`books`]), the purifier's runs, the people who come and what they
//! do, and the loop from event to event ([`drive`]). The same loop, modes, controls and events serve two paces: [`Fine`]
//! follows levels and flows second by second through the network's solver, [`Coarse`] reads times from tables that the
//! fine one made, and is quick enough for thousands of years.
//!
//! Doesn't own: how the station decides (`station::control`), how water flows (`physics`), what a year comes to and how
//! sure that is (`analysis::year`).

mod amount;
mod at_once;
mod batch;
mod body;
mod books;
mod build;
mod calendar;
mod chance;
mod choose;
mod coarse;
mod control;
mod drive;
mod fine;
mod happen;
mod heat;
mod jobs;
mod pace;
mod person;
mod purifier;
mod round;
mod season;
mod state;
mod stores;
mod tally;
#[cfg(test)]
mod tests;
mod ways;

pub(crate) use amount::{Amount, Brine};
pub(crate) use body::{Comes, Plant, Stop, Vessel};
pub(crate) use books::{Account, Outside};
pub(crate) use build::{Known, Odd, USUAL_ODD_S, build};
pub(crate) use calendar::visit_on;
pub(crate) use chance::{Chance, NameKey};
pub(crate) use coarse::Coarse;
pub(crate) use control::{parts_of_pumps, stirring};
pub(crate) use drive::{drive, finish};
pub(crate) use fine::{Fine, Membranes, Network};
pub(crate) use pace::Pace;
pub(crate) use purifier::Flows;
pub(crate) use state::State;
#[cfg(test)]
pub(crate) use stores::Batch;
pub(crate) use tally::{Reason, Tally, WEEKS, Work};
pub(crate) use ways::{Times, Way};

/// A day, s.
pub(crate) const DAY_S: f64 = 86_400.0;
/// Days of the year that is simulated: every year is an ordinary one.
pub(crate) const YEAR_DAYS: u32 = 365;
/// That year, s.
pub(crate) const YEAR_S: f64 = 365.0 * DAY_S;
