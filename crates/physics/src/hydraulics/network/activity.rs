//! Which branches can carry water: not the closed ones, not dead ends, not those that a check valve holds shut.

use super::super::friction::FrictionLaw;
use super::compile::Compiled;
use super::ordering::Elimination;

/// What of a network takes part.
#[derive(Debug, Clone)]
pub(super) struct Activity {
    /// No closed valve, and at least one way to go.
    pub(super) open: Vec<bool>,
    /// One-way, and held shut.
    pub(super) shut: Vec<bool>,
    /// Carries water, or may.
    pub(super) active: Vec<bool>,
    /// The active ones by number.
    pub(super) list: Vec<usize>,
    /// Open, not shut, and yet not active, by number: water stands in them.
    pub(super) still: Vec<usize>,
    /// Active, and wasn't before.
    pub(super) new: Vec<bool>,
    /// Junction whose head is taken as 0: its part of the network has no terminal.
    pub(super) grounded: Vec<bool>,
    /// Junction in which active branches meet.
    pub(super) alive: Vec<bool>,
    /// Those junctions by number.
    pub(super) junctions: Vec<usize>,
    /// Ends whose pressure counts from a terminal.
    pub(super) anchored: Vec<bool>,
    /// Open and not shut, when `active` was found.
    candidate: Vec<bool>,
    found: bool,
    /// Whether something was opened, closed, shut or let go since `active` was found.
    pub(super) stirred: bool,
    /// Open and shut when that was looked for last, by number.
    pub(super) held: Vec<usize>,
    degree: Vec<usize>,
    root: Vec<usize>,
    known: bool,
    /// How often the ways of branches have changed.
    ways: u64,
    /// What was found before, which of them is the present one, and which makes room next.
    kept: Vec<Kept>,
    at: usize,
    next: usize,
}

/// So many are kept: a solution goes to and fro between a few.
const KEPT: usize = 4;

/// What takes part, by what is open and not shut.
#[derive(Debug, Clone)]
struct Kept {
    /// Whether it holds anything.
    full: bool,
    candidate: Vec<bool>,
    active: Vec<bool>,
    list: Vec<usize>,
    still: Vec<usize>,
    grounded: Vec<bool>,
    alive: Vec<bool>,
    junctions: Vec<usize>,
    anchored: Vec<bool>,
    elimination: Elimination,
    spread: Spread,
}

/// How pressure goes on into what stands still: which branch passes it, and whether forward; and the ends that it comes to.
/// That hangs on the ways of the branches, not on their flows.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    /// The count of changed ways that it belongs to.
    pub(super) ways: Option<u64>,
    pub(super) steps: Vec<(usize, bool)>,
    pub(super) known: Vec<bool>,
}

impl Kept {
    fn new<F: FrictionLaw>(compiled: &Compiled<F>) -> Self {
        let (branches, ends) = (compiled.branches.len(), compiled.ends.len());
        Self {
            full: false,
            candidate: vec![false; branches],
            active: vec![false; branches],
            list: Vec::with_capacity(branches),
            still: Vec::with_capacity(branches),
            grounded: vec![false; ends],
            alive: vec![false; ends],
            junctions: Vec::with_capacity(ends),
            anchored: vec![false; ends],
            elimination: compiled.pattern.room(),
            spread: Spread {
                ways: None,
                steps: Vec::with_capacity(branches),
                known: vec![false; ends],
            },
        }
    }
}

impl Activity {
    pub(super) fn new<F: FrictionLaw>(compiled: &Compiled<F>) -> Self {
        let (branches, ends) = (compiled.branches.len(), compiled.ends.len());
        Self {
            open: vec![false; branches],
            shut: vec![false; branches],
            active: vec![false; branches],
            list: Vec::with_capacity(branches),
            still: Vec::with_capacity(branches),
            new: vec![false; branches],
            anchored: vec![false; ends],
            grounded: vec![false; ends],
            alive: vec![false; ends],
            junctions: Vec::with_capacity(ends),
            candidate: vec![false; branches],
            found: false,
            stirred: true,
            held: Vec::with_capacity(branches),
            degree: vec![0; ends],
            root: vec![0; ends],
            known: false,
            ways: 0,
            kept: (0..KEPT).map(|_| Kept::new(compiled)).collect(),
            at: 0,
            next: 0,
        }
    }

