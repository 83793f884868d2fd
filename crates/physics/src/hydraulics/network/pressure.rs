//! Pressures: at the ends of branches that carry nothing, and inside branches.

use super::super::GRAVITY_M_S2;
use super::super::friction::FrictionLaw;
use super::branch::{NOMINAL_DENSITY_KG_M3, line_loss_m, passage_loss_m, pump_lift};
use super::element::{Element, Passage};
use super::solver::Solver;
use super::{LinkId, NodeId};

impl<F: FrictionLaw> Solver<F> {
    /// Carries heads from the junctions that take part to dead ends: water that stands still passes its pressure on.
    pub(super) fn spread_heads(&mut self) {
        let ways = self.activity.ways;
        self.activity
            .plan_mut()
            .spread_by(ways, &self.compiled, &self.arcs);
        for (at, forward) in self.activity.plan().spread.steps.iter().copied() {
            let arc = &self.arcs[at];
            let gain_m = arc.static_m - arc.law.standing_m();
            if forward {
                self.head[arc.to] = self.head[arc.from] + gain_m;
            } else {
                self.head[arc.from] = self.head[arc.to] - gain_m;
            }
        }
    }

    /// Whether the pressure at an end is known.
    pub(super) fn head_known(&self, end: usize) -> bool {
        self.activity.plan().spread.known[end]
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
        let water = self.water[self.compiled.place_of_link[link].branch];
        let passage = |passage: &Passage, loss| passage_loss_m(passage.bore_m, loss, water, flow_m3_s);
        match &self.compiled.links[link].element {
            Element::Line(line) => line_loss_m::<F>(line, water, flow_m3_s),
            Element::Valve(valve) => passage(valve, self.loss[link].unwrap_or(valve.loss)),
            Element::Passage(own) => passage(own, own.loss),
            Element::Check {
                passage: own,
                cracking_head_m,
            } => passage(own, own.loss) + if flow_m3_s > 0.0 { *cracking_head_m } else { 0.0 },
            Element::Pump(pump) => {
                -pump_lift(&pump.curve, pump.standing_loss_s2_m5, self.speed[link], flow_m3_s).0
            }
        }
    }

    /// Gauge pressure at a node, Pa, without velocity head. `None` where nothing tells: behind closed valves, and in
    /// a part that no vessel is joined to.
    pub fn gauge_pressure_pa(&self, node: NodeId) -> Option<f64> {
        let per_head = NOMINAL_DENSITY_KG_M3 * GRAVITY_M_S2;
        match self.compiled.end_of_node.get(node.0)? {
            Some(end) => self.head_known(*end).then(|| self.head[*end] * per_head),
            None => self.inside(node.0).map(|head| head * per_head),
        }
    }

    /// Head of pressure at a node inside a branch, walked to from whichever end it is joined to.
    fn inside(&self, node: usize) -> Option<f64> {
        let (at, place) = self
            .compiled
            .branches
            .iter()
            .enumerate()
            .find_map(|(at, branch)| {
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
            self.head_known(end)
                && (self.arcs[at].flow != 0.0
                    || !self.compiled.nodes[node].terminal
                    || self.given[node].supplies)
        };
        // What check valves enclose from both sides keeps what pressure it happens to have.
        let enclosed = self.head_known(branch.from) && self.head_known(branch.to);
        [false, true]
            .into_iter()
            .take(if enclosed { 1 } else { 2 })
            .find_map(|through| {
                tells(branch.from)
                    .then(|| self.walk(branch.from, at, 0..=place, Way { ahead: true, through }))
                    .flatten()
                    .or_else(|| {
                        let rest = place + 1..=branch.steps.len() - 1;
                        tells(branch.to)
                            .then(|| {
                                self.walk(
                                    branch.to,
                                    at,
                                    rest,
                                    Way {
                                        ahead: false,
                                        through,
                                    },
                                )
                            })
                            .flatten()
                    })
            })
    }

    /// Follows the pressure over some steps of a branch from one of its ends; `None` where one of them is closed.
    fn walk(&self, end: usize, at: usize, range: core::ops::RangeInclusive<usize>, way: Way) -> Option<f64> {
        let mut head = self.head[end];
        let steps = &self.compiled.branches[at].steps[range];
        let flow = self.arcs[at].flow;
        let mut one = |step: &super::compile::Step| -> Option<()> {
            if self.closed[step.link] {
                return None;
            }
            let along = if step.reversed { -flow } else { flow };
            let own = match self.compiled.links[step.link].element {
                // A check valve without flow passes pressure its own way at most, less what opens it.
                Element::Check { .. } if flow == 0.0 && (way.ahead == step.reversed || !way.through) => {
                    return None;
                }
                Element::Check { cracking_head_m, .. } if flow == 0.0 => cracking_head_m,
                _ => self.link_loss_m(step.link, along),
            };
            let link = &self.compiled.links[step.link];
            let rise = self.compiled.nodes[link.from].elevation_m - self.compiled.nodes[link.to].elevation_m;
            let weight = self.arcs[at].law.weight();
            let along_link = weight * (rise - own);
            head += if step.reversed == way.ahead {
                -along_link
            } else {
                along_link
            };
            Some(())
        };
        if way.ahead {
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

/// How a branch is walked.
#[derive(Debug, Clone, Copy)]
struct Way {
    /// From its start.
    ahead: bool,
    /// Through check valves without flow, too.
    through: bool,
}
