//! Valve positions for a task: the owner's, or found; and whether they do it and nothing else.

use station::plumbing::{End, Task};
use station::{Situation, Station};

use super::build::Pipework;
use super::paths::{Way, ways};
use super::state::{STILL_M3_S, Setting, State};
use super::{Stray, arriving, situation};
use crate::method::Refusal;

/// A setting and what it does.
#[derive(Debug, Clone)]
pub(super) struct Found {
    /// The setting; `None` where none was found that does the task.
    pub(super) setting: Option<Setting>,
    /// Lines on the way, from the source on.
    pub(super) lines: Vec<usize>,
    /// Lines that carry water beside the way.
    pub(super) strays: Vec<Stray>,
    /// Why there is none, or what is wrong with the owner's.
    pub(super) trouble: Option<Trouble>,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Trouble {
    /// No lines lead from there to here, by such a pump.
    NoWay,
    /// There is a way, but nothing flows along it.
    NoFlow,
    /// Water also flows elsewhere, and no valve holds it.
    Strays,
}

/// What a setting does.
struct Done {
    flows_m3_s: Vec<f64>,
    arriving_m3_s: f64,
}

fn try_setting(
    station: &Station,
    pipework: &Pipework,
    task: &Task,
    setting: &Setting,
    situation: &Situation,
) -> Result<Done, Refusal> {
    let mut state = State::new(station, pipework, situation)?;
    state.set(setting)?;
    state.solve(task.from)?;
    Ok(Done {
        flows_m3_s: (0..station.lines.len())
            .map(|line| state.line_flow_m3_s(line))
            .collect(),
        arriving_m3_s: arriving(&state, task),
    })
}

/// The setting of a task: the owner's, looked at; or of all ways the one that does it with the greatest flow and lets
/// no water go anywhere else.
pub(super) fn find_setting(station: &Station, pipework: &Pipework, task: &Task) -> Found {
    let full = situation(station, task, "full");
    let ways = ways(station, task);
    if let Some(open) = &task.open {
        let mut setting = Setting {
            open: vec![false; station.valves.len()],
            pump: task.pump,
        };
        for valve in open {
            setting.open[*valve] = true;
        }
        return looked_at(station, pipework, task, setting, &full, &ways);
    }
    let mut best: Option<(f64, Found)> = None;
    let mut spoiled: Option<Found> = None;
    for way in &ways {
        let setting = way.setting(station, task.pump);
        let found = looked_at(
            station,
            pipework,
            task,
            setting.clone(),
            &full,
            core::slice::from_ref(way),
        );
        let flow =
            try_setting(station, pipework, task, &setting, &full).map_or(0.0, |done| done.arriving_m3_s);
        match found.trouble {
            None if best.as_ref().is_none_or(|(most, _)| flow > *most) => best = Some((flow, found)),
            None => {}
            Some(_) => spoiled = spoiled.or(Some(found)),
        }
    }
    match (best, spoiled) {
        (Some((_, found)), _) => found,
        (None, Some(found)) => Found {
            setting: None,
            ..found
        },
        (None, None) => Found {
            setting: None,
            lines: Vec::new(),
            strays: Vec::new(),
            trouble: Some(Trouble::NoWay),
        },
    }
}

/// Whether a setting does the task and nothing else, along one of the ways.
fn looked_at(
    station: &Station,
    pipework: &Pipework,
    task: &Task,
    setting: Setting,
    situation: &Situation,
    ways: &[Way],
) -> Found {
    let done = match try_setting(station, pipework, task, &setting, situation) {
        Ok(done) => done,
        Err(_) => Done {
            flows_m3_s: vec![0.0; station.lines.len()],
            arriving_m3_s: 0.0,
        },
    };
    let carries = |line: usize| done.flows_m3_s[line].abs() > STILL_M3_S;
    // The way that is open along all its length, and carries water where several are.
    let open = |way: &&Way| {
        way.lines.iter().all(|line| {
            station
                .plumbing
                .valves_of(*line)
                .all(|valve| setting.open[valve] || station.valves[valve].fields.kind.value.is_check())
        })
    };
    let way = ways
        .iter()
        .filter(open)
        .max_by_key(|way| way.lines.iter().filter(|line| carries(**line)).count());
    let Some(way) = way else {
        return Found {
            setting: Some(setting),
            lines: Vec::new(),
            strays: strays(station, &done, &[]),
            trouble: Some(Trouble::NoWay),
        };
    };
    let strays = strays(station, &done, &way.lines);
    let trouble = if done.arriving_m3_s <= STILL_M3_S {
        Some(Trouble::NoFlow)
    } else if strays.is_empty() {
        None
    } else {
        Some(Trouble::Strays)
    };
    Found {
        setting: Some(setting),
        lines: way.lines.clone(),
        strays,
        trouble,
    }
}

fn strays(station: &Station, done: &Done, way: &[usize]) -> Vec<Stray> {
    done.flows_m3_s
        .iter()
        .enumerate()
        .filter(|(line, flow)| flow.abs() > STILL_M3_S && !way.contains(line))
        .map(|(line, flow)| Stray {
            line: station.lines[line].name.clone(),
            flow_m3_per_s: *flow,
        })
        .collect()
}

/// Where a stray ends up: the open end at its far side, where there is one.
pub(super) fn stray_end(station: &Station, stray: &Stray) -> Option<End> {
    let at = station.lines.iter().position(|line| line.name == stray.line)?;
    let joined = station.plumbing.lines[at];
    let far = if stray.flow_m3_per_s > 0.0 {
        joined.to
    } else {
        joined.from
    };
    matches!(far, End::Vessel(_) | End::Tank(_) | End::Draw(_)).then_some(far)
}
