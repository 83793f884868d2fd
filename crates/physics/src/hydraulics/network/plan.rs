//! What of a network takes part, by what is open and not held shut: branches that can carry water, the junctions in which
//! they meet, and the order in which those are eliminated. Nothing of it hangs on flows or pressures.

use super::compile::Compiled;
use super::ordering::Elimination;
use super::runs::{Meeting, Runs};
use super::set::{Set, numbers};
use super::solver::Arc;

/// What takes part.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Whether it has been found at all.
    found: bool,
    /// Open and not held shut: what it was found for.
    pub(super) candidate: Set,
    /// Carries water, or may.
    pub(super) active: Set,
    /// The active ones by number.
    pub(super) list: Vec<usize>,
    /// All others: they carry none.
    pub(super) idle: Set,
    /// Open, not shut, and yet not active, by number: water stands in them.
    still: Vec<usize>,
    /// Junctions in which active branches meet, by number.
    pub(super) junctions: Vec<usize>,
    /// Those whose head is taken as 0: their part of the network has no terminal.
    pub(super) grounded: Vec<usize>,
    /// Those in which only rings meet that begin and end there.
    pub(super) lonely: Vec<usize>,
    /// Ends whose pressure counts from a terminal.
    anchored: Vec<bool>,
    pub(super) runs: Runs,
    /// Whether the runs are a tree, or several.
    pub(super) is_tree: bool,
    /// How junctions are eliminated where they aren't.
    pub(super) elimination: Elimination,
    pub(super) spread: Spread,
}

/// How pressure goes on into what stands still: by end the branch that passes it on to there, and whether forward.
/// That hangs on the ways of the branches, not on their flows.
#[derive(Debug, Clone)]
pub(super) struct Spread {
    /// The count of changed ways that it belongs to.
    ways: Option<u64>,
    pub(super) reached: Vec<Option<(usize, bool)>>,
    /// By end, whether it comes there or is told there.
    pub(super) known: Vec<bool>,
}

/// Room to find a plan in.
#[derive(Debug, Clone)]
pub(super) struct Room {
    /// By end: which active branches meet there.
    meeting: Vec<Meeting>,
    /// By end: one that it is joined to, nearer to the one that stands for all.
    root: Vec<usize>,
}

impl Room {
    pub(super) fn new(compiled: &Compiled) -> Self {
        Self {
            meeting: vec![Meeting::default(); compiled.ends.len()],
            root: vec![0; compiled.ends.len()],
        }
    }
}

/// What stands for all that an end is joined to: its terminal where it has one.
fn root_of(root: &mut [usize], mut at: usize) -> usize {
    while root[at] != at {
        root[at] = root[root[at]];
        at = root[at];
    }
    at
}

impl Plan {
    pub(super) fn new(compiled: &Compiled) -> Self {
        let (branches, ends) = (compiled.branches.len(), compiled.ends.len());
        let junctions = compiled.junctions;
        Self {
            found: false,
            candidate: Set::none_of(branches),
            active: Set::none_of(branches),
            idle: Set::none_of(branches),
            list: Vec::with_capacity(branches),
            still: Vec::with_capacity(branches),
            junctions: Vec::with_capacity(junctions),
            grounded: Vec::with_capacity(junctions),
            lonely: Vec::with_capacity(junctions),
            anchored: vec![false; ends],
            runs: Runs::with_room(compiled),
            is_tree: false,
            elimination: compiled.pattern.room(),
            spread: Spread {
                ways: None,
                reached: vec![None; ends],
                known: vec![false; ends],
            },
        }
    }

    /// Whether it is the plan for some candidates.
    pub(super) fn is_for(&self, candidate: &Set) -> bool {
        self.found && self.candidate == *candidate
    }

    /// Finds it for some candidates.
    pub(super) fn find(&mut self, compiled: &Compiled, candidate: &Set, room: &mut Room) {
        self.found = true;
        self.candidate.copy_from(candidate);
        self.spread.ways = None;
        self.drop_dead_ends(compiled, &mut room.meeting);
        self.idle.be_difference(&compiled.all, &self.active);
        self.list.clear();
        self.list.extend(self.active.iter());
        self.still.clear();
        for word in 0..self.candidate.words() {
            let still = self.candidate.word(word) & !self.active.word(word);
            self.still.extend(numbers(word, still));
        }
        self.find_junctions(&room.meeting[..compiled.junctions]);
        self.grounded.clear();
        self.lonely.clear();
        self.is_tree = self.runs.find_tree(compiled, &self.list, &room.meeting);
        if self.is_tree {
            // Its leaves are terminals: others were dead ends.
            return;
        }
        self.runs.each_alone(compiled, &self.list);
        if !self.anchor(compiled) {
            self.ground_islands(compiled, &mut room.root);
        }
        let between = self.list.iter().map(|at| compiled.branches[*at].between);
        let pattern = &compiled.pattern;
        pattern.lay_out(&self.junctions, between, &mut self.elimination);
    }

