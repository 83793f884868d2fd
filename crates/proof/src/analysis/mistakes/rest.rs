//! How a station stands between tasks, and a task beside what stands open then.
//!
//! A timer stirs a vessel while nobody is there: the valves of that task stay open between all others. Where lines can be
//! joined with a task's own they are shut for it; what stands open in another part of the plumbing is left as it is.

use station::Station;

use super::super::plumbing::{Lineups, Setting};
use super::blocks::blocks;
use super::graph::Graph;
use super::survey::Ground;
use super::switches::{Position, Switches};
use crate::method::Refusal;

/// How valves stand between tasks; pumps stand still.
pub(super) fn rest(ground: &Ground<'_>, lineups: &Lineups) -> Position {
    let valves = ground.station.valves.iter();
    ground.switches.position_of(&Setting {
        open: valves
            .map(|valve| lineups.stand_open.contains(&valve.name))
            .collect(),
        pump: None,
    })
}

/// A task's position with what stands open in parts of the plumbing that it has nothing to do with.
pub(super) fn beside(graph: &Graph, task: Position, open: Position) -> Position {
    let others = blocks(graph).into_iter().filter(|block| block.mask & task == 0);
    others.fold(task, |position, block| position | open & block.mask)
}

/// The same for a station.
///
/// # Errors
/// [`Refusal`] where its network can't be computed, or there is more of it than is looked at.
pub(crate) fn set_beside(station: &Station, task: Position, open: Position) -> Result<Position, Refusal> {
    let graph = Graph::of(station, &Switches::of(station)?)?;
    Ok(beside(&graph, task, open))
}

/// The valves that are turned of each part of the plumbing, as bits by their place in the station: lines of two parts can't be
/// joined by any of them.
///
/// # Errors
/// As [`set_beside`].
pub(crate) fn parts(station: &Station) -> Result<Vec<u64>, Refusal> {
    let switches = Switches::of(station)?;
    let of = |position: Position| {
        let valves = switches.open_valves(position).into_iter();
        valves.fold(0, |all, valve| all | 1 << valve)
    };
    let each = blocks(&Graph::of(station, &switches)?)
        .into_iter()
        .map(|block| of(block.mask));
    Ok(each.filter(|valves| *valves != 0).collect())
}
