//! The fine pace: flows follow the levels through the network's solver, the purifier the temperature of its feed, second
//! by second (Dormand and Prince), and every crossing is bisected.

mod membranes;
mod network;

use physics::numerics::ode::{self, Direction, Settings, System, Watch, Workspace};
use station::plumbing::End;
use station::{Situation, Station};

use crate::analysis::StateOfNetwork;
use crate::method::Refusal;
use crate::plant::Amount;
use crate::plant::body::Plant;
use crate::plant::books::Account;
use crate::plant::coarse::book_made;
use crate::plant::pace::{Crossing, Pace, each_ahead, overdue};
use crate::plant::person::{Doing, Moving};
use crate::plant::purifier::Made;
use crate::plant::state::State;

pub(crate) use membranes::Membranes;
pub(crate) use network::Network;

/// Longest step, s: a mark that is passed and passed back within half of it isn't seen.
const LONGEST_STEP_S: f64 = 1800.0;
/// Flow that counts as none, m³/s.
const STILL_M3_S: f64 = 1e-9;

/// The fine pace.
pub(crate) struct Fine<'a> {
    network: Option<&'a Network<'a>>,
    hydraulics: Option<StateOfNetwork<'a>>,
    /// By state of the feed, the usual one first.
    membranes: Vec<Option<Membranes>>,
    /// Relative tolerance of a step.
    tolerance: f64,
}

impl<'a> Fine<'a> {
    pub(crate) fn new(
        network: Option<&'a Network<'a>>,
        membranes: Vec<Option<Membranes>>,
        tolerance: f64,
    ) -> Self {
        Self {
            hydraulics: network.map(|network| StateOfNetwork::new(network.station, network.pipework)),
            network,
            membranes,
            tolerance,
        }
    }
}

/// What has flowed since the last event: permeate, reject, salt of the permeate, water and salt moved.
const MADE: usize = 0;
const REJECT: usize = 1;
const SOLIDS: usize = 2;
const WATER: usize = 3;
const SALT: usize = 4;
const FLOWED: usize = 5;

struct Flowing<'p, 'f, 'a> {
    plant: &'p Plant,
    /// What stood in each vessel at the last event.
    begun: Vec<Amount>,
    membranes: Option<&'f mut Membranes>,
    /// Whether permeate, and whether reject flows.
    on: bool,
    rejects: bool,
    flush_left_m3: f64,
    /// Vessels that the permeate goes to, as bits.
    open: u64,
    moving: Option<Moving>,
    hydraulics: Option<(&'f mut StateOfNetwork<'a>, End)>,
    station: Option<&'a Station>,
    crossings: Vec<(Crossing, f64)>,
}

impl Flowing<'_, '_, '_> {
    /// What stands in a vessel now.
    fn amount(&self, vessel: usize, flowed: &[f64]) -> Amount {
        let mut amount = self.begun[vessel];
        if self.open & (1 << vessel) != 0 && self.flush_left_m3 <= 0.0 {
            amount.water_m3 += flowed[MADE] / f64::from(self.open.count_ones());
        }
        if let Some(moving) = &self.moving {
            let moved = Amount {
                water_m3: flowed[WATER],
                salt_kg: flowed[SALT],
            };
            if moving.load.from == vessel {
                amount.water_m3 -= moved.water_m3;
                amount.salt_kg -= moved.salt_kg;
            }
            if moving.load.to == Account::vessel(vessel) {
                amount.water_m3 += moved.water_m3;
                amount.salt_kg += moved.salt_kg;
            }
        }
        amount
    }

    fn volume_m3(&self, vessel: usize, flowed: &[f64]) -> f64 {
        self.plant.brine.volume_m3(self.amount(vessel, flowed))
    }

    /// What the task in hand moves now, m³/s.
    fn moving_m3_s(&mut self, flowed: &[f64]) -> Result<f64, Refusal> {
        let Some(moving) = self.moving else {
            return Ok(0.0);
        };
        let volumes: Vec<f64> = (0..self.begun.len())
            .map(|vessel| self.volume_m3(vessel, flowed))
            .collect();
        let (Some((network, to)), Some(station)) = (&mut self.hydraulics, self.station) else {
            return Ok(moving.rate_m3_s);
        };
        for (at, volume_m3) in volumes.into_iter().enumerate() {
            let shape = &station.vessels[at].shape;
            let level_m = shape.level_m(volume_m3.clamp(0.0, shape.full_volume_m3()))?;
            network.set_level(at, level_m)?;
        }
        network.solve_again()?;
        Ok(network.gained_m3_s(*to).max(0.0))
    }
}

