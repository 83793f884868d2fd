//! Runs: active branches in series, which carry one flow. Where a closed valve leaves two branches of a tee, the water runs
//! on from one to the other, and the tee is no junction any more; what is left is a tree, but for rings.

use super::compile::Compiled;
use super::set::Set;
use super::solver::Point;

/// Branches in series from one end to another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    pub(super) from: usize,
    pub(super) to: usize,
    /// Place in the matrix of the entry between both ends; `usize::MAX` in a tree, and where one is a terminal.
    pub(super) between: usize,
    /// The range of its members.
    first: usize,
    last: usize,
}

/// A branch of a run, and whether the run goes against it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Member {
    pub(super) branch: usize,
    pub(super) against: bool,
}

impl Member {
    /// A flow, head or step along the run, along the branch; and the other way about.
    #[inline]
    pub(super) fn along(self, value: f64) -> f64 {
        if self.against { -value } else { value }
    }
}

/// A junction's turn to be eliminated, and the run to the junction that it hangs on.
#[derive(Debug, Clone, Copy)]
struct Turn {
    junction: usize,
    hangs_on: Option<(usize, usize)>,
}

impl Turn {
    const fn of(junction: usize) -> Self {
        Self {
            junction,
            hangs_on: None,
        }
    }
}

/// The runs that lead on from a junction to others that haven't had their turn.
#[derive(Debug, Clone, Copy, Default)]
struct Left {
    /// Whether the junction has any run at all.
    joint: bool,
    runs: usize,
    /// Their numbers, one over another: of one it is the number.
    number: usize,
}

/// All runs of what takes part.
#[derive(Debug, Clone)]
pub(super) struct Runs {
    pub(super) list: Vec<Run>,
    members: Vec<Member>,
    /// The junctions of a tree, leaves first.
    turns: Vec<Turn>,
    /// By junction.
    left: Vec<Left>,
    /// By junction the run that it lies within.
    within: Vec<Option<usize>>,
    taken: Set,
}

/// The active branches that meet at an end. One that begins and ends there counts twice.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Meeting {
    count: usize,
    /// Their numbers, one over another.
    numbers: usize,
}

impl Meeting {
    #[inline]
    pub(super) fn put(&mut self, branch: usize) {
        self.count += 1;
        self.numbers ^= branch;
    }

    #[inline]
    pub(super) fn take_out(&mut self, branch: usize) {
        self.count -= 1;
        self.numbers ^= branch;
    }

    #[inline]
    pub(super) fn any(self) -> bool {
        self.count > 0
    }

    /// The only one.
    #[inline]
    pub(super) fn only(self) -> Option<usize> {
        (self.count == 1).then_some(self.numbers)
    }

    /// The one that water runs on to from another; `None` where more or fewer than two meet, or a ring begins and ends.
    #[inline]
    fn runs_on(self, from: usize) -> Option<usize> {
        let other = self.numbers ^ from;
        (self.count == 2 && other != from).then_some(other)
    }
}

/// Where water runs on to from a branch at its end, which may be a terminal.
#[inline]
fn runs_on(meeting: &[Meeting], end: usize, from: usize) -> Option<usize> {
    meeting.get(end)?.runs_on(from)
}

impl Runs {
    pub(super) fn with_room(compiled: &Compiled) -> Self {
        let branches = compiled.branches.len();
        Self {
            list: Vec::with_capacity(branches),
            members: Vec::with_capacity(branches),
            turns: Vec::with_capacity(compiled.junctions),
            left: vec![Left::default(); compiled.junctions],
            within: vec![None; compiled.junctions],
            taken: Set::none_of(branches),
        }
    }

    /// The branches of a run.
    #[inline]
    pub(super) fn members(&self, run: &Run) -> &[Member] {
        &self.members[run.first..run.last]
    }

    /// The run that an end lies within.
    #[inline]
    pub(super) fn within(&self, end: usize) -> Option<&Run> {
        self.within.get(end)?.map(|number| &self.list[number])
    }

