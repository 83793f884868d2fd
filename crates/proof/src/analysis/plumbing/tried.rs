//! A task that isn't in the file, or not as it stands there: tried with whatever valves do it.

use station::Station;
use station::plumbing::Task;

use super::paths::Without;
use super::run::{Ending, Wanted, run};
use super::setting::find_setting;
use super::state::{STILL_M3_S, State};
use super::{arriving, situation};

/// A task that works.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tried {
    /// Its lines, from the source on.
    pub(crate) lines: Vec<usize>,
    /// The valves that are opened for it; all others are closed.
    pub(crate) open: Vec<usize>,
    /// Flow when it begins, with its source full.
    pub(crate) flow_m3_s: f64,
    /// How long it takes, and what it moves by then; nothing where it goes round or never ends.
    pub(crate) moves: Option<(f64, f64)>,
}

/// Tries a task from a full source, without some of the lines; `None` where it can't be done.
pub(crate) fn try_task<'a>(
    station: &'a Station,
    state: &mut State<'a>,
    task: &Task,
    without: &Without,
    volume_m3: f64,
) -> Option<Tried> {
    let found = find_setting(station, state, task, without);
    let (Some(setting), None) = (found.setting, found.trouble) else {
        return None;
    };
    let full = situation(station, task, "full");
    state.begin(&full, &setting).ok()?;
    state.solve(task.from).ok()?;
    let flow_m3_s = arriving(state, task);
    if flow_m3_s <= STILL_M3_S {
        return None;
    }
    let wanted = Wanted {
        volume_m3,
        permeate_m3_s: 0.0,
    };
    let ran = match task.from == task.to {
        true => None,
        false => run(station, state, task, &full, &wanted).ok().flatten(),
    };
    let is_set = |valve: usize| station.valves[valve].fields.kind.value.is_set();
    Some(Tried {
        lines: found.lines,
        open: (0..station.valves.len())
            .filter(|valve| setting.open[*valve] && is_set(*valve))
            .collect(),
        flow_m3_s,
        moves: ran
            .filter(|run| run.ending != Ending::Endless)
            .map(|run| (run.seconds, run.moved_m3)),
    })
}
