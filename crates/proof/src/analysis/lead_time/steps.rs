//! The steps, one after the other and side by side.

use physics::heat::Reach;
use physics::mixing::{Recipe, batch_from_finished_volume};
use serde::Serialize;
use station::quantity::Kind;
use station::sections::Water;
use station::{Situation, Station};

use super::heat::warming;
use super::transfer::{into, out_of};
use super::{Facts, LeadTime, LeadTimeFault, assumed};
use crate::analysis::speak::{say, shown};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// One step of the schedule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeadStep {
    /// What is done, in words.
    pub what: String,
    /// When it begins.
    pub start_s: f64,
    /// When it ends.
    pub end_s: f64,
    /// Whether the next step waits for it, on the way to ready in an emergency.
    pub on_longest_way: bool,
}

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
/// Doubt of what people take, as a share (house rule).
const PACE: f64 = 0.3;

/// Longest warming that is waited for, s: what takes more than a day is no help in an emergency (house rule).
const LONGEST_WARMING_S: f64 = 86_400.0;

/// What has been planned so far.
struct Plan<'a> {
    sheet: &'a mut Sheet,
    steps: Vec<LeadStep>,
    /// Steps that the readiness waits for.
    longest: Vec<NodeId>,
    names: Vec<String>,
    now_s: f64,
}

impl Plan<'_> {
    /// A step that the next waits for.
    fn then(&mut self, what: String, node: NodeId) {
        let seconds = self.sheet.value(node);
        self.beside(what.clone(), self.now_s, self.now_s + seconds, true);
        self.longest.push(node);
        self.names.push(what);
        self.now_s += seconds;
    }

    /// A step that nothing waits for, or that ends before another does.
    fn beside(&mut self, what: String, start_s: f64, end_s: f64, on_longest_way: bool) {
        self.steps.push(LeadStep {
            what,
            start_s,
            end_s,
            on_longest_way,
        });
    }
}

