//! What every end gains and gives, and what there is to come.

use std::collections::BTreeSet;

use physics::seawater::density_kg_m3;
use station::plumbing::End;
use station::sections::{Fill, Water};

use super::harm::Judge;
use super::mouth::{Mouth, water_at};
use super::pumps::Fares;
use super::water::STILL_M3_S;

impl Judge<'_> {
    /// What a mouth gains, above 0 where water comes out of it.
    pub(super) fn gain(&self, mouth: &Mouth) -> f64 {
        let along = self.flowing.lines_m3_s[mouth.line];
        let gain = if mouth.is_last { along } else { -along };
        if gain.abs() > STILL_M3_S { gain } else { 0.0 }
    }

    pub(super) fn at(&self, end: End) -> impl Iterator<Item = &Mouth> {
        self.mouths.iter().filter(move |mouth| mouth.end == end)
    }

    /// Water that comes in, its salinity, water that goes out.
    pub(super) fn sums(&self, end: End) -> (f64, f64, f64) {
        let (mut comes, mut salt, mut goes) = (0.0, 0.0, 0.0);
        for mouth in self.at(end) {
            let gain = self.gain(mouth);
            if gain > 0.0 {
                comes += gain;
                salt += gain * self.flowing.waters[mouth.line].0;
            } else {
                goes -= gain;
            }
        }
        (comes, salt / comes, goes)
    }

    pub(super) fn surface_m(&self, end: End) -> Option<f64> {
        match end {
            End::Vessel(at) => {
                let floor_m = self.station.vessels[at].fields.floor_height.value.m();
                Some(floor_m + self.situation.vessels[at].level_m)
            }
            End::Tank(at) => self.station.tanks[at]
                .fields
                .water_height
                .as_ref()
                .map(|own| own.value.m()),
            End::Draw(_) | End::Tee(_) | End::Pump(_) => None,
        }
    }

    fn density_kg_m3(&self, end: End) -> f64 {
        let (salinity, temperature) = water_at(self.station, self.situation, end);
        density_kg_m3(salinity, temperature).unwrap()
    }

    /// Water in a vessel above a height over the room's floor.
    pub(super) fn above_m3(&self, vessel: usize, height_m: f64) -> f64 {
        let own = &self.station.vessels[vessel];
        let level_m = self.situation.vessels[vessel].level_m;
        let from_m = (height_m - own.fields.floor_height.value.m()).clamp(0.0, level_m);
        own.shape.volume_m3(level_m).unwrap() - own.shape.volume_m3(from_m).unwrap()
    }

    pub(super) fn is_pumped(&self, part: &BTreeSet<usize>) -> bool {
        self.pumps.iter().enumerate().any(|(pump, fares)| {
            *fares == Some(Fares::Moves)
                && part.iter().any(|line| {
                    let joined = self.station.plumbing.lines[*line];
                    [joined.from, joined.to].contains(&End::Pump(pump))
                })
        })
    }

    /// What others have to give to an end: each what it holds above the lowest of its mouths that give, and without a
    /// pump above what balances what it flows into.
    pub(super) fn to_come_m3(&self, end: End) -> f64 {
        let mut most: Vec<(End, f64)> = Vec::new();
        for part in &self.parts {
            let arrives_m = self
                .at(end)
                .filter(|mouth| part.contains(&mouth.line) && self.gain(mouth) > 0.0)
                .map(|mouth| mouth.height_m)
                .fold(f64::INFINITY, f64::min);
            if arrives_m == f64::INFINITY {
                continue;
            }
            let givers = self
                .mouths
                .iter()
                .filter(|mouth| part.contains(&mouth.line) && mouth.end != end && self.gain(mouth) < 0.0);
            for mouth in givers {
                let gives_m3 = match mouth.end {
                    End::Vessel(at) => self.above_m3(
                        at,
                        self.against_m(end, arrives_m, mouth.end, part)
                            .max(mouth.height_m),
                    ),
                    End::Tank(at) => self.station.tanks[at].fields.volume.value.m3(),
                    End::Draw(_) | End::Tee(_) | End::Pump(_) => 0.0,
                };
                match most.iter_mut().find(|(own, _)| *own == mouth.end) {
                    Some((_, own)) => *own = own.max(gives_m3),
                    None => most.push((mouth.end, gives_m3)),
                }
            }
        }
        most.iter().map(|(_, gives_m3)| gives_m3).sum()
    }

    /// The height that a giver's water has to stand over to run into an end in a part: what stands over that mouth, by its
    /// weight, since the way holds the giver's own water; with a pump any.
    fn against_m(&self, end: End, mouth_m: f64, giver: End, part: &BTreeSet<usize>) -> f64 {
        if self.is_pumped(part) {
            return f64::NEG_INFINITY;
        }
        let depth_m = self
            .surface_m(end)
            .map_or(0.0, |surface_m| (surface_m - mouth_m).max(0.0));
        mouth_m + depth_m * self.density_kg_m3(end) / self.density_kg_m3(giver)
    }

    /// What a vessel can lose through the mouths that give now: by each part to the lowest of them, or to what balances the
    /// lowest of what it runs into.
    pub(super) fn can_lose_m3(&self, at: usize) -> f64 {
        let own = End::Vessel(at);
        let each = self.parts.iter().map(|part| {
            let here = || self.mouths.iter().filter(|mouth| part.contains(&mouth.line));
            let least = |heights: &mut dyn Iterator<Item = f64>| heights.fold(f64::INFINITY, f64::min);
            let from_m = least(
                &mut here()
                    .filter(|mouth| mouth.end == own && self.gain(mouth) < 0.0)
                    .map(|mouth| mouth.height_m),
            );
            let to_m = least(
                &mut here()
                    .filter(|mouth| self.gain(mouth) > 0.0)
                    .map(|mouth| self.against_m(mouth.end, mouth.height_m, own, part)),
            );
            self.above_m3(at, from_m.max(to_m))
        });
        each.fold(0.0, f64::max)
    }

    /// Whether the purifier fills a vessel.
    pub(super) fn is_filled(&self, at: usize) -> bool {
        let own = &self.station.vessels[at];
        self.station
            .purifier
            .as_ref()
            .is_some_and(|purifier| match &purifier.fields.fills {
                Some(name) => name.value == own.name,
                None => own.fields.holds.value == Water::Fresh,
            })
    }

    /// What the purifier adds by itself.
    pub(super) fn fill_m3_s(&self, at: usize) -> f64 {
        let fields = &self.station.vessels[at].fields;
        let by_itself = fields.holds.value == Water::Fresh && fields.fill.value == Fill::Automatic;
        let stop_m = fields
            .stop_level
            .as_ref()
            .map_or(f64::INFINITY, |level| level.value.m());
        let below = self.situation.vessels[at].level_m < stop_m - 1e-9;
        if self.is_filled(at) && by_itself && below {
            self.permeate_m3_s
        } else {
            0.0
        }
    }
}
