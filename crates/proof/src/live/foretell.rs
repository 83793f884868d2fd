//! What an act would harm, if nobody did anything after it.
//!
//! The station is walked on for a while twice, with the act and without: only what the act adds is told.

use serde::Serialize;

use super::act::Act;
use super::begin::Live;
use super::fault::LiveFault;
use super::follow::Follow;
use super::hand::found;
use super::walk::Walk;
use crate::alone::Harm;

/// How far is looked, s (house rule: a quarter of an hour; who turns a valve stays that long).
const AHEAD_S: f64 = 900.0;

/// A harm that an act would do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Foretold {
    /// How soon, s.
    pub in_s: f64,
    /// What, in words, as it would stand after [`Self::within_s`].
    pub harm: String,
    /// How far was looked, s.
    pub within_s: f64,
}

impl Live<'_> {
    /// What an act would harm if nobody did anything after it: the first of it; nothing where it does none. Neither the
    /// station nor its record know that it was asked.
    ///
    /// # Errors
    /// [`LiveFault`] where the act can't be done.
    pub fn foretell(&mut self, act: &Act) -> Result<Option<Foretold>, LiveFault> {
        self.foretold(core::slice::from_ref(act), &[])
    }

    /// What comes of all that was turned beside a card, if nobody did anything more: against everything put back.
    ///
    /// # Errors
    /// [`LiveFault`] where flows can't be computed.
    pub fn foretell_beside(&mut self, own: &Follow) -> Result<Option<Foretold>, LiveFault> {
        let back = self.put_back(own);
        self.foretold(&[], &back)
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
        self.foretold(&to_come, &back)
    }

    /// The first harm that comes of some acts, and not of others.
    fn foretold(&mut self, acts: &[Act], others: &[Act]) -> Result<Option<Foretold>, LiveFault> {
        let with = self.ahead(acts)?;
        let without = self.ahead(others)?;
        let is_new = |harm: &&Harm| {
            let mut others = without.state.outcome.harms.iter();
            !others.any(|own| own.kind == harm.kind)
        };
        let first = with
            .state
            .outcome
            .harms
            .iter()
            .filter(is_new)
            .min_by(|a, b| a.at_s.total_cmp(&b.at_s).then(a.kind.cmp(&b.kind)));
        Ok(first.map(|harm| Foretold {
            in_s: (harm.at_s - self.walk.shown_s).max(0.0),
            harm: self.names.harm(&with.state, harm),
            within_s: AHEAD_S,
        }))
    }

    fn ahead(&mut self, acts: &[Act]) -> Result<Walk, LiveFault> {
        let mut walk = self.walk.clone();
        if let Some(lines) = &mut self.ahead {
            lines.forget();
        }
        if acts.is_empty() {
            walk.cut(&self.place);
        }
        for act in acts {
            let done = found(&self.names, &walk, act)?;
            walk.act(&self.place, self.names.settings(), done);
        }
        walk.plan(&self.place, &mut self.ahead)?;
        let until_s = self.walk.shown_s + AHEAD_S;
        walk.go_to(&self.place, &mut self.ahead, until_s)?;
        Ok(walk)
    }
}
