//! The steps to the balance: every junction passes on what it gets, every branch loses what its ends differ by.

use super::super::error::HydraulicsError;
use super::super::friction::FrictionLaw;
use super::branch::WRONG_WAY_S_M2;
use super::set::numbers;
use super::solver::{Arc, Effort, Solver};

/// Newton's step is squared at each turn; after one of this size, relative to the flow, what is left is 10⁻¹⁰ of it.
const SMALL_STEP: f64 = 1e-5;
/// The same while it is only asked which one-way branches are shut: that is looked at again with what comes of it.
const ROUGH_STEP: f64 = 1e-2;
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
                iterations += self.balance(ROUGH_STEP)?;
                self.shut_wrong_ways(SHUT_TOLERANCE_M);
                self.activity.know();
            }
            loop {
                looks += 1;
                self.take_part();
                iterations += self.balance(SMALL_STEP)?;
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
        let own = self.activity.plan().list.iter().map(|at| &self.arcs[*at]);
        own.fold(0.0, |worst, arc| {
            (arc.drive_m(&self.head) - arc.cost.head_m).abs().max(worst)
        })
    }

    /// Finds what takes part, and takes the flow out of what doesn't.
    fn take_part(&mut self) {
        if self.activity.find(&self.compiled) {
            self.priced = false;
            self.start_new();
            for at in self.activity.left.iter() {
                self.balanced &= self.arcs[at].flow == 0.0;
                self.arcs[at].flow = 0.0;
            }
        }
        // Flows that were given or forgotten balance nowhere; after any others only a change leaves some where none is.
        if !self.balanced {
            let active = &self.activity.plan().active;
            for (at, arc) in self.arcs.iter_mut().enumerate() {
                if !active.has(at) {
                    arc.flow = 0.0;
                }
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

    /// Newton's steps over the active branches, until none moves anything.
    fn balance(&mut self, small_step: f64) -> Result<u32, HydraulicsError> {
        // What the content falls by along the last step, at its start.
        let mut fall = 0.0;
        for iteration in 1..=MOST_STEPS {
            let mut priced = core::mem::take(&mut self.priced);
            if iteration > PLAIN && self.balanced && fall > 0.0 {
                if !priced {
                    self.price();
                }
                self.shorten(fall);
                priced = true;
            }
            self.heads(priced);
            let settled = self.take_step(small_step, &mut fall);
            self.balanced = true;
            if settled {
                return Ok(iteration);
            }
        }
        Err(self.not_converged(MOST_STEPS))
    }

    #[inline(never)]
    fn price(&mut self) {
        for at in self.activity.plan().list.iter().copied() {
            let arc = &mut self.arcs[at];
            arc.cost = arc.law.cost(arc.flow, &mut self.tables);
        }
    }

    /// Changes of the heads for which the next flows balance.
    ///
    /// Changes, not heads: what each branch adds to its junctions is then the same number here and in the step, and
    /// the balance is kept to the rounding of a small change.
    #[inline(never)]
    fn heads(&mut self, priced: bool) {
        let plan = self.activity.plan();
        let junctions = self.compiled.junctions;
        let (matrix, change, head) = (&mut self.matrix[..], &mut self.change[..], &self.head[..]);
        matrix.fill(0.0);
        change.fill(0.0);
        for at in plan.list.iter().copied() {
            let arc = &mut self.arcs[at];
            if !priced {
                arc.cost = arc.law.cost(arc.flow, &mut self.tables);
            }
            let (from, to) = (arc.from, arc.to);
            let give = 1.0 / arc.cost.slope_s_m2;
            let own = give * (arc.drive_m(head) - arc.cost.head_m);
            (arc.give, arc.step) = (give, own);
            let next = arc.flow + own;
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
            if arc.between != usize::MAX {
                matrix[arc.between] -= give;
            }
        }
        for end in plan.grounded.iter().copied() {
            // Holds the junction without changing the flows: nothing can leave its part.
            matrix[end] *= 2.0;
        }
        for end in plan.lonely.iter().copied() {
            matrix[end] = 1.0;
        }
        let (right, terminals) = change.split_at_mut(junctions);
        terminals.fill(0.0);
        plan.elimination.solve(matrix, right);
    }

    /// Goes to the next flows; true where none moved by anything that matters. After a small step the costs are brought to
    /// the flows along their slopes: the next solution starts from them.
    #[inline(never)]
    fn take_step(&mut self, small_step: f64, fall: &mut f64) -> bool {
        let (mut settled, mut crossed, mut energy) = (true, false, 0.0);
        let list = &self.activity.plan().list;
        let change = &self.change[..];
        for at in list.iter().copied() {
            let arc = &mut self.arcs[at];
            let slope = arc.cost.slope_s_m2;
            let step = arc.step + arc.give * (change[arc.from] - change[arc.to]);
            let next = arc.flow + step;
            energy += step * step * slope;
            // A small step along a steep law from the wrong way to the right one isn't the end of it.
            let small = step.abs() <= (small_step * next.abs()).max(NO_STEP_M3_S);
            let same_way = arc.law.both_ways() | ((next < 0.0) == (arc.flow < 0.0));
            settled &= (small & same_way) | (step.abs() * slope <= NO_HEAD_M);
            crossed |= !same_way;
            arc.step = step;
            arc.flow = next;
        }
        for (head, change) in self.head.iter_mut().zip(change) {
            *head += change;
        }
        *fall = energy;
        if settled && !crossed && small_step == SMALL_STEP {
            for at in list.iter().copied() {
                let arc = &mut self.arcs[at];
                arc.cost.head_m += arc.cost.slope_s_m2 * arc.step;
            }
            self.priced = true;
        }
        settled
    }

    /// Goes back along the last step where it went past the least content: the derivative of the content along it,
    /// which rises all the way, is then above 0 at its end.
    #[inline(never)]
    fn shorten(&mut self, fall: f64) {
        let rise = |solver: &mut Self, share: f64| -> f64 {
            let mut sum = 0.0;
            for at in solver.activity.plan().list.iter().copied() {
                let arc = &solver.arcs[at];
                let flow = arc.flow + (share - 1.0) * arc.step;
                let head_m = arc.law.cost(flow, &mut solver.tables).head_m;
                sum += arc.step * (head_m - arc.drive_m(&solver.head));
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
        for at in self.activity.plan().list.iter().copied() {
            let arc = &mut self.arcs[at];
            arc.flow += (low - 1.0) * arc.step;
        }
        self.price();
    }

    /// Shuts the one-way branches through which water goes the wrong way. True where there is one.
    ///
    /// What a head of no account would drive is a rounding: it is taken for nothing.
    fn shut_wrong_ways(&mut self, tolerance_m: f64) -> bool {
        let mut any = false;
        for place in 0..self.activity.plan().list.len() {
            let at = self.activity.plan().list[place];
            let arc = &mut self.arcs[at];
            if arc.flow == 0.0 || arc.law.may(arc.flow) {
                continue;
            }
            if arc.flow.abs() * WRONG_WAY_S_M2 > tolerance_m {
                self.activity.hold_shut(at);
                any = true;
            } else {
                arc.flow = 0.0;
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
                let drive = arc.drive_m(&self.head) - arc.law.standing_m();
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

    fn residual_m3_s(&mut self) -> f64 {
        self.sum.fill(0.0);
        let plan = self.activity.plan();
        // What takes no part carries nothing.
        for at in plan.list.iter().copied() {
            let arc = &self.arcs[at];
            self.sum[arc.from] -= arc.flow;
            self.sum[arc.to] += arc.flow;
        }
        let junctions = plan.junctions.iter();
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

impl Arc {
    /// What drives water along it, nominal m.
    fn drive_m(&self, head_m: &[f64]) -> f64 {
        head_m[self.from] - head_m[self.to] + self.static_m
    }
}
