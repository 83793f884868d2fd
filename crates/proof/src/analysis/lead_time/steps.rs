//! The steps, one after the other and side by side.

use physics::mixing::{Recipe, batch_from_finished_volume};
use station::quantity::Kind;
use station::sections::{Fill, Water};
use station::{Situation, Station};

use super::plan::Plan;
use super::season::Season;
use super::stores::{Stores, heel_m3, standing_m3};
use super::tanks::{self, Ends};
use super::transfer::{Transfer, between, out_of};
use super::{Facts, InSeason, LeadTime, LeadTimeFault, assumed};
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

/// Two readings, top and bottom, some minutes apart, s (house rule).
pub(super) const MEASURING_S: f64 = 600.0;
/// Doubt of what people take, and of what a pump takes, as shares (house rules).
pub(super) const PACE: f64 = 0.3;
const PUMPED: f64 = 0.1;

/// The schedule of all batches in a season.
pub(super) fn schedule(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    wanted: &Wanted,
    season: Season,
    sheet: &mut Sheet,
) -> Result<LeadTime, LeadTimeFault> {
    let permeate = facts.permeate.in_season(season);
    let permeate_m3_s = permeate.map_or(0.0, |node| sheet.value(node));
    let mut batches = Batches {
        station,
        situation,
        facts,
        season,
        permeate,
        ends: None,
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
        ends,
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
                "time until {} of salt water is ready{}",
                say(station, Kind::Volume, wanted.volume_m3),
                if ends.is_some() {
                    format!(", in {}", season.word())
                } else {
                    String::new()
                }
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
    cautions.extend(
        ends.as_ref()
            .and_then(|ends| tanks::caution(station, ends.temperature_c)),
    );
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
        in_seasons: ends
            .map(|ends| InSeason {
                season,
                ready_s,
                ready_as_usual_s: usual_s,
                room_c: season.room_c(station),
                temperature_c: ends.temperature_c,
                off_k: ends.temperature_c - ends.kept_c,
                lacking_w: ends.lacking_w(),
            })
            .into_iter()
            .collect(),
    })
}

/// Batch after batch in one vessel.
pub(super) struct Batches<'s, 'f, 'p> {
    pub(super) station: &'s Station,
    pub(super) situation: &'s Situation,
    pub(super) facts: &'f Facts<'f>,
    pub(super) season: Season,
    permeate: Option<NodeId>,
    stores: Stores,
    pub(super) plan: Plan<'p>,
    pub(super) cautions: Vec<String>,
    to_make_m3: f64,
    pub(super) salt_kg: f64,
    pub(super) salt_done_s: f64,
    /// How the last batch ends.
    pub(super) ends: Option<Ends>,
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
        let permeate = self.permeate.ok_or(LeadTimeFault::NoFresh { short_m3 })?;
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
        // A vessel that fills itself needs nobody to move it, nor one that the purifier runs straight into.
        let fills_itself = own.fields.fill.value == Fill::Automatic;
        let straight = self
            .station
            .vessels
            .iter()
            .all(|own| own.fields.holds.value == Water::Salt);
        let what = match (fills_itself, straight) {
            (true, _) => format!("let {name} fill itself with {made} of fresh water"),
            (false, true) => format!("let the purifier run into {name}: {made} of fresh water"),
            (false, false) => format!("make {made} of fresh water"),
        };
        self.plan.then("making fresh water", what, make);
        self.stores.used_as_made(self.plan.now_s);
        if !fills_itself && !straight {
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
}
