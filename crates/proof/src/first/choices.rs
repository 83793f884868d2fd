//! What was chosen and why, in sentences with their figures.

use serde::Serialize;
use station::quantity::Kind;

use crate::prove::Proof;

use super::answers::{Evaporation, Thrift};
use super::assumed as a;
use super::mend::Applied;
use super::plan::{FRESH_BASE_M, MEMBRANES, Plan, Stand, followed_days};
use super::reserve::Reserves;
use super::vessels::Chosen;

/// A choice and its reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Choice {
    /// What it is about: "Salt vessel".
    pub topic: &'static str,
    /// What was chosen.
    pub chosen: String,
    /// Why, as a sentence.
    pub reason: String,
}

/// All choices, in the order in which one would ask.
pub(super) fn choices(
    plan: &Plan<'_>,
    reserves: &Reserves,
    chosen: &Chosen,
    proof: &Proof,
    applied: &[Applied],
) -> Vec<Choice> {
    let mut out = vec![
        salt_reserve(plan, reserves),
        fresh_reserve(plan, reserves),
        salt_vessel(plan, reserves, chosen, proof),
        fresh_vessel(plan, proof),
        marks(plan, proof),
        purifier(plan, proof),
        carbon(plan),
        resin(plan, proof),
        heater(plan),
        pipes(plan),
        guards(plan),
    ];
    out.extend(salinity(plan));
    out.extend(tempered(plan));
    out.extend(booster(plan));
    out.extend(going_away(plan));
    out.extend(floor(plan, proof));
    out.extend(applied.iter().map(|cure| Choice {
        topic: cure.topic,
        chosen: capital(&cure.what),
        reason: format!("Before it: {}", cure.why),
    }));
    out
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

fn salt_reserve(plan: &Plan<'_>, reserves: &Reserves) -> Choice {
    let say = |volume_m3: f64| plan.write.volume(volume_m3);
    let reason = if reserves.emergency_m3 >= reserves.change_m3 {
        format!(
            "When a tank is in trouble, two fifths of its water go at once: {} of your largest.",
            say(reserves.emergency_m3)
        )
    } else {
        format!(
            "Your largest regular change takes {}, more than any trouble would.",
            say(reserves.change_m3)
        )
    };
    Choice {
        topic: "Salt water kept ready",
        chosen: say(plan.reserve_salt_m3),
        reason,
    }
}

fn fresh_reserve(plan: &Plan<'_>, reserves: &Reserves) -> Choice {
    let days = plan.answers.days_away;
    let reason = if days > 0.0 {
        let most_days = followed_days();
        let followed = match days > most_days {
            true => format!(" What fails with nobody there is followed for the first {most_days} of them."),
            false => String::new(),
        };
        format!(
            "Your tanks lose up to {} a day, and you are away for up to {} {}.{followed}",
            plan.write.about(reserves.top_off_m3_s * 86_400.0),
            days,
            if days == 1.0 { "day" } else { "days" }
        )
    } else {
        "You are never away, so that a bucket is enough.".to_owned()
    };
    Choice {
        topic: "Fresh water kept ready",
        chosen: plan.write.volume(plan.reserve_fresh_m3),
        reason,
    }
}

/// `An upright tank of 200 L`, or `two of them`.
fn told(plan: &Plan<'_>, stand: Stand) -> String {
    let name = stand.vessel.name(plan.write.units);
    match stand.count {
        1 => capital(&name),
        2 => format!("Two of this kind: {name}"),
        count => format!("{count} of this kind: {name}"),
    }
}

fn salt_vessel(plan: &Plan<'_>, reserves: &Reserves, chosen: &Chosen, proof: &Proof) -> Choice {
    let own = proof.levels.vessels.iter().filter(|own| own.holds == "salt");
    // Of the smallest batch, as the plan tells it.
    let drawn = own.map(|own| own.drawable_m3[1]).min_by(f64::total_cmp);
    let stays = drawn.map_or(0.0, |drawn_m3| plan.batch_m3 - drawn_m3);
    let batches = batches(plan, proof);
    let say = |volume_m3: f64| plan.write.volume(volume_m3);
    let changes = if chosen.changes_m3 > 0.0 {
        format!(
            "{} for one round of changes come on top, so that they don't eat the reserve",
            plan.write.about(chosen.changes_m3)
        )
    } else if reserves.changes_m3 > 0.0 {
        format!(
            "there is no floor for the changes on top, so that the reserve is short after each round of them until the next \
             batch is mixed (your changes take {})",
            plan.write.about(reserves.changes_m3)
        )
    } else {
        "no regular changes come on top".to_owned()
    };
    Choice {
        topic: "Salt vessel",
        chosen: told(plan, plan.salt),
        reason: format!(
            "{} must be ready, {changes}, and {} stay in it under where the pump stops; {batches} gives that. It \
             comes through the door and stands on your floor, and its rim is {} up, where a bag is poured in.",
            say(plan.reserve_salt_m3),
            plan.write.about(stays.max(0.0)),
            plan.write.tape(plan.salt_rim_m()),
        ),
    }
}

/// "a batch of 370 L in each", or, where cures have told them apart, "batches of 391 L and 370 L".
fn batches(plan: &Plan<'_>, proof: &Proof) -> String {
    let own = proof.batch.vessels.iter();
    let each: Vec<String> = own.map(|own| plan.write.volume(own.finished_volume_m3)).collect();
    match each.as_slice() {
        [one] => format!("a batch of {one}"),
        [first, rest @ ..] if rest.iter().any(|own| own != first) => {
            format!(
                "batches of {}",
                crate::analysis::speak::list(&each.iter().map(String::as_str).collect::<Vec<_>>())
            )
        }
        _ => format!("a batch of {} in each", plan.write.volume(plan.batch_m3)),
    }
}

/// The heater of a salt vessel.
fn heater(plan: &Plan<'_>) -> Choice {
    let warm = plan.write.say(Kind::Temperature, plan.batch_c());
    let Some(heater_w) = plan.heater_w() else {
        return Choice {
            topic: "Heater",
            chosen: "None".to_owned(),
            reason: format!("Salt is mixed, and water goes into a tank, at {warm}: a room is about as warm."),
        };
    };
    let each = if plan.salt.count > 1 {
        " in each salt vessel"
    } else {
        ""
    };
    Choice {
        topic: "Heater",
        chosen: format!("{heater_w} W{each}, with a cut-out of its own for when it runs dry"),
        reason: format!(
            "Salt is mixed, and water goes into a tank, at {warm}. What keeping it warm costs stands with the year; heating \
             only while a batch is mixed is the first thing to try there.",
        ),
    }
}

/// What a batch is mixed to, where the tanks differ.
fn salinity(plan: &Plan<'_>) -> Option<Choice> {
    plan.thins().then(|| Choice {
        topic: "Salinity of a batch",
        chosen: plan.write.salinity(plan.batch_salinity()),
        reason: "It is that of the saltiest tank. Water for the others is thinned with purified water in the bucket, and \
                 measured before it goes in; the command `blend` tells how much of each."
            .to_owned(),
    })
}

/// At which temperature a batch is mixed, where the tanks differ.
fn tempered(plan: &Plan<'_>) -> Option<Choice> {
    plan.tempers().then(|| Choice {
        topic: "Temperature of a batch",
        chosen: plan.write.say(Kind::Temperature, plan.batch_c()),
        reason: "It is that of the tank that most of it goes to. Water for tanks that are kept warmer or cooler is brought to \
                 their temperature first, and measured before it goes in."
            .to_owned(),
    })
}

fn fresh_vessel(plan: &Plan<'_>, proof: &Proof) -> Choice {
    let batch = proof
        .batch
        .vessels
        .first()
        .map_or(plan.batch_m3, |batch| batch.fresh_volume_m3);
    let goes = match goes(plan, proof, batch) {
        1 => String::new(),
        goes => {
            format!(" There is no floor for one that gives it at once: a batch is filled in {goes} goes.")
        }
    };
    // Cures may have raised where a fill starts.
    let say = |volume_m3: f64| plan.write.volume(volume_m3);
    let keeps = if holds_more(plan, proof) {
        format!(
            "Just before a fill {} are left to draw, of which {} must be ready; it takes",
            say(proof.levels.fresh_always_m3),
            say(plan.reserve_fresh_m3)
        )
    } else {
        format!("It keeps {} ready and takes", say(plan.reserve_fresh_m3))
    };
    Choice {
        topic: "Fresh vessel",
        chosen: told(plan, plan.fresh),
        reason: format!(
            "{keeps} {} more in one run; a batch of salt water begins with {}.{goes}",
            say(plan.run_m3 * plan.fresh.count as f64),
            plan.write.about(batch),
        ),
    }
}

/// In how many goes a batch is filled out of what can be drawn over the reserve.
fn goes(plan: &Plan<'_>, proof: &Proof, batch_m3: f64) -> u32 {
    let fresh = proof.levels.vessels.iter().filter(|own| own.holds == "fresh");
    let drawable_m3: f64 = fresh.map(|own| own.drawable_m3[1]).sum();
    let spare_m3 = drawable_m3 - plan.reserve_fresh_m3;
    if spare_m3 <= 0.0 {
        return 1;
    }
    // What a batch wants more than a go gives by a hair is no go of its own.
    (libm::ceil(batch_m3 / spare_m3 - 0.05) as u32).max(1)
}

/// Whether clearly more than the reserve is left just before a fill.
fn holds_more(plan: &Plan<'_>, proof: &Proof) -> bool {
    proof.levels.fresh_always_m3 > 1.1 * plan.reserve_fresh_m3
}

fn marks(plan: &Plan<'_>, proof: &Proof) -> Choice {
    let own = proof.levels.vessels.iter().find(|own| own.holds == "fresh");
    let level = |name: &str| {
        let mark = own.and_then(|own| own.marks.iter().find(|mark| mark.name == name));
        mark.map_or_else(String::new, |mark| plan.write.tape(mark.level_m))
    };
    let more = if holds_more(plan, proof) { " and more" } else { "" };
    if !plan.affords(Thrift::Sensible) {
        return Choice {
            topic: "Marks of the fresh vessel",
            chosen: format!(
                "The float closes at {}, a second one at {}",
                level("stop"),
                level("backup")
            ),
            reason: format!(
                "The float opens again as soon as something is drawn. Below {} lies the reserve{more}, over where the pump \
                 stops at {}.",
                level("start"),
                level("low cut-out"),
            ),
        };
    }
    Choice {
        topic: "Marks of the fresh vessel",
        chosen: format!(
            "Fill from {} to {}, backup at {}",
            level("start"),
            level("stop"),
            level("backup")
        ),
        reason: format!(
            "Below {} lies the reserve{more}, over where the pump stops at {}; the run lies above. Should the switch fail, a \
             second float closes the fill before it runs over.",
            level("start"),
            level("low cut-out"),
        ),
    }
}

fn purifier(plan: &Plan<'_>, proof: &Proof) -> Choice {
    let each = format!("{} gal/day", plan.membranes.gallons_a_day);
    let chosen = match plan.membranes.count {
        1 => format!("One membrane sold as {each}"),
        count => format!("{count} membranes side by side, each sold as {each}"),
    };
    let say = |flow: Option<f64>| {
        let litres = plan.write.about(flow.unwrap_or(0.0) * 86_400.0);
        format!("{litres} a day")
    };
    let smaller = if plan.membranes == MEMBRANES[0] {
        "It is the smallest of those that are usual."
    } else {
        "The next smaller one would make too little."
    };
    let supply = &proof.supply;
    let month = supply.purifier.as_ref().map_or("", |made| made.leanest_month);
    Choice {
        topic: "Purifier",
        chosen,
        reason: format!(
            "Cold water passes slowly: in {month} it makes {}, and your tanks need {} then. {smaller}",
            say(supply.made_m3_per_s),
            say(supply.need_m3_per_s),
        ),
    }
}

fn carbon(plan: &Plan<'_>) -> Choice {
    let (chosen, reason) = match plan.answers.tap.chloramine {
        Some(true) => (
            "A block that its maker tested for chloramine",
            "Your supplier uses chloramine, which harms animals and passes plain carbon.",
        ),
        Some(false) => (
            "A plain carbon block behind a sediment filter",
            "It takes out the chlorine, which would harm the membrane; there is no chloramine in your water.",
        ),
        None => (
            "A block that its maker tested for chloramine",
            "Nobody knows yet whether there is chloramine in your water, and animals die of it; such a block costs little more.",
        ),
    };
    Choice {
        topic: "Carbon",
        chosen: chosen.to_owned(),
        reason: reason.to_owned(),
    }
}

fn resin(plan: &Plan<'_>, proof: &Proof) -> Choice {
    let lasts = proof
        .supply
        .purifier
        .as_ref()
        .and_then(|made| made.run.resin_lasts_s.as_ref())
        .map(|lasts| {
            format!(
                ", and lasts about {} here",
                plan.write.say(Kind::Time, rounded_days(lasts.value))
            )
        });
    Choice {
        topic: "Resin",
        chosen: format!(
            "A mixed bed of {}, as it is sold",
            plan.write.say(Kind::Volume, 1e-3 * plan.bed_l)
        ),
        reason: format!(
            "It takes what passes the membrane, ammonia and silica among it{}.",
            lasts.unwrap_or_default()
        ),
    }
}

fn rounded_days(seconds: f64) -> f64 {
    libm::round(seconds / 86_400.0).max(1.0) * 86_400.0
}

fn pipes(plan: &Plan<'_>) -> Choice {
    Choice {
        topic: "Pumps and pipes",
        chosen: match plan.salt.count {
            1 => "One pump that fills the salt vessel, one that stirs it and brings its water".to_owned(),
            count => {
                format!("One pump that fills the salt vessels, {count} that stir them and bring their water")
            }
        },
        reason: format!(
            "Fresh and salt water share no pipe, so that no wrong valve brings salt into fresh water. Fresh water for a bucket \
             comes by itself, without a pump: its vessel stands {} up. The pumps stand lower than the outlets, so that water \
             runs to them; the pipes run {} up, over the rims.",
            plan.write.tape(plan.write.mark_m(FRESH_BASE_M)),
            plan.write.tape(plan.pipes_m())
        ),
    }
}

fn guards(plan: &Plan<'_>) -> Choice {
    let (chosen, reason) = match plan.answers.money.thrift {
        Thrift::Least => (
            "A float, a second float, a shut-off valve, taps that close by themselves",
            "The least that fills by itself and stops twice over. A float alone lets resin be used up sooner; switches with an \
             electric valve are the first thing to add.",
        ),
        Thrift::Sensible => (
            "Level switches, an electric feed valve closed without power, a second float, a leak detector",
            "Each stops the water by another way, should one of them fail. Switches stop the pumps where nothing flows or a \
             vessel is full.",
        ),
        Thrift::WellKept => (
            "Level switches, an electric feed valve, a second float, a leak detector, a sill, a limit on each run",
            "Each stops the water by another way, a run that goes on too long is ended, and what spills stays under the \
             station.",
        ),
    };
    Choice {
        topic: "Guards",
        chosen: chosen.to_owned(),
        reason: reason.to_owned(),
    }
}

fn booster(plan: &Plan<'_>) -> Option<Choice> {
    let has = plan
        .edits
        .iter()
        .any(|own| own.path == "purifier.booster_pressure");
    has.then(|| Choice {
        topic: "Booster",
        chosen: "A small pump before the membrane".to_owned(),
        reason: format!(
            "The tap gives {}, which is too little for a membrane.",
            plan.write.say(
                Kind::Pressure,
                plan.answers
                    .tap
                    .pressure_pa
                    .unwrap_or(a::pressure_pa(plan.answers.units))
            )
        ),
    })
}

fn going_away(plan: &Plan<'_>) -> Option<Choice> {
    (plan.answers.days_away > 0.0).then(|| Choice {
        topic: "Going away",
        chosen: "Shut the tap by hand before you go".to_owned(),
        reason: "What is kept ready lasts until you are back, and nothing behind the tap stops a tube that comes off there."
            .to_owned(),
    })
}

fn floor(plan: &Plan<'_>, proof: &Proof) -> Option<Choice> {
    let heaviest = proof
        .levels
        .vessels
        .iter()
        .filter(|own| own.floor_load_kg_m2.is_some())
        .max_by(|a, b| a.mass_full_kg.total_cmp(&b.mass_full_kg))?;
    Some(Choice {
        topic: "Floor",
        chosen: "Solid ground, and a ledge as firm".to_owned(),
        reason: format!(
            "The heaviest vessel weighs {} when full and presses {} on what is under it. Solid ground carries that; of any \
             other floor ask a structural engineer first.",
            plan.write.say(Kind::Mass, heaviest.mass_full_kg),
            plan.write
                .say(Kind::FloorLoad, heaviest.floor_load_kg_m2.unwrap_or(0.0)),
        ),
    })
}

/// What was assumed where nobody was asked, or nobody knew.
pub(super) fn assumed(plan: &Plan<'_>) -> Vec<String> {
    let (write, tap) = (&plan.write, &plan.answers.tap);
    let mut out =
        vec!["The salt mix is as strong as most; put the words of your bag into the file.".to_owned()];
    if plan
        .answers
        .tanks
        .iter()
        .any(|tank| !matches!(tank.evaporation, Evaporation::Measured(_)))
    {
        out.push(
            "What evaporates is computed from the water's surface, which follows from the volume; a week of writing down the \
             top-off tells better."
                .to_owned(),
        );
    }
    if tap.pressure_pa.is_none() {
        let pressure = write.say(Kind::Pressure, a::pressure_pa(plan.answers.units));
        out.push(format!(
            "The tap gives {pressure}, as many houses have it; a gauge on the tap tells."
        ));
    }
    if tap.coldest_c.is_none() || tap.warmest_c.is_none() {
        let [coldest_c, warmest_c] = a::tap_c(tap, plan.answers.units);
        out.push(format!(
            "Tap water is between {} and {} in the year; a thermometer tells.",
            write.say(Kind::Temperature, coldest_c),
            write.say(Kind::Temperature, warmest_c)
        ));
    }
    if tap.minerals.is_none() {
        out.push("Tap water has middling minerals; a pen that costs little measures them.".to_owned());
    }
    if tap.chloramine.is_none() {
        out.push("The tap water is taken to hold chloramine; the supplier tells.".to_owned());
    }
    out
}