/// The schedule of all batches.
pub(super) fn schedule(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    wanted: &Wanted,
    sheet: &mut Sheet,
) -> Result<LeadTime, LeadTimeFault> {
    let mut plan = Plan {
        sheet,
        steps: Vec::new(),
        longest: Vec::new(),
        names: Vec::new(),
        now_s: 0.0,
    };
    let mut cautions = Vec::new();
    let (mut to_make_m3, mut salt_kg) = (0.0, 0.0);
    let mut fresh = Fresh {
        left_m3: wanted.fresh_on_hand_m3,
        room_m3: fresh_room_m3(station, situation),
        made_until_s: 0.0,
    };
    let mut last_salt_s = 0.0;
    if wanted.on_hand_m3 > 0.0 {
        let what = format!(
            "{} is mixed and ready to draw",
            say(station, Kind::Volume, wanted.on_hand_m3)
        );
        plan.beside(what, 0.0, 0.0, false);
    }
    if let Some(vessel) = wanted.vessel {
        for batch in 0..wanted.batches {
            let one = one_batch(
                station, situation, facts, wanted, vessel, batch, &mut fresh, &mut plan,
            )?;
            to_make_m3 += one.made_m3;
            salt_kg += one.salt_kg;
            last_salt_s = one.salt_done_s;
            for caution in one.cautions {
                if !cautions.contains(&caution) {
                    cautions.push(caution);
                }
            }
            if batch + 1 < wanted.batches {
                let out = out_of(station, facts.lineups, vessel);
                let path = format!("{}.draw-{}", facts.tag, batch + 1);
                let pace = if out.by_hand { PACE } else { 0.1 };
                let seconds = wanted.each_m3 / out.flow_m3_s;
                let node = assumed(
                    plan.sheet,
                    &path,
                    seconds,
                    Kind::Time,
                    pace * seconds,
                    "volume by flow",
                );
                plan.then(format!("draw batch {} {}", batch + 1, out.how), node);
            }
        }
    }
    let ready_s = plan.now_s;
    let usual_s = match wanted.vessel {
        Some(_) => {
            let mixing_s = station
                .salt
                .as_ref()
                .map_or(0.0, |salt| salt.mixing_time.value.s());
            let end_s = (last_salt_s + mixing_s).max(ready_s);
            if end_s > ready_s {
                plan.beside(
                    "let it circulate for the mix maker's time".into(),
                    last_salt_s,
                    end_s,
                    false,
                );
            }
            end_s
        }
        None => ready_s,
    };
    if plan.longest.is_empty() {
        let node = assumed(
            plan.sheet,
            &format!("{}.at-once", facts.tag),
            0.0,
            Kind::Time,
            0.0,
            "it stands ready",
        );
        plan.longest.push(node);
        plan.names.push("it stands ready".into());
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
            "time until the wanted salt water is ready",
            &m::LEAD_TIME,
            &longest,
        )
        .map_err(|_| LeadTimeFault::NoRecipe)?;
    sheet.name_inputs(ready, names);
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

/// The fresh water that is left, and when the purifier's has last been counted.
struct Fresh {
    left_m3: f64,
    /// What fits into the vessels that fill themselves.
    room_m3: f64,
    made_until_s: f64,
}

/// What the purifier may make ahead: up to the stop levels.
fn fresh_room_m3(station: &Station, situation: &Situation) -> f64 {
    let full = Situation::full(station);
    station
        .vessels
        .iter()
        .zip(situation.vessels.iter().zip(&full.vessels))
        .filter(|(vessel, _)| vessel.fields.holds.value == Water::Fresh)
        .map(|(vessel, (now, full))| {
            let volume = |level| vessel.shape.volume_m3(level).unwrap_or(0.0);
            (volume(full.level_m) - volume(now.level_m)).max(0.0)
        })
        .sum()
}

/// What one batch took.
struct Made {
    made_m3: f64,
    salt_kg: f64,
    salt_done_s: f64,
    cautions: Vec<String>,
}

#[expect(clippy::too_many_arguments, reason = "one call, and each is one thing")]
fn one_batch(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    wanted: &Wanted,
    vessel: usize,
    batch: u32,
    fresh: &mut Fresh,
    plan: &mut Plan<'_>,
) -> Result<Made, LeadTimeFault> {
    let own = &station.vessels[vessel];
    let name = shown(&own.name).to_lowercase();
    let of = |what: &str| format!("{}.{what}-{}", facts.tag, batch + 1);
    let recipe = Recipe {
        practical_salinity: own.fields.target_salinity.value.practical(),
        temperature_c: own.fields.mixing_temperature.value.c(),
        strength: facts.strength.ok_or(LeadTimeFault::NoSalt)?,
    };
    // What stays under the outlet is mixed too.
    let low_m3 = own
        .shape
        .volume_m3(station::lowest_drawable_m(own))
        .unwrap_or(0.0);
    let recipe =
        batch_from_finished_volume(&recipe, wanted.each_m3 + low_m3).map_err(|_| LeadTimeFault::NoRecipe)?;
    let fresh_m3 = recipe.fresh_volume_m3;
    // The purifier went on while the last batch was mixed and drawn, as far as its vessels had room.
    if let Some(permeate) = facts.permeate {
        let made_m3 = plan.sheet.value(permeate) * (plan.now_s - fresh.made_until_s);
        fresh.left_m3 += made_m3.min(fresh.room_m3);
    }
    let there_m3 = fresh_m3.min(fresh.left_m3);
    let short_m3 = fresh_m3 - there_m3;
    fresh.left_m3 -= there_m3;

    let transfer = into(station, facts.lineups, vessel, situation);
    let pace = if transfer.by_hand { PACE } else { 0.1 };
    let move_in = |plan: &mut Plan<'_>, path: &str, volume_m3: f64| {
        let seconds = volume_m3 / transfer.flow_m3_s;
        let node = assumed(
            plan.sheet,
            &of(path),
            seconds,
            Kind::Time,
            pace * seconds,
            "volume by flow of the transfer",
        );
        let what = format!(
            "move {} into {name} {}",
            say(station, Kind::Volume, volume_m3),
            transfer.how
        );
        (node, what, seconds)
    };
    if short_m3 > 1e-9 {
        let permeate = facts.permeate.ok_or(LeadTimeFault::NoFresh { short_m3 })?;
        let volume = assumed(
            plan.sheet,
            &of("short"),
            short_m3,
            Kind::Volume,
            0.0,
            "fresh water that isn't there",
        );
        let make = plan
            .sheet
            .figure(
                format!("lead-time.{}", of("make")),
                "making the fresh water that is wanting",
                &m::FILL_TIME,
                &[volume, permeate],
            )
            .map_err(|_| LeadTimeFault::NoFresh { short_m3 })?;
        let begins_s = plan.now_s;
        if there_m3 > 1e-9 {
            let (_, what, seconds) = move_in(plan, "there", there_m3);
            plan.beside(what, begins_s, begins_s + seconds, false);
        }
        plan.then(
            format!("make {} of fresh water", say(station, Kind::Volume, short_m3)),
            make,
        );
        fresh.made_until_s = plan.now_s;
        let (node, what, _) = move_in(plan, "made", short_m3);
        plan.then(what, node);
    } else {
        let (node, what, _) = move_in(plan, "there", there_m3);
        plan.then(what, node);
    }
    let filled_s = plan.now_s;

    let salt_s = WEIGHING_S + POURING_S_KG * recipe.dry_mass_kg;
    let salt = assumed(
        plan.sheet,
        &of("salt"),
        salt_s,
        Kind::Time,
        PACE * salt_s,
        "house rule: 3 min to weigh, a minute for each kg",
    );
    plan.then(
        format!(
            "weigh {} of mix and pour it in slowly",
            say(station, Kind::Mass, recipe.dry_mass_kg)
        ),
        salt,
    );
    let salt_done_s = plan.now_s;

    // Mixing and warming go on side by side; the longer one is waited for.
    let mixing = facts
        .lineups
        .and_then(|all| all.mixing.iter().find(|mixing| mixing.vessel == own.name));
    let mix = match mixing {
        Some(mixing) => mixing.first_measurement.node,
        None => assumed(
            plan.sheet,
            &of("paddle"),
            BY_PADDLE_S,
            Kind::Time,
            PACE * BY_PADDLE_S,
            "house rule: stirred by hand",
        ),
    };
    let mix_words = match mixing {
        Some(mixing) => format!("dissolve and mix by {}", mixing.lineup),
        None => "dissolve and mix with a paddle or a loose pump".to_owned(),
    };
    let mix_end_s = salt_done_s + plan.sheet.value(mix);
    let mut cautions = Vec::new();
    let warm = warm(
        station,
        situation,
        facts,
        vessel,
        recipe.finished_volume_m3,
        &of("warm"),
        plan,
        &mut cautions,
    );
    match warm {
        Some((node, words)) if filled_s + plan.sheet.value(node) > mix_end_s => {
            plan.beside(mix_words, salt_done_s, mix_end_s, false);
            // Warming began when the vessel was filled; what is left of it after the salt is waited for.
            let whole_s = plan.sheet.value(node);
            let left = whole_s - (salt_done_s - filled_s);
            let rest = assumed(
                plan.sheet,
                &of("warm-left"),
                left,
                Kind::Time,
                0.2 * whole_s,
                "warming, less the time that the salt took",
            );
            plan.beside(words.clone(), filled_s, filled_s + whole_s, true);
            plan.longest.push(rest);
            plan.names.push(words);
            plan.now_s = filled_s + whole_s;
        }
        Some((node, words)) => {
            let whole_s = plan.sheet.value(node);
            plan.beside(words, filled_s, filled_s + whole_s, false);
            plan.then(mix_words, mix);
        }
        None => plan.then(mix_words, mix),
    }
    let measure = assumed(
        plan.sheet,
        &of("measure"),
        MEASURING_S,
        Kind::Time,
        PACE * MEASURING_S,
        "house rule: top and bottom, twice",
    );
    plan.then(
        "measure salinity and temperature, top and bottom, twice".into(),
        measure,
    );
    Ok(Made {
        made_m3: short_m3,
        salt_kg: recipe.dry_mass_kg,
        salt_done_s,
        cautions,
    })
}

