//! How a station stands when everybody leaves: idle, filling, in the midst of each task.

use station::plumbing::End;
use station::sections::{Control, Water};

use super::ground::Ground;
use crate::analysis::Setting;
use crate::plant::Amount;

/// What goes on when it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Phase {
    /// Everything full and closed.
    Idle,
    /// The vessels that the purifier fills have just asked for water.
    Filling,
    /// Half of a task is done.
    Transfer(usize),
}

/// A beginning.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Start {
    pub(crate) phase: Phase,
    pub(crate) contents: Vec<Amount>,
    /// Valves that are open, as bits.
    pub(crate) open: u64,
    pub(crate) pump: Option<usize>,
    /// What is still to be moved or made, m³, and where to; no end where water goes round.
    pub(crate) left_m3: f64,
    /// How long water goes round, s.
    pub(crate) round_s: Option<f64>,
    pub(crate) from: Option<usize>,
    pub(crate) to: Option<End>,
    /// Container under a draw point, m³.
    pub(crate) container_m3: f64,
    /// Whether a person has started the fill.
    pub(crate) attended: bool,
}

/// A vessel's share at which it counts as half emptied where neither a switch nor a mark tells (house rule).
const LOW_SHARE: f64 = 0.3;

/// The beginnings of a station: idle; filling, where there is a purifier; each task of a kind that can go on by itself.
pub(crate) fn phases(ground: &Ground<'_>, settings: &[Option<Setting>]) -> Vec<Start> {
    let mut all = vec![at_rest(ground, Phase::Idle)];
    all.extend(filling(ground));
    for (task, setting) in settings.iter().enumerate() {
        all.extend(
            setting
                .as_ref()
                .and_then(|setting| transfer(ground, task, setting)),
        );
    }
    all
}

/// The beginnings of a station that everybody left as it should be: idle, filling.
pub(crate) fn phases_left_properly(ground: &Ground<'_>) -> Vec<Start> {
    let mut all = vec![at_rest(ground, Phase::Idle)];
    all.extend(filling(ground));
    all
}

fn contents(ground: &Ground<'_>, vessel: usize, volume_m3: f64) -> Amount {
    let own = &ground.plant.vessels[vessel];
    match own.holds {
        Water::Fresh => Amount::water(volume_m3),
        Water::Salt => ground.plant.brine.of_volume(volume_m3, own.target),
    }
}

/// What stands in a vessel at rest, m³: a float alone keeps its own as full as it hangs, whatever its batch is.
pub(crate) fn rests_m3(ground: &Ground<'_>, vessel: usize) -> f64 {
    let own = &ground.plant.vessels[vessel];
    let floats = ground.station.floats(&ground.station.vessels[vessel]);
    match own.float_m3.filter(|_| floats) {
        Some((closes_m3, _)) => closes_m3,
        None => own.full_m3,
    }
}

fn at_rest(ground: &Ground<'_>, phase: Phase) -> Start {
    let full = |vessel: usize| contents(ground, vessel, rests_m3(ground, vessel));
    Start {
        phase,
        contents: (0..ground.plant.vessels.len()).map(full).collect(),
        open: ground.rest_open,
        pump: None,
        left_m3: 0.0,
        round_s: None,
        from: None,
        to: None,
        container_m3: 0.0,
        attended: false,
    }
}

/// The level under which the purifier starts, m³: a little below its start mark or below where its float opens.
pub(crate) fn starts_m3(ground: &Ground<'_>, vessel: usize) -> f64 {
    let plant = ground.plant;
    let own = &ground.station.vessels[vessel];
    let told_m3 = ground.station.starts_m(own);
    let told_m3 = told_m3.and_then(|level_m| own.shape.volume_m3(level_m).ok());
    let mut low = told_m3.unwrap_or(LOW_SHARE * plant.vessels[vessel].full_m3);
    let start = plant.wiring.switches[vessel]
        .iter()
        .find(|switch| switch.mark == station::control::Mark::Start);
    if let Some(start) = start {
        low = start.dries_m3 * (1.0 - 1e-6);
    } else if let Some((_, opens_m3)) = plant.vessels[vessel].float_m3 {
        low = low.min(opens_m3);
    }
    low
}

fn filling(ground: &Ground<'_>) -> Option<Start> {
    let purifier = ground.plant.purifier.as_ref()?;
    let mut start = at_rest(ground, Phase::Filling);
    for vessel in &purifier.fills {
        start.contents[*vessel] = contents(ground, *vessel, starts_m3(ground, *vessel));
    }
    let fields = ground.station.purifier.as_ref().map(|own| &own.fields);
    start.attended = fields.is_some_and(|fields| fields.control.value == Control::Attended);
    if start.attended {
        // A person stops it when all are full.
        start.left_m3 = ground.lacks_m3();
    }
    Some(start)
}

fn transfer(ground: &Ground<'_>, task: usize, setting: &Setting) -> Option<Start> {
    let station = ground.station;
    let own = &station.plumbing.tasks[task];
    let End::Vessel(from) = own.from else { return None };
    let source = &ground.plant.vessels[from];
    let drawable_m3 = (source.full_m3 - source.low_m3).max(0.0);
    let mut start = at_rest(ground, Phase::Transfer(task));
    start.from = Some(from);
    start.to = Some(own.to);
    start.pump = setting.pump;
    start.open = 0;
    for (valve, open) in setting.open.iter().enumerate() {
        start.open |= u64::from(*open) << valve;
    }
    let wanted = station.lineups[task]
        .fields
        .volume
        .as_ref()
        .map(|volume| volume.value.m3());
    let volume_m3 = match own.to {
        // Round and round: nobody moves a volume; it is for a batch.
        _ if own.to == own.from => {
            start.left_m3 = f64::INFINITY;
            start.round_s = Some(ground.plant.mix.mixing_s);
            return Some(start);
        }
        End::Draw(draw) => {
            start.container_m3 = station.draw_points[draw].fields.container.value.m3();
            wanted.unwrap_or(start.container_m3)
        }
        End::Vessel(to) => {
            let room_m3 = ground.plant.vessels[to].full_m3;
            wanted.unwrap_or(room_m3).min(room_m3)
        }
        End::Tank(tank) => {
            let change = station.tanks[tank].fields.change.as_ref();
            wanted
                .or(change.map(|change| change.value.m3()))
                .unwrap_or(drawable_m3)
        }
        End::Pump(_) | End::Tee(_) => return None,
    };
    let volume_m3 = volume_m3.min(drawable_m3);
    let half_m3 = 0.5 * volume_m3;
    start.left_m3 = half_m3;
    start.contents[from] = contents(ground, from, rests_m3(ground, from) - half_m3);
    if let End::Vessel(to) = own.to {
        // Water for a batch stands in the vessel that the batch is mixed in.
        let left_m3 = (ground.plant.vessels[to].full_m3 - half_m3).max(0.0);
        start.contents[to] = if ground.plant.vessels[to].holds == source.holds {
            contents(ground, to, left_m3)
        } else {
            Amount::water(half_m3)
        };
    }
    if let End::Draw(_) = own.to {
        start.container_m3 -= half_m3.min(start.container_m3);
    }
    Some(start)
}
