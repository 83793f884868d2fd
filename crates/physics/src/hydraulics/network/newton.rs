//! The steps to the balance: every junction passes on what it gets, every branch loses what its ends differ by.

use super::super::error::HydraulicsError;
use super::super::friction::FrictionLaw;
use super::branch::WRONG_WAY_S_M2;
use super::solver::{Effort, Solver, Work};

/// Newton's step is squared at each turn; after one of this size, relative to the flow, what is left is 10⁻¹⁰ of it.
const SMALL_STEP: f64 = 1e-5;
/// A step that no one can measure, m³/s: the rounding of heads moves flows by less.
const NO_STEP_M3_S: f64 = 1e-12;
/// A head that no one can measure, m: some thousand times the rounding of a head.
const NO_HEAD_M: f64 = 1e-11;
/// Full steps before each is checked by the content of the network.
const PLAIN: u32 = 12;
const MOST_STEPS: u32 = 200;
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
            if !remembered {
                self.activity.let_go();
                self.take_part();
                iterations += self.balance()?;
                self.shut_wrong_ways(SHUT_TOLERANCE_M);
                self.activity.know();
            }
            loop {
                looks += 1;
                self.take_part();
                if !(looks == 1 && !remembered && !self.activity.shut.contains(&true)) {
                    iterations += self.balance()?;
                }
                self.spread_heads();
                if looks > MOST_LOOKS {
                    return Err(self.not_converged(iterations));
                }
                match self.look_at_shut(remembered, looks) {
                    Look::Holds => {
                        return Ok(Effort {
                            iterations,
                            residual_m3_s: self.residual_m3_s(),
                        });
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
    pub fn head_residual_m(&mut self) -> f64 {
        self.price();
        (0..self.flow.len())
            .filter(|at| self.activity.active[*at])
            .fold(0.0, |worst, at| {
                (self.drive_m(at) - self.cost[at].head_m).abs().max(worst)
            })
    }

    /// Finds what takes part, and takes the flow out of what doesn't.
    fn take_part(&mut self) {
        let changed = self.activity.find(&self.compiled);
        if changed {
            self.priced = false;
            self.start_new();
        }
        // Flows that were given or forgotten balance nowhere; after any others only a change leaves some where none is.
        if changed || !self.balanced {
            for (flow, active) in self.flow.iter_mut().zip(&self.activity.active) {
                if !active && *flow != 0.0 {
                    *flow = 0.0;
                    self.balanced = false;
                }
            }
        }
    }

    /// Gives branches that begin to take part a flow to start from: from none at all, where losses hardly rise, the first
    /// step goes far too far.
    fn start_new(&mut self) {
        for (at, flow) in self.flow.iter_mut().enumerate() {
            if self.activity.new[at] && *flow == 0.0 {
                let branch = &self.compiled.branches[at];
                let start = branch.start_flow_m3_s;
                *flow = if branch.law.may(1.0) { start } else { -start };
                self.balanced = false;
            }
        }
    }

    /// Newton's steps over the active branches.
    fn balance(&mut self) -> Result<u32, HydraulicsError> {
        self.lay_out();
        let steps = self.steps();
        self.put_back();
        match steps {
            Some(steps) => Ok(steps),
            None => Err(self.not_converged(MOST_STEPS)),
        }
    }

    /// Steps until none moves anything; how many, or `None` where there is no end to them.
    fn steps(&mut self) -> Option<u32> {
        // What the content falls by along the last step, at its start.
        let mut fall = 0.0;
        for iteration in 1..=MOST_STEPS {
            let before_balanced = self.balanced;
            if !core::mem::take(&mut self.priced) {
                self.price_work();
            }
            if iteration > PLAIN && before_balanced && fall > 0.0 {
                self.put_back();
                self.shorten(fall);
                self.lay_out();
            }
            self.heads();
            let settled = self.take_step(&mut fall);
            self.balanced = true;
            if settled {
                return Some(iteration);
            }
        }
        None
    }

    /// Lays out what the steps work on, branch by branch.
    fn lay_out(&mut self) {
        self.work.clear();
        for at in self.activity.list.iter().copied() {
            let branch = &self.compiled.branches[at];
            self.work.push(Work {
                at,
                from: branch.from,
                to: branch.to,
                between: branch.between,
                both_ways: branch.law.may(1.0) == branch.law.may(-1.0),
                static_m: self.static_m[at],
                flow: self.flow[at],
                step: self.step[at],
                cost: self.cost[at],
                give: 0.0,
            });
        }
    }

    /// Puts back what the steps have changed.
    fn put_back(&mut self) {
        for work in &self.work {
            self.flow[work.at] = work.flow;
            self.step[work.at] = work.step;
            self.cost[work.at] = work.cost;
        }
    }

    fn price(&mut self) {
        for at in self.activity.list.iter().copied() {
            let law = &self.compiled.branches[at].law;
            self.cost[at] = law.cost(self.flow[at], &mut self.tables);
        }
    }

    fn price_work(&mut self) {
        let (branches, tables) = (&self.compiled.branches[..], &mut self.tables);
        for work in &mut self.work {
            work.cost = branches[work.at].law.cost(work.flow, tables);
        }
    }

    /// Changes of the heads for which the next flows balance.
    ///
    /// Changes, not heads: what each branch adds to its junctions is then the same number here and in the step, and
    /// the balance is kept to the rounding of a small change.
    fn heads(&mut self) {
        let junctions = self.compiled.junctions;
        let (matrix, change, head) = (&mut self.matrix[..], &mut self.change[..], &self.head[..]);
        matrix.fill(0.0);
        change.fill(0.0);
        for work in &mut self.work {
            let (from, to) = (work.from, work.to);
            let drive = head[from] - head[to] + work.static_m;
            let give = 1.0 / work.cost.slope_s_m2;
            let own = give * (drive - work.cost.head_m);
            (work.give, work.step) = (give, own);
            let next = work.flow + own;
            change[from] -= next;
            change[to] += next;
            if from == to {
                continue;
            }
            if from < junctions {
                matrix[from] += give;
            }
            if to < junctions {
                matrix[to] += give;
            }
            if work.between != usize::MAX {
                matrix[work.between] -= give;
            }
        }
        for end in self.activity.junctions.iter().copied() {
            if matrix[end] == 0.0 {
                // Water flows only round a ring that begins and ends here.
                matrix[end] = 1.0;
            } else if self.activity.grounded[end] {
                // Holds the junction without changing the flows: nothing can leave its part.
                matrix[end] *= 2.0;
            }
        }
        let (right, terminals) = change.split_at_mut(junctions);
        terminals.fill(0.0);
        self.activity.elimination().solve(matrix, right);
    }

    /// Goes to the next flows; true where none moved by anything that matters. After a small step the costs are brought to
    /// the flows along their slopes: the next solution starts from them.
    fn take_step(&mut self, fall: &mut f64) -> bool {
        let (mut settled, mut crossed, mut energy) = (true, false, 0.0);
        let change = &self.change[..];
        for work in &mut self.work {
            let slope = work.cost.slope_s_m2;
            let step = work.step + work.give * (change[work.from] - change[work.to]);
            let next = work.flow + step;
            energy += step * step * slope;
            // A small step along a steep law from the wrong way to the right one isn't the end of it.
            let small = step.abs() <= (SMALL_STEP * next.abs()).max(NO_STEP_M3_S);
            let same_way = work.both_ways | ((next < 0.0) == (work.flow < 0.0));
            settled &= (small & same_way) | (step.abs() * slope <= NO_HEAD_M);
            crossed |= !same_way;
            work.step = step;
            work.flow = next;
        }
        for (head, change) in self.head.iter_mut().zip(change) {
            *head += change;
        }
        *fall = energy;
        if settled && !crossed {
            for work in &mut self.work {
                work.cost.head_m += work.cost.slope_s_m2 * work.step;
            }
            self.priced = true;
        }
        settled
    }

    /// Goes back along the last step where it went past the least content: the derivative of the content along it,
    /// which rises all the way, is then above 0 at its end.
    fn shorten(&mut self, fall: f64) {
        let rise = |solver: &mut Self, share: f64| -> f64 {
            let mut sum = 0.0;
            for (at, branch) in solver.compiled.branches.iter().enumerate() {
                if solver.activity.active[at] {
                    let step = solver.step[at];
                    let flow = solver.flow[at] + (share - 1.0) * step;
                    let drive = solver.head[branch.from] - solver.head[branch.to] + solver.static_m[at];
                    sum += step * (branch.law.cost(flow, &mut solver.tables).head_m - drive);
                }
            }
            sum
        };
        if rise(self, 1.0) <= 0.25 * fall {
            return;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let slope = rise(self, middle);
            if slope > 0.0 {
                high = middle;
            } else {
                low = middle;
            }
            if slope.abs() <= 0.1 * fall {
                low = middle;
                break;
            }
        }
        for at in 0..self.flow.len() {
            if self.activity.active[at] {
                self.flow[at] += (low - 1.0) * self.step[at];
            }
        }
        self.price();
    }

    /// Shuts the one-way branches through which water goes the wrong way. True where there is one.
    ///
    /// What a head of no account would drive is a rounding: it is taken for nothing.
    fn shut_wrong_ways(&mut self, tolerance_m: f64) -> bool {
        let mut any = false;
        for at in self.activity.list.iter().copied() {
            let (branch, flow) = (&self.compiled.branches[at], self.flow[at]);
            if flow == 0.0 || branch.law.may(flow) {
                continue;
            }
            if flow.abs() * WRONG_WAY_S_M2 > tolerance_m {
                self.activity.shut[at] = true;
                self.activity.stirred = true;
                any = true;
            } else {
                self.flow[at] = 0.0;
                self.priced = false;
            }
        }
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
        if self.activity.stirred {
            self.activity.look_for_held();
        }
        for at in self.activity.held.iter().copied() {
            let branch = &self.compiled.branches[at];
            if !(self.head_known[branch.from] && self.head_known[branch.to]) {
                if remembered {
                    return Look::Unknown;
                }
                continue;
            }
            let drive = self.drive_m(at) - branch.law.standing_m();
            let opens = if branch.law.may(1.0) { drive } else { -drive };
            if opens > tolerance_m {
                self.activity.shut[at] = false;
                self.activity.stirred = true;
                look = Look::Changed;
            }
        }
        look
    }

    /// What drives water along a branch, nominal m.
    pub(super) fn drive_m(&self, at: usize) -> f64 {
        let branch = &self.compiled.branches[at];
        self.head[branch.from] - self.head[branch.to] + self.static_m[at]
    }

    fn residual_m3_s(&mut self) -> f64 {
        self.sum.fill(0.0);
        // What takes no part carries nothing.
        for at in self.activity.list.iter().copied() {
            let (branch, flow) = (&self.compiled.branches[at], self.flow[at]);
            self.sum[branch.from] -= flow;
            self.sum[branch.to] += flow;
        }
        let junctions = self.activity.junctions.iter();
        junctions.fold(0.0, |worst, end| worst.max(self.sum[*end].abs()))
    }

    fn not_converged(&mut self, iterations: u32) -> HydraulicsError {
        HydraulicsError::NotConverged {
            iterations,
            residual_m: self.head_residual_m(),
        }
    }
}

enum Look {
    Holds,
    Changed,
    Unknown,
}
