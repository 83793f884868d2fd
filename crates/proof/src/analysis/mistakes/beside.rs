//! Moments that are looked at side by side: what one finds out of a pattern, another takes over where the pattern's lines
//! meet the same.
//!
//! It is told run by run, and who listens waits for each run before its own: so it knows the same however quickly threads
//! come on, and what it finds doesn't hang on that.

use rustc_hash::FxHashMap;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::graph::Pattern;
use super::outcome::Outcome;

/// What was found out in one run.
type Run = Vec<(Pattern, Outcome)>;

/// Tells another moment.
pub(super) struct Tells {
    /// The lines that don't meet the same there.
    differs: u128,
    to: Sender<Run>,
}

/// Hears from another moment.
pub(super) struct Hears {
    from: Receiver<Run>,
    known: FxHashMap<Pattern, Outcome>,
}

/// Who a moment has beside it.
#[derive(Default)]
pub(super) struct Beside {
    pub(super) tells: Vec<Tells>,
    pub(super) hears: Vec<Hears>,
}

/// Both ends of what is told; some lines don't meet the same.
pub(super) fn told(differs: u128) -> (Tells, Hears) {
    let (to, from) = channel();
    let hears = Hears {
        from,
        known: FxHashMap::default(),
    };
    (Tells { differs, to }, hears)
}

impl Beside {
    /// Waits until every other moment is as far as this one; those that are through have told everything.
    pub(super) fn hear(&mut self) {
        for other in &mut self.hears {
            if let Ok(run) = other.from.recv() {
                other.known.extend(run);
            }
        }
    }

    /// Tells all that listen.
    pub(super) fn tell<'o>(&self, found: impl Iterator<Item = (Pattern, &'o Outcome)> + Clone) {
        for other in &self.tells {
            let alike = found
                .clone()
                .filter(|(pattern, _)| pattern.lines & other.differs == 0);
            // Nobody listens any more where a moment was refused: that is told by itself.
            let _ = other.to.send(
                alike
                    .map(|(pattern, outcome)| (pattern, outcome.clone()))
                    .collect(),
            );
        }
    }

    /// What a pattern does, where that is known of another moment and the same at both.
    pub(super) fn outcome(&self, pattern: &Pattern) -> Option<&Outcome> {
        self.hears.iter().find_map(|other| other.known.get(pattern))
    }
}