    /// Forgets which check valves were shut.
    pub(super) fn forget(&mut self) {
        self.let_go();
        self.known = false;
    }

    /// Lets go of all that was held shut.
    pub(super) fn let_go(&mut self) {
        self.shut.fill(false);
        self.stirred = true;
    }

    /// Ways of branches have changed.
    pub(super) fn change_ways(&mut self) {
        self.ways += 1;
    }

    /// Those that are open and held shut, by number.
    pub(super) fn look_for_held(&mut self) {
        self.held.clear();
        self.held
            .extend((0..self.open.len()).filter(|at| self.open[*at] && self.shut[*at]));
    }

    /// How junctions that take part are eliminated.
    pub(super) fn elimination(&self) -> &Elimination {
        &self.kept[self.at].elimination
    }

    /// How pressure spreads into what stands still, once more where the ways have changed.
    pub(super) fn spread<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) -> &Spread {
        let spread = &mut self.kept[self.at].spread;
        if spread.ways != Some(self.ways) {
            spread.ways = Some(self.ways);
            spread.find(compiled, &self.still, &self.anchored);
        }
        spread
    }

    /// Forgets everything: as if nothing had been solved.
    pub(super) fn start_over(&mut self) {
        self.forget();
        self.active.fill(false);
        self.found = false;
    }

    /// Whether the shut ones are those of an earlier solution.
    pub(super) fn is_known(&self) -> bool {
        self.known
    }

    pub(super) fn know(&mut self) {
        self.known = true;
    }

    /// Finds out what is active. False where that follows from nothing new.
    pub(super) fn find<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) -> bool {
        if self.found && !self.stirred {
            return false;
        }
        self.stirred = false;
        self.look_for_held();
        let mut changed = !self.found;
        for ((candidate, open), shut) in self.candidate.iter_mut().zip(&self.open).zip(&self.shut) {
            let now = *open & !*shut;
            changed |= *candidate != now;
            *candidate = now;
        }
        if !changed {
            return false;
        }
        self.found = true;
        self.new.copy_from_slice(&self.active);
        if !self.find_again() {
            self.find_anew(compiled);
            self.keep(compiled);
        }
        for (new, active) in self.new.iter_mut().zip(&self.active) {
            *new = *active && !*new;
        }
        true
    }

    /// Takes it from what was found before, where that was for the same.
    fn find_again(&mut self) -> bool {
        let same = |kept: &Kept| kept.full && kept.candidate == self.candidate;
        let Some(at) = self.kept.iter().position(same) else {
            return false;
        };
        self.at = at;
        let kept = &self.kept[at];
        self.active.copy_from_slice(&kept.active);
        self.list.clone_from(&kept.list);
        self.still.clone_from(&kept.still);
        self.grounded.copy_from_slice(&kept.grounded);
        self.alive.copy_from_slice(&kept.alive);
        self.junctions.clone_from(&kept.junctions);
        self.anchored.copy_from_slice(&kept.anchored);
        true
    }

    fn keep<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) {
        self.at = self.next;
        let kept = &mut self.kept[self.next];
        self.next = (self.next + 1) % KEPT;
        kept.full = true;
        kept.candidate.copy_from_slice(&self.candidate);
        kept.active.copy_from_slice(&self.active);
        kept.list.clone_from(&self.list);
        kept.still.clone_from(&self.still);
        kept.grounded.copy_from_slice(&self.grounded);
        kept.alive.copy_from_slice(&self.alive);
        kept.junctions.clone_from(&self.junctions);
        kept.anchored.copy_from_slice(&self.anchored);
        kept.spread.ways = None;
        let between = self.list.iter().map(|at| compiled.branches[*at].between);
        compiled
            .pattern
            .lay_out(&self.junctions, between, &mut kept.elimination);
    }

    fn find_anew<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) {
        self.degree.fill(0);
        for (at, branch) in compiled.branches.iter().enumerate() {
            self.active[at] = self.candidate[at];
            if self.active[at] {
                self.degree[branch.from] += 1;
                self.degree[branch.to] += 1;
            }
        }
        self.drop_dead_ends(compiled);
        self.ground_islands(compiled);
        self.list.clear();
        self.list
            .extend((0..self.active.len()).filter(|at| self.active[*at]));
        self.still.clear();
        self.still
            .extend((0..self.active.len()).filter(|at| self.candidate[*at] && !self.active[*at]));
        for end in 0..self.anchored.len() {
            self.anchored[end] = self.is_anchored(end, compiled.junctions);
        }
    }

    /// A junction that one branch leads to passes nothing on, so that the branch carries nothing; and so on.
    fn drop_dead_ends<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) {
        // There and back by turns, since a run of dead ends may lie either way.
        while self.drop(compiled, 0..compiled.branches.len())
            && self.drop(compiled, (0..compiled.branches.len()).rev())
        {}
        for (alive, degree) in self.alive.iter_mut().zip(&self.degree) {
            *alive = *degree > 0;
        }
        self.junctions.clear();
        self.junctions
            .extend((0..compiled.junctions).filter(|end| self.alive[*end]));
    }

    /// Drops the dead ends among some branches, in their order. True where there was one.
    fn drop<F: FrictionLaw>(&mut self, compiled: &Compiled<F>, order: impl Iterator<Item = usize>) -> bool {
        let mut dropped = false;
        for at in order {
            let branch = &compiled.branches[at];
            let dead = |end: usize| end < compiled.junctions && self.degree[end] == 1;
            if self.active[at] && (dead(branch.from) || dead(branch.to)) {
                self.active[at] = false;
                self.degree[branch.from] -= 1;
                self.degree[branch.to] -= 1;
                dropped = true;
            }
        }
        dropped
    }

    /// Takes the head of one junction as 0 in each part that no terminal is in: only differences count there.
    fn ground_islands<F: FrictionLaw>(&mut self, compiled: &Compiled<F>) {
        for (at, root) in self.root.iter_mut().enumerate() {
            *root = at;
        }
        for (branch, active) in compiled.branches.iter().zip(&self.active) {
            if *active {
                let (a, b) = (find(&mut self.root, branch.from), find(&mut self.root, branch.to));
                // Terminals come last and stay roots.
                let (low, high) = (a.min(b), a.max(b));
                self.root[low] = high;
            }
        }
        self.grounded.fill(false);
        for end in 0..compiled.junctions {
            if self.alive[end] && find(&mut self.root, end) == end {
                self.grounded[end] = true;
            }
        }
    }

    /// Whether the pressure of an end counts from a terminal.
    fn is_anchored(&self, end: usize, junctions: usize) -> bool {
        if end >= junctions {
            return true;
        }
        let mut at = end;
        while self.root[at] != at {
            at = self.root[at];
        }
        self.alive[end] && at >= junctions
    }
}

impl Spread {
    /// Follows pressure from the ends that it is known at, as far as it goes.
    fn find<F: FrictionLaw>(&mut self, compiled: &Compiled<F>, still: &[usize], anchored: &[bool]) {
        self.steps.clear();
        self.known.copy_from_slice(anchored);
        let mut again = self.known.contains(&false);
        while again {
            again = false;
            for at in still.iter().copied() {
                let branch = &compiled.branches[at];
                let (from, to) = (branch.from, branch.to);
                // A one-way branch passes pressure on its own way only.
                if self.known[from] && !self.known[to] && branch.law.may(1.0) {
                    self.known[to] = true;
                    self.steps.push((at, true));
                    again = true;
                } else if self.known[to] && !self.known[from] && branch.law.may(-1.0) {
                    self.known[from] = true;
                    self.steps.push((at, false));
                    again = true;
                }
            }
        }
    }
}

fn find(root: &mut [usize], mut at: usize) -> usize {
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}
