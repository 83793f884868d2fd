//! How running pumps fare.

use physics::seawater::heat_capacity_j_kg_k;
use proof::MistakeKind as Kind;
use station::plumbing::End;

use super::harm::{HEEL, Harm, Judge};
use super::joined::reached;
use super::mouth::{Mouth, Position};

/// How a running pump fares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fares {
    Moves,
    Closed,
    Dry,
    Air,
}

impl Judge<'_> {
    pub(super) fn fares(&self, pump: usize, position: &Position) -> Fares {
        let sign = self.hair.sign();
        let before = reached(self.station, position, pump, true);
        let behind = reached(self.station, position, pump, false);
        let suction: Vec<&Mouth> = self
            .mouths
            .iter()
            .filter(|mouth| before.contains(&mouth.line))
            .collect();
        let leads_on = self.mouths.iter().any(|mouth| behind.contains(&mouth.line));
        if suction.is_empty() {
            return Fares::Closed;
        }
        if !suction.iter().any(|mouth| mouth.gives) {
            // With nothing open behind it what stands before it is trapped, unless it can run out below.
            let pump_m = self.station.pumps[pump].fields.height.value.m();
            let drained = suction.iter().any(|mouth| mouth.height_m < pump_m);
            return match leads_on || drained {
                true => Fares::Dry,
                false => Fares::Closed,
            };
        }
        let below = |mouth: &Mouth| {
            let far = self.flowing.heads_m[mouth.line].into_iter().flatten();
            far.into_iter()
                .any(|head_m| head_m < mouth.height_m - 1e-3 * (1.0 - 0.1 * sign))
        };
        if leads_on && suction.iter().any(|mouth| !mouth.gives && below(mouth)) {
            return Fares::Air;
        }
        let most = self.station.pumps[pump]
            .fields
            .curve
            .value
            .curve
            .largest_flow_m3_s();
        match self.flowing.pumps_m3_s[pump] < 0.01 * most * (1.0 + 0.01 * sign) {
            true => Fares::Closed,
            false => Fares::Moves,
        }
    }

    pub(super) fn pump(&self, at: usize, all: &mut Vec<Harm>) {
        let Some(fares) = self.pumps[at] else { return };
        let fields = &self.station.pumps[at].fields;
        let victim = End::Pump(at);
        let harm = |kind, flow_m3_s, seconds| Harm {
            kind,
            victim,
            flow_m3_s,
            seconds,
        };
        match fares {
            Fares::Air => all.push(harm(Kind::PumpDry, 0.0, 0.0)),
            _ if fields.flow_switch.value => {}
            Fares::Dry => all.push(harm(Kind::PumpDry, 0.0, 0.0)),
            Fares::Closed => {
                // All of the heat stays in the 0.15 L that it holds, from the room's temperature to 60 °C.
                let seconds = fields.power.as_ref().map_or(300.0, |power| {
                    let room_c = self.station.room.air_temperature.value.c();
                    let heat_j_k = 0.15 * heat_capacity_j_kg_k(0.0, room_c).unwrap();
                    heat_j_k * (60.0 - room_c) / (power.value.w() * fields.heat_share.value.of_one())
                });
                all.push(harm(Kind::PumpAgainstClosed, 0.0, seconds));
            }
            Fares::Moves => {
                let part = self.parts.iter().find(|part| {
                    part.iter()
                        .any(|line| self.station.plumbing.lines[*line].to == victim)
                });
                let emptied = self
                    .mouths
                    .iter()
                    .filter(|mouth| part.is_some_and(|part| part.contains(&mouth.line)))
                    .filter(|mouth| self.gain(mouth) < 0.0)
                    .filter_map(|mouth| self.emptied_s(mouth))
                    .min_by(f64::total_cmp);
                if let Some(seconds) = emptied {
                    all.push(harm(Kind::PumpDry, self.flowing.pumps_m3_s[at], seconds));
                }
            }
        }
    }

    /// When a vessel has sunk to a mouth that gives; `None` where it doesn't, or something stops the pump before.
    fn emptied_s(&self, mouth: &Mouth) -> Option<f64> {
        let End::Vessel(at) = mouth.end else { return None };
        let own = &self.station.vessels[at];
        let (comes, _, goes) = self.sums(mouth.end);
        let sinks = goes - comes - self.fill_m3_s(at);
        let above_m3 = self.above_m3(at, mouth.height_m);
        let is_more = above_m3 >= HEEL * own.shape.full_volume_m3();
        (own.fields.low_cutout_level.is_none() && is_more && self.hair.flows(sinks)).then(|| above_m3 / sinks)
    }
}
