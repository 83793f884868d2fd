//! The steps, one after the other and side by side.

use physics::heat::Reach;
use physics::mixing::{Batch, Recipe, batch_from_finished_volume};
use station::quantity::Kind;
use station::sections::{Fill, Water};
use station::{Situation, Station};

use super::heat::warming;
use super::plan::Plan;
use super::stores::{Stores, heel_m3, standing_m3};
use super::transfer::{Transfer, between, out_of};
use super::{Facts, LeadTime, LeadTimeFault, assumed};
use crate::analysis::speak::{say, shown};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// What is wanted, and what there is.
pub(super) struct Wanted {
    pub(super) volume_m3: f64,
    pub(super) on_hand_m3: f64,
    pub(super) fresh_on_hand_m3: f64,
    pub(super) batches: u32,
    pub(super) each_m3: f64,
    pub(super) vessel: Option<usize>,
}

/// Weighing and cutting open, s; pouring a kilogram slowly into moving water, s (house rules).
const WEIGHING_S: f64 = 180.0;
const POURING_S_KG: f64 = 60.0;
/// Two readings, top and bottom, some minutes apart, s (house rule).
const MEASURING_S: f64 = 600.0;
/// A batch stirred with a paddle, without a pump that goes round it, s (house rule).
const BY_PADDLE_S: f64 = 1800.0;
/// Doubt of what people take, and of what a pump takes, as shares (house rules).
const PACE: f64 = 0.3;
const PUMPED: f64 = 0.1;
/// Longest warming that is waited for, s: what takes more than a day is no help in an emergency (house rule).
const LONGEST_WARMING_S: f64 = 86_400.0;

/// The schedule of all batches.
pub(super) fn schedule(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    wanted: &Wanted,
    sheet: &mut Sheet,
) -> Result<LeadTime, LeadTimeFault> {
    let permeate_m3_s = facts.permeate.map_or(0.0, |node| sheet.value(node));
    let mut batches = Batches {
        station,
        situation,
        facts,
        stores: Stores::new(station, situation, permeate_m3_s),
        plan: Plan::new(sheet, facts.tag),
        cautions: Vec::new(),
        to_make_m3: 0.0,
        salt_kg: 0.0,
        salt_done_s: 0.0,
    };
    if wanted.on_hand_m3 > 0.0 {
        let what = format!(
            "{} is mixed and ready to draw",
            say(station, Kind::Volume, wanted.on_hand_m3)
        );
        batches.plan.beside(what, 0.0, 0.0, false);
    }
    if let Some(vessel) = wanted.vessel {
        batches.empty(vessel);
        for batch in 0..wanted.batches {
            batches.plan.next_batch();
            batches.one(vessel, wanted.each_m3, batch == 0)?;
            if batch + 1 < wanted.batches {
                let out = out_of(station, facts.lineups, vessel);
                batches.draw(wanted.each_m3, &out, &format!("draw batch {}", batch + 1));
            }
        }
    }
    let Batches {
        mut plan,
        mut cautions,
        to_make_m3,
        salt_kg,
        salt_done_s,
        ..
    } = batches;
    let ready_s = plan.now_s;
    let mut usual_s = ready_s;
    if wanted.vessel.is_some() {
        let mixing_s = station
            .salt
            .as_ref()
            .map_or(0.0, |salt| salt.mixing_time.value.s());
        if salt_done_s + mixing_s > ready_s {
            plan.beside(
                "go on mixing for the mix maker's time".into(),
                salt_done_s,
                salt_done_s + mixing_s,
                false,
            );
            plan.beside(
                "measure again".into(),
                salt_done_s + mixing_s,
                salt_done_s + mixing_s + MEASURING_S,
                false,
            );
            usual_s = salt_done_s + mixing_s + MEASURING_S;
        }
    }
    if plan.longest.is_empty() {
        let node = plan.time("at-once", 0.0, 0.0, "it stands ready");
        plan.wait("it stands ready", node, ready_s);
    }
    let Plan {
        sheet,
        mut steps,
        longest,
        names,
        ..
    } = plan;
    let ready = sheet
        .figure(
            format!("lead-time.{}", facts.tag),
            format!(
                "time until {} of salt water is ready",
                say(station, Kind::Volume, wanted.volume_m3)
            ),
            &m::LEAD_TIME,
            &longest,
        )
        .map_err(|_refusal| LeadTimeFault::NoRecipe)?;
    sheet.name_inputs(ready, names);
    // The largest emergency's stands in the letter; one that somebody asked for is the answer itself.
    if facts.is_told {
        sheet.headline(ready);
    }
    steps.sort_by(|a, b| a.start_s.total_cmp(&b.start_s).then(a.end_s.total_cmp(&b.end_s)));
    cautions.push(
        "Only readings make water ready: two alike, top and bottom, and the temperature of the tank.".into(),
    );
    cautions.push(
        "Salt goes slowly into moving water, never water onto salt; never dry salt into a tank.".into(),
    );
    Ok(LeadTime {
        volume_m3: wanted.volume_m3,
        situation: situation.name.clone(),
        ready: sheet.estimate(ready),
        ready_as_usual_s: usual_s,
        on_hand_m3: wanted.on_hand_m3,
        fresh_on_hand_m3: wanted.fresh_on_hand_m3,
        to_make_m3,
        salt_kg,
        batches: wanted.batches,
        vessel: wanted.vessel.map(|vessel| station.vessels[vessel].name.clone()),
        steps,
        cautions,
    })
}

