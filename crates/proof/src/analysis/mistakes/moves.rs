//! From each task every single wrong move, and what a task does by itself.

use station::Station;
use station::plumbing::{End, Task};
use station::sections::Water;

use super::super::plumbing::{Lineup, Lineups, STILL_M3_S, Setting};
use super::drawn::other_water;
use super::ids::{HarmIds, HarmSet};
use super::judge::{Harm, sum};
use super::kind::Kind;
use super::rest::rest;
use super::survey::{Ground, Survey};
use super::switches::{Position, Switch};
use crate::method::Refusal;
use crate::threads::joined;

/// A time that is shorter by less counts as the same, so that of two moments with one time the first is told.
const SOONER: f64 = 1e-6;

/// A wrong move, and what it does soonest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wrong {
    /// The task; `None` between tasks.
    pub(super) lineup: Option<usize>,
    /// What was moved and whether it is on now; `None` where the task does it by itself.
    pub(super) moved: Option<(Switch, bool)>,
    pub(super) position: Position,
    pub(super) situation: usize,
    pub(super) harm: Harm,
}

/// All of them, task by task.
pub(super) fn wrong_moves(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    lineups: &Lineups,
) -> Result<Vec<Wrong>, Refusal> {
    let mut all = Vec::new();
    let at_rest = all_harms(surveys, 0)?;
    for (_, kind, victim) in ground.ids.each() {
        let is = |_: usize, harm: &Harm| (harm.kind, harm.victim) == (kind, victim);
        if let Some((situation, harm)) = soonest(&at_rest, is) {
            all.push(Wrong {
                lineup: None,
                moved: None,
                position: 0,
                situation,
                harm,
            });
        }
    }
    of_rest(ground, surveys, rest(ground, lineups), &mut all)?;
    for (lineup, own) in lineups.lineups.iter().enumerate() {
        if let Some(setting) = setting_of(ground.station, own) {
            let here = ground.switches.position_of(&setting);
            of_task(ground, surveys, (lineup, here), &mut all)?;
        }
    }
    Ok(all)
}

/// What each task comes to by what it is there for, where nobody ends it.
pub(super) fn left_on(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    lineups: &Lineups,
) -> Result<Vec<Wrong>, Refusal> {
    let (station, ids) = (ground.station, ground.ids);
    let mut all = Vec::new();
    for (lineup, own) in lineups.lineups.iter().enumerate() {
        let Some(setting) = setting_of(station, own) else {
            continue;
        };
        let position = ground.switches.position_of(&setting);
        let meant = purpose(station, &station.plumbing.tasks[lineup], ids);
        let harms = all_harms(surveys, position)?;
        let to = station.plumbing.tasks[lineup].to;
        for (id, kind, victim) in ids.each() {
            // Water for a batch thins what it is poured into: that is what it is for.
            if kind == Kind::FreshIntoSalt && victim == to && matches!(to, End::Vessel(_)) {
                continue;
            }
            let is = |_: usize, harm: &Harm| {
                meant & id != 0 && harm.seconds > 0.0 && (harm.kind, harm.victim) == (kind, victim)
            };
            if let Some((situation, harm)) = soonest(&harms, is) {
                all.push(Wrong {
                    lineup: Some(lineup),
                    moved: None,
                    position,
                    situation,
                    harm,
                });
            }
        }
    }
    Ok(all)
}

/// Where valves stand open between tasks: what that does, and each valve turned by itself. What a pump does there is told with
/// the task that stirs.
fn of_rest(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    rest: Position,
    out: &mut Vec<Wrong>,
) -> Result<(), Refusal> {
    let Ground { switches, ids, .. } = *ground;
    if rest == 0 {
        return Ok(());
    }
    let at_closed = all_harms(surveys, 0)?;
    let mut known: Vec<HarmSet> = at_closed.iter().map(|harms| ids.set(harms)).collect();
    let valves = (0..switches.count()).filter(|bit| matches!(switches.switch(*bit), Switch::Valve(_)));
    let moved = valves.filter_map(|bit| {
        let there = switches.moved(rest, bit)?;
        Some((Some((switches.switch(bit), there >> bit & 1 == 1)), there))
    });
    let moves: Vec<(Option<(Switch, bool)>, Position)> = moved.collect();
    for (moved, position) in core::iter::once((None, rest)).chain(moves) {
        let harms = all_harms(surveys, position)?;
        for (id, kind, victim) in ids.each() {
            let is_new = |situation: usize, harm: &Harm| {
                known[situation] & id == 0 && (harm.kind, harm.victim) == (kind, victim)
            };
            if let Some((situation, harm)) = soonest(&harms, is_new) {
                out.push(Wrong {
                    lineup: None,
                    moved,
                    position,
                    situation,
                    harm,
                });
            }
        }
        if moved.is_none() {
            for (known, harms) in known.iter_mut().zip(&harms) {
                *known |= ids.set(harms);
            }
        }
    }
    Ok(())
}

