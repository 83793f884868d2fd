//! The tasks in the network of lines, and the times that they take.

use std::sync::Arc;

use station::plumbing::End;
use station::{Situation, Station, lowest_drawable_m};

use crate::analysis::{Pipework, Setting, StateOfNetwork, settings};
use crate::method::Refusal;
use crate::plant::Times;

/// Levels at which a task's flow is solved for its table of times.
const LEVELS: usize = 9;

/// The tasks and their settings in the network.
pub(crate) struct Network<'a> {
    pub(super) station: &'a Station,
    pub(super) pipework: &'a Pipework,
    pub(super) settings: Vec<Option<Setting>>,
}

impl<'a> Network<'a> {
    pub(crate) fn new(station: &'a Station, pipework: &'a Pipework) -> Self {
        Self {
            station,
            pipework,
            settings: settings(station, pipework),
        }
    }

    /// Cumulative times of every task from a vessel to another or to a tank, the target half full.
    pub(crate) fn times(&self) -> Vec<Option<Arc<Times>>> {
        let mut state = StateOfNetwork::new(self.station, self.pipework);
        (0..self.settings.len())
            .map(|task| self.times_of(task, &mut state).ok().flatten().map(Arc::new))
            .collect()
    }

    fn times_of(&self, task: usize, state: &mut StateOfNetwork<'a>) -> Result<Option<Times>, Refusal> {
        let own = &self.station.plumbing.tasks[task];
        let (End::Vessel(from), Some(setting)) = (own.from, &self.settings[task]) else {
            return Ok(None);
        };
        if own.from == own.to || !matches!(own.to, End::Vessel(_) | End::Tank(_)) {
            return Ok(None);
        }
        let vessel = &self.station.vessels[from];
        let low_m = lowest_drawable_m(vessel);
        let mut situation = Situation::full(self.station);
        let high_m = situation.vessels[from].level_m;
        if let End::Vessel(to) = own.to {
            let full_m = situation.vessels[to].level_m;
            situation.vessels[to].level_m = 0.5 * full_m;
        }
        let mut flows = Vec::with_capacity(LEVELS);
        for at in 0..LEVELS {
            let share = at as f64 / (LEVELS - 1) as f64;
            let level_m = low_m + share * (high_m - low_m);
            situation.vessels[from].level_m = level_m;
            state.begin(&situation, setting)?;
            state.solve(own.from)?;
            flows.push((vessel.shape.volume_m3(level_m)?, state.gained_m3_s(own.to)));
        }
        Ok(Times::of(&flows))
    }
}
