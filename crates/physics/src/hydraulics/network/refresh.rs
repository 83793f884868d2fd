//! Brings branches up to date with valves, speeds, ends and water.

use super::super::friction::FrictionLaw;
use super::element::Element;
use super::solver::Solver;

impl<F: FrictionLaw> Solver<F> {
    /// Brings the branches up to date. True where one opened, closed or changed its ways.
    pub(super) fn refresh(&mut self) -> bool {
        let mut changed = false;
        for word in 0..self.stale.any.words() {
            for at in super::set::numbers(word, self.stale.any.word(word)) {
                changed |= self.refresh_branch(at);
            }
        }
        self.stale.any.clear();
        self.stale.losses.clear();
        self.stale.water.clear();
        changed
    }

    fn refresh_branch(&mut self, at: usize) -> bool {
        let losses = self.stale.losses.has(at);
        if losses {
            self.set_losses(at);
        }
        if losses || self.stale.water.has(at) {
            self.priced = false;
            let branch = &self.compiled.branches[at];
            let height = |end: usize| self.compiled.nodes[self.compiled.ends[end]].elevation_m;
            let gain_m = height(branch.from) - height(branch.to);
            let arc = &mut self.arcs[at];
            arc.law.hold(self.water[at]);
            arc.static_m = arc.law.weight() * gain_m;
        }
        let branch = &self.compiled.branches[at];
        let gives = |end: usize| {
            let node = self.compiled.ends[end];
            !self.compiled.nodes[node].terminal || self.given[node].supplies
        };
        let (start_gives, end_gives) = (gives(branch.from), gives(branch.to));
        let law = &mut self.arcs[at].law;
        let turned = law.set_ways(start_gives, end_gives);
        if turned {
            self.activity.ways += 1;
            self.priced = false;
        }
        let open = law.passes() && !branch.steps.iter().any(|step| self.closed[step.link]);
        let opened = self.activity.open.set(at, open);
        self.activity.stirred |= opened;
        turned || opened
    }

    /// Puts together what a branch loses, whatever water it holds.
    fn set_losses(&mut self, at: usize) {
        let law = &mut self.arcs[at].law;
        law.clear();
        let mut pumps = 0;
        for step in &self.compiled.branches[at].steps {
            match &self.compiled.links[step.link].element {
                Element::Line(line) => {
                    law.add_tube(line, &mut self.tables);
                    law.add_loss(line.bore_m, line.loss);
                }
                Element::Valve(passage) => {
                    law.add_loss(passage.bore_m, self.loss[step.link].unwrap_or(passage.loss));
                }
                Element::Passage(passage) => law.add_loss(passage.bore_m, passage.loss),
                Element::Check {
                    passage,
                    cracking_head_m,
                } => {
                    law.add_loss(passage.bore_m, passage.loss);
                    law.add_check(*cracking_head_m, step.reversed);
                }
                Element::Pump(_) => {
                    law.set_speed(pumps, self.speed[step.link]);
                    pumps += 1;
                }
            }
        }
    }
}
