//! The solver: one network compiled, and the state that it is asked about.

use super::super::GRAVITY_M_S2;
use super::super::error::HydraulicsError;
use super::super::friction::{Churchill, FrictionLaw};
use super::super::parts::LossCoefficient;
use super::super::pump_curve::SPEED;
use super::super::water::LineWater;
use super::activity::Activity;
use super::branch::{Cost, NOMINAL_DENSITY_KG_M3, Tables};
use super::compile::Compiled;
use super::element::{Element, check_loss};
use super::{LinkId, Network, NodeId};
use crate::Range;

/// Vacuum to the pressure that household plumbing bursts at, with room.
const PRESSURE: Range = Range {
    quantity: "gauge pressure",
    unit: "Pa",
    min: -101_325.0,
    max: 1e8,
    source_key: "HOUSE-RULE",
};
/// A flow that no small line carries, for starts.
const START: Range = Range {
    quantity: "flow to start from",
    unit: "m³/s",
    min: -10.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// What a solution took, and how good it is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Effort {
    /// Newton steps.
    pub iterations: u32,
    /// Largest sum of flows at a junction, which should be 0, m³/s.
    pub residual_m3_s: f64,
}

/// What is set of a terminal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Given {
    /// Its pressure, nominal m.
    pub(super) head_m: f64,
    pub(super) supplies: bool,
}

/// What a step needs of a branch, side by side: a step goes over nothing else.
#[derive(Debug, Clone, Copy)]
pub(super) struct Work {
    pub(super) at: usize,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) between: usize,
    /// Whether water may pass either way.
    pub(super) both_ways: bool,
    pub(super) static_m: f64,
    pub(super) flow: f64,
    pub(super) step: f64,
    pub(super) cost: Cost,
    /// Flow by head, m²/s.
    pub(super) give: f64,
}

/// A compiled network with a state of its valves, pumps, levels and waters, and the flows of the last solution.
///
/// A new one has every valve open, every pump standing, every terminal in the open air, and water of 1000 kg/m³
/// and 10⁻⁶ m²/s in every line.
#[derive(Debug, Clone)]
pub struct Solver<F = Churchill> {
    pub(super) compiled: Compiled<F>,
    pub(super) tables: Tables<F>,
    pub(super) closed: Vec<bool>,
    /// A valve's loss, where its position gives another than fully open.
    pub(super) loss: Vec<Option<LossCoefficient>>,
    pub(super) speed: Vec<f64>,
    pub(super) water: Vec<LineWater>,
    pub(super) given: Vec<Given>,
    /// Branches whose law is out of date.
    pub(super) stale: Vec<bool>,
    pub(super) activity: Activity,
    /// Flow of each branch, m³/s.
    pub(super) flow: Vec<f64>,
    pub(super) step: Vec<f64>,
    pub(super) cost: Vec<Cost>,
    /// The branches that take part, while steps are taken.
    pub(super) work: Vec<Work>,
    /// What a branch gains by the height of its ends, nominal m.
    pub(super) static_m: Vec<f64>,
    /// Head of pressure at each end, nominal m; at a terminal what is given.
    pub(super) head: Vec<f64>,
    pub(super) change: Vec<f64>,
    pub(super) head_known: Vec<bool>,
    /// Sum of flows at each end, for the residual.
    pub(super) sum: Vec<f64>,
    pub(super) matrix: Vec<f64>,
    /// Whether the flows balance at every junction.
    pub(super) balanced: bool,
    /// Whether the costs are those of the flows.
    pub(super) priced: bool,
}

impl<F: FrictionLaw> Solver<F> {
    /// Compiles a network.
    pub fn new(network: &Network) -> Self {
        let compiled = Compiled::<F>::new(network);
        let (nodes, links) = (network.nodes.len(), network.links.len());
        let (branches, ends) = (compiled.branches.len(), compiled.ends.len());
        let nominal = LineWater::nominal();
        let mut solver = Self {
            tables: Tables::new(),
            closed: vec![false; links],
            loss: vec![None; links],
            speed: vec![0.0; links],
            water: vec![nominal; links],
            given: vec![
                Given {
                    head_m: 0.0,
                    supplies: true
                };
                nodes
            ],
            stale: vec![true; branches],
            activity: Activity::new(&compiled),
            flow: vec![0.0; branches],
            step: vec![0.0; branches],
            cost: vec![Cost::default(); branches],
            work: Vec::with_capacity(branches),
            static_m: vec![0.0; branches],
            head: vec![0.0; ends],
            change: vec![0.0; ends],
            head_known: vec![false; ends],
            sum: vec![0.0; ends],
            matrix: vec![0.0; compiled.pattern.len()],
            balanced: false,
            priced: false,
            compiled,
        };
        // All memory is taken now: the tables, and the parts of every branch.
        solver.refresh();
        solver.stale.fill(true);
        solver.forget();
        solver
    }

