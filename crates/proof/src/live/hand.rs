//! The hand at the station: each act, done.

use station::control::{Input, Task};
use station::plumbing::End;

use super::act::Act;
use super::books::container_m3;
use super::fault::LiveFault;
use super::ledger::{add, take};
use super::tank::tank_water;
use super::walk::{Place, Walk, hands};
use super::words::{Names, spot_of};
use crate::alone::{Fault, FeedFault, Ground, Lens, OUTAGE_S, THAWS_S};
use crate::analysis::Setting;
use crate::plant::Amount;

/// The saltiest water that the laws of sea water know, practical salinity.
const SALTIEST: f64 = 42.0;

/// An act with its parts found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Done {
    Valve { valve: usize, open: bool },
    Input { input: usize, on: bool },
    Begin { task: usize },
    End,
    Reset { input: usize },
    Bucket { draw: usize },
    Salt { vessel: usize, mass_kg: f64 },
    TakeOut { tank: usize, volume_m3: f64 },
    Break { fault: Fault },
    Mend { fault: Fault },
    Wipe,
}

/// Finds an act's parts.
pub(super) fn found(names: &Names<'_>, walk: &Walk, act: &Act) -> Result<Done, LiveFault> {
    let ground = names.ground;
    let input = |input: Input| ground.program().input(input).ok_or(LiveFault::NoSwitch);
    Ok(match act {
        Act::Valve { valve, open } => {
            let at = names.valve(valve)?;
            if !ground.station.valves[at].fields.kind.value.is_set() {
                return Err(LiveFault::ByItself { name: valve.clone() });
            }
            Done::Valve {
                valve: at,
                open: *open,
            }
        }
        Act::Pump { pump, on } => Done::Input {
            input: input(Input::Ask(Task::Pump(names.pump(pump)?)))?,
            on: *on,
        },
        Act::Begin { task } => {
            let at = names.task(task)?;
            if names.setting(at).is_none() {
                return Err(LiveFault::NoSetting { name: task.clone() });
            }
            Done::Begin { task: at }
        }
        Act::End => Done::End,
        Act::Fill { on } => Done::Input {
            input: input(Input::Ask(Task::Fill))?,
            on: *on,
        },
        Act::Warm { vessel, on } => Done::Input {
            input: input(Input::Ask(Task::Warm(names.vessel(vessel)?)))?,
            on: *on,
        },
        Act::Reset => Done::Reset {
            input: input(Input::Reset)?,
        },
        Act::Bucket { draw } => Done::Bucket {
            draw: names.draw(draw)?,
        },
        Act::Salt { vessel, mass_kg } => salt(names, walk, vessel, *mass_kg)?,
        Act::TakeOut { tank, volume_m3 } => take_out(names, walk, tank, *volume_m3)?,
        Act::Break { fault } => {
            let fault = names.fault(fault)?;
            if let Some(other) = walk
                .faults
                .iter()
                .find(|own| own.excludes(fault) && **own != fault)
            {
                return Err(LiveFault::Excluded {
                    other: names.words.fault(*other),
                });
            }
            Done::Break { fault }
        }
        Act::Mend { fault } => Done::Mend {
            fault: names.fault(fault)?,
        },
        Act::Wipe => Done::Wipe,
    })
}

fn above_zero(what: &'static str, given: f64) -> Result<(), LiveFault> {
    match given.is_finite() && given > 0.0 {
        true => Ok(()),
        false => Err(LiveFault::Number { what, given }),
    }
}

fn salt(names: &Names<'_>, walk: &Walk, vessel: &str, mass_kg: f64) -> Result<Done, LiveFault> {
    let at = names.vessel(vessel)?;
    above_zero("a mass of salt", mass_kg)?;
    let mut then = walk.with_grains(at);
    add(&mut then, Amount::salt(mass_kg));
    if then.water_m3 <= 0.0 || names.ground.plant.brine.practical_salinity(then) > SALTIEST {
        return Err(LiveFault::TooSalty {
            vessel: vessel.to_owned(),
        });
    }
    Ok(Done::Salt { vessel: at, mass_kg })
}

fn take_out(names: &Names<'_>, walk: &Walk, tank: &str, volume_m3: f64) -> Result<Done, LiveFault> {
    let at = names.tank(tank)?;
    above_zero("a volume that is taken out", volume_m3)?;
    let holds_m3 = names.ground.station.tanks[at].fields.volume.value.m3() + walk.state.gained_m3[at];
    if volume_m3 > holds_m3 {
        return Err(LiveFault::TooMuch {
            tank: tank.to_owned(),
        });
    }
    Ok(Done::TakeOut { tank: at, volume_m3 })
}

