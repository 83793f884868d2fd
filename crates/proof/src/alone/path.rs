//! What one run has asked of the lines and been answered, so that another that asks the same needs no solver.
//!
//! What the solver answers hangs on all that it was asked before in the same run, to the last digit: it goes on from its
//! last solution. So an answer is only taken from a run whose questions were the same, bit by bit, from the first one on.
//! At the first other question the solver is asked all of them once more, and stands as if no answer had been taken. A run
//! beside others thus comes to the same bytes as one of its own. Many pairs have a fault that moves no water (a heater, a
//! membrane): their lines are asked what they were with the other fault alone.

use std::sync::Arc;

use super::network::{Flowing, Pattern};

/// More questions than that aren't kept: a run that long sways.
const MOST: usize = 2_000;

/// One question and its answer.
#[derive(Debug, Clone)]
struct Asked {
    pattern: Pattern,
    /// Level and salinity by vessel.
    vessels: Vec<(f64, f64)>,
    answer: Flowing,
}

impl Asked {
    fn is(&self, pattern: Pattern, vessels: &[(f64, f64)]) -> bool {
        let bits = |own: &(f64, f64)| (own.0.to_bits(), own.1.to_bits());
        self.pattern == pattern && self.vessels.iter().map(bits).eq(vessels.iter().map(bits))
    }
}

/// What a run has asked, from its beginning on.
#[derive(Debug, Clone, Default)]
pub(crate) struct Path {
    asked: Vec<Asked>,
}

/// A run beside others.
#[derive(Debug, Default)]
pub(super) struct Along {
    /// Paths that the next run may follow.
    offered: Vec<Arc<Path>>,
    /// Those that this one has followed so far.
    followed: Vec<Arc<Path>>,
    /// Questions that were answered from them.
    answered: usize,
    /// Its own path, where that is kept.
    own: Option<Path>,
}

impl Along {
    /// Lets the next run follow these.
    pub(super) fn offer<'p>(&mut self, paths: impl IntoIterator<Item = &'p Arc<Path>>) {
        self.offered.clear();
        self.offered.extend(paths.into_iter().cloned());
    }

    /// Keeps what the next runs ask.
    pub(super) fn keep(&mut self) {
        self.own = Some(Path::default());
    }

    /// A run begins.
    pub(super) fn begin(&mut self) {
        self.followed.clear();
        self.followed.append(&mut self.offered);
        self.answered = 0;
        if let Some(own) = &mut self.own {
            own.asked.clear();
        }
    }

    /// What this run has asked, and where it only followed another, maybe more; nothing where that isn't kept.
    pub(super) fn path(&mut self) -> Arc<Path> {
        if let Some(followed) = self.followed.first() {
            return Arc::clone(followed);
        }
        Arc::new(self.own.as_mut().map(core::mem::take).unwrap_or_default())
    }

    /// The answer, where a path has led so far. Where none leads on, the paths are left standing for [`Self::leave`].
    pub(super) fn answer(&mut self, pattern: Pattern, vessels: &[(f64, f64)], out: &mut Flowing) -> bool {
        let at = self.answered;
        let leads = |path: &Arc<Path>| path.asked.get(at).is_some_and(|own| own.is(pattern, vessels));
        let Some(first) = self.followed.iter().position(leads) else {
            return false;
        };
        self.followed.drain(..first);
        self.followed.retain(leads);
        out.copy(&self.followed[0].asked[at].answer);
        self.answered += 1;
        true
    }

    /// Leaves all paths: what was answered from them, to be asked of the solver.
    pub(super) fn leave(&mut self) -> Option<(Arc<Path>, usize)> {
        let path = self.followed.first().cloned()?;
        self.followed.clear();
        if let Some(own) = &mut self.own {
            own.asked.extend_from_slice(&path.asked[..self.answered]);
        }
        Some((path, self.answered))
    }

    /// Keeps a question and its answer, where no path has led to it.
    pub(super) fn note(&mut self, pattern: Pattern, vessels: &[(f64, f64)], answer: &Flowing) {
        if let Some(own) = &mut self.own
            && self.followed.is_empty()
            && own.asked.len() < MOST
        {
            own.asked.push(Asked {
                pattern,
                vessels: vessels.to_vec(),
                answer: answer.clone(),
            });
        }
    }

    /// How many questions of this run were answered from a path.
    #[cfg(test)]
    pub(super) fn answered(&self) -> usize {
        self.answered
    }

    /// Whether every question of this run was answered from a path, and there were some.
    pub(super) fn was_followed(&self) -> bool {
        self.answered > 0 && !self.followed.is_empty()
    }
}

impl Path {
    /// The first questions, in their order.
    pub(super) fn questions(&self, count: usize) -> impl Iterator<Item = (Pattern, &[(f64, f64)])> {
        self.asked
            .iter()
            .take(count)
            .map(|own| (own.pattern, own.vessels.as_slice()))
    }
}
