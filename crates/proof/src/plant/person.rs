//! The person who comes: what they have in hand, and what it is for. What they do next stands in [`super::choose`].

use super::books::Account;
use super::tally::Work;

/// The person who comes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Person {
    pub(crate) here: bool,
    /// Only for top-off and emergencies.
    pub(crate) looks_in: bool,
    /// When what they do is over, or when they come next, s.
    pub(crate) next_s: f64,
    pub(crate) leaves_s: f64,
    pub(crate) doing: Doing,
    /// The next water to top off with, and the next tank to look at for its change, in this visit.
    pub(crate) looked: [usize; 2],
    /// Whether a batch was begun in this visit.
    pub(crate) began_batch: bool,
    pub(crate) asked_fill: bool,
    /// How long whoever comes next stays, and whether they only look in.
    pub(crate) expected: (f64, bool),
    /// The day after the last visit.
    pub(crate) day: i64,
}

/// What they have in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Doing {
    Nothing,
    Moving(Moving),
    Working { since_s: f64, then: Then },
}

/// Water on its way. What is left changes at each turn and stands away from what is read with it: numbers that were written
/// one by one are slowly read as a pair.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(C)]
pub(crate) struct Moving {
    /// Volume still to move, m³.
    pub(crate) left_m3: f64,
    pub(crate) load: Load,
    pub(crate) lineup: Option<usize>,
    pub(crate) pump: Option<usize>,
    pub(crate) rate_m3_s: f64,
}

/// Water that is to be moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Load {
    pub(crate) from: usize,
    pub(crate) to: Account,
    pub(crate) volume_m3: f64,
    /// When it was begun, s.
    pub(crate) since_s: f64,
    /// Salinity that the water had then.
    pub(crate) salinity: f64,
    pub(crate) then: Then,
}

/// What something in hand is for: one number behind each kind, so that it goes through registers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Then {
    /// A round of top-off with one water: 0 for fresh, 1 for salt.
    ToppedOff {
        kind: u32,
    },
    /// The water of a change is in; its time around follows.
    ChangeMoved {
        tank: u32,
    },
    Changed,
    EmergencyMoved {
        tank: u32,
    },
    /// Fresh water for a batch is in.
    Filled {
        vessel: u32,
    },
    /// The salt of a batch is in; it is made as usual, or for an emergency.
    Salted {
        vessel: u32,
    },
    SaltedInNeed {
        vessel: u32,
    },
    Measured {
        vessel: u32,
    },
    /// They waited for a batch.
    Waited,
}

impl Person {
    pub(crate) fn away() -> Self {
        Self {
            here: false,
            looks_in: false,
            next_s: f64::INFINITY,
            leaves_s: f64::INFINITY,
            doing: Doing::Nothing,
            looked: [0; 2],
            began_batch: false,
            asked_fill: false,
            expected: (0.0, true),
            day: i64::MIN,
        }
    }

    /// Somebody comes in.
    pub(crate) fn arrive(&mut self, stays_s: f64, looks_in: bool, t_s: f64) {
        self.here = true;
        self.looks_in = looks_in;
        self.leaves_s = t_s + stays_s;
        self.doing = Doing::Nothing;
        self.looked = [0; 2];
        self.began_batch = false;
        self.asked_fill = false;
    }
}

/// What a piece of work is counted as.
pub(crate) fn work_of(then: Then) -> Work {
    match then {
        Then::ToppedOff { .. } => Work::TopOff,
        Then::ChangeMoved { .. } | Then::Changed => Work::Change,
        Then::EmergencyMoved { .. } | Then::Waited => Work::Emergency,
        Then::Filled { .. } | Then::Salted { .. } | Then::SaltedInNeed { .. } => Work::Batch,
        Then::Measured { .. } => Work::Measuring,
    }
}