impl Walk {
    /// Does an act at the time that is shown. The next step is to be planned after.
    pub(super) fn act(&mut self, place: &Place<'_>, settings: &[Option<Setting>], done: Done) {
        self.cut(place);
        let ground = place.ground;
        match done {
            Done::Valve { valve, open } => self.turn(ground, valve, open),
            Done::Input { input, on } => self.ask(ground, input, on),
            Done::Begin { task } => {
                self.end(ground);
                self.begin(ground, task, settings.get(task).and_then(Option::as_ref));
            }
            Done::End => self.end(ground),
            Done::Reset { input } => {
                for on in [true, false] {
                    self.set(ground, input, on);
                }
            }
            Done::Bucket { draw } => self.change_bucket(draw),
            Done::Salt { vessel, mass_kg } => {
                let salt = Amount::salt(mass_kg);
                self.grains_kg[vessel] += mass_kg;
                add(&mut self.ledger.poured, salt);
                self.note_doses(ground);
            }
            Done::TakeOut { tank, volume_m3 } => {
                let water = tank_water(ground, &self.ledger, tank).amount(&ground.plant.brine, volume_m3);
                self.state.gained_m3[tank] -= volume_m3;
                take(&mut self.ledger.tanks[tank], water);
                add(&mut self.ledger.carried, water);
                self.look_at_tanks(ground);
            }
            Done::Break { fault } => {
                if !self.faults.contains(&fault) {
                    self.faults.push(fault);
                    self.bend(ground);
                }
            }
            Done::Mend { fault } => {
                self.faults.retain(|own| *own != fault);
                self.bend(ground);
            }
            Done::Wipe => self.wipe(ground),
        }
    }

    fn set(&mut self, ground: &Ground<'_>, input: usize, on: bool) {
        hands(ground, &self.lens, &self.start).set(&mut self.state, input, on);
    }

    /// A switch that somebody puts on or off. Somebody is there while one is on.
    fn ask(&mut self, ground: &Ground<'_>, input: usize, on: bool) {
        if on {
            self.here(ground, true);
        }
        self.set(ground, input, on);
        if !on {
            let asked = asks(ground).any(|own| self.state.truth[own]);
            self.here(ground, asked || self.task.is_some());
        }
    }

    fn here(&mut self, ground: &Ground<'_>, here: bool) {
        if let Some(input) = ground.plant.wiring.here
            && self.state.truth[input] != here
        {
            self.set(ground, input, here);
        }
    }

    fn turn(&mut self, ground: &Ground<'_>, valve: usize, open: bool) {
        let bit = 1 << valve;
        self.start.open = if open {
            let other = ground.station.plumbing.other_way.get(valve).copied().flatten();
            (self.start.open | bit) & !other.map_or(0, |other| 1 << other)
        } else {
            self.start.open & !bit
        };
        self.put_valves(ground);
    }

    pub(super) fn put_valves(&mut self, ground: &Ground<'_>) {
        hands(ground, &self.lens, &self.start).valves(&mut self.state);
    }

    fn begin(&mut self, ground: &Ground<'_>, task: usize, setting: Option<&Setting>) {
        let Some(setting) = setting else { return };
        let own = &ground.station.plumbing.tasks[task];
        self.task = Some(task);
        self.start.open = setting
            .open
            .iter()
            .enumerate()
            .fold(0, |open, (valve, own)| open | u64::from(*own) << valve);
        self.start.pump = setting.pump;
        self.start.from = match own.from {
            End::Vessel(vessel) => Some(vessel),
            _ => None,
        };
        self.start.to = Some(own.to);
        if let End::Draw(draw) = own.to {
            self.change_bucket(draw);
        }
        let left_m3 = if self.lens.nobody_ends_it {
            f64::INFINITY
        } else {
            self.card_m3(ground, task)
        };
        let round_s = match own.to == own.from && !self.lens.nobody_ends_it {
            true => self.state.t_s + ground.plant.mix.mixing_s,
            false => f64::INFINITY,
        };
        self.state.in_hand = Some((left_m3, round_s));
        self.here(ground, true);
        self.put_valves(ground);
        if let Some(ask) = setting.pump.and_then(|pump| ground.plant.wiring.pumps[pump].ask) {
            self.set(ground, ask, true);
        }
    }

    /// What the card of a task says is moved, m³; without end where water goes round or nothing says it.
    pub(super) fn card_m3(&self, ground: &Ground<'_>, task: usize) -> f64 {
        let own = &ground.station.plumbing.tasks[task];
        let brine = &ground.plant.brine;
        let wanted = ground.station.lineups[task].fields.volume.as_ref();
        let wanted = wanted.map(|volume| volume.value.m3());
        match own.to {
            _ if own.to == own.from => f64::INFINITY,
            End::Draw(draw) => wanted.unwrap_or(container_m3(ground, draw)),
            End::Vessel(to) => {
                let there_m3 = brine.volume_m3(self.state.contents[to]);
                let room_m3 = (ground.plant.vessels[to].full_m3 - there_m3).max(0.0);
                wanted.unwrap_or(room_m3).min(room_m3)
            }
            End::Tank(tank) => wanted
                .or(ground.station.tanks[tank]
                    .fields
                    .change
                    .as_ref()
                    .map(|change| change.value.m3()))
                .unwrap_or(f64::INFINITY),
            End::Pump(_) | End::Tee(_) => f64::INFINITY,
        }
    }

