//! The order of moves from any position to a task and back: by the same search that orders tasks among each other.

use station::Station;
use station::plumbing::Task;

use super::moves::purpose;
use super::switches::Position;
use super::switching::{REST, Safety, Stop, SwitchMove, order};
use super::{Base, surveys};
use crate::method::Refusal;

/// A leg of a task's card: to its setting, or from there back to where everything stands between tasks.
pub(crate) struct Leg<'a> {
    /// How valves and pumps stand.
    pub(crate) from: Position,
    /// How they are to stand.
    pub(crate) to: Position,
    /// The task.
    pub(crate) task: &'a Task,
}

/// The moves of a leg that pass through no harm but what the task is there for; `None` where there are none. Where the
/// position that stands does harm already, a move on the way out of it may leave that as it is.
///
/// # Errors
/// [`Refusal`] where the network can't be computed, or there is more of it than is looked at.
pub(crate) fn leg(
    station: &Station,
    permeate_m3_s: f64,
    leg: &Leg<'_>,
) -> Result<Option<Vec<SwitchMove>>, Refusal> {
    let base = Base::of(station)?;
    let ground = base.ground(station, permeate_m3_s);
    let (_, mut surveys) = surveys(&ground)?;
    let mut safety = Safety::of(&mut surveys, ground.ids)?;
    let mut from = Stop {
        name: "here",
        position: leg.from,
        purpose: purpose(station, leg.task, ground.ids),
        task: Some(leg.task),
    };
    let to = Stop {
        name: REST,
        position: leg.to,
        purpose: 0,
        task: None,
    };
    let found = order(station, ground.switches, &mut safety, &from, &to)?;
    if found.moves.is_some() {
        return Ok(found.moves);
    }
    let moments = safety.moments(Some(leg.task));
    from.purpose |= safety.harm(leg.from, &moments, from.purpose)?;
    Ok(order(station, ground.switches, &mut safety, &from, &to)?.moves)
}