    /// Finds the runs of a tree; whether it is one.
    pub(super) fn find_tree(&mut self, compiled: &Compiled, list: &[usize], meeting: &[Meeting]) -> bool {
        // Water runs on at junctions only.
        let meeting = &meeting[..compiled.junctions];
        self.list.clear();
        self.members.clear();
        self.taken.clear();
        self.within.fill(None);
        for at in list.iter().copied() {
            if self.taken.has(at) {
                continue;
            }
            let branch = &compiled.branches[at];
            let ends = [branch.from, branch.to];
            if let Some(start) = ends.into_iter().find(|end| runs_on(meeting, *end, at).is_none()) {
                self.follow(compiled, meeting, start, at);
            }
        }
        // What is left are rings that nothing else meets.
        self.members.len() == list.len() && self.order(compiled)
    }

    /// Follows a run from its start.
    fn follow(&mut self, compiled: &Compiled, meeting: &[Meeting], start: usize, first: usize) {
        let from = self.members.len();
        let (mut end, mut next) = (start, Some(first));
        while let Some(at) = next {
            let branch = &compiled.branches[at];
            let against = branch.from != end;
            self.members.push(Member { branch: at, against });
            self.taken.put(at);
            end = if against { branch.from } else { branch.to };
            next = runs_on(meeting, end, at);
            if next.is_some() {
                self.within[end] = Some(self.list.len());
            }
        }
        self.list.push(Run {
            from: start,
            to: end,
            between: usize::MAX,
            first: from,
            last: self.members.len(),
        });
    }

    /// The order of elimination, leaf by leaf; whether that comes to an end.
    fn order(&mut self, compiled: &Compiled) -> bool {
        let junctions = compiled.junctions;
        self.left.fill(Left::default());
        for (number, run) in self.list.iter().enumerate() {
            if run.from == run.to {
                return false;
            }
            let between = run.from < junctions && run.to < junctions;
            for end in [run.from, run.to].into_iter().filter(|end| *end < junctions) {
                let left = &mut self.left[end];
                left.joint = true;
                if between {
                    left.runs += 1;
                    left.number ^= number;
                }
            }
        }
        self.turns.clear();
        let mut joints = 0;
        for (junction, left) in self.left.iter().enumerate().filter(|(_, left)| left.joint) {
            joints += 1;
            if left.runs <= 1 {
                self.turns.push(Turn::of(junction));
            }
        }
        let mut at = 0;
        while at < self.turns.len() {
            let junction = self.turns[at].junction;
            let Left { runs, number, .. } = self.left[junction];
            // None is left where its only neighbour had its turn before.
            if runs == 1 {
                let run = &self.list[number];
                let above = if run.from == junction { run.to } else { run.from };
                self.turns[at].hangs_on = Some((above, number));
                self.left[junction].runs = 0;
                let left = &mut self.left[above];
                left.runs -= 1;
                left.number ^= number;
                if left.runs == 1 {
                    self.turns.push(Turn::of(above));
                }
            }
            at += 1;
        }
        self.turns.len() == joints
    }

    /// Each branch by itself, for what is no tree.
    pub(super) fn each_alone(&mut self, compiled: &Compiled, list: &[usize]) {
        self.list.clear();
        self.members.clear();
        self.turns.clear();
        self.within.fill(None);
        for (number, at) in list.iter().enumerate() {
            let branch = &compiled.branches[*at];
            self.members.push(Member {
                branch: *at,
                against: false,
            });
            self.list.push(Run {
                from: branch.from,
                to: branch.to,
                between: branch.between,
                first: number,
                last: number + 1,
            });
        }
    }

    /// Solves for the changes of the heads, in place of what is left at each junction. What the junctions give is used up.
    #[inline(never)]
    pub(super) fn solve_tree(&self, points: &mut [Point], run: impl Fn(usize) -> f64) {
        for own in &self.turns {
            let junction = &mut points[own.junction];
            let inverse = 1.0 / junction.give;
            let carried = junction.change_m * inverse;
            junction.change_m = carried;
            // Kept for the way back.
            junction.give = inverse;
            if let Some((above, number)) = own.hangs_on {
                let give = run(number);
                let above = &mut points[above];
                above.give -= give * inverse * give;
                above.change_m += give * carried;
            }
        }
        for own in self.turns.iter().rev() {
            if let Some((above, number)) = own.hangs_on {
                let change_m = points[above].change_m;
                let junction = &mut points[own.junction];
                junction.change_m += run(number) * junction.give * change_m;
            }
        }
    }
}
