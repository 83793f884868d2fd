//! Brings branches up to date with valves, speeds, ends and water.

use super::super::friction::FrictionLaw;
use super::element::Element;
use super::set::numbers;
use super::solver::Solver;

impl<F: FrictionLaw> Solver<F> {
    /// Brings the branches up to date. True where one opened, closed or changed its ways.
    pub(super) fn refresh(&mut self) -> bool {
        let mut changed = false;
        for word in 0..self.stale.ways.words() {
            let losses = self.stale.losses.word(word);
            for at in numbers(word, losses) {
                self.set_losses(at);
            }
            for at in numbers(word, losses | self.stale.water.word(word)) {
                self.fill(at);
            }
            // Check valves stand among the losses.
            for at in numbers(word, losses | self.stale.ways.word(word)) {
                changed |= self.set_ways(at);
            }
        }
        self.stale.ways.clear();
        self.stale.losses.clear();
        self.stale.water.clear();
        changed
    }

    /// Fills a branch with its water.
    fn fill(&mut self, at: usize) {
        let branch = &self.compiled.branches[at];
        let height = |end: usize| self.compiled.nodes[self.compiled.ends[end]].elevation_m;
        let gain_m = height(branch.from) - height(branch.to);
        let arc = &mut self.arcs[at];
        arc.law.hold(self.water[at]);
        arc.static_m = arc.law.weight() * gain_m;
        self.laid_out = false;
    }

    /// Finds which ways water may pass a branch, and whether it is open; whether that changed.
    fn set_ways(&mut self, at: usize) -> bool {
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
            self.laid_out = false;
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