/// Batch after batch in one vessel.
struct Batches<'s, 'f, 'p> {
    station: &'s Station,
    situation: &'s Situation,
    facts: &'f Facts<'f>,
    stores: Stores,
    plan: Plan<'p>,
    cautions: Vec<String>,
    to_make_m3: f64,
    salt_kg: f64,
    salt_done_s: f64,
}

impl Batches<'_, '_, '_> {
    /// Draws what stands ready in the mixing vessel: it must be out before the next batch goes in.
    fn empty(&mut self, vessel: usize) {
        let ready_m3 = standing_m3(self.station, self.situation, vessel) - heel_m3(self.station, vessel);
        if ready_m3 > 1e-6 {
            let out = out_of(self.station, self.facts.lineups, vessel);
            let name = shown(&self.station.vessels[vessel].name).to_lowercase();
            self.draw(ready_m3, &out, &format!("draw what is ready in {name}"));
        }
    }

    fn draw(&mut self, volume_m3: f64, out: &Transfer, words: &str) {
        let doubt = if out.by_hand { PACE } else { PUMPED };
        let node = self
            .plan
            .time("draw", volume_m3 / out.flow_m3_s, doubt, "volume by flow");
        let what = format!(
            "{words}, {}, {}",
            say(self.station, Kind::Volume, volume_m3),
            out.how
        );
        self.plan.then("drawing", what, node);
    }

    /// One batch of a volume that can be drawn.
    fn one(&mut self, vessel: usize, each_m3: f64, first: bool) -> Result<(), LeadTimeFault> {
        let own = &self.station.vessels[vessel];
        let recipe = Recipe {
            practical_salinity: own.fields.target_salinity.value.practical(),
            temperature_c: own.fields.mixing_temperature.value.c(),
            strength: self.facts.strength.ok_or(LeadTimeFault::NoSalt)?,
        };
        // What lies under the outlet is mixed only where it doesn't stand there already.
        let heel = heel_m3(self.station, vessel);
        let stands = standing_m3(self.station, self.situation, vessel).min(heel);
        let missing_m3 = if first { heel - stands } else { 0.0 };
        let batch = batch_from_finished_volume(&recipe, each_m3 + missing_m3)
            .map_err(|_refusal| LeadTimeFault::NoRecipe)?;
        self.fill(vessel, batch.fresh_volume_m3)?;
        let filled_s = self.plan.now_s;
        self.salt_and_mix(vessel, &batch, each_m3 + heel, filled_s);
        Ok(())
    }

    /// Gets the fresh water in: what stands ready, then what must be made.
    fn fill(&mut self, vessel: usize, fresh_m3: f64) -> Result<(), LeadTimeFault> {
        let own = &self.station.vessels[vessel];
        let name = shown(&own.name).to_lowercase();
        self.stores.advance(self.plan.now_s);
        let taken = self.stores.take(fresh_m3);
        let there_m3: f64 = taken.iter().map(|(_, volume)| volume).sum();
        let short_m3 = fresh_m3 - there_m3;
        let moves: Vec<(Transfer, f64)> = taken
            .iter()
            .map(|(from, volume)| (between(self.station, self.facts.lineups, *from, vessel), *volume))
            .collect();
        let words = |volume_m3: f64, how: &str| {
            format!(
                "move {} into {name} {how}",
                say(self.station, Kind::Volume, volume_m3)
            )
        };
        if short_m3 <= 1e-6 {
            for (at, (transfer, volume)) in moves.iter().enumerate() {
                let node = self.moving(&format!("there-{at}"), transfer, *volume);
                self.plan
                    .then("moving fresh water", words(*volume, &transfer.how), node);
            }
            return Ok(());
        }
        self.to_make_m3 += short_m3;
        let permeate = self.facts.permeate.ok_or(LeadTimeFault::NoFresh { short_m3 })?;
        let path = self.plan.path("short");
        let volume = assumed(
            self.plan.sheet,
            &path,
            short_m3,
            Kind::Volume,
            0.0,
            "fresh water that isn't there",
        );
        let make = self
            .plan
            .sheet
            .figure(
                format!("lead-time.{}", self.plan.path("make")),
                "making the fresh water that is wanting",
                &m::FILL_TIME,
                &[volume, permeate],
            )
            .map_err(|_refusal| LeadTimeFault::NoFresh { short_m3 })?;
        // What stands there is moved while the rest is made.
        let mut moved_s = self.plan.now_s;
        for (transfer, volume) in &moves {
            let end_s = moved_s + volume / transfer.flow_m3_s;
            self.plan
                .beside(words(*volume, &transfer.how), moved_s, end_s, false);
            moved_s = end_s;
        }
        let made = say(self.station, Kind::Volume, short_m3);
        // A vessel that fills itself needs nobody to move it.
        let fills_itself = own.fields.fill.value == Fill::Automatic;
        let what = if fills_itself {
            format!("let {name} fill itself with {made} of fresh water")
        } else {
            format!("make {made} of fresh water")
        };
        self.plan.then("making fresh water", what, make);
        self.stores.used_as_made(self.plan.now_s);
        if !fills_itself {
            let transfer = self.best_into(vessel);
            let node = self.moving("made", &transfer, short_m3);
            self.plan
                .then("moving what was made", words(short_m3, &transfer.how), node);
        }
        Ok(())
    }

    /// The quickest way from any fresh vessel: made water comes where there is room.
    fn best_into(&self, vessel: usize) -> Transfer {
        let fresh = (0..self.station.vessels.len())
            .filter(|at| self.station.vessels[*at].fields.holds.value == Water::Fresh)
            .map(|at| between(self.station, self.facts.lineups, at, vessel))
            .max_by(|a, b| a.flow_m3_s.total_cmp(&b.flow_m3_s));
        fresh.unwrap_or_else(|| between(self.station, None, vessel, vessel))
    }

    fn moving(&mut self, what: &str, transfer: &Transfer, volume_m3: f64) -> NodeId {
        let doubt = if transfer.by_hand { PACE } else { PUMPED };
        self.plan.time(
            what,
            volume_m3 / transfer.flow_m3_s,
            doubt,
            "volume by flow of the transfer",
        )
    }

    /// Salt, mixing, warming and the first readings. Mixing and warming go on side by side; the longer is waited for.
    fn salt_and_mix(&mut self, vessel: usize, batch: &Batch, in_vessel_m3: f64, filled_s: f64) {
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
        let mix_end_s = self.salt_done_s + self.plan.sheet.value(mix);
        match self.warm(vessel, in_vessel_m3) {
            Some((node, words)) if filled_s + self.plan.sheet.value(node) > mix_end_s => {
                self.plan.beside(mix_words, self.salt_done_s, mix_end_s, false);
                // Warming began when the vessel was filled; what is left of it after the salt is waited for.
                let whole_s = self.plan.sheet.value(node);
                let left_s = whole_s - (self.salt_done_s - filled_s);
                let rest = self.plan.time(
                    "warm-left",
                    left_s,
                    0.2,
                    "warming, less the time that the salt took",
                );
                self.plan.beside(words, filled_s, filled_s + whole_s, true);
                self.plan
                    .wait("warming or chilling, after the salt", rest, filled_s + whole_s);
            }
            Some((node, words)) => {
                let whole_s = self.plan.sheet.value(node);
                self.plan.beside(words, filled_s, filled_s + whole_s, false);
                self.plan.then("dissolving and mixing", mix_words, mix);
            }
            None => self.plan.then("dissolving and mixing", mix_words, mix),
        }
        let measure = self
            .plan
            .time("measure", MEASURING_S, PACE, "house rule: top and bottom, twice");
        let what = "measure salinity and temperature, top and bottom, twice".to_owned();
        self.plan.then("measuring", what, measure);
    }

    /// Bringing the batch to its temperature; nothing where it has it, or where that isn't waited for.
    fn warm(&mut self, vessel: usize, volume_m3: f64) -> Option<(NodeId, String)> {
        let own = &self.station.vessels[vessel];
        let fresh = self
            .station
            .vessels
            .iter()
            .zip(&self.situation.vessels)
            .find(|(one, _)| one.fields.holds.value == Water::Fresh);
        // Water that comes straight from the purifier is as cold as the room in winter, or colder.
        let room_c = self
            .station
            .room
            .lowest_winter_temperature
            .value
            .c()
            .clamp(0.0, 35.0);
        let from_c = fresh.map_or(room_c, |(_, moment)| moment.temperature_c);
        let pump_w = self
            .facts
            .lineups
            .and_then(|all| {
                let mixing = all.mixing.iter().find(|mixing| mixing.vessel == own.name)?;
                all.pumps.iter().find(|work| work.lineup == mixing.lineup)?.heat_w
            })
            .unwrap_or(0.0);
        let warming = warming(self.station, vessel, volume_m3, from_c, pump_w).ok()?;
        // Half a degree is close enough for a reading that corrects for temperature.
        if (warming.to_c - warming.from_c).abs() < 0.5 {
            return None;
        }
        let cold = warming.to_c > warming.from_c;
        let temperature = |c: f64| say(self.station, Kind::Temperature, c);
        let way = format!(
            "from {} to {}",
            temperature(warming.from_c),
            temperature(warming.to_c)
        );
        let reached = warming.balance().time_to(warming.from_c, warming.to_c).ok()?;
        let what = match reached {
            Reach::After { time_s } if time_s <= LONGEST_WARMING_S => {
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
                        warming.capacity_j_k,
                        Kind::Number,
                        0.0,
                        "of the batch, J/K",
                    ),
                    value(
                        "loss",
                        warming.loss_w_k,
                        Kind::Number,
                        0.3 * warming.loss_w_k,
                        "wall, lid and floor, W/K",
                    ),
                    value("air", warming.air_c, Kind::Temperature, 0.0, "the room in winter"),
                    value(
                        "power",
                        warming.power_w,
                        Kind::Power,
                        0.0,
                        "heater or chiller, and the pump",
                    ),
                    value("from", warming.from_c, Kind::Temperature, 0.0, "the fresh water"),
                    value(
                        "to",
                        warming.to_c,
                        Kind::Temperature,
                        0.0,
                        "at which the vessel is kept",
                    ),
                ];
                let title = "bringing the batch to its temperature";
                let node = self
                    .plan
                    .sheet
                    .figure(format!("lead-time.{path}"), title, &m::WARM_UP, &inputs)
                    .ok()?;
                return Some((node, format!("{} it {way}", if cold { "warm" } else { "chill" })));
            }
            Reach::After { time_s } => format!("takes {}", say(self.station, Kind::Time, time_s)),
            Reach::Never { steady_c: Some(ends) } => format!("ends near {}", temperature(ends)),
            Reach::Never { steady_c: None } => "doesn't come about".to_owned(),
        };
        let (part, field) = if cold {
            ("heater", &own.fields.heater)
        } else {
            ("chiller", &own.fields.chiller)
        };
        let lacks = match field {
            Some(_) => format!("The vessel's {part} is too weak"),
            None => format!("The vessel has no {part} in the file"),
        };
        let caution = format!(
            "Its temperature isn't waited for: bringing it {way} {what}. {lacks}; pour slowly into the tank, or bring it to temperature on the way."
        );
        if !self.cautions.contains(&caution) {
            self.cautions.push(caution);
        }
        None
    }
}
