//! Every task as it is told: its valves, its lines, its flow and time from each level of its source.

use serde::Serialize;

use super::delivery::Delivery;
use super::look::PumpAtWork;
use super::mixing::Mixing;
use super::run::Ending;
use crate::estimate::Estimate;

/// Every task of the station.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lineups {
    /// The tasks, in the order of the file.
    pub lineups: Vec<Lineup>,
    /// Each pump in each of its tasks, with the source full and at its start level.
    pub pumps: Vec<PumpAtWork>,
    /// Each vessel that its pump goes round.
    pub mixing: Vec<Mixing>,
    /// The valves that stay open between tasks, since a timer stirs with them: `rest` in an order of turning.
    pub stand_open: Vec<String>,
}

impl Lineups {
    /// The level under which a pump in any task of a vessel draws air, m above its floor: where its cut-out belongs. Nothing
    /// where no task tells.
    pub(crate) fn draws_air_below_m(&self, vessel: &str) -> Option<f64> {
        let drawn = |lineup: &str| {
            let own = self.lineups.iter().find(|own| own.name == lineup);
            own.is_some_and(|own| own.from == vessel)
        };
        let works = self.pumps.iter().filter(|work| drawn(&work.lineup));
        works.filter_map(|work| work.least_level_m).max_by(f64::total_cmp)
    }

    /// Every estimate, for its interval.
    pub(crate) fn each(&mut self, fill: &mut impl FnMut(&mut Estimate)) {
        for moment in self.lineups.iter_mut().flat_map(|lineup| &mut lineup.moments) {
            for estimate in [&mut moment.flow, &mut moment.time].into_iter().flatten() {
                fill(estimate);
            }
        }
        for work in &mut self.pumps {
            for estimate in [&mut work.head, &mut work.npsh, &mut work.least_level]
                .into_iter()
                .flatten()
            {
                fill(estimate);
            }
        }
        for mixing in &mut self.mixing {
            mixing.each(fill);
        }
    }
}

/// One task: its valves, its flow and its time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lineup {
    /// The owner's name for it.
    pub name: String,
    /// Where the water comes from.
    pub from: String,
    /// Where it goes.
    pub to: String,
    /// `gravity` or `pump`.
    pub by: &'static str,
    /// Whether the program found the valves, or the owner gave them.
    pub found: bool,
    /// The valves that are open; all others are closed. `None` where no setting does it.
    pub valves_open: Option<Vec<String>>,
    /// The pumps that run.
    pub pumps_on: Vec<String>,
    /// The lines that water flows in, from the source on.
    pub lines: Vec<String>,
    /// Other lines that water flows in, with their flows from beginning to end.
    pub strays: Vec<Stray>,
    /// With the source full, half full, and at its start level.
    pub moments: Vec<LineupMoment>,
    /// Water that stands in the lines, of which the last task's must be flushed out.
    pub held_m3: f64,
    /// Where it ends in a tank: lift, what the hose holds, what a siphon does.
    pub delivery: Option<Delivery>,
}

/// Water that goes where it shouldn't.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stray {
    /// The line.
    pub line: String,
    /// Its flow.
    pub flow_m3_per_s: f64,
}

/// A task from one level of its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineupMoment {
    /// `full`, `half` or `start`.
    pub source: &'static str,
    /// Level of the source above its floor; `None` from a tank.
    pub source_level_m: Option<f64>,
    /// Flow when it begins; `None` where nothing flows.
    pub flow: Option<Estimate>,
    /// How long it takes.
    pub time: Option<Estimate>,
    /// The same two without their doubt, in m³/s and s.
    #[serde(skip)]
    pub(crate) nominal: (Option<f64>, Option<f64>),
    /// What is moved.
    pub moved_m3: Option<f64>,
    /// What ends it.
    pub ending: Option<Ending>,
}