    /// Sets a terminal: its gauge pressure, and whether it can give water. An outlet in the open air can't, nor a
    /// vessel through an opening above its water.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the node is no terminal or the pressure is out of range.
    pub fn set_terminal(
        &mut self,
        node: NodeId,
        gauge_pressure_pa: f64,
        supplies: bool,
    ) -> Result<(), HydraulicsError> {
        let terminal = self.compiled.nodes.get(node.0).is_some_and(|node| node.terminal);
        if !terminal {
            return Err(HydraulicsError::NotThat {
                node: node.0,
                wanted: "terminal",
            });
        }
        let given = Given {
            head_m: PRESSURE.require(gauge_pressure_pa)? / (NOMINAL_DENSITY_KG_M3 * GRAVITY_M_S2),
            supplies,
        };
        if self.given[node.0].supplies != supplies {
            let end = self.compiled.end_of_node[node.0];
            for (branch, stale) in self.compiled.branches.iter().zip(&mut self.stale) {
                *stale |= Some(branch.from) == end || Some(branch.to) == end;
            }
        }
        self.given[node.0] = given;
        if let Some(end) = self.compiled.end_of_node[node.0] {
            self.head[end] = given.head_m;
        }
        Ok(())
    }

    /// Opens or closes a valve.
    ///
    /// # Errors
    /// [`HydraulicsError::NotThat`] where the link is no valve.
    pub fn set_open(&mut self, link: LinkId, open: bool) -> Result<(), HydraulicsError> {
        self.valve(link)?;
        if self.closed[link.0] == open {
            self.closed[link.0] = !open;
            self.stale[self.compiled.place_of_link[link.0].branch] = true;
        }
        Ok(())
    }

    /// Sets what an open valve costs in its position, on the bore it was built with.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the link is no valve or the loss is out of range.
    pub fn set_loss(&mut self, link: LinkId, loss: LossCoefficient) -> Result<(), HydraulicsError> {
        self.valve(link)?;
        check_loss(&loss)?;
        self.loss[link.0] = Some(loss);
        self.stale[self.compiled.place_of_link[link.0].branch] = true;
        Ok(())
    }

    /// Sets the speed of a pump as a share of the speed of its curve, `0..=2`; 0 is standing still.
    ///
    /// # Errors
    /// [`HydraulicsError`] where the link is no pump or the speed is out of range.
    pub fn set_speed(&mut self, link: LinkId, speed: f64) -> Result<(), HydraulicsError> {
        match self.compiled.links.get(link.0).map(|link| &link.element) {
            Some(Element::Pump(_)) => {}
            _ => {
                return Err(HydraulicsError::NotThat {
                    node: link.0,
                    wanted: "pump",
                });
            }
        }
        let speed = SPEED.require(speed)?;
        if self.speed[link.0] != speed {
            self.speed[link.0] = speed;
            self.stale[self.compiled.place_of_link[link.0].branch] = true;
        }
        Ok(())
    }

    /// Sets the water in one link.
    ///
    /// Links in series carry one water, up to the next joint; the one that is set last of them counts for all.
    ///
    /// # Errors
    /// [`HydraulicsError::NotThat`] where there is no such link.
    pub fn set_water(&mut self, link: LinkId, water: LineWater) -> Result<(), HydraulicsError> {
        if link.0 >= self.water.len() {
            return Err(HydraulicsError::NotThat {
                node: link.0,
                wanted: "link",
            });
        }
        // All links of a branch have the same.
        if self.water[link.0] != water {
            let branch = self.compiled.place_of_link[link.0].branch;
            for step in &self.compiled.branches[branch].steps {
                self.water[step.link] = water;
            }
            self.stale[branch] = true;
        }
        Ok(())
    }

    /// Sets one water in every link.
    pub fn set_water_everywhere(&mut self, water: LineWater) {
        self.water.fill(water);
        self.stale.fill(true);
    }

    /// Forgets the last solution: the next one starts cold, from 0.3 m/s in every line, and doesn't hang on what was solved
    /// before, not by a rounding either.
    pub fn forget(&mut self) {
        for (branch, flow) in self.compiled.branches.iter().zip(&mut self.flow) {
            *flow = branch.start_flow_m3_s;
        }
        self.head.fill(0.0);
        for end in self.compiled.junctions..self.compiled.ends.len() {
            self.head[end] = self.given[self.compiled.ends[end]].head_m;
        }
        self.activity.start_over();
        self.balanced = false;
        self.priced = false;
    }

