//! Which pairs can be a least set that wets the floor: the others aren't run where only that is asked.

use super::minimal::is_left;
use super::survey::{FromStart, first_of};
use super::top::Top;
use crate::alone::{Fault, Phase};

/// Faults that wet the floor alone, where it stays dry with every part sound. No pair with one of them is
/// least (`minimal::least`): none at all where parts do it by themselves; none by people where it comes amid a task, or by
/// what they left.
pub(super) struct Wet {
    by_parts: Vec<bool>,
    by_any: Vec<bool>,
}

impl Wet {
    pub(super) fn of(all: &[FromStart], faults: &[Fault]) -> Self {
        let mut wet = Self {
            by_parts: vec![false; faults.len()],
            by_any: vec![false; faults.len()],
        };
        for own in all {
            let amid_a_task = matches!(own.phase, Phase::Transfer(_));
            for single in &own.singles {
                if own.adds(&single.outcome, Top::WetFloor).is_some() {
                    wet.by_any[single.fault] = true;
                    wet.by_parts[single.fault] |= !amid_a_task && !is_left(faults[single.fault]);
                }
            }
        }
        wet
    }

    /// Whether a pair from a beginning can be a least set.
    pub(super) fn may(&self, own: &FromStart, faults: &[Fault], pair: [usize; 2]) -> bool {
        if first_of(&own.sound, Top::WetFloor) || pair.iter().any(|fault| self.by_parts[*fault]) {
            return false;
        }
        let by_people =
            matches!(own.phase, Phase::Transfer(_)) || pair.iter().any(|fault| is_left(faults[*fault]));
        !(by_people && pair.iter().any(|fault| self.by_any[*fault]))
    }
}
