//! What can't be joined, or can't be so: pumps the wrong way round, lines to nowhere, bores that don't fit.
//!
//! Owns: refusals of what is impossible. What is possible but unwise is a finding of the proof.

mod joint;
mod line;
mod stirring;
mod task;
mod valve;

use super::Plumbing;
use crate::fault::Fault;
use crate::station::Station;

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    let before = faults.len();
    line::check(station, plumbing, faults);
    joint::check(station, plumbing, faults);
    // A way that is missing where lines are joined wrongly is no fault of its own.
    let joined = faults.len() == before;
    valve::check(station, plumbing, faults);
    task::check(station, plumbing, joined, faults);
    stirring::check(station, plumbing, faults);
}