impl System for Flowing<'_, '_, '_> {
    type Refusal = Refusal;

    fn slopes(&mut self, t: f64, flowed: &[f64], slopes: &mut [f64]) -> Result<(), Refusal> {
        slopes.fill(0.0);
        if (self.on || self.rejects)
            && let Some(membranes) = &mut self.membranes
        {
            let [permeate, reject, solids] = membranes.at(t)?;
            slopes[REJECT] = reject;
            if self.on {
                slopes[MADE] = permeate;
                slopes[SOLIDS] = permeate * solids;
            }
        }
        let rate_m3_s = self.moving_m3_s(flowed)?;
        if let Some(moving) = self.moving
            && rate_m3_s > 0.0
        {
            let there = self.amount(moving.load.from, flowed);
            let volume_m3 = self.plant.brine.volume_m3(there);
            if volume_m3 > 0.0 {
                slopes[WATER] = rate_m3_s * there.water_m3 / volume_m3;
                slopes[SALT] = rate_m3_s * there.salt_kg / volume_m3;
            }
        }
        Ok(())
    }

    fn events(&mut self, _t: f64, flowed: &[f64], values: &mut [f64]) -> Result<(), Refusal> {
        for (value, (crossing, mark_m3)) in values.iter_mut().zip(&self.crossings) {
            *value = match crossing {
                Crossing::Switch(met) | Crossing::Float(met) => {
                    self.volume_m3(met.vessel(), flowed) - mark_m3
                }
                Crossing::Moved => {
                    let moved = Amount {
                        water_m3: flowed[WATER],
                        salt_kg: flowed[SALT],
                    };
                    self.plant.brine.volume_m3(moved) - mark_m3
                }
                Crossing::Flushed => flowed[MADE] - mark_m3,
            };
        }
        Ok(())
    }
}

/// Every crossing that may come, with its mark and the way through it.
fn crossings(plant: &Plant, state: &State) -> (Vec<(Crossing, f64)>, Vec<Watch>) {
    let mut all = Vec::new();
    let mut watches = Vec::new();
    let mut add = |crossing: Crossing, mark_m3: f64, direction: Direction| {
        all.push((crossing, mark_m3));
        watches.push(Watch {
            direction,
            ends: true,
        });
    };
    for vessel in 0..plant.vessels.len() {
        each_ahead(plant, state, vessel, |crossing, mark_m3, rising| {
            let direction = if rising {
                Direction::Rising
            } else {
                Direction::Falling
            };
            add(crossing, mark_m3, direction);
        });
    }
    if let Doing::Moving(moving) = state.person.doing {
        add(Crossing::Moved, moving.left_m3, Direction::Rising);
    }
    if state.running.flush_left_m3 > 0.0 {
        add(Crossing::Flushed, state.running.flush_left_m3, Direction::Rising);
    }
    (all, watches)
}

