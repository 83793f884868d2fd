//! A task: whether its water can come from there and get here at all.

use std::collections::BTreeSet;

use crate::fault::Fault;
use crate::plumbing::refuse::Refusals;
use crate::plumbing::{End, Plumbing, Task};
use crate::quantity::format_tape;
use crate::sections::LineupFields;
use crate::station::{Station, Vessel};

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (lineup, task) in station.lineups.iter().zip(&plumbing.tasks) {
        let refusals = &mut Refusals::of("lineup", lineup, faults);
        if ends(&lineup.fields, task, refusals) {
            way(station, plumbing, &lineup.fields, task, refusals);
            volume(station, &lineup.fields, task, refusals);
        }
    }
}

/// Whether the ends are such as water can be moved between.
fn ends(fields: &LineupFields, task: &Task, refusals: &mut Refusals<'_>) -> bool {
    let (from, to) = (task.from, task.to);
    if !matches!(from, End::Vessel(_) | End::Tank(_)) {
        refusals.value(
            &fields.from,
            format!(
                "a task takes its water from a vessel or a tank, not from a {}",
                from.kind()
            ),
            "name the vessel or tank that grows emptier",
        );
        return false;
    }
    if matches!(to, End::Pump(_) | End::Tee(_)) {
        refusals.value(
            &fields.to,
            format!(
                "a task brings its water to a draw point, a vessel or a tank, not to a {}",
                to.kind()
            ),
            "name where the water ends up",
        );
        return false;
    }
    // Out of a vessel and back into it is how a batch is mixed; by gravity nothing would move.
    if from == to && task.pump.is_none() {
        refusals.value(
            &fields.to,
            "water doesn't go round by gravity",
            "write by = \"pump\", or name another end",
        );
        return false;
    }
    true
}

/// Whether lines lead from the task's beginning to its end, through its pump where it has one.
fn way(
    station: &Station,
    plumbing: &Plumbing,
    fields: &LineupFields,
    task: &Task,
    refusals: &mut Refusals<'_>,
) {
    let name = |end| station.name_of(end);
    let Some(pump) = task.pump.map(End::Pump) else {
        if !reached(station, plumbing, task.from).contains(&task.to) {
            return refusals.value(
                &fields.to,
                format!("no lines lead from `{}` to `{}`", name(task.from), name(task.to)),
                "check where the lines begin and end; a check valve lets water pass one way only",
            );
        }
        if let (Some(vessel), End::Draw(draw)) = (vessel(station, task.from), task.to) {
            let rim_m = vessel.fields.floor_height.value.m() + vessel.height_m();
            let mouth_m = station.draw_points[draw].fields.height.value.m();
            if mouth_m >= rim_m {
                refusals.value(
                    &fields.to,
                    format!(
                        "`{}` is {} above the floor, higher than the rim of `{}`, and gravity lifts no water",
                        name(task.to),
                        format_tape(mouth_m, station.units()),
                        vessel.name
                    ),
                    "write by = \"pump\", or let the draw point hang lower",
                );
            }
        }
        return;
    };
    if !reached(station, plumbing, task.from).contains(&pump) {
        refusals.value(
            &fields.from,
            format!(
                "no lines lead from `{}` to the inlet of the pump `{}`",
                name(task.from),
                name(pump)
            ),
            "check where the lines begin and end; a check valve lets water pass one way only",
        );
    } else if !reached(station, plumbing, pump).contains(&task.to) {
        refusals.value(
            &fields.to,
            format!(
                "no lines lead from the outlet of the pump `{}` to `{}`",
                name(pump),
                name(task.to)
            ),
            "check where the lines begin and end; a check valve lets water pass one way only",
        );
    }
}

/// Everything that water can get to from here, whatever the valves: on through tees, through pumps by their inlet.
fn reached(station: &Station, plumbing: &Plumbing, start: End) -> BTreeSet<End> {
    let mut found = BTreeSet::new();
    let mut ahead = vec![start];
    while let Some(end) = ahead.pop() {
        for at in plumbing.lines_at(end) {
            let line = plumbing.lines[at];
            let forward = line.from == end;
            // Into a pump by its inlet, out of it by its outlet; a check valve likewise.
            let one_way = matches!(line.from, End::Pump(_))
                || matches!(line.to, End::Pump(_))
                || plumbing
                    .valves_of(at)
                    .any(|valve| station.valves[valve].fields.kind.value.is_check());
            if !forward && one_way {
                continue;
            }
            let far = if forward { line.to } else { line.from };
            if found.insert(far) && matches!(far, End::Tee(_) | End::Pump(_)) {
                ahead.push(far);
            }
        }
    }
    found
}

/// More can't be moved than a vessel holds.
fn volume(station: &Station, fields: &LineupFields, task: &Task, refusals: &mut Refusals<'_>) {
    let Some(volume) = &fields.volume else { return };
    // What goes round may go round more than once.
    if task.from == task.to {
        return;
    }
    for end in [task.from, task.to] {
        if let Some(vessel) = vessel(station, end)
            && volume.value.m3() > vessel.shape.full_volume_m3()
        {
            return refusals.value(
                volume,
                format!("this is more than the vessel `{}` holds", vessel.name),
                "lower it, or leave it out to move all that can be",
            );
        }
    }
}

fn vessel(station: &Station, end: End) -> Option<&Vessel> {
    match end {
        End::Vessel(at) => station.vessels.get(at),
        End::Tank(_) | End::Pump(_) | End::Tee(_) | End::Draw(_) => None,
    }
}