    /// A junction that one branch leads to passes nothing on, so that the branch carries nothing; and so on.
    fn drop_dead_ends(&mut self, compiled: &Compiled, meeting: &mut [Meeting]) {
        meeting.fill(Meeting::default());
        self.candidate.iter().for_each(|at| {
            let branch = &compiled.branches[at];
            meeting[branch.from].put(at);
            meeting[branch.to].put(at);
        });
        self.active.copy_from(&self.candidate);
        for first in 0..compiled.junctions {
            let mut end = first;
            while end < compiled.junctions
                && let Some(at) = meeting[end].only()
            {
                let branch = &compiled.branches[at];
                self.active.take_out(at);
                meeting[branch.from].take_out(at);
                meeting[branch.to].take_out(at);
                // The last branch at the other end may lead nowhere now.
                end = if branch.from == end {
                    branch.to
                } else {
                    branch.from
                };
            }
        }
    }

    /// Finds the junctions in which active branches meet. They are anchored, unless something else is found.
    fn find_junctions(&mut self, meeting: &[Meeting]) {
        self.junctions.clear();
        self.anchored.fill(true);
        for (end, (anchored, meeting)) in self.anchored.iter_mut().zip(meeting).enumerate() {
            *anchored = meeting.any();
            if *anchored {
                self.junctions.push(end);
            }
        }
    }

    /// Finds the ends that active branches join to a terminal; whether they are all.
    fn anchor(&mut self, compiled: &Compiled) -> bool {
        self.anchored[..compiled.junctions].fill(false);
        let (anchored, mut left) = (&mut self.anchored, self.junctions.len());
        let mut join = |at: &usize| {
            let branch = &compiled.branches[*at];
            if anchored[branch.from] != anchored[branch.to] {
                (anchored[branch.from], anchored[branch.to]) = (true, true);
                left -= 1;
            }
            left
        };
        // There and back by turns, since a run may lie either way.
        let mut before = usize::MAX;
        loop {
            let there = self.list.iter().fold(before, |_, at| join(at));
            if there == 0 || there == before {
                return there == 0;
            }
            before = self.list.iter().rev().fold(there, |_, at| join(at));
            if before == 0 || before == there {
                return before == 0;
            }
        }
    }

    /// Takes the head of one junction as 0 in each part that no terminal is in: only differences count there.
    fn ground_islands(&mut self, compiled: &Compiled, root: &mut [usize]) {
        for (at, root) in root.iter_mut().enumerate() {
            *root = at;
        }
        for at in &self.list {
            let branch = &compiled.branches[*at];
            let (a, b) = (root_of(root, branch.from), root_of(root, branch.to));
            // Terminals come last and stay roots.
            root[a.min(b)] = a.max(b);
        }
        for end in self.junctions.iter().copied() {
            if root[end] == end {
                self.grounded.push(end);
                let mut around = compiled.around[end].iter().filter(|at| self.active.has(**at));
                let is_ring = |at: &usize| compiled.branches[*at].from == compiled.branches[*at].to;
                if around.all(is_ring) {
                    self.lonely.push(end);
                }
            }
        }
    }

    /// Brings up to date how pressure spreads into what stands still, by the present ways of the branches.
    pub(super) fn spread_by(&mut self, ways: u64, compiled: &Compiled, arcs: &[Arc]) {
        if self.spread.ways != Some(ways) {
            self.spread.ways = Some(ways);
            self.spread.find(compiled, &self.still, &self.anchored, arcs);
        }
    }
}

impl Spread {
    /// Follows pressure from the ends that it is known at, as far as it goes.
    fn find(&mut self, compiled: &Compiled, still: &[usize], anchored: &[bool], arcs: &[Arc]) {
        self.reached.fill(None);
        self.known.copy_from_slice(anchored);
        let mut again = self.known.contains(&false);
        while again {
            again = false;
            for at in still.iter().copied() {
                let (branch, law) = (&compiled.branches[at], &arcs[at].law);
                let (from, to) = (branch.from, branch.to);
                // A one-way branch passes pressure on its own way only.
                if self.known[from] && !self.known[to] && law.may(1.0) {
                    self.known[to] = true;
                    self.reached[to] = Some((at, true));
                    again = true;
                } else if self.known[to] && !self.known[from] && law.may(-1.0) {
                    self.known[from] = true;
                    self.reached[from] = Some((at, false));
                    again = true;
                }
            }
        }
    }
}
