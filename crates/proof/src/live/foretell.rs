//! What comes of an act, if nobody did anything after it.
//!
//! The station is walked on for a while twice, with the act and without: so that what the act adds is known from what would
//! come anyway. Both are told: nothing is said only where nothing comes.

use serde::Serialize;

use super::act::Act;
use super::begin::Live;
use super::fault::LiveFault;
use super::follow::Follow;
use super::hand::found;
use super::walk::Walk;
use super::words::spot_of;
use crate::alone::{Harm, HarmKind};

/// Harms that are told at once.
const MOST: usize = 3;
/// How far is looked, s (house rule: a quarter of an hour; who turns a valve stays that long).
const AHEAD_S: f64 = 900.0;
/// Harm that would come anyway is the act's where it comes in this share of the time, and by more than so long, s, sooner
/// (house rules).
const SOONER: f64 = 0.5;
const SOONER_S: f64 = 30.0;
/// So is water on the floor where it is so many times as much, and by more than so much, m³ (house rules).
const MORE: f64 = 1.5;
const MORE_M3: f64 = 0.01;

/// A harm to come.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Foretold {
    /// How soon, s.
    pub in_s: f64,
    /// What, in words, as it would stand after [`Self::within_s`]; with what else comes by then, so many at most.
    pub harm: String,
    /// How far was looked, s.
    pub within_s: f64,
    /// Whether it comes as soon and as much without the act.
    pub anyway: bool,
}

impl Live<'_> {
    /// What would be harmed if an act were done and nothing after it: the first harm that the act adds, else the first that
    /// comes anyway; nothing where none comes. Neither the station nor its record know that it was asked.
    ///
    /// Where a card is followed, what it draws is known as well.
    ///
    /// # Errors
    /// [`LiveFault`] where the act can't be done.
    pub fn foretell(&mut self, act: &Act, card: Option<&Follow>) -> Result<Option<Foretold>, LiveFault> {
        self.foretold(core::slice::from_ref(act), &[], card)
    }

    /// What comes of all that was turned beside a card, if nobody did anything more: against everything put back.
    ///
    /// # Errors
    /// [`LiveFault`] where flows can't be computed.
    pub fn foretell_beside(&mut self, own: &Follow) -> Result<Option<Foretold>, LiveFault> {
        let back = self.put_back(own);
        self.foretold(&[], &back, Some(own))
    }

    /// What comes of all that was turned beside a card, if somebody went on with the card's steps at once, up to where it
    /// watches or ends: against the same steps with everything put back.
    ///
    /// # Errors
    /// As [`Self::foretell_beside`].
    pub fn foretell_gone_on(&mut self, own: &Follow) -> Result<Option<Foretold>, LiveFault> {
        let to_come = own.steps().get(own.next_at()..).unwrap_or_default();
        let to_come: Vec<Act> = to_come.iter().map_while(|step| step.act.clone()).collect();
        if to_come.is_empty() {
            return Ok(None);
        }
        let mut back = self.put_back(own);
        back.extend(to_come.iter().cloned());
        self.foretold(&to_come, &back, Some(own))
    }

    /// The first harm that comes of some acts and not of others, else the first that comes of both.
    fn foretold(
        &mut self,
        acts: &[Act],
        others: &[Act],
        card: Option<&Follow>,
    ) -> Result<Option<Foretold>, LiveFault> {
        let card = card.map(Follow::task);
        let (with, holds) = self.ahead(acts, card)?;
        let (without, _) = self.ahead(others, card)?;
        let mut to_come: Vec<(bool, &Harm)> = with
            .state
            .outcome
            .harms
            .iter()
            .filter(|harm| !holds.contains(&harm.kind))
            .map(|harm| (comes_anyway(&with, &without, harm, self.walk.shown_s), harm))
            .collect();
        to_come.sort_by(|(a_anyway, a), (b_anyway, b)| {
            let sooner = || a.at_s.total_cmp(&b.at_s).then(a.kind.cmp(&b.kind));
            a_anyway.cmp(b_anyway).then_with(sooner)
        });
        let said: Vec<String> = to_come
            .iter()
            .take(MOST)
            .map(|(_, harm)| self.names.harm(&with.state, harm))
            .collect();
        Ok(to_come.first().map(|(anyway, harm)| Foretold {
            in_s: (harm.at_s - self.walk.shown_s).max(0.0),
            harm: said.join("; "),
            within_s: AHEAD_S,
            anyway: *anyway,
        }))
    }

    /// What becomes of it after some acts: the harm and the water on the floor from now on; and what holds now already.
    fn ahead(&mut self, acts: &[Act], card: Option<usize>) -> Result<(Walk, Vec<HarmKind>), LiveFault> {
        let mut walk = self.walk.clone();
        walk.card = card;
        if let Some(lines) = &mut self.ahead {
            lines.forget();
        }
        walk.cut(&self.place);
        let holds = walk.forget_harm(&self.place);
        for act in acts {
            let done = found(&self.names, &walk, act)?;
            walk.act(&self.place, self.names.settings(), done);
        }
        walk.plan(&self.place, &mut self.ahead)?;
        let until_s = self.walk.shown_s + AHEAD_S;
        walk.go_to(&self.place, &mut self.ahead, until_s)?;
        Ok((walk, holds))
    }
}

/// Water on the floor of a harm, m³.
fn floor_m3(walk: &Walk, kind: HarmKind) -> f64 {
    let spot = spot_of(kind);
    let there = walk.state.floor.iter().find(|(own, _)| Some(*own) == spot);
    there.map_or(0.0, |(_, sum)| *sum)
}

/// Whether a harm comes without the act as well, about as soon and as much.
fn comes_anyway(with: &Walk, without: &Walk, harm: &Harm, now_s: f64) -> bool {
    let Some(other) = without.state.outcome.harm(|kind| kind == harm.kind) else {
        return false;
    };
    let (in_s, else_in_s) = (harm.at_s - now_s, other.at_s - now_s);
    let is_sooner = in_s < SOONER * else_in_s && else_in_s - in_s > SOONER_S;
    let (sum_m3, else_m3) = (floor_m3(with, harm.kind), floor_m3(without, harm.kind));
    let is_more = sum_m3 > MORE * else_m3 && sum_m3 - else_m3 > MORE_M3;
    !is_sooner && !is_more
}