/// Bringing the batch to its temperature; nothing where it has it, or where it can't be brought there.
#[expect(clippy::too_many_arguments, reason = "one call, and each is one thing")]
fn warm(
    station: &Station,
    situation: &Situation,
    facts: &Facts<'_>,
    vessel: usize,
    volume_m3: f64,
    path: &str,
    plan: &mut Plan<'_>,
    cautions: &mut Vec<String>,
) -> Option<(NodeId, String)> {
    let own = &station.vessels[vessel];
    let from_c = station
        .vessels
        .iter()
        .zip(&situation.vessels)
        .find(|(one, _)| one.fields.holds.value == Water::Fresh)
        .map_or(own.fields.mixing_temperature.value.c(), |(_, moment)| {
            moment.temperature_c
        });
    let pump_w = facts
        .lineups
        .and_then(|all| {
            let mixing = all.mixing.iter().find(|mixing| mixing.vessel == own.name)?;
            all.pumps.iter().find(|work| work.lineup == mixing.lineup)?.heat_w
        })
        .unwrap_or(0.0);
    let warming = warming(station, vessel, volume_m3, from_c, pump_w).ok()?;
    // Half a degree is close enough for a reading that corrects for temperature.
    if (warming.to_c - warming.from_c).abs() < 0.5 {
        return None;
    }
    let cold = warming.to_c > warming.from_c;
    let temperature = |c: f64| say(station, Kind::Temperature, c);
    match warming.balance().time_to(warming.from_c, warming.to_c) {
        Ok(Reach::After { time_s }) if time_s <= LONGEST_WARMING_S => {
            let mut value = |key: &str, value: f64, kind: Kind, half: f64, reason: &str| {
                assumed(plan.sheet, &format!("{path}-{key}"), value, kind, half, reason)
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
            let node = plan
                .sheet
                .figure(format!("lead-time.{path}"), title, &m::WARM_UP, &inputs)
                .ok()?;
            let does = if cold { "warm" } else { "chill" };
            Some((
                node,
                format!(
                    "{does} it from {} to {}",
                    temperature(warming.from_c),
                    temperature(warming.to_c)
                ),
            ))
        }
        Ok(reached) => {
            let lacks = if cold { "heater" } else { "chiller" };
            let what = match reached {
                Reach::After { time_s } => format!("takes {}", say(station, Kind::Time, time_s)),
                Reach::Never { steady_c: Some(ends) } => format!("ends near {}", temperature(ends)),
                Reach::Never { steady_c: None } => "doesn't come about".to_owned(),
            };
            cautions.push(format!(
                "Its temperature isn't waited for: bringing it from {} to {} {what}. The vessel's {lacks} is too weak or missing; pour slowly into the tank, or bring it to temperature on the way.",
                temperature(warming.from_c),
                temperature(warming.to_c)
            ));
            None
        }
        Err(_) => None,
    }
}
