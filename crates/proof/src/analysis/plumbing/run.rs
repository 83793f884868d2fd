//! A task through time: levels fall and rise until something ends it.

use physics::numerics::ode::{self, Direction, Settings, System, Watch, Workspace};
use serde::Serialize;
use station::plumbing::{End, Task};
use station::{Situation, Station, lowest_drawable_m};

use super::fill::{self, Filling, fills};
use super::state::State;
use crate::method::Refusal;

/// What ends a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// What was wanted has been moved.
    Moved,
    /// The source is as low as it may be drawn.
    SourceLow,
    /// The target is as full as it may be.
    TargetFull,
    /// Both levels have come so near that hardly anything flows.
    Level,
    /// Hardly anything comes any more, before what is wanted has been moved.
    Fades,
    /// It goes on for longer than three days.
    Endless,
}

/// A task that has been run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Run {
    pub(super) seconds: f64,
    pub(super) moved_m3: f64,
    pub(super) ending: Ending,
}

/// Longest task, s.
const LONGEST_S: f64 = 3.0 * 86_400.0;
/// Share of the first flow at which two levels count as one (house rule).
const HARDLY: f64 = 0.01;

const WATCHES: [Watch; 4] = [
    Watch {
        direction: Direction::Rising,
        ends: true,
    },
    Watch {
        direction: Direction::Falling,
        ends: true,
    },
    Watch {
        direction: Direction::Rising,
        ends: true,
    },
    Watch {
        direction: Direction::Falling,
        ends: true,
    },
];

struct Moving<'s, 'a> {
    station: &'a Station,
    state: &'s mut State<'a>,
    task: &'s Task,
    /// What the purifier makes while a vessel fills itself, m³/s, and how far it fills it.
    fill: Vec<Option<Filling>>,
    /// Volume wanted; infinite for all that can be had.
    wanted_m3: f64,
    source_low_m: f64,
    target_full_m: f64,
    first_flow_m3_s: f64,
}

impl Moving<'_, '_> {
    fn levels(&mut self, volumes: &[f64]) -> Result<(), Refusal> {
        for (at, vessel) in self.station.vessels.iter().enumerate() {
            self.state.set_level(at, vessel.shape.level_m(volumes[at])?)?;
        }
        Ok(())
    }

    fn flow(&mut self, volumes: &[f64]) -> Result<f64, Refusal> {
        self.levels(volumes)?;
        self.state.solve_again()?;
        Ok(self.state.gained_m3_s(self.task.to))
    }
}

impl System for Moving<'_, '_> {
    type Refusal = Refusal;

    /// The state is the volume of every vessel, then what has been moved.
    fn slopes(&mut self, _t: f64, volumes: &[f64], slopes: &mut [f64]) -> Result<(), Refusal> {
        let moved = self.flow(volumes)?;
        let vessels = self.station.vessels.len();
        for (at, slope) in slopes.iter_mut().enumerate().take(vessels) {
            let filled = self.fill[at]
                .as_ref()
                .map_or(0.0, |fill| fill.flow_m3_s(self.state.level_m(at)));
            *slope = self.state.gained_m3_s(End::Vessel(at)) + filled;
        }
        slopes[vessels] = moved;
        Ok(())
    }

    fn events(&mut self, _t: f64, volumes: &[f64], values: &mut [f64]) -> Result<(), Refusal> {
        let vessels = self.station.vessels.len();
        let flow = self.flow(volumes)?;
        values[0] = if self.wanted_m3.is_finite() {
            volumes[vessels] - self.wanted_m3
        } else {
            -1.0
        };
        values[1] = match self.task.from {
            End::Vessel(at) => self.state.level_m(at) - self.source_low_m,
            _ => 1.0,
        };
        values[2] = match self.task.to {
            End::Vessel(at) if self.task.to != self.task.from => self.state.level_m(at) - self.target_full_m,
            _ => -1.0,
        };
        values[3] = flow - HARDLY * self.first_flow_m3_s;
        Ok(())
    }
}

