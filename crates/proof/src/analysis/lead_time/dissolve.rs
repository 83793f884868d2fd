//! From fresh water in the vessel to a batch that is ready: salt, mixing, bringing it to its temperature, the readings.

use physics::heat::Reach;
use physics::mixing::Batch;
use station::quantity::Kind;
use station::sections::Water;

use super::assumed;
use super::heat::{Warming, warming};
use super::season::Season;
use super::steps::{Batches, MEASURING_S, PACE};
use super::tanks::{Ends, off_by};
use crate::analysis::speak::say;
use crate::methods as m;
use crate::sheet::NodeId;

/// Weighing and cutting open, s; pouring a kilogram slowly into moving water, s (house rules).
const WEIGHING_S: f64 = 180.0;
const POURING_S_KG: f64 = 60.0;
/// A batch stirred with a paddle, without a pump that goes round it, s (house rule).
const BY_PADDLE_S: f64 = 1800.0;
/// Longest warming or chilling that is waited for, s: what takes more than a day is no help in an emergency (house rule).
const LONGEST_WARMING_S: f64 = 86_400.0;
/// Near enough for a reading that corrects for temperature, K (house rule).
const NEAR_ENOUGH_K: f64 = 0.5;

/// How a batch gets to its temperature.
enum Warmth {
    /// It has it.
    There,
    /// After a time, in words.
    After(NodeId, String),
    /// Not within a day, or never.
    NotWaited(Warming),
}

