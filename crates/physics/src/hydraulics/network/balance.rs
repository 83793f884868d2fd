//! The balance: every junction passes on what it gets, every branch loses what its ends differ by, and no one-way branch
//! passes anything the wrong way.

use super::super::error::HydraulicsError;
use super::super::friction::FrictionLaw;
use super::branch::WRONG_WAY_S_M2;
use super::set::numbers;
use super::solver::{Arc, Effort, Solver};

/// Head by which a shut branch may be wrong, m. It doubles with every look, so that branches which a rounding opens
/// and another shuts can't go on for ever.
const SHUT_TOLERANCE_M: f64 = 1e-9;
/// Times that the set of shut branches is looked at again; by then a millimetre is let pass.
const MOST_LOOKS: i32 = 20;

impl<F: FrictionLaw> Solver<F> {
    /// Finds the flows and pressures for the present state, from the last solution.
    ///
    /// One-way branches are first allowed to leak the wrong way, which makes the problem smooth; those that do are
    /// shut, and the rest is solved exactly. A set of shut branches that served last time is tried first.
    ///
    /// # Errors
    /// [`HydraulicsError::NotConverged`], which no known network brings about.
    ///
    /// # Source
    /// `TODINI-1988` for the step, `COLLINS-1978` for what it lowers.
    pub fn solve(&mut self) -> Result<Effort, HydraulicsError> {
        if self.refresh() {
            self.activity.forget();
        }
        let mut iterations = 0;
        let mut looks = 0;
        loop {
            let remembered = self.activity.is_known();
            let mut balances = false;
            if !remembered {
                self.activity.let_go();
                self.take_part();
                let (steps, none_leaks) = self.balance_leaking()?;
                iterations += steps;
                balances = !self.shut_wrong_ways(SHUT_TOLERANCE_M) && none_leaks;
                self.activity.know();
            }
            loop {
                looks += 1;
                self.take_part();
                if !core::mem::take(&mut balances) {
                    iterations += self.balance()?;
                }
                self.spread();
                if looks > MOST_LOOKS {
                    return Err(self.not_converged(iterations));
                }
                match self.look_at_shut(remembered, looks) {
                    Look::Holds => {
                        return Ok(Effort { iterations });
                    }
                    Look::Changed => {}
                    Look::Unknown => {
                        self.activity.forget();
                        break;
                    }
                }
            }
        }
    }

    /// Largest difference between what a branch that carries water loses and what its ends differ by, nominal m.
    pub fn head_residual_m(&self) -> f64 {
        let own = self.activity.plan().list.iter().map(|at| &self.arcs[*at]);
        own.fold(0.0, |worst, arc| {
            let cost = arc
                .law
                .cost(arc.flow, |table, reynolds| self.tables.look_up(table, reynolds));
            (self.drive_m(arc) - cost.head_m).abs().max(worst)
        })
    }

    /// Largest sum of flows at a junction, which should be 0, m³/s.
    pub fn flow_residual_m3_s(&self) -> f64 {
        let plan = self.activity.plan();
        let left = |end: &usize| {
            // What takes no part carries nothing.
            let active = self.compiled.around[*end]
                .iter()
                .filter(|at| plan.active.has(**at));
            let arcs = active.map(|at| &self.arcs[*at]).filter(|arc| arc.from != arc.to);
            let arrives = arcs.map(|arc| if arc.to == *end { arc.flow } else { -arc.flow });
            arrives.sum::<f64>().abs()
        };
        plan.junctions.iter().map(left).fold(0.0, f64::max)
    }

    /// Finds what takes part, and takes the flow out of what doesn't.
    fn take_part(&mut self) {
        if self.activity.find(&self.compiled) {
            self.laid_out = false;
            self.start_new();
            for at in self.activity.left.iter() {
                self.balanced &= self.arcs[at].flow == 0.0;
                self.arcs[at].flow = 0.0;
            }
        }
        // Flows that were given or forgotten balance nowhere; after any others only a change leaves some where none is.
        if !self.balanced {
            for at in self.activity.plan().idle.iter() {
                self.arcs[at].flow = 0.0;
            }
        }
    }

    /// Gives branches that begin to take part a flow to start from: from none at all, where losses hardly rise, the first
    /// step goes far too far.
    fn start_new(&mut self) {
        for at in self.activity.entered.iter() {
            let arc = &mut self.arcs[at];
            if arc.flow == 0.0 {
                let start = self.compiled.branches[at].start_flow_m3_s;
                arc.flow = if arc.law.may(1.0) { start } else { -start };
                self.balanced = false;
            }
        }
    }

    /// Shuts the one-way branches through which water goes the wrong way. True where there is one.
    ///
    /// What a head of no account would drive is a rounding: it is taken for nothing.
    fn shut_wrong_ways(&mut self, tolerance_m: f64) -> bool {
        let (plan, shut) = self.activity.plan_and_shut();
        let mut any = false;
        let runs = plan.runs.list.iter().zip(&self.work);
        for (run, _) in runs.filter(|(_, work)| !work.loss.both_ways()) {
            let members = plan.runs.members(run);
            let arcs = &mut self.arcs;
            let is_wrong = |arc: &Arc| arc.flow != 0.0 && !arc.law.may(arc.flow);
            if !members.iter().any(|member| is_wrong(&arcs[member.branch])) {
                continue;
            }
            for member in members {
                let arc = &mut arcs[member.branch];
                if arc.flow.abs() * WRONG_WAY_S_M2 <= tolerance_m {
                    arc.flow = 0.0;
                    self.laid_out = false;
                } else if is_wrong(arc) {
                    shut.put(member.branch);
                    any = true;
                }
            }
        }
        self.activity.stirred |= any;
        any
    }

    /// Whether the shut branches are held shut, and the others aren't.
    fn look_at_shut(&mut self, remembered: bool, looks: i32) -> Look {
        let tolerance_m = SHUT_TOLERANCE_M * libm::ldexp(1.0, looks);
        let mut look = if self.shut_wrong_ways(tolerance_m) {
            Look::Changed
        } else {
            Look::Holds
        };
        for word in 0..self.activity.shut.words() {
            let held = self.activity.shut.word(word) & self.activity.open.word(word);
            for at in numbers(word, held) {
                let arc = &self.arcs[at];
                if !(self.head_known(arc.from) && self.head_known(arc.to)) {
                    if remembered {
                        return Look::Unknown;
                    }
                    continue;
                }
                let drive = self.drive_m(arc) - arc.law.standing_m();
                let opens = if arc.law.may(1.0) { drive } else { -drive };
                if opens > tolerance_m {
                    self.activity.shut.take_out(at);
                    self.activity.stirred = true;
                    look = Look::Changed;
                }
            }
        }
        look
    }
}

enum Look {
    Holds,
    Changed,
    Unknown,
}
