//! Parts by their names, and what is said of them.

use station::Station;

use super::fault::LiveFault;
use crate::alone::{Fault, Ground, Harm, HarmKind, Spot, State, faults};
use crate::analysis::{FaultWords, Setting};

/// A station's parts by their names.
pub(super) struct Names<'g> {
    pub(super) ground: &'g Ground<'g>,
    pub(super) words: FaultWords<'g>,
    /// Every fault that its parts can have, with its words.
    pub(super) faults: Vec<(Fault, String)>,
    settings: &'g [Option<Setting>],
}

fn at<'n>(
    mut names: impl Iterator<Item = &'n String>,
    what: &'static str,
    name: &str,
) -> Result<usize, LiveFault> {
    names
        .position(|own| own == name)
        .ok_or_else(|| LiveFault::NoSuch {
            what,
            name: name.to_owned(),
        })
}

impl<'g> Names<'g> {
    pub(super) fn of(ground: &'g Ground<'g>, settings: &'g [Option<Setting>]) -> Self {
        let words = FaultWords {
            station: ground.station,
            program: ground.program(),
        };
        let faults = faults(ground.station, ground.plant, ground.program());
        Self {
            faults: faults.into_iter().map(|own| (own, words.fault(own))).collect(),
            ground,
            words,
            settings,
        }
    }

    fn station(&self) -> &'g Station {
        self.ground.station
    }

    pub(super) fn valve(&self, name: &str) -> Result<usize, LiveFault> {
        at(self.station().valves.iter().map(|own| &own.name), "valve", name)
    }

    pub(super) fn pump(&self, name: &str) -> Result<usize, LiveFault> {
        at(self.station().pumps.iter().map(|own| &own.name), "pump", name)
    }

    pub(super) fn task(&self, name: &str) -> Result<usize, LiveFault> {
        at(self.station().lineups.iter().map(|own| &own.name), "task", name)
    }

    pub(super) fn vessel(&self, name: &str) -> Result<usize, LiveFault> {
        at(self.station().vessels.iter().map(|own| &own.name), "vessel", name)
    }

    pub(super) fn draw(&self, name: &str) -> Result<usize, LiveFault> {
        at(
            self.station().draw_points.iter().map(|own| &own.name),
            "draw point",
            name,
        )
    }

    pub(super) fn tank(&self, name: &str) -> Result<usize, LiveFault> {
        at(self.station().tanks.iter().map(|own| &own.name), "tank", name)
    }

    pub(super) fn fault(&self, said: &str) -> Result<Fault, LiveFault> {
        at(self.faults.iter().map(|(_, own)| own), "fault", said).map(|at| self.faults[at].0)
    }

    pub(super) fn setting(&self, task: usize) -> Option<&'g Setting> {
        self.settings.get(task)?.as_ref()
    }

    pub(super) fn settings(&self) -> &'g [Option<Setting>] {
        self.settings
    }

    /// A harm that was done, in words: with what lies on the floor of it by now.
    pub(super) fn harm(&self, state: &State, harm: &Harm) -> String {
        let mut harm = *harm;
        if let Some(spot) = spot_of(harm.kind) {
            let there = state.floor.iter().find(|(own, _)| *own == spot);
            harm.amount += there.map_or(0.0, |(_, sum)| *sum);
        }
        if let HarmKind::Cooked(vessel) | HarmKind::Chilled(vessel) = harm.kind {
            harm.amount = state.temperature_c[vessel];
        }
        self.words.harm(&harm)
    }
}

/// Where the water of a harm lies.
pub(super) fn spot_of(kind: HarmKind) -> Option<Spot> {
    match kind {
        HarmKind::Floor(spot) => Some(spot),
        HarmKind::TankOver(tank) => Some(Spot::Tank(tank)),
        _ => None,
    }
}
