//! A task: whether its water can come from there and get here at all.

use std::collections::BTreeSet;

use crate::fault::Fault;
use crate::plumbing::refuse::Refusals;
use crate::plumbing::{End, Plumbing, Task};
use crate::quantity::format_tape;
use crate::sections::LineupFields;
use crate::station::{Station, Vessel};

/// Refuses what can't be done; whether there is a way is asked only where the lines are `joined` as they can be.
pub(super) fn check(station: &Station, plumbing: &Plumbing, joined: bool, faults: &mut Vec<Fault>) {
    for (lineup, task) in station.lineups.iter().zip(&plumbing.tasks) {
        let refusals = &mut Refusals::of("lineup", lineup, faults);
        held(station, plumbing, &lineup.fields, task, refusals);
        if ends(&lineup.fields, task, refusals) && joined {
            way(station, plumbing, &lineup.fields, task, refusals);
        }
    }
}

/// What a three-way valve or an interlock doesn't let happen.
fn held(
    station: &Station,
    plumbing: &Plumbing,
    fields: &LineupFields,
    task: &Task,
    refusals: &mut Refusals<'_>,
) {
    let (Some(open), Some(field)) = (&task.open, &fields.open) else {
        return;
    };
    let name = |valve: usize| station.valves[valve].name.as_str();
    for valve in open {
        if let Some(other) = plumbing.other_way[*valve]
            && *valve < other
            && open.contains(&other)
        {
            refusals.value(
                field,
                format!(
                    "`{}` and `{}` are the two ways of one three-way valve, never both open",
                    name(*valve),
                    name(other)
                ),
                "leave one of them out",
            );
        }
    }
    let Some(pump) = task.pump else { return };
    let needed = &plumbing.runs_only_with[pump];
    if !needed.is_empty() && !needed.iter().any(|valve| open.contains(valve)) {
        let names: Vec<&str> = needed.iter().map(|valve| name(*valve)).collect();
        refusals.value(
            field,
            format!(
                "`{}` doesn't run while {} {} closed (runs_only_with)",
                station.pumps[pump].name,
                names.join(" and "),
                if names.len() > 1 { "are" } else { "is" }
            ),
            format!(
                "open {}, or take what this task opens into the interlock",
                names.join(" or ")
            ),
        );
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
    let ways = Ways { station, plumbing };
    match task.pump.map(End::Pump) {
        None if !ways.lead(task.from, task.to) => refusals.value(
            &fields.to,
            format!("no lines lead from `{}` to `{}`", name(task.from), name(task.to)),
            ways.missing(task.from, task.to),
        ),
        None => lifted(station, fields, task, refusals),
        Some(pump) if !ways.lead(task.from, pump) => refusals.value(
            &fields.from,
            format!(
                "no lines lead from `{}` to the inlet of the pump `{}`",
                name(task.from),
                name(pump)
            ),
            ways.missing(task.from, pump),
        ),
        Some(pump) if !ways.lead(pump, task.to) => refusals.value(
            &fields.to,
            format!(
                "no lines lead from the outlet of the pump `{}` to `{}`",
                name(pump),
                name(task.to)
            ),
            ways.missing(pump, task.to),
        ),
        Some(_) => {}
    }
}

/// A draw point that gravity can't bring water to, however full the vessel is.
fn lifted(station: &Station, fields: &LineupFields, task: &Task, refusals: &mut Refusals<'_>) {
    let (Some(vessel), End::Draw(draw)) = (vessel(station, task.from), task.to) else {
        return;
    };
    let rim_m = vessel.fields.floor_height.value.m() + vessel.height_m();
    let mouth_m = station.draw_points[draw].fields.height.value.m();
    if mouth_m >= rim_m {
        refusals.value(
            &fields.to,
            format!(
                "`{}` is {} above the floor, higher than the rim of `{}`, and gravity lifts no water",
                station.name_of(task.to),
                format_tape(mouth_m, station.units()),
                vessel.name
            ),
            "write by = \"pump\", or let the draw point hang lower",
        );
    }
}

/// Where water can get to, whatever the valves.
struct Ways<'a> {
    station: &'a Station,
    plumbing: &'a Plumbing,
}

impl Ways<'_> {
    fn lead(&self, from: End, to: End) -> bool {
        self.reached(from, true).contains(&to)
    }

    /// What to do about a way that isn't there.
    fn missing(&self, from: End, to: End) -> String {
        let name = self.station.name_of(from);
        if let Some(line) = self.reversed(from, to) {
            let own = &self.station.lines[line].name;
            let why = if self.has_check(line) {
                "its check valve lets water pass the other way only"
            } else {
                "it pours in over the rim, where it can take nothing"
            };
            return format!("the line `{own}` is reversed, {why}: exchange its `from` and `to`");
        }
        if self.reached(from, false).contains(&to) {
            return "check valves let water pass the other way only: exchange `from` and `to` of their lines"
                .to_owned();
        }
        let found: Vec<&str> = self
            .reached(from, true)
            .into_iter()
            .filter(|end| *end != from)
            .map(|end| self.station.name_of(end))
            .collect();
        if found.is_empty() {
            format!("no line takes water from `{name}`: add one")
        } else {
            format!(
                "from `{name}` lines lead to {} only: join what is missing",
                found.join(", ")
            )
        }
    }

    /// The line that opens the way when it is turned round. Those at a pump are looked at with the pump.
    fn reversed(&self, from: End, to: End) -> Option<usize> {
        let at_pump = |end| matches!(end, End::Pump(_));
        (0..self.plumbing.lines.len())
            .filter(|at| !at_pump(self.plumbing.lines[*at].from) && !at_pump(self.plumbing.lines[*at].to))
            .find(|at| self.reached_with(from, true, Some(*at)).contains(&to))
    }

    fn reached(&self, start: End, mind_checks: bool) -> BTreeSet<End> {
        self.reached_with(start, mind_checks, None)
    }

    /// All ends that water can get to from here: on through tees, through pumps from inlet to outlet; and through one
    /// line either way.
    fn reached_with(&self, start: End, mind_checks: bool, turned: Option<usize>) -> BTreeSet<End> {
        let mut found = BTreeSet::new();
        let mut ahead = vec![start];
        while let Some(end) = ahead.pop() {
            for at in self.plumbing.lines_at(end) {
                let line = self.plumbing.lines[at];
                let forward = line.from == end;
                let one_way = matches!(line.from, End::Pump(_))
                    || matches!(line.to, End::Pump(_))
                    || self.pours(at)
                    || (mind_checks && self.has_check(at));
                if !forward && one_way && turned != Some(at) {
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

    /// Whether it ends in air over a vessel, out of which it can take nothing.
    fn pours(&self, line: usize) -> bool {
        matches!(self.plumbing.lines[line].to, End::Vessel(_))
            && self.station.lines[line].fields.to_level.is_none()
    }

    fn has_check(&self, line: usize) -> bool {
        self.plumbing
            .valves_of(line)
            .any(|valve| self.station.valves[valve].fields.kind.value.is_check())
    }
}

fn vessel(station: &Station, end: End) -> Option<&Vessel> {
    match end {
        End::Vessel(at) => station.vessels.get(at),
        End::Tank(_) | End::Pump(_) | End::Tee(_) | End::Draw(_) => None,
    }
}
