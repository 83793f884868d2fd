//! What somebody watches for while a card's water runs: what is still to come, and what ends it.

use serde::Serialize;
use station::plumbing::End;

use super::begin::Live;
use super::books::container_m3;
use super::walk::Walk;

/// A stream that is weaker is none, m³/s: a tenth of a litre in a minute (house rule).
const STILL_M3_S: f64 = 1e-4 / 60.0;
/// As a share of the strongest that was seen (house rule).
const FADED: f64 = 0.02;
/// So long nobody says that nothing comes, s (house rule).
const SETTLES_S: f64 = 30.0;
/// One shuts this share of the volume before it is reached: no bucket is filled to its last drop (house rule).
const SHORT_OF: f64 = 1e-3;
/// The same where nothing says a volume, m³.
const SHORT_M3: f64 = 1e-5;
/// Less isn't worth a way, m³ (house rule: a dipper).
const NOTHING_M3: f64 = 2e-4;
/// Looks lie no further apart, s, and no closer.
const LOOKS_S: (f64, f64) = (1e-3, 20.0);

/// What is still to come.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum Left {
    /// Volume, m³.
    Volume {
        /// m³.
        left_m3: f64,
    },
    /// Time, s: water goes round.
    Time {
        /// s.
        left_s: f64,
    },
    /// Nothing says how much: until somebody ends it, or no more comes.
    Open,
}

/// What ended it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ended {
    /// The volume of the card has come.
    Moved,
    /// The tank that it runs to has room for no more.
    Full,
    /// The time of the card is over.
    Time,
    /// No more comes: levels are even, the source is low, or a pump was stopped.
    Still,
    /// Somebody said that it was enough.
    Enough,
}

/// The watch over a task's water.
#[derive(Debug, Clone)]
pub(super) struct Watch {
    task: usize,
    /// What its target had before the card, and what is to come to it, m³.
    had_m3: f64,
    wanted_m3: f64,
    /// When it began, s; nothing before the card has come so far.
    began_s: Option<f64>,
    strongest_m3_s: f64,
}

/// What is seen at a look.
struct Look {
    has_m3: f64,
    comes_m3_s: f64,
}

impl Watch {
    /// Before the first step of a card.
    pub(super) fn before(live: &Live<'_>, task: usize) -> Self {
        let ground = live.place.ground;
        Self {
            task,
            had_m3: live.target_m3(task),
            wanted_m3: match ground.station.plumbing.tasks[task].to {
                // An empty bucket stands there by then.
                End::Draw(draw) => ground.station.lineups[task]
                    .fields
                    .volume
                    .as_ref()
                    .map_or_else(|| container_m3(ground, draw), |volume| volume.value.m3()),
                _ => live.walk.card_m3(ground, task),
            },
            began_s: None,
            strongest_m3_s: 0.0,
        }
    }

    fn goes_round(&self, live: &Live<'_>) -> bool {
        let own = &live.place.ground.station.plumbing.tasks[self.task];
        own.to == own.from
    }

    /// What ended it, however else valves and pumps stand: all has come, or no more has room. That no more comes says nothing
    /// then, nor does the time for which water was to go round.
    pub(super) fn has_come(&self, live: &Live<'_>) -> Option<Ended> {
        let is_volume = matches!(self.left(live), Left::Volume { .. });
        let has_begun = self.began_s.is_some() || self.came_m3(live) > self.short_m3();
        (is_volume && has_begun).then(|| self.at_its_end(live)).flatten()
    }

    fn at_its_end(&self, live: &Live<'_>) -> Option<Ended> {
        match self.left(live) {
            Left::Volume { left_m3 } if left_m3 <= self.short_m3() => {
                let has_come = self.wanted_m3 - self.came_m3(live) <= self.short_m3();
                Some(if has_come { Ended::Moved } else { Ended::Full })
            }
            Left::Time { left_s } if left_s <= 0.0 => Some(Ended::Time),
            _ => None,
        }
    }

    /// Begins, where it hasn't yet, and looks: what ended it.
    pub(super) fn look(&mut self, live: &Live<'_>) -> Option<Ended> {
        let began_s = *self.began_s.get_or_insert(live.t_s());
        let seen = live.look(self.task);
        self.strongest_m3_s = self.strongest_m3_s.max(seen.comes_m3_s);
        let is_still = seen.comes_m3_s < STILL_M3_S.max(FADED * self.strongest_m3_s);
        let still = || (is_still && live.t_s() - began_s >= SETTLES_S).then_some(Ended::Still);
        self.at_its_end(live).or_else(still)
    }

