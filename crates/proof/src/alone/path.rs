//! What one run has asked of the lines and been answered, so that another that asks the same needs no solver.
//!
//! What the solver answers hangs on all that it was asked before in the same run, to the last digit: it goes on from its
//! last solution. So an answer is only taken from a run whose questions were the same, bit by bit, from the first one on.
//! At the first other question the solver is asked all of them once more, and stands as if no answer had been taken. A run
//! beside others thus comes to the same bytes as one of its own. Many pairs have a fault that moves no water (a heater, a
//! membrane): their lines are asked what they were with the other fault alone.

use std::sync::Arc;

use super::network::{AtEnd, Fares, Flowing, InLine, Pattern, Question};

/// More questions than that of one run aren't kept: room for the longest, which sways until it is broken off.
const MOST: usize = 30_000;

/// How far the lists of a path are filled after one of its questions.
#[derive(Debug, Clone, Copy, Default)]
struct Filled {
    vessels: usize,
    lines: usize,
    ends: usize,
    joints: usize,
    pumps: usize,
}

/// One question, and where its parts and those of its answer end.
#[derive(Debug, Clone, Copy)]
struct Asked {
    pattern: Pattern,
    tells_lines: bool,
    filled: Filled,
}

/// What a run has asked, from its beginning on, and what it was answered. All questions share their lists, so that one more
/// seldom needs memory of its own.
#[derive(Debug, Clone, Default)]
pub(crate) struct Path {
    asked: Vec<Asked>,
    /// Level and salinity by vessel.
    vessels: Vec<(f64, f64)>,
    lines: Vec<InLine>,
    ends: Vec<AtEnd>,
    joints: Vec<(usize, f64)>,
    pumps: Vec<Fares>,
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
            own.clear();
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
    pub(super) fn answer(&mut self, question: Question<'_>, out: &mut Flowing) -> bool {
        let at = self.answered;
        let leads = |path: &Arc<Path>| path.asks(at, question);
        let Some(first) = self.followed.iter().position(leads) else {
            return false;
        };
        self.followed.drain(..first);
        self.followed.retain(leads);
        self.followed[0].tell(at, out);
        self.answered += 1;
        true
    }

    /// Leaves all paths: what was answered from them, to be asked of the solver.
    pub(super) fn leave(&mut self) -> Option<(Arc<Path>, usize)> {
        let path = self.followed.first().cloned()?;
        self.followed.clear();
        if let Some(own) = &mut self.own {
            own.begin_as(&path, self.answered);
        }
        Some((path, self.answered))
    }

    /// Keeps a question and its answer, where no path has led to it.
    pub(super) fn note(&mut self, question: Question<'_>, answer: &Flowing) {
        if let Some(own) = &mut self.own
            && self.followed.is_empty()
            && own.asked.len() < MOST
        {
            own.add(question, answer);
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
    /// How many questions it holds.
    pub(crate) fn len(&self) -> usize {
        self.asked.len()
    }

    /// The first questions, in their order.
    pub(super) fn questions(&self, count: usize) -> impl Iterator<Item = Question<'_>> {
        (0..count.min(self.len())).map(|at| self.question(at))
    }

    fn clear(&mut self) {
        self.asked.clear();
        self.vessels.clear();
        self.lines.clear();
        self.ends.clear();
        self.joints.clear();
        self.pumps.clear();
    }

    /// How far the lists were filled before a question.
    fn before(&self, at: usize) -> Filled {
        at.checked_sub(1)
            .map_or_else(Filled::default, |last| self.asked[last].filled)
    }

    fn question(&self, at: usize) -> Question<'_> {
        let own = &self.asked[at];
        let vessels = self.before(at).vessels..own.filled.vessels;
        Question {
            pattern: own.pattern,
            vessels: &self.vessels[vessels],
            tells_lines: own.tells_lines,
        }
    }

    /// Whether that question is its next, bit by bit.
    fn asks(&self, at: usize, question: Question<'_>) -> bool {
        if at >= self.len() {
            return false;
        }
        let bits = |own: &(f64, f64)| (own.0.to_bits(), own.1.to_bits());
        let own = self.question(at);
        (own.pattern, own.tells_lines) == (question.pattern, question.tells_lines)
            && own.vessels.iter().map(bits).eq(question.vessels.iter().map(bits))
    }

    /// What was answered to a question.
    fn tell(&self, at: usize, out: &mut Flowing) {
        let (from, to) = (self.before(at), self.asked[at].filled);
        out.lines.clear();
        out.lines.extend_from_slice(&self.lines[from.lines..to.lines]);
        out.ends.clear();
        out.ends.extend_from_slice(&self.ends[from.ends..to.ends]);
        out.joints.clear();
        out.joints.extend_from_slice(&self.joints[from.joints..to.joints]);
        out.pumps.clear();
        out.pumps.extend_from_slice(&self.pumps[from.pumps..to.pumps]);
    }

    fn add(&mut self, question: Question<'_>, answer: &Flowing) {
        self.vessels.extend_from_slice(question.vessels);
        self.lines.extend_from_slice(&answer.lines);
        self.ends.extend_from_slice(&answer.ends);
        self.joints.extend_from_slice(&answer.joints);
        self.pumps.extend_from_slice(&answer.pumps);
        let filled = Filled {
            vessels: self.vessels.len(),
            lines: self.lines.len(),
            ends: self.ends.len(),
            joints: self.joints.len(),
            pumps: self.pumps.len(),
        };
        self.asked.push(Asked {
            pattern: question.pattern,
            tells_lines: question.tells_lines,
            filled,
        });
    }

    /// Becomes the beginning of another.
    fn begin_as(&mut self, other: &Self, count: usize) {
        let to = other.before(count);
        self.clear();
        self.asked.extend_from_slice(&other.asked[..count]);
        self.vessels.extend_from_slice(&other.vessels[..to.vessels]);
        self.lines.extend_from_slice(&other.lines[..to.lines]);
        self.ends.extend_from_slice(&other.ends[..to.ends]);
        self.joints.extend_from_slice(&other.joints[..to.joints]);
        self.pumps.extend_from_slice(&other.pumps[..to.pumps]);
    }
}