fn of_task(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    (lineup, here): (usize, Position),
    out: &mut Vec<Wrong>,
) -> Result<(), Refusal> {
    let Ground { switches, ids, .. } = *ground;
    // What is so with everything closed is no matter of a task.
    let excused = purpose(ground.station, &ground.station.plumbing.tasks[lineup], ids);
    let task = &ground.station.plumbing.tasks[lineup];
    let at_rest = harms_to(ground, surveys, task, 0)?;
    let mut known: Vec<HarmSet> = at_rest.iter().map(|harms| excused | ids.set(harms)).collect();
    let own = harms_to(ground, surveys, task, here)?;
    let draws_air = |harms: &[Harm], victim: End| {
        let mut own = harms.iter();
        own.any(|harm| (harm.kind, harm.victim) == (Kind::PumpDry, victim) && harm.seconds == 0.0)
    };
    let each = ids.each();
    let mut look = |surveys: &mut [Survey<'_>],
                    known: &[HarmSet],
                    moved: Option<(Switch, bool)>,
                    position|
     -> Result<(), Refusal> {
        let harms = harms_to(ground, surveys, task, position)?;
        for (id, kind, victim) in &each {
            let is_new = |situation: usize, harm: &Harm| {
                // To empty its source is what a task comes to; that its pump draws air at once isn't.
                let at_once = *kind == Kind::PumpDry
                    && harm.seconds == 0.0
                    && (moved.is_none() || !draws_air(&own[situation], *victim));
                (known[situation] & id == 0 || at_once) && (harm.kind, harm.victim) == (*kind, *victim)
            };
            if let Some((situation, harm)) = soonest(&harms, is_new) {
                out.push(Wrong {
                    lineup: Some(lineup),
                    moved,
                    position,
                    situation,
                    harm,
                });
            }
        }
        Ok(())
    };
    look(surveys, &known, None, here)?;
    // What the task does anyway is no mistake of a move.
    for (known, own) in known.iter_mut().zip(&own) {
        *known |= ids.set(own);
    }
    for bit in 0..switches.count() {
        if let Some(there) = switches.moved(here, bit) {
            let moved = Some((switches.switch(bit), there >> bit & 1 == 1));
            look(surveys, &known, moved, there)?;
        }
    }
    Ok(())
}

/// The harm of a position in each situation.
fn all_harms(surveys: &mut [Survey<'_>], position: Position) -> Result<Vec<Vec<Harm>>, Refusal> {
    surveys
        .iter_mut()
        .map(|survey| Ok(survey.harms(position)?.to_vec()))
        .collect()
}

/// The harm of each of some positions in each situation; each situation is looked at in a thread of its own.
pub(super) fn harms_of_all(
    surveys: &mut [Survey<'_>],
    positions: &[Position],
) -> Result<Vec<Vec<Vec<Harm>>>, Refusal> {
    let mut all = vec![Vec::with_capacity(surveys.len()); positions.len()];
    std::thread::scope(|scope| {
        let threads: Vec<_> = surveys
            .iter_mut()
            .map(|survey| {
                scope.spawn(move || {
                    let harms = positions.iter().map(|own| Ok(survey.harms(*own)?.to_vec()));
                    harms.collect::<Result<Vec<_>, Refusal>>()
                })
            })
            .collect();
        for thread in threads {
            for (each, own) in all.iter_mut().zip(joined(thread)?) {
                each.push(own);
            }
        }
        Ok(all)
    })
}

/// The harm of a position to a task in each situation: that to anybody, other water in a container than it draws, and what
/// runs on when a high cut-out has stopped the pumps.
fn harms_to(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_>],
    task: &Task,
    position: Position,
) -> Result<Vec<Vec<Harm>>, Refusal> {
    surveys
        .iter_mut()
        .map(|survey| {
            let mut harms = harm_to(survey, task, position)?;
            run_on(ground, survey, position, &mut harms)?;
            Ok(harms)
        })
        .collect()
}

/// What a vessel or tank comes to whose high cut-out stops the pumps, where water goes on coming without them.
fn run_on(
    ground: &Ground<'_>,
    survey: &mut Survey<'_>,
    position: Position,
    harms: &mut Vec<Harm>,
) -> Result<(), Refusal> {
    let stopped = ground.switches.with_pumps_stopped(position);
    if stopped == position {
        return Ok(());
    }
    let (moment, outcomes) = survey.flowing(position)?;
    let has_cutout = |end: &End| match *end {
        End::Vessel(vessel) => moment.vessels[vessel].has_high_cutout,
        End::Tank(tank) => moment.tanks[tank].has_high_cutout,
        End::Draw(_) | End::Tee(_) | End::Pump(_) => false,
    };
    let rises = |end: &End| sum(*end, &outcomes).net_m3_s() > STILL_M3_S;
    let cut: Vec<End> = moment
        .ends()
        .filter(|end| has_cutout(end) && rises(end))
        .collect();
    if cut.is_empty() {
        return Ok(());
    }
    for harm in survey.harms(stopped)? {
        let runs_over = matches!(harm.kind, Kind::OverRim | Kind::SiphonIntoTank);
        let known = harms
            .iter()
            .any(|own| (own.kind, own.victim) == (harm.kind, harm.victim));
        if runs_over && cut.contains(&harm.victim) && !known {
            harms.push(*harm);
        }
    }
    Ok(())
}

/// The same at one moment.
pub(super) fn harm_to(
    survey: &mut Survey<'_>,
    task: &Task,
    position: Position,
) -> Result<Vec<Harm>, Refusal> {
    let mut harms = survey.harms(position)?.to_vec();
    let known = |own: &Harm| (own.kind, own.victim) == (Kind::WrongWaterDrawn, task.to);
    if let (End::Vessel(source), End::Draw(draw)) = (task.from, task.to)
        && !harms.iter().any(known)
    {
        let (moment, outcomes) = survey.flowing(position)?;
        harms.extend(other_water(moment, (source, draw), &outcomes));
    }
    Ok(harms)
}

/// The situation in which a harm is done soonest.
pub(super) fn soonest(harms: &[Vec<Harm>], is: impl Fn(usize, &Harm) -> bool) -> Option<(usize, Harm)> {
    let mut best: Option<(usize, Harm)> = None;
    for (situation, harms) in harms.iter().enumerate() {
        for harm in harms.iter().filter(|harm| is(situation, harm)) {
            if best.is_none_or(|(_, before)| harm.seconds < before.seconds * (1.0 - SOONER)) {
                best = Some((situation, *harm));
            }
        }
    }
    best
}

/// The setting of a task by its names.
pub(super) fn setting_of(station: &Station, lineup: &Lineup) -> Option<Setting> {
    let open = lineup.valves_open.as_ref()?;
    Some(Setting {
        open: station
            .valves
            .iter()
            .map(|valve| open.contains(&valve.name))
            .collect(),
        pump: station
            .pumps
            .iter()
            .position(|pump| lineup.pumps_on.contains(&pump.name)),
    })
}

/// What a task is there to do, or comes to by itself when it is done: no mistake.
///
/// A bucket under a draw point is watched; a vessel is filled on purpose; a source that a task empties is its end. A heater
/// that is left dry by it is no purpose.
pub(super) fn purpose(station: &Station, task: &Task, ids: &HarmIds) -> HarmSet {
    let mut set = 0;
    match task.to {
        End::Draw(_) => set |= ids.bit(Kind::ToFloor, task.to),
        End::Vessel(_) if task.from != task.to => {
            set |= ids.bit(Kind::OverRim, task.to);
            // Water for a batch, or salt water into a vessel that is to be salted.
            if holds(station, task.from) != holds(station, task.to) {
                set |= ids.bit(Kind::FreshIntoSalt, task.to);
            }
        }
        End::Tank(_) => {
            set |= ids.bit(Kind::OverRim, task.to);
            // What runs on when the pump has stopped is no purpose.
            if task.pump.is_none() {
                set |= ids.bit(Kind::SiphonIntoTank, task.to);
            }
            if holds(station, task.from) == Some(Water::Fresh) {
                set |= ids.bit(Kind::FreshIntoSalt, task.to);
            }
        }
        End::Vessel(_) | End::Pump(_) | End::Tee(_) => {}
    }
    match task.from {
        End::Tank(_) => set |= ids.bit(Kind::TankDrawnBack, task.from),
        End::Vessel(_) if task.from != task.to => {
            if let Some(pump) = task.pump {
                set |= ids.bit(Kind::PumpDry, End::Pump(pump));
            }
        }
        End::Vessel(_) | End::Draw(_) | End::Pump(_) | End::Tee(_) => {}
    }
    set
}

fn holds(station: &Station, end: End) -> Option<Water> {
    match end {
        End::Vessel(vessel) => Some(station.vessels[vessel].fields.holds.value),
        _ => None,
    }
}