impl Batches<'_, '_, '_> {
    /// Salt, mixing, warming and the first readings. Mixing and warming go on side by side; the longer is waited for.
    pub(super) fn salt_and_mix(&mut self, vessel: usize, batch: &Batch, in_vessel_m3: f64, filled_s: f64) {
        let own = &self.station.vessels[vessel];
        self.salt_kg += batch.dry_mass_kg;
        let mixing = self
            .facts
            .lineups
            .and_then(|all| all.mixing.iter().find(|mixing| mixing.vessel == own.name));
        let mass = say(self.station, Kind::Mass, batch.dry_mass_kg);
        let salt_s = WEIGHING_S + POURING_S_KG * batch.dry_mass_kg;
        let salt = self.plan.time(
            "salt",
            salt_s,
            PACE,
            "house rule: 3 min to weigh, a minute for each kg",
        );
        let what = match mixing {
            Some(mixing) => format!(
                "start {}, weigh {mass} of mix and pour it in slowly",
                mixing.lineup
            ),
            None => format!("weigh {mass} of mix and stir it in slowly"),
        };
        self.plan.then("weighing and pouring salt", what, salt);
        self.salt_done_s = self.plan.now_s;

        let (mix, mix_words) = match mixing {
            Some(mixing) => (
                mixing.first_measurement.node,
                format!("dissolve and mix, {} running", mixing.lineup),
            ),
            None => (
                self.plan
                    .time("paddle", BY_PADDLE_S, PACE, "house rule: stirred by hand"),
                "dissolve and mix with a paddle or a loose pump".to_owned(),
            ),
        };
        let mut unreached = None;
        let mix_end_s = self.salt_done_s + self.plan.sheet.value(mix);
        match self.warmth(vessel, in_vessel_m3) {
            Warmth::After(node, words) if filled_s + self.plan.sheet.value(node) > mix_end_s => {
                self.plan.beside(mix_words, self.salt_done_s, mix_end_s, false);
                // It began when the vessel was filled; what is left of it after the salt is waited for.
                let whole_s = self.plan.sheet.value(node);
                let left_s = whole_s - (self.salt_done_s - filled_s);
                let rest = self.plan.time(
                    "warm-left",
                    left_s,
                    0.2,
                    "warming or chilling, less the time that the salt took",
                );
                self.plan.beside(words, filled_s, filled_s + whole_s, true);
                self.plan
                    .wait("warming or chilling, after the salt", rest, filled_s + whole_s);
            }
            Warmth::After(node, words) => {
                let whole_s = self.plan.sheet.value(node);
                self.plan.beside(words, filled_s, filled_s + whole_s, false);
                self.plan.then("dissolving and mixing", mix_words, mix);
            }
            Warmth::There => self.plan.then("dissolving and mixing", mix_words, mix),
            Warmth::NotWaited(heat) => {
                self.plan.then("dissolving and mixing", mix_words, mix);
                unreached = Some(heat);
            }
        }
        let measure = self
            .plan
            .time("measure", MEASURING_S, PACE, "house rule: top and bottom, twice");
        let what = "measure salinity and temperature, top and bottom, twice".to_owned();
        self.plan.then("measuring", what, measure);
        let kept_c = own.fields.mixing_temperature.value.c();
        let ends_c = unreached.as_ref().map_or(kept_c, |heat| {
            let waited_s = self.plan.now_s - filled_s;
            let ends = heat.balance().temperature_after_c(heat.from_c, waited_s);
            ends.unwrap_or(heat.from_c)
        });
        if unreached.is_some() {
            self.plan.beside(
                format!("ready, but {}", self.off(ends_c, kept_c)),
                self.plan.now_s,
                self.plan.now_s,
                false,
            );
        }
        self.ends = Some(Ends {
            temperature_c: ends_c,
            kept_c,
            unreached,
        });
    }

    /// `4 K too warm`.
    fn off(&self, is_c: f64, wanted_c: f64) -> String {
        off_by(self.station, is_c - wanted_c)
    }

    /// Bringing the batch to its temperature.
    fn warmth(&mut self, vessel: usize, volume_m3: f64) -> Warmth {
        let own = &self.station.vessels[vessel];
        let pump_w = self
            .facts
            .lineups
            .and_then(|all| {
                let mixing = all.mixing.iter().find(|mixing| mixing.vessel == own.name)?;
                all.pumps.iter().find(|work| work.lineup == mixing.lineup)?.heat_w
            })
            .unwrap_or(0.0);
        let from_c = self.water_c();
        let Ok(heat) = warming(
            self.station,
            vessel,
            volume_m3,
            from_c,
            self.season.room_c(self.station),
            pump_w,
        ) else {
            return Warmth::There;
        };
        if (heat.to_c - heat.from_c).abs() < NEAR_ENOUGH_K {
            return Warmth::There;
        }
        let temperature = |c: f64| say(self.station, Kind::Temperature, c);
        let way = format!("from {} to {}", temperature(heat.from_c), temperature(heat.to_c));
        let how = match heat.balance().time_to(heat.from_c, heat.to_c) {
            Ok(Reach::After { time_s }) if time_s <= LONGEST_WARMING_S => {
                return match self.waited(&heat) {
                    Some(node) => {
                        let what = if heat.chills() { "chill" } else { "warm" };
                        Warmth::After(node, format!("{what} it {way}"))
                    }
                    None => Warmth::There,
                };
            }
            Ok(Reach::After { time_s }) => format!("takes {}", say(self.station, Kind::Time, time_s)),
            Ok(Reach::Never { steady_c: Some(ends) }) => format!("ends near {}", temperature(ends)),
            Ok(Reach::Never { steady_c: None }) | Err(_) => "doesn't come about".to_owned(),
        };
        let (part, field) = if heat.chills() {
            ("chiller", &own.fields.chiller)
        } else {
            ("heater", &own.fields.heater)
        };
        let lacks = match field {
            Some(_) => format!("The vessel's {part} is too weak"),
            None => format!("The vessel has no {part} in the file"),
        };
        let caution = format!(
            "Its temperature isn't waited for: bringing it {way} {how}. {lacks}; pour slowly into the tank, or bring it to temperature on the way."
        );
        if !self.cautions.contains(&caution) {
            self.cautions.push(caution);
        }
        Warmth::NotWaited(heat)
    }

    /// The fresh water's temperature: the moment's in winter, for which moments are told; the room's in summer.
    fn water_c(&self) -> f64 {
        let vessels = self.station.vessels.iter().zip(&self.situation.vessels);
        let fresh = vessels
            .filter(|_| self.season == Season::Winter)
            .find(|(one, _)| one.fields.holds.value == Water::Fresh);
        fresh.map_or_else(
            || self.season.water_c(self.station),
            |(_, moment)| moment.temperature_c,
        )
    }

    /// The time of it, as a figure.
    fn waited(&mut self, heat: &Warming) -> Option<NodeId> {
        let path = self.plan.path("warm");
        let mut value = |key: &str, value: f64, kind: Kind, half: f64, reason: &str| {
            assumed(
                self.plan.sheet,
                &format!("{path}-{key}"),
                value,
                kind,
                half,
                reason,
            )
        };
        let inputs = [
            value(
                "capacity",
                heat.capacity_j_k,
                Kind::Number,
                0.0,
                "of the batch, J/K",
            ),
            value(
                "loss",
                heat.loss_w_k,
                Kind::Number,
                0.3 * heat.loss_w_k,
                "wall, lid and floor, W/K",
            ),
            value(
                "air",
                heat.air_c,
                Kind::Temperature,
                0.0,
                match self.season {
                    Season::Winter => "the room in winter",
                    Season::Summer => "the room in summer",
                },
            ),
            value(
                "power",
                heat.power_w,
                Kind::Power,
                0.0,
                "heater or chiller, and the pump",
            ),
            value("from", heat.from_c, Kind::Temperature, 0.0, "the fresh water"),
            value(
                "to",
                heat.to_c,
                Kind::Temperature,
                0.0,
                "at which the vessel is kept",
            ),
        ];
        let title = "bringing the batch to its temperature";
        self.plan
            .sheet
            .figure(format!("lead-time.{path}"), title, &m::WARM_UP, &inputs)
            .ok()
    }
}
