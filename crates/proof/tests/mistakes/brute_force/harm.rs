//! Whether what flows does harm, from the rules alone: nothing here knows patterns.
//!
//! Every comparison has a hair: as much as two computations of one thing may differ by. Judged a hair sooner and a hair
//! later, a state on the edge shows itself by a different answer.

use std::collections::BTreeSet;

use proof::MistakeKind as Kind;
use station::plumbing::End;
use station::sections::{Valve, Water};
use station::{Situation, Station};

use super::joined::parts;
use super::mouth::{Mouth, Position, mouths, water_at};
use super::pumps::Fares;
use super::stirred::until;
use super::water::{Flowing, STILL_M3_S};

/// Below this share of its volume nothing is lost with a vessel's water, and nobody starts a pump on it: the rule of the map.
pub(super) const HEEL: f64 = 0.03;

/// Which way thresholds are moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Hair {
    Sooner,
    None,
    Later,
}

impl Hair {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::Sooner => 1.0,
            Self::None => 0.0,
            Self::Later => -1.0,
        }
    }

    /// Whether a flow is one.
    pub(super) fn flows(self, flow_m3_s: f64) -> bool {
        flow_m3_s > STILL_M3_S * libm::pow(2.0, -self.sign())
    }

    /// Whether it comes to at least so much.
    pub(super) fn reaches(self, own: f64, wanted: f64) -> bool {
        own * (1.0 + 0.005 * self.sign()) >= wanted
    }
}

/// One harm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Harm {
    pub(super) kind: Kind,
    pub(super) victim: End,
    pub(super) flow_m3_s: f64,
    pub(super) seconds: f64,
}

/// Everything that the rules ask about.
pub(super) struct Judge<'a> {
    pub(super) station: &'a Station,
    pub(super) situation: &'a Situation,
    pub(super) flowing: &'a Flowing,
    pub(super) permeate_m3_s: f64,
    pub(super) hair: Hair,
    pub(super) mouths: Vec<Mouth>,
    /// Lines that are joined through tees and pumps, by their open ways.
    pub(super) parts: Vec<BTreeSet<usize>>,
    pub(super) pumps: Vec<Option<Fares>>,
}

/// What a position does at a moment.
pub(super) struct Done {
    /// All its harm.
    pub(super) harms: Vec<Harm>,
    /// For tasks that draw into a container, the vessels whose water isn't what arrives there.
    pub(super) others: Vec<(usize, Harm)>,
    /// Where a high cut-out stops the pumps.
    pub(super) cut: Vec<End>,
}

/// All that a position does at a moment.
pub(super) fn harms(
    station: &Station,
    situation: &Situation,
    position: &Position,
    flowing: &Flowing,
    (permeate_m3_s, hair): (f64, Hair),
) -> Done {
    let mut judge = Judge {
        station,
        situation,
        flowing,
        permeate_m3_s,
        hair,
        mouths: mouths(station, situation, position),
        parts: parts(station, position),
        pumps: Vec::new(),
    };
    judge.pumps = (0..station.pumps.len())
        .map(|pump| position.runs[pump].then(|| judge.fares(pump, position)))
        .collect();
    let mut all = Vec::new();
    for at in 0..station.vessels.len() {
        judge.vessel(at, &mut all);
    }
    for at in 0..station.tanks.len() {
        judge.tank(at, &mut all);
    }
    for at in 0..station.draw_points.len() {
        judge.draw(at, &mut all);
    }
    for at in 0..station.pumps.len() {
        judge.pump(at, &mut all);
    }
    let vessels = 0..station.vessels.len();
    let draws = (0..station.draw_points.len()).flat_map(|draw| vessels.clone().map(move |own| (own, draw)));
    let mut others: Vec<(usize, Harm)> = draws
        .filter_map(|(vessel, draw)| Some((vessel, judge.other_water(vessel, draw)?)))
        .collect();
    let unnoticed_s = station.room.unnoticed.value.s();
    let in_time = |harm: &Harm| hair.reaches(unnoticed_s, harm.seconds);
    all.retain(in_time);
    others.retain(|(_, harm)| in_time(harm));
    Done {
        harms: all,
        others,
        cut: judge.cut(),
    }
}

