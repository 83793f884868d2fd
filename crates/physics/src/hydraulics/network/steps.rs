//! Newton's steps: to the flows that balance at every junction, each run losing what its ends differ by.

use super::super::error::HydraulicsError;
use super::super::friction::FrictionLaw;
use super::branch::Cost;
use super::loss::{Loss, Members};
use super::runs::Member;
use super::solver::{Point, Solver, Work};

/// How far steps go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Aim {
    /// To tell which one-way branches are shut: that is looked at again with what comes of it.
    Roughly,
    /// To the solution.
    Finely,
}

impl Aim {
    /// The step, relative to the flow, after which no other is made. Newton's step is squared at each turn: after the fine
    /// one what is left is 10⁻¹⁰ of the flow.
    const fn last_step(self) -> f64 {
        match self {
            Self::Roughly => 1e-2,
            Self::Finely => 1e-5,
        }
    }
}

/// A step that no one can measure, m³/s: the rounding of heads moves flows by less.
const NO_STEP_M3_S: f64 = 1e-12;
/// A head that no one can measure, m: some thousand times the rounding of a head.
const NO_HEAD_M: f64 = 1e-11;
/// Full steps before each is checked by the content of the network.
const PLAIN: u32 = 12;
const MOST_STEPS: u32 = 200;

impl<F: FrictionLaw> Solver<F> {
    /// Steps over the active branches to where they balance.
    pub(super) fn balance(&mut self) -> Result<u32, HydraulicsError> {
        let priced = self.lay_out();
        let (steps, end) = self.steps(Aim::Finely, priced)?;
        self.put_back(Some(end));
        Ok(steps)
    }

    /// The same with one-way branches that may leak; whether none did. Where one does, it is no more than a rough answer.
    pub(super) fn balance_leaking(&mut self) -> Result<(u32, bool), HydraulicsError> {
        let priced = self.lay_out();
        let (steps, _) = self.steps(Aim::Roughly, priced)?;
        if self.leaks() {
            self.put_back(None);
            return Ok((steps, false));
        }
        let (more, end) = self.steps(Aim::Finely, false)?;
        self.put_back(Some(end));
        Ok((steps + more, true))
    }

    /// Steps until one is small enough; how many, and how they end. The costs may be those of the flows already.
    fn steps(&mut self, aim: Aim, mut priced: bool) -> Result<(u32, End), HydraulicsError> {
        // What the content falls by along the last step, at its start.
        let mut fall = 0.0;
        for iteration in 1..=MOST_STEPS {
            if iteration > PLAIN && self.balanced && fall > 0.0 {
                self.shorten(fall);
            }
            if !core::mem::take(&mut priced) {
                self.price();
            }
            self.heads();
            let end = self.take_step(aim, &mut fall);
            self.balanced = true;
            if let Some(end) = end {
                return Ok((iteration, end));
            }
        }
        self.put_back(None);
        Err(self.not_converged(MOST_STEPS))
    }

    /// Whether water goes the wrong way through a one-way branch.
    fn leaks(&self) -> bool {
        let runs = &self.activity.plan().runs;
        let one_way = runs
            .list
            .iter()
            .zip(&self.work)
            .filter(|(_, work)| !work.loss.both_ways());
        let mut leaks = one_way.map(|(run, work)| {
            let is_wrong = |member: &Member| {
                let flow = member.along(work.flow);
                flow != 0.0 && !self.arcs[member.branch].law.may(flow)
            };
            runs.members(run).iter().any(is_wrong)
        });
        leaks.any(|leaks| leaks)
    }

    /// Lays out what the steps work on, run by run; whether it stood as it is, costs and all.
    fn lay_out(&mut self) -> bool {
        if self.laid_out {
            return true;
        }
        let runs = &self.activity.plan().runs;
        self.work.clear();
        self.tubes.clear();
        for run in &runs.list {
            let members = runs.members(run);
            let (mut static_m, mut flow) = (0.0, 0.0_f64);
            for member in members {
                let arc = &self.arcs[member.branch];
                static_m += member.along(arc.static_m);
                // What balances is the same in all of them; what was given may not be.
                if arc.flow.abs() > flow.abs() {
                    flow = member.along(arc.flow);
                }
            }
            self.work.push(Work {
                from: run.from,
                to: run.to,
                loss: Loss::of(members, &self.arcs, &mut self.tubes),
                static_m,
                flow,
                step: 0.0,
                cost: Cost::default(),
                give: 0.0,
            });
        }
        false
    }

    /// Puts back what the steps have come to. Where they have come to their end, the costs are brought to the flows along
    /// their slopes, since the next solution may start from them.
    fn put_back(&mut self, end: Option<End>) {
        let runs = &self.activity.plan().runs;
        for (run, work) in runs.list.iter().zip(&mut self.work) {
            work.cost.head_m += work.cost.slope_s_m2 * work.step;
            for member in runs.members(run) {
                self.arcs[member.branch].flow = member.along(work.flow);
            }
        }
        self.laid_out = end == Some(End::Settled);
    }

    /// What each run costs at its flow.
    #[inline(never)]
    fn price(&mut self) {
        let runs = &self.activity.plan().runs;
        for (run, work) in runs.list.iter().zip(&mut self.work) {
            let members = Members {
                runs,
                run,
                arcs: &self.arcs,
            };
            work.cost = work.loss.cost(work.flow, members, &self.tubes, &mut self.tables);
        }
    }

