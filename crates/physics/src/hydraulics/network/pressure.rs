//! Pressures: at the ends of branches that carry nothing, and inside branches.

use super::super::GRAVITY_M_S2;
use super::super::friction::FrictionLaw;
use super::branch::{NOMINAL_DENSITY_KG_M3, line_loss_m, passage_loss_m, pump_lift};
use super::element::{Element, Passage};
use super::runs::Run;
use super::solver::{Arc, Solver};
use super::{LinkId, NodeId};

impl<F: FrictionLaw> Solver<F> {
    /// Brings up to date which ends the pressure of what takes part comes to.
    pub(super) fn spread(&mut self) {
        let ways = self.activity.ways;
        let plan = self.activity.plan_mut();
        plan.spread_by(ways, &self.compiled, &self.arcs);
    }

    /// Head of pressure at an end, nominal m: of a junction that takes part, or from there within a run and through water
    /// that stands still, which passes its pressure on.
    pub(super) fn head_m(&self, end: usize) -> f64 {
        let plan = self.activity.plan();
        let (mut at, mut gained_m) = (end, 0.0);
        while let Some((branch, forward)) = plan.spread.reached[at] {
            let arc = &self.arcs[branch];
            let gain_m = arc.static_m - arc.law.standing_m();
            (at, gained_m) = if forward {
                (arc.from, gained_m + gain_m)
            } else {
                (arc.to, gained_m - gain_m)
            };
        }
        let own_m = plan
            .runs
            .within(at)
            .map_or_else(|| self.points[at].head_m, |run| self.head_within_m(run, at));
        own_m + gained_m
    }

    /// Head at a junction that two branches of a run meet in.
    fn head_within_m(&self, run: &Run, junction: usize) -> f64 {
        let (mut at, mut head_m) = (run.from, self.points[run.from].head_m);
        for member in self.activity.plan().runs.members(run) {
            if at == junction {
                break;
            }
            let arc = &self.arcs[member.branch];
            let cost = arc
                .law
                .cost(arc.flow, |table, reynolds| self.tables.look_up(table, reynolds));
            head_m += member.along(arc.static_m - cost.head_m);
            at = if member.against { arc.from } else { arc.to };
        }
        head_m
    }

    /// What drives water along a branch, nominal m.
    pub(super) fn drive_m(&self, arc: &Arc) -> f64 {
        self.head_m(arc.from) - self.head_m(arc.to) + arc.static_m
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
            Some(end) => self.head_known(*end).then(|| self.head_m(*end) * per_head),
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
        let mut head = self.head_m(end);
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
