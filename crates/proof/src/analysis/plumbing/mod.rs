//! Plumbing: which valves make each task, what flows, how long it takes, and whether the pump is happy.
//!
//! Owns: the network of the station's lines and its states, the search for valve positions, tasks through time, what an
//! expert looks at. Doesn't own: how water flows in a network (physics').

mod balance;
mod build;
mod delivery;
mod doubt;
mod fill;
mod find;
mod flows;
mod lineup;
mod look;
mod losses;
mod mixing;
mod numbers;
mod outside;
mod paths;
mod run;
mod setting;
mod state;
mod tried;

use station::plumbing::{End, Task};
use station::sections::By;
use station::{Situation, Station};

pub use balance::VesselBalance;
pub use delivery::{Delivery, Siphon};
pub use flows::{FlowFault, Flows, LinkFlow, NodeHead, Regime, VesselLevel, flows};
pub use lineup::{Lineup, LineupMoment, Lineups, Stray};
pub use look::PumpAtWork;
pub(crate) use look::highest_m;
pub use mixing::Mixing;
pub use outside::{PlainEnd, PlainLine, PlainNetwork, PlainPump, plain, plain_flows};
pub use run::Ending;

use crate::finding::Finding;
use crate::method::Refusal;
use crate::plant::stirring;
use crate::sheet::Sheet;
pub(crate) use build::{LineInNetwork, Pipework, build};
pub(crate) use doubt::lines_rest_on;
use numbers::Plain;
pub(crate) use numbers::{Listed, Told};
pub(crate) use paths::Without;
use run::{Run, Wanted, run};
use setting::{Found, find_setting};

pub(crate) use state::{STILL_M3_S, Setting, State};
pub(crate) use tried::{Tried, try_task};

const SOURCES: [&str; 3] = ["full", "half", "start"];

/// What is known of the station beyond its plumbing.
pub(crate) struct Known {
    /// What the purifier makes, m³/s; 0 without one.
    pub(crate) permeate_m3_s: f64,
    /// How much is wanted.
    pub(crate) depth: Depth,
}

/// How much is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// Everything that is told.
    Whole,
    /// What findings rest on, to judge a cure by: the time of a bucket by its first flow, no doubt.
    Findings,
}

/// All tasks; nothing where nothing is plumbed.
pub(crate) fn lineups(
    station: &Station,
    known: &Known,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) -> Option<Lineups> {
    if !station.is_plumbed() {
        return None;
    }
    let mut told = Told::new(sheet);
    let built = build(station, &mut told);
    let (inputs, names) = (told.nodes, told.names);
    let pipework = match built {
        Ok(pipework) => pipework,
        Err(refusal) => {
            findings.push(find::not_computed(station, &refusal));
            return Some(Lineups {
                lineups: Vec::new(),
                pumps: Vec::new(),
                mixing: Vec::new(),
                stand_open: Vec::new(),
            });
        }
    };
    let mut state = State::new(station, &pipework);
    let (mut plans, mut lineups, mut pumps) = (Vec::new(), Vec::new(), Vec::new());
    for at in 0..station.lineups.len() {
        let (mut lineup, plan) = one(station, at, &mut state, known, findings);
        if let Some(setting) = &plan.setting {
            for source in plan.sources() {
                pumps.extend(
                    look::look(station, &mut state, at, setting, &plan.lines, source)
                        .ok()
                        .flatten(),
                );
            }
            lineup.delivery =
                delivery::delivery(station, &mut state, &plan.task, &lineup, setting, &plan.lines);
        }
        lineups.push(lineup);
        plans.push(plan);
    }
    let settings: Vec<Option<Setting>> = plans.iter().map(|plan| plan.setting.clone()).collect();
    let mut mixing = Vec::new();
    if known.depth == Depth::Whole {
        let copies = plans.clone();
        doubt::doubt(
            (station, &pipework),
            sheet,
            (inputs, names),
            plans,
            &mut lineups,
            &mut pumps,
        );
        for (plan, lineup) in copies.iter().zip(&lineups) {
            mixing.extend(
                mixing::mixing(station, &pipework, plan, lineup, sheet)
                    .ok()
                    .flatten(),
            );
        }
    }
    let stand_open = stirring(station)
        .into_iter()
        .filter_map(|task| lineups.get(task)?.valves_open.clone());
    let all = Lineups {
        stand_open: stand_open.flatten().collect(),
        lineups,
        pumps,
        mixing,
    };
    find::find(station, &mut state, &all, &settings, findings);
    Some(all)
}

/// What is solved again for each draw.
#[derive(Debug, Clone)]
struct Plan {
    task: Task,
    setting: Option<Setting>,
    /// For each source level its flow and time, where there is one.
    moments: Vec<(Situation, Option<f64>, Option<f64>)>,
    /// Lines that it rests on.
    lines: Vec<usize>,
}

impl Plan {
    /// The levels of the source at which its pump is looked at: full, and as low as it works. Round a vessel, full only.
    fn sources(&self) -> &'static [&'static str] {
        if self.task.from == self.task.to {
            &["full"]
        } else {
            &["full", "start"]
        }
    }
}

/// The source's and the target's levels at the beginning.
fn situation(station: &Station, task: &Task, source: &str) -> Situation {
    let mut situation = match source {
        "start" => Situation::at_start(station),
        _ => Situation::full(station),
    };
    if let (End::Vessel(at), "half") = (task.from, source) {
        // Between outlet and full: what is half to the eye, wherever a pump is switched off.
        let outlet = station.vessels[at].fields.outlet_level.value.m();
        let full = situation.vessels[at].level_m;
        situation.vessels[at].level_m = 0.5 * (outlet + full);
    }
    if let End::Vessel(at) = task.to
        && task.to != task.from
    {
        situation.vessels[at].level_m = Situation::at_start(station).vessels[at].level_m;
    }
    source.clone_into(&mut situation.name);
    situation
}