    /// Changes of the heads for which the next flows balance.
    ///
    /// Changes, not heads: what each run adds to its junctions is then the same number here and in the step, and
    /// the balance is kept to the rounding of a small change.
    fn heads(&mut self) {
        if self.activity.plan().is_tree {
            self.heads_of_tree();
        } else {
            self.heads_of_rings();
        }
    }

    #[inline(never)]
    fn heads_of_tree(&mut self) {
        let points = &mut self.points[..];
        for work in &mut self.work {
            let next = work.linearise(points);
            let from = &mut points[work.from];
            from.change_m -= next;
            from.give += work.give;
            let to = &mut points[work.to];
            to.change_m += next;
            to.give += work.give;
        }
        // What was added up for terminals is of no use, and costs less than to ask.
        for terminal in &mut points[self.compiled.junctions..] {
            terminal.change_m = 0.0;
        }
        let runs = &self.activity.plan().runs;
        runs.solve_tree(points, |run| self.work[run].give);
    }

    #[inline(never)]
    fn heads_of_rings(&mut self) {
        let plan = self.activity.plan();
        let junctions = self.compiled.junctions;
        let (matrix, right) = (&mut self.matrix[..], &mut self.right[..]);
        matrix.fill(0.0);
        right.fill(0.0);
        for (run, work) in plan.runs.list.iter().zip(&mut self.work) {
            let next = work.linearise(&self.points);
            let (from, to) = (work.from, work.to);
            if from == to {
                continue;
            }
            if from < junctions {
                right[from] -= next;
                matrix[from] += work.give;
            }
            if to < junctions {
                right[to] += next;
                matrix[to] += work.give;
            }
            if run.between != usize::MAX {
                matrix[run.between] -= work.give;
            }
        }
        for end in plan.grounded.iter().copied() {
            // Holds the junction without changing the flows: nothing can leave its part.
            matrix[end] *= 2.0;
        }
        for end in plan.lonely.iter().copied() {
            matrix[end] = 1.0;
        }
        plan.elimination.solve(matrix, right);
        for (point, change_m) in self.points.iter_mut().zip(right) {
            point.change_m = *change_m;
        }
    }

    /// Goes to the next flows; how it ends where none moved by anything that matters.
    #[inline(never)]
    fn take_step(&mut self, aim: Aim, fall: &mut f64) -> Option<End> {
        let (mut settled, mut crossed, mut energy) = (true, false, 0.0);
        let (points, last_step) = (&mut self.points[..], aim.last_step());
        for work in &mut self.work {
            let slope = work.cost.slope_s_m2;
            let step = work.step + work.give * (points[work.from].change_m - points[work.to].change_m);
            let next = work.flow + step;
            energy += step * step * slope;
            // A small step along a steep law from the wrong way to the right one isn't the end of it.
            let small = step.abs() <= (last_step * next.abs()).max(NO_STEP_M3_S);
            let same_way = work.loss.both_ways() | ((next < 0.0) == (work.flow < 0.0));
            settled &= (small & same_way) | (step.abs() * slope <= NO_HEAD_M);
            crossed |= !same_way;
            work.step = step;
            work.flow = next;
        }
        for point in points {
            *point = Point {
                head_m: point.head_m + point.change_m,
                ..Point::default()
            };
        }
        *fall = energy;
        let end = if crossed { End::Crossed } else { End::Settled };
        settled.then_some(end)
    }

    /// Goes back along the last step where it went past the least content: the derivative of the content along it,
    /// which rises all the way, is then above 0 at its end.
    #[inline(never)]
    fn shorten(&mut self, fall: f64) {
        if self.rise(1.0) <= 0.25 * fall {
            return;
        }
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            let slope = self.rise(middle);
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
        for work in &mut self.work {
            work.flow += (low - 1.0) * work.step;
        }
    }

    /// How the content rises at a share of the last step.
    fn rise(&mut self, share: f64) -> f64 {
        let runs = &self.activity.plan().runs;
        let mut sum = 0.0;
        for (run, work) in runs.list.iter().zip(&self.work) {
            let flow = work.flow + (share - 1.0) * work.step;
            let members = Members {
                runs,
                run,
                arcs: &self.arcs,
            };
            let cost = work.loss.cost(flow, members, &self.tubes, &mut self.tables);
            let drive = self.points[work.from].head_m - self.points[work.to].head_m + work.static_m;
            sum += work.step * (cost.head_m - drive);
        }
        sum
    }

    pub(super) fn not_converged(&mut self, iterations: u32) -> HydraulicsError {
        HydraulicsError::NotConverged {
            iterations,
            residual_m: self.head_residual_m(),
        }
    }
}

impl Work {
    /// Takes the run for a straight line at its flow: the flow that it would go on to if no head changed.
    #[inline(always)]
    fn linearise(&mut self, points: &[Point]) -> f64 {
        self.give = 1.0 / self.cost.slope_s_m2;
        let drive = points[self.from].head_m - points[self.to].head_m + self.static_m;
        self.step = self.give * (drive - self.cost.head_m);
        self.flow + self.step
    }
}

/// How steps end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    /// With one that nobody can measure.
    Settled,
    /// With one from the wrong way through a one-way branch to the right one, whose costs have a step between.
    Crossed,
}
