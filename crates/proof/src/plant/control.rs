//! The plant's ends of the wires: which mark is which volume, which input and output belongs to what.

use std::sync::Arc;

use station::Station;
use station::control::{Input, Mark, Output, Outputs, Program, Task};
use station::plumbing::End;

/// A switch in a vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Switch {
    /// Its input of the program.
    pub(crate) input: usize,
    pub(crate) mark: Mark,
    /// Volume at which it wets when the level rises, m³.
    pub(crate) wets_m3: f64,
    /// Volume at which it falls dry when the level falls, m³: floats and probes have some play.
    pub(crate) dries_m3: f64,
}

/// A pump's ends.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct PumpEnds {
    pub(crate) ask: Option<usize>,
    pub(crate) flow: Option<usize>,
    pub(crate) output: Option<usize>,
    /// The same output as a set; none where it has none.
    pub(crate) outputs: Outputs,
}

/// What a hand does to the control for a task: each input that it puts, and how.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct ByHand {
    pub(crate) for_task: Vec<(usize, bool)>,
    pub(crate) behind_it: Vec<(usize, bool)>,
}

/// The program of the station and its ends.
#[derive(Debug, Clone)]
pub(crate) struct Wiring {
    pub(crate) program: Arc<Program>,
    /// Switches, vessel by vessel.
    pub(crate) switches: Vec<Vec<Switch>>,
    pub(crate) pumps: Vec<PumpEnds>,
    pub(crate) here: Option<usize>,
    pub(crate) ask_fill: Option<usize>,
    pub(crate) reset: Option<usize>,
    pub(crate) power: Option<usize>,
    pub(crate) feed: Option<usize>,
    /// The outputs of the feed and of all pumps.
    pub(crate) feed_output: Outputs,
    pub(crate) pump_outputs: Outputs,
    /// What is turned and asked for by hand for a task, and turned back behind it, task by task.
    pub(crate) by_hand: Vec<ByHand>,
    /// Inputs of valves that stay open between tasks, so that a vessel is stirred.
    pub(crate) at_rest: Vec<usize>,
    pub(crate) alarms: Vec<usize>,
    /// The outputs of the alarms, all together.
    pub(crate) alarm_outputs: Outputs,
}

/// Play of a level switch, m: the fall of the level until it lets go again (common practice, no source: 5 to 15 mm).
const PLAY_M: f64 = 0.01;

impl Wiring {
    /// The ends of a station's program. `open` names the valves that are open in each task, `mark_m3` the volume of each
    /// mark that has one.
    pub(crate) fn new(
        station: &Station,
        program: Arc<Program>,
        open: &[Vec<usize>],
        mark_m3: impl Fn(usize, Mark) -> Option<f64>,
    ) -> Self {
        let input = |input: Input| program.input(input);
        let mut switches = vec![Vec::new(); station.vessels.len()];
        for (at, sensed) in program.inputs().iter().enumerate() {
            if let Input::LevelAtOrAbove { vessel, mark } = sensed
                && let Some(wets_m3) = mark_m3(*vessel, *mark)
            {
                let shape = &station.vessels[*vessel].shape;
                let lower = shape
                    .level_m(wets_m3)
                    .and_then(|level_m| shape.volume_m3((level_m - PLAY_M).max(0.0)));
                switches[*vessel].push(Switch {
                    input: at,
                    mark: *mark,
                    wets_m3,
                    dries_m3: lower.unwrap_or(wets_m3),
                });
            }
        }
        let pumps: Vec<PumpEnds> = (0..station.pumps.len())
            .map(|pump| {
                let output = program.output(Output::Pump(pump));
                PumpEnds {
                    ask: input(Input::Ask(Task::Pump(pump))),
                    flow: input(Input::FlowSeen { pump }),
                    output,
                    outputs: output.into_iter().fold(Outputs::default(), Outputs::with),
                }
            })
            .collect();
        let valves: Vec<Vec<usize>> = open
            .iter()
            .map(|valves| {
                valves
                    .iter()
                    .filter_map(|valve| input(Input::ValveOpen { valve: *valve }))
                    .collect()
            })
            .collect();
        let at_rest: Vec<usize> = stirring(station)
            .into_iter()
            .flat_map(|task| valves.get(task).cloned().unwrap_or_default())
            .collect();
        let tasks = &station.plumbing.tasks;
        let by_hand = valves.iter().enumerate().map(|(task, own)| {
            let pump = tasks.get(task).and_then(|task| task.pump);
            by_hand(pump.and_then(|pump| pumps[pump].ask), own, &at_rest)
        });
        let by_hand = by_hand.collect();
        let alarms: Vec<usize> = program
            .outputs()
            .enumerate()
            .filter(|(_, output)| matches!(output, Output::Alarm(_)))
            .map(|(at, _)| at)
            .collect();
        Self {
            switches,
            here: input(Input::SomebodyHere),
            ask_fill: input(Input::Ask(Task::Fill)),
            reset: input(Input::Reset),
            power: input(Input::Power),
            feed: program.output(Output::Feed),
            feed_output: (program.output(Output::Feed).into_iter()).fold(Outputs::default(), Outputs::with),
            pump_outputs: (pumps.iter().filter_map(|pump| pump.output))
                .fold(Outputs::default(), Outputs::with),
            pumps,
            by_hand,
            at_rest,
            alarm_outputs: alarms.iter().copied().fold(Outputs::default(), Outputs::with),
            alarms,
            program,
        }
    }

