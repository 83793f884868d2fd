//! Which branches can carry water: not the closed ones, not dead ends, not those that a check valve holds shut.

use super::super::friction::FrictionLaw;
use super::compile::Compiled;

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
    degree: Vec<usize>,
    root: Vec<usize>,
    known: bool,
    /// What was found before, and which of them makes room next.
    kept: Vec<Kept>,
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
}

impl Kept {
    fn new(branches: usize, ends: usize) -> Self {
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
        }
    }
}

impl Activity {
    pub(super) fn new(branches: usize, ends: usize) -> Self {
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
            degree: vec![0; ends],
            root: vec![0; ends],
            known: false,
            kept: (0..KEPT).map(|_| Kept::new(branches, ends)).collect(),
            next: 0,
        }
    }

    /// Forgets which check valves were shut.
    pub(super) fn forget(&mut self) {
        self.shut.fill(false);
        self.known = false;
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
            self.keep();
        }
        for (new, active) in self.new.iter_mut().zip(&self.active) {
            *new = *active && !*new;
        }
        true
    }

    /// Takes it from what was found before, where that was for the same.
    fn find_again(&mut self) -> bool {
        let same = |kept: &&Kept| kept.full && kept.candidate == self.candidate;
        let Some(kept) = self.kept.iter().find(same) else {
            return false;
        };
        self.active.copy_from_slice(&kept.active);
        self.list.clone_from(&kept.list);
        self.still.clone_from(&kept.still);
        self.grounded.copy_from_slice(&kept.grounded);
        self.alive.copy_from_slice(&kept.alive);
        self.junctions.clone_from(&kept.junctions);
        self.anchored.copy_from_slice(&kept.anchored);
        true
    }

    fn keep(&mut self) {
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

fn find(root: &mut [usize], mut at: usize) -> usize {
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}