    /// Starts the next solution from given flows, `-10..=10` m³/s, one for each link.
    ///
    /// # Errors
    /// [`HydraulicsError`] where a flow is out of range or there isn't one for each link.
    pub fn start_from(&mut self, flow_m3_s: &[f64]) -> Result<(), HydraulicsError> {
        if flow_m3_s.len() != self.water.len() {
            return Err(HydraulicsError::NotThat {
                node: flow_m3_s.len(),
                wanted: "list of one flow for each link",
            });
        }
        // All are looked at before any is taken: half a list would leave flows that the costs don't belong to.
        for flow in flow_m3_s {
            START.require(*flow)?;
        }
        for (along, place) in flow_m3_s.iter().zip(&self.compiled.place_of_link) {
            self.flow[place.branch] = if place.reversed { -along } else { *along };
        }
        self.activity.forget();
        self.balanced = false;
        self.priced = false;
        Ok(())
    }

    fn valve(&self, link: LinkId) -> Result<(), HydraulicsError> {
        match self.compiled.links.get(link.0).map(|link| &link.element) {
            Some(Element::Valve(_)) => Ok(()),
            _ => Err(HydraulicsError::NotThat {
                node: link.0,
                wanted: "valve",
            }),
        }
    }

    /// Flow through a link, m³/s, positive from its first node to its second; 0 beyond the last link.
    pub fn flow_m3_s(&self, link: LinkId) -> f64 {
        self.compiled.place_of_link.get(link.0).map_or(0.0, |place| {
            let flow = self.flow[place.branch];
            if place.reversed { -flow } else { flow }
        })
    }

    /// The water that counts in a link; nominal water beyond the last.
    pub fn water(&self, link: LinkId) -> LineWater {
        self.water.get(link.0).copied().unwrap_or(LineWater::nominal())
    }

    /// Brings the laws of the branches up to date with valves, speeds and water. True where a branch opened, closed
    /// or changed its ways.
    pub(super) fn refresh(&mut self) -> bool {
        let mut changed = false;
        if !self.stale.contains(&true) {
            return changed;
        }
        for (at, branch) in self.compiled.branches.iter_mut().enumerate() {
            if !core::mem::take(&mut self.stale[at]) {
                continue;
            }
            self.priced = false;
            let open = !branch.steps.iter().any(|step| self.closed[step.link]);
            let ways = (branch.law.may(1.0), branch.law.may(-1.0));
            let water = branch
                .steps
                .first()
                .map_or(LineWater::nominal(), |step| self.water[step.link]);
            branch.law.clear(water);
            let mut pump_at = 0;
            for step in &branch.steps {
                match &self.compiled.links[step.link].element {
                    Element::Line(line) => {
                        branch.law.add_tube(
                            line.bore_m,
                            line.length_m,
                            line.roughness_m,
                            water,
                            &mut self.tables,
                        );
                        branch.law.add_loss(line.bore_m, line.loss, water);
                    }
                    Element::Valve(passage) => {
                        let loss = self.loss[step.link].unwrap_or(passage.loss);
                        branch.law.add_loss(passage.bore_m, loss, water);
                    }
                    Element::Passage(passage) => branch.law.add_loss(passage.bore_m, passage.loss, water),
                    Element::Check {
                        passage,
                        cracking_head_m,
                    } => {
                        branch.law.add_loss(passage.bore_m, passage.loss, water);
                        branch.law.add_check(*cracking_head_m, step.reversed);
                    }
                    Element::Pump(_) => {
                        branch.law.set_speed(pump_at, self.speed[step.link]);
                        pump_at += 1;
                    }
                }
            }
            for (end, leaves_forward) in [(branch.from, true), (branch.to, false)] {
                let node = self.compiled.ends[end];
                if self.compiled.nodes[node].terminal && !self.given[node].supplies {
                    branch.law.forbid(leaves_forward);
                }
            }
            let height = |end: usize| self.compiled.nodes[self.compiled.ends[end]].elevation_m;
            self.static_m[at] = branch.law.weight() * (height(branch.from) - height(branch.to));
            let now = (branch.law.may(1.0), branch.law.may(-1.0));
            let open = open && branch.law.passes();
            if ways != now {
                self.activity.change_ways();
                changed = true;
            }
            if self.activity.open[at] != open {
                self.activity.open[at] = open;
                self.activity.stirred = true;
                changed = true;
            }
        }
        changed
    }
}
