//! Pressures: at the ends of branches that carry nothing, and inside branches.

use super::super::GRAVITY_M_S2;
use super::super::friction::FrictionLaw;
use super::branch::{NOMINAL_DENSITY_KG_M3, pump_lift};
use super::element::Element;
use super::solver::Solver;
use super::{LinkId, NodeId};

impl<F: FrictionLaw> Solver<F> {
    /// Carries heads from the junctions that take part to dead ends: water that stands still passes its pressure on.
    pub(super) fn spread_heads(&mut self) {
        let junctions = self.compiled.junctions;
        let mut all = true;
        for end in 0..self.head_known.len() {
            let known = self.activity.is_anchored(end, junctions);
            self.head_known[end] = known;
            all &= known;
        }
        if all {
            return;
        }
        let mut again = true;
        while again {
            again = false;
            for (at, branch) in self.compiled.branches.iter().enumerate() {
                if self.activity.active[at] || !self.activity.open[at] || self.activity.shut[at] {
                    continue;
                }
                let (from, to) = (branch.from, branch.to);
                let lost = branch.law.cost(0.0).head_m;
                // A one-way branch passes pressure on its own way only.
                if self.head_known[from] && !self.head_known[to] && branch.law.may(1.0) {
                    self.head[to] = self.head[from] + self.static_m[at] - lost;
                    self.head_known[to] = true;
                    again = true;
                } else if self.head_known[to] && !self.head_known[from] && branch.law.may(-1.0) {
                    self.head[from] = self.head[to] - self.static_m[at] + lost;
                    self.head_known[from] = true;
                    again = true;
                }
            }
        }
    }

    /// Loss of head along a link from its first node to its second at the present flow, in metres of the water in it;
    /// below 0 where a pump lifts. Without velocity head.
    ///
    /// Only what the link itself takes: of a closed valve or a shut check valve, nothing.
    pub fn head_loss_m(&self, link: LinkId) -> f64 {
        self.compiled
            .links
            .get(link.0)
            .map_or(0.0, |_| self.link_loss_m(link.0, self.flow_m3_s(link)))
    }

    fn link_loss_m(&self, link: usize, flow_m3_s: f64) -> f64 {
        let water = self.water[link];
        let mut law = super::branch::Law::<F>::with_room(1, 0);
        law.clear(water);
        match &self.compiled.links[link].element {
            Element::Line(line) => {
                law.add_tube(line.bore_m, line.length_m, line.roughness_m, water);
                law.add_loss(line.bore_m, line.loss, water);
            }
            Element::Valve(passage) => {
                law.add_loss(passage.bore_m, self.loss[link].unwrap_or(passage.loss), water);
            }
            Element::Passage(passage) => law.add_loss(passage.bore_m, passage.loss, water),
            Element::Check {
                passage,
                cracking_head_m,
            } => {
                law.add_loss(passage.bore_m, passage.loss, water);
                if flow_m3_s > 0.0 {
                    law.add_check(*cracking_head_m, false);
                }
            }
            Element::Pump(pump) => {
                let (lift, _) = pump_lift(&pump.curve, pump.standing_loss_s2_m5, self.speed[link], flow_m3_s);
                return -lift;
            }
        }
        law.cost(flow_m3_s).head_m / law.weight()
    }

    /// Gauge pressure at a node, Pa, without velocity head. `None` where nothing tells: behind closed valves, and in
    /// a part that no vessel is joined to.
    pub fn gauge_pressure_pa(&self, node: NodeId) -> Option<f64> {
        let per_head = NOMINAL_DENSITY_KG_M3 * GRAVITY_M_S2;
        match self.compiled.end_of_node.get(node.0)? {
            Some(end) => self.head_known[*end].then(|| self.head[*end] * per_head),
            None => self.inside(node.0).map(|head| head * per_head),
        }
    }

    /// Head of pressure at a node inside a branch, walked to from whichever end it is joined to.
    fn inside(&self, node: usize) -> Option<f64> {
        let (at, place) = self.compiled.branches.iter().enumerate().find_map(|(at, branch)| {
            branch
                .steps
                .iter()
                .position(|step| self.far_node(step.link, step.reversed) == node)
                .map(|place| (at, place))
        })?;
        let branch = &self.compiled.branches[at];
        // An outlet in the air says nothing of a line that it doesn't run from.
        let tells = |end: usize| {
            let node = self.compiled.ends[end];
            self.head_known[end]
                && (self.flow[at] != 0.0 || !self.compiled.nodes[node].terminal || self.given[node].supplies)
        };
        let ahead = tells(branch.from)
            .then(|| self.walk(self.head[branch.from], at, 0..=place, true))
            .flatten();
        ahead.or_else(|| {
            tells(branch.to)
                .then(|| self.walk(self.head[branch.to], at, place + 1..=branch.steps.len() - 1, false))
                .flatten()
        })
    }

    /// Follows the pressure over some steps of a branch, `ahead` or back; `None` where one of them is closed.
    fn walk(
        &self,
        mut head: f64,
        at: usize,
        range: core::ops::RangeInclusive<usize>,
        ahead: bool,
    ) -> Option<f64> {
        let steps = &self.compiled.branches[at].steps[range];
        let flow = self.flow[at];
        let mut one = |step: &super::compile::Step| -> Option<()> {
            if self.closed[step.link] {
                return None;
            }
            // A check valve without flow passes pressure its own way only.
            if let Element::Check { .. } = self.compiled.links[step.link].element
                && flow == 0.0
                && ahead == step.reversed
            {
                return None;
            }
            let along = if step.reversed { -flow } else { flow };
            let own = self.link_loss_m(step.link, along);
            let link = &self.compiled.links[step.link];
            let rise = self.compiled.nodes[link.from].elevation_m - self.compiled.nodes[link.to].elevation_m;
            let weight = self.water[step.link].density_kg_m3() / NOMINAL_DENSITY_KG_M3;
            let along_link = weight * (rise - own);
            head += if step.reversed == ahead { -along_link } else { along_link };
            Some(())
        };
        if ahead {
            steps.iter().try_for_each(&mut one)?;
        } else {
            steps.iter().rev().try_for_each(&mut one)?;
        }
        Some(head)
    }

    fn far_node(&self, link: usize, reversed: bool) -> usize {
        let link = &self.compiled.links[link];
        if reversed { link.from } else { link.to }
    }
}