/// What one task moves, and until when.
pub(super) struct Wanted {
    /// Volume to move; infinite for all that can be had.
    pub(super) volume_m3: f64,
    /// What the purifier makes meanwhile, m³/s.
    pub(super) permeate_m3_s: f64,
}

/// Runs a task from the state's levels, its valves and pumps set; `None` where nothing flows or it may not begin.
pub(super) fn run<'a>(
    station: &'a Station,
    state: &mut State<'a>,
    task: &Task,
    situation: &Situation,
    wanted: &Wanted,
) -> Result<Option<Run>, Refusal> {
    let mut volumes = Vec::with_capacity(station.vessels.len() + 1);
    for (vessel, moment) in station.vessels.iter().zip(&situation.vessels) {
        volumes.push(vessel.shape.volume_m3(moment.level_m)?);
    }
    volumes.push(0.0);
    let source_low_m = match task.from {
        End::Vessel(at) => source_low_m(station, at, task),
        _ => 0.0,
    };
    let target_full_m = match task.to {
        End::Vessel(at) => Situation::full(station).vessels[at].level_m,
        _ => f64::INFINITY,
    };
    let levels_m: Vec<f64> = situation.vessels.iter().map(|vessel| vessel.level_m).collect();
    let fill = fills(station, &levels_m, wanted.permeate_m3_s)
        .into_iter()
        .map(|state| match state {
            Some(fill::State::Runs(filling, _) | fill::State::Waits(filling, _)) => Some(filling),
            Some(fill::State::Never(_)) | None => None,
        })
        .collect();
    let mut moving = Moving {
        station,
        state,
        task,
        fill,
        wanted_m3: wanted.volume_m3,
        source_low_m,
        target_full_m,
        first_flow_m3_s: 0.0,
    };
    let first = moving.flow(&volumes)?;
    if first <= super::state::STILL_M3_S {
        return Ok(None);
    }
    moving.first_flow_m3_s = first;
    let mut values = [0.0; 4];
    moving.events(0.0, &volumes, &mut values)?;
    if values[1] <= 1e-9 || values[2] >= -1e-9 {
        return Ok(None);
    }
    let scale: Vec<f64> = volumes.iter().map(|_| 1e-7).collect();
    let settings = Settings {
        relative_tolerance: 1e-5,
        absolute_tolerance: &scale,
        first_step: None,
        longest_step: f64::INFINITY,
        most_steps: 2_000,
        event_tolerance: 1e-3,
        watches: &WATCHES,
    };
    let mut workspace = Workspace::new(volumes.len(), WATCHES.len());
    let outcome = ode::integrate(
        &mut moving,
        0.0,
        LONGEST_S,
        &mut volumes,
        &settings,
        &mut workspace,
        |_| {},
    );
    let outcome = match outcome {
        Ok(outcome) => outcome,
        Err(_) => return Err(Refusal::NoFlow),
    };
    let ending = match outcome.event {
        Some(0) => Ending::Moved,
        Some(1) => Ending::SourceLow,
        Some(2) => Ending::TargetFull,
        Some(_) => match (task.from, task.to, task.pump) {
            (End::Vessel(_) | End::Tank(_), End::Vessel(_) | End::Tank(_), None) => Ending::Level,
            _ => Ending::Fades,
        },
        None => Ending::Endless,
    };
    Ok(Some(Run {
        seconds: outcome.t,
        moved_m3: volumes.last().copied().unwrap_or(0.0),
        ending,
    }))
}

/// How low the source may be drawn: its pump is switched off at its cut-out, gravity goes on to the line's beginning.
pub(super) fn source_low_m(station: &Station, vessel: usize, task: &Task) -> f64 {
    let fields = &station.vessels[vessel].fields;
    if task.pump.is_some() {
        lowest_drawable_m(&station.vessels[vessel])
    } else {
        fields.outlet_level.value.m()
    }
}
