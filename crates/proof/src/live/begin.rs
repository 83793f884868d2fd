//! The live station: how it begins, goes on, and takes acts.

use serde::{Deserialize, Serialize};
use station::Station;
use station::plumbing::End;
use station::sections::Water as Holds;

use super::act::{Act, Recorded};
use super::air::Air;
use super::fault::{LiveFault, PossibleFault};
use super::hand::found;
use super::ledger::Ledger;
use super::picture::Snapshot;
use super::read::read;
use super::tank::at_first;
use super::walk::{Making, Place, Walk, hands};
use super::warmth::bodies;
use super::words::Names;
use crate::alone::{Ground, Lens, Lines, Phase, Start, State, phases_left_properly, season_s};
use crate::analysis::{Setting, parts, plain_network, prepare, settings};
use crate::method::Refusal;
use crate::plant::Amount;

/// How the station stands when it begins.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Beginning {
    /// Every vessel full, valves as they stand between tasks.
    #[default]
    Full,
    /// The vessels that the purifier fills have just asked for water. Where nothing fills any, it is as full.
    Filling,
}

/// The longest time that is gone on at once, s: a thousand hours.
const LONGEST_S: f64 = 3.6e6;

/// A station under somebody's hands.
pub struct Live<'g> {
    pub(super) place: Place<'g>,
    pub(super) names: Names<'g>,
    lines: Option<Lines<'g>>,
    /// Lines for looking ahead, so that nobody sees by the last digit that somebody has looked.
    pub(super) ahead: Option<Lines<'g>>,
    pub(super) walk: Walk,
    record: Vec<Recorded>,
}

/// Does something with a live station. It lives as long as that takes.
///
/// # Errors
/// [`LiveFault`] where the station has no plant or its flows can't be computed.
pub fn live<T>(
    station: &Station,
    beginning: Beginning,
    with: impl FnOnce(&mut Live<'_>) -> T,
) -> Result<T, LiveFault> {
    let plant = prepare(station, false)?.nominal;
    let pipework = match station.is_plumbed() {
        true => Some(plain_network(station)?),
        false => None,
    };
    let settings = pipework
        .as_ref()
        .map_or_else(Vec::new, |pipework| settings(station, pipework));
    let mut ground = Ground::new(station, &plant, pipework, &settings)?;
    let air = Air::at(&ground, season_s(&plant));
    ground.dries_m3_s.clone_from(&air.vessels);
    let room_c = plant.room_c.at(season_s(&plant));
    let bodies = bodies(station, &ground, room_c)?;
    let place = Place {
        ground: &ground,
        bodies,
        room_c,
        // House rule: what stood in the room's tubes and housings comes with its warmth.
        feed_c: room_c,
        air,
        making: making(station, &settings)?,
    };
    let wanted = match beginning {
        Beginning::Full => Phase::Idle,
        Beginning::Filling => Phase::Filling,
    };
    let mut starts = phases_left_properly(&ground);
    let at = starts.iter().position(|own| own.phase == wanted).unwrap_or(0);
    let walk = walk(&place, starts.swap_remove(at));
    let told = |lines: &mut Lines<'_>| {
        lines.tell_lines();
        lines.forget();
    };
    let mut own = ground.lines();
    let mut ahead = ground.lines();
    own.iter_mut().chain(&mut ahead).for_each(told);
    let mut live = Live {
        names: Names::of(&ground, &settings),
        place,
        lines: own,
        ahead,
        walk,
        record: Vec::new(),
    };
    live.walk.plan(&live.place, &mut live.lines)?;
    Ok(with(&mut live))
}

/// The tasks that put fresh water into a salt vessel.
fn making(station: &Station, settings: &[Option<Setting>]) -> Result<Vec<Making>, Refusal> {
    let holds = |vessel: usize| station.vessels[vessel].fields.holds.value;
    let parts = match station.is_plumbed() {
        true => parts(station)?,
        false => Vec::new(),
    };
    let tasks = station.plumbing.tasks.iter().zip(settings);
    let making = tasks.filter_map(|(task, setting)| match (task.from, task.to, setting) {
        (End::Vessel(from), End::Vessel(vessel), Some(setting))
            if holds(from) == Holds::Fresh && holds(vessel) == Holds::Salt =>
        {
            let open = setting.open.iter().enumerate().filter(|(_, open)| **open);
            let open = open.fold(0, |all, (valve, _)| all | 1 << valve);
            let own = parts.iter().filter(|valves| **valves & open != 0);
            let among = own.fold(0, |all, valves| all | valves);
            Some(Making {
                open: open & among,
                among,
                pump: task.pump,
                vessel,
            })
        }
        _ => None,
    });
    Ok(making.collect())
}

