//! Valve positions for a task: the owner's, or found; and whether they do it and nothing else.

use station::plumbing::Task;
use station::{Situation, Station};

use super::paths::{Way, Without, ways};
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
    /// These valves close the way that is nearest to open.
    Closed(Vec<String>),
    /// Every way would need both ways of a three-way valve, or a pump that its interlock stops.
    Held,
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
    state: &mut State<'_>,
    task: &Task,
    setting: &Setting,
    situation: &Situation,
) -> Result<Done, Refusal> {
    state.begin(situation, setting)?;
    state.solve(task.from)?;
    Ok(Done {
        flows_m3_s: (0..state.pipework.lines.len())
            .map(|line| state.line_flow_m3_s(line))
            .collect(),
        arriving_m3_s: arriving(state, task),
    })
}

/// The setting of a task: the owner's, looked at; or of all ways the one that does it with the greatest flow and lets
/// no water go anywhere else.
pub(super) fn find_setting(
    station: &Station,
    state: &mut State<'_>,
    task: &Task,
    without: &Without,
) -> Found {
    let full = situation(station, task, "full");
    let ways = ways(station, task, without);
    if let Some(open) = &task.open {
        let mut setting = Setting {
            open: vec![false; station.valves.len()],
            pump: task.pump,
        };
        for valve in open {
            setting.open[*valve] = true;
        }
        return looked_at(station, state, task, setting, &full, &ways).0;
    }
    let mut best: Option<(f64, Found)> = None;
    let mut spoiled: Option<Found> = None;
    let mut held = false;
    for way in &ways {
        let setting = way.setting(station, task.pump);
        if !can_be(station, &setting) {
            held = true;
            continue;
        }
        let (found, flow) = looked_at(station, state, task, setting, &full, core::slice::from_ref(way));
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
            trouble: Some(if held { Trouble::Held } else { Trouble::NoWay }),
        },
    }
}

/// Whether the three-way valves and interlocks let a setting be.
fn can_be(station: &Station, setting: &Setting) -> bool {
    let plumbing = &station.plumbing;
    let is_open = |valve: &usize| setting.open[*valve];
    let both = (0..setting.open.len())
        .filter(is_open)
        .any(|valve| plumbing.other_way[valve].as_ref().is_some_and(is_open));
    let runs = setting.pump.is_none_or(|pump| {
        let needed = &plumbing.runs_only_with[pump];
        needed.is_empty() || needed.iter().any(is_open)
    });
    !both && runs
}

/// Whether a setting does the task and nothing else, along one of the ways; and what arrives.
fn looked_at(
    station: &Station,
    state: &mut State<'_>,
    task: &Task,
    setting: Setting,
    situation: &Situation,
    ways: &[Way],
) -> (Found, f64) {
    let done = match try_setting(state, task, &setting, situation) {
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
                .all(|valve| setting.open[valve] || !station.valves[valve].fields.kind.value.is_set())
        })
    };
    let on_open_ways: Vec<usize> = ways
        .iter()
        .filter(open)
        .flat_map(|way| way.lines.iter().copied())
        .collect();
    let way = ways.iter().filter(open).max_by_key(|way| {
        let carrying = way.lines.iter().filter(|line| carries(**line)).count();
        // Of two ways that both carry, the owner means the one whose valves were opened.
        let opened = station
            .plumbing
            .line_of_valve
            .iter()
            .filter(|line| way.lines.contains(line))
            .count();
        (carrying == way.lines.len(), opened, carrying)
    });
    let Some(way) = way else {
        let nowhere = Found {
            lines: Vec::new(),
            strays: strays(station, &done, &[]),
            trouble: Some(closed(station, &setting, ways)),
            setting: Some(setting),
        };
        return (nowhere, 0.0);
    };
    // Two lines into one vessel are no stray: each is a way of the task. A way found by the program is alone.
    let strays = strays(station, &done, &on_open_ways);
    // Water that goes elsewhere is told first: it is why too little arrives.
    let trouble = if !strays.is_empty() {
        Some(Trouble::Strays)
    } else if done.arriving_m3_s <= STILL_M3_S {
        Some(Trouble::NoFlow)
    } else {
        None
    };
    let found = Found {
        setting: Some(setting),
        lines: way.lines.clone(),
        strays,
        trouble,
    };
    (found, done.arriving_m3_s)
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

/// The closed valves of the way that has fewest of them.
fn closed(station: &Station, setting: &Setting, ways: &[Way]) -> Trouble {
    let closed = |way: &Way| -> Vec<String> {
        way.lines
            .iter()
            .flat_map(|line| station.plumbing.valves_of(*line))
            .filter(|valve| !setting.open[*valve] && station.valves[*valve].fields.kind.value.is_set())
            .map(|valve| station.valves[valve].name.clone())
            .collect()
    };
    ways.iter()
        .map(closed)
        .min_by_key(Vec::len)
        .map_or(Trouble::NoWay, Trouble::Closed)
}
