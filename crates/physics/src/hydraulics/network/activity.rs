//! Which branches can carry water: not the closed ones, not dead ends, not those that a check valve holds shut.

use super::compile::Compiled;
use super::plan::{Plan, Room};
use super::set::Set;

/// So many plans are kept: a solution goes to and fro between a few.
const KEPT: usize = 4;

/// What of a network takes part.
#[derive(Debug, Clone)]
pub(super) struct Activity {
    /// No closed valve, and at least one way to go.
    pub(super) open: Set,
    /// One-way, and held shut.
    pub(super) shut: Set,
    /// Active, and wasn't before.
    pub(super) entered: Set,
    /// Was active, and isn't.
    pub(super) left: Set,
    /// Whether something was opened, closed, shut or let go since what is active was found.
    pub(super) stirred: bool,
    /// How often the ways of branches have changed.
    pub(super) ways: u64,
    known: bool,
    /// Whether the present plan is one that was found.
    found: bool,
    plans: Vec<Plan>,
    /// Which of them is the present one, and which makes room next.
    at: usize,
    next: usize,
    candidate: Set,
    room: Room,
}

impl Activity {
    pub(super) fn new(compiled: &Compiled) -> Self {
        let none = Set::none_of(compiled.branches.len());
        Self {
            open: none.clone(),
            shut: none.clone(),
            entered: none.clone(),
            left: none.clone(),
            stirred: true,
            ways: 0,
            known: false,
            found: false,
            plans: (0..KEPT).map(|_| Plan::new(compiled)).collect(),
            at: 0,
            next: 0,
            candidate: none,
            room: Room::new(compiled),
        }
    }

    /// What takes part now.
    pub(super) fn plan(&self) -> &Plan {
        &self.plans[self.at]
    }

    pub(super) fn plan_mut(&mut self) -> &mut Plan {
        &mut self.plans[self.at]
    }

    /// Forgets which check valves were shut.
    pub(super) fn forget(&mut self) {
        self.let_go();
        self.known = false;
    }

    /// Lets go of all that was held shut.
    pub(super) fn let_go(&mut self) {
        self.shut.clear();
        self.stirred = true;
    }

    /// What takes part, and what is held shut.
    pub(super) fn plan_and_shut(&mut self) -> (&Plan, &mut Set) {
        (&self.plans[self.at], &mut self.shut)
    }

    /// Forgets everything: as if nothing had been solved.
    pub(super) fn start_over(&mut self) {
        self.forget();
        self.found = false;
    }

    /// Whether the shut ones are those of an earlier solution.
    pub(super) fn is_known(&self) -> bool {
        self.known
    }

    pub(super) fn know(&mut self) {
        self.known = true;
    }

    /// Finds out what is active, and what of it is new. False where that follows from nothing new.
    pub(super) fn find(&mut self, compiled: &Compiled) -> bool {
        if self.found && !self.stirred {
            return false;
        }
        self.stirred = false;
        let before = &self.plans[self.at];
        if self.found && before.candidate.is_difference(&self.open, &self.shut) {
            return false;
        }
        self.candidate.be_difference(&self.open, &self.shut);
        self.left.clear();
        if self.found {
            self.left.copy_from(&before.active);
        }
        self.found = true;
        match self.plans.iter().position(|plan| plan.is_for(&self.candidate)) {
            Some(at) => self.at = at,
            None => {
                self.at = self.next;
                self.next = (self.next + 1) % KEPT;
                self.plans[self.at].find(compiled, &self.candidate, &mut self.room);
            }
        }
        // What was active before stands among what has left so far.
        let active = &self.plans[self.at].active;
        self.entered.be_difference(active, &self.left);
        self.candidate.copy_from(&self.left);
        self.left.be_difference(&self.candidate, active);
        true
    }
}
