//! What an act would harm, if nobody did anything after it.
//!
//! The station is walked on for a while twice, with the act and without: only what the act adds is told.

use serde::Serialize;

use super::act::Act;
use super::begin::Live;
use super::fault::LiveFault;
use super::hand::{Done, found};
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
        let done = found(&self.names, &self.walk, act)?;
        let without = self.ahead(None)?;
        let with = self.ahead(Some(done))?;
        let is_new = |harm: &&Harm| {
            !without
                .state
                .outcome
                .harms
                .iter()
                .any(|own| own.kind == harm.kind)
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

    fn ahead(&mut self, done: Option<Done>) -> Result<Walk, LiveFault> {
        let mut walk = self.walk.clone();
        if let Some(lines) = &mut self.ahead {
            lines.forget();
        }
        match done {
            Some(done) => walk.act(&self.place, self.names.settings(), done),
            None => walk.cut(&self.place),
        }
        walk.plan(&self.place, &mut self.ahead)?;
        let until_s = self.walk.shown_s + AHEAD_S;
        walk.go_to(&self.place, &mut self.ahead, until_s)?;
        Ok(walk)
    }
}