    /// What every input says at these volumes, with power and nobody here.
    pub(crate) fn inputs_at(&self, volumes_m3: &[f64]) -> Vec<bool> {
        let mut inputs = vec![false; self.program.inputs().len()];
        if let Some(power) = self.power {
            inputs[power] = true;
        }
        for (switches, volume) in self.switches.iter().zip(volumes_m3) {
            for switch in switches {
                // Just full counts as wet.
                inputs[switch.input] = *volume >= switch.wets_m3 * (1.0 - 1e-9);
            }
        }
        for valve in &self.at_rest {
            inputs[*valve] = true;
        }
        inputs
    }
}

/// What is done for a task: the pump is asked for, valves that are open between tasks and not in it are closed, and those of
/// the task are opened.
fn by_hand(ask: Option<usize>, in_task: &[usize], at_rest: &[usize]) -> ByHand {
    let closed = at_rest.iter().filter(|valve| !in_task.contains(valve));
    let mut hand = ByHand::default();
    if let Some(ask) = ask {
        hand.for_task.push((ask, true));
        hand.behind_it.push((ask, false));
    }
    for valve in closed {
        hand.for_task.push((*valve, false));
        hand.behind_it.push((*valve, true));
    }
    for valve in in_task {
        hand.for_task.push((*valve, true));
        hand.behind_it.push((*valve, at_rest.contains(valve)));
    }
    hand
}

/// The tasks whose valves stay open between others: of all pumps that lines join the first that stirs a vessel which is to be
/// stirred. One pump can't stir two in turn by itself, and two that are joined would let their vessels run into each other.
pub(crate) fn stirring(station: &Station) -> Vec<usize> {
    let part_of = parts_of_pumps(station);
    let mut parts = Vec::new();
    let mut tasks = Vec::new();
    for (at, task) in station.plumbing.tasks.iter().enumerate() {
        let End::Vessel(vessel) = task.from else {
            continue;
        };
        let stirred = station.vessels[vessel].fields.recirculate_every.is_some();
        if task.from == task.to
            && stirred
            && let Some(pump) = task.pump
            && !parts.contains(&part_of[pump])
        {
            parts.push(part_of[pump]);
            tasks.push(at);
        }
    }
    tasks
}

/// For each pump a number of the part of the plumbing that it stands in: what tees and pumps join, whatever is open.
pub(crate) fn parts_of_pumps(station: &Station) -> Vec<usize> {
    let lines = &station.plumbing.lines;
    let joint = |end: End| match end {
        End::Tee(tee) => Some(tee),
        End::Pump(pump) => Some(station.tees.len() + pump),
        End::Vessel(_) | End::Tank(_) | End::Draw(_) => None,
    };
    let mut part: Vec<usize> = (0..station.tees.len() + station.pumps.len()).collect();
    // Each round carries the least number at least one line further.
    for _ in 0..part.len() {
        for line in lines {
            if let (Some(a), Some(b)) = (joint(line.from), joint(line.to)) {
                let least = part[a].min(part[b]);
                (part[a], part[b]) = (least, least);
            }
        }
    }
    part.split_off(station.tees.len())
}