    /// Whether less than a dipper is to come.
    pub(super) fn wants_nothing(&self) -> bool {
        self.wanted_m3 < NOTHING_M3
    }

    pub(super) fn still_comes(&self, live: &Live<'_>) -> bool {
        !self.goes_round(live) && live.look(self.task).comes_m3_s >= STILL_M3_S
    }

    /// What is still to come.
    pub(super) fn left(&self, live: &Live<'_>) -> Left {
        if self.goes_round(live) {
            let since_s = self.began_s.map_or(0.0, |began_s| live.t_s() - began_s);
            return Left::Time {
                left_s: live.place.ground.plant.mix.mixing_s - since_s,
            };
        }
        let left_m3 = (self.wanted_m3 - self.came_m3(live)).min(self.room_m3(live));
        match left_m3.is_finite() {
            true => Left::Volume {
                left_m3: left_m3.max(0.0),
            },
            false => Left::Open,
        }
    }

    fn came_m3(&self, live: &Live<'_>) -> f64 {
        live.look(self.task).has_m3 - self.had_m3
    }

    /// What a tank still has room for.
    fn room_m3(&self, live: &Live<'_>) -> f64 {
        let station = live.place.ground.station;
        match station.plumbing.tasks[self.task].to {
            End::Tank(tank) => station.tanks[tank].headroom_m3() - live.look(self.task).has_m3,
            _ => f64::INFINITY,
        }
    }

    fn short_m3(&self) -> f64 {
        match self.wanted_m3.is_finite() {
            true => SHORT_OF * self.wanted_m3,
            false => SHORT_M3,
        }
    }

    /// What is to come in all.
    pub(super) fn whole(&self, live: &Live<'_>) -> Left {
        match (self.goes_round(live), self.wanted_m3.is_finite()) {
            (true, _) => Left::Time {
                left_s: live.place.ground.plant.mix.mixing_s,
            },
            (false, true) => Left::Volume {
                left_m3: self.wanted_m3,
            },
            (false, false) => Left::Open,
        }
    }

    /// When to look again at the latest, s.
    pub(super) fn next_look_s(&self, live: &Live<'_>) -> f64 {
        let comes_m3_s = live.look(self.task).comes_m3_s;
        let seconds = match self.left(live) {
            // What doesn't end it at its end isn't met by looking closer.
            Left::Volume { left_m3 } if comes_m3_s > 0.0 && left_m3 > self.short_m3() => {
                (left_m3 - 0.5 * self.short_m3()) / comes_m3_s
            }
            Left::Time { left_s } if left_s > 0.0 => left_s,
            _ => LOOKS_S.1,
        };
        seconds.clamp(LOOKS_S.0, LOOKS_S.1)
    }

    /// An empty container stands under the draw point now.
    pub(super) fn emptied(&mut self) {
        self.had_m3 = 0.0;
    }

    /// Water was taken out of its tank: what comes is counted from there.
    pub(super) fn taken_out(&mut self, live: &Live<'_>) {
        self.had_m3 = live.target_m3(self.task);
    }
}

impl Live<'_> {
    fn look(&self, task: usize) -> Look {
        let shown = self.walk.shown(&self.place);
        let to = self.place.ground.station.plumbing.tasks[task].to;
        let ends = shown.now.lines.ends.iter();
        Look {
            has_m3: self.held_m3(&shown.walk, to),
            comes_m3_s: ends
                .filter(|own| own.end == to && own.flow_m3_s > 0.0)
                .map(|own| own.flow_m3_s)
                .sum(),
        }
    }

    fn target_m3(&self, task: usize) -> f64 {
        let to = self.place.ground.station.plumbing.tasks[task].to;
        self.held_m3(&self.walk.shown(&self.place).walk, to)
    }

    fn held_m3(&self, walk: &Walk, end: End) -> f64 {
        let brine = &self.place.ground.plant.brine;
        match end {
            End::Draw(draw) => brine.volume_m3(walk.ledger.caught[draw]),
            End::Vessel(vessel) => brine.volume_m3(walk.state.contents[vessel]),
            End::Tank(tank) => walk.state.gained_m3[tank],
            End::Pump(_) | End::Tee(_) => 0.0,
        }
    }
}