impl Judge<'_> {
    fn vessel(&self, at: usize, all: &mut Vec<Harm>) {
        let (own, end) = (&self.station.vessels[at], End::Vessel(at));
        let level_m = self.situation.vessels[at].level_m;
        let volume_m3 = own.shape.volume_m3(level_m).unwrap();
        let full_m3 = own.shape.full_volume_m3();
        let (comes, salinity, goes) = self.sums(end);
        let net = comes - goes;
        let to_come_m3 = self.to_come_m3(end);
        let mut rises = |kind: Kind, room_m3: f64| {
            if self.hair.flows(net) && self.hair.reaches(to_come_m3, room_m3) {
                all.push(Harm {
                    kind,
                    victim: end,
                    flow_m3_s: net,
                    seconds: room_m3 / net,
                });
            }
        };
        if !(own.fields.high_cutout.value && self.is_pumped_to(end)) {
            rises(Kind::OverRim, full_m3 - volume_m3);
        }
        let held = self
            .station
            .purifier
            .as_ref()
            .is_some_and(|purifier| purifier.fields.check_valve.value);
        if let (Some(tube), true, false) = (&own.fields.fill_end_level, self.is_filled(at), held) {
            let room_m3 = own.shape.volume_m3(tube.value.m()).unwrap() - volume_m3;
            if room_m3 > 0.0 {
                rises(Kind::BackflowToFeed, room_m3);
            } else {
                let flow_m3_s = if net > STILL_M3_S { net } else { 0.0 };
                all.push(Harm {
                    kind: Kind::BackflowToFeed,
                    victim: end,
                    flow_m3_s,
                    seconds: 0.0,
                });
            }
        }
        self.heater(at, -net - self.fill_m3_s(at), volume_m3, all);
        let (kind, limit) = match own.fields.holds.value {
            Water::Fresh => {
                let limit = own.fields.spoiled_above.as_ref().map(|limit| limit.value.plain());
                (
                    Kind::SaltIntoFresh,
                    limit.unwrap_or(own.fields.used_for.value.spoiled_above()),
                )
            }
            Water::Salt => {
                let made = self.situation.vessels[at].practical_salinity;
                (
                    Kind::FreshIntoSalt,
                    made - own.fields.salinity_tolerance.value.plain(),
                )
            }
        };
        if volume_m3 >= HEEL * full_m3 {
            let body = (volume_m3, water_at(self.station, self.situation, end).0, limit);
            self.spoils((kind, end), body, (comes, salinity, net), to_come_m3, all);
        }
    }

    fn heater(&self, at: usize, sinks_m3_s: f64, volume_m3: f64, all: &mut Vec<Harm>) {
        let own = &self.station.vessels[at];
        let fields = &own.fields;
        let (Some(_), Some(top), false) = (&fields.heater, &fields.heater_level, fields.heater_cutout.value)
        else {
            return;
        };
        let over_m3 = volume_m3 - own.shape.volume_m3(top.value.m()).unwrap();
        let can_sink = self.hair.reaches(self.can_lose_m3(at), over_m3);
        if over_m3 > 0.0 && self.hair.flows(sinks_m3_s) && can_sink {
            all.push(Harm {
                kind: Kind::HeaterUncovered,
                victim: End::Vessel(at),
                flow_m3_s: sinks_m3_s,
                seconds: over_m3 / sinks_m3_s,
            });
        }
    }

    /// When water of one salinity is spoiled by other water that comes in, by steps of time: no formula.
    fn spoils(
        &self,
        (kind, victim): (Kind, End),
        (volume_m3, own, limit): (f64, f64, f64),
        (comes, arriving, net): (f64, f64, f64),
        to_come_m3: f64,
        all: &mut Vec<Harm>,
    ) {
        if !self.hair.flows(comes) {
            return;
        }
        // The limit a hair nearer or farther.
        let limit = limit - self.hair.sign() * 0.005 * (limit - own);
        let up = kind == Kind::SaltIntoFresh;
        let past = |salinity: f64| if up { salinity > limit } else { salinity < limit };
        if !past(arriving) || past(own) || own == limit {
            return;
        }
        let seconds = until(
            volume_m3,
            (own, limit),
            (comes, arriving, net),
            self.station.room.unnoticed.value.s(),
        );
        let foreign_m3 = net.max(0.0) * seconds;
        // Of what drains away meanwhile a heel is no loss.
        let is_left = self.hair.reaches(volume_m3 + net * seconds, HEEL * volume_m3);
        if seconds.is_finite() && self.hair.reaches(to_come_m3, foreign_m3) && is_left {
            all.push(Harm {
                kind,
                victim,
                flow_m3_s: comes,
                seconds,
            });
        }
    }

    fn tank(&self, at: usize, all: &mut Vec<Harm>) {
        let (fields, end) = (&self.station.tanks[at].fields, End::Tank(at));
        let (comes, salinity, goes) = self.sums(end);
        let net = comes - goes;
        let (volume_m3, to_come_m3) = (fields.volume.value.m3(), self.to_come_m3(end));
        let headroom_m3 = fields
            .headroom
            .as_ref()
            .map_or(0.05 * volume_m3, |own| own.value.m3());
        if self.hair.flows(net) && self.hair.reaches(to_come_m3, headroom_m3) {
            let pumped = self.is_pumped_to(end);
            let kind = if pumped {
                Kind::OverRim
            } else {
                Kind::SiphonIntoTank
            };
            if !(pumped && fields.high_cutout.value) {
                all.push(Harm {
                    kind,
                    victim: end,
                    flow_m3_s: net,
                    seconds: headroom_m3 / net,
                });
            }
        }
        if self.hair.flows(goes) {
            let seconds = self
                .at(end)
                .filter(|mouth| self.gain(mouth) < 0.0)
                .map(|mouth| {
                    let line = &self.station.lines[mouth.line].fields;
                    let bore_m = self.station.plumbing.lines[mouth.line].bore_m(line).unwrap();
                    0.25 * core::f64::consts::PI * bore_m * bore_m * line.length.value.m() / -self.gain(mouth)
                })
                .fold(f64::INFINITY, f64::min);
            all.push(Harm {
                kind: Kind::TankDrawnBack,
                victim: end,
                flow_m3_s: goes,
                seconds,
            });
        }
        let own = fields.salinity.value.practical();
        let body = (volume_m3, own, own - fields.salinity_tolerance.value.plain());
        self.spoils(
            (Kind::FreshIntoSalt, end),
            body,
            (comes, salinity, net),
            to_come_m3,
            all,
        );
    }

    /// Whether a pump brings water to an end.
    fn is_pumped_to(&self, end: End) -> bool {
        self.parts.iter().any(|part| {
            let here = self
                .at(end)
                .any(|mouth| part.contains(&mouth.line) && self.gain(mouth) != 0.0);
            here && self.is_pumped(part)
        })
    }

    /// The ends whose high cut-out stops the pumps: they rise.
    fn cut(&self) -> Vec<End> {
        let vessels = self.station.vessels.iter().enumerate();
        let vessels = vessels.filter(|(_, own)| own.fields.high_cutout.value);
        let tanks = self.station.tanks.iter().enumerate();
        let tanks = tanks.filter(|(_, own)| own.fields.high_cutout.value);
        vessels
            .map(|(at, _)| End::Vessel(at))
            .chain(tanks.map(|(at, _)| End::Tank(at)))
            .filter(|end| {
                let (comes, _, goes) = self.sums(*end);
                self.hair.flows(comes - goes)
            })
            .collect()
    }

    fn draw(&self, at: usize, all: &mut Vec<Harm>) {
        let end = End::Draw(at);
        let (comes, salinity, _) = self.sums(end);
        self.two_waters(end, (comes, salinity), all);
        let held = self.station.plumbing.lines_at(end).any(|line| {
            self.station.plumbing.valves_of(line).any(|valve| {
                let own = &self.station.valves[valve].fields;
                own.self_closing.value && own.kind.value != Valve::Solenoid
            })
        });
        if held || !self.hair.flows(comes) {
            return;
        }
        let container_m3 = self.container_m3(at);
        let part = self
            .parts
            .iter()
            .find(|part| self.at(end).any(|mouth| part.contains(&mouth.line)));
        // A vessel that fills itself never has enough of it.
        let endless = self.mouths.iter().any(|mouth| {
            let End::Vessel(vessel) = mouth.end else {
                return false;
            };
            part.is_some_and(|part| part.contains(&mouth.line))
                && self.gain(mouth) < 0.0
                && self.fill_m3_s(vessel) > 0.0
        });
        if endless || self.hair.reaches(self.to_come_m3(end), container_m3) {
            all.push(Harm {
                kind: Kind::ToFloor,
                victim: end,
                flow_m3_s: comes,
                seconds: container_m3 / comes,
            });
        }
    }

    /// Water in a container that isn't a vessel's.
    fn other_water(&self, vessel: usize, draw: usize) -> Option<Harm> {
        let end = End::Draw(draw);
        let (comes, salinity, _) = self.sums(end);
        let fields = &self.station.vessels[vessel].fields;
        let is_other = match fields.holds.value {
            Water::Fresh => {
                let own = fields.spoiled_above.as_ref().map(|limit| limit.value.plain());
                let limit = own.unwrap_or(fields.used_for.value.spoiled_above());
                salinity * (1.0 + 0.005 * self.hair.sign()) > limit
            }
            Water::Salt => self.off_mix(vessel, salinity),
        };
        (is_other && self.hair.flows(comes)).then(|| self.spoiled_container(draw, comes))?
    }

    /// Whether a salinity is farther from a vessel's than the owner bears; a hair of the tolerance to either side.
    fn off_mix(&self, vessel: usize, salinity: f64) -> bool {
        let made = self.situation.vessels[vessel].practical_salinity;
        let tolerance = self.station.vessels[vessel]
            .fields
            .salinity_tolerance
            .value
            .plain();
        (salinity - made).abs() > tolerance * (1.0 - 0.005 * self.hair.sign())
    }

    /// A container with so much other water in it that it counts, if there is so much.
    fn spoiled_container(&self, draw: usize, comes: f64) -> Option<Harm> {
        let little_m3 = 0.03 * self.container_m3(draw);
        let end = End::Draw(draw);
        self.hair
            .reaches(self.to_come_m3(end), little_m3)
            .then_some(Harm {
                kind: Kind::WrongWaterDrawn,
                victim: end,
                flow_m3_s: comes,
                seconds: little_m3 / comes,
            })
    }

    /// Purified water and other water in one container, at a salinity that is neither.
    fn two_waters(&self, end: End, (comes, salinity): (f64, f64), all: &mut Vec<Harm>) {
        let End::Draw(at) = end else { return };
        let part = self
            .parts
            .iter()
            .find(|part| self.at(end).any(|mouth| part.contains(&mouth.line)));
        let others_come = self.mouths.iter().any(|mouth| {
            let own = water_at(self.station, self.situation, mouth.end).0;
            part.is_some_and(|part| part.contains(&mouth.line))
                && self.gain(mouth) < -STILL_M3_S
                && (own - salinity).abs() > 0.01
        });
        let vessels = 0..self.station.vessels.len();
        let mut salts = vessels
            .filter(|own| self.station.vessels[*own].fields.holds.value == Water::Salt)
            .peekable();
        let is_neither = salinity * (1.0 + 0.005 * self.hair.sign()) >= 1.0
            && salts.peek().is_some()
            && salts.all(|own| self.off_mix(own, salinity));
        if self.hair.flows(comes) && is_neither && others_come {
            all.extend(self.spoiled_container(at, comes));
        }
    }

    fn container_m3(&self, draw: usize) -> f64 {
        self.station.draw_points[draw].fields.container.value.m3()
    }
}