impl Pace for Fine<'_> {
    type Refusal = Refusal;

    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Refusal> {
        if let Some(crossing) = overdue(plant, state) {
            return Ok(Some(crossing));
        }
        let on = state.running.on;
        let rejects = plant
            .purifier
            .as_ref()
            .is_some_and(|purifier| purifier.stop == super::body::Stop::RejectRunsOn && !state.laid_up);
        let moving = match state.person.doing {
            Doing::Moving(moving) => Some(moving),
            _ => None,
        };
        if until_s <= state.t_s || (!on && !rejects && moving.is_none()) {
            state.t_s = until_s;
            return Ok(None);
        }
        let hydraulics = match moving.and_then(|moving| moving.lineup) {
            Some(lineup) => self.set(plant, state, lineup)?,
            None => None,
        };
        let station = self.network.map(|network| network.station);
        let feed = state.feed;
        let open = if on { state.open_fills } else { 0 };
        let (crossings, watches) = crossings(plant, state);
        let mut flowing = Flowing {
            plant,
            begun: (0..plant.vessels.len())
                .map(|at| state.books.vessel(at))
                .collect(),
            membranes: self.membranes.get_mut(feed).and_then(Option::as_mut),
            on,
            rejects,
            flush_left_m3: state.running.flush_left_m3,
            open,
            moving,
            hydraulics: match (hydraulics, &mut self.hydraulics) {
                (Some(to), Some(network)) => Some((network, to)),
                _ => None,
            },
            station,
            crossings,
        };
        let mut flowed = [0.0; FLOWED];
        if flowing.moving.is_some() && !on && flowing.moving_m3_s(&flowed)? < STILL_M3_S {
            // Nothing comes any more.
            return Ok(Some(Crossing::Moved));
        }
        let settings = Settings {
            relative_tolerance: self.tolerance,
            absolute_tolerance: &[1e-9; FLOWED],
            first_step: None,
            longest_step: LONGEST_STEP_S,
            most_steps: 20_000,
            event_tolerance: 1e-4,
            watches: &watches,
        };
        let mut workspace = Workspace::new(FLOWED, watches.len());
        let from_s = state.t_s;
        let outcome = ode::integrate(
            &mut flowing,
            from_s,
            until_s,
            &mut flowed,
            &settings,
            &mut workspace,
            |_| {},
        )
        .map_err(|error| Refusal::Unfollowed {
            reason: error.to_string(),
        })?;
        let crossing = outcome.event.map(|at| flowing.crossings[at].0);
        drop(flowing);
        book(plant, state, &flowed, outcome.t - from_s, crossing);
        state.t_s = outcome.t;
        Ok(crossing)
    }
}

impl<'a> Fine<'a> {
    /// Puts the network at a task and the moment's levels and waters; where its water goes.
    fn set(&mut self, plant: &Plant, state: &State, lineup: usize) -> Result<Option<End>, Refusal> {
        let (Some(network), Some(hydraulics)) = (self.network, &mut self.hydraulics) else {
            return Ok(None);
        };
        let Some(setting) = &network.settings[lineup] else {
            return Ok(None);
        };
        let task = &network.station.plumbing.tasks[lineup];
        let mut situation = Situation::full(network.station);
        for (at, moment) in situation.vessels.iter_mut().enumerate() {
            let shape = &network.station.vessels[at].shape;
            let volume_m3 = state.volume_m3(plant, at).clamp(0.0, shape.full_volume_m3());
            moment.level_m = shape.level_m(volume_m3)?;
            moment.practical_salinity = plant
                .brine
                .practical_salinity(state.books.vessel(at))
                .clamp(0.0, 42.0);
        }
        hydraulics.begin(&situation, setting)?;
        hydraulics.solve(task.from)?;
        Ok(Some(task.to))
    }
}

/// Books what has flowed.
fn book(plant: &Plant, state: &mut State, flowed: &[f64; FLOWED], seconds: f64, ends: Option<Crossing>) {
    if let Some(purifier) = &plant.purifier {
        let made = Made {
            made_m3: flowed[MADE],
            reject_m3: flowed[REJECT],
            steady_kg: flowed[SOLIDS],
            seconds,
        };
        book_made(plant, state, purifier, &made);
    }
    if let Doing::Moving(moving) = state.person.doing {
        let amount = Amount {
            water_m3: flowed[WATER],
            salt_kg: flowed[SALT],
        };
        state.book(plant, Account::vessel(moving.load.from), moving.load.to, amount);
        let left_m3 = if ends == Some(Crossing::Moved) {
            0.0
        } else {
            moving.left_m3 - plant.brine.volume_m3(amount)
        };
        if let Doing::Moving(moving) = &mut state.person.doing {
            moving.left_m3 = left_m3;
        }
    }
}