    /// What a card says is moved, or the time to go round is over.
    pub(super) fn done(&mut self, ground: &Ground<'_>) {
        if self.lens.nobody_ends_it || self.task.is_none() {
            self.state.in_hand = Some((f64::INFINITY, f64::INFINITY));
        } else {
            self.state.outcome.ended_s = Some(self.state.t_s);
            self.end(ground);
        }
    }

    /// The task in hand is ended, and every pump that somebody asked for.
    fn end(&mut self, ground: &Ground<'_>) {
        self.task = None;
        self.state.in_hand = Some((f64::INFINITY, f64::INFINITY));
        for (pump, ends) in ground.plant.wiring.pumps.iter().enumerate() {
            if let Some(ask) = ends.ask
                && self.lens.left_on >> pump & 1 == 0
                && self.state.truth[ask]
            {
                self.set(ground, ask, false);
            }
        }
        self.start.open = ground.rest_open;
        self.start.pump = None;
        self.start.to = None;
        self.put_valves(ground);
        let asked = asks(ground).any(|own| self.state.truth[own]);
        self.here(ground, asked);
    }

    fn change_bucket(&mut self, draw: usize) {
        let caught = core::mem::take(&mut self.ledger.caught[draw]);
        add(&mut self.ledger.carried, caught);
    }

    fn wipe(&mut self, ground: &Ground<'_>) {
        for wet in [
            core::mem::take(&mut self.ledger.floor),
            core::mem::take(&mut self.ledger.tray),
        ] {
            add(&mut self.ledger.wiped, wet);
        }
        // Harm that was done stays done.
        for harm in &mut self.state.outcome.harms {
            let spot = spot_of(harm.kind);
            harm.amount += self
                .state
                .floor
                .iter()
                .filter(|(own, _)| Some(*own) == spot)
                .map(|(_, sum)| sum)
                .sum::<f64>();
        }
        self.state.floor.clear();
        self.state.tray_m3 = 0.0;
        if let Some(leak) = ground.leak
            && self.state.truth[leak]
        {
            self.set(ground, leak, false);
        }
    }

    /// The faults are others now: what control hears and does follows.
    fn bend(&mut self, ground: &Ground<'_>) {
        let before = core::mem::replace(&mut self.lens, Lens::of(ground, &self.faults));
        let t_s = self.state.t_s;
        if self.lens.hung != before.hung {
            let program = ground.program();
            self.state.held = self.lens.hung.then(|| {
                (0..program.outputs().len())
                    .map(|at| program.is_on(&self.state.control, at))
                    .collect()
            });
        }
        if self.lens.power_out != before.power_out {
            self.power_back_s = (self.lens.power_out == Some(true)).then_some(t_s + OUTAGE_S);
            let on = self.lens.power_out.is_none();
            if self.state.powered != on {
                hands(ground, &self.lens, &self.start).power(&mut self.state, on);
            }
        }
        let frozen = |lens: &Lens| lens.feed == Some(FeedFault::Frozen);
        if frozen(&self.lens) != frozen(&before) {
            self.thaws_s = frozen(&self.lens).then_some(t_s + THAWS_S);
        }
        for (pump, ends) in ground.plant.wiring.pumps.iter().enumerate() {
            let on = self.lens.left_on >> pump & 1 == 1;
            if let Some(ask) = ends.ask
                && on != (before.left_on >> pump & 1 == 1)
            {
                self.ask(ground, ask, on);
            }
        }
        if self.lens.nobody_ends_it
            && let Some(in_hand) = &mut self.state.in_hand
        {
            *in_hand = (f64::INFINITY, f64::INFINITY);
        }
        self.put_valves(ground);
        let state = &mut self.state;
        let hands = hands(ground, &self.lens, &self.start);
        let changes: Vec<(usize, bool)> = (0..state.truth.len())
            .map(|input| (input, hands.heard(state, input)))
            .collect();
        if state.powered {
            ground.program().step_together(&mut state.control, t_s, &changes);
        }
    }
}

/// Every switch by which somebody asks for something.
fn asks<'g>(ground: &'g Ground<'_>) -> impl Iterator<Item = usize> + 'g {
    let inputs = ground.program().inputs().iter().enumerate();
    inputs.filter_map(|(at, input)| matches!(input, Input::Ask(_)).then_some(at))
}
