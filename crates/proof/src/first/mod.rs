//! A first station from a few answers: planned, proved, with the reason of every choice.
//!
//! Owns: the questions' usual answers, what is chosen from them, the text of the file, the reasons in words. What the tanks
//! need, where marks belong, what a membrane makes and what is wrong with all of it is asked of the proof: a draft is
//! written, read and assessed, and mended by the cures that the proof tried. Must not know: files, pages, what was typed.

mod answers;
mod assumed;
mod check;
mod choices;
mod fault;
mod mend;
mod names;
mod pipes;
mod plan;
mod reserve;
mod text;
mod vessels;
mod write;

use station::Station;
use station::quantity::Currency;

use crate::analysis::{Year, Years};
use crate::prove::{Proof, sketch};

pub use answers::{Answers, Evaporation, Minerals, Money, Space, TankAnswer, Tap, Thrift};
pub use choices::Choice;
pub use fault::{FirstFault, Question};

use check::check;
use plan::{BEDS_L, CARBONS, MEMBRANES, Plan, Stand};
use vessels::{Wanted, choose};
use write::Write;

/// The most tanks that are planned for (house rule: more want a plan of their own).
pub const MOST_TANKS: usize = 8;

/// A first station.
#[derive(Debug)]
pub struct First {
    /// The text of its file.
    pub text: String,
    /// The station that the text is.
    pub station: Station,
    /// Its proof, in which nothing must be fixed.
    pub proof: Proof,
    /// Its years, where they were asked for.
    pub year: Option<Year>,
    /// What was chosen, each with its reason.
    pub choices: Vec<Choice>,
    /// What was assumed, for answers that nobody had.
    pub assumed: Vec<String>,
}

/// Plans and proves a first station, and walks through its years where somebody wants them: pure, deterministic.
///
/// # Errors
/// [`FirstFault`] where the answers don't go together, with the question to answer otherwise.
pub fn first(answers: &Answers, years: Option<&Years>) -> Result<First, FirstFault> {
    let write = Write {
        units: answers.units,
        currency: Currency::new(&answers.currency).unwrap_or_default(),
    };
    check(answers, &write)?;
    let mut plan = begun(answers, &write)?;
    let reserves = reserve::reserves(answers, &write, &sketch(&mend::station_of(&plan)?));
    plan.reserve_fresh_m3 = reserves.fresh_m3;
    plan.reserve_salt_m3 = reserves.salt_m3;
    let wanted = Wanted {
        reserve_fresh_m3: reserves.fresh_m3,
        reserve_salt_m3: reserves.salt_m3,
        changes_m3: reserves.changes_m3,
    };
    let chosen = choose(&wanted, &answers.space, &write)?;
    plan.fresh = chosen.fresh;
    plan.salt = chosen.salt;
    plan.run_m3 = chosen.run_m3;
    plan.batch_m3 = chosen.batch_m3;
    mend::set_the_marks(&mut plan)?;
    mend::size_the_purifier(&mut plan)?;
    let own = mend::mend(&plan, years)?;
    // Its years may ask for other runs and batches than it was planned for.
    let vessels = || own.station.vessels.iter();
    let runs: f64 = vessels()
        .filter_map(|own| Some(own.fields.run_volume.as_ref()?.value.m3()))
        .sum();
    if runs > 0.0 {
        plan.run_m3 = runs / plan.fresh.count as f64;
    }
    let batches = vessels().filter_map(|own| Some(own.fields.batch_volume.as_ref()?.value.m3()));
    plan.batch_m3 = batches.min_by(f64::total_cmp).unwrap_or(plan.batch_m3);
    Ok(First {
        text: own.station.text.clone(),
        choices: choices::choices(&plan, &reserves, &chosen, &own.proof, &own.applied),
        assumed: choices::assumed(&plan),
        station: own.station,
        proof: own.proof,
        year: own.year,
    })
}

/// A plan with the smallest of everything: enough to ask the proof what the tanks need.
fn begun<'a>(answers: &'a Answers, write: &Write) -> Result<Plan<'a>, FirstFault> {
    let smallest = station::catalogue::CATALOGUE.first().ok_or_else(|| {
        FirstFault::impossible(Question::Space, "There is no vessel to choose", "report it")
    })?;
    let stand = Stand {
        count: 1,
        vessel: smallest,
    };
    Ok(Plan {
        answers,
        write: write.clone(),
        tanks: names::keys(answers.tanks.iter().map(|tank| tank.name.as_str())),
        fresh: stand,
        salt: stand,
        reserve_fresh_m3: 0.01,
        reserve_salt_m3: 0.01,
        run_m3: 0.01,
        batch_m3: 0.03,
        batch_fresh_m3: None,
        membranes: MEMBRANES[0],
        carbon: &CARBONS[0],
        bed_l: BEDS_L[0],
        marks: None,
        edits: Vec::new(),
    })
}

#[cfg(test)]
mod tests;