/// Everything at its beginning.
fn walk(place: &Place<'_>, mut start: Start) -> Walk {
    let ground = place.ground;
    let lens = Lens::default();
    let mut state = State::begin(ground, &start, &lens, 0.0);
    for (vessel, own) in ground.plant.vessels.iter().enumerate() {
        let kept = own.heat.filter(|heat| heat.keeps_warm);
        state.temperature_c[vessel] = kept.map_or(place.room_c, |heat| heat.set_c);
    }
    // From here on somebody holds what is held, and valves are as they are put.
    start.phase = Phase::Transfer(0);
    start.attended = false;
    start.left_m3 = f64::INFINITY;
    state.in_hand = Some((f64::INFINITY, f64::INFINITY));
    hands(ground, &lens, &start).begin(&mut state);
    let tanks: Vec<Amount> = (0..ground.station.tanks.len())
        .map(|tank| at_first(ground, tank))
        .collect();
    let ledger = Ledger::new(&state.contents, &tanks, ground.station.draw_points.len());
    Walk::new(start, state, ledger)
}

impl Live<'_> {
    /// The simulated time, s.
    pub fn t_s(&self) -> f64 {
        self.walk.shown_s
    }

    /// Goes on for a time.
    ///
    /// # Errors
    /// [`LiveFault`] for a time that can't be gone on, or where flows can't be computed.
    pub fn advance(&mut self, seconds: f64) -> Result<(), LiveFault> {
        if !(0.0..=LONGEST_S).contains(&seconds) {
            return Err(LiveFault::Number {
                what: "a time to go on, in seconds,",
                given: seconds,
            });
        }
        self.advance_to(self.t_s() + seconds)
    }

    /// Goes on to a time; nothing happens where that is past.
    ///
    /// # Errors
    /// As [`Self::advance`].
    pub fn advance_to(&mut self, t_s: f64) -> Result<(), LiveFault> {
        if !t_s.is_finite() || t_s - self.t_s() > LONGEST_S {
            return Err(LiveFault::Number {
                what: "a time to go on to, in seconds,",
                given: t_s,
            });
        }
        if t_s > self.t_s() {
            self.walk.go_to(&self.place, &mut self.lines, t_s)?;
        }
        Ok(())
    }

    /// Does an act now, and records it.
    ///
    /// # Errors
    /// [`LiveFault`] where it can't be done; then nothing was done.
    pub fn act(&mut self, act: &Act) -> Result<(), LiveFault> {
        let done = found(&self.names, &self.walk, act)?;
        self.record.push(Recorded {
            at_s: self.t_s(),
            act: act.clone(),
        });
        self.walk.act(&self.place, self.names.settings(), done);
        Ok(self.walk.plan(&self.place, &mut self.lines)?)
    }

    /// Whether an act's parts are this station's; what stands in vessels at the time isn't looked at.
    ///
    /// # Errors
    /// [`LiveFault`] where the station has no such part, or nobody turns it.
    pub fn knows(&self, act: &Act) -> Result<(), LiveFault> {
        match found(&self.names, &self.walk, act) {
            Ok(_) | Err(LiveFault::TooSalty { .. } | LiveFault::Excluded { .. }) => Ok(()),
            Err(fault) => Err(fault),
        }
    }

    /// The moment as plain data.
    ///
    /// # Errors
    /// [`LiveFault`] where a level can't be found.
    pub fn snapshot(&self) -> Result<Snapshot, LiveFault> {
        Ok(read(&self.place, &self.names, &self.walk)?)
    }

    /// What was done so far.
    pub fn record(&self) -> &[Recorded] {
        &self.record
    }

    /// The faults that its parts can have, part by part.
    pub fn faults(&self) -> Vec<PossibleFault> {
        self.names
            .faults
            .iter()
            .map(|(fault, said)| PossibleFault {
                fault: said.clone(),
                part: self.names.words.part(*fault),
                how: self.names.words.how(*fault),
                place: self.names.words.place(*fault),
                is_in: self.walk.faults.contains(fault),
            })
            .collect()
    }
}