/// What a task moves: what its file says, a container at a draw point, or all that can be had.
fn wanted_m3(station: &Station, at: usize) -> f64 {
    let own = station.lineups[at]
        .fields
        .volume
        .as_ref()
        .map(|volume| volume.value.m3());
    own.unwrap_or_else(|| match station.plumbing.tasks[at].to {
        End::Draw(draw) => station.draw_points[draw].fields.container.value.m3(),
        _ => f64::INFINITY,
    })
}

fn one<'a>(
    station: &'a Station,
    at: usize,
    state: &mut State<'a>,
    known: &Known,
    findings: &mut Vec<Finding>,
) -> (Lineup, Plan) {
    let own = &station.lineups[at];
    let task = &station.plumbing.tasks[at];
    let found = find_setting(station, state, task, &Without::nothing());
    find::setting(station, at, &found, findings);
    let names = |open: &[bool]| -> Vec<String> {
        let valves = station.valves.iter().zip(open);
        valves
            .filter(|(valve, open)| **open && valve.fields.kind.value.is_set())
            .map(|(valve, _)| valve.name.clone())
            .collect()
    };
    let Found {
        setting,
        lines,
        strays,
        ..
    } = found;
    let mut moments = Vec::new();
    let mut plan_moments = Vec::new();
    for source in SOURCES {
        let situation = situation(station, task, source);
        let level = match task.from {
            End::Vessel(vessel) => Some(situation.vessels[vessel].level_m),
            _ => None,
        };
        // A tank has one level; a vessel that a person fills has no level at which that starts.
        let has_start = match task.from {
            // A float keeps its vessel full: where it opens is no level of its own.
            End::Vessel(vessel) => {
                let own = &station.vessels[vessel];
                own.fields.start_level.is_some() && !station.floats(own)
            }
            _ => false,
        };
        if (level.is_none() && source != "full") || (!has_start && source == "start") {
            continue;
        }
        let ran = setting
            .as_ref()
            .and_then(|setting| begin_and_run(station, at, state, setting, &situation, known).ok());
        let (flow, done) = ran.unwrap_or((None, None));
        // What goes on for days has no time worth telling.
        let seconds = done
            .filter(|run| run.ending != Ending::Endless)
            .map(|run| run.seconds);
        plan_moments.push((situation, flow, seconds));
        moments.push(LineupMoment {
            source,
            source_level_m: level,
            flow: None,
            time: None,
            nominal: (flow, seconds),
            moved_m3: done.map(|run| run.moved_m3),
            ending: done.map(|run| run.ending),
        });
    }
    let held_m3 = lines
        .iter()
        .map(|line| state.pipework.lines[*line].volume_m3())
        .sum();
    let lineup = Lineup {
        name: own.name.clone(),
        from: station.name_of(task.from).to_owned(),
        to: station.name_of(task.to).to_owned(),
        by: match own.fields.by.value {
            By::Gravity => By::Gravity.word(),
            By::Pump => By::Pump.word(),
        },
        found: task.open.is_none(),
        valves_open: setting.as_ref().map(|setting| names(&setting.open)),
        pumps_on: task
            .pump
            .iter()
            .map(|pump| station.pumps[*pump].name.clone())
            .collect(),
        lines: lines
            .iter()
            .map(|line| station.lines[*line].name.clone())
            .collect(),
        strays,
        moments,
        held_m3,
        delivery: None,
    };
    let plan = Plan {
        task: task.clone(),
        setting,
        moments: plan_moments,
        lines,
    };
    (lineup, plan)
}

/// The flow when a task begins, and the task to its end.
fn begin_and_run<'a>(
    station: &'a Station,
    at: usize,
    state: &mut State<'a>,
    setting: &Setting,
    situation: &Situation,
    known: &Known,
) -> Result<(Option<f64>, Option<Run>), Refusal> {
    let task = &station.plumbing.tasks[at];
    state.begin(situation, setting)?;
    state.solve(task.from)?;
    let flow = arriving(state, task);
    if flow <= STILL_M3_S {
        return Ok((None, None));
    }
    if task.from == task.to {
        return Ok((Some(flow), None));
    }
    let volume_m3 = wanted_m3(station, at);
    if known.depth == Depth::Findings {
        let bucket = volume_m3.is_finite().then(|| Run {
            seconds: volume_m3 / flow,
            moved_m3: volume_m3,
            ending: Ending::Moved,
        });
        return Ok((Some(flow), bucket));
    }
    let wanted = Wanted {
        volume_m3,
        permeate_m3_s: known.permeate_m3_s,
    };
    let ran = run(station, state, task, situation, &wanted)?;
    Ok((Some(flow), ran))
}

/// What arrives where a task takes water to; round a vessel, what its pump moves.
fn arriving(state: &State<'_>, task: &Task) -> f64 {
    match task.pump {
        Some(pump) if task.from == task.to => state.solver.flow_m3_s(state.pipework.pumps[pump].link),
        _ => state.gained_m3_s(task.to),
    }
}

/// The network of a station by its fields alone.
pub(crate) fn plain_network(station: &Station) -> Result<Pipework, Refusal> {
    build(station, &mut Plain)
}

/// The setting of every task; nothing for one that has none.
pub(crate) fn settings(station: &Station, pipework: &Pipework) -> Vec<Option<Setting>> {
    let mut state = State::new(station, pipework);
    let tasks = station.plumbing.tasks.iter();
    tasks
        .map(|task| find_setting(station, &mut state, task, &Without::nothing()).setting)
        .collect()
}
